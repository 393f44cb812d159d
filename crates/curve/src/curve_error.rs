//! Why points make no setpoint curve.

use thiserror::Error;

use crate::limits::{
    MAX_PINNED_RISE_C_PER_S, MAX_POINTS, MAX_TEMP_C, MAX_TIME_S, MIN_GAP_S, MIN_POINTS, MIN_TEMP_C,
};
use crate::point::PointId;

/// The rule that a list of points breaks; `number` counts points from 1.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum CurveError {
    /// Too few points.
    #[error("{found} points found, at least {MIN_POINTS} expected: add a point")]
    TooFewPoints {
        /// Points given.
        found: usize,
    },
    /// Too many points.
    #[error("{found} points found, at most {MAX_POINTS} expected: remove some")]
    TooManyPoints {
        /// Points given.
        found: usize,
    },
    /// An infinite number or none at all.
    #[error("point {number}: {quantity} is {found}, expected a finite number: give it one")]
    NotFinite {
        /// Which point.
        number: usize,
        /// What it is: `time`, `temperature` or `pinned rise`.
        quantity: &'static str,
        /// The value.
        found: f64,
    },
    /// The curve doesn't start at charge.
    #[error("point 1 is at {found} s, expected 0 s: move it to the start")]
    StartNotZero {
        /// Its time, in s.
        found: f64,
    },
    /// A time is beyond the longest curve.
    #[error("point {number} is at {found} s, expected 0 to {MAX_TIME_S} s: move it earlier")]
    TimeOutside {
        /// Which point.
        number: usize,
        /// Its time, in s.
        found: f64,
    },
    /// A point is too near to the one before, or earlier.
    #[error(
        "point {number} is at {found} s, expected at least {MIN_GAP_S} s after the point before at {previous} s: move one of them"
    )]
    TooClose {
        /// Which point.
        number: usize,
        /// Its time, in s.
        found: f64,
        /// Time of the point before, in s.
        previous: f64,
    },
    /// A temperature is outside the range.
    #[error(
        "point {number} is at {found} °C, expected {MIN_TEMP_C} to {MAX_TEMP_C} °C: move it inside"
    )]
    TempOutside {
        /// Which point.
        number: usize,
        /// Its temperature, in °C.
        found: f64,
    },
    /// A pinned rise is too large.
    #[error(
        "point {number} has its rise pinned at {found} °C/s, expected at most {MAX_PINNED_RISE_C_PER_S} °C/s either way: pin a smaller one"
    )]
    RiseOutside {
        /// Which point.
        number: usize,
        /// Its pinned rise, in °C/s.
        found: f64,
    },
    /// Two points share an id.
    #[error("point {number} has the id {} that an earlier point has: give each point its own", id.0)]
    DoubleId {
        /// The later point.
        number: usize,
        /// The shared id.
        id: PointId,
    },
    /// The ends of a hold differ.
    #[error(
        "point {number} holds {found} °C but the next point is at {next} °C, expected the same: level the points or make the segment curved or straight"
    )]
    UnevenHold {
        /// The point that the hold leaves.
        number: usize,
        /// Its temperature, in °C.
        found: f64,
        /// Temperature of the next point, in °C.
        next: f64,
    },
}
