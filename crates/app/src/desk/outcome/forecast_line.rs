//! The small line under an outcome figure: the sign of the forecast, its value and spread.

use eframe::egui::{
    Rect, Role, Sense, Ui, WidgetInfo, pos2,
    text::{LayoutJob, TextWrapping},
    vec2,
};

use super::said::Said;
use crate::desk::{
    paint::{dash::dashed, strokes::LineRole},
    theme::{Palette, Step},
    widgets::tooltip::{Explanation, explained},
};

/// Height of the line, in points.
const HEIGHT_PX: f32 = 16.0;
/// Width of the sign, in points: two dashes and the gap between them.
pub(super) const SIGN_PX: f32 = 13.0;
/// Distance from the sign to the words, in points.
pub(super) const GAP_PX: f32 = 4.0;
/// Lengths of dash and gap, in points: the forecast's own, made to fit.
const DASH_PX: [f32; 2] = [5.0, 3.0];

/// Paints the sign of the forecast, its left end at `left` and its middle at `y`.
pub(super) fn sign(ui: &Ui, left: f32, y: f32) {
    let ends = [pos2(left, y), pos2(left + SIGN_PX, y)];
    let stroke = LineRole::Forecast.stroke(Palette::of(ui));
    let clip = Rect::from_two_pos(ends[0], ends[1]).expand(stroke.width);
    ui.painter().extend(dashed(&ends, &DASH_PX, stroke, clip));
}

/// What the forecast says of `label`, over the width that is left.
pub(super) fn show(
    ui: &mut Ui,
    label: &str,
    said: &Said,
    is_changing: bool,
    explanation: &Explanation<'_>,
) {
    let palette = Palette::of(ui);
    let ink = match said {
        Said::Value { .. } | Said::Reached { .. } if is_changing => palette.text,
        Said::Value { .. } | Said::Reached { .. } => palette.text2,
        Said::Nothing | Said::Missing(_) => palette.text3,
    };
    let room_px = ui.available_width() - SIGN_PX - GAP_PX;
    let laid_out = |words: String| {
        let mut job = LayoutJob::simple_singleline(words, Step::Small.font(), ink);
        job.wrap = TextWrapping::truncate_at_width(room_px);
        ui.painter().layout_job(job)
    };
    let mut words = laid_out(said.painted());
    if words.elided {
        words = laid_out(said.without_unit());
    }
    if words.elided && matches!(said, Said::Value { .. }) {
        // The spread is told on hover and spoken; half a number would be none.
        words = laid_out(said.brief().to_owned());
    }
    let size = vec2(SIGN_PX + GAP_PX + words.size().x, HEIGHT_PX);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let spoken = format!("{label}, forecast: {}", said.spoken());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
    sign(ui, rect.left(), rect.center().y);
    let corner = pos2(
        rect.left() + SIGN_PX + GAP_PX,
        rect.center().y - words.size().y / 2.0,
    );
    ui.painter().galley(corner, words, ink);
    explained(response, explanation);
}
