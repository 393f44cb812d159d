//! What the views read: a plan and everything that was computed from it. Nothing here can be changed by a view.

use super::{
    notebook::Notebook,
    rework::{Carried, Reworked},
};
use chaffinch_craft::{
    Alignment, Comparison, Derived, Finding, History, Outlook, Plan, Repair, Spread,
    units::TempUnit,
};
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
    /// What the physical model says of it.
    pub outlook: &'a Outlook,
    /// How far the forecast spreads; nothing without a forecast or before it is there. In a drag it may be some frames old.
    pub spread: Option<&'a Spread>,
    /// The spread is being worked on, and that takes long enough to say so.
    pub is_spread_pending: bool,
    /// All that stands against the plan as drawn and as forecast, worst first.
    pub findings: &'a [Finding],
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
    /// What came of the rework that is open; may be about a wish of a moment ago.
    pub rework: Option<&'a Reworked>,
    /// The rework is still being worked out.
    pub is_rework_pending: bool,
    /// The share of it that is done, 0 to 1, once it takes long enough to say so.
    pub rework_progress: Option<f64>,
    /// It was stopped before it was done.
    pub is_rework_stopped: bool,
    /// What holds for all plans of the notebook.
    pub notebook: &'a Notebook,
    /// While the sheets of a plan that is carried to are shown: what they are compared with.
    pub carried: Option<Carried<'a>>,
    /// The repair for each finding, in the order of `findings`; empty during a drag and until they are worked out.
    pub repairs: &'a [Option<Repair>],
    /// The plan's file, if it has one.
    pub file: Option<&'a Path>,
    /// Files used lately, latest first.
    pub recent: &'a [std::path::PathBuf],
}

impl<'a> Model<'a> {
    /// A model of the plan alone: °C, nothing behind, no preview.
    pub fn new(
        plan: &'a Plan,
        derived: &'a Derived,
        outlook: &'a Outlook,
        history: &'a History,
    ) -> Self {
        Self {
            plan,
            derived,
            outlook,
            spread: None,
            is_spread_pending: false,
            findings: &[],
            history,
            unit: TempUnit::Celsius,
            behind: &[],
            alignment: Alignment::default(),
            ghost: None,
            rework: None,
            is_rework_pending: false,
            rework_progress: None,
            is_rework_stopped: false,
            notebook: Notebook::blank(),
            carried: None,
            repairs: &[],
            file: None,
            recent: &[],
        }
    }
}
