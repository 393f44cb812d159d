//! After the drop: the same equations with the heater off and the fan full on, until the beans are cool.
//!
//! Stands for a machine that cools in its chamber. The bed is taken as fluidised, which it is: roasted beans are lighter.

use crate::charge::{Charge, Demand, Stepper};
use crate::params::RoastParams;

/// Beans count as cool at or below this, in °C; common practice, no published source.
pub const COOL_C: f64 = 40.0;
/// After this long, in s, cooling is given up.
const PATIENCE_S: usize = 1200;

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
    let stepper = Stepper::<N>::new(params, 1.0);
    let mut charge = dropped.clone();
    let off = Demand {
        effort: 0.0,
        flow: 1.0,
    };
    let (mut probe_s, mut mean_s) = (None, None);
    for second in 0..PATIENCE_S {
        if probe_s.is_none() && charge.reading_c(params) <= COOL_C {
            probe_s = Some(second);
        }
        if mean_s.is_none() && stepper.shells.mean(&charge.shell_c) <= COOL_C {
            mean_s = Some(second);
        }
        if let (Some(probe_s), Some(mean_s)) = (probe_s, mean_s)
            && stepper.shells.centre_c(&charge.shell_c) <= COOL_C
        {
            return Some(Cooling {
                probe_s,
                mean_s,
                core_s: second,
            });
        }
        stepper.step(&mut charge, off);
    }
    None
}
