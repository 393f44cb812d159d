//! Checks of tables as text: a corpus of small texts with what each means, by hand.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    missing_docs,
    clippy::missing_assert_message,
    reason = "tests"
)]

use proptest::prelude::*;

use super::*;

fn read(text: &str) -> Result<PastedPoints, PasteError> {
    read_points(text, Unstated::default())
}

fn points(text: &str) -> Vec<(f64, f64)> {
    match read(text) {
        Ok(pasted) => pasted
            .points
            .iter()
            .map(|point| (point.time_s, point.temp_c))
            .collect(),
        Err(error) => panic!("{text:?}: {error}"),
    }
}

/// The name of the refusal; a text that is read is a failure.
fn refusal(text: &str) -> String {
    let error = read(text).expect_err(text);
    let debug = format!("{error:?}");
    debug.split([' ', '{', '(']).next().unwrap().to_owned()
}

#[test]
fn texts_that_mean_one_thing_are_read() {
    // Invented rows, every way to write the points (0 s, 100 °C) and (570 s, 205.5 °C).
    for text in [
        "0\t100\n570\t205.5",
        "0\t100\r\n570\t205.5\r\n",
        "\u{feff}0\t100\n570\t205.5\n\n",
        "0\t100\n\n\t\n570\t205.5",
        "0;100\n570;205,5",
        "0;100\n570;205.5",
        "0,100\n570,205.5",
        "0,\"100\"\n570,\"205,5\"",
        "0:00\t100\n9:30\t205.5",
        "0:00\t100\n9:30\t205,5",
        "00:00:00\t100\n00:09:30\t205,50",
        "0:00.0\t100\n9:30.0\t205.5",
        "0:00,000\t100\n9:30,000\t205,5",
        "Time\tTemperature\n0\t100\n570\t205.5",
        "Time (s)\tTemperature (°C)\tRise (°C/min)\n0\t100\t9\n570\t205.5\t4.25",
        "time_s,temp_c\n0,100\n570,205.5",
        "Time;Temp\n0;100\n570;205,5",
        "Zeit;Temperatur\n0;100\n570;205,5",
        "Temperature (°C)\tTime (s)\n100\t0\n205.5\t570",
        "Bean temp [°C];Airflow;Elapsed time [min:s]\n100;70;0:00\n205,5;60;9:30",
        "Time (min)\tTemp\n0\t100\n9.5\t205.5",
        "Time (min);Temp\n0,0;100,0\n9,5;205,5",
        "time (s)\ttemp (°F)\n0\t212\n570\t401.9",
        "time (s)\ttemp (F)\n0\t212\n570\t401.9",
        "BeanTempF,Time\n212,0\n401.9,570",
        "° F temp,time\n212,0\n401.9,570",
        "temp in fahrenheit;time, min:ss\n212;0:00\n401,9;9:30",
        "0\t1.00E+02\n570\t2,055E2".replace(',', ".").as_str(),
        " 0 \t 100 \n 570 \t 205.5 ",
        "0\t100\t9\n570\t205.5\t4",
        "+0\t+100\n570\t205.50",
    ] {
        assert_eq!(points(text), [(0.0, 100.0), (570.0, 205.5)], "{text:?}");
    }
}

#[test]
fn three_decimals_are_read_once_another_cell_tells_the_mark() {
    assert_eq!(
        points("0\t1,234\n570\t205,5"),
        [(0.0, 1.234), (570.0, 205.5)]
    );
    assert_eq!(
        points("0\t183.275\n570\t205.5"),
        [(0.0, 183.275), (570.0, 205.5)]
    );
    assert_eq!(
        points("0.125\t183.275"),
        [(0.125, 183.275)],
        "a leading zero is never grouped"
    );
    assert_eq!(
        points("0,435\t183"),
        [(0.435, 183.0)],
        "read as 435 by programs that guess"
    );
    assert_eq!(
        points("Time (s)\tTemperature (°C)\n0\t183.275"),
        [(0.0, 183.275)],
        "our own header writes a dot"
    );
}

#[test]
fn times_before_the_start_keep_their_sign() {
    assert_eq!(
        points("-0:30\t100\n−0:15\t101\n0:00\t102"),
        [(-30.0, 100.0), (-15.0, 101.0), (0.0, 102.0)]
    );
    assert_eq!(points("-30;20,5"), [(-30.0, 20.5)]);
}

#[test]
fn texts_that_could_mean_two_things_or_nothing_are_refused() {
    let huge = "9".repeat(400);
    for (text, name) in [
        ("", "Empty"),
        (" \n \n", "Empty"),
        ("\t\n\t", "Empty"),
        ("570", "OneColumn"),
        ("0 100\n570 205.5", "OneColumn"),
        ("Time\tTemp\n", "NoRows"),
        ("0\t1,234\n570\t205", "AmbiguousMark"),
        ("0\t1.234\n570\t205", "AmbiguousMark"),
        ("1.234;205\n2.000;206", "AmbiguousMark"),
        ("0\t-1,234", "AmbiguousMark"),
        ("0\t100.5\n570\t205,5", "OtherMark"),
        ("0\t100.5\n570\t1,234", "OtherMark"),
        ("0:00,5\t100\n0:30\t100.5", "OtherMark"),
        ("0,5;100\n1;1.234", "OtherMark"),
        ("Time (s)\tTemperature (°C)\n0\t183,275", "OtherMark"),
        ("0\t1.234,5", "NotANumber"),
        ("0\t1,234,567", "NotANumber"),
        ("0\t1 234", "NotANumber"),
        ("0\t1'234", "NotANumber"),
        ("0\t205 °C", "NotANumber"),
        ("0\tNaN", "NotANumber"),
        ("0\tinf", "NotANumber"),
        ("0\t", "NotANumber"),
        ("0\t.", "NotANumber"),
        ("0\t--5", "NotANumber"),
        ("0\t5e", "NotANumber"),
        ("0\t5e999", "NotANumber"),
        (format!("0\t{huge}").as_str(), "NotANumber"),
        ("0\t9:30", "NotANumber"),
        ("0\t\"100\n570\t205\"", "NotANumber"),
        ("0\t100\n570\tabc", "NotANumber"),
        ("60,150,5\n120,160,2", "AmbiguousCommas"),
        ("0,0,150,5", "AmbiguousCommas"),
        ("1,234.5,200", "AmbiguousCommas"),
        ("Time,Temp\n60,150,5", "UnevenRow"),
        ("0\t100\n570", "UnevenRow"),
        ("0\t100\n570\t205\t3", "UnevenRow"),
        ("0;100\n570,205", "UnevenRow"),
        ("0:00\t100\n570\t205", "OtherTimeForm"),
        ("0\t100\n9:30\t205", "OtherTimeForm"),
        ("Time (s)\tTemp\n9:30\t205", "OtherTimeForm"),
        ("Time (min)\tTemp\n9:30\t205", "OtherTimeForm"),
        ("Time (m:ss)\tTemp\n9\t205", "OtherTimeForm"),
        ("9:75\t205", "NotAClock"),
        ("9:5\t205", "NotAClock"),
        ("9:30+5\t205", "NotAClock"),
        (":30\t205", "NotAClock"),
        ("Time (h)\tTemp\n1\t205", "UnknownUnit"),
        ("Time (ms)\tTemp\n1\t205", "UnknownUnit"),
        ("time_m\tTemp\n1\t205", "UnknownUnit"),
        ("Time hh:mm\tTemp\n0:09\t205", "UnknownUnit"),
        ("Time (s)\tTemp (K)\n1\t478", "UnknownUnit"),
        ("Time (s)\tTemp (raw)\n1\t478", "UnknownUnit"),
        ("Time\tTemp C or F\n1\t205", "UnknownUnit"),
        ("Time\tRise (°C/min)\n1\t9", "ColumnMissing"),
        ("Time\tAirflow\n1\t70", "ColumnMissing"),
        ("Temp\tRise\n1\t70", "ColumnMissing"),
        ("Temp\tAirflow\tNote\n1\t70\t5", "ColumnMissing"),
        ("Time\tBean temp\tAir temp\n1\t70\t80", "AmbiguousColumns"),
        ("Temps;Température\n1;70", "AmbiguousColumns"),
    ] {
        assert_eq!(refusal(text), name, "{text:?}");
    }
}

#[test]
fn a_refusal_names_row_column_and_text() {
    let message = read("Time\tTemp\n\n0\t100\n570\tabc\n")
        .unwrap_err()
        .to_string();
    assert!(message.contains("row 4, column 2: “abc”"), "{message}");
    let message = read("0\t1,234\n570\t205").unwrap_err().to_string();
    assert!(
        message.contains("row 1, column 2: “1,234” could mean 1.234 or 1234"),
        "{message}"
    );
    let message = read(&format!("0\t{}", "x".repeat(1_000_000)))
        .unwrap_err()
        .to_string();
    assert!(message.chars().count() < 200, "a long cell is cut");
}

#[test]
fn columns_without_a_name_are_left_out_by_number() {
    let left_out = |text| read(text).unwrap().understood.left_out;
    assert_eq!(left_out("0\t100\t80\t7"), ["column 3", "column 4"]);
    assert_eq!(left_out("\tTime\tTemperature\n80\t0\t100"), ["column 1"]);
}

#[test]
fn what_was_understood_comes_back_for_the_preview() {
    let understood = |text| read(text).unwrap().understood;
    assert_eq!(
        understood("Temp (°F);Note;Time\n212,5;1;0:00"),
        Understood {
            delimiter: Delimiter::Semicolon,
            decimal_mark: Some(DecimalMark::Comma),
            has_header: true,
            time: TimeFormat::Clock,
            is_time_stated: true,
            temp_unit: TempUnit::Fahrenheit,
            is_temp_unit_stated: true,
            left_out: vec!["“Note”".to_owned()],
        }
    );
    assert_eq!(
        understood("0\t100"),
        Understood {
            delimiter: Delimiter::Tab,
            decimal_mark: None,
            has_header: false,
            time: TimeFormat::Seconds,
            is_time_stated: false,
            temp_unit: TempUnit::Celsius,
            is_temp_unit_stated: false,
            left_out: Vec::new(),
        }
    );
}

/// 9.5 min are 570 s; 401.9 °F are 205.5 °C (from the units' definitions).
#[test]
fn only_units_that_the_text_leaves_open_are_given_from_outside() {
    let unstated = Unstated {
        time_unit: TimeUnit::Minutes,
        temp_unit: TempUnit::Fahrenheit,
    };
    let last = |text| {
        let pasted = read_points(text, unstated).unwrap();
        let point = *pasted.points.last().unwrap();
        (point.time_s, point.temp_c)
    };
    for text in [
        "0\t212\n9.5\t401.9",
        "Time\tTemp (°F)\n0\t212\n9.5\t401.9",
        "Time (s)\tTemp\n0\t212\n570\t401.9",
        "0:00\t212\n9:30\t401.9",
        "Time (min)\tTemp (°C)\n0\t100\n9.5\t205.5",
    ] {
        assert_eq!(last(text), (570.0, 205.5), "{text:?}");
    }
}

#[test]
fn texts_beyond_the_limits_are_refused() {
    let rows = |count| "0\t100\n".repeat(count);
    assert_eq!(read(&rows(MAX_ROWS)).unwrap().points.len(), MAX_ROWS);
    assert_eq!(refusal(&rows(MAX_ROWS + 1)), "TooManyRows");
    assert_eq!(
        refusal(&"0\t100000000000000000000000000000\n".repeat(300_000)),
        "TooLong"
    );
}

#[test]
fn a_copied_table_has_units_in_its_header_and_a_dot() {
    let rows = [
        Row {
            time_s: 0.0,
            temp_c: 100.0,
            rise_c_per_s: 0.1,
        },
        Row {
            time_s: 570.5,
            temp_c: 183.27,
            rise_c_per_s: -0.05,
        },
    ];
    assert_eq!(
        points_to_tsv(&rows),
        "Time (s)\tTemperature (°C)\tRise (°C/min)\n0\t100\t6\n570.5\t183.27\t-3\n"
    );
}

proptest! {
    #[test]
    fn a_copied_table_pastes_back_identically(
        rows in prop::collection::vec((-60.0..3_600.0_f64, 0.0..320.0_f64, -1.0..1.0_f64), 1..40)
    ) {
        let rows: Vec<_> =
            rows.iter().map(|&(time_s, temp_c, rise_c_per_s)| Row { time_s, temp_c, rise_c_per_s }).collect();
        let pasted = read(&points_to_tsv(&rows)).unwrap();
        let expected: Vec<_> = rows.iter().map(|row| CurvePoint { time_s: row.time_s, temp_c: row.temp_c }).collect();
        prop_assert_eq!(pasted.points, expected);
    }

    #[test]
    fn a_copied_table_at_the_document_grid_pastes_back_identically(
        rows in prop::collection::vec((0_u32..36_000, 0_u32..320_000), 1..40)
    ) {
        let expected: Vec<_> = rows
            .iter()
            .map(|&(tenths, thousandths)| CurvePoint {
                time_s: f64::from(tenths) / 10.0,
                temp_c: f64::from(thousandths) / 1000.0,
            })
            .collect();
        let rows: Vec<_> = expected
            .iter()
            .map(|point| Row { time_s: point.time_s, temp_c: point.temp_c, rise_c_per_s: 0.0 })
            .collect();
        prop_assert_eq!(read(&points_to_tsv(&rows)).unwrap().points, expected);
    }

    /// No number is silently wrong: whatever mark and delimiter a spreadsheet writes, the points are right or refused.
    #[test]
    fn a_table_in_any_dialect_is_read_rightly_or_refused(
        rows in prop::collection::vec((0_u32..3_600, 0_u32..320_000), 1..6),
        decimals in 0_usize..=3, has_comma: bool, delimiter in "[\t;,]", has_header: bool
    ) {
        let write = |number: f64| {
            let text = format!("{number:.decimals$}");
            if has_comma { text.replace('.', ",") } else { text }
        };
        let expected: Vec<_> = rows
            .iter()
            .map(|&(time_s, thousandths)| {
                let temp = format!("{:.decimals$}", f64::from(thousandths) / 1000.0);
                CurvePoint { time_s: f64::from(time_s), temp_c: temp.parse().unwrap() }
            })
            .collect();
        let lines = expected.iter().map(|point| format!("{}{delimiter}{}", write(point.time_s), write(point.temp_c)));
        let header = has_header.then(|| format!("Time{delimiter}Temp"));
        let text = header.into_iter().chain(lines).collect::<Vec<_>>().join("\n");
        if let Ok(pasted) = read(&text) {
            prop_assert_eq!(pasted.points, expected);
        }
    }

    #[test]
    fn any_text_gives_finite_points_or_a_reason(text in "[-0-9.,:;\t\n\"TimeptC°F() −]{0,40}") {
        if let Ok(pasted) = read(&text) {
            prop_assert!(pasted.points.iter().all(|point| point.time_s.is_finite() && point.temp_c.is_finite()));
        }
    }
}
