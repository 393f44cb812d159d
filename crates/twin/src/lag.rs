//! A first-order lag advanced exactly over a step in which its target stands still.

/// Factors of one lag for one step length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Lag {
    /// Share of the difference from the target that is left after the step.
    left: f64,
    /// Mean of that share over the step.
    mean_left: f64,
}

impl Lag {
    /// Lag of time constant `lag_s` over steps of `step_s`, both above 0.
    pub(crate) fn new(lag_s: f64, step_s: f64) -> Self {
        let ratio = step_s / lag_s;
        Self {
            left: (-ratio).exp(),
            mean_left: -(-ratio).exp_m1() / ratio,
        }
    }

    /// Value after the step.
    pub(crate) fn after(&self, value: f64, target: f64) -> f64 {
        target + (value - target) * self.left
    }

    /// Mean over the step.
    pub(crate) fn mean(&self, value: f64, target: f64) -> f64 {
        target + (value - target) * self.mean_left
    }
}

/// A lag behind another lag and behind something that moves in a straight line, advanced exactly over a step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Follower {
    left: f64,
    /// Answer to a target that rises by 1 over the step and passes 0 in its middle.
    ramp: f64,
    /// Answer to a target that decays from 1 with the lag in front.
    echo: f64,
}

impl Follower {
    /// A lag of `lag_s` behind one of `front_s` over steps of `step_s`, all above 0.
    pub(crate) fn new(lag_s: f64, front_s: f64, step_s: f64) -> Self {
        let left = (-step_s / lag_s).exp();
        let lost = -(-step_s / lag_s).exp_m1();
        // (e^(-h/front) - e^(-h/lag))/(lag/lag - lag/front), written so that equal lags are no special case.
        let gap = step_s * (1.0 / lag_s - 1.0 / front_s);
        let slope = if gap.abs() < 1e-6 {
            1.0 + 0.5 * gap
        } else {
            gap.exp_m1() / gap
        };
        Self {
            left,
            ramp: 1.0 - lag_s / step_s * lost - 0.5 * lost,
            echo: step_s / lag_s * left * slope,
        }
    }

    /// Value after a step towards `target + rise · (t/step - 1/2) + decaying · e^(-t/front)`.
    pub(crate) fn after(&self, value: f64, target: f64, rise: f64, decaying: f64) -> f64 {
        target + (value - target) * self.left + rise * self.ramp + decaying * self.echo
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::missing_assert_message, reason = "the values say it")]
    use super::*;

    /// The same by many small explicit steps of second order.
    fn marched(lag_s: f64, front_s: f64, step_s: f64, forcing: [f64; 4]) -> f64 {
        let [mut value, target, rise, decaying] = forcing;
        let pieces = 200_000;
        let h = step_s / f64::from(pieces);
        for i in 0..pieces {
            let t = (f64::from(i) + 0.5) * h;
            let aim = target + rise * (t / step_s - 0.5) + decaying * (-t / front_s).exp();
            let middle = value + 0.5 * h * (aim - value) / lag_s;
            value += h * (aim - middle) / lag_s;
        }
        value
    }

    #[test]
    fn follower_agrees_with_marching() {
        for (lag_s, front_s, step_s) in [
            (4.0, 4.0, 1.0),
            (4.0, 4.000_01, 1.0),
            (3.0, 10.0, 1.0),
            (8.0, 0.5, 0.25),
        ] {
            for forcing in [
                [20.0, 90.0, 0.0, 0.0],
                [20.0, 20.0, 5.0, 0.0],
                [20.0, 60.0, 3.0, -40.0],
            ] {
                let [value, target, rise, decaying] = forcing;
                let found =
                    Follower::new(lag_s, front_s, step_s).after(value, target, rise, decaying);
                assert!((found - marched(lag_s, front_s, step_s, forcing)).abs() < 1e-8);
            }
        }
    }
}
