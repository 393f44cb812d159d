//! New points, on the curve or beside it.

use crate::edit::free_kept_rises;
use crate::limits::{GAP_ROUNDING_S, MIN_GAP_S};
use crate::point::{ControlPoint, CurvePoint, Segment, Shape};
use crate::refusal::EditRefusal;
use crate::run::setpoint_knots;
use crate::setpoint::SetpointCurve;

/// Slopes this near are the same, in °C/s: over an hour they part by less than 1e-8 °C.
const SLOPE_ROUNDING_C_PER_S: f64 = 1e-12;

/// Grid of the temperature of an inserted point, per °C.
const HUNDREDTHS_PER_C: f64 = 100.0;

/// `curve` with a point on it at `time_s`.
///
/// A smooth curve through one of its own points is the same curve. A monotone one would bend, so the new point is pinned
/// at the curve's rise, and so are the neighbours whose slopes the shorter segments would change; all these are marked as
/// kept, so that they go when the curve changes there.
pub(crate) fn with_point_on_curve(
    curve: &SetpointCurve,
    time_s: f64,
) -> Result<SetpointCurve, EditRefusal> {
    let end_s = curve.end_s();
    if !(0.0 < time_s && time_s < end_s) {
        return Err(EditRefusal::OutsideCurve { time_s, end_s });
    }
    let i = place_of(curve, time_s)?;
    let before = curve.points()[i - 1];
    let exact_c = curve.temp_c(time_s);
    let temp_c = match curve.shape() {
        // On a hundredth of a degree, so that it can be read and typed; the curve stays within half of that.
        Shape::Monotone => (exact_c * HUNDREDTHS_PER_C).round() / HUNDREDTHS_PER_C,
        // A smooth curve would swing about a point that isn't quite on it.
        Shape::Smooth => exact_c,
    };
    let mut point = ControlPoint::new(curve.next_id(), time_s, temp_c);
    point.segment = before.segment;
    if before.segment == Segment::Hold {
        point.temp_c = before.temp_c;
    }
    let mut points = curve.points().to_vec();
    points.insert(i, point);
    if before.segment == Segment::Curved && curve.shape() == Shape::Monotone {
        points[i].pinned_rise_c_per_s = Some(curve.rise_c_per_s(time_s));
        points[i].is_rise_kept = true;
        pin_changed_slopes(curve, &mut points, i);
    }
    curve.accepted(points)
}

/// `curve` with a point at `at`. A straight segment stays straight on both sides; so does a hold if the point is on it,
/// else both sides become curved.
pub(crate) fn with_point_at(
    curve: &SetpointCurve,
    at: CurvePoint,
) -> Result<SetpointCurve, EditRefusal> {
    let i = place_of(curve, at.time_s)?;
    let mut points = curve.points().to_vec();
    let mut point = ControlPoint::new(curve.next_id(), at.time_s, at.temp_c);
    if let Some(before) = i.checked_sub(1).map(|before| &mut points[before]) {
        if before.segment == Segment::Hold && before.temp_c != at.temp_c {
            before.segment = Segment::Curved;
        }
        point.segment = before.segment;
    }
    points.insert(i, point);
    free_kept_rises(&mut points, &[i]);
    curve.accepted(points)
}

/// The index that a point at `time_s` gets, if it is far enough from its neighbours.
fn place_of(curve: &SetpointCurve, time_s: f64) -> Result<usize, EditRefusal> {
    let points = curve.points();
    let i = points.partition_point(|point| point.time_s <= time_s);
    let neighbours = i.saturating_sub(1)..(i + 1).min(points.len());
    for (j, neighbour) in neighbours.clone().zip(&points[neighbours]) {
        let neighbour_s = neighbour.time_s;
        if (time_s - neighbour_s).abs() < MIN_GAP_S - GAP_ROUNDING_S {
            return Err(EditRefusal::TooClose {
                time_s,
                number: j + 1,
                neighbour_s,
            });
        }
    }
    Ok(i)
}

/// Pins the points of `curve` whose slopes the new point at `inserted` changes.
fn pin_changed_slopes(curve: &SetpointCurve, points: &mut [ControlPoint], inserted: usize) {
    let old = setpoint_knots(curve.shape(), curve.points());
    let new = setpoint_knots(curve.shape(), points);
    for (i, old) in old.iter().enumerate() {
        let j = if i < inserted { i } else { i + 1 };
        let changes = [
            (old.slope_in, new[j].slope_in),
            (old.slope_out, new[j].slope_out),
        ];
        let changed = changes
            .into_iter()
            .find(|(was, is)| (was - is).abs() > SLOPE_ROUNDING_C_PER_S);
        if let Some((was, _)) = changed {
            points[j].pinned_rise_c_per_s = Some(was);
            points[j].is_rise_kept = true;
        }
    }
}
