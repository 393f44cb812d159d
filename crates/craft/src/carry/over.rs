//! What comes of carrying a plan over.

use super::{
    drawn::Drawn,
    keep::Keep,
    left::{Left, Shortfall},
    reasons::Reason,
    sensitivity::Sensitivity,
    your_roasts::YourRoasts,
};
use crate::{
    derived::Derived,
    edit::{Edit, MarkName, Refusal},
    finishes::{FinishEdit, FinishId},
    outlook::Outlook,
    plan::{Plan, PlanParts},
};
use chaffinch_curve::{ControlPoint, PointId, SetpointCurve};

/// A move of one point, or the size of a layer there.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Shift {
    /// In time, in s.
    pub time_s: f64,
    /// In temperature, in K.
    pub temp_k: f64,
    /// In the rate of rise at the point, in °C/s.
    pub rise_c_per_s: f64,
}

/// What happens to one point: each layer at its full size, and both together at the percentage asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PointCarry {
    /// Which point.
    pub id: PointId,
    /// Physics.
    pub physics: Shift,
    /// Practice, on top of physics.
    pub practice: Shift,
    /// From the old plan to the new one.
    pub total: Shift,
}

/// A mark or a finish.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Level {
    /// A mark.
    Mark(MarkName),
    /// A finish of the ladder.
    Finish(FinishId),
}

/// What happens to one mark or finish, in °C and K; layers at their full size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LevelCarry {
    /// Which.
    pub level: Level,
    /// Before.
    pub before_c: f64,
    /// Moved by physics: assumed that the same happens at the same temperature of the core.
    pub physics_k: f64,
    /// Moved by practice.
    pub practice_k: f64,
    /// After, at the percentage asked for.
    pub after_c: f64,
}

/// What the layer of practice did.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Practice {
    /// Switched off.
    Off,
    /// The altitude of growth is missing for one coffee or both, so that there is nothing to go by.
    NoAltitude,
    /// Applied between these equivalent altitudes, in m.
    Applied {
        /// Of the coffee carried from.
        from_m: f64,
        /// Of the coffee carried to.
        to_m: f64,
    },
}

/// All that follows from a plan: what is drawn and what the twin says of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// Phases, finishes, findings of the drawing.
    pub derived: Derived,
    /// Effort, core and all else that is foreseen.
    pub outlook: Outlook,
}

impl Picture {
    pub(super) fn of(plan: &Plan) -> Self {
        Self {
            derived: Derived::of(plan),
            outlook: Outlook::of(plan),
        }
    }
}

/// A plan carried over, beside the one that it came from. [`crate::Comparison`] gives the difference of the two over time.
#[derive(Clone, Debug)]
pub struct CarryOver {
    /// The new plan; its notes say where it came from.
    pub plan: Plan,
    /// The edit that makes it out of the old one, as one step of the history.
    pub edit: Edit,
    /// What was kept.
    pub keep: Keep,
    /// How far it went, 0 to 100 %.
    pub percent: f64,
    /// The old plan, its lot completed by what its altitude tells.
    pub before: Picture,
    /// The new plan. Its forecast may be off where the roast became too long or too hot for the model.
    pub after: Picture,
    /// One entry a point, in order of time.
    pub points: Vec<PointCarry>,
    /// Marks first, then the finishes in the order of the ladder.
    pub levels: Vec<LevelCarry>,
    /// Whether the physics layer was on.
    pub physics: bool,
    /// What the layer of practice did.
    pub practice: Practice,
    /// What the layer of the roaster's own roasts lacks.
    pub your_roasts: YourRoasts,
    /// How the curve widens for each number that nobody measured, widest first; empty without physics.
    pub sensitivities: Vec<Sensitivity>,
    /// What is left of the history; nothing without physics.
    pub left: Option<Left>,
    /// What the machine can't deliver; the curve is then the nearest within its reach.
    pub shortfall: Option<Shortfall>,
    /// Factor on the fan settings that lifts the bed as before; 1 where they stay.
    pub air_factor: f64,
    /// What differs and what it does by itself; empty without physics.
    pub reasons: Vec<Reason>,
}

/// What happens to each point.
pub(super) fn points([old, middle, full]: [&Drawn; 3], plan: &Plan) -> Vec<PointCarry> {
    let between = |from: &SetpointCurve, to: &SetpointCurve, index: usize| {
        let rise = |curve: &SetpointCurve, point: &ControlPoint| curve.rise_c_per_s(point.time_s);
        let (a, b) = (&from.points()[index], &to.points()[index]);
        Shift {
            time_s: b.time_s - a.time_s,
            temp_k: b.temp_c - a.temp_c,
            rise_c_per_s: rise(to, b) - rise(from, a),
        }
    };
    let points = old.curve.points().iter().enumerate();
    points
        .map(|(index, point)| PointCarry {
            id: point.id,
            physics: between(&old.curve, &middle.curve, index),
            practice: between(&middle.curve, &full.curve, index),
            total: between(&old.curve, &plan.curve, index),
        })
        .collect()
}

/// Puts marks and finishes where the roaster wants them.
pub(super) fn set_levels(parts: &mut PlanParts, wished: &[(Level, f64)]) -> Result<(), Refusal> {
    let edits = wished.iter().map(|&(level, temp_c)| match level {
        Level::Mark(mark) => Edit::SetMark { mark, temp_c },
        Level::Finish(id) => Edit::Finish(FinishEdit::Move { id, temp_c }),
    });
    let edits: Vec<Edit> = edits.collect();
    if edits.is_empty() {
        return Ok(());
    }
    let plan = Plan::new(parts.clone())?.edited(&Edit::Together("Marks", edits))?;
    *parts = plan.into_parts();
    Ok(())
}

/// What happens to each mark and finish.
pub(super) fn levels([old, middle, full]: [&Drawn; 3], plan: &Plan) -> Vec<LevelCarry> {
    let new = Drawn::of(plan);
    let level = |level: Level| {
        let at = |drawn: &Drawn| match level {
            Level::Mark(mark) => mark.temp_c(&drawn.marks),
            Level::Finish(id) => drawn.finishes.get(id).map_or(0.0, |finish| finish.temp_c),
        };
        LevelCarry {
            level,
            before_c: at(old),
            physics_k: at(middle) - at(old),
            practice_k: at(full) - at(middle),
            after_c: at(&new),
        }
    };
    let marks = MarkName::ALL.map(Level::Mark).into_iter();
    let finishes = old
        .finishes
        .finishes()
        .iter()
        .map(|finish| Level::Finish(finish.id));
    marks.chain(finishes).map(level).collect()
}
