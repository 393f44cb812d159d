//! Everything that is computed from the plan for the views, once a revision: the only cache there is.

use super::{
    dialogs::Dialog,
    model::{Behind, Ghost},
    transform,
    view_state::{DrawerPage, ViewState},
};
use chaffinch_craft::{
    Alignment, Comparison, Derived, History, Plan, Repair, limits::COMPARISON_BAND_C,
    suggest_repairs, units::TempUnit,
};
use std::sync::Arc;

/// What the views read besides the plan.
#[derive(Debug)]
pub struct Computed {
    revision: u64,
    derived: Derived,
    repairs: Vec<Option<Repair>>,
    repairs_for: Option<(u64, TempUnit)>,
    behind: Vec<Behind>,
    behind_for: Option<(u64, Alignment)>,
    ghost: Option<Ghost>,
}

impl Computed {
    /// Computes what follows from the plan as it is.
    pub fn of(history: &History) -> Self {
        Self {
            revision: history.revision(),
            derived: Derived::of(history.plan()),
            repairs: Vec::new(),
            repairs_for: None,
            behind: Vec::new(),
            behind_for: None,
            ghost: None,
        }
    }

    /// The same for another plan, with these plans behind it; the next refresh compares them.
    pub fn with_behind(history: &History, behind: Vec<Behind>) -> Self {
        Self {
            behind,
            ..Self::of(history)
        }
    }

    /// Takes all plans from behind the curve.
    pub fn take_behind(&mut self) -> Vec<Behind> {
        std::mem::take(&mut self.behind)
    }

    /// Brings everything up to date. Repairs wait until a drag is over: they cost some hundred curves.
    pub fn refresh(&mut self, history: &History, view: &ViewState, unit: TempUnit) {
        let plan = history.plan();
        if self.revision != history.revision() {
            self.derived = Derived::of(plan);
            self.revision = history.revision();
        }
        if view.gesture.is_some() {
            self.repairs.clear();
            self.repairs_for = None;
        } else if self.repairs_for != Some((self.revision, unit)) {
            self.repairs = suggest_repairs(plan, &self.derived, unit);
            self.repairs_for = Some((self.revision, unit));
        }
        if self.behind_for != Some((self.revision, view.alignment)) {
            for behind in &mut self.behind {
                behind.comparison = compare(plan, &behind.plan, view.alignment);
            }
            self.behind_for = Some((self.revision, view.alignment));
        }
        self.ghost = ghost(plan, view);
    }

    /// What follows from the plan.
    pub fn derived(&self) -> &Derived {
        &self.derived
    }

    /// The repairs of the first findings, in their order; empty during a drag.
    pub fn repairs(&self) -> &[Option<Repair>] {
        &self.repairs
    }

    /// The plans behind the curve.
    pub fn behind(&self) -> &[Behind] {
        &self.behind
    }

    /// The preview, if one is open.
    pub fn ghost(&self) -> Option<&Ghost> {
        self.ghost.as_ref()
    }

    /// Lays a plan behind the curve.
    pub fn pin(&mut self, plan: &Plan, other: Plan, alignment: Alignment) {
        let comparison = compare(plan, &other, alignment);
        self.behind.push(Behind {
            name: other.title.clone(),
            plan: Arc::new(other),
            comparison,
        });
    }

    /// Takes a plan from behind the curve; nothing happens if there is none at that place.
    pub fn unpin(&mut self, index: usize) {
        if index < self.behind.len() {
            self.behind.remove(index);
        }
    }
}

fn compare(plan: &Plan, other: &Plan, alignment: Alignment) -> Comparison {
    Comparison::of(plan, other, alignment, COMPARISON_BAND_C)
}

/// The plan as an open preview would make it: the paste that is looked at, or else the transform that is typed.
fn ghost(plan: &Plan, view: &ViewState) -> Option<Ghost> {
    let edit = match &view.dialog {
        Some(Dialog::Paste(form)) => form.edit(plan).ok()?,
        _ if view.drawer_open && view.drawer_page == DrawerPage::Transform => {
            transform::wished(plan, view).ok()??
        }
        _ => return None,
    };
    let plan = plan.edited(&edit).ok()?;
    Some(Ghost {
        derived: Derived::of(&plan),
        plan,
    })
}
