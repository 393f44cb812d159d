//! The three patterns that tell phases apart without colour: plain, dots, upright bars.

use eframe::egui::{Color32, Rect, Shape, Stroke, pos2};

/// Pattern of a phase in the strip and in table swatches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BandPattern {
    /// Nothing: drying.
    Plain,
    /// Two rows of dots: browning.
    Dots,
    /// Upright bars: development.
    Bars,
}

/// Distance between bars or dots, in points.
const PITCH_PX: f32 = 5.0;

/// The pattern inside `rect` in `ink`; nothing sticks out.
pub fn band(pattern: BandPattern, rect: Rect, ink: Color32) -> Vec<Shape> {
    let columns = ((rect.width() - 2.0) / PITCH_PX).floor().max(0.0) as u16;
    let columns = (0..=columns).map(|column| rect.left() + 1.0 + f32::from(column) * PITCH_PX);
    match pattern {
        BandPattern::Plain => Vec::new(),
        BandPattern::Dots => columns
            .enumerate()
            .map(|(column, x)| {
                let height = if column.is_multiple_of(2) { 0.3 } else { 0.7 };
                let center = pos2(x, rect.top() + height * rect.height());
                Shape::circle_filled(center, 0.9, ink)
            })
            .collect(),
        BandPattern::Bars => columns
            .map(|x| {
                let ends = [pos2(x, rect.top() + 1.0), pos2(x, rect.bottom() - 1.0)];
                Shape::line_segment(ends, Stroke::new(1.0, ink))
            })
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, clippy::missing_assert_message, reason = "tests")]
    use super::*;

    #[test]
    fn patterns_stay_inside_and_differ() {
        let rect = Rect::from_min_max(pos2(10.0, 20.0), pos2(71.0, 28.0));
        let shapes = [BandPattern::Plain, BandPattern::Dots, BandPattern::Bars]
            .map(|p| band(p, rect, Color32::WHITE));
        assert!(shapes[0].is_empty());
        assert_eq!(shapes[1].len(), 12);
        assert_eq!(shapes[2].len(), 12);
        for shape in shapes.iter().flatten() {
            assert!(
                rect.contains_rect(shape.visual_bounding_rect()),
                "{shape:?}"
            );
        }
    }

    #[test]
    fn a_sliver_of_a_phase_is_drawn_without_harm() {
        let rect = Rect::from_min_max(pos2(10.0, 20.0), pos2(10.5, 28.0));
        assert!(band(BandPattern::Bars, rect, Color32::WHITE).len() <= 1);
    }
}
