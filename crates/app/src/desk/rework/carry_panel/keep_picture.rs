//! Small pictures of what each choice keeps equal. They show the idea, not the plan: old lines are broken, new ones solid, and what
//! stays the same is drawn twice the same.

use crate::desk::{
    paint::dash::dashed,
    theme::{Palette, mix},
};
use chaffinch_craft::carry::Keep;
use eframe::egui::{Color32, Pos2, Rect, Shape, Stroke, StrokeKind, pos2};

/// A place in a picture: both from 0 to 1, upwards and to the right.
type At = (f32, f32);

/// Dashes of old lines, in points.
const OLD_DASH_PX: &[f32] = &[3.0, 3.0];
/// Dashes of the colour-change line, in points.
const MARK_DASH_PX: &[f32] = &[6.0, 2.0, 1.5, 2.0];
/// Straight pieces of a curve.
const PIECES: u8 = 24;
/// How soon a curve's rise falls off.
const BEND: f32 = 2.4;

/// Distance of surface and centre in the picture of [`Keep::SurfaceToCore`], old and new.
const GAP: f32 = 0.24;
/// Where the old roast of that picture ends; the new one ends at 1.
const OLD_END: f32 = 0.6;
/// Height of the colour-change line in the picture of [`Keep::BrowningWork`].
const COLOUR: f32 = 0.36;
/// The stretches above that line, from crossing to drop: left end, length, height of the drop above the line.
const WORK: [(f32, f32, f32); 2] = [(0.1, 0.36, 0.32), (0.68, 0.2, 0.576)];

/// What the picture shows, for who can't see it.
pub(super) fn words(keep: Keep) -> &'static str {
    match keep {
        Keep::CoreHistory => {
            "two lines of the core lie on each other, under lines of the surface that differ."
        }
        Keep::SurfaceToCore => {
            "surface and core of a short and of a longer roast, as far apart at the same heights."
        }
        Keep::PhaseClock => {
            "two curves lie on each other with the same marks; the bars of heater effort differ."
        }
        Keep::BrowningWork => {
            "two roasts, one lower and longer, one hotter and shorter; the shaded areas above colour change are equal."
        }
    }
}

/// The picture of `keep` inside `rect` on `ground`.
pub(super) fn shapes(keep: Keep, rect: Rect, ground: Color32, palette: &Palette) -> Vec<Shape> {
    let mut pen = Pen {
        rect,
        palette,
        ground,
        shapes: Vec::new(),
    };
    match keep {
        Keep::CoreHistory => pen.core_history(),
        Keep::SurfaceToCore => pen.surface_to_core(),
        Keep::PhaseClock => pen.phase_clock(),
        Keep::BrowningWork => pen.browning_work(),
    }
    pen.shapes
}

/// The height of a curve that climbs from 0 to 1, ever slower.
fn climb(along: f32) -> f32 {
    (1.0 - (-BEND * along).exp()) / (1.0 - (-BEND).exp())
}

/// A climbing curve from the left edge to `end`, between these heights.
fn curve(end: f32, [low, high]: [f32; 2]) -> Vec<At> {
    let at = |piece: u8| {
        let along = f32::from(piece) / f32::from(PIECES);
        (along * end, low + climb(along) * (high - low))
    };
    (0..=PIECES).map(at).collect()
}

/// Corners of the area above the colour-change line in a roast of [`WORK`].
fn work_area((left, length, height): (f32, f32, f32)) -> [At; 3] {
    [
        (left, COLOUR),
        (left + length, COLOUR + height),
        (left + length, COLOUR),
    ]
}

struct Pen<'a> {
    rect: Rect,
    palette: &'a Palette,
    ground: Color32,
    shapes: Vec<Shape>,
}

impl Pen<'_> {
    fn place(&self, (along, up): At) -> Pos2 {
        pos2(
            self.rect.left() + along * self.rect.width(),
            self.rect.bottom() - up * self.rect.height(),
        )
    }

    fn line(&mut self, line: &[At], stroke: Stroke) {
        let path = line.iter().map(|&at| self.place(at)).collect();
        self.shapes.push(Shape::line(path, stroke));
    }

    fn broken(&mut self, line: &[At], dash_px: &[f32], stroke: Stroke) {
        let path: Vec<Pos2> = line.iter().map(|&at| self.place(at)).collect();
        let clip = self.rect.expand(stroke.width);
        self.shapes.extend(dashed(&path, dash_px, stroke, clip));
    }

    fn old(&self) -> Stroke {
        Stroke::new(1.25, self.palette.text3)
    }

    fn new_line(&self) -> Stroke {
        Stroke::new(1.5, self.palette.setpoint)
    }

    fn core(&self) -> Stroke {
        Stroke::new(1.75, self.palette.forecast)
    }

    /// A broad soft line under another one: two that lie on each other.
    fn twice(&mut self, line: &[At], stroke: Stroke) {
        let soft = mix(self.ground, stroke.color, 0.35);
        self.line(line, Stroke::new(stroke.width + 4.0, soft));
        self.line(line, stroke);
    }

    fn core_history(&mut self) {
        self.broken(&curve(1.0, [0.3, 0.8]), OLD_DASH_PX, self.old());
        self.line(&curve(1.0, [0.42, 0.98]), self.new_line());
        self.twice(&curve(1.0, [0.06, 0.6]), self.core());
    }

    fn surface_to_core(&mut self) {
        let surface = [0.04 + GAP, 0.98];
        let centre = [0.04, 0.98 - GAP];
        self.broken(&curve(OLD_END, surface), OLD_DASH_PX, self.old());
        self.broken(&curve(OLD_END, centre), OLD_DASH_PX, self.old());
        self.line(&curve(1.0, surface), self.new_line());
        self.line(&curve(1.0, centre), self.core());
        let bar = Stroke::new(2.0, self.palette.heater);
        for along in [0.3, 0.75] {
            for end in [OLD_END, 1.0] {
                let foot = centre[0] + climb(along) * (centre[1] - centre[0]);
                self.line(&[(along * end, foot), (along * end, foot + GAP)], bar);
            }
        }
    }

    fn phase_clock(&mut self) {
        const END: f32 = 0.72;
        for along in [0.42, 0.74] {
            let x = along * END;
            let stroke = Stroke::new(1.25, self.palette.mark);
            self.broken(&[(x, 0.0), (x, 1.0)], &[2.0, 2.0], stroke);
        }
        self.twice(&curve(END, [0.06, 0.94]), self.new_line());
        // Old effort hollow, new effort filled.
        for (left, height, fill) in [(0.8, 0.5, self.ground), (0.91, 0.85, self.palette.heater)] {
            let bar =
                Rect::from_two_pos(self.place((left, 0.0)), self.place((left + 0.08, height)));
            let border = Stroke::new(1.25, self.palette.heater);
            self.shapes.push(Shape::rect_filled(bar, 0.0, fill));
            self.shapes
                .push(Shape::rect_stroke(bar, 0.0, border, StrokeKind::Inside));
        }
    }

    fn browning_work(&mut self) {
        let fill = mix(self.ground, self.palette.heater, 0.3);
        for (index, work) in WORK.into_iter().enumerate() {
            let area = work_area(work);
            let corners = area.iter().map(|&at| self.place(at)).collect();
            self.shapes
                .push(Shape::convex_polygon(corners, fill, Stroke::NONE));
            let [crossing, drop, _] = area;
            let start = ((crossing.0 - 0.1).max(0.0), 0.02);
            let path = [start, crossing, drop];
            if index == 0 {
                self.broken(&path, OLD_DASH_PX, self.old());
            } else {
                self.line(&path, self.new_line());
            }
        }
        let mark = Stroke::new(1.25, self.palette.mark);
        self.broken(&[(0.0, COLOUR), (1.0, COLOUR)], MARK_DASH_PX, mark);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use eframe::egui::{Vec2, vec2};

    #[test]
    fn shaded_areas_are_equal() {
        let area = |(_, length, height): (f32, f32, f32)| length * height / 2.0;
        let [old, new] = WORK.map(area);
        assert!((old - new).abs() < 1e-6, "{old} against {new}");
        assert!(WORK[1].1 < WORK[0].1, "the new one is shorter");
    }

    #[test]
    fn every_picture_stays_in_its_place_and_says_what_it_shows() {
        let rect = Rect::from_min_size(pos2(10.0, 20.0), vec2(120.0, 48.0));
        let palette = &Palette::LIGHT;
        for keep in Keep::ALL {
            let shapes = shapes(keep, rect, palette.chart, palette);
            assert!(!shapes.is_empty(), "{keep:?} is drawn");
            for shape in shapes {
                let bounds = shape.visual_bounding_rect();
                // A line is as broad as its stroke.
                assert!(
                    rect.expand2(Vec2::splat(4.0)).contains_rect(bounds),
                    "{keep:?}: {bounds:?}"
                );
            }
            assert!(words(keep).ends_with('.'), "{keep:?} is told");
        }
    }
}
