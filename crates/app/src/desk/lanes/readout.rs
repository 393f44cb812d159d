//! A small raised card with what is read at a place: beside it, or in a corner of the lane where it covers no line.

use super::super::theme::{Palette, Step, radius};
use eframe::egui::{
    Color32, CornerRadius, Galley, Painter, Pos2, Rect, Stroke, StrokeKind, Vec2, pos2, vec2,
};
use std::sync::Arc;

/// One line of a readout: its texts, the last of several set right.
pub(super) type Row = Vec<(String, Step, Color32)>;

const LINE_PX: f32 = 17.0;
/// Least distance between two texts of a line.
const GAP_PX: f32 = 14.0;
/// Between the card's edge and its words.
const MARGIN: Vec2 = vec2(10.0, 6.0);
/// Between a place and the card beside it.
const BESIDE: Vec2 = vec2(18.0, 22.0);
/// What a card in a corner keeps clear of the pointer.
const POINTER_PX: f32 = 16.0;

/// Shows the card beside `at`, inside `bounds`.
pub(super) fn beside(painter: &Painter, bounds: Rect, at: Pos2, lines: &[Row], palette: &Palette) {
    let card = Card::of(painter, lines, palette);
    // Below and to the right of the place, as the curve climbs away from there; on the other side at an edge.
    let mut corner = at + BESIDE;
    if corner.x + card.size.x > bounds.right() {
        corner.x = at.x - BESIDE.x - card.size.x;
    }
    if corner.y + card.size.y > bounds.bottom() {
        corner.y = at.y - BESIDE.y - card.size.y;
    }
    card.paint(painter, corner, palette);
}

/// Shows the card in the corner of `room` where it covers the fewest `points` of the lines, and doesn't lie under the pointer.
pub(super) fn in_corner(
    painter: &Painter,
    room: Rect,
    pointer: Pos2,
    points: &[Pos2],
    lines: &[Row],
    palette: &Palette,
) {
    let card = Card::of(painter, lines, palette);
    let corner = freest_corner(room, card.size, pointer, points);
    card.paint(painter, corner, palette);
}

/// The corner depends on the pointer only where the card would lie under it: it stays where it is while the pointer moves.
fn freest_corner(room: Rect, size: Vec2, pointer: Pos2, points: &[Pos2]) -> Pos2 {
    let below = room.bottom() - size.y;
    let right = room.right() - size.x;
    // Curves climb from the lower left to the upper right.
    let corners = [
        pos2(right, below),
        pos2(room.left(), room.top()),
        pos2(room.left(), below),
        pos2(right, room.top()),
    ];
    let covered = |corner: &Pos2| {
        let card = Rect::from_min_size(*corner, size);
        let is_under_pointer = card.expand(POINTER_PX).contains(pointer);
        let count = points.iter().filter(|point| card.contains(**point)).count();
        (is_under_pointer, count)
    };
    corners.into_iter().min_by_key(covered).unwrap_or(room.min)
}

/// A readout that is laid out but not placed.
struct Card {
    rows: Vec<Vec<Arc<Galley>>>,
    size: Vec2,
    ink: Color32,
}

impl Card {
    fn of(painter: &Painter, lines: &[Row], palette: &Palette) -> Self {
        let lay_out = |(text, step, color): &(String, Step, Color32)| {
            painter.layout_no_wrap(text.clone(), step.font(), *color)
        };
        let rows: Vec<Vec<_>> = lines
            .iter()
            .map(|line| line.iter().map(lay_out).collect())
            .collect();
        let width_of = |row: &Vec<Arc<Galley>>| {
            let words: f32 = row.iter().map(|galley| galley.size().x).sum();
            words + GAP_PX * row.len().saturating_sub(1) as f32
        };
        let width = rows.iter().map(width_of).fold(0.0, f32::max);
        Self {
            size: vec2(width, LINE_PX * rows.len() as f32) + 2.0 * MARGIN,
            rows,
            ink: palette.text,
        }
    }

    fn paint(self, painter: &Painter, corner: Pos2, palette: &Palette) {
        let card = Rect::from_min_size(corner, self.size);
        painter.rect(
            card,
            CornerRadius::same(radius::BUTTON),
            palette.raised,
            Stroke::new(1.0, palette.control),
            StrokeKind::Inside,
        );
        for (row, line) in self.rows.into_iter().enumerate() {
            let top = card.top() + MARGIN.y + row as f32 * LINE_PX;
            let count = line.len();
            for (column, galley) in line.into_iter().enumerate() {
                let x = if 0 < column && column + 1 == count {
                    card.right() - MARGIN.x - galley.size().x
                } else {
                    card.left() + MARGIN.x
                };
                let y = top + (LINE_PX - galley.size().y) / 2.0;
                painter.galley(pos2(x, y), galley, self.ink);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROOM: Rect = Rect::from_min_max(pos2(0.0, 0.0), pos2(600.0, 300.0));
    const SIZE: Vec2 = vec2(200.0, 80.0);

    /// A curve from the lower left to the upper right corner.
    fn climbing() -> Vec<Pos2> {
        (0..=60_u8)
            .map(|step| pos2(10.0 * f32::from(step), 300.0 - 5.0 * f32::from(step)))
            .collect()
    }

    #[test]
    fn card_stays_where_no_line_runs_while_the_pointer_moves() {
        for x in [20.0, 150.0, 300.0, 390.0, 580.0] {
            let found = freest_corner(ROOM, SIZE, pos2(x, 60.0), &climbing());
            assert_eq!(found, pos2(400.0, 220.0), "lower right, pointer at {x}");
        }
    }

    #[test]
    fn card_makes_way_for_the_pointer() {
        let found = freest_corner(ROOM, SIZE, pos2(500.0, 260.0), &climbing());
        assert_eq!(found, pos2(0.0, 0.0), "upper left");
    }

    #[test]
    fn card_goes_to_the_corner_with_the_fewest_lines() {
        let falling: Vec<_> = climbing()
            .into_iter()
            .map(|at| pos2(at.x, 300.0 - at.y))
            .collect();
        let found = freest_corner(ROOM, SIZE, pos2(300.0, 20.0), &falling);
        assert_eq!(found, pos2(0.0, 220.0), "lower left, above nothing");
    }
}
