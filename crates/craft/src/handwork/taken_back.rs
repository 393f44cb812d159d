//! From where a bend of the rise is taken back, so that start and drop stay.
//!
//! Between what stays on the left (the start, or a locked temperature) and on the right (the drop, or a locked temperature), all that
//! rises outside the bump rises by the same share less. What is held or falls is left alone.

use super::{HandError, bump::Bump};
use crate::{edit::Boundary, plan::PlanParts, warp::reach_s};
use chaffinch_curve::SetpointCurve;

/// The stretch that gives way, and the place that stays at its end.
#[derive(Clone, Debug)]
pub(super) struct TakenBack {
    /// Where the stretch begins, in s.
    pub(super) from_s: f64,
    /// Where it ends, in s: what stays.
    pub(super) until_s: f64,
    /// The temperature that stays there, in °C.
    pub(super) until_c: f64,
    /// The drop, in s, if the curve reaches it and it is what stays.
    pub(super) drop_s: Option<f64>,
    /// Integral of the rise that can give way, in °C, at each point of the curve.
    given_c: Vec<f64>,
    /// … and at the stretch's end.
    pub(super) whole_c: f64,
}

/// Times of the nearest points with a locked temperature before and behind the one at `index`, in s.
pub(super) fn locked_beside_s(curve: &SetpointCurve, index: usize) -> [Option<f64>; 2] {
    let is_locked = |point: &&chaffinch_curve::ControlPoint| point.lock.holds_temp();
    let points = curve.points();
    [
        points[..index].iter().rev().find(is_locked),
        points[index + 1..].iter().find(is_locked),
    ]
    .map(|found| found.map(|point| point.time_s))
}

/// Where the stretch ends: the time and temperature that stay, and whether it is the drop.
pub(super) fn end(parts: &PlanParts, index: usize) -> Result<(f64, f64, bool), HandError> {
    /// The drop on a point may be off by rounding.
    const ROUNDING_S: f64 = 1e-6;
    let curve = &parts.curve;
    let middle_s = curve.points()[index].time_s;
    let drop_s = reach_s(parts, curve, Boundary::Drop);
    if drop_s.is_some_and(|drop_s| drop_s < middle_s - ROUNDING_S) {
        return Err(HandError::BehindDrop { number: index + 1 });
    }
    let end_s = drop_s.unwrap_or(curve.end_s());
    let [_, locked_s] = locked_beside_s(curve, index);
    let until_s = locked_s.map_or(end_s, |locked_s| locked_s.min(end_s));
    Ok((until_s, curve.temp_c(until_s), drop_s == Some(until_s)))
}

impl TakenBack {
    /// What gives way to `bump` at the point at `index`.
    ///
    /// # Errors
    /// The point lies behind the drop, or nothing rises beside the bump.
    pub(super) fn of(parts: &PlanParts, index: usize, bump: &Bump) -> Result<Self, HandError> {
        let curve = &parts.curve;
        let (until_s, until_c, is_drop) = end(parts, index)?;
        let [locked_s, _] = locked_beside_s(curve, index);
        let from_s = locked_s.unwrap_or(0.0);
        let mut sum_c = 0.0;
        let mut given_c = vec![0.0];
        let mut whole_c = 0.0;
        for pair in curve.points().windows(2) {
            let (left, right) = (&pair[0], &pair[1]);
            let secant = (right.temp_c - left.temp_c) / (right.time_s - left.time_s);
            let overlap_s =
                |from: f64, until: f64| (right.time_s.min(until) - left.time_s.max(from)).max(0.0);
            let before_s = overlap_s(from_s, bump.start_s().min(until_s));
            let behind_s = overlap_s(bump.end_s().max(from_s), until_s);
            sum_c += secant.max(0.0) * (before_s + behind_s);
            given_c.push(sum_c);
            whole_c = sum_c;
        }
        if whole_c <= 0.0 {
            return Err(HandError::NothingGivesWay { number: index + 1 });
        }
        Ok(Self {
            from_s,
            until_s,
            until_c,
            drop_s: is_drop.then_some(until_s),
            given_c,
            whole_c,
        })
    }

    /// How much the points before and at the one at `index` could give, in °C.
    pub(super) fn given_c(&self, index: usize) -> f64 {
        self.given_c[index]
    }

    /// Whether what lies at `time_s` gives way to `bump`.
    pub(super) fn gives_way(&self, time_s: f64, bump: &Bump) -> bool {
        let is_inside = self.from_s <= time_s && time_s < self.until_s;
        is_inside && (time_s < bump.start_s() || bump.end_s() <= time_s)
    }
}
