//! The frame that all dialogs share: heading, contents, a row of buttons; Esc leaves, the focus begins on the safe button.

use eframe::egui::{
    Align, Align2, Frame, Id, Label, Layout, Margin, Modal, Response, Role, Stroke, Ui, WidgetInfo,
    vec2,
};

use crate::desk::{
    ask::Ask,
    theme::{Palette, Step, radius, space},
};

/// Width of a dialog that asks something, in points.
pub(super) const ASKING_PX: f32 = 420.0;
/// Width of a dialog that is read, in points.
pub(super) const READING_PX: f32 = 560.0;
/// Space that a dialog leaves free above and below it in the window, in points.
const AROUND_PX: f32 = 48.0;

/// Whether a dialog has just been opened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Opening(bool);

impl Opening {
    /// Puts the focus on `response` if the dialog has just been opened.
    pub(super) fn focus(self, response: &Response) {
        if self.0 {
            response.request_focus();
        }
    }
}

/// Shows a dialog headed `title` in the middle of the window. Esc and a click beside it ask for closing it.
pub(super) fn modal(
    ui: &Ui,
    title: &str,
    width_px: f32,
    asks: &mut Vec<Ask>,
    add_contents: impl FnOnce(&mut Ui, Opening, &mut Vec<Ask>),
) {
    modal_at(
        ui,
        title,
        (width_px, Align2::CENTER_CENTER),
        asks,
        add_contents,
    );
}

/// As [`modal`], at another place of the window.
pub(super) fn modal_at(
    ui: &Ui,
    title: &str,
    (width_px, place): (f32, Align2),
    asks: &mut Vec<Ask>,
    add_contents: impl FnOnce(&mut Ui, Opening, &mut Vec<Ask>),
) {
    let id = Id::unique(("dialog", title));
    let opening = opening(ui, id);
    let palette = Palette::of(ui);
    let frame = Frame::new()
        .fill(palette.raised)
        .stroke(Stroke::new(1.0, palette.control))
        .corner_radius(radius::CARD)
        .inner_margin(Margin::same(20));
    let away_from_edge = -place.to_sign() * AROUND_PX / 2.0;
    let area = Modal::default_area(id).anchor(place, away_from_edge);
    let shown = Modal::new(id).area(area).frame(frame).show(ui.ctx(), |ui| {
        ui.set_width(width_px.min(ui.ctx().content_rect().width() - 2.0 * AROUND_PX));
        ui.spacing_mut().item_spacing.y = space::NEAR;
        ui.label(Step::Title.text(title));
        add_contents(ui, opening, asks);
    });
    let response = &shown.response;
    response.widget_info(|| WidgetInfo::labeled(Role::Dialog, true, title));
    if shown.should_close() {
        asks.push(Ask::CloseDialog);
    }
}

/// Height that is left for a scrolling part between the heading and the buttons, in points.
pub(super) fn scroll_height_px(ui: &Ui) -> f32 {
    (ui.ctx().content_rect().height() - 2.0 * AROUND_PX - 140.0).max(120.0)
}

/// The row of buttons at the foot, from the right.
pub(super) fn buttons<R>(ui: &mut Ui, add_buttons: impl FnOnce(&mut Ui) -> R) -> R {
    ui.add_space(space::TIGHT);
    let size = vec2(ui.available_width(), space::CONTROL_HEIGHT);
    ui.allocate_ui_with_layout(size, Layout::right_to_left(Align::Center), add_buttons)
        .inner
}

/// A paragraph in body type.
pub(super) fn paragraph(ui: &mut Ui, text: &str) {
    let ink = Palette::of(ui).text;
    ui.add(Label::new(Step::Body.text(text).color(ink)).wrap());
}

/// A dialog that wasn't shown in the frame before has just been opened.
fn opening(ui: &Ui, id: Id) -> Opening {
    let now = ui.ctx().cumulative_frame_nr();
    let before = ui.data(|data| data.get_temp::<u64>(id));
    ui.data_mut(|data| data.insert_temp(id, now));
    Opening(before.is_none_or(|frame| frame + 1 < now))
}
