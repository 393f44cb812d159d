//! What a finished plan gives for each wish, read from its figures and its forecast, not from the programme that drew it.

use super::{
    Met,
    targets::{TargetName, TargetUnit, Targets, Wish},
};
use crate::{
    carry::Picture,
    derived::Derived,
    edit::{
        Boundary::{self, Drop, Mark},
        MarkName::{ColourChange, FirstCrack},
    },
    findings::FindingKind,
    forecast_kind::ForecastKind,
    outlook::Outlook,
    plan::Plan,
    units::percent_from_share,
};
use chaffinch_curve::{Passage, PhaseName, Place, rise_turns};

/// °C/min in a °C/s.
const PER_MIN: f64 = 60.0;
/// A renewed climb of the rise by less than this is rounding, in °C/s.
const ROUNDING_C_PER_S: f64 = 1e-6;
/// A rise that climbs again by more than this, in °C/min, doesn't only fall. Ours: a twentieth of the last digit shown.
const LEAST_CLIMB_C_PER_MIN: f64 = 0.005;
/// Step in which two curves are compared, in s.
const STEP_S: f64 = 0.5;
/// What a target that holds or doesn't misses by where there is nothing to judge it by.
const UNKNOWN: f64 = 1.0;

/// A plan with its figures, beside the plan that it was drawn from.
pub(super) struct Judged<'a> {
    pub(super) from: &'a Plan,
    pub(super) plan: &'a Plan,
    pub(super) derived: &'a Derived,
    pub(super) outlook: &'a Outlook,
}

/// What `plan` gives for `name` as it is, in the target's unit, so that it can be shown before anything is wished; nothing where it
/// doesn't exist, or the target takes no value.
pub fn standing(
    name: TargetName,
    plan: &Plan,
    derived: &Derived,
    outlook: &Outlook,
) -> Option<f64> {
    let takes_value = name.facts().unit != TargetUnit::Nothing && name != TargetName::NearCurve;
    let judged = Judged {
        from: plan,
        plan,
        derived,
        outlook,
    };
    takes_value
        .then(|| judged.found(name, Wish::HOLDS))
        .flatten()
}

impl Judged<'_> {
    /// Every wish and what came of it.
    pub(super) fn all(&self, targets: &Targets) -> Vec<Met> {
        let all = TargetName::ALL.into_iter();
        let wished = all.filter_map(|name| Some((name, targets.wish(name)?)));
        wished.map(|(name, wish)| self.met(name, wish)).collect()
    }

    fn met(&self, name: TargetName, wish: Wish) -> Met {
        let found = self.found(name, wish);
        let miss = match (name, found) {
            (_, None) => UNKNOWN,
            (TargetName::FallingRise, Some(climb)) => over(climb, LEAST_CLIMB_C_PER_MIN),
            (TargetName::WithinReach, Some(excess)) => excess,
            (_, Some(found)) => over(wish.miss(found), name.shown_step() / 2.0),
        };
        Met {
            name,
            wish,
            found,
            miss,
        }
    }

    fn found(&self, name: TargetName, wish: Wish) -> Option<f64> {
        let plan = self.plan;
        match name {
            TargetName::StartTemp => Some(plan.curve.points()[0].temp_c),
            TargetName::Time(boundary) => Some(self.passage(boundary)?.time_s),
            TargetName::Temp(Mark(mark)) => Some(mark.temp_c(&plan.marks)),
            TargetName::Temp(Drop) => Some(plan.finish().temp_c),
            TargetName::Length(phase) => self.length_s(phase),
            TargetName::Share(phase) => Some(percent_from_share(
                self.length_s(phase)? / self.passage(Drop)?.time_s,
            )),
            TargetName::Rise(boundary) => Some(self.passage(boundary)?.rise_c_per_s * PER_MIN),
            TargetName::PeakRise => Some(self.peak().y * PER_MIN),
            TargetName::PeakTime => Some(self.peak().x),
            TargetName::FallingRise => Some(self.climb_c_per_min()),
            TargetName::Airflow => Some(self.air_percent(wish)),
            TargetName::WithinReach => {
                self.outlook.foreseen()?;
                reach_excess_c_per_min(self.outlook)
            }
            TargetName::NearCurve => Some(self.distance_c()),
        }
    }

    fn passage(&self, boundary: Boundary) -> Option<&Passage> {
        let phases = &self.derived.phases;
        match boundary {
            Mark(ColourChange) => phases.colour_change.reached(),
            Mark(FirstCrack) => phases.first_crack.reached(),
            Drop => phases.drop.reached(),
        }
    }

    fn length_s(&self, phase: PhaseName) -> Option<f64> {
        let time_s = |boundary| Some(self.passage(boundary)?.time_s);
        match phase {
            PhaseName::Drying => time_s(Mark(ColourChange)),
            PhaseName::Browning => Some(time_s(Mark(FirstCrack))? - time_s(Mark(ColourChange))?),
            PhaseName::Development => Some(time_s(Drop)? - time_s(Mark(FirstCrack))?),
        }
    }

    fn end_s(&self) -> f64 {
        self.derived.end_of_roast_s(self.plan)
    }

    fn peak(&self) -> Place {
        self.plan
            .curve
            .interpolant()
            .slope_extrema(0.0, self.end_s())
            .highest
    }

    /// Greatest climb of the rise behind its peak, in °C/min.
    fn climb_c_per_min(&self) -> f64 {
        let peak_s = self.peak().x;
        let turns = rise_turns(&self.plan.curve, self.end_s(), ROUNDING_C_PER_S);
        let behind = turns.iter().filter(|turn| peak_s <= turn.from_s);
        behind
            .map(|turn| turn.gain_c_per_s * PER_MIN)
            .fold(0.0, f64::max)
    }

    /// The setting that is farthest outside the wish, or the nearest to its end.
    fn air_percent(&self, wish: Wish) -> f64 {
        let (mut lowest, mut highest) = (f64::INFINITY, f64::NEG_INFINITY);
        for point in self.plan.airflow.points() {
            (lowest, highest) = (lowest.min(point.percent), highest.max(point.percent));
        }
        match wish.most {
            Some(_) if wish.miss(lowest) <= wish.miss(highest) => highest,
            _ => lowest,
        }
    }

    fn distance_c(&self) -> f64 {
        let steps = (self.end_s() / STEP_S).ceil() as usize;
        let off_c = (0..=steps).map(|step| {
            let time_s = (step as f64 * STEP_S).min(self.end_s());
            (self.plan.curve.temp_c(time_s) - self.from.curve.temp_c(time_s)).abs()
        });
        off_c.fold(0.0, f64::max)
    }
}

/// `miss`, or nothing if it isn't above `least`.
fn over(miss: f64, least: f64) -> f64 {
    if least < miss { miss } else { 0.0 }
}

/// By how much the curve passes the machine's reach, in °C/min, as the findings tell it; nothing where the finish isn't reached at all.
pub(super) fn reach_excess_c_per_min(outlook: &Outlook) -> Option<f64> {
    let is_short = |finding: &crate::Finding| {
        let kind = &finding.kind;
        matches!(
            kind,
            FindingKind::Forecast(ForecastKind::FinishNotReached { .. })
        )
    };
    (!outlook.findings.iter().any(is_short)).then(|| beyond_c_per_min(outlook))
}

fn beyond_c_per_min(outlook: &Outlook) -> f64 {
    let beyond = outlook
        .findings
        .iter()
        .filter_map(|finding| match &finding.kind {
            FindingKind::Forecast(ForecastKind::BeyondReach {
                drawn_c_per_s,
                reach_c_per_s,
                ..
            }) => Some((drawn_c_per_s - reach_c_per_s).abs() * PER_MIN),
            _ => None,
        });
    beyond.fold(0.0, f64::max)
}

/// How far the machine is from following, in °C/min beyond reach plus °C that the probe stays below its finish.
pub(super) fn reach_shortfall(outlook: &Outlook) -> f64 {
    let short_c = outlook.findings.iter().map(|finding| match &finding.kind {
        FindingKind::Forecast(ForecastKind::FinishNotReached {
            temp_c, highest_c, ..
        }) => temp_c - highest_c,
        _ => 0.0,
    });
    beyond_c_per_min(outlook) + short_c.sum::<f64>()
}

/// How much the fall of the rise changes from charge to the end of the roast, all changes added up, in °C/min per min: the less, the
/// smoother. A rise that falls evenly has none; corners count.
pub(super) fn wobble_c_per_min2(plan: &Plan, picture: &Picture) -> f64 {
    let curve = &plan.curve;
    let last = picture.derived.end_of_roast_s(plan).floor() as usize;
    let bends: Vec<f64> = (0..last)
        .map(|second| curve.bend_c_per_s2(second as f64 + STEP_S))
        .collect();
    let changes = bends.windows(2).map(|pair| (pair[1] - pair[0]).abs());
    changes.sum::<f64>() * PER_MIN * PER_MIN
}
