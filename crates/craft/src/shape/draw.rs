//! The curve as one quadratic programme: points and times of the boundaries together.
//!
//! What is made small is the integral of the square of the second derivative of the *rise*: a rise that falls evenly costs nothing,
//! as roasters would have it, whereas the more usual square of the temperature's second derivative would draw straight lines. The
//! outermost pieces don't count, because there the natural end of the spline bends whatever is drawn. Little weights keep times near
//! what they were and the start where it was; a tiny one pulls at the old curve, so that there is only one answer.
//!
//! When the curve passes a mark is no linear matter. Each time is therefore a variable, and the passage is put as a tangent to the
//! last curve found: temperature + rise · shift = mark. Three or four rounds bring the shift below a fiftieth of a second; in a last
//! one the times stand still, so that what is found is exact.

use super::{
    ShapeError,
    boundaries::{Clock, Levels, Old, ends, want_times},
    frame::Frame,
    ground::Ground,
    problem::{Clash, Found, Problem},
    programme::Row,
    spline::{Entries, Spline},
    targets::{TargetName, Targets},
    within::Corridors,
};
use crate::{plan::Plan, units::round_to_billionth};
use chaffinch_curve::{MAX_TEMP_C, MIN_TEMP_C};

/// Integral of the square of the rise's second derivative that costs 1, in °C²/s⁵: the rise changes how fast it falls by
/// 2 °C/min per minute within 100 s, over a roast of 500 s. Ours.
const UNIT_ROUGHNESS: f64 = 2e-7;
/// What the temperature's own second derivative costs beside it: 1 °C/s² squared over 1 s. Ours; it only decides where nothing else does.
const BEND_WEIGHT: f64 = 20.0;
/// Shift of a boundary's time that costs 1, in s. Ours.
const UNIT_SHIFT_S: f64 = 10.0;
/// Shift of the start within what is wished that costs 1, in °C. Ours.
const UNIT_START_C: f64 = 0.3;
/// Distance from the old curve that costs 1 if all points have it, in °C. Ours: as good as nothing.
const UNIT_PULL_C: f64 = 300.0;
/// Slowest rise of a drawn curve, in °C/s (0.1 °C/min): every mark is passed once. Ours.
const LEAST_RISE_C_PER_S: f64 = 0.1 / 60.0;
/// How much the rise bends at least on its way down, in °C/s²: above rounding, not to be seen.
const FALL_C_PER_S2: f64 = 1e-6;
/// How much it bends beside a peak that must stand at its place, in °C/s². Ours.
const PEAK_C_PER_S2: f64 = 2e-5;
/// Places in each piece at which rows stand that hold everywhere.
const PLACES: usize = 3;
/// … and for the greatest rise and the distance from the old curve, of which nothing may show between them.
const CLOSE_PLACES: usize = 6;
/// A boundary moves no farther than this in one round, in s.
const LONGEST_STEP_S: f64 = 40.0;
/// Rounds until the times of the boundaries stand.
const ROUNDS: usize = 8;
/// They stand when none moves by this much, in s.
const STILL_S: f64 = 0.02;
/// … and by this much where wishes contradict each other: finer doesn't show beside what gives way.
const CLASHING_STILL_S: f64 = 0.2;
/// °C/s in a °C/min.
const PER_MIN: f64 = 1.0 / 60.0;
/// °C/s² of a rise that climbs by 1 °C/min within 4 min. Ours: about how long a rise could climb.
const CLIMB_C_PER_S2: f64 = PER_MIN / 240.0;

/// What is drawn from.
pub(super) struct Case<'a> {
    pub(super) plan: &'a Plan,
    pub(super) targets: &'a Targets,
    pub(super) old: Old<'a>,
    pub(super) levels: Levels,
    /// Times of the boundaries passed that the curve should keep near, in s.
    pub(super) times_s: Vec<f64>,
}

/// How a curve is to be drawn.
#[derive(Clone, Debug)]
pub(super) struct Manner<'a> {
    /// Least number of points.
    pub(super) count: usize,
    /// Place of the greatest rise, in s.
    pub(super) peak_s: Option<f64>,
    /// What the machine can follow.
    pub(super) corridors: Option<&'a Corridors>,
}

/// A curve drawn.
#[derive(Clone, Debug)]
pub(super) struct Drawing {
    pub(super) frame: Frame,
    pub(super) found: Found,
}

impl Drawing {
    /// Temperatures of the points, in °C.
    pub(super) fn temps_c(&self) -> &[f64] {
        &self.found.x[..self.frame.knots.len()]
    }

    /// Whether it is better than `other`: less gives way, or the same and smoother.
    pub(super) fn is_better_than(&self, other: &Self) -> bool {
        let (slack, than) = (self.found.slack, other.found.slack);
        let is_level = (slack - than).abs() <= 0.01 * than.max(1.0);
        if is_level {
            self.found.objective < other.found.objective
        } else {
            slack < than
        }
    }
}

/// How the last round went through the boundaries: rise in °C/s and bend in °C/s² there.
type Passages = Vec<(f64, f64)>;

impl Case<'_> {
    /// Draws it.
    pub(super) fn drawn(
        &self,
        manner: &Manner<'_>,
        from_s: &[f64],
        is_cancelled: &dyn Fn() -> bool,
    ) -> Result<Drawing, ShapeError> {
        let frame = |at_s: Vec<f64>| self.frame(manner, at_s);
        let mut now = frame(from_s.to_vec());
        let mut last: Option<Passages> = None;
        // Once wishes have been found to contradict each other, nobody tries again to meet them all.
        let mut is_clashing = false;
        for _ in 0..ROUNDS {
            if is_cancelled() {
                return Err(ShapeError::Cancelled);
            }
            let problem = self.problem(&now, manner, last.as_ref());
            let strict = if is_clashing {
                None
            } else {
                problem.strictly_solved()
            };
            is_clashing |= strict.is_none();
            let found = strict
                .or_else(|| problem.roughly_solved())
                .ok_or(ShapeError::NoCurve)?;
            let knots_s = now.times_s();
            let spline = Spline { knots_s: &knots_s };
            let shifts = &found.x[spline.variables()..];
            let farthest_s = shifts.iter().map(|shift| shift.abs()).fold(0.0, f64::max);
            let is_first = last.is_none();
            last = Some(passages(&spline, &found.x, &now.at_s));
            let still_s = if is_clashing {
                CLASHING_STILL_S
            } else {
                STILL_S
            };
            if !is_first && farthest_s < still_s {
                break;
            }
            // What clashes with the times as they stood may not clash once they can move.
            is_clashing &= !is_first;
            let at_s = now
                .at_s
                .iter()
                .zip(shifts)
                .map(|(at_s, shift)| at_s + shift);
            now = frame(at_s.collect());
        }
        let now = frame(self.settled_s(&now.at_s));
        let problem = self.problem(&now, manner, None);
        let found = if is_clashing {
            problem.relaxed()
        } else {
            problem.solved()
        };
        let found = found.ok_or(ShapeError::NoCurve)?;
        Ok(Drawing { frame: now, found })
    }

    /// What is missed at least with the boundaries at `at_s`, in units of the last digit shown.
    pub(super) fn least_missed(&self, manner: &Manner<'_>, at_s: &[f64]) -> Option<f64> {
        let frame = self.frame(manner, at_s.to_vec());
        self.problem(&frame, manner, None).least_missed()
    }

    fn frame(&self, manner: &Manner<'_>, at_s: Vec<f64>) -> Frame {
        Frame::of(
            self.plan,
            &self.old,
            &self.levels,
            at_s,
            manner.peak_s,
            manner.count,
        )
    }

    /// What gives way to what in `drawing`: its times may shift here, so that wishes for times are among the reasons.
    pub(super) fn clashes(&self, drawing: &Drawing, manner: &Manner<'_>) -> Vec<Clash> {
        let knots_s = drawing.frame.times_s();
        let spline = Spline { knots_s: &knots_s };
        let last = passages(&spline, &drawing.found.x, &drawing.frame.at_s);
        let here = |passages| self.problem(&drawing.frame, manner, passages);
        let mut clashes = here(Some(&last)).clashes();
        if clashes.is_empty() {
            clashes = here(None).clashes();
        }
        if clashes.iter().any(|clash| clash.against.is_empty()) {
            // Tangents may promise what the curve doesn't keep. What stands against the wish then shows where it is taken at its word.
            let frame = self.frame(manner, self.times_s.clone());
            let obstacles = self.problem(&frame, manner, None).obstacles();
            for clash in clashes.iter_mut().filter(|clash| clash.against.is_empty()) {
                let others = obstacles
                    .iter()
                    .filter(|ground| **ground != clash.gives_way);
                clash.against = others.copied().collect();
            }
        }
        clashes
    }

    /// Times to rest on: those that are wished exactly as they are wished.
    fn settled_s(&self, at_s: &[f64]) -> Vec<f64> {
        let places = self.levels.passed.iter().zip(at_s);
        places
            .map(|(&(boundary, _), &time_s)| {
                let wish = self.targets.wish(TargetName::Time(boundary));
                let ends = wish.map(|wish| [wish.least, wish.most]);
                let near = ends.into_iter().flatten().flatten();
                near.into_iter()
                    .find(|end_s| (end_s - time_s).abs() < STILL_S)
                    .unwrap_or_else(|| round_to_billionth(time_s))
            })
            .collect()
    }

    /// Everything wanted of the curve; the boundaries may shift only where it is known how the last curve passed them.
    fn problem(&self, frame: &Frame, manner: &Manner<'_>, passages: Option<&Passages>) -> Problem {
        let knots_s = frame.times_s();
        let spline = Spline { knots_s: &knots_s };
        let first = spline.variables();
        let mut problem = Problem::new(first + frame.at_s.len());
        let mut sketch = Sketch {
            case: self,
            frame,
            spline: &spline,
            problem: &mut problem,
            places_s: places_s(&knots_s, frame.drop_s(), PLACES),
            close_places_s: places_s(&knots_s, frame.drop_s(), CLOSE_PLACES),
        };
        sketch.smoothness();
        sketch.start();
        sketch.rules();
        sketch.boundaries(passages);
        sketch.peak();
        sketch.near();
        if let Some(corridors) = manner.corridors {
            sketch.within(corridors);
        }
        let clock = Clock {
            first,
            at_s: &frame.at_s,
            scale_s: frame.drop_s(),
        };
        want_times(&mut problem, &self.levels, self.targets, &clock);
        problem
    }
}

fn passages(spline: &Spline<'_>, x: &[f64], at_s: &[f64]) -> Passages {
    let passage = |&time_s: &f64| {
        let (_, rise, bend) = spline.at(x, time_s);
        (rise.max(LEAST_RISE_C_PER_S), bend)
    };
    at_s.iter().map(passage).collect()
}

/// Places within every piece up to the drop, the drop among them.
fn places_s(knots_s: &[f64], drop_s: f64, count: usize) -> Vec<f64> {
    let pieces = knots_s.windows(2).flat_map(|pair| {
        let step_s = (pair[1] - pair[0]) / count as f64;
        (0..count).map(move |place| pair[0] + place as f64 * step_s)
    });
    let before = pieces.take_while(|&time_s| time_s < drop_s);
    before.chain([drop_s]).collect()
}

/// A problem while it is put together.
struct Sketch<'a> {
    case: &'a Case<'a>,
    frame: &'a Frame,
    spline: &'a Spline<'a>,
    problem: &'a mut Problem,
    /// In s, from charge to the drop.
    places_s: Vec<f64>,
    /// The same, closer.
    close_places_s: Vec<f64>,
}

impl Sketch<'_> {
    fn wish(&self, name: TargetName) -> Option<(f64, f64)> {
        self.case.targets.wish(name).map(ends)
    }

    fn smoothness(&mut self) {
        let count = self.frame.knots.len();
        for piece in 0..count - 1 {
            let width_s = self.spline.width_s(piece);
            if 0 < piece && piece + 2 < count {
                self.problem
                    .square(&self.spline.third(piece), 0.0, width_s / UNIT_ROUGHNESS);
            }
            // Simpson's rule is exact for the square of a straight line.
            let (from, to) = (
                self.spline.knot_bend(piece),
                self.spline.knot_bend(piece + 1),
            );
            let middle: Entries = from
                .iter()
                .chain(&to)
                .map(|&(index, value)| (index, value / 2.0))
                .collect();
            for (bend, share) in [(&from, 1.0), (&middle, 4.0), (&to, 1.0)] {
                self.problem
                    .square(bend, 0.0, BEND_WEIGHT * width_s * share / 6.0);
            }
        }
        let pull = UNIT_PULL_C.powi(-2) / count as f64;
        for (index, knot) in self.frame.knots.iter().enumerate() {
            let was_c = self.case.old.temp_c(self.frame.was_s(knot.time_s));
            self.problem.square(&Spline::knot_temp(index), was_c, pull);
        }
        for row in self.spline.joints() {
            self.problem.hold(row);
        }
    }

    fn start(&mut self) {
        let start = Spline::knot_temp(0);
        let name = TargetName::StartTemp;
        let (ground, (least, most)) = match self.wish(name) {
            Some(ends) => (Ground::Wish(name), ends),
            None => (
                Ground::Start,
                (self.case.levels.start_c, self.case.levels.start_c),
            ),
        };
        self.problem
            .want(ground, Row::between(start.clone(), least, most), 1.0);
        self.problem
            .square(&start, self.case.levels.start_c, UNIT_START_C.powi(-2));
    }

    fn rules(&mut self) {
        let drop_c = self.case.levels.temps_c[2];
        let ceiling_c = self.case.plan.machine.ceiling_c.max(drop_c);
        for (index, knot) in self.frame.knots.iter().enumerate() {
            let temp = Spline::knot_temp(index);
            self.problem
                .hold(Row::between(temp.clone(), MIN_TEMP_C, MAX_TEMP_C));
            if let Some((number, temp_c)) = knot.held() {
                self.problem
                    .want(Ground::Locked(number), Row::equal(temp, temp_c), 1.0);
            } else if self.frame.drop_s() < knot.time_s {
                self.problem
                    .want(Ground::Ceiling, Row::at_most(temp, ceiling_c), 1.0);
            }
        }
        let behind = self.frame.knots.iter().map(|knot| knot.time_s);
        let behind = behind.filter(|&time_s| self.frame.drop_s() < time_s);
        for time_s in self.places_s.iter().copied().chain(behind) {
            let row = Row::at_least(self.spline.rise(time_s), LEAST_RISE_C_PER_S);
            self.problem.want(Ground::Rising, row, PER_MIN);
        }
    }

    fn boundaries(&mut self, passages: Option<&Passages>) {
        let first = self.spline.variables();
        for (index, &(boundary, level_c)) in self.case.levels.passed.iter().enumerate() {
            let at_s = self.frame.at_s[index];
            let shift = first + index;
            let passage = passages.map(|passages| passages[index]);
            let with = |mut entries: Entries, slope: f64| {
                if slope != 0.0 {
                    entries.push((shift, slope));
                }
                entries
            };
            let (rise, bend) = passage.unwrap_or_default();
            let row = Row::equal(with(self.spline.temp(at_s), rise), level_c);
            self.problem.want(Ground::Marks, row, 1.0);
            let farthest_s = if passage.is_some() {
                LONGEST_STEP_S
            } else {
                0.0
            };
            self.problem
                .hold(Row::between(vec![(shift, 1.0)], -farthest_s, farthest_s));
            let off_s = self.case.times_s[index] - at_s;
            self.problem
                .square(&[(shift, 1.0)], off_s, UNIT_SHIFT_S.powi(-2));
            let name = TargetName::Rise(boundary);
            if let Some((least, most)) = self.wish(name) {
                let entries = with(self.spline.rise(at_s), bend);
                let row = Row::between(entries, least * PER_MIN, most * PER_MIN);
                self.problem.want(Ground::Wish(name), row, PER_MIN);
            }
        }
    }

    /// Greatest rise, its time, and a rise that only falls behind it.
    fn peak(&mut self) {
        if let Some((_, most)) = self
            .wish(TargetName::PeakRise)
            .filter(|(_, most)| most.is_finite())
        {
            for &time_s in &self.close_places_s {
                let row = Row::at_most(self.spline.rise(time_s), most * PER_MIN);
                self.problem
                    .want(Ground::Wish(TargetName::PeakRise), row, PER_MIN);
            }
        }
        let Some(peak) = self.frame.peak_knot() else {
            return;
        };
        let peak_s = self.frame.knots[peak].time_s;
        if let Some((least, _)) = self
            .wish(TargetName::PeakRise)
            .filter(|(least, _)| least.is_finite())
        {
            let row = Row::at_least(self.spline.rise(peak_s), least * PER_MIN);
            self.problem
                .want(Ground::Wish(TargetName::PeakRise), row, PER_MIN);
        }
        let inner = 1..self.frame.knots.len() - 1;
        if self.wish(TargetName::PeakTime).is_some() {
            self.turn_at(
                peak,
                [peak.saturating_sub(1)].into_iter().chain([peak + 1]),
                PEAK_C_PER_S2,
                TargetName::PeakTime,
            );
            // A rise that only falls behind its peak is highest there anyway.
            let falls = self.wish(TargetName::FallingRise).is_some();
            let top = self.spline.rise(peak_s);
            for &time_s in &self.close_places_s {
                if time_s != peak_s && !falls {
                    let row = Row::at_least(difference(&top, &self.spline.rise(time_s)), 0.0);
                    self.problem
                        .want(Ground::Wish(TargetName::PeakTime), row, PER_MIN);
                }
            }
        }
        if self.wish(TargetName::FallingRise).is_some() {
            self.turn_at(peak, inner, FALL_C_PER_S2, TargetName::FallingRise);
        }
    }

    /// The rise bends up before the knot `peak` and down behind it, at each of `knots`, by at least `least`.
    fn turn_at(
        &mut self,
        peak: usize,
        knots: impl Iterator<Item = usize>,
        least: f64,
        name: TargetName,
    ) {
        let ground = Ground::Wish(name);
        let last = self.frame.knots.len() - 1;
        for knot in knots.filter(|&knot| 0 < knot && knot < last && knot != peak) {
            let bend = self.spline.knot_bend(knot);
            let row = if knot < peak {
                Row::at_least(bend, least)
            } else {
                Row::at_most(bend, -least)
            };
            self.problem.want(ground, row, CLIMB_C_PER_S2);
        }
        if 0 < peak && peak < last {
            self.problem.want(
                ground,
                Row::equal(self.spline.knot_bend(peak), 0.0),
                CLIMB_C_PER_S2,
            );
        }
    }

    fn near(&mut self) {
        let Some((least, most)) = self.wish(TargetName::NearCurve) else {
            return;
        };
        let most_c = if most.is_finite() { most } else { least };
        for &time_s in &self.close_places_s {
            let was_c = self.case.plan.curve.temp_c(time_s);
            let row = Row::between(self.spline.temp(time_s), was_c - most_c, was_c + most_c);
            self.problem
                .want(Ground::Wish(TargetName::NearCurve), row, 1.0);
        }
    }

    fn within(&mut self, corridors: &Corridors) {
        for (time_s, slowest, fastest) in corridors.rows(self.frame.drop_s()) {
            let row = Row::between(self.spline.rise(time_s), slowest, fastest);
            self.problem
                .want(Ground::Wish(TargetName::WithinReach), row, PER_MIN);
        }
    }
}

fn difference(of: &[(usize, f64)], less: &[(usize, f64)]) -> Entries {
    let mut entries = of.to_vec();
    for &(index, value) in less {
        match entries.iter_mut().find(|entry| entry.0 == index) {
            Some(entry) => entry.1 -= value,
            None => entries.push((index, -value)),
        }
    }
    entries
}
