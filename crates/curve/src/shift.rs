//! How far a selection may be shifted.

use std::fmt;

use crate::edit::held_with;
use crate::limits::{MAX_TEMP_C, MAX_TIME_S, MIN_GAP_S, MIN_TEMP_C};
use crate::point::{Offset, PointId};
use crate::setpoint::SetpointCurve;

/// What stops a shift.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ShiftLimit {
    /// A point outside the selection is 1 s away.
    Neighbour(PointId),
    /// The first point stays at 0 s.
    FirstPointStays,
    /// The longest curve.
    Length,
    /// The lowest temperature.
    Floor,
    /// The highest temperature.
    Ceiling,
    /// A point's time is locked.
    LockedTime(PointId),
    /// A point's temperature is locked.
    LockedTemp(PointId),
}

impl fmt::Display for ShiftLimit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Neighbour(_) => write!(f, "stopped {MIN_GAP_S} s from the neighbouring point"),
            Self::FirstPointStays => write!(f, "the first point stays at 0 s"),
            Self::Length => write!(f, "a curve ends at {MAX_TIME_S} s at the latest"),
            Self::Floor => write!(f, "no point goes below {MIN_TEMP_C} °C"),
            Self::Ceiling => write!(f, "no point goes above {MAX_TEMP_C} °C"),
            Self::LockedTime(_) => write!(f, "the time of a point is locked"),
            Self::LockedTemp(_) => write!(f, "the temperature of a point is locked"),
        }
    }
}

/// The part of a shift that is possible.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitedShift {
    /// How far, on each axis from 0 to what was asked.
    pub by: Offset,
    /// What made it smaller than asked; empty if nothing did.
    pub stopped_by: Vec<ShiftLimit>,
}

impl SetpointCurve {
    /// The largest part of the shift `by` of the points `ids`, on each axis, that [`SetpointCurve::edited`] accepts.
    ///
    /// Unknown ids are left out; an axis that is not a number counts as 0. Points joined by holds to the selection come
    /// along in temperature.
    pub fn limit_shift(&self, ids: &[PointId], by: Offset) -> LimitedShift {
        let mut selected: Vec<usize> = ids.iter().filter_map(|&id| self.index_of(id)).collect();
        selected.sort_unstable();
        selected.dedup();
        let mut time = Allowance::of(by.time_s);
        self.limit_time(&selected, &mut time);
        let mut temp = Allowance::of(by.temp_c);
        self.limit_temp(&selected, &mut temp);
        let mut stopped_by = time.stopped_by;
        stopped_by.append(&mut temp.stopped_by);
        LimitedShift {
            by: Offset {
                time_s: time.by,
                temp_c: temp.by,
            },
            stopped_by,
        }
    }

    fn limit_time(&self, selected: &[usize], time: &mut Allowance) {
        let points = self.points();
        for &i in selected {
            let now_s = points[i].time_s;
            if i == 0 {
                time.limit(0.0, ShiftLimit::FirstPointStays);
            }
            if points[i].lock.holds_time() {
                time.limit(0.0, ShiftLimit::LockedTime(points[i].id));
            }
            let beside = if time.by < 0.0 {
                i.checked_sub(1)
            } else {
                Some(i + 1)
            };
            match beside.and_then(|beside| points.get(beside).map(|point| (beside, point))) {
                Some((beside, point)) if !selected.contains(&beside) => {
                    let room_s = (point.time_s - now_s).abs() - MIN_GAP_S;
                    time.limit(room_s, ShiftLimit::Neighbour(point.id));
                }
                None if time.by > 0.0 => {
                    let is_inside = |by: f64| now_s + by <= MAX_TIME_S;
                    time.limit_where(MAX_TIME_S - now_s, is_inside, ShiftLimit::Length);
                }
                _ => {}
            }
        }
    }

    fn limit_temp(&self, selected: &[usize], temp: &mut Allowance) {
        let points = self.points();
        for j in selected.iter().flat_map(|&i| held_with(points, i)) {
            let now_c = points[j].temp_c;
            if points[j].lock.holds_temp() {
                temp.limit(0.0, ShiftLimit::LockedTemp(points[j].id));
            }
            if temp.by < 0.0 {
                temp.limit_where(
                    now_c - MIN_TEMP_C,
                    |by| now_c + by >= MIN_TEMP_C,
                    ShiftLimit::Floor,
                );
            } else {
                temp.limit_where(
                    MAX_TEMP_C - now_c,
                    |by| now_c + by <= MAX_TEMP_C,
                    ShiftLimit::Ceiling,
                );
            }
        }
    }
}

/// What is left of a shift along one axis.
struct Allowance {
    by: f64,
    stopped_by: Vec<ShiftLimit>,
}

/// A bit above the rounding of a coordinate, in s or °C.
const COORDINATE_ROUNDING: f64 = 1e-12;

impl Allowance {
    fn of(by: f64) -> Self {
        Self {
            by: if by.is_nan() { 0.0 } else { by },
            stopped_by: Vec::new(),
        }
    }

    /// At most `room` (0 or more) either way.
    fn limit(&mut self, room: f64, limit: ShiftLimit) {
        self.limit_where(room, |_| true, limit);
    }

    /// At most `room` either way, less what rounding needs to keep `is_kept`.
    fn limit_where(&mut self, room: f64, is_kept: impl Fn(f64) -> bool, limit: ShiftLimit) {
        if self.by == 0.0 || (self.by.abs() <= room && is_kept(self.by)) {
            return;
        }
        let mut room = room.min(self.by.abs()).max(0.0);
        while room > 0.0 && !is_kept(room.copysign(self.by)) {
            room = (room - COORDINATE_ROUNDING).max(0.0);
        }
        // Once nothing is left, what else would stop it no longer matters; a smaller room outdoes a larger one.
        self.stopped_by.clear();
        self.stopped_by.push(limit);
        self.by = if room > 0.0 {
            room.copysign(self.by)
        } else {
            0.0
        };
    }
}
