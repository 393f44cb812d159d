//! The setpoint curve: checked control points and the interpolant through them.

use crate::crossing::Crossing;
use crate::curve_error::CurveError;
use crate::interpolant::Interpolant;
use crate::limits::{
    GAP_ROUNDING_S, LEVEL_TOLERANCE_C, MAX_PINNED_RISE_C_PER_S, MAX_POINTS, MAX_TEMP_C, MAX_TIME_S,
    MIN_GAP_S, MIN_POINTS, MIN_TEMP_C,
};
use crate::point::{ControlPoint, PointId, Segment, Shape};
use crate::run::setpoint_knots;
use crate::samples::Samples;

/// A temperature over time that can't hold invalid points.
///
/// There are 2 to 200 points with ids of their own, the first at 0 s, each at least 1 s after the one before, up to
/// 3,600 s, at 0 to 320 °C, all finite; the points at both ends of a hold have one temperature; the last point's segment
/// is `Curved`. Before the first and after the last point the end temperature holds, with no rise.
#[derive(Debug, Clone)]
pub struct SetpointCurve {
    shape: Shape,
    points: Vec<ControlPoint>,
    interpolant: Interpolant,
}

impl PartialEq for SetpointCurve {
    /// Same shape and points; the rest follows from them.
    fn eq(&self, other: &Self) -> bool {
        self.shape == other.shape && self.points == other.points
    }
}

impl SetpointCurve {
    /// A curve of `shape` through `points` in order of time.
    ///
    /// # Errors
    /// The first rule of the type that a point breaks.
    pub fn new(shape: Shape, mut points: Vec<ControlPoint>) -> Result<Self, CurveError> {
        if let Some(last) = points.last_mut() {
            last.segment = Segment::Curved;
        }
        for point in &mut points {
            point.is_rise_kept &= point.pinned_rise_c_per_s.is_some();
        }
        check(&points)?;
        let knots = setpoint_knots(shape, &points);
        let interpolant = Interpolant::through(&knots);
        Ok(Self {
            shape,
            points,
            interpolant,
        })
    }

    /// How curved segments find their slopes.
    pub fn shape(&self) -> Shape {
        self.shape
    }

    /// The points, sorted by time.
    pub fn points(&self) -> &[ControlPoint] {
        &self.points
    }

    /// The point named `id`.
    pub fn point(&self, id: PointId) -> Option<&ControlPoint> {
        self.points.iter().find(|point| point.id == id)
    }

    /// Where in [`SetpointCurve::points`] the point named `id` is.
    pub fn index_of(&self, id: PointId) -> Option<usize> {
        self.points.iter().position(|point| point.id == id)
    }

    /// The last point.
    pub fn last(&self) -> &ControlPoint {
        &self.points[self.points.len() - 1]
    }

    /// Time of the last point, in s.
    pub fn end_s(&self) -> f64 {
        self.last().time_s
    }

    /// The id that the next inserted point gets: one above the highest in use, or the lowest free one at the very top.
    pub fn next_id(&self) -> PointId {
        let highest = self
            .points
            .iter()
            .map(|point| point.id.0)
            .max()
            .unwrap_or(0);
        let is_free = |id: &u32| self.point(PointId(*id)).is_none();
        PointId(
            highest
                .checked_add(1)
                .or_else(|| (0..highest).find(is_free))
                .unwrap_or(highest),
        )
    }

    /// Temperature at `time_s`, in °C.
    pub fn temp_c(&self, time_s: f64) -> f64 {
        self.interpolant.value(time_s)
    }

    /// Exact rate of rise at `time_s`, in °C/s; at a point that of the segment to the right (last point: to the left).
    pub fn rise_c_per_s(&self, time_s: f64) -> f64 {
        self.interpolant.slope(time_s)
    }

    /// Exact second derivative at `time_s`, in °C/s², with the same rule at points.
    pub fn bend_c_per_s2(&self, time_s: f64) -> f64 {
        self.interpolant.bend(time_s)
    }

    /// Integral of the temperature from `from_s` to `to_s`, in °C s.
    pub fn area_c_s(&self, from_s: f64, to_s: f64) -> f64 {
        self.interpolant.area(from_s, to_s)
    }

    /// The interpolant through the points, in s and °C.
    pub fn interpolant(&self) -> &Interpolant {
        &self.interpolant
    }

    /// Where the curve meets `level_c` (°C), sorted; times in s.
    pub fn crossings(&self, level_c: f64) -> Vec<Crossing> {
        self.interpolant.crossings(level_c, LEVEL_TOLERANCE_C)
    }

    /// First time, in s, at which the curve is at or above `level_c` (°C); 0 if it starts there.
    pub fn first_reach(&self, level_c: f64) -> Option<f64> {
        if self.points[0].temp_c >= level_c {
            return Some(0.0);
        }
        self.crossings(level_c)
            .first()
            .map(|crossing| crossing.start())
    }

    /// The curve every `step_s` from 0 to `until_s`, both included (the last step may be shorter). `step_s` below
    /// 0.01 s counts as 0.01 s, `until_s` outside 0 to 3,600 s as the nearer of them; past the end the end temperature
    /// holds. About 1 ns a sample.
    pub fn sample(&self, step_s: f64, until_s: f64) -> Samples {
        Samples::of(&self.interpolant, step_s, until_s)
    }
}

fn check(points: &[ControlPoint]) -> Result<(), CurveError> {
    let found = points.len();
    if found < MIN_POINTS {
        return Err(CurveError::TooFewPoints { found });
    }
    if found > MAX_POINTS {
        return Err(CurveError::TooManyPoints { found });
    }
    for (i, point) in points.iter().enumerate() {
        check_alone(i + 1, point)?;
    }
    if points[0].time_s != 0.0 {
        return Err(CurveError::StartNotZero {
            found: points[0].time_s,
        });
    }
    for (i, pair) in points.windows(2).enumerate() {
        check_pair(i + 2, &pair[0], &pair[1])?;
    }
    check_ids(points)
}

fn check_alone(number: usize, point: &ControlPoint) -> Result<(), CurveError> {
    let pinned = point.pinned_rise_c_per_s.unwrap_or(0.0);
    for (quantity, found) in [
        ("time", point.time_s),
        ("temperature", point.temp_c),
        ("pinned rise", pinned),
    ] {
        if !found.is_finite() {
            return Err(CurveError::NotFinite {
                number,
                quantity,
                found,
            });
        }
    }
    if !(0.0..=MAX_TIME_S).contains(&point.time_s) {
        return Err(CurveError::TimeOutside {
            number,
            found: point.time_s,
        });
    }
    if !(MIN_TEMP_C..=MAX_TEMP_C).contains(&point.temp_c) {
        return Err(CurveError::TempOutside {
            number,
            found: point.temp_c,
        });
    }
    if pinned.abs() > MAX_PINNED_RISE_C_PER_S {
        return Err(CurveError::RiseOutside {
            number,
            found: pinned,
        });
    }
    Ok(())
}

fn check_pair(
    number: usize,
    before: &ControlPoint,
    point: &ControlPoint,
) -> Result<(), CurveError> {
    if point.time_s - before.time_s < MIN_GAP_S - GAP_ROUNDING_S {
        return Err(CurveError::TooClose {
            number,
            found: point.time_s,
            previous: before.time_s,
        });
    }
    if before.segment == Segment::Hold && before.temp_c != point.temp_c {
        return Err(CurveError::UnevenHold {
            number: number - 1,
            found: before.temp_c,
            next: point.temp_c,
        });
    }
    Ok(())
}

fn check_ids(points: &[ControlPoint]) -> Result<(), CurveError> {
    for (i, point) in points.iter().enumerate() {
        if points[..i].iter().any(|earlier| earlier.id == point.id) {
            return Err(CurveError::DoubleId {
                number: i + 1,
                id: point.id,
            });
        }
    }
    Ok(())
}
