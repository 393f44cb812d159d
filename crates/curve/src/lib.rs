//! Setpoint curves: control points, splines, exact rate of rise, level crossings, marks and phases, point edits.
//!
//! Pure: no files, no clock, no randomness. Times in s since charge, temperatures in °C, rates of rise in °C/s.
//!
//! # Example: draw a curve, read it, move a point
//! ```
//! use chaffinch_curve::{
//!     ControlPoint, CurvePoint, Marks, Phases, PointEdit, PointId, SetpointCurve, Shape,
//! };
//!
//! let points = [(0.0, 25.0), (180.0, 140.0), (600.0, 215.0)];
//! let points = (0..).zip(points).map(|(id, (time_s, temp_c))| ControlPoint::new(PointId(id), time_s, temp_c));
//! let curve = SetpointCurve::new(Shape::Monotone, points.collect())?;
//! assert_eq!(curve.temp_c(180.0), 140.0);
//!
//! let to = CurvePoint { time_s: 200.0, temp_c: 150.0 };
//! let later = curve.edited(&PointEdit::Move { id: PointId(1), to })?;
//! let phases = Phases::of(&later, &Marks::default(), 215.0);
//! assert_eq!(phases.total_s.reached(), Some(&600.0));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

#![cfg_attr(not(test), warn(unused_crate_dependencies))]

mod crossing;
mod curve_error;
mod edit;
mod insert;
mod interpolant;
mod limits;
mod overshoot;
mod phases;
mod point;
mod quadratic;
mod refusal;
mod rise_fall;
mod rise_piece;
mod rise_turn;
mod run;
mod samples;
mod setpoint;
mod shift;
mod slopes;
mod span;

pub use crossing::Crossing;
pub use curve_error::CurveError;
pub use edit::PointEdit;
pub use interpolant::{Extrema, Interpolant, Knot, KnotError, Place};
pub use limits::{
    GAP_ROUNDING_S, LEVEL_TOLERANCE_C, MAX_PINNED_RISE_C_PER_S, MAX_POINTS, MAX_TEMP_C, MAX_TIME_S,
    MIN_GAP_S, MIN_POINTS, MIN_SAMPLE_STEP_S, MIN_TEMP_C,
};
pub use overshoot::{Overshoot, overshoots};
pub use phases::{Development, Marks, Passage, Phase, PhaseName, Phases, Reach};
pub use point::{ControlPoint, CurvePoint, Lock, Offset, PointId, Segment, Shape};
pub use refusal::{Coordinate, EditRefusal};
pub use rise_fall::{RiseFall, SteepFall, steep_falls};
pub use rise_turn::{RiseTurn, rise_turns};
pub use samples::Samples;
pub use setpoint::SetpointCurve;
pub use shift::{LimitedShift, ShiftLimit};
pub use span::{PlateauRule, Span, coolings, plateaus};
