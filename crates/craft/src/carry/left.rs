//! What a carry-over leaves of the kept history: by how much it is missed, and where the machine is to blame.

use super::{
    keep::Keep,
    physics::{Physics, limited_seconds},
    run::{Run, value_at},
    stretch::moved_time_s,
};
use crate::limits;
use chaffinch_twin::{Cause, Extreme, RoastParams};

/// Seconds after charge that are left out: a probe that was charged cold tells little before.
const FROM_S: usize = 60;
/// Miss of the history, in K, from which on a machine at its limit is called short. Ours: a fifth of what the core is trusted to.
const SHORT_K: f64 = 1.4;

/// How far the roast carried to (at 100 %, physics alone) is from the history.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Left {
    /// From when on it is looked at, in s after charge: 60 s, or later where the probe met the curve later.
    pub from_s: usize,
    /// Root mean square, in K: of the core at the same times, or of surface less centre where that is kept. Not near 0 where neither
    /// is kept.
    pub rms_k: f64,
    /// Where it is greatest, in K, with its sign; the time is that of the roast carried from.
    pub greatest_k: Extreme,
    /// Core carried to less core carried from at the drop, in K.
    pub drop_core_k: f64,
    /// Browning work carried to over that carried from, less 1.
    pub work_change: f64,
}

/// The machine can't follow: the curve is the nearest within its reach, and this is missing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shortfall {
    /// What stops it.
    pub cause: Cause,
    /// For how many seconds more than before.
    pub longer_s: usize,
    /// Core less the core that was wanted where they differ most, in K.
    pub greatest_core_k: Extreme,
    /// The same at the drop.
    pub drop_core_k: f64,
}

impl Left {
    pub(super) fn of(physics: &Physics) -> Self {
        let Physics { wanted, run, .. } = physics;
        let times_s: Vec<f64> = physics
            .drawn
            .curve
            .points()
            .iter()
            .map(|point| point.time_s)
            .collect();
        let there_s = |second: usize| {
            if times_s == wanted.point_times_s {
                second as f64
            } else {
                moved_time_s(second as f64, &wanted.point_times_s, &times_s)
            }
        };
        let spread = |run: &Run| -> Vec<f64> {
            (0..run.trace.len())
                .map(|second| run.spread_k(second))
                .collect()
        };
        let (old, new) = if wanted.keep == Keep::SurfaceToCore {
            (spread(&wanted.run), spread(run))
        } else {
            (wanted.run.trace.core_c.clone(), run.trace.core_c.clone())
        };
        let from_s = FROM_S.max(wanted.met_s).min(wanted.last_s);
        let misses_k: Vec<(usize, f64)> = (from_s..=wanted.last_s)
            .map(|second| (second, value_at(&new, there_s(second)) - old[second]))
            .collect();
        let squares: f64 = misses_k.iter().map(|(_, k)| k * k).sum();
        let drop_core_k = value_at(&run.trace.core_c, there_s(wanted.last_s))
            - wanted.run.trace.core_c[wanted.last_s];
        let work_change = wanted.colour_mean_c.map_or(0.0, |from_c| {
            run.browning_work_s(from_c) / wanted.run.browning_work_s(from_c) - 1.0
        });
        Self {
            from_s,
            rms_k: (squares / misses_k.len() as f64).sqrt(),
            greatest_k: greatest(&misses_k),
            drop_core_k,
            work_change,
        }
    }
}

impl Shortfall {
    /// Nothing where the machine is no longer at its limit than before, or hardly misses the history; and nothing where the curve is
    /// kept, which the findings of the forecast judge.
    pub(super) fn of(physics: &Physics, left: &Left, from_params: &RoastParams) -> Option<Self> {
        let Physics {
            wanted,
            run,
            params,
            ..
        } = physics;
        if wanted.keep == Keep::PhaseClock
            || left.greatest_k.value.abs().max(left.drop_core_k.abs()) < SHORT_K
        {
            return None;
        }
        // From charge on: a heater that is too weak is so first of all while the beans are cold.
        let before_s = limited_seconds(&wanted.run, from_params, 0);
        let after_s = limited_seconds(run, params, 0);
        let longer_s = after_s.len().saturating_sub(before_s.len());
        let least_s = limits::LEAST_LIMITED_S as usize;
        let is_inlet = after_s
            .last()
            .is_some_and(|&second| params.effort_limit(run.trace.flow_share[second]) < 1.0);
        (least_s <= longer_s).then_some(Self {
            cause: if is_inlet {
                Cause::InletCeiling
            } else {
                Cause::HeaterCeiling
            },
            longer_s,
            greatest_core_k: left.greatest_k,
            drop_core_k: left.drop_core_k,
        })
    }
}

fn greatest(misses_k: &[(usize, f64)]) -> Extreme {
    let start = Extreme {
        value: 0.0,
        time_s: 0,
    };
    misses_k.iter().fold(start, |best, &(time_s, value)| {
        if best.value.abs() < value.abs() {
            Extreme { value, time_s }
        } else {
            best
        }
    })
}
