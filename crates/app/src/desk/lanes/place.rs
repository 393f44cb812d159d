//! Where strip, lanes and axes lie in the room that the centre has.

use super::{super::layout, sizes::LaneSizes};
use eframe::egui::{Rect, pos2};

/// Whether the lane of what a rework changes is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum DifferenceLane {
    /// A rework is open.
    Shown,
    /// None is.
    Hidden,
}

/// The rectangles of the centre. All lanes have the same left and right edge, whatever their labels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Places {
    /// The phase strip.
    pub strip: Rect,
    /// The temperature lane.
    pub temperature: Rect,
    /// The lane of what a rework changes, below the temperature lane; only while one is open.
    pub difference: Option<Rect>,
    /// The lane of the rate of rise.
    pub rise: Rect,
    /// The effort lane.
    pub effort: Rect,
    /// The time axis below the last lane.
    pub time_axis: Rect,
    /// The gutter for finishes, right of the temperature lane.
    pub finishes: Rect,
}

impl Places {
    /// Lays the centre out in `room`, with so much of it kept free at the right for finishes.
    pub(super) fn of(
        room: Rect,
        sizes: &LaneSizes,
        right_gutter_px: f32,
        shown: DifferenceLane,
    ) -> Self {
        let left = room.left() + layout::LEFT_GUTTER_PX;
        let right = (room.right() - right_gutter_px).max(left + 1.0);
        let across =
            |top: f32, height: f32| Rect::from_min_max(pos2(left, top), pos2(right, top + height));
        let strip = across(room.top() + layout::LANES_TOP_PX, layout::STRIP_PX);
        let top = strip.bottom() + layout::STRIP_GAP_PX;
        let foot = room.bottom() - layout::TIME_AXIS_PX;
        let free = (foot - top - 2.0 * layout::LANE_GAP_PX).max(30.0);
        let (difference_px, gap_px) = match shown {
            DifferenceLane::Shown => (sizes.difference_px(free), layout::LANE_GAP_PX),
            DifferenceLane::Hidden => (0.0, 0.0),
        };
        let [first, second, third] = sizes.heights_px(free - difference_px - gap_px);
        let temperature = across(top, first);
        let below = temperature.bottom() + layout::LANE_GAP_PX;
        let difference = (shown == DifferenceLane::Shown).then(|| across(below, difference_px));
        let rise = across(below + difference_px + gap_px, second);
        let effort = across(rise.bottom() + layout::LANE_GAP_PX, third);
        Self {
            strip,
            temperature,
            difference,
            rise,
            effort,
            time_axis: across(effort.bottom(), layout::TIME_AXIS_PX),
            finishes: Rect::from_min_max(
                pos2(right, room.top()),
                pos2(room.right(), temperature.bottom()),
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn edges_of_all_lanes_line_up_and_nothing_overlaps() {
        for size in [(500.0, 400.0), (760.0, 700.0), (2400.0, 1500.0)] {
            for shown in [DifferenceLane::Hidden, DifferenceLane::Shown] {
                let places = Places::of(
                    Rect::from_min_size(pos2(248.0, 44.0), size.into()),
                    &LaneSizes::default(),
                    96.0,
                    shown,
                );
                let column: Vec<Rect> = [places.strip, places.temperature]
                    .into_iter()
                    .chain(places.difference)
                    .chain([places.rise, places.effort, places.time_axis])
                    .collect();
                let count = 5 + usize::from(shown == DifferenceLane::Shown);
                assert_eq!(column.len(), count, "lanes, {size:?}");
                for pair in column.windows(2) {
                    assert_eq!(pair[0].left(), pair[1].left(), "left edges, {size:?}");
                    assert_eq!(pair[0].right(), pair[1].right(), "right edges, {size:?}");
                    assert!(pair[0].bottom() <= pair[1].top(), "overlap, {size:?}");
                }
                let foot = places.time_axis.bottom();
                assert!(
                    foot <= 44.0 + size.1,
                    "{foot} is too low, {size:?} {shown:?}"
                );
            }
        }
    }
}
