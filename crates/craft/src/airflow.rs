//! The airflow schedule: fan setting in per cent over time.
//!
//! A second, small curve beside the setpoint. Most machines take steps, some take ramps; the schedule says which.
//! What air the beans need to stay afloat belongs to the machine's model and is not judged here.

use crate::units::round_to_billionth;
use chaffinch_curve::MAX_TIME_S;
use thiserror::Error;

/// Most points a schedule may hold.
pub const MAX_AIR_POINTS: usize = 60;
/// Least distance in time between two points, in s.
pub const MIN_AIR_GAP_S: f64 = 1.0;

/// A stable name for a point of the schedule; never an index.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AirId(pub u32);

/// One point: from `time_s` on, the fan stands at `percent` (0–100) of its full setting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirPoint {
    /// Stable name.
    pub id: AirId,
    /// When the setting is reached, in s after charge.
    pub time_s: f64,
    /// Fan setting in per cent, 0–100.
    pub percent: f64,
}

/// What the fan does between two points.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum AirShape {
    /// It stays until the next point.
    #[default]
    Steps,
    /// It moves evenly to the next point.
    Ramps,
}

/// Why a schedule can't be as wished.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum AirError {
    /// No points at all.
    #[error("the airflow schedule is empty; it needs at least one point, at 0 s")]
    Empty,
    /// Too many points.
    #[error(
        "the airflow schedule has {found} points; at most {MAX_AIR_POINTS} are allowed, so remove some"
    )]
    TooMany {
        /// How many were found.
        found: usize,
    },
    /// The first point is not at 0 s.
    #[error("the first airflow point is at {found_s} s; it must be at 0 s")]
    FirstNotAtStart {
        /// Its time in s.
        found_s: f64,
    },
    /// A time or a setting is not a number or out of range.
    #[error("airflow point {number} has {found} {unit}; expected {least} to {most} {unit}")]
    OutOfRange {
        /// 1-based number of the point.
        number: usize,
        /// The value found.
        found: f64,
        /// Its unit.
        unit: &'static str,
        /// Least allowed value.
        least: f64,
        /// Greatest allowed value.
        most: f64,
    },
    /// Two points are too close or out of order.
    #[error(
        "airflow point {number} is at {found_s} s, less than {MIN_AIR_GAP_S} s after the one before it ({before_s} s); move it later"
    )]
    OutOfOrder {
        /// 1-based number of the later point.
        number: usize,
        /// Its time in s.
        found_s: f64,
        /// The time of the point before it, in s.
        before_s: f64,
    },
    /// Two points carry the same id.
    #[error("two airflow points carry the same id {found}; ids must differ")]
    RepeatedId {
        /// The id.
        found: u32,
    },
    /// There is no such point.
    #[error("there is no such airflow point; it may have been removed")]
    Unknown,
    /// The first point must stay.
    #[error(
        "the first airflow point sets the fan at charge and can't be removed or moved in time; change its percentage instead"
    )]
    FirstStays,
}

/// A checked schedule: 1 to 60 points, the first at 0 s, times rising by at least 1 s, settings 0–100 %.
#[derive(Clone, Debug, PartialEq)]
pub struct AirflowSchedule {
    shape: AirShape,
    points: Vec<AirPoint>,
}

/// A change to a schedule.
#[derive(Clone, Debug, PartialEq)]
pub enum AirEdit {
    /// Put a point somewhere else.
    Move {
        /// Which point.
        id: AirId,
        /// New time in s.
        time_s: f64,
        /// New setting in per cent.
        percent: f64,
    },
    /// Add a point.
    Insert {
        /// Its time in s.
        time_s: f64,
        /// Its setting in per cent.
        percent: f64,
    },
    /// Take a point away.
    Remove(AirId),
    /// Steps or ramps.
    SetShape(AirShape),
}

impl AirflowSchedule {
    /// Checks the points and makes a schedule of them.
    ///
    /// # Errors
    /// [`AirError`] when there are no or too many points, a value is out of range, the order is wrong or an id repeats.
    pub fn new(shape: AirShape, points: Vec<AirPoint>) -> Result<Self, AirError> {
        let first = points.first().ok_or(AirError::Empty)?;
        if points.len() > MAX_AIR_POINTS {
            return Err(AirError::TooMany {
                found: points.len(),
            });
        }
        if first.time_s != 0.0 {
            return Err(AirError::FirstNotAtStart {
                found_s: first.time_s,
            });
        }
        for (index, point) in points.iter().enumerate() {
            check_point(index + 1, point)?;
            if points[..index].iter().any(|other| other.id == point.id) {
                return Err(AirError::RepeatedId { found: point.id.0 });
            }
        }
        for (index, pair) in points.windows(2).enumerate() {
            if pair[1].time_s - pair[0].time_s < MIN_AIR_GAP_S {
                return Err(AirError::OutOfOrder {
                    number: index + 2,
                    found_s: pair[1].time_s,
                    before_s: pair[0].time_s,
                });
            }
        }
        Ok(Self { shape, points })
    }

    /// One setting for the whole roast, in per cent; clamped to 0–100.
    pub fn constant(percent: f64) -> Self {
        let percent = if percent.is_finite() {
            percent.clamp(0.0, 100.0)
        } else {
            100.0
        };
        Self {
            shape: AirShape::Steps,
            points: vec![AirPoint {
                id: AirId(1),
                time_s: 0.0,
                percent,
            }],
        }
    }

    /// Steps or ramps.
    pub fn shape(&self) -> AirShape {
        self.shape
    }

    /// The points, in order of time.
    pub fn points(&self) -> &[AirPoint] {
        &self.points
    }

    /// The fan setting in per cent at `time_s`; the first setting before the start, the last after the end.
    pub fn percent(&self, time_s: f64) -> f64 {
        let after = self.points.partition_point(|point| point.time_s <= time_s);
        let Some(before) = after.checked_sub(1).map(|index| self.points[index]) else {
            return self.points[0].percent;
        };
        match (self.shape, self.points.get(after)) {
            (AirShape::Steps, _) | (_, None) => before.percent,
            (AirShape::Ramps, Some(next)) => {
                let share = (time_s - before.time_s) / (next.time_s - before.time_s);
                before.percent + share * (next.percent - before.percent)
            }
        }
    }

    /// The mean fan setting in per cent over the second from `from_s` on, which changes smoothly as a step moves through that second; in
    /// ramps the setting at `from_s`, which does so by itself.
    pub(crate) fn second_percent(&self, from_s: f64) -> f64 {
        let start = self.percent(from_s);
        if self.shape == AirShape::Ramps {
            return start;
        }
        let to_s = from_s + 1.0;
        let steps = self.points.windows(2).filter(|pair| {
            let time_s = pair[1].time_s;
            from_s < time_s && time_s < to_s
        });
        start
            + steps
                .map(|pair| (pair[1].percent - pair[0].percent) * (to_s - pair[1].time_s))
                .sum::<f64>()
    }

    /// The schedule after `edit`.
    ///
    /// # Errors
    /// [`AirError`] when the result would break a rule, or the point isn't there or must stay.
    pub fn edited(&self, edit: &AirEdit) -> Result<Self, AirError> {
        let mut points = self.points.clone();
        let mut shape = self.shape;
        match *edit {
            AirEdit::Move {
                id,
                time_s,
                percent,
            } => {
                let index = self.index_of(id)?;
                if index == 0 && time_s != 0.0 {
                    return Err(AirError::FirstStays);
                }
                points[index].time_s = round_to_billionth(time_s);
                points[index].percent = round_to_billionth(percent);
            }
            AirEdit::Insert { time_s, percent } => {
                let id = AirId(points.iter().map(|point| point.id.0).max().unwrap_or(0) + 1);
                let index = points.partition_point(|point| point.time_s <= time_s);
                points.insert(
                    index,
                    AirPoint {
                        id,
                        time_s,
                        percent,
                    },
                );
            }
            AirEdit::Remove(id) => {
                let index = self.index_of(id)?;
                if index == 0 {
                    return Err(AirError::FirstStays);
                }
                points.remove(index);
            }
            AirEdit::SetShape(wished) => shape = wished,
        }
        Self::new(shape, points)
    }

    /// The nearest place to (`time_s`, `percent`) where the point may be: between its neighbours, 0–100 %.
    ///
    /// The point itself if it isn't in this schedule.
    pub fn nearest_allowed(&self, id: AirId, time_s: f64, percent: f64) -> (f64, f64) {
        let percent = percent.clamp(0.0, 100.0);
        let Ok(index) = self.index_of(id) else {
            return (time_s, percent);
        };
        if index == 0 {
            return (0.0, percent);
        }
        let least_s = self.points[index - 1].time_s + MIN_AIR_GAP_S;
        let most_s = self
            .points
            .get(index + 1)
            .map_or(MAX_TIME_S, |next| next.time_s - MIN_AIR_GAP_S);
        (time_s.clamp(least_s, most_s.max(least_s)), percent)
    }

    fn index_of(&self, id: AirId) -> Result<usize, AirError> {
        self.points
            .iter()
            .position(|point| point.id == id)
            .ok_or(AirError::Unknown)
    }
}

fn check_point(number: usize, point: &AirPoint) -> Result<(), AirError> {
    let out_of_range = |found, unit, most| AirError::OutOfRange {
        number,
        found,
        unit,
        least: 0.0,
        most,
    };
    if !(0.0..=MAX_TIME_S).contains(&point.time_s) {
        return Err(out_of_range(point.time_s, "s", MAX_TIME_S));
    }
    if !(0.0..=100.0).contains(&point.percent) {
        return Err(out_of_range(point.percent, "%", 100.0));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]
    use super::*;

    fn schedule(shape: AirShape) -> AirflowSchedule {
        let points = [(0.0, 80.0), (60.0, 70.0), (180.0, 50.0)];
        let points = points
            .iter()
            .zip(1..)
            .map(|(&(time_s, percent), id)| AirPoint {
                id: AirId(id),
                time_s,
                percent,
            })
            .collect();
        AirflowSchedule::new(shape, points).unwrap()
    }

    #[test]
    fn the_mean_of_a_second_follows_a_step_through_it() {
        let steps = schedule(AirShape::Steps);
        // By hand: 80 % up to 60 s, 70 % from there.
        for (from_s, mean) in [(58.9, 80.0), (59.0, 80.0), (59.25, 77.5), (60.0, 70.0)] {
            let found = steps.second_percent(from_s);
            assert!((found - mean).abs() < 1e-9, "{from_s}: {found}");
        }
        let ramps = schedule(AirShape::Ramps);
        assert_eq!(ramps.second_percent(30.0), ramps.percent(30.0), "ramp");
    }

    #[test]
    fn steps_hold_until_the_next_point() {
        let air = schedule(AirShape::Steps);
        let found: Vec<f64> = [-5.0, 0.0, 59.9, 60.0, 179.0, 180.0, 900.0]
            .map(|time_s| air.percent(time_s))
            .to_vec();
        assert_eq!(found, [80.0, 80.0, 80.0, 70.0, 70.0, 50.0, 50.0], "steps");
    }

    #[test]
    fn ramps_move_evenly() {
        let air = schedule(AirShape::Ramps);
        assert_eq!(air.percent(30.0), 75.0, "half way of the first ramp");
        assert_eq!(air.percent(150.0), 55.0, "three quarters of the second");
    }

    #[test]
    fn first_point_stays_at_charge() {
        let air = schedule(AirShape::Steps);
        assert_eq!(
            air.edited(&AirEdit::Remove(AirId(1))),
            Err(AirError::FirstStays),
            "removal"
        );
        let moved = AirEdit::Move {
            id: AirId(1),
            time_s: 5.0,
            percent: 80.0,
        };
        assert_eq!(air.edited(&moved), Err(AirError::FirstStays), "move");
    }

    #[test]
    fn out_of_order_and_non_finite_are_refused() {
        let air = schedule(AirShape::Steps);
        let late = AirEdit::Move {
            id: AirId(2),
            time_s: 179.5,
            percent: 70.0,
        };
        assert!(
            matches!(
                air.edited(&late),
                Err(AirError::OutOfOrder { number: 3, .. })
            ),
            "order"
        );
        let odd = AirEdit::Insert {
            time_s: 20.0,
            percent: f64::NAN,
        };
        assert!(
            matches!(air.edited(&odd), Err(AirError::OutOfRange { .. })),
            "not a number"
        );
    }

    #[test]
    fn nearest_allowed_stays_between_neighbours() {
        let air = schedule(AirShape::Steps);
        assert_eq!(
            air.nearest_allowed(AirId(2), 900.0, 140.0),
            (179.0, 100.0),
            "upper"
        );
        assert_eq!(
            air.nearest_allowed(AirId(2), -9.0, -3.0),
            (1.0, 0.0),
            "lower"
        );
        assert_eq!(
            air.nearest_allowed(AirId(1), 9.0, 33.0),
            (0.0, 33.0),
            "first"
        );
    }
}
