//! Why an edit of points is refused.

use std::fmt;

use thiserror::Error;

use crate::curve_error::CurveError;
use crate::limits::MIN_GAP_S;
use crate::point::PointId;

/// One of a point's two coordinates.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Coordinate {
    /// The time.
    Time,
    /// The temperature.
    Temp,
}

impl fmt::Display for Coordinate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Time => "time",
            Self::Temp => "temperature",
        })
    }
}

/// A time in s as m:ss, with a decimal where it has one.
struct Clock(f64);

impl fmt::Display for Clock {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let tenths = (self.0 * 10.0).round();
        let sign = if tenths < 0.0 { "−" } else { "" };
        let (minutes, tenths) = ((tenths.abs() / 600.0).floor(), tenths.abs() % 600.0);
        if tenths % 10.0 == 0.0 {
            write!(f, "{sign}{minutes}:{:02}", tenths / 10.0)
        } else {
            write!(f, "{sign}{minutes}:{:04.1}", tenths / 10.0)
        }
    }
}

/// The reason of a refusal; `number` counts points from 1 in the curve before the edit.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum EditRefusal {
    /// No such point.
    #[error("the curve has no point with the id {}: choose one of its points", id.0)]
    UnknownPoint {
        /// The id asked for.
        id: PointId,
    },
    /// The edit would change or remove what is locked.
    #[error("the {coordinate} of point {number} is locked: unlock the point first")]
    Locked {
        /// The locked point.
        id: PointId,
        /// Which point.
        number: usize,
        /// What is locked.
        coordinate: Coordinate,
    },
    /// The first point would leave the charge.
    #[error(
        "the first point stays at 0 s, the charge, and would move to {found} s: select only points after it"
    )]
    FirstPointStays {
        /// The time it would have, in s.
        found: f64,
    },
    /// The first or last point can't be removed.
    #[error(
        "point {number} is the first or last one, expected a point between them: move it instead"
    )]
    EndPointStays {
        /// The point.
        id: PointId,
        /// Which point.
        number: usize,
    },
    /// A stretch or scale would turn the selection around or flatten it.
    #[error("the factor is {factor}, expected a number above 0: choose another")]
    Mirrors {
        /// The factor.
        factor: f64,
    },
    /// A point on the curve was asked for outside it.
    #[error("there is no curve at {time_s} s, expected a time between 0 and {end_s} s: choose one")]
    OutsideCurve {
        /// The time asked for, in s.
        time_s: f64,
        /// The last point's time, in s.
        end_s: f64,
    },
    /// A new point would be too near to another in time.
    #[error(
        "{time_s} s is too near to point {number} at {neighbour_s} s, expected at least {MIN_GAP_S} s between them: choose another time"
    )]
    TooClose {
        /// The time asked for, in s.
        time_s: f64,
        /// The point in the way.
        number: usize,
        /// Its time, in s.
        neighbour_s: f64,
    },
    /// A point would pass its neighbour.
    #[error("{} is past point {number} at {}; a point stays between its neighbours", Clock(*time_s), Clock(*neighbour_s))]
    PastNeighbour {
        /// The time asked for, in s.
        time_s: f64,
        /// The neighbour.
        number: usize,
        /// Its time, in s.
        neighbour_s: f64,
    },
    /// The last point has no segment to set.
    #[error(
        "point {number} is the last one, expected one that a segment leaves: choose an earlier point"
    )]
    NoSegment {
        /// Which point.
        number: usize,
    },
    /// The points would break a rule of the curve; its numbers count the points after the edit.
    #[error(transparent)]
    Breaks(#[from] CurveError),
}
