//! Wishes as rows of a quadratic programme, and which of them give way where they contradict each other.
//!
//! First every wish is a hard row. If nothing obeys them all, a linear programme finds the least relaxation: each wish may be missed
//! by a slack, and the sum of the slacks, each in units of the last digit shown, is made as small as it goes. Then the smoothest curve
//! at just these slacks is found. Earlier targets weigh a little more, so that of several relaxations of one size always the same is
//! taken. What a wish contradicts is read from the prices (multipliers) of the rows that hold its slack up: they are a certificate,
//! by Farkas's lemma, that these rows alone can't all be.

use super::{
    ground::Ground,
    programme::{Programme, Row, Solution},
};
use std::collections::BTreeMap;

/// Slacks below this many units of the last digit shown are rounding.
const ROUNDING: f64 = 1e-4;
/// Room added to a slack that is held, in units of the last digit shown, so that something is left between rows.
const ROOM: f64 = 1e-5;
/// A row is part of a contradiction if a unit more room of it takes at least this share of a unit off the slack.
const LEAST_SHARE: f64 = 1e-3;
/// Gap and feasibility at which a step on the way, or a glance, may stop. Ours: a slack of 0.001 shows in nothing.
const ROUGH: f64 = 1e-7;
/// Weight of a unit of slack beside the smoothness where both are weighed at once.
const PENALTY: f64 = 1e5;

/// A row with what it stands for; nothing for arithmetic that always holds.
#[derive(Clone, Debug)]
struct Wanted {
    row: Row,
    ground: Option<Ground>,
    /// By how much the row opens for a unit of its ground's slack.
    give: f64,
}

/// Squares to make small, and rows to obey.
#[derive(Clone, Debug)]
pub(super) struct Problem {
    variables: usize,
    squares: Vec<(usize, usize, f64)>,
    linear: Vec<f64>,
    wanted: Vec<Wanted>,
}

/// A wish that gives way, and what it contradicts.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Clash {
    pub(super) gives_way: Ground,
    pub(super) against: Vec<Ground>,
}

/// What comes of a problem.
#[derive(Clone, Debug)]
pub(super) struct Found {
    /// The variables.
    pub(super) x: Vec<f64>,
    /// The sum of all slacks, in units of the last digit shown.
    pub(super) slack: f64,
    /// The slacks of their grounds, in the same units.
    slacks: BTreeMap<Ground, f64>,
    /// The objective.
    pub(super) objective: f64,
    /// The last programme that was solved.
    pub(super) programme: Programme,
}

impl Found {
    /// The sum of the slacks of all grounds but one.
    pub(super) fn slack_but_of(&self, but: Ground) -> f64 {
        missed(&self.slacks, but)
    }
}

/// The sum of slacks but that of `but` and that of a start that nobody wished.
fn missed(slacks: &BTreeMap<Ground, f64>, but: Ground) -> f64 {
    let counts = |ground: Ground| ground != but && ground != Ground::Start;
    let counted = slacks.iter().filter(|(ground, _)| counts(**ground));
    counted.map(|(_, slack)| slack).sum()
}

impl Problem {
    /// Of so many variables, nothing wanted yet.
    pub(super) fn new(variables: usize) -> Self {
        Self {
            variables,
            squares: Vec::new(),
            linear: vec![0.0; variables],
            wanted: Vec::new(),
        }
    }

    /// Adds weight · (sum − value)² to what is made small.
    pub(super) fn square(&mut self, entries: &[(usize, f64)], value: f64, weight: f64) {
        for (index, &(row, a)) in entries.iter().enumerate() {
            self.linear[row] -= 2.0 * weight * value * a;
            for &(column, b) in &entries[index..] {
                let (row, column) = (row.min(column), row.max(column));
                self.squares.push((row, column, 2.0 * weight * a * b));
            }
        }
    }

    /// Adds weight · variable to what is made small.
    pub(super) fn line(&mut self, variable: usize, weight: f64) {
        self.linear[variable] += weight;
    }

    /// Adds a row that always holds.
    pub(super) fn hold(&mut self, row: Row) {
        self.push(row, None, 0.0);
    }

    /// Adds a row of `ground`, which opens by `give` for a unit of its slack.
    pub(super) fn want(&mut self, ground: Ground, row: Row, give: f64) {
        self.push(row, Some(ground), give);
    }

    fn push(&mut self, row: Row, ground: Option<Ground>, give: f64) {
        self.wanted.push(Wanted { row, ground, give });
    }

    /// Weighs slacks and smoothness at once. Quick, for steps on the way.
    pub(super) fn roughly_solved(&self) -> Option<Found> {
        let grounds = self.soft_grounds();
        let mut programme = self.opened(&grounds, |_| None);
        for (index, ground) in grounds.iter().enumerate() {
            programme.linear[self.variables + index] = PENALTY * ground.weight();
        }
        let solution = programme.solved_to(ROUGH)?;
        let slacks = solution.x[self.variables..].to_vec();
        let slacks = grounds.iter().zip(slacks);
        let slacks = slacks.map(|(ground, slack)| (*ground, slack / ground.unit()));
        Some(self.found(solution, programme, slacks.collect()))
    }

    /// Obeys all rows where that is possible; else the smoothest at the least relaxation.
    pub(super) fn solved(&self) -> Option<Found> {
        self.strictly_solved().or_else(|| self.relaxed())
    }

    /// Obeys all rows; nothing where that is not possible.
    pub(super) fn strictly_solved(&self) -> Option<Found> {
        let programme = self.opened(&[], |_| None);
        let solution = programme.solved()?;
        Some(self.found(solution, programme, BTreeMap::new()))
    }

    /// The smoothest at the least relaxation.
    pub(super) fn relaxed(&self) -> Option<Found> {
        let grounds = self.soft_grounds();
        let slacks = self.least_slacks(&grounds)?;
        // Rounding of the first stage may leave too little room for the second: then a hundred times more.
        for room in [ROOM, 100.0 * ROOM] {
            let held = |ground: Ground| {
                let slack = slacks.get(&ground).copied().unwrap_or(0.0);
                Some(slack + room * ground.unit())
            };
            let programme = self.opened(&[], held);
            if let Some(solution) = programme.solved() {
                let slacks = slacks
                    .iter()
                    .map(|(ground, slack)| (*ground, slack / ground.unit()));
                return Some(self.found(solution, programme, slacks.collect()));
            }
        }
        None
    }

    fn found(
        &self,
        solution: Solution,
        programme: Programme,
        slacks: BTreeMap<Ground, f64>,
    ) -> Found {
        let mut x = solution.x;
        x.truncate(self.variables);
        Found {
            x,
            slack: missed(&slacks, Ground::Start),
            slacks,
            objective: solution.objective,
            programme,
        }
    }

    /// What can't all be, with the ground that gives way most; empty where all rows can be obeyed.
    pub(super) fn obstacles(&self) -> Vec<Ground> {
        let slacks = self.least_slacks(&self.soft_grounds()).unwrap_or_default();
        let size = |ground: &Ground| slacks[ground] / ground.unit();
        let most = slacks
            .keys()
            .copied()
            .max_by(|a, b| size(a).total_cmp(&size(b)));
        let Some(most) = most.filter(|most| ROUNDING < size(most)) else {
            return Vec::new();
        };
        let mut all = self.against(most, &slacks).unwrap_or_default();
        all.push(most);
        all.sort_unstable();
        all
    }

    /// What is missed at the least relaxation, in units of the last digit shown.
    pub(super) fn least_missed(&self) -> Option<f64> {
        let grounds = self.soft_grounds();
        let solution = self.least_relaxation(&grounds).solved_to(ROUGH)?;
        let slacks = grounds.iter().zip(&solution.x[self.variables..]);
        let slacks = slacks.map(|(ground, slack)| (*ground, slack.max(0.0) / ground.unit()));
        Some(missed(&slacks.collect(), Ground::Start))
    }

    /// The smallest slacks at which something obeys all rows.
    fn least_slacks(&self, grounds: &[Ground]) -> Option<BTreeMap<Ground, f64>> {
        let solution = self.least_relaxation(grounds).solved()?;
        Some(self.slacks_of(grounds, &solution))
    }

    /// The linear programme of the smallest slacks.
    fn least_relaxation(&self, grounds: &[Ground]) -> Programme {
        let mut programme = self.opened(grounds, |_| None);
        programme.squares.clear();
        programme.linear = vec![0.0; programme.variables];
        for (index, ground) in grounds.iter().enumerate() {
            programme.linear[self.variables + index] = ground.weight();
        }
        programme
    }

    fn slacks_of(&self, grounds: &[Ground], solution: &Solution) -> BTreeMap<Ground, f64> {
        let slacks = solution.x[self.variables..]
            .iter()
            .map(|slack| slack.max(0.0));
        grounds.iter().copied().zip(slacks).collect()
    }

    /// What gives way to what at the least relaxation; empty where all rows can be obeyed.
    pub(super) fn clashes(&self) -> Vec<Clash> {
        let grounds = self.soft_grounds();
        let Some(solution) = self.least_relaxation(&grounds).solved() else {
            return Vec::new();
        };
        let slacks = self.slacks_of(&grounds, &solution);
        let is_yielding = |ground: &Ground| ROUNDING * ground.unit() < slacks[ground];
        let yielding: Vec<Ground> = grounds.iter().copied().filter(is_yielding).collect();
        let clash = |&gives_way: &Ground| {
            let against = if yielding.len() == 1 {
                // All prices are about it alone.
                self.binding(&grounds, gives_way, &solution)
            } else {
                self.against(gives_way, &slacks).unwrap_or_default()
            };
            Clash { gives_way, against }
        };
        let wished = yielding.iter().filter(|ground| ground.wish().is_some());
        wished.map(clash).collect()
    }

    /// What holds up the slack of `ground` while all others keep to theirs.
    fn against(&self, ground: Ground, slacks: &BTreeMap<Ground, f64>) -> Option<Vec<Ground>> {
        let held = |other: Ground| {
            let slack = slacks.get(&other).copied().unwrap_or(0.0);
            (other != ground).then_some(slack + ROOM * other.unit())
        };
        let mut programme = self.opened(&[ground], held);
        programme.squares.clear();
        programme.linear = vec![0.0; programme.variables];
        programme.linear[self.variables] = ground.weight();
        let solution = programme.solved()?;
        Some(self.binding(&[ground], ground, &solution))
    }

    /// The grounds but `ground` whose rows hold its slack up where those of `open` are open, by their prices.
    fn binding(&self, open: &[Ground], ground: Ground, solution: &Solution) -> Vec<Ground> {
        let unit = ground.weight() * ground.unit();
        let mut shares: BTreeMap<Ground, f64> = BTreeMap::new();
        for (wanted, price) in self.rows_of_opened(open).zip(&solution.prices) {
            if let Some(other) = wanted.ground.filter(|&other| other != ground) {
                *shares.entry(other).or_default() +=
                    price.abs() * wanted.give * other.unit() / unit;
            }
        }
        shares.retain(|_, share| LEAST_SHARE < *share);
        shares.into_keys().collect()
    }

    fn soft_grounds(&self) -> Vec<Ground> {
        let grounds = self.wanted.iter().filter_map(|wanted| wanted.ground);
        let mut grounds: Vec<Ground> = grounds.filter(|ground| ground.gives()).collect();
        grounds.sort_unstable();
        grounds.dedup();
        grounds
    }

    /// The rows behind those of [`Self::opened`], in the same order: a row of an open ground with two bounds makes two.
    fn rows_of_opened<'a>(&'a self, open: &'a [Ground]) -> impl Iterator<Item = &'a Wanted> {
        self.wanted.iter().flat_map(|wanted| {
            let is_open = wanted.ground.is_some_and(|ground| open.contains(&ground));
            let bounds = usize::from(wanted.row.least.is_finite())
                + usize::from(wanted.row.most.is_finite());
            std::iter::repeat_n(wanted, if is_open { bounds } else { 1 })
        })
    }

    /// The programme with a slack variable for each of `open`, and the rows of all others opened by what `held` says.
    fn opened(&self, open: &[Ground], held: impl Fn(Ground) -> Option<f64>) -> Programme {
        let mut rows = Vec::with_capacity(self.wanted.len() + open.len());
        for wanted in &self.wanted {
            let row = &wanted.row;
            let slack = wanted
                .ground
                .and_then(|ground| open.iter().position(|&other| other == ground));
            if let Some(slack) = slack.map(|index| self.variables + index) {
                let with = |give: f64| {
                    let mut entries = row.entries.clone();
                    entries.push((slack, give));
                    entries
                };
                if row.least.is_finite() {
                    rows.push(Row::at_least(with(wanted.give), row.least));
                }
                if row.most.is_finite() {
                    rows.push(Row::at_most(with(-wanted.give), row.most));
                }
            } else {
                let ground = wanted.ground.filter(|ground| ground.gives());
                let room = ground
                    .and_then(&held)
                    .map_or(0.0, |slack| slack * wanted.give);
                rows.push(Row::between(
                    row.entries.clone(),
                    row.least - room,
                    row.most + room,
                ));
            }
        }
        let count = self.variables + open.len();
        rows.extend((self.variables..count).map(|slack| Row::at_least(vec![(slack, 1.0)], 0.0)));
        let mut linear = self.linear.clone();
        linear.resize(count, 0.0);
        Programme {
            variables: count,
            squares: self.squares.clone(),
            linear,
            rows,
        }
    }
}
