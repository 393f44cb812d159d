//! A straight line of the rise between two points.
//!
//! The rise goes evenly from what it is at the first point, `a`, to what brings the temperature to the second point at its time:
//! `T(s) = T₁ + a s + (T₂ − T₁ − a w) (s / w)²` over the width `w`. A cubic piece whose ends have the parabola's values and slopes is the
//! parabola, so every point from the first to the last keeps the parabola's rise.

use super::HandError;
use crate::units::round_to_billionth;
use chaffinch_curve::{
    ControlPoint, EditRefusal, PointEdit, PointId, Segment, SetpointCurve, Shape,
};

/// A rise this little below zero is rounding, in °C/s.
const ROUNDING_C_PER_S: f64 = 1e-9;

/// The curve with a straight rise between two points.
///
/// The rise at the first is what somebody pinned there, else what the curve has. Pins on the way and at the last point follow the line;
/// stretches on the way become curved.
pub(super) fn straightened(
    curve: &SetpointCurve,
    from: PointId,
    to: PointId,
) -> Result<SetpointCurve, HandError> {
    let index = |id| curve.index_of(id).ok_or(EditRefusal::UnknownPoint { id });
    let (one, other) = (index(from)?, index(to)?);
    if one == other {
        return Err(HandError::OnePoint);
    }
    let (first, last) = (one.min(other), one.max(other));
    let mut points = curve.points().to_vec();
    let (start, end) = (points[first], points[last]);
    let width_s = end.time_s - start.time_s;
    let start_c_per_s = start
        .rise_by_hand_c_per_s()
        .unwrap_or_else(|| curve.rise_c_per_s(start.time_s));
    let bend = (end.temp_c - start.temp_c - start_c_per_s * width_s) / (width_s * width_s);
    let end_c_per_s = start_c_per_s + 2.0 * bend * width_s;
    if start_c_per_s >= 0.0 && end_c_per_s < -ROUNDING_C_PER_S {
        return Err(HandError::TurnsOver {
            number: first + 1,
            last: last + 1,
            start_c_per_s,
        });
    }
    keep_end_rises(curve, &mut points, first, last);
    for point in &mut points[first..=last] {
        let s = point.time_s - start.time_s;
        let temp_c = start.temp_c + (start_c_per_s + bend * s) * s;
        let is_end = point.id == start.id || point.id == end.id;
        if !is_end {
            point.temp_c = on_line(point, temp_c);
        }
        keep_rise(point, start_c_per_s + 2.0 * bend * s);
        if point.id != end.id {
            point.segment = Segment::Curved;
        }
    }
    Ok(curve.edited(&PointEdit::Replace(points))?)
}

/// The temperature `temp_c` of the line, or the point's own if it is already there: a locked point may lie on the line.
pub(super) fn on_line(point: &ControlPoint, temp_c: f64) -> f64 {
    let rounded_c = round_to_billionth(temp_c);
    if (rounded_c - point.temp_c).abs() <= 2e-9 {
        point.temp_c
    } else {
        rounded_c
    }
}

/// Gives the point this rise, in °C/s: by hand where it was pinned by hand, else only kept.
pub(super) fn keep_rise(point: &mut ControlPoint, rise_c_per_s: f64) {
    point.is_rise_kept = point.rise_by_hand_c_per_s().is_none();
    point.pinned_rise_c_per_s = Some(rise_c_per_s);
}

/// Keeps the rise at the curve's ends where points beside the one next to an end will move: a monotone curve's end looks at two
/// stretches, so the one that isn't touched would bend as well.
pub(super) fn keep_end_rises(
    curve: &SetpointCurve,
    points: &mut [ControlPoint],
    first: usize,
    last: usize,
) {
    let end = points.len() - 1;
    if curve.shape() != Shape::Monotone {
        return;
    }
    for (index, is_beside, stretch) in [(0, first == 1, 0), (end, last + 1 == end, end - 1)] {
        let is_curved = points[stretch].segment == Segment::Curved;
        let point = &mut points[index];
        if is_beside && is_curved && point.pinned_rise_c_per_s.is_none() {
            keep_rise(point, curve.rise_c_per_s(point.time_s));
        }
    }
}
