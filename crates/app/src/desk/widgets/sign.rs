//! The glyph of a finding as a widget, to stand before its words.

use chaffinch_craft::Severity;
use eframe::egui::{Color32, Sense, Ui, Vec2};

use crate::desk::{paint::marks::finding_glyph, theme::Palette};

/// Side of the square that the glyph stands in, in points.
const SIDE_PX: f32 = 18.0;

/// Draws the glyph of `severity` over `ground`.
pub fn sign(ui: &mut Ui, severity: Severity, ground: Color32) {
    let (place, _) = ui.allocate_exact_size(Vec2::splat(SIDE_PX), Sense::hover());
    ui.painter().extend(finding_glyph(
        severity,
        place.center(),
        Palette::of(ui),
        ground,
    ));
}
