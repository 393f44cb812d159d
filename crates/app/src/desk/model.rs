//! What the views read: a plan and everything that was computed from it. Nothing here can be changed by a view.

use chaffinch_craft::{Alignment, Comparison, Derived, History, Plan, Repair, units::TempUnit};
use std::{path::Path, sync::Arc};

/// A plan laid behind the curve.
#[derive(Clone, Debug)]
pub struct Behind {
    /// Its title.
    pub name: String,
    /// The plan itself.
    pub plan: Arc<Plan>,
    /// How it differs from the plan on the desk.
    pub comparison: Comparison,
}

/// A plan that isn't applied yet, drawn as a ghost: the preview of a transform or a paste.
#[derive(Clone, Debug)]
pub struct Ghost {
    /// The plan as it would be.
    pub plan: Plan,
    /// What follows from it.
    pub derived: Derived,
}

/// Everything a view may read.
#[derive(Clone, Copy)]
pub struct Model<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// What follows from it.
    pub derived: &'a Derived,
    /// Its past and future.
    pub history: &'a History,
    /// The unit that temperatures are shown in.
    pub unit: TempUnit,
    /// Plans behind the curve.
    pub behind: &'a [Behind],
    /// How the plans behind are laid over the curve.
    pub alignment: Alignment,
    /// The preview, if one is open.
    pub ghost: Option<&'a Ghost>,
    /// The repair for each finding, in the order of `derived.findings`; empty during a drag.
    pub repairs: &'a [Option<Repair>],
    /// The plan's file, if it has one.
    pub file: Option<&'a Path>,
    /// Files used lately, latest first.
    pub recent: &'a [std::path::PathBuf],
}

impl<'a> Model<'a> {
    /// A model of the plan alone: °C, nothing behind, no preview.
    pub fn new(plan: &'a Plan, derived: &'a Derived, history: &'a History) -> Self {
        Self {
            plan,
            derived,
            history,
            unit: TempUnit::Celsius,
            behind: &[],
            alignment: Alignment::default(),
            ghost: None,
            repairs: &[],
            file: None,
            recent: &[],
        }
    }
}
