//! Dashed polylines. egui cuts a dash at every vertex, which beads on a finely sampled curve; here a dash bends with the
//! line as one shape, the pattern runs on over vertices, and only what falls into the clip is made.

use eframe::egui::{Pos2, Rect, Shape, Stroke};

/// Most dashes that room is made for at once.
const MOST_RESERVED: f32 = 512.0;

/// The dashes of `path` that touch `clip`.
///
/// `dash_px` holds lengths in points, on and off in turn, all above 0; empty, odd in number or with a length that is not
/// above 0, it gives a solid line. The pattern starts at the first point of `path` whatever the clip, so that dashes don't
/// crawl when the clip moves. Fewer than two points give nothing.
pub fn dashed(path: &[Pos2], dash_px: &[f32], stroke: Stroke, clip: Rect) -> Vec<Shape> {
    if path.len() < 2 {
        return Vec::new();
    }
    if dash_px.is_empty()
        || !dash_px.len().is_multiple_of(2)
        || dash_px.iter().any(|length| *length <= 0.0)
    {
        return vec![Shape::line(path.to_vec(), stroke)];
    }
    let mut pen = Pen::new(dash_px, stroke);
    pen.dashes.reserve(about(path, clip, pen.pattern_px));
    let reach = clip.expand(stroke.width);
    for ends in path.array_windows() {
        pen.draw(*ends, reach);
    }
    pen.lift();
    pen.dashes
}

/// About how many dashes of a path can be seen, so that their list need not grow: those of a straight line in their stead.
fn about(path: &[Pos2], clip: Rect, pattern_px: f32) -> usize {
    let bounds = Rect::from_points(path).intersect(clip);
    let length_px = bounds.width().max(0.0) + bounds.height().max(0.0);
    (length_px / pattern_px).min(MOST_RESERVED) as usize
}

/// Walks along a path and keeps the dash that is being drawn.
struct Pen<'a> {
    dash_px: &'a [f32],
    pattern_px: f32,
    stroke: Stroke,
    step: usize,
    left_px: f32,
    current: Vec<Pos2>,
    dashes: Vec<Shape>,
}

impl<'a> Pen<'a> {
    fn new(dash_px: &'a [f32], stroke: Stroke) -> Self {
        Self {
            dash_px,
            pattern_px: dash_px.iter().sum(),
            stroke,
            step: 0,
            left_px: dash_px[0],
            current: Vec::new(),
            dashes: Vec::new(),
        }
    }

    fn draw(&mut self, [start, end]: [Pos2; 2], reach: Rect) {
        let length_px = (end - start).length_sq().sqrt();
        let stretch = if length_px > 0.0 && reach.contains(start) && reach.contains(end) {
            Some([0.0, length_px])
        } else {
            inside(start, end, reach)
        };
        let Some([first_px, last_px]) = stretch else {
            self.lift();
            self.skip(length_px);
            return;
        };
        let at = |along_px: f32| start.lerp(end, along_px / length_px);
        if first_px > 0.0 {
            self.lift();
            self.skip(first_px);
        }
        let mut along_px = first_px;
        while along_px < last_px {
            let stretch_px = self.left_px.min(last_px - along_px);
            if self.is_down() {
                if self.current.is_empty() {
                    self.current.push(at(along_px));
                }
                self.current.push(at(along_px + stretch_px));
            }
            along_px += stretch_px;
            self.skip(stretch_px);
            if !self.is_down() {
                self.lift();
            }
        }
        if last_px < length_px {
            self.lift();
            self.skip(length_px - last_px);
        }
    }

    fn is_down(&self) -> bool {
        self.step.is_multiple_of(2)
    }

    /// Ends the current dash.
    fn lift(&mut self) {
        match *self.current.as_slice() {
            [] | [_] => {}
            // Most dashes are as short; without a list they cost half. egui would move an upright or level one to whole pixels.
            [from, to] if from.x != to.x && from.y != to.y => {
                let dash = Shape::line_segment([from, to], self.stroke);
                self.dashes.push(dash);
            }
            ref bent => {
                let dash = Shape::line(bent.to_vec(), self.stroke);
                self.dashes.push(dash);
            }
        }
        self.current.clear();
    }

    /// Moves the pattern on by `length_px`; whole patterns are taken at once, so that a far point costs nothing.
    fn skip(&mut self, length_px: f32) {
        let mut rest_px = length_px;
        if self.pattern_px <= rest_px {
            rest_px %= self.pattern_px;
        }
        // A stretch as long as what is left always ends it, whatever the rounding.
        while rest_px >= self.left_px {
            rest_px -= self.left_px;
            self.step = (self.step + 1) % self.dash_px.len();
            self.left_px = self.dash_px[self.step];
        }
        self.left_px -= rest_px;
    }
}

/// The stretch of a segment that lies in `rect`, in points from its start (Liang and Barsky 1984, cut against four edges).
fn inside(start: Pos2, end: Pos2, rect: Rect) -> Option<[f32; 2]> {
    let along = end - start;
    let (mut first, mut last) = (0.0_f32, 1.0_f32);
    for (position, step, low, high) in [
        (start.x, along.x, rect.min.x, rect.max.x),
        (start.y, along.y, rect.min.y, rect.max.y),
    ] {
        if step == 0.0 {
            if position < low || high < position {
                return None;
            }
        } else {
            let (a, b) = ((low - position) / step, (high - position) / step);
            first = first.max(a.min(b));
            last = last.min(a.max(b));
        }
    }
    let length_px = along.length();
    (first < last && length_px > 0.0).then_some([first * length_px, last * length_px])
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        missing_docs,
        clippy::missing_assert_message,
        reason = "tests"
    )]
    use super::*;
    use eframe::egui::{Color32, pos2};

    fn dashes(path: &[Pos2], dash_px: &[f32], clip: Rect) -> Vec<Vec<Pos2>> {
        dashed(path, dash_px, Stroke::new(1.0, Color32::WHITE), clip)
            .into_iter()
            .map(|shape| match shape {
                Shape::LineSegment { points, .. } => points.to_vec(),
                Shape::Path(path) => path.points,
                other => panic!("not a line: {other:?}"),
            })
            .collect()
    }

    fn length(dash: &[Pos2]) -> f32 {
        dash.array_windows().map(|[a, b]| a.distance(*b)).sum()
    }

    #[test]
    fn dashes_have_the_lengths_of_the_pattern() {
        let got = dashes(
            &[pos2(0.0, 0.0), pos2(100.0, 0.0)],
            &[9.0, 3.0, 2.0, 3.0],
            Rect::EVERYTHING,
        );
        // 100 px hold five whole patterns of 17 px and then a dash of 9 px, a gap of 3 and a dash of 2.
        assert_eq!(got.len(), 12);
        for (index, dash) in got.iter().enumerate() {
            let expected = if index % 2 == 0 { 9.0 } else { 2.0 };
            assert!(
                (length(dash) - expected).abs() < 1e-3,
                "dash {index}: {dash:?}"
            );
        }
    }

    #[test]
    fn a_dash_bends_over_vertices_as_one_shape() {
        let path: Vec<_> = (0_u8..=100)
            .map(|i| pos2(f32::from(i), (f32::from(i) / 10.0).sin()))
            .collect();
        let got = dashes(&path, &[8.0, 4.0], Rect::EVERYTHING);
        let total = length(&path);
        assert_eq!(got.len(), (total / 12.0).ceil() as usize);
        for dash in &got[..got.len() - 1] {
            assert!((length(dash) - 8.0).abs() < 0.01, "{}", length(dash));
        }
    }

    #[test]
    fn the_clip_removes_dashes_but_does_not_shift_them() {
        let path = [pos2(-1e6, 5.0), pos2(1e6, 5.0)];
        let clip = Rect::from_min_max(pos2(0.0, 0.0), pos2(50.0, 10.0));
        let got = dashes(&path, &[5.0, 5.0], clip);
        assert!((5..=6).contains(&got.len()), "{got:?}");
        assert!(
            got.iter().flatten().all(|p| clip.expand(1.1).contains(*p)),
            "{got:?}"
        );
        // The pattern began at -1,000,000, a multiple of 10 px (f32 is exact to 1/16 px there).
        assert!(
            got.iter().any(|dash| (dash[0].x - 10.0).abs() < 0.2),
            "{got:?}"
        );
    }

    #[test]
    fn no_pattern_is_a_solid_line() {
        let path = [pos2(0.0, 0.0), pos2(3.0, 4.0), pos2(3.0, 9.0)];
        assert_eq!(dashes(&path, &[], Rect::EVERYTHING), vec![path.to_vec()]);
    }

    #[test]
    fn a_single_point_and_a_standing_segment_give_nothing() {
        assert!(dashes(&[pos2(1.0, 1.0)], &[2.0, 2.0], Rect::EVERYTHING).is_empty());
        assert!(
            dashes(
                &[pos2(1.0, 1.0), pos2(1.0, 1.0)],
                &[2.0, 2.0],
                Rect::EVERYTHING
            )
            .is_empty()
        );
    }
}
