//! Reach as temperatures: where the machine could take the probe from a place on the curve.

use chaffinch_twin::Reach;

/// How far ahead the corridor looks, in s. Ours: long enough to see the corridor beside the curve, short enough that it stays one.
pub const LOOK_AHEAD_S: usize = 10;

/// Around each second of the curve: where the probe could be, had it been on the curve [`LOOK_AHEAD_S`] before (or at charge), with the
/// heater off ever since and with the heater at its limit ever since.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Corridor {
    /// Lowest, in °C, at 0, 1, 2, … s.
    pub lowest_c: Vec<f64>,
    /// Highest, in °C, at the same seconds.
    pub highest_c: Vec<f64>,
}

impl Corridor {
    /// The corridor around `drawn_c`, one temperature a second, as far as `reach` goes.
    pub(crate) fn of(drawn_c: &[f64], reach: &Reach) -> Self {
        let edge = |bounds: &[chaffinch_twin::Bound]| {
            let mut way_c = 0.0;
            let mut ways_c = Vec::with_capacity(bounds.len());
            for bound in bounds {
                ways_c.push(way_c);
                way_c += bound.rise_c_per_s;
            }
            let at = |second: usize| {
                let from = second.saturating_sub(LOOK_AHEAD_S);
                drawn_c[from] + ways_c[second] - ways_c[from]
            };
            (0..bounds.len().min(drawn_c.len())).map(at).collect()
        };
        Self {
            lowest_c: edge(&reach.slowest),
            highest_c: edge(&reach.fastest),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chaffinch_twin::{Bound, Cause};

    #[test]
    fn edges_run_away_from_the_curve_for_ten_seconds_and_then_go_along_with_it() {
        let drawn_c: Vec<f64> = (0..60)
            .map(|second| 100.0 + 0.2 * f64::from(second))
            .collect();
        let all = |rise_c_per_s, cause| {
            vec![
                Bound {
                    rise_c_per_s,
                    cause
                };
                60
            ]
        };
        let reach = Reach {
            fastest: all(0.5, Cause::HeaterCeiling),
            slowest: all(-0.1, Cause::HeaterOff),
        };
        let corridor = Corridor::of(&drawn_c, &reach);
        let near = |found: f64, expected: f64| (found - expected).abs() < 1e-9;
        assert!(
            near(corridor.highest_c[10], 105.0),
            "{:?}",
            corridor.highest_c
        );
        // From 106 °C at 30 s, 10 s at 0.5 °C/s.
        assert!(
            near(corridor.highest_c[40], 111.0),
            "{:?}",
            corridor.highest_c
        );
        assert!(
            near(corridor.lowest_c[40], 105.0),
            "{:?}",
            corridor.lowest_c
        );
    }
}
