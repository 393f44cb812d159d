//! Buttons: primary, plain, quiet link, and icon with a name.
//!
//! A button that can't be used stands in `ui.add_enabled_ui(false, …)`; its border falls back to a hairline.

use eframe::egui::{
    Color32, CornerRadius, CursorIcon, Rect, Response, Role, Sense, Stroke, StrokeKind, Ui, Vec2,
    WidgetInfo,
    text::{LayoutJob, TextWrapping},
    vec2,
};

use super::focus;
use crate::desk::{
    paint::icons::{Icon, icon},
    theme::{Palette, Step, radius, space},
};

/// How much a button asks for attention.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ButtonLook {
    /// Filled with ink: the one thing to do next.
    Primary,
    /// Raised with a border.
    Plain,
    /// Words alone, in fir.
    Link,
}

/// A button that says `label` and is as wide as it needs; click, Enter and Space press it.
pub fn button(ui: &mut Ui, look: ButtonLook, label: &str) -> Response {
    labelled(ui, look, label, 0.0)
}

/// The same, as wide as the space that is left.
pub fn wide_button(ui: &mut Ui, look: ButtonLook, label: &str) -> Response {
    let width_px = ui.available_width();
    labelled(ui, look, label, width_px)
}

fn labelled(ui: &mut Ui, look: ButtonLook, label: &str, least_width_px: f32) -> Response {
    let palette = Palette::of(ui);
    let (step, ink, side_px) = match look {
        // Faded ink on faded ink can't be read, so it stands as a plain one, as wide as before.
        ButtonLook::Primary if !ui.is_enabled() => (Step::Strong, palette.text, 16.0),
        ButtonLook::Primary => (Step::Strong, palette.on_chip, 16.0),
        ButtonLook::Plain => (Step::Body, palette.text, space::INNER),
        ButtonLook::Link => (Step::Body, palette.accent, space::TIGHT),
    };
    let mut job = LayoutJob::simple_singleline(label.to_owned(), step.font(), ink);
    job.wrap = TextWrapping::truncate_at_width(ui.available_width() - 2.0 * side_px);
    let words = ui.painter().layout_job(job);
    let is_cut = words.elided;
    let size = vec2(
        (words.size().x + 2.0 * side_px).max(least_width_px),
        space::CONTROL_HEIGHT,
    );
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, ui.is_enabled(), label));
    // A button out of sight isn't painted, and wouldn't come into view by itself.
    focus::show(&response);
    if ui.is_rect_visible(rect) {
        paint_body(ui, look, &response);
        let corner = rect.center() - words.size() / 2.0;
        if look == ButtonLook::Link && response.hovered() {
            let line = words.rect.translate(corner.to_vec2());
            ui.painter()
                .hline(line.x_range(), line.bottom() - 1.0, Stroke::new(1.0, ink));
        }
        ui.painter().galley(corner, words, ink);
    }
    let response = response.on_hover_cursor(CursorIcon::PointingHand);
    if is_cut {
        response.on_hover_text(label)
    } else {
        response
    }
}

fn paint_body(ui: &Ui, look: ButtonLook, response: &Response) {
    let palette = Palette::of(ui);
    let look = match look {
        ButtonLook::Primary if !ui.is_enabled() => ButtonLook::Plain,
        look => look,
    };
    let ground = match look {
        ButtonLook::Primary => palette.chip,
        ButtonLook::Plain => palette.raised,
        ButtonLook::Link => Color32::TRANSPARENT,
    };
    // Ink can't be darkened by ink: a filled button answers the pointer with its own text colour.
    let answer = |share: f32| crate::desk::theme::mix(ground, palette.on_chip, share);
    let ground = match (
        look,
        response.is_pointer_button_down_on(),
        response.hovered(),
    ) {
        (ButtonLook::Primary, true, _) => answer(0.24),
        (ButtonLook::Primary, false, true) => answer(0.12),
        (ButtonLook::Plain, true, _) => palette.pressed(ground),
        (ButtonLook::Plain, false, true) => palette.hovered(ground),
        _ => ground,
    };
    let border = match (look, ui.is_enabled()) {
        (ButtonLook::Plain, true) => Stroke::new(1.0, palette.control),
        (ButtonLook::Plain, false) => Stroke::new(1.0, palette.hairline),
        _ => Stroke::NONE,
    };
    let corner = CornerRadius::same(radius::BUTTON);
    ui.painter()
        .rect(response.rect, corner, ground, border, StrokeKind::Inside);
    focus::ring(ui, response, radius::BUTTON);
}

/// A square button with a drawn sign. `name` is spoken and shown on hover, followed by `hint` (a key, or why it can't be used).
pub fn icon_button(ui: &mut Ui, sign: Icon, name: &str, hint: &str) -> Response {
    let palette = Palette::of(ui);
    let (rect, response) =
        ui.allocate_exact_size(vec2(28.0, space::CONTROL_HEIGHT), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, ui.is_enabled(), name));
    focus::show(&response);
    if ui.is_rect_visible(rect) {
        paint_body(ui, ButtonLook::Plain, &response);
        let sign_rect = Rect::from_center_size(rect.center(), Vec2::splat(16.0));
        ui.painter().extend(icon(sign, sign_rect, palette.text));
    }
    let words = if hint.is_empty() {
        name.to_owned()
    } else {
        format!("{name}, {hint}")
    };
    response
        .on_hover_cursor(CursorIcon::PointingHand)
        .on_hover_text(&words)
        .on_disabled_hover_text(&words)
}
