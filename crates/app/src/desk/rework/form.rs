//! What is asked for in a rework.

use super::worker::Wish;
use chaffinch_craft::{
    Plan,
    carry::{Keep, Level, PracticeRules},
    shape::Targets,
};

/// Which rework.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReworkKind {
    /// Carrying over.
    Carry,
    /// Shaping by targets.
    Shape,
}

/// A rework that is open.
#[derive(Clone, Debug, PartialEq)]
pub enum Rework {
    /// Carrying over to other sheets.
    Carry(Box<CarryForm>),
    /// Shaping by targets.
    Shape(ShapeForm),
}

/// What to carry to, and how.
#[derive(Clone, Debug, PartialEq)]
pub struct CarryForm {
    /// A plan on the sheets that are carried to. Of it only coffee, machine and room count.
    pub to: Plan,
    /// What stays the same.
    pub keep: Keep,
    /// Whether the twin has a say.
    pub physics: bool,
    /// Whether the rules of practice have one.
    pub practice: bool,
    /// How far to go, 0 to 100 %.
    pub percent: f64,
    /// Marks and finishes set by hand, in °C.
    pub set_levels: Vec<(Level, f64)>,
}

/// What is wished of the curve.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct ShapeForm {
    /// The wishes.
    pub targets: Targets,
}

impl Rework {
    /// A rework of `plan` that changes nothing yet.
    pub fn begun(kind: ReworkKind, plan: &Plan) -> Self {
        match kind {
            ReworkKind::Carry => Self::Carry(Box::new(CarryForm {
                to: plan.clone(),
                keep: Keep::default(),
                physics: true,
                practice: true,
                percent: 100.0,
                set_levels: Vec::new(),
            })),
            ReworkKind::Shape => Self::Shape(ShapeForm::default()),
        }
    }

    /// Which it is.
    pub fn kind(&self) -> ReworkKind {
        match self {
            Self::Carry(_) => ReworkKind::Carry,
            Self::Shape(_) => ReworkKind::Shape,
        }
    }

    /// What is to be worked out. Nothing while no target is set.
    pub fn wish(&self, practice: &PracticeRules) -> Option<Wish> {
        match self {
            Self::Carry(form) => Some(Wish::Carry {
                form: form.clone(),
                practice: practice.clone(),
            }),
            Self::Shape(form) => {
                let is_empty = form.targets.all().next().is_none();
                (!is_empty).then(|| Wish::Shape(form.targets.clone()))
            }
        }
    }
}
