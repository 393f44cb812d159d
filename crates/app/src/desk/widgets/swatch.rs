//! Samples for legends and tables: a piece of line with its marker, a patch of a phase.

use eframe::egui::{
    Color32, CornerRadius, Response, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, vec2,
};

use crate::desk::{
    paint::{
        bands::{BandPattern, band},
        dash::dashed,
        marks::marker,
        strokes::LineRole,
    },
    theme::{Palette, Step, radius, space},
};

/// Width of a line sample, in points.
const SAMPLE_PX: f32 = 30.0;
/// Height of a line sample, in points.
const ROW_PX: f32 = 16.0;

/// A piece of the line of `role`, with its marker in the middle, on `ground`.
pub fn line_sample(ui: &mut Ui, role: LineRole, ground: Color32) -> Response {
    let (rect, response) = ui.allocate_exact_size(vec2(SAMPLE_PX, ROW_PX), Sense::hover());
    let palette = Palette::of(ui);
    let look = role.look();
    let ends = [rect.left_center(), rect.right_center()];
    ui.painter()
        .extend(dashed(&ends, look.dash_px, role.stroke(palette), rect));
    if let Some(kind) = look.marker {
        ui.painter()
            .extend(marker(kind, rect.center(), role.color(palette), ground));
    }
    response
}

/// A line sample followed by what it stands for.
pub fn legend_entry(ui: &mut Ui, role: LineRole, label: &str, ground: Color32) -> Response {
    ui.scope(|ui| {
        // Entries are read, not clicked: rows as low as their words.
        ui.spacing_mut().interact_size.y = ROW_PX;
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = space::NEAR;
            line_sample(ui, role, ground);
            ui.label(Step::Small.text(label).color(Palette::of(ui).text2))
        })
        .inner
    })
    .inner
}

/// A small patch in the strip colour `fill` of a phase, with its pattern; `name` is spoken.
pub fn phase_swatch(ui: &mut Ui, pattern: BandPattern, fill: Color32, name: &str) -> Response {
    let (rect, response) = ui.allocate_exact_size(vec2(20.0, 14.0), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, name));
    let palette = Palette::of(ui);
    let corner = CornerRadius::same(radius::CHECK);
    ui.painter().rect(
        rect,
        corner,
        fill,
        Stroke::new(1.0, palette.control),
        StrokeKind::Inside,
    );
    ui.painter()
        .extend(band(pattern, rect.shrink2(vec2(3.0, 2.0)), palette.text2));
    response
}
