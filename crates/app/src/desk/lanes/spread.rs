//! How far the forecast spreads: two tints around it, for 98 and for 80 of 100 roasts, and their edges.

use super::{
    super::{
        paint::{dash::dashed, ribbon::ribbon, strokes::LineRole},
        theme::{Palette, Step},
    },
    frame::LaneFrame,
    line,
};
use chaffinch_craft::Spread;
use eframe::egui::{Align2, Color32, Painter, Pos2, Rangef, Stroke, pos2, vec2};
use std::ops::Range;

/// The name of the work that is going on.
const PENDING: &str = "Spread of 1,024 roasts …";
/// Length of the line over it, in points.
const PENDING_PX: f32 = 156.0;

/// Below each edge lie 1, 10, 90 and 99 of 100 roasts.
type Edges = [Vec<Pos2>; 4];

/// Draws the spread of the probe's reading; goes under the forecast.
pub(super) fn paint(painter: &Painter, spread: &Spread, frame: &LaneFrame, palette: &Palette) {
    let whole = 0..spread.reading_c.len();
    let seen = line::shown_seconds(frame, whole.end);
    let lines = edges(spread, whole.clone(), frame);
    let in_sight = (seen != whole).then(|| edges(spread, seen, frame));
    let areas = in_sight.as_ref().unwrap_or(&lines);
    let clipped = painter.with_clip_rect(frame.rect);
    let fill = |low: usize, high: usize, tint: Color32| {
        clipped.add(ribbon(&areas[low], &areas[high], tint));
    };
    fill(0, 3, palette.band_outer);
    fill(1, 2, palette.band_inner);
    for (role, places) in [
        (LineRole::SpreadOuter, [0, 3]),
        (LineRole::SpreadInner, [1, 2]),
    ] {
        for place in places {
            let path = line::thinned(&lines[place]);
            let stroke = role.stroke(palette);
            clipped.extend(dashed(&path, role.look().dash_px, stroke, frame.rect));
        }
    }
}

/// The edges between two seconds on the screen, all with the same steps.
fn edges(spread: &Spread, seconds: Range<usize>, frame: &LaneFrame) -> Edges {
    let step = (line::COLUMN_PX / frame.px_per_s() as f32).floor().max(1.0) as usize;
    let last = seconds.end.saturating_sub(1);
    let mut edges = Edges::default();
    for second in seconds {
        if second % step != 0 && second != last {
            continue;
        }
        let band = &spread.reading_c[second];
        let x = frame.screen_x_from_time(second as f64);
        for (edge, temp_c) in edges
            .iter_mut()
            .zip([band.p01, band.p10, band.p90, band.p99])
        {
            edge.push(pos2(x, frame.screen_y_from_value(temp_c)));
        }
    }
    edges
}

/// Says at the lane's head that the spread is being worked out; nothing waits for it, and the next edit stops it.
pub(super) fn paint_pending(painter: &Painter, frame: &LaneFrame, palette: &Palette) {
    let head = Rangef::new(frame.rect.right() - PENDING_PX, frame.rect.right());
    let stroke = Stroke::new(2.0, palette.forecast);
    painter.hline(head, frame.rect.top() + 1.0, stroke);
    painter.text(
        frame.rect.right_top() + vec2(-8.0, 14.0),
        Align2::RIGHT_CENTER,
        PENDING,
        Step::Small.font(),
        palette.text2,
    );
}
