//! What the machine can't do: hatches and dotted edges. In the temperature lane they make a corridor around the curve.

use super::{
    super::{
        paint::{dash::dashed, hatch, strokes::LineRole},
        theme::Palette,
    },
    frame::LaneFrame,
    line,
};
use chaffinch_craft::Corridor;
use eframe::egui::{Painter, Pos2, Stroke, pos2};

/// A stretch of fewer seconds has no area to hatch.
const LEAST_STRETCH: usize = 2;

/// Lines of a hatch.
pub(super) fn hatch_stroke(palette: &Palette) -> Stroke {
    Stroke::new(1.0, palette.hatch_line())
}

/// Hatches between two lists of values that stand a second apart, wherever `upper` lies above `lower`.
pub(super) fn paint_hatch(
    painter: &Painter,
    lower: &[f64],
    upper: &[f64],
    frame: &LaneFrame,
    palette: &Palette,
) {
    let len = lower.len().min(upper.len());
    let seconds: Vec<usize> = line::shown_seconds(frame, len).collect();
    let is_open = |second: usize| lower[second] < upper[second];
    // Cut at the lane's head and foot, so that a close-up has no more lines than the lane holds.
    let across = frame.rect.y_range();
    let place = |second: usize, values: &[f64]| -> Pos2 {
        let at = frame.screen_from(second as f64, values[second]);
        pos2(at.x, across.clamp(at.y))
    };
    let clipped = painter.with_clip_rect(frame.rect);
    for stretch in seconds.chunk_by(|&one, &next| is_open(one) == is_open(next)) {
        if stretch.len() < LEAST_STRETCH || !is_open(stretch[0]) {
            continue;
        }
        let edge = |values: &[f64]| {
            let seconds = stretch.iter().copied();
            let path: Vec<Pos2> = seconds.map(|second| place(second, values)).collect();
            line::thinned(&path)
        };
        let mut outline = edge(upper);
        outline.extend(edge(lower).into_iter().rev());
        clipped.extend(hatch::hatch_polygon(
            &outline,
            hatch::PITCH_PX,
            hatch_stroke(palette),
        ));
    }
}

/// Draws both edges of the corridor; goes above the spread.
pub(super) fn paint_edges(
    painter: &Painter,
    corridor: &Corridor,
    frame: &LaneFrame,
    palette: &Palette,
) {
    for values in [&corridor.highest_c, &corridor.lowest_c] {
        paint_edge(painter, values.iter().copied(), frame, palette);
    }
}

/// One dotted edge through values that stand a second apart, in the lane's unit.
pub(super) fn paint_edge(
    painter: &Painter,
    values: impl Iterator<Item = f64>,
    frame: &LaneFrame,
    palette: &Palette,
) {
    let role = LineRole::ReachEdge;
    let path = line::thinned(&line::path(&line::each_second(values), 0.0, frame));
    painter.with_clip_rect(frame.rect).extend(dashed(
        &path,
        role.look().dash_px,
        role.stroke(palette),
        frame.rect,
    ));
}
