//! After the drop: the same equations with the heater off and the fan full on, until the beans are cool.
//!
//! Steps are longer than in the roast, and the times are read between them on straight lines.
//! Stands for a machine that cools in its chamber. The bed is taken as fluidised, which it is: roasted beans are lighter.

use crate::charge::{Charge, Demand, Stepper};
use crate::params::RoastParams;

/// Beans count as cool at or below this, in °C; common practice, no published source.
pub const COOL_C: f64 = 40.0;
/// After this long, in s, cooling is given up.
const PATIENCE_S: f64 = 1200.0;
/// Time after the drop, in s, in which steps are 1 s: the air turns cold and the surface with it.
const TURN_S: f64 = 8.0;
/// Length of the steps after that, in s: the beans cool by a few in a hundred a step, and the times stay within 0.3 s (tested).
const LONG_STEP_S: f64 = 4.0;

/// How long forced air needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cooling {
    /// Until the probe reads [`COOL_C`], in s after the drop.
    pub probe_s: usize,
    /// Until the mean of the beans is there, in s after the drop.
    pub mean_s: usize,
    /// Until the centre of the beans is there, in s after the drop.
    pub core_s: usize,
}

/// Cools the beans as they are at the drop. Nothing where the room is too warm to get there within 20 min.
pub(crate) fn cool<const N: usize>(params: &RoastParams, dropped: &Charge<N>) -> Option<Cooling> {
    let times_s = times_s(params, dropped, LONG_STEP_S)?;
    let [probe_s, mean_s, core_s] = times_s.map(|time_s| time_s.ceil() as usize);
    Some(Cooling {
        probe_s,
        mean_s,
        core_s,
    })
}

/// When reading, mean and centre come down to [`COOL_C`], in s after the drop.
fn times_s<const N: usize>(
    params: &RoastParams,
    dropped: &Charge<N>,
    long_step_s: f64,
) -> Option<[f64; 3]> {
    // Room air cools nothing below itself.
    if COOL_C <= params.ambient_c + params.probe_offset_k.max(0.0) {
        return None;
    }
    let short = Stepper::<N>::new(params, 1.0);
    let long = Stepper::<N>::new(params, long_step_s);
    let temps_c = |charge: &Charge<N>| {
        [
            charge.reading_c(params),
            short.shells.mean(&charge.shell_c),
            short.shells.centre_c(&charge.shell_c),
        ]
    };
    let off = Demand {
        effort: 0.0,
        flow: 1.0,
    };
    let mut charge = dropped.clone();
    let mut before_c = temps_c(&charge);
    let mut found = before_c.map(|c| (c <= COOL_C).then_some(0.0));
    let mut time_s = 0.0;
    while time_s < PATIENCE_S {
        if let [Some(probe_s), Some(mean_s), Some(core_s)] = found {
            return Some([probe_s, mean_s, core_s]);
        }
        let (stepper, step_s) = if time_s < TURN_S {
            (&short, 1.0)
        } else {
            (&long, long_step_s)
        };
        stepper.step(&mut charge, off);
        let now_c = temps_c(&charge);
        for ((found, from_c), to_c) in found.iter_mut().zip(before_c).zip(now_c) {
            if found.is_none() && to_c <= COOL_C {
                *found = Some(time_s + step_s * (from_c - COOL_C) / (from_c - to_c));
            }
        }
        before_c = now_c;
        time_s += step_s;
    }
    None
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::missing_assert_message,
        reason = "the values say it"
    )]
    use super::*;
    use crate::roast::{SHELLS, run};
    use crate::{LotParams, MachineParams, RoomParams, Setpoint};

    #[test]
    fn long_steps_give_the_times_of_short_ones() {
        let setpoint = Setpoint::new(
            (0..=400).map(|s| 20.0 + 0.49 * f64::from(s)).collect(),
            vec![1.0; 401],
        );
        let setpoint = setpoint.unwrap();
        let mut machine = MachineParams::default();
        for (heater_lag_s, probe_lag_s, dose_kg, fan_flow_m3_per_s, offset_k) in [
            (4.0, 4.0, 0.2, 5.3e-3, 0.0),
            (0.5, 0.5, 0.1, 8e-3, 2.0),
            (30.0, 20.0, 0.25, 4.5e-3, -3.0),
            (4.0, 60.0, 0.05, 12e-3, 0.0),
        ] {
            machine.heater_lag_s = heater_lag_s;
            machine.probe.lag_s = probe_lag_s;
            machine.probe.offset_k = offset_k;
            machine.fan_flow_m3_per_s = fan_flow_m3_per_s;
            let lot = LotParams {
                dose_kg,
                ..LotParams::default()
            };
            let params = RoastParams::new(&machine, &lot, &RoomParams::default()).unwrap();
            let (_, dropped) = run::<SHELLS>(&params, &setpoint, 1, |_, _, _| ());
            let long = times_s(&params, &dropped, LONG_STEP_S).unwrap();
            let short = times_s(&params, &dropped, 0.125).unwrap();
            for (a, b) in long.iter().zip(short) {
                assert!((a - b).abs() < 0.3, "{long:?} {short:?}");
            }
        }
    }

    #[test]
    fn beans_that_are_cool_already_take_no_time() {
        let params = RoastParams::new(
            &MachineParams::default(),
            &LotParams::default(),
            &RoomParams::default(),
        )
        .unwrap();
        let setpoint = Setpoint::new(vec![20.0; 3], vec![1.0; 3]).unwrap();
        let (_, dropped) = run::<SHELLS>(&params, &setpoint, 1, |_, _, _| ());
        let found = cool(&params, &dropped).unwrap();
        assert_eq!((found.probe_s, found.mean_s, found.core_s), (0, 0, 0));
    }
}
