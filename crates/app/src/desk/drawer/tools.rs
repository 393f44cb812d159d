//! What the pages of the drawer share: fields in lines of fixed height, buttons of commands, captions.

use crate::desk::{
    ask::Ask,
    commands::Command,
    sheets::accepted,
    theme::{Palette, Step, space},
    view_state::{Status, ViewState},
    widgets::{
        buttons::{ButtonLook, button},
        typed_field::TypedField,
    },
};
use chaffinch_craft::{Edit, Plan, entry::EntryError};
use eframe::egui::{Align, Key, Layout, Response, Sense, Ui, UiBuilder, vec2};
use std::cell::Cell;

/// Height of a table row, in points.
pub(super) const ROW_PX: f32 = 26.0;

/// Shows `field` in a place of `width_px` that never grows; why a text is refused goes to the status line.
pub(super) fn slot<T>(
    field: TypedField<'_>,
    width_px: f32,
    view: &mut ViewState,
    ui: &mut Ui,
    parse: &dyn Fn(&str) -> Result<T, String>,
) -> Option<T> {
    let shown = show_in(&mut slot_ui(width_px, ui), field, parse);
    settled(shown, view)
}

/// As [`slot`], in the bar: Enter and Escape give the keyboard back to the current point, so that the arrows go on from
/// there; a text that is refused keeps it. The field takes it if `takes_focus` and the exact fields were asked for.
pub(super) fn bar_slot<T>(
    field: TypedField<'_>,
    (width_px, takes_focus): (f32, bool),
    view: &mut ViewState,
    ui: &mut Ui,
    parse: &dyn Fn(&str) -> Result<T, String>,
) -> Option<T> {
    let mut place = slot_ui(width_px, ui);
    let id = field.id(&place);
    if takes_focus && std::mem::take(&mut view.focus_fields) {
        place.memory_mut(|memory| memory.request_focus(id));
    }
    // Before the field consumes the key.
    let [enter, escape] =
        [Key::Enter, Key::Escape].map(|key| place.input(|input| input.key_pressed(key)));
    let shown = show_in(&mut place, field, parse);
    let is_left = place.memory(|memory| memory.had_focus_last_frame(id) && !memory.has_focus(id));
    if is_left && enter && matches!(shown, Some(Err(_))) {
        TypedField::take_up_again(&place, id);
    } else if is_left && (enter || escape) {
        view.focus_point = view.current;
    }
    settled(shown, view)
}

/// A place of `width_px` in a line. A field writes a reason beneath itself, where there is no room; it is cut off.
fn slot_ui(width_px: f32, ui: &mut Ui) -> Ui {
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

/// Shows `field` in a place made by [`slot_ui`]; gives what was typed, or why it is refused.
fn show_in<T>(
    place: &mut Ui,
    field: TypedField<'_>,
    parse: &dyn Fn(&str) -> Result<T, String>,
) -> Option<Result<T, String>> {
    let refused = Cell::new(None);
    let parse = |text: &str| {
        parse(text).map_err(|reason| {
            let reason = sentence(&reason);
            refused.set(Some(reason.clone()));
            reason
        })
    };
    let typed = field.show(place, &parse).map(Ok);
    typed.or(refused.into_inner().map(Err))
}

/// What was typed; a refusal goes to the status line.
fn settled<T>(shown: Option<Result<T, String>>, view: &mut ViewState) -> Option<T> {
    match shown? {
        Ok(typed) => Some(typed),
        Err(reason) => {
            view.status = Some(Status::Refused(reason));
            None
        }
    }
}

/// The edit that `wished` makes, if the plan takes it; else the reason, for the field that it was typed in.
pub(super) fn read<T>(
    plan: &Plan,
    value: Result<T, EntryError>,
    wished: impl FnOnce(T) -> Edit,
) -> Result<Edit, String> {
    let value = value.map_err(|error| error.to_string())?;
    accepted(plan, wished(value))
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
    begin_line_for(label, ui);
    ui.add_enabled_ui(is_enabled, |ui| button(ui, ButtonLook::Plain, label))
        .inner
        .on_hover_text(tip)
        .on_disabled_hover_text(tip)
}

/// Begins a new line where the buttons go on in lines and `label` has no room in this one: a button in a part of its own, as one that
/// can be off, isn't put there by the layout.
fn begin_line_for(label: &str, ui: &mut Ui) {
    let words =
        ui.painter()
            .layout_no_wrap(label.to_owned(), Step::Body.font(), Palette::of(ui).text);
    let width_px = words.size().x + 2.0 * space::INNER;
    if ui.layout().main_wrap() && ui.available_size_before_wrap().x < width_px {
        ui.end_row();
    }
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
