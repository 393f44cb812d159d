//! Bending the line of the rise at a point; the temperature follows by integration.
//!
//! The points move by the integral of a bump about the point ([`Bump`]), which reaches to its neighbours and at least
//! [`LEAST_BUMP_S`] far. How high the bump must be depends on how the curve finds its slopes (the monotone one takes a harmonic mean of
//! both sides), so its height is solved for; and where the drop stays, also what is taken back ([`TakenBack`]).

use super::{
    HandError, KeptEnd,
    bump::Bump,
    root::root,
    taken_back::{self, TakenBack},
};
use crate::{
    edit::Boundary,
    limits::{BENT_RISE_RANGE_C_PER_S, BOUNDARY_TOLERANCE_S, LEAST_BUMP_S, LEAST_LEFT_SHARE},
    plan::PlanParts,
    units::round_to_billionth,
    warp::reach_s,
};
use chaffinch_curve::{ControlPoint, EditRefusal, PointEdit, PointId, Segment, SetpointCurve};

/// The rise is met to this, in °C/s: a hundred-thousandth of what is shown.
const RISE_TOLERANCE_C_PER_S: f64 = 1e-8;
/// The drop's temperature is met to this, in °C: far below what is shown.
const DROP_TOLERANCE_C: f64 = 1e-7;
/// A pinned rise counts as what the curve has there if they differ by no more, in °C/s.
const SAME_RISE_C_PER_S: f64 = 1e-9;
/// A smaller change of a temperature is rounding, in °C.
const ROUNDING_C: f64 = 1e-9;
/// Most corrections of what is taken back.
const MAX_CORRECTIONS: usize = 24;

/// The curve with the rise `to_c_per_s` at the point `id`.
pub(super) fn bent(
    parts: &PlanParts,
    id: PointId,
    to_c_per_s: f64,
    keep: KeptEnd,
) -> Result<SetpointCurve, HandError> {
    let curve = &parts.curve;
    let index = curve.index_of(id).ok_or(EditRefusal::UnknownPoint { id })?;
    let (least, most) = BENT_RISE_RANGE_C_PER_S;
    if !(least..=most).contains(&to_c_per_s) {
        return Err(HandError::RiseOutside {
            wished_c_per_s: to_c_per_s,
        });
    }
    let point = &curve.points()[index];
    let now_c_per_s = curve.rise_c_per_s(point.time_s);
    let by_c_per_s = to_c_per_s - now_c_per_s;
    if by_c_per_s.abs() <= RISE_TOLERANCE_C_PER_S {
        return Ok(curve.clone());
    }
    let bend = Bend::of(parts, index, to_c_per_s, keep)?;
    let pinned = point.pinned_rise_c_per_s;
    if pinned.is_some_and(|pinned| (pinned - now_c_per_s).abs() <= SAME_RISE_C_PER_S) {
        return bend.at(by_c_per_s);
    }
    // A curve through points takes about half of what the secants on both sides get.
    let first = 2.0 * by_c_per_s;
    root(-by_c_per_s, first, RISE_TOLERANCE_C_PER_S, |height| {
        let bent = bend.at(height)?;
        let miss = bent.rise_c_per_s(point.time_s) - to_c_per_s;
        Ok::<_, HandError>((bent, miss))
    })?
    .ok_or(bend.no_bend())
}

/// A bend that is being worked out.
struct Bend<'a> {
    parts: &'a PlanParts,
    index: usize,
    to_c_per_s: f64,
    bump: Bump,
    taken_back: Option<TakenBack>,
}

impl<'a> Bend<'a> {
    fn of(
        parts: &'a PlanParts,
        index: usize,
        to_c_per_s: f64,
        keep: KeptEnd,
    ) -> Result<Self, HandError> {
        let bump = bump(parts, index, keep);
        check_holds(&parts.curve, index, &bump)?;
        let taken_back = match keep {
            KeptEnd::Start => None,
            KeptEnd::Drop => Some(TakenBack::of(parts, index, &bump)?),
        };
        Ok(Self {
            parts,
            index,
            to_c_per_s,
            bump,
            taken_back,
        })
    }

    fn no_bend(&self) -> HandError {
        HandError::NoBend {
            number: self.index + 1,
            wished_c_per_s: self.to_c_per_s,
        }
    }

    /// The curve with a bump of this height, in °C/s, and what stays where it was.
    fn at(&self, height_c_per_s: f64) -> Result<SetpointCurve, HandError> {
        let Some(taken) = &self.taken_back else {
            return self.with(height_c_per_s, 0.0);
        };
        let added_c = height_c_per_s * self.bump.area_s(taken.until_s);
        let mut share = added_c / taken.whole_c;
        for _ in 0..MAX_CORRECTIONS {
            if share > 1.0 - LEAST_LEFT_SHARE {
                return Err(HandError::TooMuchTaken {
                    number: self.index + 1,
                    wished_c_per_s: self.to_c_per_s,
                });
            }
            let bent = self.with(height_c_per_s, share)?;
            let miss_c = bent.temp_c(taken.until_s) - taken.until_c;
            if miss_c.abs() <= DROP_TOLERANCE_C {
                return self
                    .keeps_drop(taken, &bent)
                    .then_some(bent)
                    .ok_or(self.no_bend());
            }
            share += miss_c / taken.whole_c;
        }
        Err(self.no_bend())
    }

    /// Whether the curve doesn't get to the drop earlier by a hump before it.
    fn keeps_drop(&self, taken: &TakenBack, bent: &SetpointCurve) -> bool {
        let found_s = reach_s(self.parts, bent, Boundary::Drop);
        taken.drop_s.is_none_or(|drop_s| {
            found_s.is_some_and(|found_s| (found_s - drop_s).abs() <= BOUNDARY_TOLERANCE_S)
        })
    }

    fn with(&self, height_c_per_s: f64, share: f64) -> Result<SetpointCurve, HandError> {
        let curve = &self.parts.curve;
        let points = curve.points().iter().enumerate();
        let points = points.map(|(index, point)| self.moved(index, point, height_c_per_s, share));
        Ok(curve.edited(&PointEdit::Replace(points.collect()))?)
    }

    fn moved(
        &self,
        index: usize,
        point: &ControlPoint,
        height_c_per_s: f64,
        share: f64,
    ) -> ControlPoint {
        let time_s = point.time_s;
        let area_s = self.bump.area_s(time_s);
        let by_c = match &self.taken_back {
            None => height_c_per_s * area_s,
            // What is locked there, or the curve's end, stays to the last bit.
            Some(taken) if taken.drop_s.is_none() && taken.until_s <= time_s => {
                height_c_per_s * (area_s - self.bump.area_s(taken.until_s))
            }
            Some(taken) => height_c_per_s * area_s - share * taken.given_c(index),
        };
        let temp_c = if by_c.abs() < ROUNDING_C {
            point.temp_c
        } else {
            round_to_billionth(point.temp_c + by_c)
        };
        ControlPoint {
            temp_c,
            pinned_rise_c_per_s: point
                .pinned_rise_c_per_s
                .map(|rise| self.pinned(index, point, rise, height_c_per_s, share)),
            ..*point
        }
    }

    /// A rise pinned by hand stays, unless it is the one that is bent; one that was only kept bends with the curve.
    fn pinned(
        &self,
        index: usize,
        point: &ControlPoint,
        rise_c_per_s: f64,
        height_c_per_s: f64,
        share: f64,
    ) -> f64 {
        let gives_way = |taken: &TakenBack| taken.gives_way(point.time_s, &self.bump);
        if index == self.index {
            self.to_c_per_s
        } else if !point.is_rise_kept {
            rise_c_per_s
        } else if self.taken_back.as_ref().is_some_and(gives_way) {
            rise_c_per_s - share * rise_c_per_s.max(0.0)
        } else {
            rise_c_per_s + height_c_per_s * self.bump.height(point.time_s)
        }
    }
}

/// The bump about the point at `index`, inside what is locked on both sides.
fn bump(parts: &PlanParts, index: usize, keep: KeptEnd) -> Bump {
    let points = parts.curve.points();
    let middle_s = points[index].time_s;
    let before = index.checked_sub(1).map(|before| &points[before]);
    let wide_s = |neighbour: Option<&ControlPoint>| {
        neighbour.map_or(0.0, |point| {
            (point.time_s - middle_s).abs().max(LEAST_BUMP_S)
        })
    };
    let [locked_before_s, locked_behind_s] = taken_back::locked_beside_s(&parts.curve, index);
    let left_s = wide_s(before).min(middle_s - locked_before_s.unwrap_or(0.0));
    let mut right_s = wide_s(points.get(index + 1));
    if let (KeptEnd::Drop, Some(locked_s)) = (keep, locked_behind_s) {
        right_s = right_s.min(locked_s - middle_s);
    }
    Bump {
        middle_s,
        left_s,
        right_s,
    }
}

fn check_holds(curve: &SetpointCurve, index: usize, bump: &Bump) -> Result<(), HandError> {
    let is_in_the_way = |pair: &[ControlPoint]| {
        pair[0].segment == Segment::Hold
            && pair[0].time_s < bump.end_s()
            && bump.start_s() < pair[1].time_s
    };
    if curve.points().windows(2).any(is_in_the_way) {
        return Err(HandError::Held { number: index + 1 });
    }
    Ok(())
}
