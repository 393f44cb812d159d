//! What stands against the course of a curve: turns and steep falls of its rise, cooling, plateaus, overshoots.
//!
//! Only what is roasted is judged: nothing behind the drop, and steep falls from colour change on, because in hot air
//! the rise always falls fast while the beans dry. All places are exact but one: of a steep fall that began before colour
//! change, the rest is judged by samples half a second apart.

use crate::{
    findings::{Finding, FindingKind},
    limits,
};
use chaffinch_curve::{
    Phases, PlateauRule, RiseFall, SetpointCurve, SteepFall, coolings, overshoots, plateaus,
    rise_turns, steep_falls,
};

/// Distance of the samples by which the rest of a steep fall is judged, in s.
const REST_STEP_S: f64 = 0.5;

/// The part of a curve that is judged.
pub(crate) struct JudgedCurve<'a> {
    curve: &'a SetpointCurve,
    /// The drop, or the end of the curve, in s.
    until_s: f64,
    /// Colour change, in s; `until_s` if the curve doesn't reach it.
    dry_s: f64,
}

impl<'a> JudgedCurve<'a> {
    /// What of `curve` is judged, given its phases.
    pub(crate) fn of(curve: &'a SetpointCurve, phases: &Phases) -> Self {
        let until_s = phases.end_s(curve);
        let dry_s = phases
            .colour_change
            .reached()
            .map_or(until_s, |mark| mark.time_s);
        Self {
            curve,
            until_s,
            dry_s,
        }
    }

    /// All findings, kind by kind.
    pub(crate) fn findings(&self) -> Vec<Finding> {
        let kinds = [
            Self::rise_turns,
            Self::steep_falls,
            Self::coolings,
            Self::plateaus,
            Self::overshoots,
        ];
        kinds.iter().flat_map(|of_kind| of_kind(self)).collect()
    }

    /// The findings of the same kind as `kind`; none for kinds that aren't about the course of the curve.
    pub(crate) fn findings_like(&self, kind: &FindingKind) -> Vec<Finding> {
        match kind {
            FindingKind::RiseTurnsUp { .. } => self.rise_turns(),
            FindingKind::RiseFallsSteeply { .. } => self.steep_falls(),
            FindingKind::Cools { .. } => self.coolings(),
            FindingKind::Plateau => self.plateaus(),
            FindingKind::Overshoot { .. } => self.overshoots(),
            FindingKind::FinishNotReached { .. }
            | FindingKind::MarkAboveFinish { .. }
            | FindingKind::DropAboveCeiling { .. }
            | FindingKind::DevelopmentOutside { .. }
            | FindingKind::Forecast(_) => Vec::new(),
        }
    }

    fn rise_turns(&self) -> Vec<Finding> {
        let turns = rise_turns(self.curve, self.until_s, limits::RISE_TURN_MIN_GAIN_C_PER_S);
        let finding = |turn: chaffinch_curve::RiseTurn| Finding {
            kind: FindingKind::RiseTurnsUp {
                gain_c_per_s: turn.gain_c_per_s,
            },
            from_s: turn.from_s,
            to_s: turn.to_s,
        };
        turns.into_iter().map(finding).collect()
    }

    fn steep_falls(&self) -> Vec<Finding> {
        let rule = SteepFall {
            window_s: limits::STEEP_FALL_WINDOW_S,
            drop_c_per_s: limits::STEEP_FALL_LOSS_C_PER_S,
        };
        let judged = |fall: RiseFall| {
            if fall.from_s < self.dry_s {
                self.rest_of(fall, rule)
            } else {
                Some(fall)
            }
        };
        let finding = |fall: RiseFall| Finding {
            kind: FindingKind::RiseFallsSteeply {
                loss_c_per_s: fall.loss_c_per_s,
            },
            from_s: fall.from_s,
            to_s: fall.to_s,
        };
        let falls = steep_falls(self.curve, self.until_s, rule);
        falls.into_iter().filter_map(judged).map(finding).collect()
    }

    /// What a steep fall that began while the beans dried loses from colour change on, if that alone is steep.
    fn rest_of(&self, fall: RiseFall, rule: SteepFall) -> Option<RiseFall> {
        let at_s = |index: usize| self.dry_s + index as f64 * REST_STEP_S;
        let steps = ((fall.to_s - self.dry_s) / REST_STEP_S).floor().max(0.0) as usize;
        let rises: Vec<f64> = (0..=steps)
            .map(|index| self.curve.rise_c_per_s(at_s(index)))
            .collect();
        let window = (rule.window_s / REST_STEP_S) as usize;
        let steep_to = |low: usize| {
            let earliest = low.saturating_sub(window);
            let losses = || rises[earliest..low].iter().map(|rise| rise - rises[low]);
            let first = losses().position(|loss| loss > rule.drop_c_per_s)?;
            Some(RiseFall {
                from_s: at_s(earliest + first),
                to_s: at_s(low),
                loss_c_per_s: losses().fold(0.0, f64::max),
            })
        };
        (1..rises.len())
            .filter_map(steep_to)
            .reduce(|all, next| RiseFall {
                from_s: all.from_s.min(next.from_s),
                to_s: next.to_s,
                loss_c_per_s: all.loss_c_per_s.max(next.loss_c_per_s),
            })
    }

    fn coolings(&self) -> Vec<Finding> {
        let spans = coolings(self.curve, self.until_s).into_iter();
        spans
            .map(|span| Finding {
                kind: FindingKind::Cools { by_c: span.size_c },
                from_s: span.from_s,
                to_s: span.to_s,
            })
            .collect()
    }

    fn plateaus(&self) -> Vec<Finding> {
        let rule = PlateauRule {
            max_rise_c_per_s: limits::PLATEAU_MAX_RISE_C_PER_S,
            min_duration_s: limits::PLATEAU_MIN_DURATION_S,
        };
        let spans = plateaus(self.curve, self.until_s, rule).into_iter();
        spans
            .map(|span| Finding {
                kind: FindingKind::Plateau,
                from_s: span.from_s,
                to_s: span.to_s,
            })
            .collect()
    }

    fn overshoots(&self) -> Vec<Finding> {
        let found = overshoots(self.curve, limits::OVERSHOOT_TOLERANCE_C).into_iter();
        found
            .filter(|overshoot| overshoot.at_s <= self.until_s)
            .map(|overshoot| Finding {
                kind: FindingKind::Overshoot {
                    by_c: overshoot.by_c,
                },
                from_s: overshoot.at_s,
                to_s: overshoot.at_s,
            })
            .collect()
    }
}
