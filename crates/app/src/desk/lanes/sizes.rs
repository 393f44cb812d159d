//! How high each lane is, and which are folded to their heads.

use super::super::layout;

/// Height of a folded lane: its head.
pub const FOLDED_PX: f32 = 24.0;
/// Least share of the height that an open lane keeps.
const LEAST_SHARE: f32 = 0.08;

/// Height of the open lane of what a rework changes, in points …
const DIFFERENCE_PX: f32 = 92.0;
/// … and the most of the height that it takes in a low window.
const DIFFERENCE_SHARE: f32 = 0.24;

/// A border between two lanes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LaneBorder {
    /// Between temperature and rate of rise.
    BelowTemperature,
    /// Between rate of rise and effort.
    BelowRise,
}

/// Shares of the lanes in the height there is, and folds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LaneSizes {
    shares: [f32; 3],
    /// The lane of the rate of rise is folded.
    pub is_rise_folded: bool,
    /// The effort lane is folded.
    pub is_effort_folded: bool,
    /// The lane of what a rework changes is folded.
    pub is_difference_folded: bool,
}

impl Default for LaneSizes {
    fn default() -> Self {
        Self {
            shares: layout::LANE_SHARES,
            is_rise_folded: false,
            is_effort_folded: false,
            is_difference_folded: false,
        }
    }
}

impl LaneSizes {
    /// Heights of temperature, rise and effort in `free_px`, in points.
    pub fn heights_px(&self, free_px: f32) -> [f32; 3] {
        let folded = [false, self.is_rise_folded, self.is_effort_folded];
        let heads = FOLDED_PX * folded.iter().filter(|folded| **folded).count() as f32;
        let open: f32 = (0..3)
            .filter(|&lane| !folded[lane])
            .map(|lane| self.shares[lane])
            .sum();
        let room_px = (free_px - heads).max(0.0);
        [0, 1, 2].map(|lane| {
            if folded[lane] {
                FOLDED_PX
            } else {
                (room_px * self.shares[lane] / open).floor()
            }
        })
    }

    /// Height of the lane of what a rework changes, of `free_px` for it and the three others: fixed, but never more than its share.
    pub fn difference_px(&self, free_px: f32) -> f32 {
        if self.is_difference_folded {
            FOLDED_PX
        } else {
            DIFFERENCE_PX.min(DIFFERENCE_SHARE * free_px).floor()
        }
    }

    /// Moves a border down by `share` of the height; no open lane gets lower than its least share.
    pub fn move_border(&mut self, border: LaneBorder, share: f32) {
        let (above, below) = match border {
            _ if self.is_rise_folded => (0, 2),
            LaneBorder::BelowTemperature => (0, 1),
            LaneBorder::BelowRise => (1, 2),
        };
        let least = LEAST_SHARE - self.shares[above];
        let most = self.shares[below] - LEAST_SHARE;
        let share = share.clamp(least.min(0.0), most.max(0.0));
        self.shares[above] += share;
        self.shares[below] -= share;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lanes_fill_the_height_open_or_folded() {
        for (is_rise_folded, is_effort_folded) in
            [(false, false), (true, false), (false, true), (true, true)]
        {
            let sizes = LaneSizes {
                is_rise_folded,
                is_effort_folded,
                ..LaneSizes::default()
            };
            let heights = sizes.heights_px(600.0);
            let sum: f32 = heights.iter().sum();
            assert!((597.0..=600.0).contains(&sum), "{heights:?}");
            assert_eq!(heights[1] <= FOLDED_PX, is_rise_folded, "{heights:?}");
        }
    }

    #[test]
    fn a_border_moves_room_between_its_lanes_and_stops_at_the_least_share() {
        let mut sizes = LaneSizes::default();
        sizes.move_border(LaneBorder::BelowTemperature, -0.1);
        let moved = sizes.heights_px(1000.0);
        assert!(
            (moved[0] - 520.0).abs() < 1.5 && (moved[1] - 300.0).abs() < 1.5,
            "{moved:?}"
        );
        sizes.move_border(LaneBorder::BelowRise, 9.0);
        assert!(sizes.heights_px(1000.0)[2] >= 79.0, "{sizes:?}");
        sizes.move_border(LaneBorder::BelowTemperature, -9.0);
        assert!(sizes.heights_px(1000.0)[0] >= 79.0, "{sizes:?}");
    }
}
