//! The findings' rail at a lane's foot: a bracket and a glyph where each finding lies. What concerns heater or fan lies in the
//! effort lane, all else in the temperature lane.

use super::{
    super::{
        ask::Ask,
        layout,
        model::Model,
        paint::marks::{bracket, finding_glyph},
        theme::Palette,
        window_span::Lane,
    },
    frame::LaneFrame,
};
use chaffinch_craft::{FindingKind, ForecastKind, units::format_time};
use chaffinch_twin::Limit;
use eframe::egui::{Id, Painter, Rangef, Rect, Sense, Ui, Vec2, pos2};

/// Most findings drawn; more would cover each other. All of them are in the list.
const MOST_DRAWN: usize = 8;

/// Shows a lane's rail; hovering a glyph tells the finding, a click brings its stretch into view and lights it up.
pub(super) fn ui(
    model: &Model<'_>,
    lane: Lane,
    frame: &LaneFrame,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let palette = Palette::of(ui);
    let painter: Painter = ui.painter().with_clip_rect(frame.rect);
    let y = frame.rect.bottom() - layout::RAIL_PX / 2.0 - 3.0;
    // Worst first in the list, so the worst is drawn last, on top.
    let all = model.findings.iter().take(MOST_DRAWN).enumerate().rev();
    for (index, finding) in all.filter(|(_, finding)| lane_of(&finding.kind) == lane) {
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
        // Keys and readers have the list of findings, where each has a button "Show".
        let response = ui.interact(hit, Id::unique(("finding", index)), Sense::CLICK);
        if response.clicked() {
            asks.push(Ask::Show {
                from_s: finding.from_s,
                to_s: finding.to_s,
            });
        }
        response.on_hover_text(format!(
            "{}, {}: {}",
            finding.heading(),
            format_time(finding.from_s),
            finding.sentence(model.unit)
        ));
    }
}

/// The lane on whose foot a finding lies.
fn lane_of(kind: &FindingKind) -> Lane {
    match kind {
        FindingKind::Forecast(
            ForecastKind::HeaterAtLimit { .. }
            | ForecastKind::Hunts { .. }
            | ForecastKind::NoForecast {
                limit: Limit::BedRests { .. } | Limit::BeansCarriedOut { .. },
            },
        ) => Lane::Effort,
        _ => Lane::Temperature,
    }
}
