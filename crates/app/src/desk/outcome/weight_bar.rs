//! The bar of the weight loss: where it lies, how far it spreads from day to day, and how far it may be trusted.

use chaffinch_twin::{bands::Band, trust};
use eframe::egui::{Align2, CornerRadius, Rect, Sense, Stroke, StrokeKind, Ui, pos2, vec2};

use super::trust_words;
use crate::desk::{
    paint::{dash::dashed, strokes::LineRole},
    theme::{Palette, Step},
};

/// Ends of the bar, as shares of the green weight. Fixed, so that nothing rescales in a drag; common practice, no published source: 11
/// to 22 % from light to dark.
const ENDS: [f64; 2] = [0.06, 0.24];
/// The same, written.
const END_LABELS: [&str; 2] = ["6 %", "24 %"];
/// Height of everything, of the track, and of the tick, in points.
const HEIGHT_PX: f32 = 34.0;
const TRACK_PX: f32 = 10.0;
const TICK_PX: f32 = 14.0;
/// Distances from the top, in points: the middle of the track, the line of trust, the words.
const TRACK_Y_PX: f32 = 8.0;
const TRUST_Y_PX: f32 = 18.0;
const WORDS_Y_PX: f32 = 27.0;
/// Least distance between those words and the labels of the ends, in points.
const WORDS_GAP_PX: f32 = 8.0;
/// Length of the end strokes of the line of trust, to both sides, in points.
const END_STROKE_PX: f32 = 2.0;

/// Paints the bar over the width that is left; the row above says the same in words.
pub(super) fn show(ui: &mut Ui, loss: f64, spread: Option<Band>) {
    let size = vec2(ui.available_width(), HEIGHT_PX);
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let middle = rect.top() + TRACK_Y_PX;
    let track = Rect::from_min_max(
        pos2(rect.left(), middle - TRACK_PX / 2.0),
        pos2(rect.right(), middle + TRACK_PX / 2.0),
    );
    let corner = CornerRadius::same((TRACK_PX / 2.0) as u8);
    let border = Stroke::new(1.0, palette.control);
    painter.rect(track, corner, palette.chart, border, StrokeKind::Inside);
    if let Some(band) = spread {
        let outer = stretch(track, [band.p01, band.p99]);
        painter.rect_filled(outer, corner, palette.band_outer);
        let edge = LineRole::SpreadOuter.stroke(palette);
        for y in [outer.top() + 0.5, outer.bottom() - 0.5] {
            let ends = [pos2(outer.left(), y), pos2(outer.right(), y)];
            let dash_px = LineRole::SpreadOuter.look().dash_px;
            painter.extend(dashed(&ends, dash_px, edge, track.expand(1.0)));
        }
        let inner = stretch(track, [band.p10, band.p90]);
        let edge = LineRole::SpreadInner.stroke(palette);
        painter.rect(inner, corner, palette.band_inner, edge, StrokeKind::Inside);
    }
    let at = x(track, loss);
    let tick = eframe::egui::Rangef::new(middle - TICK_PX / 2.0, middle + TICK_PX / 2.0);
    painter.vline(at, tick, Stroke::new(2.0, palette.forecast));
    trust_line(ui, rect, track, loss);
}

/// The line of trust under the track, and the words below it.
fn trust_line(ui: &Ui, rect: Rect, track: Rect, loss: f64) {
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let reach = stretch(
        track,
        [loss - trust::WEIGHT_LOSS, loss + trust::WEIGHT_LOSS],
    );
    let y = rect.top() + TRUST_Y_PX;
    let stroke = Stroke::new(1.0, palette.text3);
    painter.hline(reach.x_range(), y, stroke);
    for end in [reach.left(), reach.right()] {
        let range = eframe::egui::Rangef::new(y - END_STROKE_PX, y + END_STROKE_PX);
        painter.vline(end, range, stroke);
    }
    let y = rect.top() + WORDS_Y_PX;
    let small = Step::Small.font();
    let end = |x, align, words: &str| {
        painter.text(pos2(x, y), align, words, small.clone(), palette.text3)
    };
    let left = end(rect.left(), Align2::LEFT_CENTER, END_LABELS[0]);
    let right = end(rect.right(), Align2::RIGHT_CENTER, END_LABELS[1]);
    let words = format!("± {} before calibration", trust_words::weight_loss_points());
    let words = painter.layout_no_wrap(words, small.clone(), palette.text2);
    let room = Rect::from_x_y_ranges(left.right()..=right.left(), rect.y_range());
    let half_px = words.size().x / 2.0;
    // Under the line of trust, or as near as the ends' labels allow.
    let lowest = room.left() + half_px + WORDS_GAP_PX;
    let highest = room.right() - half_px - WORDS_GAP_PX;
    let center = reach.center().x.min(highest).max(lowest);
    let place = pos2(center - half_px, y - words.size().y / 2.0);
    painter.galley(place, words, palette.text2);
}

/// The part of `track` from one share of the green weight to another.
fn stretch(track: Rect, [from, to]: [f64; 2]) -> Rect {
    Rect::from_x_y_ranges(x(track, from)..=x(track, to), track.y_range())
}

/// Where a share of the green weight lies on `track`; at its end where it lies outside.
fn x(track: Rect, share: f64) -> f32 {
    let along = (share - ENDS[0]) / (ENDS[1] - ENDS[0]);
    track.left() + along.clamp(0.0, 1.0) as f32 * track.width()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bar_runs_from_end_to_end_and_no_farther() {
        let track = Rect::from_min_max(pos2(10.0, 0.0), pos2(190.0, 10.0));
        for (share, expected) in [(0.06, 10.0), (0.15, 100.0), (0.24, 190.0), (0.5, 190.0)] {
            let found = x(track, share);
            assert!((found - expected).abs() < 1e-3, "{share}: {found}");
        }
        let [from, to] = END_LABELS.map(|label| label.trim_end_matches(" %").parse::<f64>());
        let ends = ENDS.map(|end| Ok((100.0 * end).round()));
        assert_eq!([from, to], ends, "labels are true");
    }
}
