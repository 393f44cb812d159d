//! Edits of points: each is applied whole or refused with a reason.
//!
//! A locked coordinate never changes, by whatever way an edit would reach it, except that [`PointEdit::SetLock`] may
//! unlock it. Points joined by holds share one temperature, so moving one carries the others. Every edit depends on
//! nothing but the curve and its own values, so a sequence of edits gives the same curve bit for bit.

use crate::curve_error::CurveError;
use crate::insert::{with_point_at, with_point_on_curve};
use crate::point::{ControlPoint, CurvePoint, Lock, Offset, PointId, Segment, Shape};
use crate::refusal::{Coordinate, EditRefusal};
use crate::setpoint::SetpointCurve;

/// What to do with points. Times in s, temperatures in °C.
#[derive(Debug, Clone, PartialEq)]
pub enum PointEdit {
    /// Put a point at a place.
    Move {
        /// The point.
        id: PointId,
        /// Its new place.
        to: CurvePoint,
    },
    /// Add a point that leaves the curve as it is (within 0.05 °C, mostly to rounding).
    InsertOnCurve {
        /// When.
        time_s: f64,
    },
    /// Add a point at a place, also after the end.
    InsertAt {
        /// Where.
        at: CurvePoint,
    },
    /// Remove points between the first and the last.
    Remove {
        /// The points.
        ids: Vec<PointId>,
    },
    /// Shift points.
    Shift {
        /// The points.
        ids: Vec<PointId>,
        /// How far.
        by: Offset,
    },
    /// Stretch the times of points about a pivot.
    StretchTime {
        /// The points.
        ids: Vec<PointId>,
        /// The time that stays.
        pivot_s: f64,
        /// Above 0; 2 doubles the distance to the pivot.
        factor: f64,
    },
    /// Scale the temperatures of points about a pivot.
    ScaleTemp {
        /// The points.
        ids: Vec<PointId>,
        /// The temperature that stays.
        pivot_c: f64,
        /// Above 0; 2 doubles the distance to the pivot.
        factor: f64,
    },
    /// Pin or free the rate of rise at a point.
    PinRise {
        /// The point.
        id: PointId,
        /// The rise in °C/s; `None` frees it.
        rise_c_per_s: Option<f64>,
    },
    /// Set how the curve runs from a point to the next one; a hold levels the next point.
    SetSegment {
        /// The point.
        id: PointId,
        /// How.
        segment: Segment,
    },
    /// Lock or unlock points.
    SetLock {
        /// The points.
        ids: Vec<PointId>,
        /// What to lock.
        lock: Lock,
    },
    /// Set the shape of the whole curve.
    SetShape(Shape),
    /// Put other points in place of all; locked points must be among them, unmoved, and stay locked.
    Replace(Vec<ControlPoint>),
}

impl SetpointCurve {
    /// The curve after `edit`.
    ///
    /// # Errors
    /// A point is unknown or locked; the first point would leave 0 s; an end point would be removed; a factor is not above
    /// 0; a new point is outside the curve or too near to another; the points would break a rule of the curve.
    pub fn edited(&self, edit: &PointEdit) -> Result<Self, EditRefusal> {
        match edit {
            PointEdit::Move { id, to } => {
                self.moved(&[*id], 1.0, |_| *to)
                    .map_err(|refusal| match refusal {
                        EditRefusal::Breaks(CurveError::TooClose { .. }) => {
                            self.past_neighbour(*id, to.time_s).unwrap_or(refusal)
                        }
                        _ => refusal,
                    })
            }
            PointEdit::InsertOnCurve { time_s } => with_point_on_curve(self, *time_s),
            PointEdit::InsertAt { at } => with_point_at(self, *at),
            PointEdit::Remove { ids } => self.without(ids),
            PointEdit::Shift { ids, by } => self.moved(ids, 1.0, |place| CurvePoint {
                time_s: place.time_s + by.time_s,
                temp_c: place.temp_c + by.temp_c,
            }),
            PointEdit::StretchTime {
                ids,
                pivot_s,
                factor,
            } => {
                check_factor(*factor)?;
                let stretched = |time_s: f64| pivot_s + (time_s - pivot_s) * factor;
                self.moved(ids, 1.0 / factor, |place| CurvePoint {
                    time_s: stretched(place.time_s),
                    ..place
                })
            }
            PointEdit::ScaleTemp {
                ids,
                pivot_c,
                factor,
            } => {
                check_factor(*factor)?;
                let scaled = |temp_c: f64| pivot_c + (temp_c - pivot_c) * factor;
                self.moved(ids, *factor, |place| CurvePoint {
                    temp_c: scaled(place.temp_c),
                    ..place
                })
            }
            PointEdit::PinRise { id, rise_c_per_s } => self.changed(&[*id], |point| {
                point.pinned_rise_c_per_s = *rise_c_per_s;
                point.is_rise_kept = false;
            }),
            PointEdit::SetSegment { id, segment } => self.with_segment(*id, *segment),
            PointEdit::SetLock { ids, lock } => self.changed(ids, |point| point.lock = *lock),
            PointEdit::SetShape(shape) => {
                let mut points = self.points().to_vec();
                let all: Vec<usize> = (0..points.len()).collect();
                free_kept_rises(&mut points, &all);
                Ok(Self::new(*shape, points)?)
            }
            PointEdit::Replace(points) => self.replaced(points.clone()),
        }
    }

    /// Moves points; a rise that was pinned at one of them by hand is multiplied by `rise_factor`.
    fn moved(
        &self,
        ids: &[PointId],
        rise_factor: f64,
        to: impl Fn(CurvePoint) -> CurvePoint,
    ) -> Result<Self, EditRefusal> {
        let indices = self.indices(ids)?;
        let mut points = self.points().to_vec();
        for &i in &indices {
            let from = self.points()[i].place();
            let place = to(from);
            points[i].time_s = without_noise(from.time_s, place.time_s);
            points[i].temp_c = without_noise(from.temp_c, place.temp_c);
            if let Some(rise_c_per_s) = &mut points[i].pinned_rise_c_per_s {
                *rise_c_per_s *= rise_factor;
            }
        }
        carry_holds(&mut points, &indices);
        let changed = self.changed_places(&points);
        free_kept_rises(&mut points, &changed);
        self.accepted(points)
    }

    /// Which neighbour the point `id` would pass at `time_s`, if any.
    fn past_neighbour(&self, id: PointId, time_s: f64) -> Option<EditRefusal> {
        let index = self.index_of(id)?;
        let is_past = |(i, point): &(usize, &ControlPoint)| {
            (*i < index && time_s < point.time_s) || (*i > index && point.time_s < time_s)
        };
        // The nearest one in its way.
        let nearest = self.points().iter().enumerate().filter(is_past);
        let (i, neighbour) = nearest.min_by_key(|(i, _)| i.abs_diff(index))?;
        Some(EditRefusal::PastNeighbour {
            time_s,
            number: i + 1,
            neighbour_s: neighbour.time_s,
        })
    }

    fn changed(
        &self,
        ids: &[PointId],
        change: impl Fn(&mut ControlPoint),
    ) -> Result<Self, EditRefusal> {
        let mut points = self.points().to_vec();
        for i in self.indices(ids)? {
            change(&mut points[i]);
        }
        Ok(Self::new(self.shape(), points)?)
    }

    fn with_segment(&self, id: PointId, segment: Segment) -> Result<Self, EditRefusal> {
        let i = self.indices(&[id])?[0];
        if i + 1 == self.points().len() {
            return Err(EditRefusal::NoSegment { number: i + 1 });
        }
        let mut points = self.points().to_vec();
        points[i].segment = segment;
        carry_holds(&mut points, &[i]);
        let mut changed = self.changed_places(&points);
        changed.extend([i, i + 1]);
        free_kept_rises(&mut points, &changed);
        self.accepted(points)
    }

    fn without(&self, ids: &[PointId]) -> Result<Self, EditRefusal> {
        let mut indices = self.indices(ids)?;
        indices.sort_unstable();
        indices.dedup();
        let mut points = self.points().to_vec();
        // From the back, so that the earlier indices stay right.
        for &i in indices.iter().rev() {
            if i == 0 || i + 1 == self.points().len() {
                return Err(EditRefusal::EndPointStays {
                    id: points[i].id,
                    number: i + 1,
                });
            }
            let removed = points.remove(i);
            free_kept_rises(&mut points, &[i - 1, i]);
            // Two segments of one kind become one of it.
            if points[i - 1].segment != removed.segment {
                points[i - 1].segment = Segment::Curved;
            }
        }
        self.accepted(points)
    }

    fn replaced(&self, mut points: Vec<ControlPoint>) -> Result<Self, EditRefusal> {
        for old in self.points().iter().filter(|old| old.lock != Lock::Free) {
            if let Some(new) = points.iter_mut().find(|new| new.id == old.id) {
                new.lock = old.lock;
            }
        }
        self.accepted(points)
    }

    /// The curve through `points`, if they keep what is locked and the first point at charge.
    pub(crate) fn accepted(&self, points: Vec<ControlPoint>) -> Result<Self, EditRefusal> {
        for (i, old) in self.points().iter().enumerate() {
            let new = points.iter().find(|new| new.id == old.id);
            let refusal = |coordinate| EditRefusal::Locked {
                id: old.id,
                number: i + 1,
                coordinate,
            };
            if old.lock.holds_time() && new.is_none_or(|new| new.time_s != old.time_s) {
                return Err(refusal(Coordinate::Time));
            }
            if old.lock.holds_temp() && new.is_none_or(|new| new.temp_c != old.temp_c) {
                return Err(refusal(Coordinate::Temp));
            }
        }
        match points.first() {
            Some(first)
                if first.id == self.points()[0].id
                    && first.time_s.is_finite()
                    && first.time_s != 0.0 =>
            {
                Err(EditRefusal::FirstPointStays {
                    found: first.time_s,
                })
            }
            _ => Ok(Self::new(self.shape(), points)?),
        }
    }

    /// Indices of the points that stand elsewhere in `points`, which has as many.
    fn changed_places(&self, points: &[ControlPoint]) -> Vec<usize> {
        let pairs = self.points().iter().zip(points).enumerate();
        let moved = pairs.filter(|(_, (old, new))| old.place() != new.place());
        moved.map(|(index, _)| index).collect()
    }

    fn indices(&self, ids: &[PointId]) -> Result<Vec<usize>, EditRefusal> {
        let index = |&id: &PointId| self.index_of(id).ok_or(EditRefusal::UnknownPoint { id });
        ids.iter().map(index).collect()
    }
}

/// Frees the rises that insertions kept, at the points at `changed` and beside them: the stretches there are no longer
/// what they were kept for, and a monotone curve would overshoot.
pub(crate) fn free_kept_rises(points: &mut [ControlPoint], changed: &[usize]) {
    for &i in changed {
        for j in i.saturating_sub(1)..(i + 2).min(points.len()) {
            if points[j].is_rise_kept {
                points[j].pinned_rise_c_per_s = None;
                points[j].is_rise_kept = false;
            }
        }
    }
}

/// A moved coordinate on a grid of 1e-10, which takes the binary noise out of sums such as 105.3 + 0.1; one that
/// didn't move stays as it is.
fn without_noise(from: f64, to: f64) -> f64 {
    const PER_UNIT: f64 = 1e10;
    if from == to || !to.is_finite() {
        return to;
    }
    (to * PER_UNIT).round() / PER_UNIT
}

fn check_factor(factor: f64) -> Result<(), EditRefusal> {
    if factor > 0.0 {
        Ok(())
    } else {
        Err(EditRefusal::Mirrors { factor })
    }
}

/// Gives the temperatures of the points at `moved` to all points that holds join them to.
fn carry_holds(points: &mut [ControlPoint], moved: &[usize]) {
    for &i in moved {
        let temp_c = points[i].temp_c;
        for j in held_with(points, i) {
            points[j].temp_c = temp_c;
        }
    }
}

/// The range of points that holds join to the one at `i`, itself included.
pub(crate) fn held_with(points: &[ControlPoint], i: usize) -> std::ops::RangeInclusive<usize> {
    let is_hold = |point: &&ControlPoint| point.segment == Segment::Hold;
    let before = points[..i].iter().rev().take_while(is_hold).count();
    let after = points[i..points.len() - 1]
        .iter()
        .take_while(is_hold)
        .count();
    i - before..=i + after
}
