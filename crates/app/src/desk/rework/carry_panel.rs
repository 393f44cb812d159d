//! Carrying over: what stays the same, the layers, how far to go, and what comes of it.
//!
//! The head with its buttons and the slider stay in place, so that the figures can be watched while it moves; the cards below scroll. While the work on a newer wish takes long, the figures of the
//! older one stay, in weaker ink.

mod before_after;
mod from_to;
mod how_far;
mod keep_picture;
mod keeps;
mod layers;
mod levels;
mod minding;
mod trouble;
mod why;

use super::{
    form::CarryForm,
    head,
    worker::{Found, Reworked},
};
use crate::desk::{
    ask::Ask,
    layout::LOW_WINDOW_PX,
    model::Model,
    sheets::AtFirst,
    theme::{Palette, Step, space},
    view_state::ViewState,
};
use chaffinch_craft::carry::{CarryError, CarryOver};
use eframe::egui::{Label, ScrollArea, Ui};

/// Opacity of figures that are about an older wish.
const OLD_OPACITY: f32 = 0.6;

pub(super) fn ui(
    model: &Model<'_>,
    form: &mut CarryForm,
    view: &mut ViewState,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let from_to = from_to::line(model.plan, &form.to);
    head::ui(model, "Carry over", &from_to, asks, ui);
    how_far::ui(&mut form.percent, ui);
    ui.add_space(space::TIGHT);
    let found = model.rework.and_then(carried);
    ScrollArea::vertical()
        .id_salt("carry-over")
        .auto_shrink(false)
        .show(ui, |ui| cards(model, (form, found), view, ui));
}

/// What came of carrying over, if the answer is about that.
fn carried(answer: &Reworked) -> Option<&Result<CarryOver, CarryError>> {
    match &answer.found {
        Found::Carry(found) => Some(found),
        Found::Shape(_) => None,
    }
}

fn cards(
    model: &Model<'_>,
    (form, found): (&mut CarryForm, Option<&Result<CarryOver, CarryError>>),
    view: &mut ViewState,
    ui: &mut Ui,
) {
    let carried = found.and_then(|found| found.as_ref().ok());
    match found {
        Some(Err(error)) => trouble::ui(error, form, ui),
        _ => minding::ui(model, carried, ui),
    }
    keeps::ui(&mut form.keep, ui);
    ui.add_space(space::TIGHT);
    layers::ui(model, form, carried, view, ui);
    ui.add_space(space::TIGHT);
    if let Some(carried) = carried {
        ui.scope(|ui| {
            if is_old(model) {
                ui.multiply_opacity(OLD_OPACITY);
            }
            before_after::ui(model, carried, ui);
            ui.add_space(space::TIGHT);
            levels::ui(model, carried, &mut form.set_levels, ui);
            ui.add_space(space::TIGHT);
            why::ui(model, carried, ui);
        });
        ui.add_space(space::TIGHT);
    } else if found.is_none() {
        let words = Step::Small
            .text("Being worked out.")
            .color(Palette::of(ui).text2);
        ui.add(Label::new(words).wrap());
    }
    why::trust(ui);
}

/// How a card is shown at first that a low window has no room for.
fn at_first(ui: &Ui) -> AtFirst {
    if ui.content_rect().height() < LOW_WINDOW_PX {
        AtFirst::Folded
    } else {
        AtFirst::Open
    }
}

/// Whether what is shown has been about an older wish for long enough to say so.
fn is_old(model: &Model<'_>) -> bool {
    model.rework_progress.is_some() || model.is_rework_stopped
}
