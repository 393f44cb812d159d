//! Temperatures of the boundaries, before any curve: what is wished of them, and else as they are; and the curve as it is.

use super::{
    ground::Ground,
    problem::{Clash, Problem},
    programme::Row,
    targets::{TargetName, Targets, Wish},
};
use crate::{
    edit::{
        Boundary::{self, Drop, Mark},
        MarkName::{ColourChange, FirstCrack},
    },
    limits::LEAST_MARK_GAP_C,
    plan::Plan,
    told,
    units::round_to_billionth,
};
use chaffinch_curve::{MAX_TEMP_C, MIN_TEMP_C, PhaseName};

/// Where temperatures must be put in order, this much is put between two, in °C, if there was less before. Ours.
const MADE_GAP_C: f64 = 1.0;
/// Which variable of the small problem is which temperature.
const START: usize = 0;

/// What the curve passes, in °C.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Levels {
    /// At charge.
    pub(super) start_c: f64,
    /// Colour change, first crack and drop, whether the curve passes them before its drop or not.
    pub(super) temps_c: [f64; 3],
    /// The boundaries that the curve passes, in order of time.
    pub(super) passed: Vec<(Boundary, f64)>,
    /// Contradictions among the temperatures.
    pub(super) clashes: Vec<Clash>,
}

/// Where a boundary stands in [`Boundary::ALL`].
pub(super) fn index_of(boundary: Boundary) -> usize {
    match boundary {
        Mark(ColourChange) => 0,
        Mark(FirstCrack) => 1,
        Drop => 2,
    }
}

impl Levels {
    /// The nearest to those of `plan` that meet what `targets` wish.
    pub(super) fn of(plan: &Plan, targets: &Targets) -> Option<Self> {
        let now = [
            plan.curve.points()[0].temp_c,
            plan.marks.colour_change_c,
            plan.marks.first_crack_c,
            plan.finish().temp_c,
        ];
        let mut problem = Problem::new(now.len());
        for (index, temp_c) in now.into_iter().enumerate() {
            problem.square(&[(index, 1.0)], temp_c, 1.0);
            problem.hold(Row::between(vec![(index, 1.0)], MIN_TEMP_C, MAX_TEMP_C));
        }
        let mut wish = |name: TargetName, index: usize| {
            if let Some(wish) = targets.wish(name) {
                let (least, most) = ends(wish);
                let row = Row::between(vec![(index, 1.0)], least, most);
                problem.want(Ground::Wish(name), row, 1.0);
            }
        };
        wish(TargetName::StartTemp, START);
        for boundary in Boundary::ALL {
            wish(TargetName::Temp(boundary), 1 + index_of(boundary));
        }
        let first = &plan.curve.points()[0];
        if first.lock.holds_temp() {
            let row = Row::equal(vec![(START, 1.0)], first.temp_c);
            problem.want(Ground::Locked(1), row, 1.0);
        }
        let mut follows = |before: usize, after: usize| {
            let gap_c = (now[after] - now[before]).clamp(LEAST_MARK_GAP_C, MADE_GAP_C);
            let row = Row::at_least(vec![(before, -1.0), (after, 1.0)], gap_c);
            problem.want(Ground::Order, row, 1.0);
        };
        follows(1, 2);
        follows(START, 3);
        let needed = |boundary: Boundary| targets.all().any(|(name, _)| needs(name, boundary));
        for boundary in [Mark(ColourChange), Mark(FirstCrack)] {
            if needed(boundary) {
                let index = 1 + index_of(boundary);
                follows(START, index);
                follows(index, 3);
            }
        }
        let found = problem.solved()?;
        let temp_c = |index: usize| {
            // What nothing pulls at stays to the last bit.
            let temp_c = round_to_billionth(found.x[index]);
            let is_moved = 1e-6 < (temp_c - now[index]).abs();
            if is_moved {
                exact(targets, index, temp_c)
            } else {
                now[index]
            }
        };
        let start_c = temp_c(START);
        let temps_c = [temp_c(1), temp_c(2), temp_c(3)];
        let is_passed = |&(boundary, temp_c): &(Boundary, f64)| {
            let least_c = LEAST_MARK_GAP_C / 2.0;
            boundary == Drop || (start_c + least_c < temp_c && temp_c + least_c < temps_c[2])
        };
        let passed = Boundary::ALL.into_iter().zip(temps_c).filter(is_passed);
        Some(Self {
            start_c,
            temps_c,
            passed: passed.collect(),
            clashes: if 0.0 < found.slack {
                problem.clashes()
            } else {
                Vec::new()
            },
        })
    }

    /// Where `boundary` stands among those passed.
    pub(super) fn place(&self, boundary: Boundary) -> Option<usize> {
        self.passed.iter().position(|(other, _)| *other == boundary)
    }
}

/// A temperature next to an end of its wish is meant to be there.
fn exact(targets: &Targets, index: usize, temp_c: f64) -> f64 {
    let name = match index {
        START => TargetName::StartTemp,
        _ => TargetName::Temp(Boundary::ALL[index - 1]),
    };
    let ends = targets.wish(name).map(|wish| [wish.least, wish.most]);
    let ends = ends.into_iter().flatten().flatten();
    ends.into_iter()
        .find(|end_c| (end_c - temp_c).abs() < 1e-5)
        .unwrap_or(temp_c)
}

/// Whether the curve must pass `boundary` for `name` to mean anything.
fn needs(name: TargetName, boundary: Boundary) -> bool {
    match name {
        TargetName::Time(of) | TargetName::Rise(of) => of == boundary,
        TargetName::Length(phase) | TargetName::Share(phase) => match phase {
            PhaseName::Drying => boundary == Mark(ColourChange),
            PhaseName::Browning => boundary != Drop,
            PhaseName::Development => boundary == Mark(FirstCrack),
        },
        _ => false,
    }
}

/// Both ends of a wish, infinite where there is none.
pub(super) fn ends(wish: Wish) -> (f64, f64) {
    (
        wish.least.unwrap_or(f64::NEG_INFINITY),
        wish.most.unwrap_or(f64::INFINITY),
    )
}

/// The curve as it is, carried on at its last rise behind its end.
pub(super) struct Old<'a> {
    plan: &'a Plan,
    end_rise_c_per_s: f64,
}

impl<'a> Old<'a> {
    /// Of a plan.
    pub(super) fn of(plan: &'a Plan) -> Self {
        let curve = &plan.curve;
        let rise = curve.rise_c_per_s(curve.end_s());
        Self {
            plan,
            end_rise_c_per_s: rise.max(told::LEAST_HOLD_ON_RISE_C_PER_S),
        }
    }

    /// Temperature in °C.
    pub(super) fn temp_c(&self, time_s: f64) -> f64 {
        let curve = &self.plan.curve;
        let over_s = (time_s - curve.end_s()).max(0.0);
        curve.temp_c(time_s) + self.end_rise_c_per_s * over_s
    }

    /// When it passes `level_c`, in s.
    pub(super) fn passes_s(&self, level_c: f64) -> f64 {
        let curve = &self.plan.curve;
        curve.first_reach(level_c).unwrap_or_else(|| {
            // A curve that peaks above its end has already passed what lies below the peak.
            let above_c = (level_c - curve.last().temp_c).max(0.0);
            curve.end_s() + above_c / self.end_rise_c_per_s
        })
    }
}
