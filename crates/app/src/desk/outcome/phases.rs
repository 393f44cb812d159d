//! The table of phases: duration and share of each, and how fast it rises.

use chaffinch_craft::units::{self, TempUnit};
use chaffinch_curve::{Phase, PhaseName, Reach};
use eframe::egui::{Align2, Color32, Role, Sense, Ui, WidgetInfo, pos2, vec2};

use super::{Missing, NOT_REACHED, is_window_low, no_development};
use crate::desk::{
    model::Model,
    paint::bands::BandPattern,
    sheets::ValueRow,
    theme::{Palette, Step, space},
    widgets::{card::card, swatch::phase_swatch},
};

/// Height of a phase's two lines, in points.
const ROW_PX: f32 = 34.0;
/// Height of a phase in a low window, where the second line is only told on hover, in points.
const LOW_ROW_PX: f32 = 20.0;
/// Distance of a line's middle from the top of its row, in points.
const LINES_PX: [f32; 2] = [9.0, 25.0];
/// Width that the shares take at the right, in points.
const SHARE_PX: f32 = 46.0;

pub(super) fn ui(model: &Model<'_>, is_changing: bool, ui: &mut Ui) {
    let phases = &model.derived.phases;
    card(ui, "Phases", "time and share", |ui| {
        for (name, phase) in [
            (PhaseName::Drying, &phases.drying),
            (PhaseName::Browning, &phases.browning),
            (PhaseName::Development, &phases.development),
        ] {
            let missing = match name {
                PhaseName::Development => no_development(phases.drop.is_reached()),
                _ => NOT_REACHED,
            };
            row(model.unit, (name, phase, missing), is_changing, ui);
        }
        ui.separator();
        let total = phases.total_s.reached();
        let value = total.map_or_else(
            || NOT_REACHED.painted.to_owned(),
            |&total_s| units::format_time(total_s),
        );
        let row = ValueRow {
            label: "Whole roast",
            value: &value,
            is_changing: is_changing && total.is_some(),
        };
        row.show(ui).on_hover_text("From charge to drop");
    });
}

/// Name, pattern and ground of a phase.
fn look(name: PhaseName, palette: &Palette) -> (&'static str, BandPattern, Color32) {
    match name {
        PhaseName::Drying => ("Drying", BandPattern::Plain, palette.drying_strip),
        PhaseName::Browning => ("Browning", BandPattern::Dots, palette.browning_strip),
        PhaseName::Development => ("Development", BandPattern::Bars, palette.development_strip),
    }
}

/// One phase; `missing` is said where it doesn't exist.
fn row(
    unit: TempUnit,
    (name, phase, missing): (PhaseName, &Reach<Phase>, Missing),
    is_changing: bool,
    ui: &mut Ui,
) {
    let palette = Palette::of(ui);
    let (label, pattern, ground) = look(name, palette);
    let phase = phase.reached();
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::NEAR;
        phase_swatch(
            ui,
            pattern,
            ground,
            &format!("Pattern of {}", label.to_lowercase()),
        );
        let is_low = is_window_low(ui);
        let size = vec2(
            ui.available_width(),
            if is_low { LOW_ROW_PX } else { ROW_PX },
        );
        let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
        let [upper, lower] = LINES_PX.map(|down_px| rect.top() + down_px);
        let painter = ui.painter();
        let left = |y, text: &str, step: Step, ink| {
            painter.text(
                pos2(rect.left(), y),
                Align2::LEFT_CENTER,
                text,
                step.font(),
                ink,
            );
        };
        let right = |from_right_px: f32, text: &str, step: Step, ink| {
            let place = pos2(rect.right() - from_right_px, upper);
            painter.text(place, Align2::RIGHT_CENTER, text, step.font(), ink);
        };
        let Some(phase) = phase else {
            left(upper, label, Step::Body, palette.text3);
            right(0.0, missing.painted, Step::Body, palette.text3);
            response.widget_info(|| {
                WidgetInfo::labeled(Role::Label, true, format!("{label}: {}", missing.spoken))
            });
            return;
        };
        let [time, share, rise] = texts(phase, unit);
        let quiet = if is_changing {
            palette.text
        } else {
            palette.text2
        };
        left(upper, label, Step::Body, palette.text);
        if !is_low {
            left(lower, &rise, Step::Small, quiet);
        }
        right(SHARE_PX, &time, Step::Strong, palette.text);
        right(0.0, &share, Step::Body, quiet);
        let spoken = format!("{label}: {time}, {share} of the roast, rise {rise}");
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
        let peak_at = units::format_time(phase.peak_at_s);
        response.on_hover_text(format!("{spoken}; the peak is at {peak_at}"));
    });
}

/// Duration, share of the roast (empty without a drop), and mean and peak rise.
fn texts(phase: &Phase, unit: TempUnit) -> [String; 3] {
    let share = phase
        .share
        .reached()
        .map_or_else(String::new, |&share| units::format_share(share));
    let rise = format!(
        "mean {}, peak {}",
        units::format_rise(phase.mean_rise_c_per_s, unit),
        units::format_rise_with_unit(phase.peak_rise_c_per_s, unit)
    );
    [units::format_time(phase.duration_s), share, rise]
}
