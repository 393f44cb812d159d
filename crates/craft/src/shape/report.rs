//! A shaped curve in plain words.

use super::{
    Conflict, Ground, Met, Shaped,
    judged::reach_excess_c_per_min,
    targets::{TargetName, TargetUnit, Wish},
};
use crate::{
    edit::Boundary,
    forecast_kind::no_forecast_text,
    units::{
        TempUnit, format_number, format_rise_with_unit, format_share,
        format_temp_difference_with_unit, format_temp_with_unit, format_time,
    },
};
use chaffinch_curve::Shape;

/// °C/min in a °C/s.
const PER_MIN: f64 = 60.0;

impl TargetName {
    /// `value`, kept in the target's unit, as text with its unit.
    pub fn shown(self, value: f64, unit: TempUnit) -> String {
        match self.facts().unit {
            TargetUnit::Temperature => format_temp_with_unit(value, unit),
            TargetUnit::TemperatureDifference => format_temp_difference_with_unit(value, unit),
            TargetUnit::Time => format_time(value),
            TargetUnit::Percent => format_share(value / 100.0),
            TargetUnit::Rise | TargetUnit::Nothing => format_rise_with_unit(value / PER_MIN, unit),
        }
    }

    /// The size of a miss: as [`Self::shown`], but a temperature missed is a difference.
    fn shown_miss(self, value: f64, unit: TempUnit) -> String {
        match self.facts().unit {
            TargetUnit::Temperature => format_temp_difference_with_unit(value, unit),
            _ => self.shown(value, unit),
        }
    }
}

impl Wish {
    /// The wish of `name` as text: “9:30”, “at least 9:00”, “9:00 to 9:30”; empty for a target without a value.
    pub fn text(self, name: TargetName, unit: TempUnit) -> String {
        let shown = |value| name.shown(value, unit);
        match (self.least, self.most) {
            (Some(least), Some(most)) if least == most => shown(least),
            (Some(least), Some(most)) => format!("{} to {}", shown(least), shown(most)),
            (Some(least), None) => format!("at least {}", shown(least)),
            (None, Some(most)) => format!("at most {}", shown(most)),
            (None, None) => String::new(),
        }
    }
}

impl Shaped {
    /// What came of each wish, what contradicts what, and what else changed, a line each.
    pub fn lines(&self, unit: TempUnit) -> Vec<String> {
        let mut lines: Vec<String> = self
            .met
            .iter()
            .map(|met| self.met_line(met, unit))
            .collect();
        lines.extend(
            self.conflicts
                .iter()
                .map(|conflict| self.conflict_line(conflict, unit)),
        );
        lines.extend(self.other_lines(unit));
        lines
    }

    /// What else changed, a line each: times and temperatures that moved without a wish, points, smoothness, reach.
    pub fn other_lines(&self, unit: TempUnit) -> Vec<String> {
        let mut lines = self.moved_lines(unit);
        lines.push(self.points_line());
        let [before, after] = self.wobble_c_per_min2;
        let number = |wobble: f64| {
            // A difference of temperatures is what scales here.
            format_rise_with_unit(wobble / PER_MIN, unit)
        };
        lines.push(format!(
            "The fall of the rise changes by {} per minute in all, {} before: the less, the smoother.",
            number(after),
            number(before)
        ));
        lines.push(self.reach_line(unit));
        lines
    }

    fn met_line(&self, met: &Met, unit: TempUnit) -> String {
        let label = met.name.facts().label;
        let wish = met.wish.text(met.name, unit);
        match met.found {
            _ if met.name == TargetName::WithinReach => self.within_line(met, unit),
            _ if met.name == TargetName::FallingRise => {
                let climb = met.name.shown(met.miss, unit);
                if met.miss == 0.0 {
                    format!("{label}: as wished.")
                } else {
                    format!("{label}: no, behind its peak it climbs again by {climb}.")
                }
            }
            None => format!("{label}: the curve doesn't get there; wished {wish}."),
            Some(found) => {
                let found = met.name.shown(found, unit);
                if met.miss == 0.0 {
                    format!("{label}: {found}, as wished ({wish}).")
                } else {
                    let miss = met.name.shown_miss(met.miss, unit);
                    format!("{label}: {found}, {miss} off the wish ({wish}).")
                }
            }
        }
    }

    fn within_line(&self, met: &Met, unit: TempUnit) -> String {
        let label = met.name.facts().label;
        if met.miss == 0.0 {
            return format!("{label}: as wished.");
        }
        match self.after.outlook.limits().first() {
            Some(limit) => format!("{label}: can't be said. {}", no_forecast_text(limit, unit)),
            None => match met.found {
                Some(excess) => {
                    let excess = met.name.shown(excess, unit);
                    format!("{label}: no, by up to {excess}.")
                }
                None => format!("{label}: no, the probe doesn't get to the finish."),
            },
        }
    }

    /// What contradicts what, which of it gives way, and by how much.
    pub fn conflict_line(&self, conflict: &Conflict, unit: TempUnit) -> String {
        let name = conflict.gives_way;
        let words = |name: TargetName| {
            let wish = self
                .met
                .iter()
                .find(|met| met.name == name)
                .map(|met| met.wish);
            let text = wish.map(|wish| wish.text(name, unit)).unwrap_or_default();
            let label = name.facts().label;
            if text.is_empty() {
                format!("“{label}”")
            } else {
                format!("“{label}” {text}")
            }
        };
        let mut all = vec![words(name)];
        all.extend(conflict.against.iter().map(|ground| match ground {
            Ground::Wish(name) => words(*name),
            other => other.words(),
        }));
        let by = name.shown_miss(conflict.by, unit);
        let gives = format!("“{}” gives way by {by}", name.facts().label);
        match all.split_last() {
            Some((last, before)) if !before.is_empty() => {
                let which = if all.len() == 2 { "both" } else { "all" };
                format!(
                    "{} and {last} can't {which} be: {gives}.",
                    before.join(", ")
                )
            }
            _ => format!("{} can't be: {gives}.", words(name)),
        }
    }

    fn moved_lines(&self, unit: TempUnit) -> Vec<String> {
        let wished = |name: TargetName| self.met.iter().any(|met| met.name == name);
        let phases = (&self.before.derived.phases, &self.after.derived.phases);
        let times_s = |boundary: Boundary| {
            let of = |phases: &chaffinch_curve::Phases| {
                let passage = match boundary {
                    Boundary::Mark(crate::MarkName::ColourChange) => phases.colour_change,
                    Boundary::Mark(crate::MarkName::FirstCrack) => phases.first_crack,
                    Boundary::Drop => phases.drop,
                };
                passage.reached().map(|passage| format_time(passage.time_s))
            };
            of(phases.0).zip(of(phases.1))
        };
        let line = |boundary: Boundary| {
            let (before, after) = times_s(boundary)?;
            let is_told = wished(TargetName::Time(boundary)) || before == after;
            (!is_told)
                .then(|| format!("{} comes at {after} instead of {before}.", boundary.label()))
        };
        let mut lines: Vec<String> = Boundary::ALL.into_iter().filter_map(line).collect();
        let start = self
            .start_c
            .map(|temp_c| format_temp_with_unit(temp_c, unit));
        if start[0] != start[1] && !wished(TargetName::StartTemp) {
            lines.push(format!(
                "The curve starts at {} instead of {}.",
                start[1], start[0]
            ));
        }
        lines
    }

    fn points_line(&self) -> String {
        let points = self.plan.curve.points().len();
        let was = match self.shape_before {
            Shape::Smooth => "",
            Shape::Monotone => " Its shape is now smooth.",
        };
        format!(
            "The curve has {points} points, {} before.{was}",
            format_number(self.points_before as f64, 0)
        )
    }

    fn reach_line(&self, unit: TempUnit) -> String {
        let outlook = &self.after.outlook;
        if let Some(limit) = outlook.limits().first() {
            return format!(
                "Whether the machine can follow it can't be said. {}",
                no_forecast_text(limit, unit)
            );
        }
        match reach_excess_c_per_min(outlook) {
            Some(0.0) => "The machine can follow it, as the model foresees it.".to_owned(),
            Some(excess) => format!(
                "The machine can't follow it everywhere: it passes reach by up to {}.",
                format_rise_with_unit(excess / PER_MIN, unit)
            ),
            None => "The probe doesn't get to the finish, as the model foresees it.".to_owned(),
        }
    }
}
