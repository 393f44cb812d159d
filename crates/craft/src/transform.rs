//! The numbers typed for a transform of points, and the edit that they mean.
//!
//! Plain state and pure functions: whoever shows the form fills in a [`TransformForm`], asks it for the edit, may draw what
//! would come of it, and applies the same edit. There is no mirroring: a factor is above 0.
//! Results are rounded to 1e-9 s or °C, so that 105.3 °C and 0.1 °C make 105.4 °C as on paper, not its binary neighbour.

use crate::{
    edit::{Edit, Refusal},
    plan::Plan,
    units::{format_time_exact, round_to_billionth},
};
use chaffinch_curve::{ControlPoint, Offset, PointEdit, PointId};
use thiserror::Error;

/// What is done to the points.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TransformKind {
    /// Moved by a time and a temperature difference.
    #[default]
    Shift,
    /// Stretched in time about a pivot.
    Stretch,
    /// Scaled in temperature about a pivot.
    Scale,
}

impl TransformKind {
    /// All kinds, in the order that the window shows.
    pub const ALL: [Self; 3] = [Self::Shift, Self::Stretch, Self::Scale];

    /// The kind's name that the window shows.
    pub fn label(self) -> &'static str {
        match self {
            Self::Shift => "Move",
            Self::Stretch => "Stretch time",
            Self::Scale => "Scale temperature",
        }
    }

    /// The kind's name in the history.
    fn step(self) -> &'static str {
        match self {
            Self::Shift => "Moved points",
            Self::Stretch => "Stretched points in time",
            Self::Scale => "Scaled points in temperature",
        }
    }
}

/// How a stretch is given.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum StretchBy {
    /// By a factor.
    #[default]
    Factor,
    /// By the time that the last of the points should have.
    NewEnd,
}

impl StretchBy {
    /// Both ways, in the order that the window shows.
    pub const ALL: [Self; 2] = [Self::Factor, Self::NewEnd];

    /// The way's name that the window shows.
    pub fn label(self) -> &'static str {
        match self {
            Self::Factor => "By a factor",
            Self::NewEnd => "To a new end",
        }
    }
}

/// The time that stays where it is in a stretch.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Pivot {
    /// The first of the points.
    #[default]
    First,
    /// The last of the points.
    Last,
    /// Measuring line A.
    MeasureA,
    /// The point that was touched last.
    Current,
    /// A typed time.
    Typed,
}

impl Pivot {
    /// All pivots, in the order that the window shows.
    pub const ALL: [Self; 5] = [
        Self::First,
        Self::Last,
        Self::MeasureA,
        Self::Current,
        Self::Typed,
    ];

    /// The pivot's name that the window shows.
    pub fn label(self) -> &'static str {
        match self {
            Self::First => "first of the points",
            Self::Last => "last of the points",
            Self::MeasureA => "measuring line A",
            Self::Current => "current point",
            Self::Typed => "typed time",
        }
    }
}

/// The form's state.
#[derive(Clone, Debug, PartialEq)]
pub struct TransformForm {
    /// What is done.
    pub kind: TransformKind,
    /// How far points move.
    pub shift: Offset,
    /// How the stretch is given.
    pub stretch_by: StretchBy,
    /// Stretch of time; 1 changes nothing.
    pub time_factor: f64,
    /// Time that the last point should have, in s; `None` leaves it.
    pub new_end_s: Option<f64>,
    /// What stays in a stretch.
    pub pivot: Pivot,
    /// The typed pivot, in s.
    pub typed_pivot_s: f64,
    /// Scale of temperature; 1 changes nothing.
    pub temp_factor: f64,
    /// Temperature that stays, in °C; `None` is that of the first point.
    pub pivot_c: Option<f64>,
}

impl Default for TransformForm {
    fn default() -> Self {
        Self {
            kind: TransformKind::default(),
            shift: Offset::default(),
            stretch_by: StretchBy::default(),
            time_factor: 1.0,
            new_end_s: None,
            pivot: Pivot::default(),
            typed_pivot_s: 0.0,
            temp_factor: 1.0,
            pivot_c: None,
        }
    }
}

/// Why a transform can't be done.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum TransformError {
    /// The plan refused the result: a lock, a limit, a factor that isn't above 0.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// Measuring line A should be the pivot.
    #[error("measuring line A isn't set: set it, or choose something else that stays")]
    NoMeasureA,
    /// The current point should be the pivot.
    #[error("there is no current point: select one, or choose something else that stays")]
    NoCurrentPoint,
    /// The new end lies on the pivot or on its other side.
    #[error(
        "the last point at {} can't go to {} while {} stays: choose another end, or something else that stays",
        format_time_exact(*.end_s), format_time_exact(*.new_end_s), format_time_exact(*.pivot_s)
    )]
    Mirrored {
        /// The last point's time in s.
        end_s: f64,
        /// The wished time in s.
        new_end_s: f64,
        /// The time that stays, in s.
        pivot_s: f64,
    },
}

/// The points that a transform is for, and what a pivot may refer to.
#[derive(Clone, Debug)]
pub struct TransformScope<'a> {
    plan: &'a Plan,
    points: Vec<&'a ControlPoint>,
    current: Option<&'a ControlPoint>,
    measure_a_s: Option<f64>,
}

impl<'a> TransformScope<'a> {
    /// The points of `plan` that `is_selected`, or all when none is; no current point, no measuring line.
    pub fn of(plan: &'a Plan, is_selected: impl Fn(PointId) -> bool) -> Self {
        let mut points: Vec<_> = plan.curve.points().iter().collect();
        if points.iter().any(|point| is_selected(point.id)) {
            points.retain(|point| is_selected(point.id));
        }
        Self {
            plan,
            points,
            current: None,
            measure_a_s: None,
        }
    }

    /// With the point that was touched last, if the plan has it, and the time of measuring line A in s.
    #[must_use]
    pub fn with_pivots(self, current: Option<PointId>, measure_a_s: Option<f64>) -> Self {
        let current = current.and_then(|id| self.plan.curve.point(id));
        Self {
            current,
            measure_a_s,
            ..self
        }
    }

    /// The points, in order of time; at least one.
    pub fn points(&self) -> &[&'a ControlPoint] {
        &self.points
    }

    fn ids(&self) -> Vec<PointId> {
        self.points.iter().map(|point| point.id).collect()
    }

    fn first(&self) -> &'a ControlPoint {
        self.points[0]
    }

    fn last(&self) -> &'a ControlPoint {
        self.points[self.points.len() - 1]
    }
}

impl TransformForm {
    /// The edit that the form asks for; `None` when it changes nothing.
    ///
    /// # Errors
    /// Why it can't be done: a lock, a limit, a pivot that isn't there.
    pub fn edit(&self, scope: &TransformScope<'_>) -> Result<Option<Edit>, TransformError> {
        let before = &scope.plan.curve;
        let after = before
            .edited(&self.point_edit(scope)?)
            .map_err(Refusal::from)?;
        let points: Vec<_> = before
            .points()
            .iter()
            .zip(after.points())
            .map(rounded)
            .collect();
        if points == before.points() {
            return Ok(None);
        }
        let edit = Edit::Together(
            self.kind.step(),
            vec![Edit::Points(PointEdit::Replace(points))],
        );
        scope.plan.edited(&edit)?;
        Ok(Some(edit))
    }

    /// The time that stays in a stretch, in s.
    ///
    /// # Errors
    /// The measuring line or current point that it should be isn't there.
    pub fn pivot_s(&self, scope: &TransformScope<'_>) -> Result<f64, TransformError> {
        match self.pivot {
            Pivot::First => Ok(scope.first().time_s),
            Pivot::Last => Ok(scope.last().time_s),
            Pivot::MeasureA => scope.measure_a_s.ok_or(TransformError::NoMeasureA),
            Pivot::Current => {
                let current = scope.current.ok_or(TransformError::NoCurrentPoint)?;
                Ok(current.time_s)
            }
            Pivot::Typed => Ok(self.typed_pivot_s),
        }
    }

    /// The temperature that stays in a scaling, in °C.
    pub fn pivot_c(&self, scope: &TransformScope<'_>) -> f64 {
        self.pivot_c.unwrap_or(scope.first().temp_c)
    }

    /// Puts the amounts back to nothing; what kind of transform and which pivot stay.
    pub fn clear_amounts(&mut self) {
        let none = Self::default();
        self.shift = none.shift;
        self.time_factor = none.time_factor;
        self.new_end_s = none.new_end_s;
        self.temp_factor = none.temp_factor;
    }

    fn point_edit(&self, scope: &TransformScope<'_>) -> Result<PointEdit, TransformError> {
        let ids = scope.ids();
        Ok(match self.kind {
            TransformKind::Shift => PointEdit::Shift {
                ids,
                by: self.shift,
            },
            TransformKind::Stretch => {
                let pivot_s = self.pivot_s(scope)?;
                let factor = self.stretch_factor(scope, pivot_s)?;
                PointEdit::StretchTime {
                    ids,
                    pivot_s,
                    factor,
                }
            }
            TransformKind::Scale => PointEdit::ScaleTemp {
                ids,
                pivot_c: self.pivot_c(scope),
                factor: self.temp_factor,
            },
        })
    }

    fn stretch_factor(
        &self,
        scope: &TransformScope<'_>,
        pivot_s: f64,
    ) -> Result<f64, TransformError> {
        let end_s = scope.last().time_s;
        let new_end_s = match self.stretch_by {
            StretchBy::Factor => return Ok(self.time_factor),
            StretchBy::NewEnd => self.new_end_s.unwrap_or(end_s),
        };
        if new_end_s == end_s {
            return Ok(1.0);
        }
        let factor = (new_end_s - pivot_s) / (end_s - pivot_s);
        if factor > 0.0 && factor.is_finite() {
            return Ok(factor);
        }
        Err(TransformError::Mirrored {
            end_s,
            new_end_s,
            pivot_s,
        })
    }
}

/// The point after the transform; coordinates that it changed are rounded, the others stay bit for bit.
fn rounded((before, after): (&ControlPoint, &ControlPoint)) -> ControlPoint {
    let round = |before: f64, after: f64| {
        if after == before {
            before
        } else {
            round_to_billionth(after)
        }
    };
    ControlPoint {
        time_s: round(before.time_s, after.time_s),
        temp_c: round(before.temp_c, after.temp_c),
        ..*after
    }
}

#[cfg(test)]
mod tests;
