//! Checks of typed entry. Expected values are arithmetic by hand on the definitions of the units.
#![allow(
    clippy::unwrap_used,
    missing_docs,
    clippy::missing_assert_message,
    reason = "tests"
)]

use proptest::prelude::*;

use super::*;
use crate::units::{
    TempUnit::{Celsius as C, Fahrenheit as F},
    format_number_exact, format_rise_exact, format_temp, format_temp_exact, format_time,
    format_time_exact,
};

#[test]
fn times_are_read_in_every_written_form() {
    for (text, expected_s) in [
        ("9:30", 570.0),
        ("570", 570.0),
        ("570s", 570.0),
        (" 570 s ", 570.0),
        ("9.5min", 570.0),
        ("9,5 min", 570.0),
        ("9 min 30 s", 570.0),
        ("1 h 2 min 3 s", 3723.0),
        ("1:02:03", 3723.0),
        ("90:00", 5400.0),
        ("9:30.1", 570.1),
        ("9:30,125", 570.125),
        (".5", 0.5),
        ("0,435", 0.435),
        ("1234,567", 1234.567),
        ("1.234", 1.234),
        ("=-0:30", -30.0),
        ("=−30", -30.0),
        ("=570", 570.0),
    ] {
        assert_eq!(parse_time(text, 100.0), Ok(expected_s), "{text}");
    }
}

#[test]
fn changes_and_sums_start_from_the_current_time() {
    for (text, expected_s) in [
        ("+5", 605.0),
        ("-0:15", 585.0),
        ("−0:15", 585.0),
        ("+= 5", 605.0),
        ("*1.05", 630.0),
        ("*1,05", 630.0),
        ("/2", 300.0),
        ("+1 min", 660.0),
        ("*0.5+10", 310.0),
        ("205-3", 202.0),
        ("205 - 3*2", 199.0),
        ("9:30+15", 585.0),
        ("205.1-3", 202.1),
        ("1 min + 0:05", 65.0),
    ] {
        assert_eq!(parse_time(text, 600.0), Ok(expected_s), "{text}");
    }
}

#[test]
fn temperatures_are_read_in_the_shown_or_the_typed_unit() {
    for (text, shown, expected_c) in [
        ("205", C, 205.0),
        ("401", F, 205.0),
        ("401F", C, 205.0),
        ("205 C", F, 205.0),
        ("205°C", F, 205.0),
        ("205 ºc", F, 205.0),
        ("205 ℃", F, 205.0),
        ("401 ℉", C, 205.0),
        ("361.886", F, 183.27),
        ("+9", F, 205.0),
        ("+9 °F", C, 205.0),
        ("-5 °C", F, 195.0),
        ("401 °F - 9 °F", C, 200.0),
        ("205 °C - 9 °F", C, 200.0),
        ("205 °C - 5 °C", F, 200.0),
        ("*1.05", C, 210.0),
        // 200 °C is seen as 392 °F; 392 / 2 = 196 °F = 91.111... °C
        ("/2", F, 91.111_111_111),
        ("=-40", F, -40.0),
    ] {
        assert_eq!(
            parse_temp(text, 200.0, shown),
            Ok(expected_c),
            "{text} shown in {shown:?}"
        );
    }
}

#[test]
fn rates_are_per_minute_unless_they_say_otherwise() {
    for (text, shown, expected_c_per_s) in [
        ("9", C, 0.15),
        ("9/min", C, 0.15),
        ("9 °C/min", F, 0.15),
        ("0.15/s", C, 0.15),
        ("0.15 C/s", F, 0.15),
        ("27", F, 0.25),
        ("27 °F/min", C, 0.25),
        ("-3", C, -0.05),
        ("+3", C, 0.05),
        ("+=3", C, 0.15),
        ("-= 3", C, 0.05),
        ("*2", C, 0.2),
        ("9+1", C, 10.0 / 60.0),
    ] {
        assert_eq!(
            parse_rise(text, 0.1, shown),
            Ok(expected_c_per_s),
            "{text} shown in {shown:?}"
        );
    }
}

#[test]
fn shifts_and_plain_numbers_keep_their_sign_and_unit() {
    assert_eq!(parse_time_shift("-0:15"), Ok(-15.0));
    assert_eq!(parse_time_shift("+1 min"), Ok(60.0));
    assert_eq!(parse_temp_shift("-9", F), Ok(-5.0));
    assert_eq!(parse_temp_shift("9 °F", C), Ok(5.0));
    assert_eq!(parse_percent("45", 40.0), Ok(45.0));
    assert_eq!(parse_percent("45 %", None), Ok(45.0));
    assert_eq!(parse_percent("+5%", 40.0), Ok(45.0));
    assert_eq!(parse_number("690 g/L", None, "g/L"), Ok(690.0));
    assert_eq!(parse_number("1950", None, "m"), Ok(1950.0));
    assert_eq!(parse_number("2/4", None, ""), Ok(0.5));
}

#[test]
fn two_readings_are_refused_and_both_named() {
    let error = parse_time("1,234", 0.0).unwrap_err();
    assert_eq!(
        error.to_string(),
        "“1,234” could mean 1.234 or 1234; write one of these"
    );
    assert!(matches!(
        parse_temp("183,275", None, C),
        Err(EntryError::AmbiguousComma { .. })
    ));
    for text in ["1.234,5", "1,234.5", "1,234,567", "1.2.3"] {
        assert!(
            matches!(parse_time(text, 0.0), Err(EntryError::ManyMarks { .. })),
            "{text}"
        );
    }
    // In a field that shows °F: three of which degrees?
    assert_eq!(
        parse_temp("205C - 3", 0.0, F),
        Err(EntryError::MixedUnits {
            found: "3".to_owned()
        })
    );
    assert_eq!(
        parse_time("9.5 min - 1", 0.0),
        Err(EntryError::MixedUnits {
            found: "1".to_owned()
        })
    );
    assert_eq!(parse_temp("205C - 3", 0.0, C), Ok(202.0));
}

#[test]
fn nonsense_is_refused_with_its_reason() {
    use EntryError as E;
    let time = |text| parse_time(text, 10.0).unwrap_err();
    assert!(matches!(time("  "), E::Empty { .. }));
    for text in [
        "9:5", "9:75", ":30", "9:", "1:2:03", "1:75:00", "1:1:1:1", "9.5:30", "9:30:", "9::30",
        "9:5,25",
    ] {
        assert!(
            matches!(time(text), E::BadClock { .. }),
            "{text}: {:?}",
            time(text)
        );
    }
    for text in [
        "abc",
        "+",
        "205-",
        "5 5",
        "1 234",
        "--5",
        "5++5",
        "(5)",
        "1e3",
        "NaN",
        "inf",
        "=",
        "=*5",
        "9 min 30",
        "9:30 10 s",
    ] {
        let error = time(text);
        assert!(
            matches!(error, E::NotUnderstood { .. } | E::WrongUnit { .. }),
            "{text}: {error:?}"
        );
    }
    assert!(matches!(time("5 kg"), E::WrongUnit { .. }));
    assert!(matches!(time("9:30 min"), E::WrongUnit { .. }));
    assert!(matches!(time("205C"), E::WrongUnit { .. }));
    assert!(matches!(time("5."), E::NothingBehindMark { .. }));
    assert!(matches!(time("."), E::NothingBehindMark { .. }));
    assert!(matches!(time("*2 s"), E::FactorWithUnit { .. }));
    assert!(matches!(time("2*9:30"), E::FactorWithUnit { .. }));
    assert!(matches!(time("/0"), E::DivisionByZero));
    assert!(matches!(time(&"9".repeat(400)), E::TooLarge { .. }));
    assert!(matches!(
        parse_time("+5", None),
        Err(E::NoCurrentValue { .. })
    ));
    assert!(matches!(
        parse_rise("9 °C", None, C),
        Err(E::WrongUnit { .. })
    ));
    assert!(matches!(
        parse_temp("9:30", None, C),
        Err(E::NotANumber { .. })
    ));
    assert!(matches!(
        parse_number("5 m", None, ""),
        Err(E::WrongUnit { .. })
    ));
}

#[test]
fn a_long_wrong_text_is_shortened_in_the_message() {
    let message = parse_time(&"x".repeat(10_000), 0.0)
        .unwrap_err()
        .to_string();
    assert!(message.chars().count() < 200, "{message}");
}

fn units() -> impl Strategy<Value = TempUnit> {
    prop_oneof![Just(C), Just(F)]
}

// Round trips through the shown text (N1): at 0.1 °C and 1 s the document's number comes back identical.
proptest! {
    #[test]
    fn exact_texts_give_back_the_identical_number_at_the_document_grid(
        tenths in 0_u32..=36_000, cents in 0_u32..=32_000, unit in units()
    ) {
        let (time_s, temp_c) = (f64::from(tenths) / 10.0, f64::from(cents) / 100.0);
        prop_assert_eq!(parse_time(&format_time_exact(time_s), None), Ok(time_s));
        let text = format_temp_exact(temp_c, unit);
        prop_assert!(!text.contains('°'), "a grid value needs no other unit: {}", text);
        prop_assert_eq!(parse_temp(&text, None, unit), Ok(temp_c));
    }

    #[test]
    fn exact_texts_give_back_any_number(
        time_s in -3_600.0..7_200.0_f64, temp_c in -40.0..400.0_f64, rise in -2.0..2.0_f64, unit in units()
    ) {
        prop_assert_eq!(parse_time(&format_time_exact(time_s), None), Ok(time_s));
        prop_assert_eq!(parse_temp(&format_temp_exact(temp_c, unit), None, unit), Ok(temp_c));
        prop_assert_eq!(parse_rise(&format_rise_exact(rise, unit), None, unit), Ok(rise));
        prop_assert_eq!(parse_number(&format_number_exact(rise), None, ""), Ok(rise));
    }

    #[test]
    fn typed_rates_come_back_as_typed(tenths in -1_200_i32..1_200, unit in units()) {
        let typed = format!("{}", f64::from(tenths) / 10.0);
        let rise = parse_rise(&typed, None, unit).unwrap();
        prop_assert_eq!(format_rise_exact(rise, unit).replace('−', "-"), typed);
    }

    #[test]
    fn shown_texts_come_back_within_their_rounding(
        whole_s in 0_u32..=7_200, temp_c in 0.0..320.0_f64, unit in units()
    ) {
        let time_s = f64::from(whole_s);
        prop_assert_eq!(parse_time(&format_time(time_s), None), Ok(time_s));
        let again_c = parse_temp(&format_temp(temp_c, unit), None, unit).unwrap();
        prop_assert!((again_c - temp_c).abs() <= 0.05 + 1e-9);
    }

    #[test]
    fn any_text_gives_a_finite_value_or_a_reason(text in "[-0-9.,:+*/=sminCFh°% −]{0,16}", unit in units()) {
        let results = [
            parse_time(&text, 5.0),
            parse_temp(&text, 5.0, unit),
            parse_rise(&text, 5.0, unit),
            parse_percent(&text, 5.0),
        ];
        for result in results {
            match result {
                Ok(value) => prop_assert!(value.is_finite()),
                Err(error) => prop_assert!(!error.to_string().is_empty()),
            }
        }
    }
}
