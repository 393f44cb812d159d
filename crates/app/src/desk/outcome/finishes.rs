//! The ladder of finishes: what each would give on this curve, drawn above and forecast below. A press chooses one; a button opens the
//! form for the colour that was measured.

use chaffinch_craft::{ColourCalibration, Edit, Finish, FinishEdit, FinishOutcome, units};
use eframe::egui::{
    Align2, CornerRadius, CursorIcon, FontId, Rect, Role, Sense, Ui, Vec2, WidgetInfo, pos2,
    text::{LayoutJob, TextWrapping},
    vec2,
};

use super::{
    finish_said::FinishSaid,
    forecast_line::{GAP_PX, SIGN_PX, sign},
    is_window_low, no_development,
};
use crate::desk::{
    ask::Ask,
    dialogs::{ColourForm, Dialog},
    model::Model,
    paint::icons::{Icon, icon},
    sheets::{AtFirst, remembered_card},
    theme::{Palette, Step, radius, space},
    widgets::{
        buttons::{ButtonLook, wide_button},
        focus,
        tooltip::{Explanation, explained},
    },
};

/// Height of a row, in points.
const ROW_PX: f32 = 24.0;
/// Height of its second line, the forecast's, in points.
const SECOND_PX: f32 = 18.0;
/// Where the columns end, counted from the right edge, in points: temperature, development time, ratio.
const COLUMNS_PX: [f32; 3] = [86.0, 48.0, 0.0];
/// Room for the check mark before the name, in points.
const CHECK_PX: f32 = 17.0;

pub(super) fn ui(model: &Model<'_>, is_changing: bool, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let columns = format!("{}, development", model.unit.symbol());
    let chosen = model.plan.finish();
    let summary = format!(
        "{}, {}",
        chosen.name,
        units::format_temp_with_unit(chosen.temp_c, model.unit)
    );
    let at_first = if is_window_low(ui) {
        AtFirst::Folded
    } else {
        AtFirst::Open
    };
    remembered_card(ui, "Finishes", [&columns, &summary], at_first, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        let colours = ColourCalibration::of(model.notebook.colours());
        // Hottest on top, as in the temperature lane.
        let ladder = model
            .plan
            .finishes
            .finishes()
            .iter()
            .zip(&model.derived.finishes);
        for (finish, outcome) in ladder.rev() {
            let said = FinishSaid::of(model, &colours, finish);
            if row(model, (finish, outcome), said.as_ref(), is_changing, ui) {
                asks.push(Ask::Apply(Edit::Finish(FinishEdit::Choose(finish.id))));
            }
        }
        ui.add_space(space::TIGHT);
        let record = wide_button(ui, ButtonLook::Plain, "Record colour…");
        let record = record.on_hover_text(colours.sentences().join(" "));
        if record.clicked() {
            let form = ColourForm::of(model.plan);
            asks.push(Ask::Open(Dialog::Colours(Box::new(form))));
        }
    });
}

/// One finish; says whether it shall be chosen.
fn row(
    model: &Model<'_>,
    (finish, outcome): (&Finish, &FinishOutcome),
    said: Option<&FinishSaid>,
    is_changing: bool,
    ui: &mut Ui,
) -> bool {
    let palette = Palette::of(ui);
    let is_chosen = model.plan.finish().id == finish.id;
    let second_px = said.map_or(0.0, |_| SECOND_PX);
    let size = vec2(ui.available_width(), ROW_PX + second_px);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let (first, second) = rect.split_top_bottom_at_y(rect.top() + ROW_PX);
    let name = format!("Choose finish {}", finish.name);
    response
        .widget_info(|| WidgetInfo::selected(Role::RadioButton, ui.is_enabled(), is_chosen, &name));
    let described = description(model, finish, outcome);
    if response.hovered() {
        let ground = rect.expand2(vec2(space::TIGHT, 0.0));
        let corner = CornerRadius::same(radius::FIELD);
        ui.painter()
            .rect_filled(ground, corner, palette.hovered(palette.raised));
    }
    if is_chosen {
        let place = Rect::from_center_size(first.left_center() + vec2(6.0, 0.0), Vec2::splat(13.0));
        ui.painter().extend(icon(Icon::Check, place, palette.text));
    }
    paint_texts(
        model,
        finish,
        outcome,
        (first, is_chosen || is_changing),
        ui,
    );
    if let Some(said) = said {
        paint_forecast(said, (second, is_changing), ui);
    }
    focus::ring(ui, &response, radius::FIELD);
    let explanation = Explanation {
        what: &described,
        how: said.map_or("", |said| said.forecast.as_str()),
        source: said.map_or("", |said| said.trust.as_str()),
    };
    let response = explained(response, &explanation).on_hover_cursor(CursorIcon::PointingHand);
    response.clicked() && !is_chosen
}

/// The sign of the forecast, drop time and weight loss as far as there is room, and the colour at the right.
fn paint_forecast(said: &FinishSaid, (rect, is_strong): (Rect, bool), ui: &Ui) {
    let palette = Palette::of(ui);
    let ink = if is_strong {
        palette.text
    } else {
        palette.text2
    };
    let painter = ui.painter();
    let middle = rect.center().y - space::TIGHT / 2.0;
    // Not under the name: a narrow column has no room for that.
    sign(ui, rect.left(), middle);
    let left = rect.left() + SIGN_PX + GAP_PX;
    let laid_out = |words: &str| painter.layout_no_wrap(words.to_owned(), Step::Small.font(), ink);
    let colour = laid_out(&said.colour);
    let room_px = rect.right() - left - colour.size().x - space::NEAR;
    let figures = said.figures.iter().map(|words| laid_out(words));
    let fitting = figures.reduce(|wider, narrower| {
        if wider.size().x <= room_px {
            wider
        } else {
            narrower
        }
    });
    let height_px = colour.size().y;
    let top = middle - height_px / 2.0;
    painter.galley(pos2(rect.right() - colour.size().x, top), colour, ink);
    if let Some(figures) = fitting {
        painter.galley(pos2(left, top), figures, ink);
    }
}

/// Name, temperature, development time and ratio in their columns; `is_strong` sets them in stronger ink.
fn paint_texts(
    model: &Model<'_>,
    finish: &Finish,
    outcome: &FinishOutcome,
    (rect, is_strong): (Rect, bool),
    ui: &Ui,
) {
    let palette = Palette::of(ui);
    let step = if is_strong { Step::Strong } else { Step::Body };
    let [temp, time, ratio] =
        COLUMNS_PX.map(|from_right_px| pos2(rect.right() - from_right_px, rect.center().y));
    let painter = ui.painter();
    let right = |place, text: String, font: FontId, ink| {
        painter.text(place, Align2::RIGHT_CENTER, text, font, ink)
    };
    let temp_text = units::format_temp(finish.temp_c, model.unit);
    let temp_rect = right(temp, temp_text, step.font(), palette.text2);
    let mut words = LayoutJob::simple_singleline(finish.name.clone(), step.font(), palette.text);
    words.wrap =
        TextWrapping::truncate_at_width(temp_rect.left() - space::TIGHT - rect.left() - CHECK_PX);
    let words = painter.layout_job(words);
    let place = pos2(
        rect.left() + CHECK_PX,
        rect.center().y - words.size().y / 2.0,
    );
    painter.galley(place, words, palette.text);
    match (
        outcome.development_s.reached(),
        outcome.development_ratio.reached(),
    ) {
        (Some(&development_s), Some(&share)) => {
            right(
                time,
                units::format_time(development_s),
                step.font(),
                palette.text,
            );
            right(ratio, units::format_share(share), step.font(), palette.text);
        }
        _ => {
            right(
                ratio,
                no_development(outcome.drop.is_reached()).painted.to_owned(),
                Step::Body.font(),
                palette.text3,
            );
        }
    }
}

fn description(model: &Model<'_>, finish: &Finish, outcome: &FinishOutcome) -> String {
    let temp = units::format_temp_with_unit(finish.temp_c, model.unit);
    let Some(drop) = outcome.drop.reached() else {
        return format!("{temp}: the curve never reaches it");
    };
    let drop = format!("{temp}: drop at {}", units::format_time(drop.time_s));
    match (
        outcome.development_s.reached(),
        outcome.development_ratio.reached(),
    ) {
        (Some(&time_s), Some(&share)) => format!(
            "{drop}, development {}, {} of the roast",
            units::format_time(time_s),
            units::format_share(share)
        ),
        _ => format!("{drop}, {}", no_development(true).spoken),
    }
}
