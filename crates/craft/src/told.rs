//! What the controller is told once a second: the curve, behind its end on at its last rise, and the fan's setting.

use crate::limits;
use chaffinch_curve::SetpointCurve;

/// Slowest rise, in °C/s, at which a curve is carried on behind its end. Assumed: what still gets a probe to its finish.
pub(crate) const LEAST_HOLD_ON_RISE_C_PER_S: f64 = limits::LEAST_PROLONGING_RISE_C_PER_S;
/// Least fan setting that the model takes, 0 to 1; below it no bed is lifted anyway.
const LEAST_AIR_SHARE: f64 = 0.05;

/// Temperatures in °C at 0, 1, 2, … `last_s`.
pub(crate) fn temps_c(curve: &SetpointCurve, last_s: usize) -> Vec<f64> {
    let end_s = curve.end_s();
    let on_c_per_s = curve.rise_c_per_s(end_s).max(LEAST_HOLD_ON_RISE_C_PER_S);
    let at = |second: usize| {
        let over_s = second as f64 - end_s;
        if over_s <= 0.0 {
            curve.temp_c(second as f64)
        } else {
            curve.last().temp_c + on_c_per_s * over_s
        }
    };
    (0..=last_s).map(at).collect()
}

/// Fan settings, 0 to 1, at 0, 1, 2, … `last_s`, of the schedule `air_percent`, whose argument is a time in s.
pub(crate) fn air_shares(air_percent: impl Fn(f64) -> f64, last_s: usize) -> Vec<f64> {
    let at = |second: usize| (air_percent(second as f64) / 100.0).clamp(LEAST_AIR_SHARE, 1.0);
    (0..=last_s).map(at).collect()
}
