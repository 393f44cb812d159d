//! The findings' rail at the foot of the temperature lane: a bracket and a glyph where each finding lies.

use super::{
    super::{
        layout,
        model::Model,
        paint::marks::{bracket, finding_glyph},
        theme::Palette,
    },
    frame::LaneFrame,
};
use chaffinch_craft::units::format_time;
use eframe::egui::{Id, Painter, Rangef, Rect, Sense, Ui, Vec2, pos2};

/// Most findings drawn; more would cover each other. All of them are in the list.
const MOST_DRAWN: usize = 8;

/// Shows the rail; hovering a glyph tells the finding.
pub fn ui(model: &Model<'_>, frame: &LaneFrame, ui: &mut Ui) {
    let palette = Palette::of(ui);
    let painter: Painter = ui.painter().with_clip_rect(frame.rect);
    let y = frame.rect.bottom() - layout::RAIL_PX / 2.0 - 3.0;
    // Worst first in the list, so the worst is drawn last, on top.
    for (index, finding) in model
        .derived
        .findings
        .iter()
        .take(MOST_DRAWN)
        .enumerate()
        .rev()
    {
        let left = frame.screen_x_from_time(finding.from_s);
        let right = frame.screen_x_from_time(finding.to_s).max(left);
        if right - left > 1.0 {
            let across = Rangef::new(left, right);
            painter.extend(bracket(finding.severity(), across, y, palette, frame.rect));
        }
        let edge = frame.rect.x_range().shrink(12.0);
        let center = pos2(edge.clamp(f32::midpoint(left, right)), y);
        painter.extend(finding_glyph(
            finding.severity(),
            center,
            palette,
            palette.chart,
        ));
        let hit = Rect::from_center_size(center, Vec2::splat(18.0));
        let response = ui.interact(hit, Id::unique(("finding", index)), Sense::hover());
        response.on_hover_text(format!(
            "{}, {}: {}",
            finding.heading(),
            format_time(finding.from_s),
            finding.sentence(model.unit)
        ));
    }
}
