//! Reworking the plan: carrying it over to another coffee, machine or room, and shaping it by targets. What comes of it is looked at
//! beside the plan, and nothing changes before it is accepted.
//!
//! While it is open the left column holds what the plan is carried to, the lanes show both curves, and the right column holds the
//! choices and what comes of them.

mod carry_panel;
mod form;
mod head;
mod shape_panel;
mod target;
mod target_sheets;
mod worker;

pub use form::{CarryForm, Rework, ReworkKind, ShapeForm};
pub(super) use target::grade_menu;
pub use target::{Before, Carried};
pub use worker::{Found, Job, ReworkWorker, Reworked, Wish};

use super::{ask::Ask, model::Model, view_state::ViewState};
use eframe::egui::Ui;

/// The right column while a rework is open.
pub fn panel(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    // Taken out for the time of the frame, so that the panel may change it and the rest of the view.
    let Some(mut rework) = view.rework.take() else {
        return;
    };
    match &mut rework {
        Rework::Carry(form) => carry_panel::ui(model, form, view, asks, ui),
        Rework::Shape(form) => shape_panel::ui(model, form, view, asks, ui),
    }
    view.rework = Some(rework);
}

/// The left column while a plan is carried over: the sheets that it is carried to.
pub fn sheets(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let Some(mut rework) = view.rework.take() else {
        return;
    };
    if let Rework::Carry(form) = &mut rework {
        target_sheets::ui(model, form, view, asks, ui);
    }
    view.rework = Some(rework);
}
