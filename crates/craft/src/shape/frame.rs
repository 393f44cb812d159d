//! Where the points of the new curve stand in time: those of the old one, moved with the boundaries, and more where they are too few.

use super::boundaries::{Levels, Old};
use crate::plan::Plan;
use chaffinch_curve::{ControlPoint, MAX_TIME_S};

/// Points rest on tenths of a second, so that they can be read and typed.
const TENTHS_PER_S: f64 = 10.0;
/// A point that would move by less than this, in s, stays.
const SAME_S: f64 = 1e-6;
/// Points nearer to each other than this, in s, are taken as one: they would let the curve kink. Ours.
const LEAST_GAP_S: f64 = 4.0;
/// No point is put into a gap that it would halve to less than this, in s. Ours.
const LEAST_HALF_GAP_S: f64 = 6.0;
/// Most points of a shaped curve; a plan with more is thinned to this many. Ours: more than a hand would set, few enough to be drawn
/// in every frame of a drag.
pub(super) const MOST_POINTS: usize = 24;
/// A point this near to the place of the peak, as a share of the gap, moves there. Ours.
const SNAP_SHARE: f64 = 0.3;

/// A point of the new curve: when, and which point of the old one it was.
#[derive(Clone, Debug)]
pub(super) struct Knot {
    pub(super) time_s: f64,
    pub(super) was: Option<ControlPoint>,
    /// The number from 1 of the locked point that it is; its time can't change.
    locked: Option<usize>,
}

/// All points in time, and where the curve passes its boundaries.
#[derive(Clone, Debug)]
pub(super) struct Frame {
    pub(super) knots: Vec<Knot>,
    /// Of the boundaries passed, in s.
    pub(super) at_s: Vec<f64>,
    /// The place of the greatest rise in s, if one is wanted.
    pub(super) peak_s: Option<f64>,
    /// The old times of the boundaries with the new ones, rising; from charge to the drop.
    anchors: Vec<(f64, f64)>,
}

impl Knot {
    fn new(time_s: f64) -> Self {
        Self {
            time_s,
            was: None,
            locked: None,
        }
    }

    /// The number and the temperature in °C of the locked point that it is, if its temperature must stay.
    pub(super) fn held(&self) -> Option<(usize, f64)> {
        let was = self.was.filter(|was| was.lock.holds_temp())?;
        Some((self.locked?, was.temp_c))
    }
}

impl Frame {
    /// The points of `plan` with its boundaries moved to `at_s`, at least `count` of them where they find room.
    pub(super) fn of(
        plan: &Plan,
        old: &Old<'_>,
        levels: &Levels,
        at_s: Vec<f64>,
        peak_s: Option<f64>,
        count: usize,
    ) -> Self {
        let mut anchors = vec![(0.0, 0.0)];
        for (&(_, level_c), &new_s) in levels.passed.iter().zip(&at_s) {
            let old_s = old.passes_s(level_c);
            if anchors
                .last()
                .is_some_and(|&(before_s, _)| before_s + 1.0 <= old_s)
            {
                anchors.push((old_s, new_s));
            }
        }
        let drop_s = at_s.last().copied().unwrap_or_default();
        let mut frame = Self {
            knots: Vec::new(),
            at_s,
            peak_s: peak_s.map(|peak_s| peak_s.clamp(0.0, (drop_s - LEAST_GAP_S).max(0.0))),
            anchors,
        };
        frame.take_points(plan);
        frame.end_behind(drop_s);
        frame.hold_peak();
        while frame.knots.len() < count && frame.halve_widest(drop_s) {}
        frame
    }

    /// Times of the knots, in s.
    pub(super) fn times_s(&self) -> Vec<f64> {
        self.knots.iter().map(|knot| knot.time_s).collect()
    }

    /// When the drop is, in s.
    pub(super) fn drop_s(&self) -> f64 {
        self.at_s.last().copied().unwrap_or_default()
    }

    /// Where a moment of the old curve goes.
    fn moved_s(&self, time_s: f64) -> f64 {
        along(&self.anchors, time_s, |anchor| anchor)
    }

    /// Which moment of the old curve comes here.
    pub(super) fn was_s(&self, time_s: f64) -> f64 {
        along(&self.anchors, time_s, |(old_s, new_s)| (new_s, old_s))
    }

    fn take_points(&mut self, plan: &Plan) {
        let points = plan.curve.points();
        let last = points.len() - 1;
        let is_kept = |index: usize| {
            let (before, here) = (
                index * MOST_POINTS / points.len(),
                (index + 1) * MOST_POINTS / points.len(),
            );
            points.len() <= MOST_POINTS || before < here || index == 0
        };
        let mut knots: Vec<Knot> = Vec::new();
        for (index, point) in points.iter().enumerate() {
            let is_locked = point.lock.holds_time() || point.lock.holds_temp();
            let is_too_late = MAX_TIME_S < self.moved_s(point.time_s);
            if !is_locked && (is_too_late || !is_kept(index)) {
                continue;
            }
            let moved_s = self.moved_s(point.time_s);
            let stays = is_locked || index == 0 || (moved_s - point.time_s).abs() < SAME_S;
            let time_s = if stays {
                point.time_s
            } else if index == last {
                moved_s
            } else {
                (moved_s * TENTHS_PER_S).round() / TENTHS_PER_S
            };
            knots.push(Knot {
                time_s,
                was: Some(*point),
                locked: is_locked.then_some(index + 1),
            });
        }
        knots.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
        self.knots = knots;
        self.thin();
    }

    /// Takes away points that stand too near to another; locked ones stay, and the first.
    fn thin(&mut self) {
        let mut kept: Vec<Knot> = Vec::with_capacity(self.knots.len());
        for knot in self.knots.drain(..) {
            let before = kept
                .last()
                .map(|before| (before.time_s, before.locked.is_some()));
            match before {
                Some((before_s, is_locked)) if knot.time_s < before_s + LEAST_GAP_S => {
                    if knot.locked.is_none() {
                        continue;
                    }
                    if !is_locked && 1 < kept.len() {
                        kept.pop();
                    }
                    kept.push(knot);
                }
                _ => kept.push(knot),
            }
        }
        self.knots = kept;
    }

    /// Lets the curve end at the drop, or behind it where it did before.
    fn end_behind(&mut self, drop_s: f64) {
        let is_behind = |knot: &Knot| drop_s + LEAST_GAP_S < knot.time_s;
        if !self.knots.last().is_some_and(is_behind) {
            // What stands near the drop becomes the drop; a locked point there stays what it is.
            let is_near = |knot: &Knot| {
                drop_s - LEAST_GAP_S < knot.time_s && knot.locked.is_none() && 0.0 < knot.time_s
            };
            let was = self
                .knots
                .last()
                .filter(|knot| is_near(knot))
                .and_then(|knot| knot.was);
            self.knots.retain(|knot| !is_near(knot));
            if self.knots.last().is_none_or(|knot| knot.time_s < drop_s) {
                self.knots.push(Knot {
                    was,
                    ..Knot::new(drop_s)
                });
            }
        }
    }

    /// Puts a knot on the place of the peak and one between it and the start, so that the rise can turn there.
    fn hold_peak(&mut self) {
        let Some(peak_s) = self.peak_s else { return };
        if peak_s < 2.0 * LEAST_GAP_S {
            self.peak_s = Some(0.0);
            return;
        }
        let after = self.knots.partition_point(|knot| knot.time_s < peak_s);
        let after = after.clamp(1, self.knots.len() - 1);
        let gap_s = self.knots[after].time_s - self.knots[after - 1].time_s;
        let ends = [after - 1, after];
        let is_near = |&index: &usize| {
            let off_s = (self.knots[index].time_s - peak_s).abs();
            let reach_s = (SNAP_SHARE * gap_s).max(LEAST_GAP_S);
            off_s < reach_s && 0 < index && index + 1 < self.knots.len()
        };
        let nearest = ends.into_iter().filter(is_near).min_by(|&a, &b| {
            let off_s = |index: usize| (self.knots[index].time_s - peak_s).abs();
            off_s(a).total_cmp(&off_s(b))
        });
        match nearest {
            Some(index) if self.knots[index].locked.is_some() => {
                self.peak_s = Some(self.knots[index].time_s);
            }
            Some(index) => self.knots[index].time_s = peak_s,
            None => self.knots.insert(after, Knot::new(peak_s)),
        }
        let peak_s = self.peak_s.unwrap_or_default();
        let is_between = |knot: &Knot| 0.0 < knot.time_s && knot.time_s < peak_s;
        if !self.knots.iter().any(is_between) {
            self.knots.insert(1, Knot::new(peak_s / 2.0));
        }
    }

    /// Puts a point into the middle of the widest gap before the drop; not where it would be too narrow.
    fn halve_widest(&mut self, drop_s: f64) -> bool {
        let gap_s = |pair: &[Knot]| pair[1].time_s - pair[0].time_s;
        let before = self
            .knots
            .windows(2)
            .take_while(|pair| pair[0].time_s < drop_s);
        let widest = before
            .enumerate()
            .max_by(|(_, a), (_, b)| gap_s(a).total_cmp(&gap_s(b)));
        let Some((index, pair)) = widest else {
            return false;
        };
        if gap_s(pair) < 2.0 * LEAST_HALF_GAP_S {
            return false;
        }
        let middle_s = f64::midpoint(pair[0].time_s, pair[1].time_s);
        let time_s = (middle_s * TENTHS_PER_S).round() / TENTHS_PER_S;
        self.knots.insert(index + 1, Knot::new(time_s));
        true
    }

    /// The knot at the place of the peak.
    pub(super) fn peak_knot(&self) -> Option<usize> {
        let peak_s = self.peak_s?;
        self.knots.iter().position(|knot| knot.time_s == peak_s)
    }
}

/// The way of `time_s` along anchors of (from, to) with straight lines between; shifted behind the last.
fn along(anchors: &[(f64, f64)], time_s: f64, read: impl Fn((f64, f64)) -> (f64, f64)) -> f64 {
    let after = anchors.iter().position(|&anchor| time_s < read(anchor).0);
    match after {
        Some(after) if 0 < after => {
            let (from, to) = (read(anchors[after - 1]), read(anchors[after]));
            from.1 + (time_s - from.0) * (to.1 - from.1) / (to.0 - from.0)
        }
        Some(_) => time_s,
        None => {
            let (from, to) = anchors.last().map_or((0.0, 0.0), |&last| read(last));
            to + time_s - from
        }
    }
}
