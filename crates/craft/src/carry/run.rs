//! One roast of a curve to a fixed second, and what is read off it.

use super::keep::BROWNING_ACTIVATION_J_PER_MOL;
use crate::{airflow::AirflowSchedule, told};
use chaffinch_curve::SetpointCurve;
use chaffinch_twin::{RoastParams, Setpoint, Trace, roast};

/// Molar gas constant, in J/(mol K); SI 2019, from memory.
const GAS_J_PER_MOL_K: f64 = 8.314_462_618;
/// 0 °C in K; exact.
const ZERO_C_K: f64 = 273.15;
/// Temperature, in K, at which a second counts as one second of browning work: 200 °C. Ours; it only sets the unit.
const WORK_REFERENCE_K: f64 = 473.15;

/// One roast, at 0, 1, 2, … s.
#[derive(Clone, Debug)]
pub(super) struct Run {
    /// Everything that happens.
    pub(super) trace: Trace,
    /// What the controller was told, in °C.
    pub(super) setpoint_c: Vec<f64>,
}

impl Run {
    /// Roasts `curve` for `last_s` whole seconds with the fan as `airflow` has it on the mean of each second, so that a search that moves
    /// its steps finds no jumps; nothing where the model can't take the curve. Behind its end the curve goes on at its last rise.
    pub(super) fn of(
        params: &RoastParams,
        curve: &SetpointCurve,
        airflow: &AirflowSchedule,
        last_s: usize,
    ) -> Option<Self> {
        let temp_c = told::temps_c(curve, last_s);
        let air_share = told::air_shares(|second_s| airflow.second_percent(second_s), last_s);
        let setpoint_c = temp_c.clone();
        let setpoint = Setpoint::new(temp_c, air_share).ok()?;
        let trace = roast(params, &setpoint);
        Some(Self { trace, setpoint_c })
    }

    /// Surface less centre, in K, at one second.
    pub(super) fn spread_k(&self, second: usize) -> f64 {
        self.trace.surface_c[second] - self.trace.core_c[second]
    }

    /// Probe less curve, in K, at one second.
    pub(super) fn miss_k(&self, second: usize) -> f64 {
        self.trace.probe_c[second] - self.setpoint_c[second]
    }

    /// Seconds of browning work from where the mean of the beans passes `from_c` (°C) to the end: each second counts
    /// exp(E/R · (1/473.15 K − 1/T)), Arrhenius's law, with E = [`BROWNING_ACTIVATION_J_PER_MOL`].
    pub(super) fn browning_work_s(&self, from_c: f64) -> f64 {
        let weight = |temp_c: f64| {
            let exponent = BROWNING_ACTIVATION_J_PER_MOL / GAS_J_PER_MOL_K
                * (1.0 / WORK_REFERENCE_K - 1.0 / (temp_c + ZERO_C_K));
            exponent.exp()
        };
        let second_s = |pair: &[f64]| {
            // The part of the second that lies above, so that the sum has no jump where a sample passes.
            let share = if pair[0] < pair[1] {
                ((pair[1] - from_c) / (pair[1] - pair[0])).clamp(0.0, 1.0)
            } else {
                f64::from(from_c <= pair[0])
            };
            share * (weight(pair[0]) + weight(pair[1])) / 2.0
        };
        self.trace.mean_c.windows(2).map(second_s).sum()
    }
}

/// The value at `time_s` between samples of one a second; the nearer end outside.
pub(super) fn value_at(values: &[f64], time_s: f64) -> f64 {
    let last = values.len() - 1;
    let before = (time_s.max(0.0) as usize).min(last);
    let after = (before + 1).min(last);
    let share = (time_s - before as f64).clamp(0.0, 1.0);
    values[before] + share * (values[after] - values[before])
}

/// First time, in s, at which `values`, one a second, pass `level` upwards.
pub(super) fn passes_s(values: &[f64], level: f64) -> Option<f64> {
    let is_passing = |pair: &[f64]| pair[0] < level && level <= pair[1];
    let second = values.windows(2).position(is_passing)?;
    let (from, to) = (values[second], values[second + 1]);
    Some(second as f64 + (level - from) / (to - from))
}
