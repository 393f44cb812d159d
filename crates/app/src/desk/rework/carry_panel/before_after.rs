//! The table of the old plan beside the new one: phases and drop as drawn, effort and losses as forecast.

use crate::desk::{
    model::Model,
    theme::{Palette, Step, space},
    widgets::card::plain_card,
};
use chaffinch_craft::carry::{BeforeAfter, CarryOver};
use chaffinch_twin::trust;
use eframe::egui::{Align2, Rect, Role, Sense, Ui, WidgetInfo, pos2, vec2};

/// Height of a row, in points …
const ROW_PX: f32 = 20.0;
/// … and of one with shares below.
const TALL_ROW_PX: f32 = 34.0;
/// Distance of the lower line's middle from the top of its row, in points.
const LOWER_PX: f32 = 25.0;
/// Where the columns end, counted from the right edge, in points: before, after, change.
const COLUMNS_PX: [f32; 3] = [106.0, 54.0, 0.0];
/// Heads of the columns.
const HEADS: [&str; 3] = ["Before", "After", "Change"];

pub(super) fn ui(model: &Model<'_>, carried: &CarryOver, ui: &mut Ui) {
    plain_card(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        head("Before and after", ui);
        for figure in carried.drawn_figures(model.plan, model.unit) {
            row(&figure, ui);
        }
        ui.add_space(space::TIGHT);
        ui.separator();
        ui.add_space(space::TIGHT);
        sub_head(ui);
        for figure in carried.forecast_figures(model.plan) {
            row(&figure, ui);
        }
    });
}

fn head(title: &str, ui: &mut Ui) {
    let palette = Palette::of(ui);
    let size = vec2(ui.available_width(), ROW_PX + space::TIGHT);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, title));
    let y = rect.top() + ROW_PX / 2.0;
    let painter = ui.painter();
    let left = pos2(rect.left(), y);
    let font = Step::Head.font();
    painter.text(left, Align2::LEFT_CENTER, title, font, palette.text);
    for (place, words) in places(rect, y).into_iter().zip(HEADS) {
        let font = Step::Small.font();
        painter.text(place, Align2::RIGHT_CENTER, words, font, palette.text3);
    }
}

fn sub_head(ui: &mut Ui) {
    let size = vec2(ui.available_width(), ROW_PX);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let words = "Forecast";
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, words));
    let ink = Palette::of(ui).text3;
    let place = rect.left_center();
    ui.painter()
        .text(place, Align2::LEFT_CENTER, words, Step::Small.font(), ink);
}

fn places(rect: Rect, y: f32) -> [eframe::egui::Pos2; 3] {
    COLUMNS_PX.map(|from_right_px| pos2(rect.right() - from_right_px, y))
}

fn row(figure: &BeforeAfter, ui: &mut Ui) {
    let palette = Palette::of(ui);
    let height_px = if figure.shares.is_some() {
        TALL_ROW_PX
    } else {
        ROW_PX
    };
    let size = vec2(ui.available_width(), height_px);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let spoken = figure.spoken();
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
    let y = rect.top() + ROW_PX / 2.0;
    let painter = ui.painter();
    let name = painter.text(
        pos2(rect.left(), y),
        Align2::LEFT_CENTER,
        figure.name,
        Step::Body.font(),
        palette.text,
    );
    painter.text(
        pos2(name.right() + space::TIGHT, y),
        Align2::LEFT_CENTER,
        figure.unit,
        Step::Small.font(),
        palette.text3,
    );
    let steps = [Step::Body, Step::Strong, Step::Body];
    let inks = [palette.text2, palette.text, palette.text2];
    for (index, place) in places(rect, y).into_iter().enumerate() {
        let words = &figure.numbers[index];
        let font = steps[index].font();
        painter.text(place, Align2::RIGHT_CENTER, words, font, inks[index]);
    }
    if let Some(shares) = &figure.shares {
        let lower = rect.top() + LOWER_PX;
        let small = |place, align, words: &str| {
            painter.text(place, align, words, Step::Small.font(), palette.text3);
        };
        small(pos2(rect.left(), lower), Align2::LEFT_CENTER, "share, %");
        for (place, words) in places(rect, lower).into_iter().zip(shares) {
            small(place, Align2::RIGHT_CENTER, words);
        }
    }
    response.on_hover_text(told(figure, &spoken));
}

/// The sentence, and how far it may be trusted.
fn told(figure: &BeforeAfter, spoken: &str) -> String {
    let points = |share: f64| chaffinch_craft::units::format_share_whole(share);
    let trust = match figure.name {
        "Heater, most" => format!(
            "The greatest power is good to ± {} before your own roasts have calibrated the model.",
            points(trust::HEATER_POWER)
        ),
        "Heater, underway" => {
            "The most that the heater gives once the probe has met the curve: a cold charge takes all that there is, whatever the curve."
                .to_owned()
        }
        "Lift, least" => format!(
            "Airflow over the least that lifts the bed, which is good to ± {}.",
            points(trust::LIFT)
        ),
        "Weight loss" => format!(
            "Good to ± {} of the green weight before your own roasts have calibrated the model.",
            points(trust::WEIGHT_LOSS)
        ),
        "Energy" => "Drawn by the heater from charge to drop.".to_owned(),
        _ => return spoken.to_owned(),
    };
    format!("{spoken}. {trust}")
}
