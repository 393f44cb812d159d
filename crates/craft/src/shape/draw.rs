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
    attempt::{LITTLE, NOTHING},
    boundaries::{Levels, Old},
    frame::Frame,
    problem::{Clash, Found, Problem},
    sketch::{Detail, LEAST_RISE_C_PER_S, Passages, Sketch},
    spline::Spline,
    targets::TargetName,
    times::{Clock, Times, want_times},
    within::Corridors,
};
use crate::{plan::Plan, units::round_to_billionth};

/// Rounds until the times of the boundaries stand.
const ROUNDS: usize = 9;
/// They stand when none moves by this much, in s.
const STILL_S: f64 = 0.02;
/// … and by this much where wishes contradict each other: finer doesn't show beside what gives way.
const CLASHING_STILL_S: f64 = 0.2;

/// What is drawn from.
pub(super) struct Case<'a> {
    pub(super) plan: &'a Plan,
    pub(super) old: Old<'a>,
    pub(super) levels: Levels,
    /// Times of the boundaries passed that the curve should keep near, and what is wished.
    pub(super) times: Times,
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
        // While wishes contradict each other, nobody tries to meet them all.
        let mut is_clashing = false;
        for _ in 0..ROUNDS {
            if is_cancelled() {
                return Err(ShapeError::Cancelled);
            }
            let strict = (!is_clashing).then(|| {
                let problem = self.problem(&now, manner, last.as_ref(), Detail::Whole);
                problem.strictly_solved()
            });
            let found = match strict.flatten() {
                Some(found) => found,
                None if last.is_none() => {
                    // A curve forced through times that can't be says nothing of how it passes those that can.
                    last = Some(self.rough_passages(&now.at_s));
                    is_clashing = true;
                    continue;
                }
                None => {
                    let glance = self.problem(&now, manner, last.as_ref(), Detail::Glance);
                    glance.roughly_solved().ok_or(ShapeError::NoCurve)?
                }
            };
            // What clashes with the times as they stood may not clash once they can move.
            is_clashing = NOTHING < found.slack;
            let knots_s = now.times_s();
            let spline = Spline { knots_s: &knots_s };
            let shifts = &found.x[spline.variables()..][..now.at_s.len()];
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
            let at_s = now
                .at_s
                .iter()
                .zip(shifts)
                .map(|(at_s, shift)| at_s + shift);
            now = frame(at_s.collect());
        }
        let now = frame(self.settled_s(&now.at_s));
        let problem = self.problem(&now, manner, None, Detail::Whole);
        let found = if is_clashing {
            problem.relaxed()
        } else {
            problem.solved()
        };
        let found = found.ok_or(ShapeError::NoCurve)?;
        Ok(Drawing { frame: now, found })
    }

    /// Whether clearly less than `missed`, in units of the last digit shown, would be missed with the boundaries at `at_s`.
    pub(super) fn promises_less(&self, manner: &Manner<'_>, at_s: &[f64], missed: f64) -> bool {
        let frame = self.frame(manner, at_s.to_vec());
        let problem = self.problem(&frame, manner, None, Detail::Glance);
        let least = problem.least_missed();
        least.is_some_and(|least| least < missed - NOTHING.max(LITTLE * missed))
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

    /// How a curve through these times would pass them about: between the rises on both sides, nearer the slower one.
    fn rough_passages(&self, at_s: &[f64]) -> Passages {
        let levels_c = self.levels.passed.iter().map(|&(_, level_c)| level_c);
        let places = at_s.iter().copied().zip(levels_c);
        let mut last = (0.0, self.levels.start_c);
        let rises = places.map(|place| {
            let (time_s, temp_c) = (place.0 - last.0, place.1 - last.1);
            last = place;
            (temp_c / time_s).max(LEAST_RISE_C_PER_S)
        });
        let rises: Vec<f64> = rises.collect();
        let passage = |(index, &before): (usize, &f64)| {
            let after = rises.get(index + 1).copied().unwrap_or(before);
            (2.0 * before * after / (before + after), 0.0)
        };
        rises.iter().enumerate().map(passage).collect()
    }

    /// What gives way to what in `drawing`: its times may shift here, so that wishes for times are among the reasons.
    pub(super) fn clashes(&self, drawing: &Drawing, manner: &Manner<'_>) -> Vec<Clash> {
        let knots_s = drawing.frame.times_s();
        let spline = Spline { knots_s: &knots_s };
        let last = passages(&spline, &drawing.found.x, &drawing.frame.at_s);
        let here = |passages| self.problem(&drawing.frame, manner, passages, Detail::Whole);
        let mut clashes = here(Some(&last)).clashes();
        if clashes.is_empty() {
            clashes = here(None).clashes();
        }
        if clashes.iter().any(|clash| clash.against.is_empty()) {
            // Tangents may promise what the curve doesn't keep. What stands against the wish then shows where it is taken at its word.
            let frame = self.frame(manner, self.times.at_s.clone());
            let obstacles = self
                .problem(&frame, manner, None, Detail::Whole)
                .obstacles();
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
                let wish = self.times.wishes.wish(TargetName::Time(boundary));
                let ends = wish.map(|wish| [wish.least, wish.most]);
                let near = ends.into_iter().flatten().flatten();
                near.into_iter()
                    .find(|end_s| (end_s - time_s).abs() < STILL_S)
                    .unwrap_or_else(|| round_to_billionth(time_s))
            })
            .collect()
    }

    /// Everything wanted of the curve; the boundaries may shift only where it is known how the last curve passed them.
    fn problem(
        &self,
        frame: &Frame,
        manner: &Manner<'_>,
        passages: Option<&Passages>,
        detail: Detail,
    ) -> Problem {
        let knots_s = frame.times_s();
        let spline = Spline { knots_s: &knots_s };
        let first = spline.variables();
        let mut problem = Problem::new(first + 2 * frame.at_s.len());
        let mut sketch = Sketch::new(self, frame, &spline, &mut problem, detail);
        sketch.all(passages, manner.corridors);
        let clock = Clock {
            first,
            at_s: &frame.at_s,
            least_s: &self.times.least_s,
            scale_s: frame.drop_s(),
        };
        want_times(&mut problem, &self.levels, &self.times.wishes, &clock);
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
