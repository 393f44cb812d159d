//! The rules of practice applied to a curve, so that there and back is nothing.
//!
//! Carrying from one altitude to another goes by way of the rules' reference altitude: temperatures lie on a scale that bends at the
//! marks and the drop, and each gap between two points stretches by the phases that its reference temperatures lie in. Both are taken
//! back exactly by going the other way (a point whose temperature is locked excepted, which the other points then pass by).

use super::{
    drawn::{Drawn, with_temps},
    error::CarryError,
    handles::{fixed_temps, with_times},
    practice::{PracticeRules, RuleName},
    stretch::{moved_airflow, stretched_times_s},
};
use chaffinch_curve::{CurveError, Marks, SetpointCurve};

/// Most that the scale between two marks is stretched or squeezed. Ours: beyond this the rules no longer describe the same roast.
const MOST_BEND: f64 = 2.0;
/// Least distance of drop and first crack, in K, for the drop to bend the scale by itself. Ours.
const LEAST_DROP_ABOVE_CRACK_K: f64 = 1.0;

/// What all rules come to at one altitude.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Habit {
    crack_k: f64,
    drop_k: f64,
    /// Logarithms by which drying, browning and development become longer.
    logs: [f64; 3],
}

impl Habit {
    fn at(rules: &PracticeRules, altitude_m: f64) -> Self {
        let change = |name| rules.change(name, altitude_m);
        let log = |name| (change(name) / 100.0).ln_1p();
        Self {
            crack_k: change(RuleName::FirstCrack),
            drop_k: change(RuleName::Drop),
            // A faster rise through the same degrees takes less time.
            logs: [
                -log(RuleName::DryingRise),
                log(RuleName::BrowningLength),
                log(RuleName::DevelopmentLength),
            ],
        }
    }
}

/// A scale of temperatures that bends at a few of them: (at the reference altitude, here), in °C and rising.
#[derive(Clone, Debug)]
struct Scale(Vec<(f64, f64)>);

impl Scale {
    /// The scale that keeps colour change and moves first crack and drop, given at the reference altitude, by a habit.
    fn of([colour_c, crack_c, drop_c]: [f64; 3], habit: &Habit) -> Result<Self, CarryError> {
        let mut knots = vec![
            (colour_c, colour_c),
            (crack_c, crack_c + habit.crack_k),
            (drop_c, drop_c + habit.drop_k),
        ];
        if drop_c < crack_c + LEAST_DROP_ABOVE_CRACK_K {
            knots.pop();
        }
        let is_sound = |pair: &[(f64, f64)]| {
            let bend = (pair[1].1 - pair[0].1) / (pair[1].0 - pair[0].0);
            (1.0 / MOST_BEND..=MOST_BEND).contains(&bend)
        };
        if knots.windows(2).all(is_sound) {
            Ok(Self(knots))
        } else {
            Err(CarryError::MarksTooClose)
        }
    }

    fn here_c(&self, reference_c: f64) -> f64 {
        moved(reference_c, self.0.iter().copied())
    }

    fn reference_c(&self, here_c: f64) -> f64 {
        moved(
            here_c,
            self.0.iter().map(|(reference, here)| (*here, *reference)),
        )
    }
}

/// `value` on the straight lines through `knots`; outside them it keeps its distance to the nearer end.
fn moved(value: f64, knots: impl Iterator<Item = (f64, f64)>) -> f64 {
    let mut before: Option<(f64, f64)> = None;
    for (from, to) in knots {
        if value <= from {
            return before.map_or(value + (to - from), |(from_0, to_0)| {
                to_0 + (value - from_0) / (from - from_0) * (to - to_0)
            });
        }
        before = Some((from, to));
    }
    before.map_or(value, |(from, to)| value + (to - from))
}

/// `drawn`, made for an equivalent altitude of `from_m`, as the rules would have it for `to_m`.
///
/// # Errors
/// [`CarryError::MarksTooClose`], or the curve's refusal as [`CarryError::NoCurve`].
pub(super) fn practised(
    drawn: &Drawn,
    rules: &PracticeRules,
    from_m: f64,
    to_m: f64,
) -> Result<Drawn, CarryError> {
    let (from, to) = (Habit::at(rules, from_m), Habit::at(rules, to_m));
    if from == to {
        return Ok(drawn.clone());
    }
    let drop_c = drawn.finishes.chosen().temp_c;
    let reference_c = [
        drawn.marks.colour_change_c,
        drawn.marks.first_crack_c - from.crack_k,
        drop_c - from.drop_k,
    ];
    let (from_scale, to_scale) = (Scale::of(reference_c, &from)?, Scale::of(reference_c, &to)?);
    let carried_c = |temp_c: f64| to_scale.here_c(from_scale.reference_c(temp_c));
    let stretch: Vec<f64> = from
        .logs
        .iter()
        .zip(to.logs)
        .map(|(from, to)| to - from)
        .collect();
    let points = drawn.curve.points();
    // A locked temperature is the same everywhere, and so it is its own reference.
    let fixed = fixed_temps(points);
    let references_c: Vec<f64> = points
        .iter()
        .zip(&fixed)
        .map(|(point, is_fixed)| {
            if *is_fixed {
                point.temp_c
            } else {
                from_scale.reference_c(point.temp_c)
            }
        })
        .collect();
    let logs: Vec<f64> = references_c
        .windows(2)
        .map(|pair| {
            let shares = phase_shares(pair[0], pair[1], &reference_c);
            shares
                .iter()
                .zip(&stretch)
                .map(|(share, log)| share * log)
                .sum()
        })
        .collect();
    let times_s = stretched_times_s(points, &logs);
    let mut carried = with_times(points, &times_s, &logs);
    for (point, is_fixed) in carried.iter_mut().zip(&fixed) {
        if !is_fixed {
            point.temp_c = carried_c(point.temp_c);
        }
    }
    let no_curve = |_: CurveError| CarryError::NoCurve;
    let curve = SetpointCurve::new(drawn.curve.shape(), carried).map_err(no_curve)?;
    let point_times_s: Vec<f64> = points.iter().map(|point| point.time_s).collect();
    Ok(Drawn {
        airflow: moved_airflow(&drawn.airflow, &point_times_s, &times_s),
        marks: Marks {
            colour_change_c: drawn.marks.colour_change_c,
            first_crack_c: drawn.marks.first_crack_c - from.crack_k + to.crack_k,
        },
        finishes: with_temps(
            &drawn.finishes,
            drawn.finishes.finishes().iter().map(|finish| {
                if LEAST_DROP_ABOVE_CRACK_K <= finish.temp_c - from.drop_k - reference_c[1] {
                    finish.temp_c - from.drop_k + to.drop_k
                } else {
                    carried_c(finish.temp_c)
                }
            }),
        ),
        curve,
    })
}

/// Which parts of the way between two temperatures lie in drying, browning and development; they add up to 1.
fn phase_shares(one_c: f64, other_c: f64, [colour_c, crack_c, _]: &[f64; 3]) -> [f64; 3] {
    let (low_c, high_c) = (one_c.min(other_c), one_c.max(other_c));
    if low_c == high_c {
        let is_in = [
            low_c < *colour_c,
            *colour_c <= low_c && low_c < *crack_c,
            *crack_c <= low_c,
        ];
        return is_in.map(|is_in| f64::from(u8::from(is_in)));
    }
    let below = |level_c: f64| ((level_c - low_c) / (high_c - low_c)).clamp(0.0, 1.0);
    let (drying, before_crack) = (below(*colour_c), below(*crack_c));
    [drying, before_crack - drying, 1.0 - before_crack]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_of_a_gap_are_those_of_its_temperatures() {
        let marks_c = [160.0, 198.0, 212.0];
        let shares = phase_shares(150.0, 170.0, &marks_c);
        assert_eq!(shares, [0.5, 0.5, 0.0], "across colour change");
        // 140 to 220 °C: 20, 38 and 22 of 80 degrees, by hand; the same on the way down.
        for (one_c, other_c) in [(140.0, 220.0), (220.0, 140.0)] {
            let found = phase_shares(one_c, other_c, &marks_c);
            for (found, expected) in found.iter().zip([0.25, 0.475, 0.275]) {
                assert!((found - expected).abs() < 1e-12, "{found} {expected}");
            }
        }
        assert_eq!(
            phase_shares(198.0, 198.0, &marks_c),
            [0.0, 0.0, 1.0],
            "flat"
        );
    }

    #[test]
    fn a_scale_and_its_inverse_are_one() {
        let habit = Habit {
            crack_k: 1.0,
            drop_k: -0.5,
            logs: [0.0; 3],
        };
        let scale = Scale::of([160.0, 198.0, 212.0], &habit).unwrap_or(Scale(Vec::new()));
        assert_eq!(scale.here_c(198.0), 199.0, "first crack");
        assert_eq!(scale.here_c(100.0), 100.0, "before colour change");
        assert_eq!(scale.here_c(220.0), 219.5, "behind the drop");
        for tenth in 0..2400 {
            let temp_c = f64::from(tenth) / 10.0;
            let again_c = scale.reference_c(scale.here_c(temp_c));
            assert!((again_c - temp_c).abs() < 1e-10, "{temp_c} {again_c}");
        }
    }
}
