//! An empty run: how soon a full heater should bring the bare probe to 90 °C in this machine, on this mains, in this room.
//!
//! A user's quick check of the heater. Once-through air, an element lag, the wall beside the air up to the probe, and the
//! probe's lag in bare air; the airflow is taken as with beans, though an empty chamber lets a little more through.

use crate::lag::Lag;
use crate::machine::MachineParams;
use crate::params::RoastParams;

/// The probe is timed to this, in °C; common practice, no published source.
pub const EMPTY_TARGET_C: f64 = 90.0;
/// After this long, in s, the run has failed.
const PATIENCE_S: f64 = 300.0;
/// Step, in s: far below both lags' effect on a time told in whole seconds.
const STEP_S: f64 = 0.0625;

/// Time, in s from a cold start with heater and fan full on, until the probe of the empty machine reads [`EMPTY_TARGET_C`].
/// Nothing where it is not there after 5 min: the heater is too weak for the air.
pub fn empty_run_s(machine: &MachineParams, params: &RoastParams) -> Option<f64> {
    let heater = Lag::new(params.heater_lag_s, STEP_S);
    let probe = Lag::new(machine.probe.bare_lag_s, STEP_S);
    let asked_w = params.effort_limit(1.0) * params.heater_ceiling_w;
    let passed = params.probe_depth * params.wall_gain_w_per_k / params.air_w_per_k;
    let (mut heater_w, mut wall_c, mut tip_c) = (0.0, params.ambient_c, params.ambient_c);
    let mut time_s = 0.0;
    while time_s < PATIENCE_S {
        let reading_c = tip_c + params.probe_offset_k;
        if EMPTY_TARGET_C <= reading_c {
            return Some(time_s);
        }
        let inlet_c = params.inlet_c(heater.mean(heater_w, asked_w), 1.0);
        let air_c = inlet_c - passed * (inlet_c - wall_c);
        let wall_w = params.wall_gain_w_per_k * (air_c - wall_c)
            - params.wall_loss_w_per_k * (wall_c - params.ambient_c);
        heater_w = heater.after(heater_w, asked_w);
        wall_c += STEP_S * wall_w / params.wall_heat_j_per_k;
        tip_c = probe.after(tip_c, air_c);
        time_s += STEP_S;
    }
    None
}
