//! Our side of `tests/peers/roasts/compare.py`: the roasts that all solve, with readings as they should be, and our time on them.

use std::fmt::Write as _;

use chaffinch_twin::batch::{Batch, Precision};
use chaffinch_twin::{RoastParams, reference_roast};

use crate::{CHECKED, ROASTS, cases, error_k, seconds};

/// Runs of which one call gives the median.
const RUNS: usize = 5;

/// The roasts, all with a fan whose flow goes with its setting, so that the peers need no power of it.
fn roasts() -> Vec<RoastParams> {
    let mut roasts = cases::roasts(ROASTS);
    for roast in &mut roasts {
        roast.fan_exponent = 1.0;
    }
    roasts
}

/// Prints counts (roasts, roasts with known readings, seconds), setpoint, airflow, the numbers of every roast and the known readings.
pub(crate) fn print_roasts() {
    let (roasts, setpoint) = (roasts(), cases::setpoint());
    let mut text = format!("{ROASTS} {CHECKED} {}\n", setpoint.temp_c().len());
    line(&mut text, setpoint.temp_c());
    line(&mut text, setpoint.air_share());
    for p in &roasts {
        let numbers = [
            p.ambient_c,
            p.air_w_per_k,
            p.heater_ceiling_w,
            p.heater_efficiency / p.air_w_per_k,
            p.heater_lag_s,
            p.effort_limit_at_full_flow,
            p.film_still_m,
            p.film_flow,
            p.conduction_w_per_k,
            p.dry_mass_kg,
            p.moisture_db,
            p.drying_per_s,
            p.exotherm,
            p.dry_loss,
            p.probe_lag_s,
            p.probe_surface_share,
            p.probe_depth,
            p.probe_offset_k,
            p.proportional_per_k,
            p.integral_per_k_s,
            p.derivative_s_per_k,
            p.filter_share,
            p.feed_forward_per_k,
        ];
        line(&mut text, &numbers);
    }
    for roast in &roasts[..CHECKED] {
        line(&mut text, &reference_roast::<32>(roast, &setpoint).probe_c);
    }
    print!("{text}");
}

fn line(text: &mut String, numbers: &[f64]) {
    for number in numbers {
        write!(text, "{number} ").unwrap();
    }
    text.push('\n');
}

/// Prints name, kind of problem, µs a roast on one core and greatest error of the reading in K, a line for each precision.
pub(crate) fn time() {
    let (roasts, setpoint) = (roasts(), cases::setpoint());
    let one = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .unwrap();
    for precision in [Precision::Double, Precision::Single] {
        let (name, batch) = Batch::every(precision).pop().unwrap();
        let error_k = error_k(batch, &roasts[..CHECKED], &setpoint);
        let mut all_s: Vec<f64> = (0..RUNS)
            .map(|_| one.install(|| seconds(batch, &roasts, &setpoint)))
            .collect();
        all_s.sort_by(f64::total_cmp);
        let us = all_s[RUNS / 2] / ROASTS as f64 * 1e6;
        println!("chaffinch {precision:?}, {name} | real | {us:.3} | {error_k:.5}");
    }
}
