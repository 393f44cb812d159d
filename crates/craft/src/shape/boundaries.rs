//! Temperatures and times of the boundaries, before any curve: what is wished of them, and else as they are.

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
    limits::{LEAST_MARK_GAP_C, MIN_PHASE_S},
    plan::Plan,
    told,
    units::round_to_billionth,
};
use chaffinch_curve::{MAX_TEMP_C, MAX_TIME_S, MIN_TEMP_C, PhaseName};

/// A phase's length is taken as at least this when lengths are changed in proportion, in s. Ours.
const LEAST_PROPORTION_S: f64 = 20.0;
/// Latest drop, in s: a little of the longest curve stays for what follows.
const LATEST_S: f64 = MAX_TIME_S;
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

/// The times of the boundaries passed, in s: wished, or else with phases as long as they are, in proportion; and what contradicts what
/// among the wishes for times alone.
pub(super) fn times_s(
    old: &Old<'_>,
    levels: &Levels,
    targets: &Targets,
) -> Option<(Vec<f64>, Vec<Clash>)> {
    let count = levels.passed.len();
    let mut last_s = 0.0;
    let mut now_s = Vec::with_capacity(count);
    for &(_, level_c) in &levels.passed {
        last_s = old.passes_s(level_c).max(last_s + MIN_PHASE_S);
        now_s.push(last_s);
    }
    let mut problem = Problem::new(count);
    for index in 0..count {
        let before_s = if index == 0 { 0.0 } else { now_s[index - 1] };
        let length_s = now_s[index] - before_s;
        let weight = length_s.max(LEAST_PROPORTION_S).powi(-2);
        problem.square(&length(index), length_s, weight);
    }
    let at_s = vec![0.0; count];
    want_times(
        &mut problem,
        levels,
        targets,
        &Clock {
            first: 0,
            at_s: &at_s,
            scale_s: last_s,
        },
    );
    let found = problem.solved()?;
    let clashes = if 0.0 < found.slack {
        problem.clashes()
    } else {
        Vec::new()
    };
    Some((found.x, clashes))
}

/// The length of the stretch that ends at the boundary passed as number `index`.
fn length(index: usize) -> Vec<(usize, f64)> {
    match index.checked_sub(1) {
        Some(before) => vec![(before, -1.0), (index, 1.0)],
        None => vec![(index, 1.0)],
    }
}

/// Times as variables of a problem: `at_s` plus the variables from `first` on.
pub(super) struct Clock<'a> {
    /// The first of the variables.
    pub(super) first: usize,
    /// What they count from, in s.
    pub(super) at_s: &'a [f64],
    /// About how long the roast is, in s: it scales what a share gives.
    pub(super) scale_s: f64,
}

impl Clock<'_> {
    /// A row on sums of times.
    fn row(&self, entries: &[(usize, f64)], (least, most): (f64, f64)) -> Row {
        let at: f64 = entries
            .iter()
            .map(|&(index, value)| value * self.at_s[index])
            .sum();
        let entries = entries
            .iter()
            .map(|&(index, value)| (self.first + index, value));
        Row::between(entries.collect(), least - at, most - at)
    }
}

/// Everything wished of times, and that boundaries follow each other.
pub(super) fn want_times(
    problem: &mut Problem,
    levels: &Levels,
    targets: &Targets,
    clock: &Clock<'_>,
) {
    let count = levels.passed.len();
    for index in 0..count {
        let row = clock.row(&length(index), (MIN_PHASE_S, f64::INFINITY));
        problem.want(Ground::Order, row, 1.0);
    }
    let last = count - 1;
    problem.hold(clock.row(&[(last, 1.0)], (0.0, LATEST_S)));
    let phase = |phase: PhaseName| {
        let end = match phase {
            PhaseName::Drying => Mark(ColourChange),
            PhaseName::Browning => Mark(FirstCrack),
            PhaseName::Development => Drop,
        };
        let is_whole = phase != PhaseName::Development || levels.place(Mark(FirstCrack)).is_some();
        levels.place(end).filter(|_| is_whole).map(length)
    };
    for (name, wish) in targets.all() {
        let bounds = ends(wish);
        let ground = Ground::Wish(name);
        match name {
            TargetName::Time(boundary) => {
                if let Some(place) = levels.place(boundary) {
                    problem.want(ground, clock.row(&[(place, 1.0)], bounds), 1.0);
                }
            }
            TargetName::Length(of) => {
                if let Some(length) = phase(of) {
                    problem.want(ground, clock.row(&length, bounds), 1.0);
                }
            }
            TargetName::Share(of) => {
                let Some(length) = phase(of) else { continue };
                let sides = [(bounds.0, 1.0), (bounds.1, -1.0)];
                for (percent, sign) in sides.into_iter().filter(|side| side.0.is_finite()) {
                    let share = minus_share(&length, last, percent, sign);
                    let row = clock.row(&share, (0.0, f64::INFINITY));
                    problem.want(ground, row, clock.scale_s);
                }
            }
            _ => {}
        }
    }
}

/// sign · (100 · length − percent · time of the drop).
fn minus_share(length: &[(usize, f64)], last: usize, percent: f64, sign: f64) -> Vec<(usize, f64)> {
    let mut entries: Vec<(usize, f64)> = length
        .iter()
        .map(|&(index, value)| (index, sign * 100.0 * value))
        .collect();
    match entries.iter_mut().find(|entry| entry.0 == last) {
        Some(entry) => entry.1 -= sign * percent,
        None => entries.push((last, -sign * percent)),
    }
    entries
}
