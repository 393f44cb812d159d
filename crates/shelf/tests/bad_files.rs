//! Bad files: each is refused with what was found and where, and nothing makes the readers panic.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

use chaffinch_craft::Plan;
use chaffinch_shelf::{
    MAX_DOCUMENT_BYTES, Place, ShelfError, TextError, plan_from_neutral, plan_from_ron,
    plan_to_neutral, plan_to_ron, read_plan,
};
use std::{fs, io::Write};

fn ron() -> String {
    plan_to_ron(&Plan::fresh())
}

fn neutral() -> String {
    plan_to_neutral(&Plan::fresh())
}

/// The text with `from` replaced, which must be in it.
fn with(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "{from} is not in\n{text}");
    text.replacen(from, to, 1)
}

fn line_of(text: &str, part: &str) -> usize {
    1 + text.lines().position(|line| line.contains(part)).unwrap()
}

fn ron_error(text: &str) -> TextError {
    plan_from_ron(text).unwrap_err()
}

fn neutral_error(text: &str) -> TextError {
    plan_from_neutral(text).unwrap_err()
}

#[test]
fn empty_files_say_so() {
    for text in ["", " \n\t\n"] {
        assert_eq!(ron_error(text), TextError::Empty);
        assert_eq!(neutral_error(text), TextError::Empty);
    }
}

#[test]
fn other_kinds_of_file_are_named_without_the_words_of_a_parser() {
    let table = "// roast 7\n  Time,Bean temperature,Fan\n0:00,105,80\n";
    let error = ron_error(table);
    assert_eq!(error.place(), Some(Place { line: 2, column: 3 }));
    let words = error.to_string();
    assert!(
        words.starts_with(
            "this isn't a Chaffinch plan: at line 2, column 3 stands “Time,Bean temperature,Fa”;"
        ),
        "{words}"
    );
    assert!(matches!(
        neutral_error("[1, 2]"),
        TextError::NotAPlan { .. }
    ));
    // A plan that was cut short is one all the same.
    let text = ron();
    for end in [2, 90, 120, text.len() / 2] {
        let error = ron_error(&text[..text.floor_char_boundary(end)]);
        assert!(matches!(error, TextError::Unreadable { .. }), "{error}");
    }
}

#[test]
fn newer_and_unknown_versions_are_told_apart_before_anything_else() {
    let newer = with(&ron(), "version: 2", "version: 3, colour: \"green\"");
    assert!(matches!(ron_error(&newer), TextError::NewerVersion { .. }));
    assert!(ron_error(&newer).to_string().contains("version 3"));
    let unknown = with(&ron(), "version: 2", "version: 0");
    assert!(matches!(
        ron_error(&unknown),
        TextError::UnknownVersion { .. }
    ));
    let newer = with(
        &with(&neutral(), "\"1.2\"", "\"2.0\""),
        "\"curve\"",
        "\"line\"",
    );
    assert!(matches!(
        neutral_error(&newer),
        TextError::NewerVersion { .. }
    ));
    let unknown = with(&neutral(), "\"1.2\"", "\"one\"");
    assert!(matches!(
        neutral_error(&unknown),
        TextError::UnknownVersion { .. }
    ));
    let minor = with(&neutral(), "\"1.2\"", "\"1.7\"");
    assert_eq!(plan_from_neutral(&minor).unwrap(), Plan::fresh());
}

#[test]
fn unknown_fields_are_refused_in_plan_files_and_ignored_in_neutral_json() {
    let text = with(&ron(), "  title:", "  colour: \"green\",\n  title:");
    let error = ron_error(&text);
    assert_eq!(error.place().unwrap().line, line_of(&text, "colour:"));
    assert!(error.to_string().contains("colour"), "{error}");
    let text = with(
        &neutral(),
        "\"title\"",
        "\"colour\": {\"of\": [\"the\", 1]},\n\"title\"",
    );
    assert_eq!(plan_from_neutral(&text).unwrap(), Plan::fresh());
}

#[test]
fn broken_rules_of_points_name_the_line() {
    let point = "(time_s: 510.0, temp_c: 218.0)";
    for (bad, word) in [
        ("(time_s: 0.0, temp_c: 218.0)", "at least"),
        ("(time_s: NaN, temp_c: 218.0)", "NaN"),
        ("(time_s: inf, temp_c: 218.0)", "inf"),
        ("(time_s: 1e999, temp_c: 218.0)", "inf"),
        ("(time_s: 510.0, temp_c: 999.0)", "999"),
        ("(time_s: \"late\", temp_c: 218.0)", "float"),
        ("(time_s: 510.0)", "temp_c"),
    ] {
        let text = with(&ron(), point, bad);
        let error = ron_error(&text);
        assert_eq!(
            error.place().map(|place| place.line),
            Some(line_of(&text, bad)),
            "{bad}: {error}"
        );
        assert!(error.to_string().contains(word), "{bad}: {error}");
    }
}

#[test]
fn broken_rules_of_neutral_points_name_the_line() {
    for (bad, word) in [
        ("0.0", "at least"),
        ("1e999", "out of range"),
        ("\"late\"", "f64"),
        ("null", "f64"),
    ] {
        let part = format!("\"time\": {bad}, \"temperature\": 218.0");
        let text = with(&neutral(), "\"time\": 510.0, \"temperature\": 218.0", &part);
        let error = neutral_error(&text);
        assert_eq!(
            error.place().map(|place| place.line),
            Some(line_of(&text, &part)),
            "{bad}: {error}"
        );
        assert!(error.to_string().contains(word), "{bad}: {error}");
    }
}

#[test]
fn numbers_out_of_range_outside_lists_are_refused() {
    for (from, to) in [
        ("colour_change_c: 160.0", "colour_change_c: NaN"),
        ("colour_change_c: 160.0", "colour_change_c: 199.0"),
        ("ceiling_c: 250.0", "ceiling_c: inf"),
        ("chosen: \"medium\"", "chosen: \"unheard of\""),
        ("(0.12, 0.25)", "(0.25, 0.12)"),
        (
            "(time_s: 0.0, percent: 80.0)",
            "(time_s: 0.0, percent: 101.0)",
        ),
        ("title: \"New plan\"", "title: \"New\\nplan\""),
    ] {
        let error = ron_error(&with(&ron(), from, to));
        assert!(error.to_string().len() > 30, "{error}");
    }
}

#[test]
fn broken_rules_of_single_values_name_the_line() {
    let many = "x".repeat(201);
    for (from, to) in [
        ("ceiling_c: 250.0", "ceiling_c: NaN"),
        ("ceiling_c: 250.0", "ceiling_c: 99.0"),
        ("title: \"New plan\"", &format!("title: \"{many}\"")),
        ("origin: \"\"", &format!("origin: \"{many}\"")),
        (
            "wished_",
            "numbers: (moisture_percent: (30.0, measured)),\n    wished_",
        ),
        (
            "wished_",
            "numbers: (altitude_m: (inf, assumed)),\n    wished_",
        ),
        ("ceiling_c: 250.0", "ceiling_c: 260.1"),
    ] {
        let text = with(&ron(), from, to);
        let line = line_of(&text, to.lines().next().unwrap());
        let error = ron_error(&text);
        assert_eq!(error.place().map(|place| place.line), Some(line), "{error}");
    }
    for (from, to) in [
        ("\"ceiling\": 250.0", "\"ceiling\": 400.0"),
        (
            "\"density\": null",
            "\"density\": {\"value\": 1, \"knowledge\": \"assumed\"}",
        ),
        ("\"harvest\": \"\"", "\"harvest\": \"two\\nlines\""),
    ] {
        let text = with(&neutral(), from, to);
        let error = neutral_error(&text);
        assert_eq!(
            error.place().map(|place| place.line),
            Some(line_of(&text, to)),
            "{error}"
        );
    }
}

/// A plan file whose machine and variation have these numbers.
fn ron_with(machine: &str, variation: &str) -> String {
    let text = with(
        &ron(),
        "feed_forward: none,\n",
        &format!("feed_forward: none,\n    numbers: (\n{machine}\n    ),\n"),
    );
    let end = text.trim_end().strip_suffix(')').unwrap();
    format!("{end}  variation: (\n{variation}\n  ),\n)\n")
}

#[test]
fn broken_numbers_of_sheets_name_the_line_and_what_was_expected() {
    let sound = ron_with(
        "heater_power_w: (1500.0, measured),",
        "mains_v: (4.0, estimated),",
    );
    assert!(plan_from_ron(&sound).is_ok(), "{:?}", plan_from_ron(&sound));
    for (machine, words) in [
        (
            "heater_powr_w: (1500.0, measured),",
            "the machine has no number “heater_powr_w”; expected (nearest first) heater_power_w,",
        ),
        (
            "humidity_percent: (50.0, measured),",
            "the machine has no number “humidity_percent”",
        ),
        (
            "heater_power_w: (5.0, measured),",
            "heater power of the machine is 5 W; expected 100 to 20000 W",
        ),
        ("heater_power_w: (NaN, measured),", "heater power"),
        ("heater_power_w: (-inf, measured),", "heater power"),
        ("heater_power_w: (1500.0, guessed),", "guessed"),
        ("heater_power_w: 1500.0,", "number"),
        ("heater_power_w: (1500.0),", "tuple"),
        ("heater_power_w: (\"much\", measured),", "float"),
    ] {
        let text = ron_with(machine, "mains_v: (4.0, estimated),");
        let error = ron_error(&text);
        let place = error.place().unwrap();
        assert_eq!(place.line, line_of(&text, machine), "{machine}: {error}");
        assert!(error.to_string().contains(words), "{machine}: {error}");
    }
    let text = ron_with(
        "heater_power_w: (1500.0, measured),",
        "dose: (2.0, estimated),",
    );
    let error = ron_error(&text);
    assert_eq!(error.place().unwrap().line, line_of(&text, "dose: (2.0"));
    let words = "the everyday variation has no number “dose”; expected (nearest first) dose_g,";
    assert!(error.to_string().contains(words), "{error}");
}

#[test]
fn numbers_given_twice_and_batch_ranges_upside_down_are_refused() {
    let twice = "heater_lag_s: (4.0, measured),\n      fan_exponent: (1.5, measured),\n      heater_lag_s: (4.0, assumed),";
    let text = ron_with(twice, "");
    let error = ron_error(&text);
    let line = line_of(&text, "heater_lag_s: (4.0, assumed)");
    assert_eq!(error.place().unwrap().line, line, "{error}");
    let words = "the number “heater_lag_s” of the machine is given twice";
    assert!(error.to_string().contains(words), "{error}");
    // Alone each is in its range, and the greatest that nobody entered counts with its usual 250 g.
    let upside_down = "least_dose_g: (300.0, measured),";
    let error = ron_error(&ron_with(upside_down, ""));
    assert!(
        error.to_string().contains("300") && error.to_string().contains("250"),
        "{error}"
    );
    assert!(error.place().is_some(), "{error}");
    let both = "least_dose_g: (300.0, measured),\n      greatest_dose_g: (400.0, measured),";
    assert!(plan_from_ron(&ron_with(both, "")).is_ok());
}

#[test]
fn hostile_names_of_numbers_stay_short_in_messages() {
    let name = "x".repeat(100_000);
    let text = ron_with(&format!("{name}: (1.0, measured),"), "");
    let words = ron_error(&text).to_string();
    assert!(words.len() < 1000, "{} bytes", words.len());
    let many = vec![r#"{"name": "n", "unit": "1", "value": 1, "knowledge": "measured"}"#; 1000];
    let text = with(
        &neutral(),
        "\"variation\": [",
        &format!("\"variation\": [{}", many.join(",")),
    );
    let words = neutral_error(&text).to_string();
    assert!(words.contains("201 numbers"), "{words}");
}

#[test]
fn broken_numbers_of_neutral_json_name_the_line_and_unknown_ones_are_passed_over() {
    let entry = |name: &str, unit: &str, value: &str| {
        format!(
            "{{ \"name\": \"{name}\", \"unit\": {unit}, \"value\": {value}, \"knowledge\": \"measured\" }}"
        )
    };
    let text_of = |entries: &str| {
        with(
            &neutral(),
            "\"variation\": [",
            &format!("\"variation\": [\n{entries}\n"),
        )
    };
    let mains = entry("mains_v", "\"V\"", "4");
    let read = |entries: &str| plan_from_neutral(&text_of(entries)).unwrap();
    let expected = read(&mains);
    assert_eq!(expected.variation.all_entered().count(), 1);
    // Another program may know more, and may leave the unit out.
    let more = entry("humour", "\"1\"", "7");
    assert_eq!(read(&format!("{more},\n{mains}")), expected);
    assert_eq!(read(&entry("mains_v", "null", "4")), expected);
    for (bad, words) in [
        (entry("mains_v", "\"kV\"", "0.004"), "“kV”; expected “V”"),
        (entry("mains_v", "\"V\"", "50"), "expected 0 to 40 V"),
        (entry("mains_v", "\"V\"", "-1"), "expected 0 to 40 V"),
        (entry("mains_v", "\"V\"", "null"), "f64"),
        (entry("mains_v", "\"V\"", "1e999"), "out of range"),
    ] {
        let text = text_of(&bad);
        let error = neutral_error(&text);
        let line = error.place().unwrap().line;
        assert_eq!(line, line_of(&text, &bad), "{bad}: {error}");
        assert!(error.to_string().contains(words), "{bad}: {error}");
    }
    let error = neutral_error(&text_of(&format!("{mains},\n{mains}")));
    assert!(error.to_string().contains("given twice"), "{error}");
}

#[test]
fn neutral_json_of_another_kind_is_told() {
    let other = with(&neutral(), "\"chaffinch-plan\"", "\"another\"");
    assert!(matches!(
        neutral_error(&other),
        TextError::OtherFormat { .. }
    ));
    let unit = with(
        &neutral(),
        "\"temperature\": \"Cel\"",
        "\"temperature\": \"[degF]\"",
    );
    assert!(matches!(
        neutral_error(&unit),
        TextError::OtherUnit {
            quantity: "temperature",
            ..
        }
    ));
    let marks = with(&neutral(), "\"colour_change\"", "\"first_crack\"");
    assert!(matches!(
        neutral_error(&marks),
        TextError::MarkCount { found: 0, .. }
    ));
    let chosen = with(&neutral(), "\"chosen\": true", "\"chosen\": false");
    assert_eq!(neutral_error(&chosen), TextError::ChosenCount { found: 0 });
}

#[test]
fn deep_nesting_overflows_no_stack() {
    for (open, close) in [("[", "]"), ("{\"a\":", "}")] {
        let text = open.repeat(100_000) + "0" + &close.repeat(100_000);
        assert!(plan_from_ron(&text).is_err() && plan_from_neutral(&text).is_err());
        let field = with(&ron(), "\"New plan\"", &text);
        assert!(plan_from_ron(&field).is_err());
        // An unknown key of neutral JSON is skipped without recursion, however deep.
        let extra = with(
            &neutral(),
            "\"title\"",
            &format!("\"extra\": {text}, \"title\""),
        );
        assert_eq!(plan_from_neutral(&extra).unwrap(), Plan::fresh());
    }
}

#[test]
fn endless_lists_stop_at_the_first_item_too_many() {
    let points: Vec<String> = (1..100_000)
        .map(|n| format!("(time_s: {n}.0, temp_c: 100.0),"))
        .collect();
    let text = with(&ron(), "(time_s: 510.0, temp_c: 218.0),", &points.concat());
    let error = ron_error(&text).to_string();
    assert!(
        error.contains("201 points") && error.contains("200"),
        "{error}"
    );
}

#[test]
fn files_are_refused_by_name_with_the_path_last() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("odd.ron");
    let refused = |content: &[u8]| {
        fs::write(&path, content).unwrap();
        let error = read_plan(&path).unwrap_err();
        assert!(error.to_string().ends_with("odd.ron"), "{error}");
        assert_eq!(fs::read(&path).unwrap(), content, "the file is left alone");
        error
    };
    assert!(matches!(
        refused(b""),
        ShelfError::Text {
            source: TextError::Empty,
            ..
        }
    ));
    let at = Place { line: 2, column: 7 };
    let bytes = b"// \xC3\xA9\ntitle \xFF";
    let expected = TextError::NotUtf8 {
        place: at,
        byte: 0xFF,
    };
    assert!(matches!(refused(bytes), ShelfError::Text { source, .. } if source == expected));
    refused(b"\x00\x01\x02");
    refused(b"{\"format\": \"chaffinch-plan\"");
    assert!(
        matches!(read_plan(folder.path()), Err(ShelfError::Read { .. })),
        "a folder"
    );
    assert!(matches!(
        read_plan(&folder.path().join("none")),
        Err(ShelfError::Read { .. })
    ));
}

#[test]
fn byte_order_mark_is_taken() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("marked");
    for text in [ron(), neutral()] {
        fs::write(&path, format!("\u{feff}{text}")).unwrap();
        assert_eq!(read_plan(&path).unwrap(), Plan::fresh());
    }
}

#[test]
fn too_large_files_are_refused_by_their_size() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("large.ron");
    let mut file = fs::File::create(&path).unwrap();
    file.write_all(ron().as_bytes()).unwrap();
    file.set_len(MAX_DOCUMENT_BYTES + 1).unwrap();
    let error = read_plan(&path).unwrap_err();
    assert!(
        matches!(
            error,
            ShelfError::TooLarge {
                found_bytes: 4_194_305,
                ..
            }
        ),
        "{error}"
    );
}

#[cfg(unix)]
#[test]
fn endless_device_is_refused_by_what_was_read() {
    // A device tells no size; the reader stops by itself.
    let error = read_plan(std::path::Path::new("/dev/zero")).unwrap_err();
    assert!(matches!(error, ShelfError::TooLarge { .. }), "{error}");
}

#[test]
fn files_cut_at_every_byte_are_refused_without_panic() {
    for (text, read) in [
        (ron(), plan_from_ron as fn(&str) -> _),
        (neutral(), plan_from_neutral as fn(&str) -> _),
    ] {
        let complete = text.trim_end().len();
        for end in (0..complete).filter(|&end| text.is_char_boundary(end)) {
            let result: Result<Plan, TextError> = read(&text[..end]);
            assert!(result.is_err(), "cut at byte {end} of {complete}");
        }
    }
}

#[test]
fn flipped_bits_never_panic() {
    // A small linear congruential generator (Numerical Recipes constants, from memory) keeps the test the same each run.
    let mut state = 20_260_101_u32;
    let mut next = |below: usize| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 8) as usize % below
    };
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("flipped");
    let mut refused = 0;
    for text in [ron(), neutral()] {
        for _ in 0..1000 {
            let mut bytes = text.clone().into_bytes();
            let place = next(bytes.len());
            bytes[place] ^= 1 << next(8);
            fs::write(&path, &bytes).unwrap();
            refused += usize::from(read_plan(&path).is_err());
        }
    }
    assert!(refused > 500, "only {refused} of 2,000 flips were noticed");
}
