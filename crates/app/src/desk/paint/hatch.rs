//! Lines at 45 degrees, cut against a polygon. They hang on the screen, not on the polygon, so that the hatch stands still
//! while its edge moves.

use eframe::egui::{Pos2, Rect, Shape, Stroke, pos2};

/// Distance between neighbouring lines of the reach corridor, in points.
pub const PITCH_PX: f32 = 7.0;

/// The hatch inside `rect`; see [`hatch_polygon`].
pub fn hatch_rect(rect: Rect, pitch_px: f32, stroke: Stroke) -> Vec<Shape> {
    let corners = [
        rect.left_top(),
        rect.right_top(),
        rect.right_bottom(),
        rect.left_bottom(),
    ];
    hatch_polygon(&corners, pitch_px, stroke)
}

/// Rising lines, `pitch_px` apart (above 0), inside the closed polygon `outline` of finite points by the even-odd rule.
///
/// The polygon may be concave or touch itself. Cost grows with the number of crossings, not with lines times edges.
pub fn hatch_polygon(outline: &[Pos2], pitch_px: f32, stroke: Stroke) -> Vec<Shape> {
    let mut crossings = crossings(outline, pitch_px);
    crossings.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    crossings
        .chunk_by(|a, b| a.0 == b.0)
        .flat_map(|on_line| on_line.as_chunks::<2>().0)
        .map(|pair| {
            let ends = pair.map(|(line, x)| pos2(x, offset(line, pitch_px) - x));
            Shape::line_segment(ends, stroke)
        })
        .collect()
}

/// Number of a hatch line, and where on it an edge crosses (x in points).
type Crossing = (i32, f32);

/// A rising line holds the points with one sum of x and y (screen y grows downwards); this is the sum of line `line`.
fn offset(line: i32, pitch_px: f32) -> f32 {
    line as f32 * pitch_px * std::f32::consts::SQRT_2
}

fn crossings(outline: &[Pos2], pitch_px: f32) -> Vec<Crossing> {
    let spacing = offset(1, pitch_px);
    let mut found = Vec::new();
    let mut from = outline.last().copied().unwrap_or_default();
    for &to in outline {
        let (sum_from, sum_to) = (from.x + from.y, to.x + to.y);
        // Half-open: a vertex on a line belongs to one of its two edges, so that crossings always come in pairs.
        let first = (sum_from.min(sum_to) / spacing).ceil() as i32;
        let end = (sum_from.max(sum_to) / spacing).ceil() as i32;
        for line in first..end {
            let share = (offset(line, pitch_px) - sum_from) / (sum_to - sum_from);
            found.push((line, from.x + share * (to.x - from.x)));
        }
        from = to;
    }
    found
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
    use eframe::egui::Color32;

    fn lines(outline: &[Pos2]) -> Vec<[Pos2; 2]> {
        hatch_polygon(outline, PITCH_PX, Stroke::new(1.0, Color32::WHITE))
            .into_iter()
            .map(|shape| match shape {
                Shape::LineSegment { points, .. } => points,
                other => panic!("not a segment: {other:?}"),
            })
            .collect()
    }

    #[test]
    fn hatch_stays_in_its_rectangle_and_rises() {
        let rect = Rect::from_min_max(pos2(13.0, 40.0), pos2(113.0, 90.0));
        let shapes = hatch_rect(rect, PITCH_PX, Stroke::new(1.0, Color32::WHITE));
        // The diagonal across the lines is (100 + 50) / sqrt 2 = 106.07 px, which holds 15 or 16 lines 7 px apart.
        assert!((15..=16).contains(&shapes.len()), "{}", shapes.len());
        for shape in shapes {
            let Shape::LineSegment { points: [a, b], .. } = shape else {
                panic!("{shape:?}")
            };
            assert!(rect.expand(0.01).contains(a) && rect.expand(0.01).contains(b));
            assert!(
                ((b.x - a.x) + (b.y - a.y)).abs() < 0.01,
                "45 degrees: {a:?} {b:?}"
            );
        }
    }

    #[test]
    fn hatch_leaves_the_notch_of_a_concave_shape_free() {
        // A "U": the notch spans x 20..40, y 0..80.
        let outline = [
            (0.0, 0.0),
            (20.0, 0.0),
            (20.0, 80.0),
            (40.0, 80.0),
            (40.0, 0.0),
            (60.0, 0.0),
            (60.0, 100.0),
            (0.0, 100.0),
        ]
        .map(|(x, y)| pos2(x, y));
        let got = lines(&outline);
        assert!(got.len() > 15);
        for [a, b] in got {
            for step in 1_u8..20 {
                let p = a.lerp(b, f32::from(step) / 20.0);
                let is_in_notch = 20.01 < p.x && p.x < 39.99 && p.y < 79.99;
                assert!(!is_in_notch, "{p:?} on {a:?} {b:?}");
            }
        }
    }

    #[test]
    fn hatch_stands_still_when_the_outline_moves() {
        let square = |x: f32| {
            [
                pos2(x, 0.0),
                pos2(x + 40.0, 0.0),
                pos2(x + 40.0, 40.0),
                pos2(x, 40.0),
            ]
        };
        let sums = |x: f32| {
            lines(&square(x))
                .iter()
                .map(|[a, _]| a.x + a.y)
                .collect::<Vec<_>>()
        };
        let (here, there) = (sums(0.0), sums(3.0));
        assert!(
            there
                .iter()
                .filter(|s| here.iter().any(|h| (h - **s).abs() < 0.01))
                .count()
                + 1
                >= there.len().min(here.len())
        );
    }

    #[test]
    fn fewer_than_three_points_enclose_nothing() {
        assert!(lines(&[]).is_empty());
        assert!(lines(&[pos2(5.0, 5.0)]).is_empty());
        assert!(
            lines(&[pos2(0.0, 0.0), pos2(50.0, 50.0)])
                .iter()
                .all(|[a, b]| a.distance(*b) < 0.01)
        );
    }
}
