//! Units at the edge: documents hold seconds and degrees Celsius, people read and type other units.
//!
//! This is the only place that converts and the only place that turns a quantity into text.
//! A temperature, a difference and a rate are different types, because only a temperature carries the 32 of °F.
//! Factors: 1 °F difference = 5/9 °C, 0 °C = 32 °F (ISO 80000-5 and the NIST Guide SP 811, from memory).
//!
//! "Exact" texts, read by [`crate::entry`], give back the identical number. "Field" texts are what a person reads in a
//! field: exact where that is short, else rounded; a field changes its value only when its text was changed.

/// The unit in which temperatures are shown and typed; it never alters a document.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum TempUnit {
    /// Degrees Celsius, the unit of documents.
    #[default]
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
}

impl TempUnit {
    /// Symbol of a temperature or a difference: "°C" or "°F".
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Celsius => "°C",
            Self::Fahrenheit => "°F",
        }
    }

    /// Symbol of a rate of rise as it is shown: "°C/min" or "°F/min".
    pub fn rise_symbol(self) -> &'static str {
        match self {
            Self::Celsius => "°C/min",
            Self::Fahrenheit => "°F/min",
        }
    }
}

/// A temperature in °C.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Celsius(pub f64);

/// A difference of two temperatures in °C.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct CelsiusDifference(pub f64);

/// A rate of rise in °C/s.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct CelsiusPerSecond(pub f64);

const SECONDS_PER_MINUTE: f64 = 60.0;
const SECONDS_PER_HOUR: f64 = 3600.0;
const FAHRENHEIT_AT_0_C: f64 = 32.0;
const FAHRENHEIT_PER_9TH: f64 = 9.0;
const CELSIUS_PER_9TH: f64 = 5.0;

/// What is written for a number that is not finite: an en dash.
const NO_NUMBER: &str = "–";

/// Decimals tried for an exact text before it falls back to the stored unit.
const MOST_DECIMALS: usize = 9;

impl Celsius {
    /// The temperature as a number in `unit` (°F: x 9/5 + 32).
    pub fn shown(self, unit: TempUnit) -> f64 {
        match unit {
            TempUnit::Celsius => self.0,
            TempUnit::Fahrenheit => {
                self.0 * FAHRENHEIT_PER_9TH / CELSIUS_PER_9TH + FAHRENHEIT_AT_0_C
            }
        }
    }

    /// The temperature that reads `number` in `unit`.
    ///
    /// From °F the result is rounded to 1e-9 °C, so that 361.886 °F is 183.27 °C and not its neighbour in binary.
    pub fn from_shown(number: f64, unit: TempUnit) -> Self {
        Self(match unit {
            TempUnit::Celsius => number,
            TempUnit::Fahrenheit => round_to_billionth(
                (number - FAHRENHEIT_AT_0_C) * CELSIUS_PER_9TH / FAHRENHEIT_PER_9TH,
            ),
        })
    }
}

impl CelsiusDifference {
    /// The difference as a number in `unit` (°F: x 9/5, without 32).
    pub fn shown(self, unit: TempUnit) -> f64 {
        match unit {
            TempUnit::Celsius => self.0,
            TempUnit::Fahrenheit => self.0 * FAHRENHEIT_PER_9TH / CELSIUS_PER_9TH,
        }
    }

    /// The difference that reads `number` in `unit`.
    pub fn from_shown(number: f64, unit: TempUnit) -> Self {
        Self(match unit {
            TempUnit::Celsius => number,
            TempUnit::Fahrenheit => number * CELSIUS_PER_9TH / FAHRENHEIT_PER_9TH,
        })
    }
}

impl CelsiusPerSecond {
    /// The rate as a number in `unit` per minute.
    pub fn shown_per_min(self, unit: TempUnit) -> f64 {
        CelsiusDifference(self.0 * SECONDS_PER_MINUTE).shown(unit)
    }

    /// The rate that reads `number` in `unit` per minute.
    pub fn from_shown_per_min(number: f64, unit: TempUnit) -> Self {
        Self(CelsiusDifference::from_shown(number, unit).0 / SECONDS_PER_MINUTE)
    }
}

/// Seconds of a clock reading: hours, minutes and seconds, each finite and not negative.
///
/// Rounded to 1e-9 s, so that 9:30.1 is 570.1 s and not its neighbour in binary.
pub fn seconds_from_clock(hours: f64, minutes: f64, seconds: f64) -> f64 {
    round_to_billionth(hours * SECONDS_PER_HOUR + minutes * SECONDS_PER_MINUTE + seconds)
}

/// The decimal number with nine decimals that lies nearest to `value`.
///
/// Takes the binary noise out of sums of typed numbers; numbers above 4e6, where 1e-9 is finer than binary, stay as they are.
pub fn round_to_billionth(value: f64) -> f64 {
    const PER_UNIT: f64 = 1e9;
    const COARSEST: f64 = 4e6;
    if value.abs() < COARSEST {
        (value * PER_UNIT).round() / PER_UNIT
    } else {
        value
    }
}

/// A temperature in °C as a number in `unit`, to 0.1 and without a needless ".0": "214", "183.3".
pub fn format_temp(temp_c: f64, unit: TempUnit) -> String {
    trimmed(Celsius(temp_c).shown(unit), 1)
}

/// As [`format_temp`], with its unit: "214 °C".
pub fn format_temp_with_unit(temp_c: f64, unit: TempUnit) -> String {
    format!("{} {}", format_temp(temp_c, unit), unit.symbol())
}

/// The size of a difference in °C, in `unit`, to 0.1, with its unit: "9 °F"; a fall carries its minus sign.
pub fn format_temp_difference_with_unit(difference_c: f64, unit: TempUnit) -> String {
    let number = trimmed(CelsiusDifference(difference_c).shown(unit), 1);
    format!("{number} {}", unit.symbol())
}

/// As [`format_temp_difference_with_unit`], for something that is moved: "+9 °F", "−2.5 °C"; zero has no sign.
pub fn format_temp_shift_with_unit(shift_c: f64, unit: TempUnit) -> String {
    let number = with_plus(trimmed(CelsiusDifference(shift_c).shown(unit), 1));
    format!("{number} {}", unit.symbol())
}

/// A rate in °C/s as a number in `unit` per minute, always with one decimal, so that columns line up: "9.0".
pub fn format_rise(rise_c_per_s: f64, unit: TempUnit) -> String {
    format_number(CelsiusPerSecond(rise_c_per_s).shown_per_min(unit), 1)
}

/// As [`format_rise`], with its unit: "9.0 °C/min".
pub fn format_rise_with_unit(rise_c_per_s: f64, unit: TempUnit) -> String {
    format!("{} {}", format_rise(rise_c_per_s, unit), unit.rise_symbol())
}

/// A rate in °C/s as it is spoken: "rising 9.0 °C/min", "falling 1.5 °C/min".
pub fn describe_rise(rise_c_per_s: f64, unit: TempUnit) -> String {
    let size = format_rise_with_unit(rise_c_per_s.abs(), unit);
    // What is shown as zero doesn't fall.
    let is_falling = format_rise(rise_c_per_s, unit).starts_with('−');
    format!("{} {size}", if is_falling { "falling" } else { "rising" })
}

/// A share from 0 to 1 in per cent, always with one decimal: "21.5 %".
pub fn format_share(share: f64) -> String {
    format!("{} %", format_number(percent_from_share(share), 1))
}

/// A share from 0 to 1 in per cent.
pub fn percent_from_share(share: f64) -> f64 {
    const PER_CENT: f64 = 100.0;
    share * PER_CENT
}

/// A share from 0 to 1 in whole per cent: "47 %".
pub fn format_share_whole(share: f64) -> String {
    format!("{} %", format_number(percent_from_share(share), 0))
}

/// A mass in kg in g; exact.
pub fn grams_from_kg(mass_kg: f64) -> f64 {
    const G_PER_KG: f64 = 1e3;
    mass_kg * G_PER_KG
}

/// Elapsed time, rounded to a whole second: "9:30", "1:02:03" from 60 min, "−0:30" before the start.
pub fn format_time(time_s: f64) -> String {
    if !time_s.is_finite() {
        return NO_NUMBER.to_owned();
    }
    let whole_s = time_s.abs().round();
    let sign = if time_s < 0.0 && whole_s > 0.0 {
        "−"
    } else {
        ""
    };
    let seconds = whole_s % SECONDS_PER_MINUTE;
    format!("{sign}{}{seconds:02.0}", clock_before_seconds(whole_s))
}

/// How far something is moved in time, in s, rounded to a whole second: "+0:10", "−1:05"; zero has no sign.
pub fn format_time_shift(shift_s: f64) -> String {
    let text = format_time(shift_s);
    if shift_s.abs() < 0.5 {
        text
    } else {
        with_plus(text)
    }
}

/// A time in s for a field: "9:30", "9:30.5"; what a clock can't hold exactly is written in seconds, "570.1234567891 s".
///
/// Read by [`crate::entry::parse_time`] it gives the identical number; for this a negative one carries a leading "=".
pub fn format_time_exact(time_s: f64) -> String {
    let (sign, size_s) = sign_for_field(time_s);
    let minutes = (size_s / SECONDS_PER_MINUTE).floor();
    let rest_s = size_s - minutes * SECONDS_PER_MINUTE;
    let seconds = exact_decimals(rest_s, |seconds| {
        seconds_from_clock(0.0, minutes, seconds) == size_s
    });
    match seconds {
        Some(seconds) => {
            let leading_zero = if seconds.find('.').unwrap_or(seconds.len()) < 2 {
                "0"
            } else {
                ""
            };
            format!(
                "{sign}{}{leading_zero}{seconds}",
                clock_before_seconds(size_s)
            )
        }
        None => format!("{sign}{size_s} s"),
    }
}

/// A temperature in °C for a field in `unit`: "183.27"; what °F can't hold exactly is written "183.2711111111 °C".
///
/// Read by [`crate::entry::parse_temp`] with the same unit it gives the identical number; for this a negative one carries a leading "=".
pub fn format_temp_exact(temp_c: f64, unit: TempUnit) -> String {
    let shown = Celsius(temp_c).shown(unit);
    let (sign, size) = sign_for_field(shown);
    let signed = |size: f64| if shown < 0.0 { -size } else { size };
    let fits = |size| Celsius::from_shown(signed(size), unit).0 == temp_c;
    exact_in(unit, size, fits).map_or_else(
        || {
            let (sign, size_c) = sign_for_field(temp_c);
            format!("{sign}{size_c} °C")
        },
        |number| format!("{sign}{number}"),
    )
}

/// A rate in °C/s for a field in `unit` per minute: "9", "−3.5"; what doesn't fit exactly is written in "°C/s".
///
/// Read by [`crate::entry::parse_rise`] with the same unit it gives the identical number.
pub fn format_rise_exact(rise_c_per_s: f64, unit: TempUnit) -> String {
    let size_c_per_s = rise_c_per_s.abs();
    let sign = if rise_c_per_s < 0.0 { "−" } else { "" };
    let size = CelsiusPerSecond(size_c_per_s).shown_per_min(unit);
    let fits = |size| CelsiusPerSecond::from_shown_per_min(size, unit).0 == size_c_per_s;
    exact_decimals(size, fits).map_or_else(
        || format!("{sign}{size_c_per_s} °C/s"),
        |number| format!("{sign}{number}"),
    )
}

/// A plain number for a field; read by [`crate::entry::parse_number`] it gives the identical number, with a leading "=" if negative.
pub fn format_number_exact(number: f64) -> String {
    let (sign, size) = sign_for_field(number);
    format!("{sign}{size}")
}

/// A time in s for a field, to 0.1 s: "9:30", "9:30.5"; form and sign as [`format_time_exact`].
pub fn format_time_field(time_s: f64) -> String {
    format_time_exact(rounded(time_s, 1))
}

/// A temperature in °C for a field in `unit`, to 0.01 of it: "183.27", "361.89"; sign as [`format_temp_exact`].
pub fn format_temp_field(temp_c: f64, unit: TempUnit) -> String {
    format_number_exact(rounded(Celsius(temp_c).shown(unit), 2))
}

/// A rate in °C/s for a field in `unit` per minute, to 0.1: "9.0"; to 0.01 where that is exact: "9.25".
pub fn format_rise_field(rise_c_per_s: f64, unit: TempUnit) -> String {
    const MOST: usize = 2;
    let exact = format_rise_exact(rise_c_per_s, unit);
    match exact.split_once('.') {
        Some((_, decimals)) if decimals.len() == MOST => exact,
        _ => format_rise(rise_c_per_s, unit),
    }
}

/// `value` to so many decimals; never a negative zero.
fn rounded(value: f64, decimals: i32) -> f64 {
    let per_unit = 10_f64.powi(decimals);
    (value * per_unit).round() / per_unit + 0.0
}

/// The document's own unit needs no search: Rust writes the shortest text that reads back to the same number.
fn exact_in(unit: TempUnit, size: f64, fits: impl Fn(f64) -> bool) -> Option<String> {
    match unit {
        TempUnit::Celsius => Some(size.to_string()),
        TempUnit::Fahrenheit => exact_decimals(size, fits),
    }
}

/// The shortest decimal text near `size` that `fits` when read again.
fn exact_decimals(size: f64, fits: impl Fn(f64) -> bool) -> Option<String> {
    (0..=MOST_DECIMALS)
        .map(|decimals| format!("{size:.decimals$}"))
        .find(|text| text.parse().is_ok_and(&fits))
}

/// In a field a leading sign means "relative", so a negative value is marked as absolute.
fn sign_for_field(value: f64) -> (&'static str, f64) {
    (if value < 0.0 { "=−" } else { "" }, value.abs())
}

/// "9:" or "1:02:", the part of a clock before its seconds; `size_s` is not negative.
fn clock_before_seconds(size_s: f64) -> String {
    let hours = (size_s / SECONDS_PER_HOUR).floor();
    let minutes = ((size_s - hours * SECONDS_PER_HOUR) / SECONDS_PER_MINUTE).floor();
    if hours > 0.0 {
        format!("{hours:.0}:{minutes:02.0}:")
    } else {
        format!("{minutes:.0}:")
    }
}

fn with_plus(text: String) -> String {
    if text == "0" || text == NO_NUMBER || text.starts_with('−') {
        text
    } else {
        format!("+{text}")
    }
}

/// As [`format_number`], without zeros at the end of the decimals.
fn trimmed(number: f64, decimals: usize) -> String {
    let text = format_number(number, decimals);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// `number` with a fixed count of decimals and a true minus sign; what rounds to zero has no sign.
pub fn format_number(number: f64, decimals: usize) -> String {
    if !number.is_finite() {
        return NO_NUMBER.to_owned();
    }
    let size = format!("{:.decimals$}", number.abs());
    let is_zero = size.chars().all(|digit| matches!(digit, '0' | '.'));
    if number < 0.0 && !is_zero {
        format!("−{size}")
    } else {
        size
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        missing_docs,
        clippy::missing_assert_message,
        reason = "tests"
    )]
    use super::*;
    use TempUnit::{Celsius as C, Fahrenheit as F};

    #[test]
    fn fixed_points_of_the_scales_convert_exactly() {
        // Source: definition of the Fahrenheit scale; -40 is the crossing, 212 the boiling point (from memory).
        for (temp_c, temp_f) in [(0.0, 32.0), (100.0, 212.0), (-40.0, -40.0), (205.0, 401.0)] {
            assert_eq!(Celsius(temp_c).shown(F), temp_f);
            assert_eq!(Celsius::from_shown(temp_f, F).0, temp_c);
        }
    }

    #[test]
    fn differences_and_rates_carry_no_32() {
        assert_eq!(CelsiusDifference(5.0).shown(F), 9.0);
        assert_eq!(CelsiusDifference::from_shown(9.0, F).0, 5.0);
        assert_eq!(CelsiusPerSecond(0.25).shown_per_min(C), 15.0);
        assert_eq!(CelsiusPerSecond(0.25).shown_per_min(F), 27.0);
        assert_eq!(CelsiusPerSecond::from_shown_per_min(27.0, F).0, 0.25);
    }

    #[test]
    fn temperatures_are_shown_to_a_tenth_without_needless_zero() {
        assert_eq!(format_temp(214.0, C), "214");
        assert_eq!(format_temp(214.5, C), "214.5");
        assert_eq!(format_temp(183.27, C), "183.3");
        assert_eq!(format_temp(205.0, F), "401");
        assert_eq!(format_temp(-0.04, C), "0");
        assert_eq!(format_temp(-3.0, C), "−3");
        assert_eq!(format_temp(f64::NAN, C), "–");
        assert_eq!(format_temp_with_unit(205.0, F), "401 °F");
        assert_eq!(format_temp_difference_with_unit(5.0, F), "9 °F");
        assert_eq!(format_temp_shift_with_unit(5.0, F), "+9 °F");
        assert_eq!(format_temp_shift_with_unit(-0.01, C), "0 °C");
    }

    #[test]
    fn rates_and_shares_keep_one_decimal() {
        assert_eq!(format_rise(0.15, C), "9.0");
        assert_eq!(format_rise(-0.05, C), "−3.0");
        assert_eq!(format_rise_with_unit(0.25, F), "27.0 °F/min");
        assert_eq!(format_share(0.2154), "21.5 %");
        assert_eq!(format_share_whole(0.2154), "22 %");
        assert_eq!(percent_from_share(0.25), 25.0);
        assert_eq!(grams_from_kg(0.125), 125.0);
    }

    #[test]
    fn times_read_as_a_clock() {
        for (time_s, text) in [
            (0.0, "0:00"),
            (9.0, "0:09"),
            (570.0, "9:30"),
            (599.6, "10:00"),
            (3599.4, "59:59"),
            (3599.6, "1:00:00"),
            (3723.0, "1:02:03"),
            (-30.0, "−0:30"),
            (-0.3, "0:00"),
            (f64::INFINITY, "–"),
        ] {
            assert_eq!(format_time(time_s), text, "{time_s} s");
        }
        assert_eq!(format_time_shift(10.0), "+0:10");
        assert_eq!(format_time_shift(-65.0), "−1:05");
        assert_eq!(format_time_shift(0.2), "0:00");
    }

    #[test]
    fn exact_times_show_a_fraction_only_when_there_is_one() {
        for (time_s, text) in [
            (570.0, "9:30"),
            (570.5, "9:30.5"),
            (545.25, "9:05.25"),
            (3723.1, "1:02:03.1"),
            (-30.0, "=−0:30"),
            (599.999_999_999_9, "599.9999999999 s"),
        ] {
            assert_eq!(format_time_exact(time_s), text);
        }
    }

    #[test]
    fn exact_temperatures_and_rates_are_the_shortest_that_fit() {
        assert_eq!(format_temp_exact(183.27, C), "183.27");
        assert_eq!(format_temp_exact(183.27, F), "361.886");
        assert_eq!(format_temp_exact(-5.0, C), "=−5");
        assert_eq!(format_temp_exact(-20.0, F), "=−4");
        assert_eq!(
            format_temp_exact(550.0 / 3.0, F),
            format!("{} °C", 550.0 / 3.0)
        );
        assert_eq!(format_rise_exact(10.0 / 60.0, C), "10");
        assert_eq!(format_rise_exact(-0.05, C), "−3");
    }
    #[test]
    fn fields_show_what_a_person_can_read() {
        for (time_s, text) in [
            (570.0, "9:30"),
            (59.989_142_236_699_24, "1:00"),
            (545.25, "9:05.3"),
            (-0.01, "0:00"),
            (-30.0, "=−0:30"),
        ] {
            assert_eq!(format_time_field(time_s), text);
        }
        for (temp_c, unit, text) in [
            (183.27, C, "183.27"),
            (183.273_4, C, "183.27"),
            (183.27, F, "361.89"),
            (550.0 / 3.0, F, "362"),
            (-20.0, F, "=−4"),
            (-0.001, C, "0"),
        ] {
            assert_eq!(format_temp_field(temp_c, unit), text);
        }
        for (rise_c_per_s, text) in [
            (0.15, "9.0"),
            (9.25 / 60.0, "9.25"),
            (0.159_406_933, "9.6"),
            (-0.05, "−3.0"),
        ] {
            assert_eq!(format_rise_field(rise_c_per_s, C), text);
        }
    }
}
