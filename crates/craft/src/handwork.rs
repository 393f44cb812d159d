//! Curves shaped by hand in the lane of the rate of rise: the rise is bent, straightened or eased, and the temperature follows by
//! integration.
//!
//! Each is an edit that says what is meant; the files below turn it into other control points, and the curve checks those as it
//! checks any others: a locked coordinate stays, order and ranges hold, or the edit is refused with its reason.
//! Where a rise is to be exact between points, points get a *kept* rise (as an insertion leaves it): it goes when a point there changes.
//!
//! Moving a phase boundary in time has an edit of its own; its flexing of time is `flex.rs`.

mod bend;
mod bump;
mod ease;
pub(crate) mod flex;
mod root;
mod straighten;
mod taken_back;

use crate::{
    limits::{
        BENT_RISE_RANGE_C_PER_S, EASED_SHARE_RANGE, LEAST_EASED_S, LEAST_LEFT_SHARE, TOUCHES_S,
    },
    plan::PlanParts,
    units::{TempUnit, format_rise_with_unit, format_share_whole},
};
use chaffinch_curve::{EditRefusal, PointId, SetpointCurve};
use thiserror::Error;

/// What stays where it is while the rise is bent at a point.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum KeptEnd {
    /// Start and drop: what the bend adds is taken back from the rise of the rest of the roast, everywhere by the same share.
    #[default]
    Drop,
    /// The start and all before the bend; everything after it gets hotter or cooler.
    Start,
}

impl KeptEnd {
    /// Both, in the order that the window shows.
    pub const ALL: [Self; 2] = [Self::Drop, Self::Start];

    /// The end's name as the window shows it.
    pub fn label(self) -> &'static str {
        match self {
            Self::Drop => "Drop",
            Self::Start => "Start",
        }
    }

    /// What keeping it means, as a sentence.
    pub fn meaning(self) -> &'static str {
        match self {
            Self::Drop => {
                "Start and drop stay; what is added here is taken back from the rise of the rest of the roast"
            }
            Self::Start => {
                "What comes before stays; all that comes after gets hotter or cooler, the drop too"
            }
        }
    }

    /// The other one.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Drop => Self::Start,
            Self::Start => Self::Drop,
        }
    }
}

/// How fast the curve still rises at the drop after it was eased.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RiseAtDrop {
    /// This share of the rise where the easing begins; 0.05 to 0.95.
    Share(f64),
    /// This rise, in °C/s; 0 or more.
    Rise(f64),
}

/// A change of the curve by its rate of rise.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HandEdit {
    /// Bend the line of the rise so that it passes a point at another height: a smooth bump over the neighbouring points.
    BendRise {
        /// The point.
        id: PointId,
        /// The rise that the curve should have there, in °C/s.
        to_c_per_s: f64,
        /// What stays.
        keep: KeptEnd,
    },
    /// Make the rise between two points a straight line over time, from the rise at the earlier one; both points stay where they
    /// are, those between come to lie on the parabola.
    StraightenRise {
        /// One point.
        from: PointId,
        /// The other.
        to: PointId,
    },
    /// Let the rise fall evenly, without a turn, from a moment to the drop. The drop temperature stays; its time too, if a
    /// fall without a turn can keep it, else it moves as little as it can.
    EaseIntoDrop {
        /// The point at which the easing begins, at or behind first crack; without one it begins at first crack.
        from: Option<PointId>,
        /// The rise that is left at the drop.
        rise: RiseAtDrop,
    },
}

/// A rise in a message, in °C/min.
fn rise(rise_c_per_s: f64) -> String {
    format_rise_with_unit(rise_c_per_s, TempUnit::Celsius)
}

/// Why the curve can't be shaped so; `number` counts points from 1.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum HandError {
    /// The wished rise is beyond anything that is roasted.
    #[error(
        "{} is beyond any roast; expected {} to {}",
        rise(*wished_c_per_s), rise(BENT_RISE_RANGE_C_PER_S.0), rise(BENT_RISE_RANGE_C_PER_S.1)
    )]
    RiseOutside {
        /// The wished rise in °C/s.
        wished_c_per_s: f64,
    },
    /// Nothing rises beside the bend that could give way.
    #[error(
        "nothing beside point {number} rises that could give way, so start and drop can't both stay; add a point, or keep only the start"
    )]
    NothingGivesWay {
        /// The point.
        number: usize,
    },
    /// The rest of the roast would have to give nearly all its rise.
    #[error(
        "with {} at point {number} less than {} of its rise would be left to the rest of the roast; bend less, or keep only the start",
        rise(*wished_c_per_s), format_share_whole(LEAST_LEFT_SHARE)
    )]
    TooMuchTaken {
        /// The point.
        number: usize,
        /// The wished rise in °C/s.
        wished_c_per_s: f64,
    },
    /// The point lies behind what is kept.
    #[error("point {number} lies behind the drop, which is to stay; keep only the start")]
    BehindDrop {
        /// The point.
        number: usize,
    },
    /// A hold can't be bent.
    #[error(
        "the curve is held beside point {number}, and a held temperature has no rise to bend; make that stretch curved first"
    )]
    Held {
        /// The point.
        number: usize,
    },
    /// No bend gives the wished rise.
    #[error(
        "no bend of the curve brings the rise at point {number} to {}; move points by hand instead",
        rise(*wished_c_per_s)
    )]
    NoBend {
        /// The point.
        number: usize,
        /// The wished rise in °C/s.
        wished_c_per_s: f64,
    },
    /// One point is no stretch.
    #[error("a straight rise needs two different points: select the first and the last")]
    OnePoint,
    /// The straight line would cross zero.
    #[error(
        "a straight rise from {} at point {number} would fall below zero before point {last}; choose points nearer to each other",
        rise(*start_c_per_s)
    )]
    TurnsOver {
        /// The first point.
        number: usize,
        /// The last point.
        last: usize,
        /// The rise at the first, in °C/s.
        start_c_per_s: f64,
    },
    /// The curve doesn't get there.
    #[error("the curve doesn't reach {what}, so there is nothing to ease; extend the curve first")]
    NotReached {
        /// First crack or the drop.
        what: &'static str,
    },
    /// The easing would begin too early.
    #[error(
        "point {number} comes before first crack, where easing into the drop begins; choose a later point"
    )]
    BeforeFirstCrack {
        /// The point.
        number: usize,
    },
    /// There is no room to ease.
    #[error(
        "less than {LEAST_EASED_S} s lie between where the easing would begin and the drop; choose an earlier point"
    )]
    TooShort,
    /// The rise is already as low.
    #[error(
        "the rise of {} where the easing would begin is no higher than the {} wished at the drop",
        rise(*start_c_per_s), rise(*wished_c_per_s)
    )]
    NothingToEase {
        /// The rise where the easing would begin, in °C/s.
        start_c_per_s: f64,
        /// The rise wished at the drop, in °C/s.
        wished_c_per_s: f64,
    },
    /// The share or rise at the drop is out of range.
    #[error(
        "the rise at the drop should be {} to {} of the one where the easing begins, or a rise of 0 or more",
        format_share_whole(EASED_SHARE_RANGE.0), format_share_whole(EASED_SHARE_RANGE.1)
    )]
    EndOutside,
    /// The curve refused the points.
    #[error(transparent)]
    Refused(#[from] EditRefusal),
}

impl HandEdit {
    /// What the edit does, as a line of the history.
    pub(crate) fn label(self, curve: &SetpointCurve) -> String {
        let number = |id| curve.index_of(id).map_or(0, |index| index + 1);
        match self {
            Self::BendRise { id, .. } => format!("Bent the rise at point {}", number(id)),
            Self::StraightenRise { from, to } => {
                let (first, last) = (number(from).min(number(to)), number(from).max(number(to)));
                format!("Straightened the rise from point {first} to {last}")
            }
            Self::EaseIntoDrop { .. } => "Eased into the drop".to_owned(),
        }
    }
}

/// The curve of `parts` after `edit`.
///
/// # Errors
/// [`HandError`]: the point is unknown or locked, the rise can't be had, or the new points would break a rule of the curve.
pub(crate) fn shaped(parts: &PlanParts, edit: HandEdit) -> Result<SetpointCurve, HandError> {
    match edit {
        HandEdit::BendRise {
            id,
            to_c_per_s,
            keep,
        } => bend::bent(parts, id, to_c_per_s, keep),
        HandEdit::StraightenRise { from, to } => straighten::straightened(&parts.curve, from, to),
        HandEdit::EaseIntoDrop { from, rise } => ease::eased(parts, from, rise),
    }
}

/// The point of `curve` that lies at `time_s` or within [`TOUCHES_S`] of it, the nearest first.
fn point_near(curve: &SetpointCurve, time_s: f64) -> Option<usize> {
    let distance_s = |index: &usize| (curve.points()[*index].time_s - time_s).abs();
    let near = (0..curve.points().len()).filter(|index| distance_s(index) < TOUCHES_S);
    near.min_by(|a, b| distance_s(a).total_cmp(&distance_s(b)))
}
