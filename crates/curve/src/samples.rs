//! A curve read off at equal steps, walking its pieces in order instead of searching for each sample.

use crate::interpolant::Interpolant;
use crate::limits::{MAX_TIME_S, MIN_SAMPLE_STEP_S};

/// A curve at equal steps; the three columns have one length, at least 1.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Samples {
    /// Times, in s, strictly increasing from 0.
    pub time_s: Vec<f64>,
    /// Temperatures, in °C.
    pub temp_c: Vec<f64>,
    /// Exact rates of rise, in °C/s.
    pub rise_c_per_s: Vec<f64>,
}

impl Samples {
    pub(crate) fn of(curve: &Interpolant, step_s: f64, until_s: f64) -> Self {
        let step_s = within(step_s, MIN_SAMPLE_STEP_S);
        let until_s = within(until_s, 0.0);
        let time_s = times(step_s, until_s);
        let mut temp_c = Vec::with_capacity(time_s.len());
        let mut rise_c_per_s = Vec::with_capacity(time_s.len());
        let mut from = 0;
        for piece in curve.pieces() {
            let to = first_at(&time_s, step_s, piece.x + piece.width);
            let here = &time_s[from..to];
            // One pass a column: the compiler turns each into vector instructions.
            temp_c.extend(here.iter().map(|t| piece.value(t - piece.x)));
            rise_c_per_s.extend(here.iter().map(|t| piece.slope_at(t - piece.x)));
            from = to;
        }
        temp_c.extend(time_s[from..].iter().map(|&t| curve.value(t)));
        rise_c_per_s.extend(time_s[from..].iter().map(|&t| curve.slope(t)));
        Self {
            time_s,
            temp_c,
            rise_c_per_s,
        }
    }
}

/// `time_s` brought between `least_s` and the longest curve; NaN becomes `least_s`.
fn within(time_s: f64, least_s: f64) -> f64 {
    if time_s.is_nan() {
        least_s
    } else {
        time_s.clamp(least_s, MAX_TIME_S)
    }
}

/// Multiples of `step_s` below `until_s`, and `until_s`.
fn times(step_s: f64, until_s: f64) -> Vec<f64> {
    // Signed and half open, because that makes the fastest loop.
    let count = (until_s / step_s) as i32 + 1;
    let mut time_s = Vec::with_capacity(count as usize + 1);
    time_s.extend((0..count).map(|i| f64::from(i) * step_s));
    match time_s.last_mut() {
        // The division may round up past the end.
        Some(last) if *last >= until_s => *last = until_s,
        _ => time_s.push(until_s),
    }
    time_s
}

/// Index of the first of `time_s` that is not before `end_s`: guessed from the step, then corrected for rounding.
fn first_at(time_s: &[f64], step_s: f64, end_s: f64) -> usize {
    let mut i = ((end_s / step_s) as usize).min(time_s.len());
    while i > 0 && time_s[i - 1] >= end_s {
        i -= 1;
    }
    while i < time_s.len() && time_s[i] < end_s {
        i += 1;
    }
    i
}
