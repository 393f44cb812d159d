//! A smooth flexing of the time axis: some moments go elsewhere, time between them bends without a corner and never runs backwards.
//!
//! The map is a cubic between moments. At a moment that moves its slope is the weighted harmonic mean of both sides (F. N. Fritsch and
//! J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300, from memory); at one that stays it is 1, so that nothing changes beyond it; at
//! a free end the map is as straight as it can be. No slope is more than twice that of the chord beside it, which keeps every cubic
//! rising at half its chord or more.

use chaffinch_curve::{Interpolant, Knot};

/// Steepest slope at a moment, as a multiple of the chord's slope beside it.
const STEEPEST: f64 = 2.0;
/// … and flattest at a free end.
const FLATTEST: f64 = 0.5;
/// A moment counts as staying if it moves by no more, in s.
const STAYS_S: f64 = 1e-9;

/// A moment and where it goes, both in s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Moment {
    /// Where it is.
    pub(crate) from_s: f64,
    /// Where it goes.
    pub(crate) to_s: f64,
    /// How steep the map may be there.
    pub(crate) tie: Tie,
}

/// What is asked of the map's slope at a moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Tie {
    /// 1: beyond it nothing should change.
    Steady,
    /// The mean of both sides, or at an end as straight as it can be.
    Free,
}

/// The map.
#[derive(Clone, Debug)]
pub(crate) struct Flex(Interpolant);

impl Flex {
    /// The map that takes every moment where it goes; `None` unless there are at least two, each later than the one before on both
    /// sides.
    pub(crate) fn through(moments: &[Moment]) -> Option<Self> {
        if moments.len() < 2 || !are_in_order(moments) {
            return None;
        }
        let slopes = slopes(moments);
        let knots: Vec<Knot> = moments
            .iter()
            .zip(slopes)
            .map(|(moment, slope)| Knot {
                x: moment.from_s,
                y: moment.to_s,
                slope_in: slope,
                slope_out: slope,
            })
            .collect();
        Interpolant::hermite(&knots).ok().map(Self)
    }

    /// Where a moment goes, in s, and by what factor time stretches there; exactly itself and 1 where nothing moves.
    pub(crate) fn at(&self, time_s: f64) -> (f64, f64) {
        let (to_s, factor) = (self.0.value(time_s), self.0.slope(time_s));
        if (to_s - time_s).abs() <= STAYS_S && (factor - 1.0).abs() <= STAYS_S {
            (time_s, 1.0)
        } else {
            (to_s, factor)
        }
    }
}

/// Whether each moment is later than the one before, where it is and where it goes.
pub(crate) fn are_in_order(moments: &[Moment]) -> bool {
    let mut pairs = moments.windows(2);
    pairs.all(|pair| pair[0].from_s < pair[1].from_s && pair[0].to_s < pair[1].to_s)
}

fn slopes(moments: &[Moment]) -> Vec<f64> {
    let chords: Vec<(f64, f64)> = moments
        .windows(2)
        .map(|pair| {
            let width_s = pair[1].from_s - pair[0].from_s;
            (width_s, (pair[1].to_s - pair[0].to_s) / width_s)
        })
        .collect();
    let last = moments.len() - 1;
    let mut slopes: Vec<f64> = (0..=last)
        .map(|index| {
            let (before, behind) = (index.checked_sub(1).map(|i| chords[i]), chords.get(index));
            let limit = [before, behind.copied()]
                .into_iter()
                .flatten()
                .fold(f64::INFINITY, |limit, (_, slope)| {
                    limit.min(STEEPEST * slope)
                });
            match (moments[index].tie, before, behind) {
                (Tie::Free, Some(before), Some(&behind)) => mean(before, behind),
                _ => 1.0,
            }
            .min(limit)
        })
        .collect();
    // The ends last: they follow what is beside them.
    for (end, beside, chord) in [(0, 1, chords[0].1), (last, last - 1, chords[last - 1].1)] {
        if moments[end].tie == Tie::Free {
            let straight = f64::midpoint(chord, 2.0 * chord - slopes[beside]);
            slopes[end] = straight.clamp(FLATTEST * chord, STEEPEST * chord);
        }
    }
    slopes
}

/// The weighted harmonic mean of two chords, each a width and a slope above 0.
fn mean((width0_s, slope0): (f64, f64), (width1_s, slope1): (f64, f64)) -> f64 {
    let (weight0, weight1) = (2.0 * width1_s + width0_s, width1_s + 2.0 * width0_s);
    (weight0 + weight1) / (weight0 / slope0 + weight1 / slope1)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]
    use super::*;

    fn flex(moments: &[(f64, f64, Tie)]) -> Flex {
        let moment = |&(from_s, to_s, tie): &(f64, f64, Tie)| Moment { from_s, to_s, tie };
        Flex::through(&moments.iter().map(moment).collect::<Vec<_>>()).unwrap()
    }

    #[test]
    fn time_never_runs_backwards_and_moments_land_where_they_should() {
        for to_s in [155.0, 200.0, 290.0, 330.0, 445.0] {
            let moments = [
                (0.0, 0.0, Tie::Free),
                (150.0, 150.0, Tie::Steady),
                (300.0, to_s, Tie::Free),
                (450.0, 450.0, Tie::Steady),
                (520.0, 520.0, Tie::Free),
            ];
            let flex = flex(&moments);
            for (from_s, to_s, _) in moments {
                assert!(
                    (flex.at(from_s).0 - to_s).abs() < 1e-9,
                    "{from_s} to {to_s}"
                );
            }
            let mut last_s = -1.0;
            for tenth in 0..=5200 {
                let (now_s, factor) = flex.at(f64::from(tenth) / 10.0);
                assert!(last_s < now_s && factor > 0.0, "{to_s} at {tenth}");
                last_s = now_s;
            }
        }
    }

    #[test]
    fn moments_out_of_order_make_no_map() {
        let moment = |(from_s, to_s)| Moment {
            from_s,
            to_s,
            tie: Tie::Free,
        };
        for to_s in [0.0, -5.0, f64::NAN, 100.0] {
            let moments = [(0.0, 0.0), (50.0, to_s), (80.0, 100.0)].map(moment);
            assert!(Flex::through(&moments).is_none(), "{to_s}");
        }
        assert!(Flex::through(&[moment((0.0, 0.0))]).is_none(), "one alone");
    }

    #[test]
    fn beyond_what_stays_nothing_moves_after_a_small_move() {
        let flex = flex(&[
            (0.0, 0.0, Tie::Free),
            (150.0, 150.0, Tie::Steady),
            (300.0, 320.0, Tie::Free),
            (450.0, 450.0, Tie::Steady),
            (520.0, 520.0, Tie::Free),
        ]);
        for time_s in [0.0, 40.0, 150.0, 460.0, 520.0] {
            assert_eq!(flex.at(time_s), (time_s, 1.0), "{time_s}");
        }
        assert!(flex.at(225.0).0 > 225.0, "between, time moves along");
    }
}
