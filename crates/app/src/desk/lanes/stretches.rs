//! Straight and hold stretches of the curve, told from curved ones by end caps and, where there is room, by a word.

use super::{
    super::{
        model::Model,
        theme::{Palette, Step},
    },
    frame::LaneFrame,
};
use chaffinch_curve::Segment;
use eframe::egui::{Align2, Painter, Stroke, vec2};

/// Distance of the first cap from its control point, in points: clear of the handle.
const FROM_HANDLE_PX: f32 = 11.0;
/// Distance between the two caps of a hold, in points.
const BETWEEN_CAPS_PX: f32 = 4.0;
/// Half the length of a cap, in points.
const CAP_PX: f32 = 5.0;
/// A stretch shorter than this has no room for caps, in points.
const LEAST_FOR_CAPS_PX: f32 = 40.0;
/// A stretch shorter than this has no room for its word, in points.
const LEAST_FOR_WORD_PX: f32 = 90.0;
/// Distance of the word from the line, in points.
const WORD_PX: f32 = 8.0;

/// Draws the caps: one at each end of a straight stretch, two at each end of a hold.
pub(super) fn paint(painter: &Painter, model: &Model<'_>, frame: &LaneFrame, palette: &Palette) {
    let painter = painter.with_clip_rect(frame.rect);
    let until_s = model.derived.end_of_roast_s(model.plan);
    for pair in model.plan.curve.points().windows(2) {
        let (caps, word) = match pair[0].segment {
            Segment::Curved => continue,
            Segment::Straight => (1, "straight"),
            Segment::Hold => (2, "hold"),
        };
        let [start, end] =
            [&pair[0], &pair[1]].map(|point| frame.screen_from(point.time_s, point.temp_c));
        let (length_px, along) = ((end - start).length(), (end - start).normalized());
        if length_px < LEAST_FOR_CAPS_PX || until_s <= pair[0].time_s {
            continue;
        }
        let across = along.rot90() * CAP_PX;
        let stroke = Stroke::new(2.0, palette.setpoint);
        for cap in 0_u8..caps {
            let in_px = FROM_HANDLE_PX + BETWEEN_CAPS_PX * f32::from(cap);
            for at in [start + along * in_px, end - along * in_px] {
                painter.line_segment([at - across, at + across], stroke);
            }
        }
        if length_px >= LEAST_FOR_WORD_PX {
            // Below and right of the line, where a rising curve leaves the ground free.
            let at = start.lerp(end, 0.5) + vec2(WORD_PX, WORD_PX);
            let font = Step::Small.font();
            painter.text(at, Align2::LEFT_TOP, word, font, palette.text2);
        }
    }
}
