//! The areas in which handles take the pointer. Where two would overlap, each keeps its own half, so the nearer one wins.

use eframe::egui::{Pos2, Rect, Vec2};

/// A square of side `size_px` around each of `centers`, cut half way to every other centre that is nearer than a side, along
/// the axis on which the two lie further apart. Every area holds its own centre.
///
/// `centers` must not fall from left to right, as points in order of time don't.
pub(super) fn areas(centers: &[Pos2], size_px: f32) -> Vec<Rect> {
    let square = |&center: &Pos2| Rect::from_center_size(center, Vec2::splat(size_px));
    let mut areas: Vec<Rect> = centers.iter().map(square).collect();
    for (left, &one) in centers.iter().enumerate() {
        let rights = centers.iter().enumerate().skip(left + 1);
        for (right, &other) in rights.take_while(|(_, other)| other.x - one.x < size_px) {
            let (apart, middle) = (other - one, one.lerp(other, 0.5));
            if apart.y.abs() >= size_px {
                continue;
            }
            if apart.x >= apart.y.abs() {
                areas[left].max.x = areas[left].max.x.min(middle.x);
                areas[right].min.x = areas[right].min.x.max(middle.x);
            } else if apart.y < 0.0 {
                areas[left].min.y = areas[left].min.y.max(middle.y);
                areas[right].max.y = areas[right].max.y.min(middle.y);
            } else {
                areas[left].max.y = areas[left].max.y.min(middle.y);
                areas[right].min.y = areas[right].min.y.max(middle.y);
            }
        }
    }
    areas
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, clippy::missing_assert_message, reason = "tests")]
    use super::*;
    use eframe::egui::pos2;

    const CENTERS: [Pos2; 5] = [
        pos2(10.0, 300.0),
        pos2(18.0, 296.0),
        pos2(20.0, 280.0),
        pos2(30.0, 100.0),
        pos2(90.0, 90.0),
    ];

    #[test]
    fn areas_never_overlap_and_hold_their_centres() {
        let areas = areas(&CENTERS, 24.0);
        for (index, area) in areas.iter().enumerate() {
            assert!(area.contains(CENTERS[index]), "{area:?}");
            for other in &areas[..index] {
                let shared = area.intersect(*other);
                let is_shared = shared.width() > 1e-3 && shared.height() > 1e-3;
                assert!(!is_shared, "{area:?} {other:?}");
            }
        }
    }

    #[test]
    fn a_place_between_two_handles_belongs_to_the_nearer_one() {
        let pair = [pos2(100.0, 50.0), pos2(110.0, 50.0)];
        let areas = areas(&pair, 24.0);
        assert!(areas[0].contains(pos2(104.0, 50.0)) && !areas[1].contains(pos2(104.0, 50.0)));
        assert!(areas[1].contains(pos2(106.0, 50.0)) && !areas[0].contains(pos2(106.0, 50.0)));
    }

    #[test]
    fn a_handle_alone_keeps_the_whole_square() {
        let whole = Rect::from_center_size(CENTERS[4], Vec2::splat(24.0));
        assert_eq!(areas(&CENTERS, 24.0)[4], whole);
    }
}
