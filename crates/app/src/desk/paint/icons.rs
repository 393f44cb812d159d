//! Icons drawn as strokes on a grid of 16 by 16, so that no font has to hold them.

use std::f32::consts::PI;

use eframe::egui::{Color32, CornerRadius, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, vec2};

/// A drawn sign.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Icon {
    /// Arrow that turns back to the left.
    Undo,
    /// Arrow that turns on to the right.
    Redo,
    /// Arrow head down: what lies below is shown.
    FoldOpen,
    /// Arrow head to the right: what lies below is folded.
    FoldClosed,
    /// Arrow head up: a drawer that opens upwards.
    DrawerClosed,
    /// Closed padlock.
    Locked,
    /// Open padlock.
    Unlocked,
    /// Plus sign: add.
    Plus,
    /// Diagonal cross: remove or dismiss.
    Cross,
    /// Check mark.
    Check,
}

impl Icon {
    /// Every icon.
    pub const ALL: [Self; 10] = [
        Self::Undo,
        Self::Redo,
        Self::FoldOpen,
        Self::FoldClosed,
        Self::DrawerClosed,
        Self::Locked,
        Self::Unlocked,
        Self::Plus,
        Self::Cross,
        Self::Check,
    ];
}

/// Points on the grid of 16.
type Line = Vec<(f32, f32)>;

/// The icon, fitted into the square of `rect` around its centre, in `ink`.
pub fn icon(icon: Icon, rect: Rect, ink: Color32) -> Vec<Shape> {
    let side = rect.width().min(rect.height());
    let square = Rect::from_center_size(rect.center(), Vec2::splat(side));
    let scale = side / 16.0;
    let at = |(x, y): (f32, f32)| -> Pos2 { square.min + vec2(x, y) * scale };
    let stroke = Stroke::new(1.6 * scale.max(0.75), ink);
    let mut shapes: Vec<Shape> = lines(icon)
        .into_iter()
        .map(|line| Shape::line(line.into_iter().map(at).collect(), stroke))
        .collect();
    if matches!(icon, Icon::Locked | Icon::Unlocked) {
        let body = Rect::from_min_max(at((3.0, 7.5)), at((13.0, 13.5)));
        shapes.push(match icon {
            Icon::Locked => Shape::rect_filled(body, CornerRadius::same(1), ink),
            _ => Shape::rect_stroke(body, CornerRadius::same(1), stroke, StrokeKind::Inside),
        });
    }
    shapes
}

fn lines(icon: Icon) -> Vec<Line> {
    let flipped = |lines: Vec<Line>| -> Vec<Line> {
        lines
            .into_iter()
            .map(|line| line.into_iter().map(|(x, y)| (16.0 - x, y)).collect())
            .collect()
    };
    match icon {
        Icon::Undo => {
            let mut shaft = vec![(3.0, 6.0), (9.5, 6.0)];
            shaft.extend(arc((9.5, 9.5), 3.5, -PI / 2.0, PI / 2.0));
            shaft.push((6.5, 13.0));
            vec![shaft, vec![(6.0, 3.0), (3.0, 6.0), (6.0, 9.0)]]
        }
        Icon::Redo => flipped(lines(Icon::Undo)),
        Icon::FoldOpen => vec![vec![(3.5, 6.0), (8.0, 10.5), (12.5, 6.0)]],
        Icon::FoldClosed => vec![vec![(6.0, 3.5), (10.5, 8.0), (6.0, 12.5)]],
        Icon::DrawerClosed => vec![vec![(3.5, 10.0), (8.0, 5.5), (12.5, 10.0)]],
        Icon::Locked | Icon::Unlocked => {
            let mut shackle = vec![(5.0, 7.5)];
            shackle.extend(arc((8.0, 5.5), 3.0, PI, 2.0 * PI));
            if icon == Icon::Locked {
                shackle.push((11.0, 7.5));
            }
            vec![shackle]
        }
        Icon::Plus => vec![vec![(8.0, 3.0), (8.0, 13.0)], vec![(3.0, 8.0), (13.0, 8.0)]],
        Icon::Cross => vec![
            vec![(4.0, 4.0), (12.0, 12.0)],
            vec![(4.0, 12.0), (12.0, 4.0)],
        ],
        Icon::Check => vec![vec![(3.5, 8.5), (6.8, 11.8), (12.8, 4.6)]],
    }
}

/// Twelve chords from angle `from` to `to`, in radians, clockwise on the screen.
fn arc((x, y): (f32, f32), radius: f32, from: f32, to: f32) -> impl Iterator<Item = (f32, f32)> {
    (0_u8..=12).map(move |step| {
        let angle = from + (to - from) * f32::from(step) / 12.0;
        (x + radius * angle.cos(), y + radius * angle.sin())
    })
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, clippy::missing_assert_message, reason = "tests")]
    use super::*;
    use eframe::egui::pos2;

    #[test]
    fn every_icon_is_drawn_and_stays_in_its_square() {
        for side in [12.0, 16.0, 32.0] {
            let rect = Rect::from_min_size(pos2(7.0, 9.0), vec2(side, side));
            for sign in Icon::ALL {
                let shapes = icon(sign, rect, Color32::WHITE);
                assert!(!shapes.is_empty());
                for shape in shapes {
                    let extent = shape.visual_bounding_rect();
                    assert!(rect.contains_rect(extent), "{sign:?} at {side}: {extent:?}");
                }
            }
        }
    }

    #[test]
    fn redo_mirrors_undo() {
        let mirrored: Vec<Line> = lines(Icon::Redo)
            .into_iter()
            .map(|line| line.into_iter().map(|(x, y)| (16.0 - x, y)).collect())
            .collect();
        assert_eq!(mirrored, lines(Icon::Undo));
    }
}
