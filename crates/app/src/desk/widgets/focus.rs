//! The ring that shows where the keyboard is.

use eframe::egui::{CornerRadius, Response, Stroke, StrokeKind, Ui};

use crate::desk::theme::Palette;

/// Distance between a widget and its ring, in points.
const GAP_PX: f32 = 1.5;

/// Paints the fir ring around `response` when it has the focus, and brings it into view when it gets it. `radius_px` is the corner radius of the widget itself.
pub fn ring(ui: &Ui, response: &Response, radius_px: u8) {
    show(response);
    if response.has_focus() {
        ui.painter().rect_stroke(
            response.rect.expand(GAP_PX),
            CornerRadius::same(radius_px + 1),
            Stroke::new(2.0, Palette::of(ui).accent),
            StrokeKind::Outside,
        );
    }
}

/// Scrolls what has just got the focus into view: the keyboard goes where the eye can follow.
pub fn show(response: &Response) {
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
}
