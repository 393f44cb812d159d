//! The sheet of everyday variation: how much things differ from batch to batch, which the spread of the forecast rests on.

use chaffinch_craft::{NumberName, SheetNumber, VariationNumber};
use eframe::egui::{Label, Ui};

use super::{assumed::Assumed, known_number};
use crate::desk::{
    ask::Ask,
    model::Model,
    theme::{Palette, Step},
    view_state::ViewState,
    widgets::card::folding_card,
};

pub(super) fn ui(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let assumed = Assumed::of(&model.plan.variation).words();
    let is_open = &mut view.folds.variation_open;
    folding_card(ui, "Everyday variation", ["", &assumed], is_open, |ui| {
        let ink = Palette::of(ui).text2;
        let words = "95 of 100 roasts stay within these, up or down. The spread of the forecast follows from them.";
        ui.add(Label::new(Step::Small.text(words).color(ink)).wrap());
        let numbers = VariationNumber::ALL.iter().copied();
        known_number::rows(model, numbers.map(NumberName::Variation), asks, ui);
    });
}
