//! The sheets that a plan is carried to, edited as those of the plan are; each number that differs says what it was.

use super::{
    form::CarryForm,
    target::{Completed, growth_card, head_card},
    worker::Found,
};
use crate::desk::{ask::Ask, model::Model, sheets, theme::space, view_state::ViewState};
use chaffinch_craft::carry::CarryOver;
use eframe::egui::Ui;

pub(super) fn ui(
    model: &Model<'_>,
    form: &mut CarryForm,
    view: &mut ViewState,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let to = form.to.clone();
    let completed = Completed::of(model.plan, &to);
    let found = carried_over(model);
    let narrowing = found.and_then(|found| found.narrowing().map(|most| most.guess.number));
    let carried = completed.carried(narrowing, found.map(|found| &found.after.outlook));
    let target = Model {
        plan: &to,
        carried: Some(carried),
        ..*model
    };
    let mut asked = Vec::new();
    let mut other = None;
    sheets::for_target(&target, view, &mut asked, ui, |ui| {
        head_card(model.plan, &to, asks, ui);
        ui.add_space(space::TIGHT);
        other = growth_card(&to, &carried, ui);
    });
    if let Some(other) = other {
        // What is left to enter of another coffee stands in that part.
        view.folds.coffee = false;
        view.folds.coffee_rest_open = true;
        form.to = other;
    }
    for ask in asked {
        match ask {
            // The fields judged it before they asked, so it is taken.
            Ask::Apply(edit) => {
                if let Ok(plan) = form.to.edited(&edit) {
                    form.to = plan;
                }
            }
            ask => asks.push(ask),
        }
    }
}

/// What came of carrying over lately.
fn carried_over<'a>(model: &Model<'a>) -> Option<&'a CarryOver> {
    match &model.rework?.found {
        Found::Carry(found) => found.as_ref().as_ref().ok(),
        Found::Shape(_) => None,
    }
}
