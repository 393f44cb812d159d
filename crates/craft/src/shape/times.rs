//! Times of the boundaries, before any curve: what is wished of them, and else in proportion.
//!
//! Wishes for times that can't all be are relaxed here, among themselves and as little as may be; the curve is then drawn to what is
//! left of them. Drawn together, a curve would rather miss its times by more than bend as sharply as they ask. A phase that nobody
//! wished short keeps a length that beans can be roasted in, as long as wishes that can all be met don't need it shorter.

use super::{
    boundaries::{Levels, Old, ends},
    ground::Ground,
    problem::{Clash, Problem},
    programme::Row,
    targets::{TargetName, Targets},
};
use crate::{
    edit::{
        Boundary::{self, Drop, Mark},
        MarkName::{ColourChange, FirstCrack},
    },
    limits::MIN_PHASE_S,
};
use chaffinch_curve::{MAX_TIME_S, PhaseName};

/// A phase's length is taken as at least this when lengths are changed in proportion, in s. Ours.
const LEAST_PROPORTION_S: f64 = 20.0;
/// Latest drop, in s: a little of the longest curve stays for what follows.
const LATEST_S: f64 = MAX_TIME_S;
/// Where wishes contradict each other, a phase keeps this length at least, in s, or the one it has. Ours.
const SANE_S: f64 = 30.0;
/// … and this share of the length that it has. Ours.
const SANE_SHARE: f64 = 0.5;
/// … and the roast lasts no longer than this many times what it lasts now, or what is wished of its lengths. Ours.
const SANE_STRETCH: f64 = 1.5;
/// Room around times that were found, in s or in %, so that something is left between rows. Not to be seen.
const ROOM: f64 = 1e-6;

const PHASES: [PhaseName; 3] = [
    PhaseName::Drying,
    PhaseName::Browning,
    PhaseName::Development,
];

/// When the curve is to pass its boundaries.
#[derive(Clone, Debug)]
pub(super) struct Times {
    /// Of the boundaries passed, in s.
    pub(super) at_s: Vec<f64>,
    /// Least lengths of the stretches that end at them, in s.
    pub(super) least_s: Vec<f64>,
    /// All wishes, those for times opened so far that they can all be met.
    pub(super) wishes: Targets,
    /// What contradicts what among the wishes for times alone.
    pub(super) clashes: Vec<Clash>,
    /// Whether a phase is shorter than one that can be roasted in, because all wishes for times can only be met so.
    pub(super) is_short: bool,
}

impl Times {
    /// Wished, or else with phases as long as they are, in proportion.
    ///
    /// `may_be_short` lets phases be shorter than one that can be roasted in, if all wishes for times can only be met so.
    pub(super) fn of(
        old: &Old<'_>,
        levels: &Levels,
        targets: &Targets,
        may_be_short: bool,
    ) -> Option<Self> {
        let count = levels.passed.len();
        let mut last_s = 0.0;
        let mut lengths_s = Vec::with_capacity(count);
        for &(_, level_c) in &levels.passed {
            let time_s = old.passes_s(level_c).max(last_s + MIN_PHASE_S);
            lengths_s.push(time_s - last_s);
            last_s = time_s;
        }
        let at_s = vec![0.0; count];
        let problem = |least_s: &[f64], latest_s: f64| {
            let mut problem = Problem::new(count);
            problem.hold(Row::at_most(vec![(count - 1, 1.0)], latest_s));
            for (index, &length_s) in lengths_s.iter().enumerate() {
                let weight = length_s.max(LEAST_PROPORTION_S).powi(-2);
                problem.square(&length(index), length_s, weight);
            }
            let clock = Clock {
                first: 0,
                at_s: &at_s,
                least_s,
                scale_s: last_s,
            };
            want_times(&mut problem, levels, targets, &clock);
            problem
        };
        let sane_s: Vec<f64> = (0..count)
            .map(|index| sane_s(levels, targets, &lengths_s, index))
            .collect();
        let sane = problem(&sane_s, latest_s(levels, targets, &lengths_s));
        let met = sane.strictly_solved();
        let is_sane = met.is_some();
        let met = met.or_else(|| {
            let short = || problem(&vec![MIN_PHASE_S; count], LATEST_S);
            may_be_short.then(short)?.strictly_solved()
        });
        let is_short = !is_sane && met.is_some();
        let (at_s, clashes) = match met {
            Some(found) => (found.x, Vec::new()),
            None => (sane.relaxed()?.x, sane.clashes()),
        };
        let found_s = (0..count).map(|index| sum(&length(index), &at_s));
        let least_s = sane_s.iter().zip(found_s);
        Some(Self {
            least_s: least_s
                .map(|(&sane_s, found_s)| sane_s.min(found_s - ROOM))
                .collect(),
            wishes: opened(levels, targets, &at_s),
            at_s,
            clashes,
            is_short,
        })
    }
}

/// The least length that the stretch before the boundary passed as number `index` keeps beside wishes that can't all be met, in s.
fn sane_s(levels: &Levels, targets: &Targets, lengths_s: &[f64], index: usize) -> f64 {
    let length_s = lengths_s[index];
    let mut least_s = length_s.min(SANE_S.max(SANE_SHARE * length_s));
    let drop = targets.wish(TargetName::Time(Drop));
    let drop_s = drop.and_then(|wish| wish.least.or(wish.most));
    let drop_s = drop_s.unwrap_or_else(|| lengths_s.iter().sum());
    for phase in PHASES {
        if stretch(levels, phase) != Some(index) {
            continue;
        }
        let most = |name| targets.wish(name).and_then(|wish| wish.most);
        let wished_s = most(TargetName::Length(phase));
        let shared_s = most(TargetName::Share(phase)).map(|percent| percent / 100.0 * drop_s);
        for most_s in [wished_s, shared_s].into_iter().flatten() {
            least_s = least_s.min(most_s);
        }
    }
    least_s.max(MIN_PHASE_S)
}

/// The latest drop beside wishes that can't all be met, in s: shares would else be met a little better in a roast of an hour.
fn latest_s(levels: &Levels, targets: &Targets, lengths_s: &[f64]) -> f64 {
    let longest = |name: TargetName| targets.wish(name).and_then(|wish| wish.least);
    let mut lengths_s = lengths_s.to_vec();
    for phase in PHASES {
        let wished_s = longest(TargetName::Length(phase));
        if let Some((index, wished_s)) = stretch(levels, phase).zip(wished_s) {
            lengths_s[index] = lengths_s[index].max(wished_s);
        }
    }
    let times_s = Boundary::ALL.map(|boundary| longest(TargetName::Time(boundary)));
    let longest_s = times_s.into_iter().flatten();
    let longest_s = longest_s.fold(lengths_s.iter().sum(), f64::max);
    LATEST_S.min(SANE_STRETCH * longest_s)
}

/// The stretch that is `phase`, by the number of the boundary that ends it.
fn stretch(levels: &Levels, phase: PhaseName) -> Option<usize> {
    let end = match phase {
        PhaseName::Drying => Mark(ColourChange),
        PhaseName::Browning => Mark(FirstCrack),
        PhaseName::Development => Drop,
    };
    let is_whole = phase != PhaseName::Development || levels.place(Mark(FirstCrack)).is_some();
    levels.place(end).filter(|_| is_whole)
}

/// The wishes, those for times opened so far that these times meet them.
fn opened(levels: &Levels, targets: &Targets, at_s: &[f64]) -> Targets {
    let mut opened = targets.clone();
    let length_s = |phase| Some(sum(&length(stretch(levels, phase)?), at_s));
    for (name, _) in targets.all() {
        let found = match name {
            TargetName::Time(boundary) => levels.place(boundary).map(|place| at_s[place]),
            TargetName::Length(phase) => length_s(phase),
            TargetName::Share(phase) => length_s(phase)
                .zip(at_s.last())
                .map(|(length_s, drop_s)| 100.0 * length_s / drop_s),
            _ => None,
        };
        if let Some(found) = found {
            opened.open_to(name, found, ROOM);
        }
    }
    opened
}

fn sum(entries: &[(usize, f64)], at_s: &[f64]) -> f64 {
    entries
        .iter()
        .map(|&(index, value)| value * at_s[index])
        .sum()
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
    /// Least lengths of the stretches that end at each of them, in s.
    pub(super) least_s: &'a [f64],
    /// About how long the roast is, in s: it scales what a share gives.
    pub(super) scale_s: f64,
}

impl Clock<'_> {
    /// A row on sums of times.
    fn row(&self, entries: &[(usize, f64)], (least, most): (f64, f64)) -> Row {
        let at = sum(entries, self.at_s);
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
        let row = clock.row(&length(index), (clock.least_s[index], f64::INFINITY));
        problem.want(Ground::Order, row, 1.0);
    }
    let last = count - 1;
    problem.hold(clock.row(&[(last, 1.0)], (0.0, LATEST_S)));
    let phase = |phase: PhaseName| stretch(levels, phase).map(length);
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
