//! A smooth bump of the rate of rise about one moment, and what it adds to the temperature.
//!
//! A raised cosine of height 1 on either side, so that rise and its change join without a corner; its integral is closed.

use std::f64::consts::PI;

/// A bump of height 1 at `middle_s`, 0 from `left_s` before to `right_s` behind it on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bump {
    /// Where it is highest, in s.
    pub(super) middle_s: f64,
    /// How far it reaches to the left, in s; 0 for none.
    pub(super) left_s: f64,
    /// How far it reaches to the right, in s; 0 for none.
    pub(super) right_s: f64,
}

impl Bump {
    /// Where it begins, in s.
    pub(super) fn start_s(&self) -> f64 {
        self.middle_s - self.left_s
    }

    /// Where it ends, in s.
    pub(super) fn end_s(&self) -> f64 {
        self.middle_s + self.right_s
    }

    /// Its height at `time_s`, 0 to 1.
    pub(super) fn height(&self, time_s: f64) -> f64 {
        let away_s = time_s - self.middle_s;
        let half_s = if away_s < 0.0 {
            self.left_s
        } else {
            self.right_s
        };
        if away_s == 0.0 {
            1.0
        } else if away_s.abs() >= half_s {
            0.0
        } else {
            (PI * away_s / half_s).cos().midpoint(1.0)
        }
    }

    /// Its integral from the beginning to `time_s`, in s.
    pub(super) fn area_s(&self, time_s: f64) -> f64 {
        let away_s = time_s - self.middle_s;
        let left_half_s = self.left_s / 2.0;
        // The integral from the middle, as a part of the half width there.
        let part = |away: f64| f64::midpoint(away, (PI * away).sin() / PI);
        if away_s <= -self.left_s {
            0.0
        } else if away_s < 0.0 {
            left_half_s + self.left_s * part(away_s / self.left_s)
        } else if away_s < self.right_s {
            left_half_s + self.right_s * part(away_s / self.right_s)
        } else {
            left_half_s + self.right_s / 2.0
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The midpoint rule over 10,000 steps is as good as 1e-6 here.
    #[test]
    fn area_is_the_integral_of_the_height() {
        let bumps = [(100.0, 30.0, 60.0), (0.0, 0.0, 40.0), (500.0, 45.0, 0.0)];
        for (middle_s, left_s, right_s) in bumps {
            let bump = Bump {
                middle_s,
                left_s,
                right_s,
            };
            let (from_s, step_s) = (middle_s - 80.0, 0.016);
            let mut sum_s = 0.0;
            for step in 0..10_000 {
                let time_s = from_s + (f64::from(step) + 0.5) * step_s;
                sum_s += bump.height(time_s) * step_s;
                let end_s = from_s + f64::from(step + 1) * step_s;
                let miss_s = (bump.area_s(end_s) - sum_s).abs();
                // A side without width has a jump at the middle, which costs up to half a step.
                assert!(miss_s < 0.009, "{bump:?} at {end_s}: {miss_s}");
            }
            let whole_s = f64::midpoint(left_s, right_s);
            assert!((bump.area_s(1e9) - whole_s).abs() < 1e-12, "{bump:?}");
        }
    }
}
