//! Moving a phase boundary in time.
//!
//! Time is flexed smoothly (`handwork/flex.rs`): the boundary goes where it is wished, the other boundaries stay, and the control points
//! between move along; their temperatures stay. Because the curve between points is no straight line, the boundaries would then lie
//! close to, not on, their times; so where the map sends them is corrected (Broyden's method) until each crossing is where it should be.

use crate::{
    edit::Boundary,
    handwork::flex::{self, Flex, Moment, Tie},
    limits::{BOUNDARY_TOLERANCE_S, MIN_PHASE_S},
    plan::PlanParts,
    units::round_to_billionth,
};
use chaffinch_curve::{ControlPoint, EditRefusal, PointEdit, SetpointCurve};
use nalgebra::{DMatrix, DVector};
use thiserror::Error;

/// Stretched points come to rest on tenths of a second, so that they can be read and typed.
const TENTHS_PER_S: f64 = 10.0;
/// A point that would move by less than this, in s, stays: it is half of what times rest on.
const LEAST_MOVE_S: f64 = 0.05;
/// The crossings are brought this near to their times before points are rounded, in s.
const SOLVED_S: f64 = 1e-4;
/// A boundary that stays may be off by this before it is corrected, in s; rounding to tenths takes the rest of the tolerance.
const SLACK_S: f64 = 0.04;
/// Most corrections; about five are needed.
const MAX_CORRECTIONS: usize = 40;
/// Most halvings of a correction that would put moments out of order.
const MAX_HALVINGS: usize = 12;

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
    Solver::of(parts, boundary, to_s).solved()
}

/// The boundaries that the curve reaches, and where each should be.
struct Solver<'a> {
    parts: &'a PlanParts,
    boundary: Boundary,
    to_s: f64,
    /// Each with where it is and where it should be, in s, in order of time.
    reached: Vec<(Boundary, f64, f64)>,
}

/// How the times of flexed points come to rest.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Rest {
    /// As they are.
    Exact,
    /// On tenths of a second.
    Tenths,
    /// On billionths, where tenths are too coarse.
    Billionths,
}

impl<'a> Solver<'a> {
    fn of(parts: &'a PlanParts, boundary: Boundary, to_s: f64) -> Self {
        let mut reached: Vec<(Boundary, f64, f64)> = Boundary::ALL
            .into_iter()
            .filter_map(|one| Some((one, reach_s(parts, &parts.curve, one)?)))
            .map(|(one, now_s)| (one, now_s, if one == boundary { to_s } else { now_s }))
            .collect();
        let now_s = |wanted: Boundary| {
            let found = reached.iter().find(|(one, _, _)| *one == wanted);
            found.map_or(0.0, |&(_, now_s, _)| now_s)
        };
        // What lies on charge, or where the moved one is, can't be told from it; of the rest the order is strict.
        let moved_s = now_s(boundary);
        reached.retain(|&(one, now_s, _)| one == boundary || (0.0 < now_s && now_s != moved_s));
        reached.sort_by(|a, b| a.1.total_cmp(&b.1));
        reached.dedup_by(|later, earlier| later.1 == earlier.1);
        Self {
            parts,
            boundary,
            to_s,
            reached,
        }
    }

    fn no_solution(&self) -> WarpError {
        WarpError::NoSolution {
            boundary: self.boundary.label(),
            wished_s: self.to_s,
        }
    }

    /// The flexed curve whose boundaries are where they should be.
    fn solved(&self) -> Result<SetpointCurve, WarpError> {
        let wanted = self.reached.iter().map(|&(_, _, wanted_s)| wanted_s);
        let mut sent = DVector::from_iterator(self.reached.len(), wanted);
        let mut misses = self.to_mend_s(&self.flexed(&sent, Rest::Exact)?)?;
        // The map itself is nearly what moves the crossings, so its slope is nearly 1.
        let mut inverse = DMatrix::identity(sent.len(), sent.len());
        for _ in 0..MAX_CORRECTIONS {
            if misses.amax() <= SOLVED_S {
                return self.rested(&sent);
            }
            let mut step = -(&inverse * &misses);
            for _ in 0..MAX_HALVINGS {
                if flex::are_in_order(&self.moments(&(&sent + &step))) {
                    break;
                }
                step /= 2.0;
            }
            sent += &step;
            let after = self.to_mend_s(&self.flexed(&sent, Rest::Exact)?)?;
            let change = &after - &misses;
            // Broyden's update of the inverse (C. G. Broyden, Math. Comp. 19 (1965) 577, from memory).
            let seen = &inverse * &change;
            let along = step.dot(&seen);
            if along == 0.0 || !along.is_finite() {
                break;
            }
            inverse += (&step - &seen) * (step.transpose() * &inverse) / along;
            misses = after;
        }
        Err(self.no_solution())
    }

    /// The curve with its times at rest: on tenths if the boundaries then still are where they should be.
    fn rested(&self, sent: &DVector<f64>) -> Result<SetpointCurve, WarpError> {
        for rest in [Rest::Tenths, Rest::Billionths] {
            let curve = self.flexed(sent, rest)?;
            if self.misses_s(&curve)?.amax() <= BOUNDARY_TOLERANCE_S {
                return Ok(curve);
            }
        }
        Err(self.no_solution())
    }

    /// What is worth mending of the misses, in s: those of boundaries that stay only beyond [`SLACK_S`], so that a correction doesn't
    /// ripple on into phases that lie far away.
    fn to_mend_s(&self, curve: &SetpointCurve) -> Result<DVector<f64>, WarpError> {
        let mut misses = self.misses_s(curve)?;
        for (miss_s, &(boundary, _, _)) in misses.iter_mut().zip(&self.reached) {
            if boundary != self.boundary {
                *miss_s -= miss_s.clamp(-SLACK_S, SLACK_S);
            }
        }
        Ok(misses)
    }

    /// How far each boundary of `curve` is behind where it should be, in s.
    fn misses_s(&self, curve: &SetpointCurve) -> Result<DVector<f64>, WarpError> {
        let misses = self.reached.iter().map(|&(boundary, _, wanted_s)| {
            let found_s = reach_s(self.parts, curve, boundary);
            found_s.map(|found_s| found_s - wanted_s)
        });
        let misses: Option<Vec<f64>> = misses.collect();
        misses
            .map(DVector::from_vec)
            .ok_or_else(|| self.no_solution())
    }

    /// The curve after the map that sends the boundaries to `sent` (s).
    fn flexed(&self, sent: &DVector<f64>, rest: Rest) -> Result<SetpointCurve, WarpError> {
        let curve = &self.parts.curve;
        let flex = Flex::through(&self.moments(sent)).ok_or_else(|| self.no_solution())?;
        let points = curve.points().iter().map(|point| {
            let (to_s, factor) = flex.at(point.time_s);
            let stays = rest != Rest::Exact && (to_s - point.time_s).abs() < LEAST_MOVE_S;
            let time_s = match rest {
                _ if stays => point.time_s,
                Rest::Exact => to_s,
                Rest::Tenths => (to_s * TENTHS_PER_S).round() / TENTHS_PER_S,
                Rest::Billionths => round_to_billionth(to_s),
            };
            ControlPoint {
                time_s,
                pinned_rise_c_per_s: point.pinned_rise_c_per_s.map(|rise| rise / factor),
                ..*point
            }
        });
        let points: Vec<ControlPoint> = points.collect();
        if rest == Rest::Exact {
            // Locks are judged at the end: on the way a locked point may be off by what will be rounded away.
            let curve = SetpointCurve::new(curve.shape(), points);
            return Ok(curve.map_err(EditRefusal::from)?);
        }
        Ok(curve.edited(&PointEdit::Replace(points))?)
    }

    /// The moments of the map: charge, the boundaries, and the curve's end with what the last boundary moves by.
    fn moments(&self, sent: &DVector<f64>) -> Vec<Moment> {
        let tie = |boundary: Boundary| {
            if boundary == self.boundary {
                Tie::Free
            } else {
                Tie::Steady
            }
        };
        let mut moments = vec![Moment {
            from_s: 0.0,
            to_s: 0.0,
            tie: Tie::Free,
        }];
        let boundaries = self.reached.iter().zip(sent.iter());
        moments.extend(boundaries.map(|(&(boundary, from_s, _), &to_s)| Moment {
            from_s,
            to_s,
            tie: tie(boundary),
        }));
        let end_s = self.parts.curve.end_s();
        let last = moments[moments.len() - 1];
        if last.from_s < end_s {
            moments.push(Moment {
                from_s: end_s,
                to_s: end_s + last.to_s - last.from_s,
                tie: Tie::Free,
            });
        }
        moments
    }
}

/// When `curve`, with the marks and the finish of `parts`, reaches `boundary`, in s; a mark behind the drop isn't reached.
pub(crate) fn reach_s(parts: &PlanParts, curve: &SetpointCurve, boundary: Boundary) -> Option<f64> {
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
mod tests;
