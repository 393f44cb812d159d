//! Easing into the drop: from a moment on the rise falls without a turn to what is wished at the drop.
//!
//! Between the beginning (rise `a`) and the drop (rise `d`) the temperature is one cubic, so the rise is a parabola in time with the mean
//! `m = rise in temperature / width`. It falls all the way, `a` to `d`, exactly if `(a + 2 d) / 3 ≤ m ≤ (2 a + d) / 3` (its slope at
//! both ends is not above zero). While the mean that the drop's time asks for lies in that range, time and temperature of the drop stay;
//! else the drop's temperature stays and its time moves just so far that the mean comes to lie on the range's border.

use super::{
    HandError, RiseAtDrop, point_near,
    straighten::{keep_end_rises, keep_rise, on_line},
};
use crate::{
    edit::{Boundary, MarkName},
    limits::{BOUNDARY_TOLERANCE_S, EASED_SHARE_RANGE, LEAST_EASED_S, TOUCHES_S},
    plan::PlanParts,
    warp::reach_s,
};
use chaffinch_curve::{ControlPoint, EditRefusal, PointEdit, PointId, Segment, SetpointCurve};

/// Times come to rest on tenths of a second, so that they can be read and typed.
const TENTHS_PER_S: f64 = 10.0;
/// A point this near to a moment, in s, is at it.
const SAME_MOMENT_S: f64 = 1e-6;

/// The curve eased into the drop, from the point `from` or from first crack.
pub(super) fn eased(
    parts: &PlanParts,
    from: Option<PointId>,
    rise: RiseAtDrop,
) -> Result<SetpointCurve, HandError> {
    let curve = &parts.curve;
    let drop_s =
        reach_s(parts, curve, Boundary::Drop).ok_or(HandError::NotReached { what: "the drop" })?;
    let first_crack_s = reach_s(parts, curve, Boundary::Mark(MarkName::FirstCrack));
    let (curve, start) = match from {
        Some(id) => {
            let index = curve.index_of(id).ok_or(EditRefusal::UnknownPoint { id })?;
            let time_s = curve.points()[index].time_s;
            if first_crack_s.is_some_and(|crack_s| time_s < crack_s - BOUNDARY_TOLERANCE_S) {
                return Err(HandError::BeforeFirstCrack { number: index + 1 });
            }
            (curve.clone(), curve.points()[index])
        }
        None => with_start(
            curve,
            first_crack_s.ok_or(HandError::NotReached {
                what: "first crack before the drop",
            })?,
        )?,
    };
    if drop_s - start.time_s < LEAST_EASED_S {
        return Err(HandError::TooShort);
    }
    let start_c_per_s = start
        .rise_by_hand_c_per_s()
        .unwrap_or_else(|| curve.rise_c_per_s(start.time_s));
    let (mut points, last) = with_drop(&curve, drop_s, parts.finishes.chosen().temp_c)?;
    let first = points.partition_point(|point| point.time_s < start.time_s);
    let fall = Fall::of([&start, &points[last]], start_c_per_s, rise)?;
    keep_end_rises(&curve, &mut points, first, last);
    fall.reshape(&mut points, first, last);
    Ok(curve.edited(&PointEdit::Replace(points))?)
}

/// The curve with a point where easing from first crack at `crack_s` begins, and that point: as soon as there is room for one.
fn with_start(
    curve: &SetpointCurve,
    crack_s: f64,
) -> Result<(SetpointCurve, ControlPoint), HandError> {
    let later = |from_s: f64| {
        let mut points = curve.points().iter();
        points.find(move |point| from_s - SAME_MOMENT_S <= point.time_s)
    };
    let stands_for = |point: Option<&ControlPoint>, from_s: f64| {
        point
            .copied()
            .filter(|point| point.time_s < from_s + TOUCHES_S)
    };
    let in_tenths = |time_s: f64| (time_s * TENTHS_PER_S).ceil() / TENTHS_PER_S;
    if let Some(point) = stands_for(later(crack_s), crack_s) {
        return Ok((curve.clone(), point));
    }
    let before = curve.points().iter().rfind(|point| point.time_s < crack_s);
    let free_s = before.map_or(0.0, |point| point.time_s + TOUCHES_S);
    let time_s = in_tenths(crack_s.max(free_s));
    if let Some(point) = stands_for(later(crack_s), time_s) {
        return Ok((curve.clone(), point));
    }
    let with = curve.edited(&PointEdit::InsertOnCurve { time_s })?;
    let point = with.points()[with.points().partition_point(|point| point.time_s < time_s)];
    Ok((with, point))
}

/// The points with one at the drop, and its index. A point that is too near to have another one beside it comes to lie on the drop.
fn with_drop(
    curve: &SetpointCurve,
    drop_s: f64,
    drop_c: f64,
) -> Result<(Vec<ControlPoint>, usize), HandError> {
    let rounded_s = (drop_s * TENTHS_PER_S).round() / TENTHS_PER_S;
    let (mut points, index) = if let Some(index) = point_near(curve, drop_s) {
        (curve.points().to_vec(), index)
    } else {
        let time_s = rounded_s;
        let with = curve.edited(&PointEdit::InsertOnCurve { time_s })?;
        let index = with.points().partition_point(|point| point.time_s < time_s);
        (with.points().to_vec(), index)
    };
    let point = &mut points[index];
    if (point.time_s - drop_s).abs() > SAME_MOMENT_S {
        point.time_s = rounded_s;
    }
    point.temp_c = drop_c;
    Ok((points, index))
}

/// The cubic between beginning and drop, and how its time relates to that of the curve before.
struct Fall {
    start_c_per_s: f64,
    end_c_per_s: f64,
    climb_c: f64,
    old_width_s: f64,
    width_s: f64,
}

impl Fall {
    fn of(
        [start, end]: [&ControlPoint; 2],
        start_c_per_s: f64,
        rise: RiseAtDrop,
    ) -> Result<Self, HandError> {
        let (least, most) = EASED_SHARE_RANGE;
        let end_c_per_s = match rise {
            RiseAtDrop::Share(share) if (least..=most).contains(&share) => share * start_c_per_s,
            RiseAtDrop::Rise(rise) if rise.is_finite() && rise >= 0.0 => rise,
            _ => return Err(HandError::EndOutside),
        };
        let climb_c = end.temp_c - start.temp_c;
        if start_c_per_s <= end_c_per_s || climb_c <= 0.0 {
            return Err(HandError::NothingToEase {
                start_c_per_s,
                wished_c_per_s: end_c_per_s,
            });
        }
        let old_width_s = end.time_s - start.time_s;
        let mean = climb_c / old_width_s;
        let lowest = (start_c_per_s + 2.0 * end_c_per_s) / 3.0;
        let highest = (2.0 * start_c_per_s + end_c_per_s) / 3.0;
        let ends_at = |width_s: f64| (start.time_s + width_s) * TENTHS_PER_S;
        let width_s = if mean < lowest {
            ends_at(climb_c / lowest).floor() / TENTHS_PER_S - start.time_s
        } else if highest < mean {
            ends_at(climb_c / highest).ceil() / TENTHS_PER_S - start.time_s
        } else {
            old_width_s
        };
        if width_s < LEAST_EASED_S {
            return Err(HandError::TooShort);
        }
        Ok(Self {
            start_c_per_s,
            end_c_per_s,
            climb_c,
            old_width_s,
            width_s,
        })
    }

    /// What is added to the first temperature, in °C, and the rise, in °C/s, at `s` (s after the beginning).
    fn at(&self, s: f64) -> (f64, f64) {
        let (a, d) = (self.start_c_per_s, self.end_c_per_s);
        let mean = self.climb_c / self.width_s;
        let share = s / self.width_s;
        let (linear, square) = (6.0 * mean - 4.0 * a - 2.0 * d, 3.0 * (a + d) - 6.0 * mean);
        let rise = a + (linear + square * share) * share;
        let climbed = (a + (linear / 2.0 + square / 3.0 * share) * share) * s;
        (climbed, rise)
    }

    /// Moves the points from `first` to `last` onto the cubic, and those behind along in time.
    fn reshape(&self, points: &mut [ControlPoint], first: usize, last: usize) {
        let start = points[first];
        let later_s = self.width_s - self.old_width_s;
        for (index, point) in points.iter_mut().enumerate().skip(first) {
            if later_s != 0.0 && first < index {
                let share = (point.time_s - start.time_s) / self.old_width_s;
                let to_s = point.time_s + share.min(1.0) * later_s;
                point.time_s = (to_s * TENTHS_PER_S).round() / TENTHS_PER_S;
            }
            if last < index {
                continue;
            }
            let s = point.time_s - start.time_s;
            let (climbed_c, rise_c_per_s) = self.at(s);
            if first < index && index < last {
                point.temp_c = on_line(point, start.temp_c + climbed_c);
            }
            keep_rise(point, rise_c_per_s);
            if index < last {
                point.segment = Segment::Curved;
            }
        }
    }
}
