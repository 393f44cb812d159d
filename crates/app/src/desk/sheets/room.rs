//! The room sheet.

use chaffinch_craft::Edit;
use eframe::egui::{Label, Ui};

use super::field_row::WordsRow;
use crate::desk::{
    ask::Ask,
    model::Model,
    theme::{Palette, Step},
    view_state::ViewState,
    widgets::card::folding_card,
};

pub(super) fn ui(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let name = model.plan.room.name.as_str();
    let summary = if name.is_empty() {
        "Nothing entered yet"
    } else {
        name
    };
    let mut is_open = !view.folds.room;
    folding_card(ui, "Room", ["", summary], &mut is_open, |ui| {
        let row = WordsRow {
            label: "Name",
            name: "Name of the room",
            text: name,
            hint: "Where the machine stands.",
        };
        asks.extend(row.show(model.plan, ui, &Edit::RoomName).map(Ask::Apply));
        let words = "Kept with the plan; nothing is computed from it.";
        ui.add(Label::new(Step::Small.text(words).color(Palette::of(ui).text3)).wrap());
    });
    view.folds.room = !is_open;
}
