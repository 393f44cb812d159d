//! The room sheet: the air that the machine draws in, and its mains.

use chaffinch_craft::{Edit, NumberName, RoomNumber, SheetNumber, units};
use eframe::egui::Ui;

use super::{assumed::Assumed, field_row::WordsRow, known_number};
use crate::desk::{
    ask::Ask,
    model::Model,
    view_state::ViewState,
    widgets::card::{CardWords, folding_card_saying},
};

pub(super) fn ui(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let room = &model.plan.room;
    let assumed = Assumed::of(&room.numbers).words();
    let words = CardWords {
        aside: &assumed,
        folded_aside: &assumed,
        summary: &summary(model),
    };
    let mut is_open = !view.folds.room;
    folding_card_saying(ui, "Room", words, &mut is_open, |ui| {
        let row = WordsRow {
            label: "Name",
            name: "Name of the room",
            text: &room.name,
            hint: "Where the machine stands.",
        };
        asks.extend(row.show(model.plan, ui, &Edit::RoomName).map(Ask::Apply));
        let numbers = RoomNumber::ALL.iter().copied().map(NumberName::Room);
        known_number::rows(model, numbers, asks, ui);
    });
    view.folds.room = !is_open;
}

/// “Back room, 21 °C, 226 V”.
fn summary(model: &Model<'_>) -> String {
    let room = &model.plan.room;
    let known = |number| NumberName::Room(number).known(model.plan);
    let air = known(RoomNumber::AirTemp);
    let air = air.map(|air| units::format_temp_with_unit(air.value, model.unit));
    let mains = known(RoomNumber::Mains).map(|mains| format!("{} V", mains.value));
    let name = Some(room.name.clone()).filter(|name| !name.is_empty());
    let parts: Vec<String> = [name, air, mains].into_iter().flatten().collect();
    parts.join(", ")
}
