//! What the pages of the drawer share: fields in lines of fixed height, buttons of commands, captions.

use crate::desk::{
    ask::Ask,
    commands::Command,
    theme::{Palette, Step, space},
    view_state::{Status, ViewState},
    widgets::{
        buttons::{ButtonLook, button},
        typed_field::TypedField,
    },
};
use chaffinch_craft::entry::EntryError;
use eframe::egui::{Align, Id, Layout, Response, Sense, Ui, UiBuilder, vec2};
use std::{cell::RefCell, fmt::Debug, hash::Hash};

/// Height of a table row, in points.
pub(super) const ROW_PX: f32 = 26.0;

/// Shows `field` in a place of `width_px` that never grows; why a text is refused goes to the status line.
pub(super) fn slot<T>(
    field: TypedField<'_>,
    width_px: f32,
    view: &mut ViewState,
    ui: &mut Ui,
    parse: &dyn Fn(&str) -> Result<T, EntryError>,
) -> Option<T> {
    let mut place = slot_ui(width_px, ui);
    show_in(&mut place, field, view, parse)
}

/// A place of `width_px` in a line. A field writes a reason beneath itself, where there is no room; it is cut off.
pub(super) fn slot_ui(width_px: f32, ui: &mut Ui) -> Ui {
    let (rect, _) = ui.allocate_exact_size(vec2(width_px, space::CONTROL_HEIGHT), Sense::hover());
    let mut place = ui.new_child(
        UiBuilder::new()
            .max_rect(rect)
            .layout(Layout::left_to_right(Align::Min)),
    );
    place.shrink_clip_rect(rect.expand(2.0));
    place.spacing_mut().item_spacing.x = space::TIGHT;
    place
}

/// Puts the keyboard focus on the field of `salt` in `place`, if the exact fields were asked for.
pub(super) fn take_focus(salt: impl Hash + Debug, view: &mut ViewState, place: &Ui) {
    if std::mem::take(&mut view.focus_fields) {
        let id = place.make_persistent_id(Id::unique(salt));
        place.memory_mut(|memory| memory.request_focus(id));
    }
}

/// Shows `field` in a place made by [`slot_ui`]; why a text is refused goes to the status line.
pub(super) fn show_in<T>(
    place: &mut Ui,
    field: TypedField<'_>,
    view: &mut ViewState,
    parse: &dyn Fn(&str) -> Result<T, EntryError>,
) -> Option<T> {
    let refused = RefCell::new(None);
    let parse = |text: &str| {
        parse(text).map_err(|error| {
            let reason = sentence(&error.to_string());
            refused.replace(Some(reason.clone()));
            reason
        })
    };
    let typed = field.show(place, &parse);
    if let Some(reason) = refused.into_inner() {
        view.status = Some(Status::Refused(reason));
    }
    typed
}

/// A button for a command of the table, with its hint and key on hover.
pub(super) fn command_button(
    command: Command,
    label: &str,
    is_enabled: bool,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let pressed = tipped_button(label, &command.tip(ui.ctx()), is_enabled, ui);
    if pressed.clicked() {
        asks.push(Ask::Do(command));
    }
}

/// A plain button with a tooltip.
pub(super) fn tipped_button(label: &str, tip: &str, is_enabled: bool, ui: &mut Ui) -> Response {
    ui.add_enabled_ui(is_enabled, |ui| button(ui, ButtonLook::Plain, label))
        .inner
        .on_hover_text(tip)
        .on_disabled_hover_text(tip)
}

/// A small label before a field.
pub(super) fn caption(text: &str, ui: &mut Ui) {
    ui.label(Step::Body.text(text).color(Palette::of(ui).text2));
}

/// `text` with a capital at its start.
pub(in crate::desk) fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

#[cfg(test)]
mod tests {
    use super::sentence;

    #[test]
    fn sentence_starts_with_a_capital_in_any_script() {
        for (text, expected) in [
            ("the end", "The end"),
            ("“x” is", "“x” is"),
            ("élan", "Élan"),
            ("", ""),
        ] {
            assert_eq!(sentence(text), expected, "{text}");
        }
    }
}
