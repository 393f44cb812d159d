//! The machine's controller: proportional, integral and filtered derivative on the error, once a second, clamped.
//!
//! `v = K_p (e + T_d de/dt) + I + feed-forward`, `u = clamp(v, 0, limit)`; the integral stands still while the effort is clamped
//! and the error pushes further out (clamping against wind-up; common practice, see Åström and Hägglund, from memory).

use crate::params::RoastParams;

/// Memory of the controller.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Controller {
    integral: f64,
    filtered_k: f64,
}

/// What the controller sees in one second.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Sight {
    /// Setpoint, in °C.
    pub(crate) setpoint_c: f64,
    /// Reading of the probe, in °C.
    pub(crate) reading_c: f64,
    /// Share of the full airflow.
    pub(crate) flow: f64,
}

impl Controller {
    /// A controller that starts at the first sight, without a kick of the derivative; `integral` is what it held before, as effort.
    pub(crate) fn new(first: &Sight, integral: f64) -> Self {
        Self {
            integral,
            filtered_k: first.setpoint_c - first.reading_c,
        }
    }

    /// Effort for the coming second, 0 to the limit that the inlet ceiling sets.
    pub(crate) fn effort(&mut self, params: &RoastParams, sight: &Sight) -> f64 {
        let error_k = sight.setpoint_c - sight.reading_c;
        let change_k = params.filter_share * (error_k - self.filtered_k);
        self.filtered_k += change_k;
        let known = params.feed_forward_per_k * sight.flow * (sight.setpoint_c - params.ambient_c);
        let wish = params.proportional_per_k * error_k
            + params.derivative_s_per_k * change_k
            + self.integral
            + known;
        let limit = params.effort_limit(sight.flow);
        let is_winding_up = (limit < wish && 0.0 < error_k) || (wish < 0.0 && error_k < 0.0);
        if !is_winding_up {
            self.integral += params.integral_per_k_s * error_k;
        }
        wish.clamp(0.0, limit)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::missing_assert_message, reason = "tests")]
    use super::*;
    use crate::{LotParams, MachineParams, RoomParams};

    /// One run of `tests/reference/08_control/runs.csv`: a first-order plant behind dead time, proportional and integral action.
    struct Run {
        file: &'static str,
        setpoint_c: f64,
        gain: f64,
        integral_s: f64,
        /// Control signal of full effort in the reference.
        full: f64,
    }

    const PLANT_GAIN: f64 = 2.0;
    const PLANT_LAG_S: f64 = 60.0;
    const DEAD_S: usize = 3;

    impl Run {
        fn params(&self) -> RoastParams {
            let plain = RoastParams::new(
                &MachineParams::default(),
                &LotParams::default(),
                &RoomParams::default(),
            );
            RoastParams {
                proportional_per_k: self.gain / self.full,
                integral_per_k_s: self.gain / self.integral_s / self.full,
                derivative_s_per_k: 0.0,
                effort_limit_at_full_flow: 1.0,
                ..plain.unwrap()
            }
        }

        /// Plant outputs and efforts of our controller.
        fn ours(&self, seconds: usize) -> (Vec<f64>, Vec<f64>) {
            let params = self.params();
            let left = (-1.0 / PLANT_LAG_S).exp();
            let (mut outputs, mut signals): (Vec<f64>, Vec<f64>) = (vec![0.0], Vec::new());
            let mut controller: Option<Controller> = None;
            for k in 0..seconds {
                let sight = Sight {
                    setpoint_c: self.setpoint_c,
                    reading_c: outputs[k],
                    flow: 1.0,
                };
                let controller = controller.get_or_insert_with(|| Controller::new(&sight, 0.0));
                signals.push(controller.effort(&params, &sight) * self.full);
                let delayed = if k < DEAD_S { 0.0 } else { signals[k - DEAD_S] };
                outputs.push(left * outputs[k] + PLANT_GAIN * (1.0 - left) * delayed);
            }
            (outputs, signals)
        }

        /// Plant outputs and control signals of the reference.
        fn theirs(&self) -> Vec<(f64, f64)> {
            let folder = concat!(
                env!("CARGO_MANIFEST_DIR"),
                "/../../tests/reference/08_control/"
            );
            let mut reader = csv::Reader::from_path(format!("{folder}{}.csv", self.file)).unwrap();
            let rows = reader.records().map(|row| {
                let row = row.unwrap();
                (row[3].parse().unwrap(), row[4].parse().unwrap())
            });
            rows.collect()
        }
    }

    const FREE: Run = Run {
        file: "run_d_pi_free",
        setpoint_c: 100.0,
        gain: 0.8,
        integral_s: 60.0,
        full: 1000.0,
    };
    const CLAMPED: Run = Run {
        file: "run_d_pi_clampI",
        setpoint_c: 120.0,
        gain: 3.0,
        integral_s: 40.0,
        full: 100.0,
    };
    const WOUND_UP: Run = Run {
        file: "run_d_pi_noaw",
        ..CLAMPED
    };

    #[test]
    fn trajectories_equal_the_reference() {
        for run in [FREE, CLAMPED] {
            let theirs = run.theirs();
            assert!(240 <= theirs.len());
            let (outputs, signals) = run.ours(theirs.len());
            for (k, (output, signal)) in theirs.iter().enumerate() {
                assert!(
                    (outputs[k] - output).abs() < 1e-9,
                    "{} output {k}",
                    run.file
                );
                assert!(
                    (signals[k] - signal).abs() < 1e-9,
                    "{} signal {k}",
                    run.file
                );
            }
        }
    }

    #[test]
    fn clamping_overshoots_less_than_winding_up() {
        let peak = |values: &mut dyn Iterator<Item = f64>| values.fold(0.0, f64::max);
        let ours = peak(&mut CLAMPED.ours(240).0.into_iter());
        let wound_up = peak(&mut WOUND_UP.theirs().into_iter().map(|row| row.0));
        assert!(ours - 120.0 < 0.5 * (wound_up - 120.0), "{ours} {wound_up}");
    }
}
