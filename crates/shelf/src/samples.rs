//! The sampled curve as other programs get it: equal steps, rounded, units of display.

use chaffinch_craft::{
    Plan, SAMPLE_STEP_S,
    units::{CelsiusPerSecond, TempUnit},
};
use serde::Serialize;

/// Computed numbers are written to this many parts of a unit: finer than any probe, coarse enough to be the same on
/// every platform.
const PARTS_PER_UNIT: f64 = 1e6;

/// Four lists of one length.
#[derive(Serialize)]
pub(crate) struct SampleColumns {
    /// In s.
    pub(crate) time: Vec<f64>,
    /// In °C.
    pub(crate) temperature: Vec<f64>,
    /// In °C/min.
    pub(crate) rate_of_rise: Vec<f64>,
    /// In %.
    pub(crate) airflow: Vec<f64>,
}

impl SampleColumns {
    pub(crate) fn of(plan: &Plan) -> Self {
        let samples = plan.curve.sample(SAMPLE_STEP_S, plan.curve.end_s());
        let airflow = samples
            .time_s
            .iter()
            .map(|&time_s| rounded(plan.airflow.percent(time_s)));
        Self {
            airflow: airflow.collect(),
            temperature: samples.temp_c.iter().copied().map(rounded).collect(),
            rate_of_rise: samples
                .rise_c_per_s
                .iter()
                .copied()
                .map(rise_per_min)
                .collect(),
            // The times are exact: whole seconds, and the time of the last point.
            time: samples.time_s,
        }
    }
}

/// A rate of rise as files carry it, in °C/min.
pub(crate) fn rise_per_min(rise_c_per_s: f64) -> f64 {
    rounded(CelsiusPerSecond(rise_c_per_s).shown_per_min(TempUnit::Celsius))
}

/// A computed number as files carry it; never −0.
pub(crate) fn rounded(value: f64) -> f64 {
    (value * PARTS_PER_UNIT).round() / PARTS_PER_UNIT + 0.0
}
