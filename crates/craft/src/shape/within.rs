//! Reach as rows: the fastest and slowest rise that the machine can keep up along the curve found last.
//!
//! Reach depends on the curve itself, through the temperatures of air, beans and machine along it. So it is taken along the last curve,
//! the next curve is drawn within it, and so on. From the second round on the mean of the last two reaches counts, because a curve
//! that becomes flatter early is allowed to be steeper late, and the whole would otherwise swing to and fro.

use crate::{outlook::Outlook, plan::Plan};
use chaffinch_twin::{Bound, Cause};

/// Seconds between the rows. Ours: reach changes slowly.
const STRIDE_S: usize = 5;

/// Slowest and fastest rise, in °C/s, at 0, 1, 2, … s.
#[derive(Clone, Debug)]
pub(super) struct Corridors {
    slowest: Vec<f64>,
    fastest: Vec<f64>,
}

impl Corridors {
    /// Along `plan`; nothing where the model can't say.
    pub(super) fn of(plan: &Plan, outlook: &Outlook) -> Option<Self> {
        let reach = outlook.reach.as_ref()?;
        let rises = |bounds: &[Bound], free: f64| {
            let rise = |bound: &Bound| {
                if counts(plan, bound.cause) {
                    bound.rise_c_per_s
                } else {
                    free
                }
            };
            bounds.iter().map(rise).collect()
        };
        Some(Self {
            slowest: rises(&reach.slowest, f64::NEG_INFINITY),
            fastest: rises(&reach.fastest, f64::INFINITY),
        })
    }

    /// Halfway to those of the round before.
    pub(super) fn damped(mut self, before: &Self) -> Self {
        for (mine, theirs) in [
            (&mut self.slowest, &before.slowest),
            (&mut self.fastest, &before.fastest),
        ] {
            for (mine, theirs) in mine.iter_mut().zip(theirs) {
                if mine.is_finite() && theirs.is_finite() {
                    *mine = f64::midpoint(*mine, *theirs);
                }
            }
        }
        self
    }

    /// Time in s, slowest and fastest rise in °C/s, up to the drop.
    pub(super) fn rows(&self, drop_s: f64) -> impl Iterator<Item = (f64, f64, f64)> {
        let last = self.fastest.len().min(drop_s as usize + 1);
        (0..last)
            .step_by(STRIDE_S)
            .map(|second| (second as f64, self.slowest[second], self.fastest[second]))
    }
}

/// Whether a bound says something of the curve: what the controller fails at lies not in its rise, and a finish above the ceiling is
/// the roaster's own will.
fn counts(plan: &Plan, cause: Cause) -> bool {
    match cause {
        Cause::ControllerLag => false,
        Cause::TemperatureCeiling => plan.finish().temp_c <= plan.machine.ceiling_c,
        _ => true,
    }
}
