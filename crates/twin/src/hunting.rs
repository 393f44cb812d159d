//! Whether the controller hunts: its effort goes up and down again and again and has not stopped by the drop.
//!
//! The effort's turning points are found with a dead band, so that a swing counts only from [`LEAST_SWING`] on; swings that follow
//! each other without a longer pause make a series. A kink or a step in the curve gives a swing or two that die away; only a loop
//! that excites itself keeps on. A count of alternations of a least size is the usual sign of an oscillating loop (Hägglund, Control
//! Eng. Practice 3 (1995) 1543, counts those of the error; from memory); the numbers here are our own, assumed.
//! A curve that is drawn as a zigzag of that size and pace looks the same.

/// Least swing, as a share of full heat. Assumed.
const LEAST_SWING: f64 = 0.1;
/// Fewest swings in a series: three whole ups and downs. Assumed.
const LEAST_SWINGS: usize = 6;
/// Longest time between two turning points of a series, and from the last one to the drop, in s: well above half a period of any
/// loop whose lags are some seconds. Assumed.
const LONGEST_PAUSE_S: usize = 30;

/// A controller that hunts at the drop, and since when.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hunting {
    /// First turning point of the effort in the series, in s since charge.
    pub from_s: usize,
    /// Swings since then, up and down counted apart.
    pub swings: usize,
    /// Mean size of a swing of the heater effort, 0.1 to 1.
    pub swing: f64,
    /// Mean time of one up and down, in s.
    pub period_s: f64,
}

/// A turning point of the effort.
#[derive(Debug, Clone, Copy)]
struct Turn {
    time_s: usize,
    effort: f64,
}

/// The hunting of an effort, 0 to 1 at 0, 1, 2, … s until the drop; nothing where the controller is calm in the end.
pub(crate) fn hunting(effort: &[f64]) -> Option<Hunting> {
    let mut series: Option<Hunting> = None;
    let mut before: Option<Turn> = None;
    each_turn(effort, |turn| {
        let joined = before.filter(|last| turn.time_s - last.time_s <= LONGEST_PAUSE_S);
        series = Some(match (series, joined) {
            (Some(so_far), Some(last)) => Hunting {
                swings: so_far.swings + 1,
                swing: so_far.swing + (turn.effort - last.effort).abs(),
                ..so_far
            },
            // Sums until the end, where they become means.
            _ => Hunting {
                from_s: turn.time_s,
                swings: 0,
                swing: 0.0,
                period_s: 0.0,
            },
        });
        before = Some(turn);
    });
    let (found, last) = (series?, before?);
    let lasts = effort.len() - last.time_s <= LONGEST_PAUSE_S;
    (lasts && LEAST_SWINGS <= found.swings).then(|| {
        let swings = found.swings as f64;
        Hunting {
            swing: found.swing / swings,
            period_s: 2.0 * (last.time_s - found.from_s) as f64 / swings,
            ..found
        }
    })
}

/// Calls `found` at every turning point that is at least [`LEAST_SWING`] away from its neighbours. What came before the first swing
/// and an unfinished last one give no turning point.
fn each_turn(effort: &[f64], mut found: impl FnMut(Turn)) {
    let Some(&first) = effort.first() else {
        return;
    };
    let start = Turn {
        time_s: 0,
        effort: first,
    };
    let (mut low, mut high) = (start, start);
    // Whether the effort rose last; nothing before the first swing.
    let mut is_rising: Option<bool> = None;
    for (time_s, &effort) in effort.iter().enumerate() {
        let here = Turn { time_s, effort };
        if high.effort < effort {
            high = here;
        }
        if effort < low.effort {
            low = here;
        }
        if is_rising != Some(false) && LEAST_SWING <= high.effort - effort {
            if is_rising.is_some() {
                found(high);
            }
            (is_rising, low) = (Some(false), here);
        } else if is_rising != Some(true) && LEAST_SWING <= effort - low.effort {
            if is_rising.is_some() {
                found(low);
            }
            (is_rising, high) = (Some(true), here);
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::missing_assert_message,
        clippy::unwrap_used,
        reason = "the values say it"
    )]
    use super::*;
    use std::f64::consts::TAU;

    /// A sine of `amplitude` around half heat and a period of 12 s, from `from_s` until `to_s`.
    fn sine(amplitude: f64, from_s: usize, to_s: usize) -> Vec<f64> {
        let at = |s: usize| {
            let is_on = from_s <= s && s < to_s;
            0.5 + if is_on {
                amplitude * (TAU * s as f64 / 12.0).sin()
            } else {
                0.0
            }
        };
        (0..400).map(at).collect()
    }

    #[test]
    fn a_steady_swing_is_found_with_its_size_and_period() {
        let found = hunting(&sine(0.2, 200, 400)).unwrap();
        assert!((200..=206).contains(&found.from_s), "{found:?}");
        assert!((found.swing - 0.4).abs() < 1e-9, "{found:?}");
        assert!((found.period_s - 12.0).abs() < 1e-9, "{found:?}");
    }

    #[test]
    fn small_swings_and_swings_long_past_are_none() {
        assert_eq!(hunting(&sine(0.04, 0, 400)), None);
        assert_eq!(hunting(&sine(0.2, 200, 360)), None);
        assert!(hunting(&sine(0.2, 200, 380)).is_some());
    }

    #[test]
    fn slow_and_single_moves_are_none() {
        let slow: Vec<f64> = (0..600)
            .map(|s| 0.5 + 0.3 * (TAU * f64::from(s) / 80.0).sin())
            .collect();
        assert_eq!(hunting(&slow), None);
        let steps: Vec<f64> = (0..400)
            .map(|s| if s / 50 % 2 == 0 { 0.4 } else { 0.7 })
            .collect();
        assert_eq!(hunting(&steps), None);
        assert_eq!(hunting(&[]), None);
        assert_eq!(hunting(&[0.5, 0.9]), None);
    }

    #[test]
    fn a_ring_that_dies_away_is_none() {
        let ring: Vec<f64> = (0..400)
            .map(|s| 0.5 + 0.4 * (-f64::from(s) / 25.0).exp() * (TAU * f64::from(s) / 12.0).cos())
            .collect();
        assert_eq!(hunting(&ring), None);
    }
}
