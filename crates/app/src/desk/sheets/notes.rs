//! Notes: free text over several lines.

use chaffinch_craft::{Edit, limits::MAX_NOTES_BYTES};
use eframe::egui::{Key, TextEdit, Ui};

use super::{AtFirst, remembered_card};
use crate::desk::{
    ask::Ask,
    model::Model,
    theme::{Palette, Step},
};

/// A character takes at most four bytes, so this many always fit.
const MAX_NOTES_CHARS: usize = MAX_NOTES_BYTES / 4;

/// The plan's notes.
pub(super) fn card(model: &Model<'_>, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let notes = model.plan.notes.as_str();
    let summary = notes.lines().next().unwrap_or("Nothing entered yet");
    let edited = remembered_card(ui, "Notes", ["", summary], AtFirst::Folded, |ui| {
        field(ui, "Notes on the plan", notes)
    });
    asks.extend(
        edited
            .flatten()
            .map(|text| Ask::Apply(Edit::SetNotes(text))),
    );
}

/// A field for notes; gives the new text when the field is left. Escape puts the old text back.
pub(super) fn field(ui: &mut Ui, name: &str, notes: &str) -> Option<String> {
    let id = ui.make_persistent_id(name);
    let draft: Option<String> = ui.data_mut(|data| data.remove_temp(id));
    let was_edited = draft.is_some();
    let mut text = draft.unwrap_or_else(|| notes.to_owned());
    let edit = TextEdit::multiline(&mut text)
        .id(id)
        .font(Step::Body.font())
        .text_color(Palette::of(ui).text)
        .char_limit(MAX_NOTES_CHARS)
        .desired_rows(2)
        .desired_width(ui.available_width());
    let response = ui.add(edit).accessible_name(name);
    if response.has_focus() {
        ui.data_mut(|data| data.insert_temp(id, text));
        return None;
    }
    let is_given_up = ui.input(|input| input.key_pressed(Key::Escape));
    (was_edited && !is_given_up && text != notes).then_some(text)
}
