//! A carry-over in figures, the old plan beside the new one: phases and drop as drawn, effort and losses as forecast.

use super::{CarryOver, Picture};
use crate::{
    outlook::Foreseen,
    plan::Plan,
    units::{
        TempUnit, format_number, format_temp, format_temp_shift_with_unit, format_time,
        format_time_shift, percent_from_share,
    },
};
use chaffinch_curve::{Phase, Reach};

/// What stands where there is no value.
const NONE: &str = "–";

/// One figure before, after, and the change from one to the other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BeforeAfter {
    /// What it is.
    pub name: &'static str,
    /// Unit of all three; empty for times.
    pub unit: &'static str,
    /// Unit of the change as it is spoken, where it differs: points.
    pub change_unit: &'static str,
    /// Before, after, change.
    pub numbers: [String; 3],
    /// The same as shares of the whole roast, in %; for phases.
    pub shares: Option<[String; 3]>,
}

impl BeforeAfter {
    /// All of it as one sentence for screen readers.
    pub fn spoken(&self) -> String {
        let [before, after, change] = &self.numbers;
        let unit = |unit: &str| {
            if unit.is_empty() {
                String::new()
            } else {
                format!(" {unit}")
            }
        };
        let (own, changed) = (unit(self.unit), unit(self.change_unit));
        let mut text = format!("{}: {before}{own} before, {after}{own} after", self.name);
        if change != NONE {
            text = format!("{text}, change {change}{changed}");
        }
        if let Some([before, after, _]) = &self.shares {
            text = format!("{text}; {before} % and {after} % of the roast");
        }
        text
    }
}

impl CarryOver {
    /// Phases and drop as drawn. `from` is the plan that was carried over.
    pub fn drawn_figures(&self, from: &Plan, unit: TempUnit) -> Vec<BeforeAfter> {
        let [old, new] = [&self.before, &self.after].map(|picture| &picture.derived.phases);
        let phase = |name, old: &Reach<Phase>, new: &Reach<Phase>| {
            let length = |phase: &Reach<Phase>| phase.reached().map(|phase| phase.duration_s);
            let share = |phase: &Reach<Phase>| phase.reached()?.share.reached().copied();
            BeforeAfter {
                shares: Some(percents([share(old), share(new)])),
                ..times(name, [length(old), length(new)])
            }
        };
        let total = |phases: &chaffinch_curve::Phases| phases.total_s.reached().copied();
        vec![
            phase("Drying", &old.drying, &new.drying),
            phase("Browning", &old.browning, &new.browning),
            phase("Development", &old.development, &new.development),
            times("Whole roast", [total(old), total(new)]),
            drop_temp([from, &self.plan].map(|plan| plan.finish().temp_c), unit),
        ]
    }

    /// Effort and losses as forecast; dashes where nothing can be foreseen. `from` is the plan that was carried over.
    pub fn forecast_figures(&self, from: &Plan) -> Vec<BeforeAfter> {
        let found = [&self.before, &self.after].map(|picture: &Picture| picture.outlook.foreseen());
        let of = |value: fn(&Foreseen) -> f64| found.map(|found| found.map(value));
        let [old, new] = found;
        let air = [
            old.map(|found| least_air_percent(from, found)),
            new.map(|found| least_air_percent(&self.plan, found)),
        ];
        vec![
            share(
                "Heater, most",
                of(|found| found.figures.greatest_effort.value),
            ),
            share("Heater, underway", found.map(|found| found.map(underway))),
            times("At its limit", of(|found| found.figures.limited_s as f64)),
            percent("Air, least", air),
            numbers(
                ("Lift, least", "×"),
                of(|found| found.figures.least_lift.value),
                2,
            ),
            numbers(("Energy", "kWh"), of(|found| found.figures.heater_kwh), 3),
            share("Weight loss", of(|found| found.figures.weight_loss)),
        ]
    }
}

fn drop_temp([before_c, after_c]: [f64; 2], unit: TempUnit) -> BeforeAfter {
    let symbol = unit.symbol();
    let change = format_temp_shift_with_unit(after_c - before_c, unit);
    BeforeAfter {
        name: "Drop",
        unit: symbol,
        change_unit: symbol,
        numbers: [
            format_temp(before_c, unit),
            format_temp(after_c, unit),
            change.trim_end_matches(symbol).trim_end().to_owned(),
        ],
        shares: None,
    }
}

/// Greatest heater effort once the probe has met the curve, 0 to 1: a cold charge takes all that there is, whatever the curve.
fn underway(found: &Foreseen) -> f64 {
    let efforts = found.trace.effort.iter().skip(found.judged_from_s);
    efforts.copied().fold(0.0, f64::max)
}

/// Least fan setting until the drop, in %.
fn least_air_percent(plan: &Plan, found: &Foreseen) -> f64 {
    let percents = (0..found.trace.len()).map(|second| plan.airflow.percent(second as f64));
    percents.fold(f64::INFINITY, f64::min)
}

fn times(name: &'static str, values_s: [Option<f64>; 2]) -> BeforeAfter {
    BeforeAfter {
        name,
        unit: "",
        change_unit: "",
        numbers: texts(values_s, format_time, format_time_shift),
        shares: None,
    }
}

/// A share from 0 to 1, shown in %.
fn share(name: &'static str, shares: [Option<f64>; 2]) -> BeforeAfter {
    BeforeAfter {
        name,
        unit: "%",
        change_unit: "points",
        numbers: percents(shares),
        shares: None,
    }
}

fn percent(name: &'static str, percents: [Option<f64>; 2]) -> BeforeAfter {
    BeforeAfter {
        change_unit: "points",
        ..numbers((name, "%"), percents, 1)
    }
}

fn numbers(
    (name, unit): (&'static str, &'static str),
    values: [Option<f64>; 2],
    decimals: usize,
) -> BeforeAfter {
    let plain = |value| format_number(value, decimals);
    BeforeAfter {
        name,
        unit,
        change_unit: unit,
        numbers: texts(values, plain, |change| signed(change, decimals)),
        shares: None,
    }
}

fn percents(shares: [Option<f64>; 2]) -> [String; 3] {
    let percents = shares.map(|share| share.map(percent_from_share));
    texts(
        percents,
        |percent| format_number(percent, 1),
        |change| signed(change, 1),
    )
}

/// Before, after and change, with dashes where a value is missing.
fn texts(
    [before, after]: [Option<f64>; 2],
    words: impl Fn(f64) -> String,
    change_words: impl Fn(f64) -> String,
) -> [String; 3] {
    let text = |value: Option<f64>| value.map_or_else(|| NONE.to_owned(), &words);
    let change = before.zip(after).map(|(before, after)| after - before);
    [
        text(before),
        text(after),
        change.map_or_else(|| NONE.to_owned(), change_words),
    ]
}

/// With a plus above zero; what is shown as zero has no sign.
fn signed(value: f64, decimals: usize) -> String {
    let text = format_number(value, decimals);
    if 0.0 < value && text != format_number(0.0, decimals) {
        format!("+{text}")
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn change_is_after_less_before_with_its_sign() {
        let time = times("Drying", [Some(200.0), Some(191.0)]);
        assert_eq!(time.numbers, ["3:20", "3:11", "−0:09"], "shorter");
        let effort = share("Heater, most", [Some(0.8), Some(0.913)]);
        assert_eq!(effort.numbers, ["80.0", "91.3", "+11.3"], "points");
        assert_eq!(
            effort.spoken(),
            "Heater, most: 80.0 % before, 91.3 % after, change +11.3 points",
            "one sentence"
        );
        let same = numbers(("Energy", "kWh"), [Some(0.1), Some(0.1)], 3);
        assert_eq!(same.numbers[2], "0.000", "no sign");
    }

    #[test]
    fn what_is_missing_is_a_dash_and_has_no_change() {
        let gone = share("Weight loss", [Some(0.14), None]);
        assert_eq!(gone.numbers, ["14.0", "–", "–"], "after is missing");
        assert!(!gone.spoken().contains("change"), "{}", gone.spoken());
    }

    #[test]
    fn a_difference_of_temperatures_has_no_32() {
        let drop = drop_temp([210.0, 215.0], TempUnit::Fahrenheit);
        // 210 × 9/5 + 32, 215 × 9/5 + 32, 5 × 9/5
        assert_eq!(drop.numbers, ["410", "419", "+9"], "in °F");
    }
}
