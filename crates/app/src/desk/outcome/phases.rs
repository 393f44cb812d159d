//! The table of phases: how long each takes as drawn, and as forecast.

use chaffinch_craft::units::{self, TempUnit};
use chaffinch_curve::{Phase, PhaseName};
use eframe::egui::{
    Align2, Color32, Rect, Role, Sense, Ui, UiBuilder, Vec2, WidgetInfo, pos2, vec2,
};

use super::{
    NOT_REACHED,
    forecast_line::{GAP_PX, SIGN_PX, sign},
    is_window_low, is_window_tall, no_development,
    said::{Said, Sayings},
};
use crate::desk::{
    model::Model,
    paint::bands::BandPattern,
    theme::{Palette, Step, space},
    widgets::{card::plain_card, swatch::phase_swatch},
};

/// Height of a row, in points …
const ROW_PX: f32 = 20.0;
/// … in a low window …
const LOW_ROW_PX: f32 = 18.0;
/// … and of one with a second line, in a tall window.
const TALL_ROW_PX: f32 = 34.0;
/// Distance of a line's middle from the top of its row, in points.
const LINES_PX: [f32; 2] = [9.0, 25.0];
/// Room for the pattern before a phase's name, in points.
const SWATCH_PX: f32 = 24.0;
/// Distance of the drawn column from the right edge, in points: the forecast's column and a gap.
const FORECAST_PX: f32 = 50.0;
/// Narrowest card whose head has room for the sign of the forecast, in points.
const LEAST_SIGNED_PX: f32 = 210.0;

/// One row of the table.
struct Row<'a> {
    label: &'a str,
    look: Option<(BandPattern, Color32)>,
    /// As drawn; nothing where the curve doesn't get there.
    drawn: Option<String>,
    said: &'a Said,
    /// Shown below the label in a tall window.
    below: String,
    /// The whole of it, to be spoken and told on hover.
    spoken: String,
}

pub(super) fn ui(model: &Model<'_>, sayings: &Sayings, is_changing: bool, ui: &mut Ui) {
    let palette = Palette::of(ui);
    let phases = &model.derived.phases;
    plain_card(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        head(ui);
        for (name, phase) in [
            (PhaseName::Drying, &phases.drying),
            (PhaseName::Browning, &phases.browning),
            (PhaseName::Development, &phases.development),
        ] {
            let missing = match name {
                PhaseName::Development => no_development(phases.drop.is_reached()),
                _ => NOT_REACHED,
            };
            let said = sayings.phase(name);
            let (label, pattern, ground) = look(name, palette);
            let (drawn, below, spoken) = match phase.reached() {
                Some(phase) => texts(phase, model.unit),
                None => (None, String::new(), missing.spoken.to_owned()),
            };
            let row = Row {
                label,
                look: Some((pattern, ground)),
                drawn,
                said,
                below,
                spoken: format!("{label}: {spoken}; forecast {}", said.spoken()),
            };
            show(&row, is_changing, ui);
        }
        // In a low window the drop time above has to do: the forecast's own figures follow below.
        if is_window_low(ui) {
            return;
        }
        ui.add_space(space::TIGHT);
        ui.separator();
        ui.add_space(space::TIGHT);
        let total = phases.total_s.reached().copied().map(units::format_time);
        let said = &sayings.drop_time;
        let spoken = format!(
            "Whole roast: {}; forecast {}",
            total.as_deref().unwrap_or(NOT_REACHED.spoken),
            said.spoken()
        );
        let row = Row {
            label: "Whole roast",
            look: None,
            drawn: total,
            said,
            below: String::new(),
            spoken,
        };
        show(&row, is_changing, ui);
    });
}

/// The card's title and the heads of both columns.
fn head(ui: &mut Ui) {
    let palette = Palette::of(ui);
    let below_px = if is_window_low(ui) { 0.0 } else { space::TIGHT };
    let size = vec2(ui.available_width(), ROW_PX + below_px);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let spoken = "Phases, drawn and forecast";
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, spoken));
    let y = rect.top() + ROW_PX / 2.0;
    let painter = ui.painter();
    let title = Step::Head.font();
    let left = pos2(rect.left(), y);
    painter.text(left, Align2::LEFT_CENTER, "Phases", title, palette.text);
    let small = |right, words| {
        let place = pos2(right, y);
        let font = Step::Small.font();
        painter.text(place, Align2::RIGHT_CENTER, words, font, palette.text3)
    };
    let forecast = small(rect.right(), "Forecast");
    if LEAST_SIGNED_PX <= rect.width() {
        sign(ui, forecast.left() - GAP_PX - SIGN_PX, y);
    }
    small(drawn_right(rect), "Drawn");
}

/// Where the drawn column ends.
fn drawn_right(rect: Rect) -> f32 {
    let sign_px = if LEAST_SIGNED_PX <= rect.width() {
        SIGN_PX + GAP_PX
    } else {
        0.0
    };
    rect.right() - FORECAST_PX - sign_px
}

/// Name, pattern and ground of a phase.
fn look(name: PhaseName, palette: &Palette) -> (&'static str, BandPattern, Color32) {
    match name {
        PhaseName::Drying => ("Drying", BandPattern::Plain, palette.drying_strip),
        PhaseName::Browning => ("Browning", BandPattern::Dots, palette.browning_strip),
        PhaseName::Development => ("Development", BandPattern::Bars, palette.development_strip),
    }
}

fn show(row: &Row<'_>, is_changing: bool, ui: &mut Ui) {
    let palette = Palette::of(ui);
    let is_tall = is_window_tall(ui) && row.look.is_some();
    let height_px = if is_tall {
        TALL_ROW_PX
    } else if is_window_low(ui) {
        LOW_ROW_PX
    } else {
        ROW_PX
    };
    let size = vec2(ui.available_width(), height_px);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &row.spoken));
    let [upper, lower] = LINES_PX.map(|down_px| rect.top() + down_px);
    if let Some((pattern, ground)) = row.look {
        let place = Rect::from_min_size(rect.left_top() + vec2(0.0, 2.0), Vec2::splat(SWATCH_PX));
        let name = format!("Pattern of {}", row.label.to_lowercase());
        // A child leaves the place of the next row alone.
        let mut child = ui.new_child(UiBuilder::new().max_rect(place));
        phase_swatch(&mut child, pattern, ground, &name);
    }
    let painter = ui.painter();
    let left = rect.left() + SWATCH_PX;
    let text = |place, align, words: &str, step: Step, ink| {
        painter.text(place, align, words, step.font(), ink);
    };
    let body = Step::Body;
    text(
        pos2(left, upper),
        Align2::LEFT_CENTER,
        row.label,
        body,
        palette.text,
    );
    if is_tall {
        let place = pos2(left, lower);
        text(
            place,
            Align2::LEFT_CENTER,
            &row.below,
            Step::Small,
            palette.text2,
        );
    }
    let (drawn, ink) = match &row.drawn {
        Some(drawn) => (drawn.as_str(), palette.text),
        None => ("–", palette.text3),
    };
    let place = pos2(drawn_right(rect), upper);
    text(place, Align2::RIGHT_CENTER, drawn, Step::Strong, ink);
    let ink = if is_changing {
        palette.text
    } else {
        palette.text2
    };
    let place = pos2(rect.right(), upper);
    text(place, Align2::RIGHT_CENTER, row.said.brief(), body, ink);
    response.on_hover_text(&row.spoken);
}

/// Duration; mean and peak rise; all of it in words.
fn texts(phase: &Phase, unit: TempUnit) -> (Option<String>, String, String) {
    let time = units::format_time(phase.duration_s);
    let share = phase.share.reached().map_or_else(String::new, |&share| {
        format!(", {} of the roast", units::format_share(share))
    });
    let rise = format!(
        "mean {}, peak {}",
        units::format_rise(phase.mean_rise_c_per_s, unit),
        units::format_rise_with_unit(phase.peak_rise_c_per_s, unit)
    );
    let peak_at = units::format_time(phase.peak_at_s);
    let spoken = format!("{time}{share}, rise {rise} at {peak_at}");
    (Some(time), rise, spoken)
}
