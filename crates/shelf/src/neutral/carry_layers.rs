//! The three layers of a carry-over with their sizes, kept apart.

use super::units::ucum;
use crate::{
    practice_file::{RulesUsed, rule_key},
    samples::{rise_per_min, rounded},
};
use chaffinch_craft::carry::{
    CarryOver, PointCarry, Practice, PracticeRules, Rule, RuleName, Shift, YourRoasts,
};
use chaffinch_twin::trust;
use serde::Serialize;

/// What stands beside every number of the trade that nobody published.
pub(super) const COMMON_PRACTICE: &str = "common practice, no published source";

#[derive(Serialize)]
pub(super) struct Layers<'a> {
    physics: PhysicsLayer,
    practice: PracticeLayer<'a>,
    your_roasts: YourRoastsLayer,
}

#[derive(Serialize)]
struct PhysicsLayer {
    on: bool,
    /// Null where it is switched off.
    size: Option<Sizes>,
    /// How well the core itself is known, plus or minus.
    trust: f64,
}

#[derive(Serialize)]
struct PracticeLayer<'a> {
    on: bool,
    /// Null where it is switched off or lacks an altitude.
    size: Option<Sizes>,
    /// Equivalent altitudes; null as the size.
    altitude_before: Option<f64>,
    altitude_after: Option<f64>,
    source: &'static str,
    /// Null where it is switched off.
    rules: Option<RulesEntry<'a>>,
}

#[derive(Serialize)]
struct RulesEntry<'a> {
    /// Where they were found.
    found: &'a str,
    reference_altitude: f64,
    table: Vec<RuleEntry>,
}

#[derive(Serialize)]
struct RuleEntry {
    name: &'static str,
    unit: Option<&'static str>,
    per_100_m: f64,
    most: f64,
}

#[derive(Serialize)]
struct YourRoastsLayer {
    on: bool,
    liked_before: usize,
    liked_after: usize,
    missing_before: usize,
    missing_after: usize,
    sentence: String,
}

/// From the least to the greatest of all points.
#[derive(Serialize)]
struct Sizes {
    time: Ends,
    temperature: Ends,
    rate_of_rise: Ends,
}

#[derive(Serialize)]
struct Ends {
    least: f64,
    most: f64,
}

/// A shift of one point: s, K and K/min.
#[derive(Serialize)]
pub(super) struct ShiftEntry {
    time: f64,
    temperature: f64,
    rate_of_rise: f64,
}

impl ShiftEntry {
    pub(super) fn of(shift: Shift) -> Self {
        Self {
            time: rounded(shift.time_s),
            temperature: rounded(shift.temp_k),
            rate_of_rise: rise_per_min(shift.rise_c_per_s),
        }
    }
}

impl<'a> Layers<'a> {
    pub(super) fn of(carried: &CarryOver, rules: Option<RulesUsed<'a>>) -> Self {
        let altitudes = match carried.practice {
            Practice::Applied { from_m, to_m } => Some((from_m, to_m)),
            Practice::Off | Practice::NoAltitude => None,
        };
        let size = |of: fn(&PointCarry) -> Shift| {
            let shifts: Vec<Shift> = carried.points.iter().map(of).collect();
            Sizes::of(&shifts)
        };
        Self {
            physics: PhysicsLayer {
                on: carried.physics,
                size: carried.physics.then(|| size(|point| point.physics)),
                trust: trust::CORE_K,
            },
            practice: PracticeLayer {
                on: carried.practice != Practice::Off,
                size: altitudes.map(|_| size(|point| point.practice)),
                altitude_before: altitudes.map(|(from_m, _)| rounded(from_m)),
                altitude_after: altitudes.map(|(_, to_m)| rounded(to_m)),
                source: COMMON_PRACTICE,
                rules: rules.map(RulesEntry::of),
            },
            your_roasts: YourRoastsLayer::of(carried.your_roasts),
        }
    }
}

impl<'a> RulesEntry<'a> {
    fn of(RulesUsed { rules, found }: RulesUsed<'a>) -> Self {
        Self {
            found,
            reference_altitude: rounded(rules.reference_m()),
            table: RuleName::ALL.map(|name| RuleEntry::of(name, rules)).into(),
        }
    }
}

impl RuleEntry {
    fn of(name: RuleName, rules: &PracticeRules) -> Self {
        let Rule { per_100_m, most } = rules.rule(name);
        Self {
            name: rule_key(name),
            unit: ucum(name.facts().unit),
            per_100_m,
            most,
        }
    }
}

impl YourRoastsLayer {
    fn of(roasts: YourRoasts) -> Self {
        let (missing_before, missing_after) = roasts.missing();
        Self {
            // It changes nothing yet, however many there are.
            on: false,
            liked_before: roasts.liked_from,
            liked_after: roasts.liked_to,
            missing_before,
            missing_after,
            sentence: roasts.sentence(),
        }
    }
}

impl Sizes {
    fn of(shifts: &[Shift]) -> Self {
        let ends = |of: fn(Shift) -> f64| {
            let values = shifts.iter().copied().map(of);
            Ends {
                least: values.clone().fold(f64::INFINITY, f64::min),
                most: values.fold(f64::NEG_INFINITY, f64::max),
            }
        };
        Self {
            time: ends(|shift| rounded(shift.time_s)),
            temperature: ends(|shift| rounded(shift.temp_k)),
            rate_of_rise: ends(|shift| rise_per_min(shift.rise_c_per_s)),
        }
    }
}
