//! A target's value as it is typed, shown and slid, in the unit of the window.

use chaffinch_craft::{
    entry,
    shape::{TargetName, TargetUnit},
    units::{self, Celsius, CelsiusDifference, TempUnit, round_to_billionth},
};
use std::ops::RangeInclusive;

/// °C/min in a °C/s.
const PER_MIN: f64 = 60.0;
/// How far a slider reaches to each side of where the curve stands: times in s, temperatures in °C, shares in %, rises in °C/min.
const SLIDE_TIME_S: f64 = 120.0;
const SLIDE_TEMP_C: f64 = 15.0;
const SLIDE_PERCENT: f64 = 10.0;
const SLIDE_RISE: f64 = 10.0;

/// The symbol behind the field.
pub(super) fn symbol(name: TargetName, unit: TempUnit) -> &'static str {
    match name.facts().unit {
        TargetUnit::Temperature | TargetUnit::TemperatureDifference => unit.symbol(),
        TargetUnit::Time | TargetUnit::Nothing => "",
        TargetUnit::Percent => "%",
        TargetUnit::Rise => unit.rise_symbol(),
    }
}

/// A value in the field.
pub(super) fn in_field(name: TargetName, value: f64, unit: TempUnit) -> String {
    match name.facts().unit {
        TargetUnit::Temperature => units::format_temp_field(value, unit),
        TargetUnit::TemperatureDifference => {
            units::format_number_exact(round_to_billionth(CelsiusDifference(value).shown(unit)))
        }
        TargetUnit::Time => units::format_time_field(value),
        TargetUnit::Percent | TargetUnit::Nothing => units::format_number(value, 1),
        TargetUnit::Rise => units::format_rise_field(value / PER_MIN, unit),
    }
}

/// A value out of the field; changes such as +5 count from `now`.
pub(super) fn read(
    name: TargetName,
    typed: &str,
    now: f64,
    unit: TempUnit,
) -> Result<f64, entry::EntryError> {
    match name.facts().unit {
        TargetUnit::Temperature => entry::parse_temp(typed, now, unit),
        TargetUnit::TemperatureDifference => entry::parse_temp_shift(typed, unit),
        TargetUnit::Time => entry::parse_time(typed, now),
        TargetUnit::Percent | TargetUnit::Nothing => entry::parse_percent(typed, now),
        TargetUnit::Rise => entry::parse_rise(typed, now / PER_MIN, unit)
            .map(|rise_c_per_s| round_to_billionth(rise_c_per_s * PER_MIN)),
    }
}

/// What a slider spans about where the curve stands, inside what the target takes, widened so that `value` is in it.
pub(super) fn slide(name: TargetName, standing: f64, value: f64) -> RangeInclusive<f64> {
    let facts = name.facts();
    let to_sides = match facts.unit {
        TargetUnit::Time => SLIDE_TIME_S,
        TargetUnit::Temperature => SLIDE_TEMP_C,
        TargetUnit::TemperatureDifference => return facts.least..=SLIDE_TEMP_C.max(value),
        TargetUnit::Percent if name == TargetName::Airflow => return facts.least..=facts.most,
        TargetUnit::Percent | TargetUnit::Nothing => SLIDE_PERCENT,
        TargetUnit::Rise => SLIDE_RISE,
    };
    let least = (standing - to_sides).max(facts.least).min(value);
    let most = (standing + to_sides).min(facts.most).max(value);
    least..=most
}

/// A wish that starts at `standing`, rounded to what is shown and inside what the target takes.
pub(super) fn rounded(name: TargetName, standing: f64, unit: TempUnit) -> f64 {
    let facts = name.facts();
    let shown = match facts.unit {
        TargetUnit::Temperature => {
            Celsius::from_shown(Celsius(standing).shown(unit).round(), unit).0
        }
        TargetUnit::Time => standing.round(),
        _ => (standing * 10.0).round() / 10.0,
    };
    round_to_billionth(shown.clamp(facts.least, facts.most))
}

/// Step of a slider: what is shown.
pub(super) fn step(name: TargetName) -> f64 {
    match name.facts().unit {
        TargetUnit::Time => 1.0,
        TargetUnit::Temperature | TargetUnit::TemperatureDifference => 0.5,
        _ => 0.1,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_field_shows_is_read_back() {
        for name in TargetName::ALL {
            let facts = name.facts();
            for value in [facts.least, facts.most] {
                for unit in [TempUnit::Celsius, TempUnit::Fahrenheit] {
                    let shown = in_field(name, value, unit);
                    let read = read(name, &shown, 0.0, unit);
                    let off = read.map(|read| (read - value).abs());
                    assert!(
                        off.as_ref().is_ok_and(|off| *off < 0.06),
                        "{}: {shown} {off:?}",
                        facts.label
                    );
                }
            }
        }
    }

    #[test]
    fn a_slider_spans_where_the_curve_stands_and_what_is_wished() {
        for name in TargetName::ALL {
            let facts = name.facts();
            for value in [facts.least, facts.most] {
                let span = slide(name, f64::midpoint(facts.least, facts.most), value);
                assert!(span.contains(&value), "{}: {span:?}", facts.label);
            }
        }
    }
}
