//! The numbers typed for a transform of points, and the edit that they mean.
//!
//! Plain state and pure functions: the page fills in a [`TransformForm`], the workbench asks [`wished`] each frame for
//! the edit, draws what would come of it, and the page applies the same edit. There is no mirroring: a factor is above 0.
//! Results are rounded to 1e-9 s or °C, so that 105.3 °C and 0.1 °C make 105.4 °C as on paper, not its binary neighbour.

use super::view_state::ViewState;
use chaffinch_craft::{
    Edit, Plan,
    units::{format_time_exact, round_to_billionth},
};
use chaffinch_curve::{ControlPoint, Offset, PointEdit, PointId};

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
    /// All kinds, in the order of the page.
    pub const ALL: [Self; 3] = [Self::Shift, Self::Stretch, Self::Scale];

    /// The kind's name on the page.
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
    /// Both ways, in the order of the page.
    pub const ALL: [Self; 2] = [Self::Factor, Self::NewEnd];

    /// The way's name on the page.
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
    /// All pivots, in the order of the page.
    pub const ALL: [Self; 5] = [
        Self::First,
        Self::Last,
        Self::MeasureA,
        Self::Current,
        Self::Typed,
    ];

    /// The pivot's name on the page.
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

/// The points that a transform is for, and what a pivot may refer to.
#[derive(Clone, Debug)]
pub struct Scope<'a> {
    plan: &'a Plan,
    points: Vec<&'a ControlPoint>,
    current: Option<&'a ControlPoint>,
    measure_a_s: Option<f64>,
}

impl<'a> Scope<'a> {
    /// The selected points, or all when none is selected.
    pub fn of(plan: &'a Plan, view: &ViewState) -> Self {
        let is_selected = |point: &&ControlPoint| view.selection.contains(&point.id);
        let mut points: Vec<_> = plan.curve.points().iter().filter(is_selected).collect();
        if points.is_empty() {
            points = plan.curve.points().iter().collect();
        }
        Self {
            plan,
            points,
            current: view.current.and_then(|id| plan.curve.point(id)),
            measure_a_s: view.measure_s[0],
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

/// The edit that the form asks for with the selection as it is; `None` when it changes nothing.
///
/// # Errors
/// Why it can't be done: a lock, a limit, a pivot that isn't there. A sentence for people.
pub fn wished(plan: &Plan, view: &ViewState) -> Result<Option<Edit>, String> {
    view.transform.edit(&Scope::of(plan, view))
}

impl TransformForm {
    /// The edit that the form asks for; `None` when it changes nothing.
    ///
    /// # Errors
    /// Why it can't be done: a lock, a limit, a pivot that isn't there. A sentence for people.
    pub fn edit(&self, scope: &Scope<'_>) -> Result<Option<Edit>, String> {
        let before = &scope.plan.curve;
        let after = before
            .edited(&self.point_edit(scope)?)
            .map_err(|refusal| refusal.to_string())?;
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
        match scope.plan.edited(&edit) {
            Ok(_) => Ok(Some(edit)),
            Err(refusal) => Err(refusal.to_string()),
        }
    }

    /// The time that stays in a stretch, in s.
    ///
    /// # Errors
    /// The measuring line or current point that it should be isn't there.
    pub fn pivot_s(&self, scope: &Scope<'_>) -> Result<f64, String> {
        match self.pivot {
            Pivot::First => Ok(scope.first().time_s),
            Pivot::Last => Ok(scope.last().time_s),
            Pivot::MeasureA => scope.measure_a_s.ok_or_else(|| {
                "measuring line A isn't set: put it at the pivot, or choose another pivot"
                    .to_owned()
            }),
            Pivot::Current => scope.current.map(|point| point.time_s).ok_or_else(|| {
                "there is no current point: select one, or choose another pivot".to_owned()
            }),
            Pivot::Typed => Ok(self.typed_pivot_s),
        }
    }

    /// The temperature that stays in a scaling, in °C.
    pub fn pivot_c(&self, scope: &Scope<'_>) -> f64 {
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

    fn point_edit(&self, scope: &Scope<'_>) -> Result<PointEdit, String> {
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

    fn stretch_factor(&self, scope: &Scope<'_>, pivot_s: f64) -> Result<f64, String> {
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
        let [end, new_end, pivot] = [end_s, new_end_s, pivot_s].map(format_time_exact);
        Err(format!(
            "the last point at {end} can't go to {new_end} while {pivot} stays: choose another pivot or end"
        ))
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
