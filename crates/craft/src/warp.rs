//! Moving a phase boundary in time.
//!
//! The control points between the neighbouring boundaries are stretched or squeezed evenly in time; their
//! temperatures stay. Because the curve between points is no straight line, the boundary then lies close to, not
//! on, the wished time, so the stretch is corrected by the secant method until it does.

use crate::{
    edit::Boundary,
    limits::{BOUNDARY_TOLERANCE_S, MIN_PHASE_S},
    plan::PlanParts,
};
use chaffinch_curve::{ControlPoint, EditRefusal, PointEdit, SetpointCurve};
use thiserror::Error;

/// Stretched points come to rest on tenths of a second, so that they can be read and typed.
const TENTHS_PER_S: f64 = 10.0;
/// Most corrections; the secant method needs about four.
const MAX_CORRECTIONS: usize = 24;

/// Why a boundary can't be moved.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum WarpError {
    /// The curve doesn't reach the boundary.
    #[error(
        "the curve doesn't reach {boundary}, so there is nothing to move in time; extend the curve first"
    )]
    NotReached {
        /// The boundary's name.
        boundary: &'static str,
    },
    /// Too close to the boundary beside it.
    #[error(
        "{boundary} at {wished_s:.1} s would leave a phase shorter than {MIN_PHASE_S} s; expected {least_s:.1} to {most_s:.1} s"
    )]
    TooClose {
        /// The boundary's name.
        boundary: &'static str,
        /// The wished time in s.
        wished_s: f64,
        /// The least possible time in s.
        least_s: f64,
        /// The greatest possible time in s.
        most_s: f64,
    },
    /// No stretch of the points brings the boundary there.
    #[error(
        "no stretch of the points brings {boundary} to {wished_s:.1} s; move points by hand instead"
    )]
    NoSolution {
        /// The boundary's name.
        boundary: &'static str,
        /// The wished time in s.
        wished_s: f64,
    },
    /// The curve refused the stretched points.
    #[error(transparent)]
    Refused(#[from] EditRefusal),
}

/// The part of the time axis that a boundary may move in, with its place: (before, now, after).
struct Stretch {
    before_s: f64,
    now_s: f64,
    /// `None` behind the drop: what lies there is shifted, not squeezed.
    after_s: Option<f64>,
}

impl Stretch {
    fn of(parts: &PlanParts, boundary: Boundary) -> Result<Self, WarpError> {
        let reach = |boundary| reach_s(parts, &parts.curve, boundary);
        let now_s = reach(boundary).ok_or(WarpError::NotReached {
            boundary: boundary.label(),
        })?;
        let others = || Boundary::ALL.into_iter().filter(|&other| other != boundary);
        let before_s = others()
            .filter_map(reach)
            .filter(|&time_s| time_s < now_s)
            .fold(0.0, f64::max);
        let after_s = others()
            .filter_map(reach)
            .filter(|&time_s| time_s > now_s)
            .reduce(f64::min);
        Ok(Self {
            before_s,
            now_s,
            after_s,
        })
    }

    /// Where a moment of the old curve goes when the boundary goes to `to_s`, and by what factor time stretches there.
    fn warp(&self, time_s: f64, to_s: f64) -> (f64, f64) {
        let between = |from: f64, until: f64, new_from: f64, new_until: f64| {
            let factor = (new_until - new_from) / (until - from);
            (new_from + (time_s - from) * factor, factor)
        };
        match self.after_s {
            _ if time_s <= self.before_s => (time_s, 1.0),
            _ if time_s <= self.now_s => between(self.before_s, self.now_s, self.before_s, to_s),
            Some(after_s) if time_s <= after_s => between(self.now_s, after_s, to_s, after_s),
            Some(_) => (time_s, 1.0),
            None => (time_s + to_s - self.now_s, 1.0),
        }
    }

    fn limits_s(&self) -> (f64, f64) {
        let most_s = self
            .after_s
            .map_or(chaffinch_curve::MAX_TIME_S, |after_s| after_s - MIN_PHASE_S);
        (self.before_s + MIN_PHASE_S, most_s)
    }
}

/// The least and greatest time, in s, that the boundary may be dragged to; `None` if the curve doesn't reach it.
///
/// Points can be closer together than the phases allow; the edit says so when it is refused.
pub fn boundary_limits_s(parts: &PlanParts, boundary: Boundary) -> Option<(f64, f64)> {
    Stretch::of(parts, boundary)
        .ok()
        .map(|stretch| stretch.limits_s())
}

/// The curve with `boundary` at `to_s`.
///
/// # Errors
/// [`WarpError`] when the curve doesn't reach the boundary, the wish leaves a phase too short, a locked point is in
/// the way, or points would come too close to each other.
pub(crate) fn move_boundary(
    parts: &PlanParts,
    boundary: Boundary,
    to_s: f64,
) -> Result<SetpointCurve, WarpError> {
    let stretch = Stretch::of(parts, boundary)?;
    let (least_s, most_s) = stretch.limits_s();
    if !(least_s..=most_s).contains(&to_s) {
        return Err(WarpError::TooClose {
            boundary: boundary.label(),
            wished_s: to_s,
            least_s,
            most_s,
        });
    }
    if to_s == stretch.now_s {
        return Ok(parts.curve.clone());
    }
    let no_solution = WarpError::NoSolution {
        boundary: boundary.label(),
        wished_s: to_s,
    };
    let try_at = |at_s: f64| -> Result<(SetpointCurve, f64), WarpError> {
        let curve = warped(&parts.curve, &stretch, at_s)?;
        let found_s = reach_s(parts, &curve, boundary).ok_or_else(|| no_solution.clone())?;
        Ok((curve, found_s - to_s))
    };
    let (mut last_at_s, mut last_miss_s) = (stretch.now_s, stretch.now_s - to_s);
    let mut at_s = to_s;
    for _ in 0..MAX_CORRECTIONS {
        let (curve, miss_s) = try_at(at_s)?;
        if miss_s.abs() <= BOUNDARY_TOLERANCE_S {
            return Ok(curve);
        }
        let slope = (miss_s - last_miss_s) / (at_s - last_at_s);
        if slope == 0.0 || !slope.is_finite() {
            break;
        }
        (last_at_s, last_miss_s) = (at_s, miss_s);
        at_s = (at_s - miss_s / slope).clamp(least_s, most_s);
    }
    Err(no_solution)
}

fn warped(curve: &SetpointCurve, stretch: &Stretch, to_s: f64) -> Result<SetpointCurve, WarpError> {
    let points = curve.points().iter().map(|point| {
        let (warped_s, factor) = stretch.warp(point.time_s, to_s);
        let moves = factor != 1.0 || warped_s != point.time_s;
        ControlPoint {
            time_s: if moves {
                (warped_s * TENTHS_PER_S).round() / TENTHS_PER_S
            } else {
                point.time_s
            },
            pinned_rise_c_per_s: point.pinned_rise_c_per_s.map(|rise| rise / factor),
            ..*point
        }
    });
    Ok(curve.edited(&PointEdit::Replace(points.collect()))?)
}

fn reach_s(parts: &PlanParts, curve: &SetpointCurve, boundary: Boundary) -> Option<f64> {
    let drop_s = curve.first_reach(parts.finishes.chosen().temp_c);
    let Boundary::Mark(mark) = boundary else {
        return drop_s;
    };
    let time_s = curve.first_reach(mark.temp_c(&parts.marks))?;
    drop_s
        .is_none_or(|drop_s| time_s <= drop_s)
        .then_some(time_s)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]
    use super::*;
    use crate::{Edit, MarkName, Plan, edit::Refusal};
    use chaffinch_curve::{Lock, PointId, Shape};

    fn plan(shape: Shape) -> Plan {
        let knots = [
            (0.0, 105.0),
            (60.0, 135.0),
            (150.0, 162.0),
            (300.0, 192.0),
            (420.0, 208.0),
            (500.0, 220.0),
        ];
        let points = knots
            .iter()
            .zip(1..)
            .map(|(&(time_s, temp_c), id)| ControlPoint::new(PointId(id), time_s, temp_c))
            .collect();
        let mut parts = Plan::fresh().into_parts();
        parts.curve = SetpointCurve::new(shape, points).unwrap();
        Plan::new(parts).unwrap()
    }

    #[test]
    fn boundary_lands_where_it_was_sent() {
        for shape in [Shape::Monotone, Shape::Smooth] {
            let plan = plan(shape);
            for (boundary, to_s) in [
                (Boundary::Mark(MarkName::ColourChange), 120.0),
                (Boundary::Mark(MarkName::ColourChange), 170.0),
                (Boundary::Mark(MarkName::FirstCrack), 310.0),
                (Boundary::Drop, 520.0),
                (Boundary::Drop, 400.0),
            ] {
                let edit = Edit::MoveBoundary { boundary, to_s };
                let moved = plan.edited(&edit).unwrap();
                let found_s = reach_s(&moved, &moved.curve, boundary).unwrap();
                assert!(
                    (found_s - to_s).abs() <= BOUNDARY_TOLERANCE_S,
                    "{boundary:?} {to_s} {found_s}"
                );
            }
        }
    }

    #[test]
    fn temperatures_stay_and_points_before_stay() {
        let plan = plan(Shape::Monotone);
        let edit = Edit::MoveBoundary {
            boundary: Boundary::Drop,
            to_s: 480.0,
        };
        let moved = plan.edited(&edit).unwrap();
        for (old, new) in plan.curve.points().iter().zip(moved.curve.points()) {
            assert_eq!(old.temp_c, new.temp_c, "temperature");
        }
        assert_eq!(
            moved.curve.points()[1],
            plan.curve.points()[1],
            "before first crack"
        );
    }

    #[test]
    fn locked_time_refuses_the_stretch() {
        let plan = plan(Shape::Monotone);
        let lock = PointEdit::SetLock {
            ids: vec![PointId(5)],
            lock: Lock::Time,
        };
        let plan = plan.edited(&Edit::Points(lock)).unwrap();
        let refusal = plan.edited(&Edit::MoveBoundary {
            boundary: Boundary::Drop,
            to_s: 500.0,
        });
        assert!(
            matches!(refusal, Err(Refusal::Warp(WarpError::Refused(_)))),
            "{refusal:?}"
        );
    }

    #[test]
    fn neighbouring_boundary_stops_the_move() {
        let plan = plan(Shape::Monotone);
        let refusal = plan.edited(&Edit::MoveBoundary {
            boundary: Boundary::Mark(MarkName::FirstCrack),
            to_s: 100.0,
        });
        assert!(
            matches!(refusal, Err(Refusal::Warp(WarpError::TooClose { .. }))),
            "{refusal:?}"
        );
    }
}
