//! The history that is to be kept, and how far a roast of another curve is from it.

use super::{
    handles::Freedom,
    keep::Keep,
    run::{Run, value_at},
    stretch::{moved_airflow, moved_time_s},
};
use crate::airflow::AirflowSchedule;
use chaffinch_curve::SetpointCurve;
use chaffinch_twin::RoastParams;

/// Seconds over which the history gains its full weight: a probe that was charged cold tells little before (design notes, section 13).
const FULL_WEIGHT_S: f64 = 60.0;
/// Seconds between the moments that are compared. Ours: finer changes no result by 0.01 K.
const STRIDE_S: usize = 2;
/// Weight of a change of probe less curve beside the history itself. Ours: where the machine can follow, probe and curve differ by
/// almost the same as before and it does nothing.
pub(super) const MISS_WEIGHT: f64 = 0.2;
/// The same where the machine can't follow: then the curve must be one that it can, before it is near the history. Ours.
pub(super) const SHORT_MISS_WEIGHT: f64 = 3.0;
/// Residual, in K, of a whole unit of the logarithm of browning work. Ours: one kelvin of the beans is about 0.06 of it, so this is
/// 20 K a kelvin and leaves less than 0.1 %.
const WORK_WEIGHT_K: f64 = 300.0;

/// A roast whose history is to be kept.
#[derive(Clone, Debug)]
pub(super) struct Wanted {
    /// What is kept of it.
    pub(super) keep: Keep,
    /// The roast.
    pub(super) run: Run,
    /// Times of the curve's points, in s.
    pub(super) point_times_s: Vec<f64>,
    /// Second of the drop.
    pub(super) last_s: usize,
    /// Second at which probe and curve met.
    pub(super) met_s: usize,
    /// Mean of the beans at colour change, in °C; nothing if the roast never gets there.
    pub(super) colour_mean_c: Option<f64>,
    /// Time of the curve's colour change, in s.
    pub(super) colour_s: Option<f64>,
    /// Weight of a change of probe less curve: [`MISS_WEIGHT`] or [`SHORT_MISS_WEIGHT`].
    pub(super) miss_weight: f64,
}

impl Wanted {
    /// What a search may change to keep it; nothing where the curve stays as it is.
    pub(super) fn freedom(&self) -> Option<Freedom> {
        match self.keep {
            Keep::CoreHistory => Some(Freedom::Temps),
            Keep::SurfaceToCore => Some(Freedom::Gaps),
            Keep::PhaseClock => None,
            Keep::BrowningWork => self.colour_s.map(Freedom::LateTemps),
        }
    }

    /// Roasts `curve`, whose points are those of the wanted one moved, to the second at which it should drop. The airflow's times
    /// move with those of the points.
    pub(super) fn run(
        &self,
        params: &RoastParams,
        curve: &SetpointCurve,
        airflow: &AirflowSchedule,
    ) -> Option<Run> {
        let times_s: Vec<f64> = curve.points().iter().map(|point| point.time_s).collect();
        let last_s = if times_s == self.point_times_s {
            self.last_s
        } else {
            let moved_s = moved_time_s(self.last_s as f64, &self.point_times_s, &times_s);
            (moved_s.ceil() as usize).max(self.met_s + 1)
        };
        let moved = moved_airflow(airflow, &self.point_times_s, &times_s);
        Run::of(params, curve, &moved, last_s)
    }

    /// How far `run` of `curve` is from the history, in K each.
    pub(super) fn residuals_k(&self, run: &Run, curve: &SetpointCurve, into: &mut Vec<f64>) {
        match self.keep {
            Keep::CoreHistory => {
                let seconds = (0..=self.last_s).step_by(STRIDE_S);
                into.extend(seconds.map(|second| {
                    let weight = (second as f64 / FULL_WEIGHT_S).min(1.0);
                    weight * (run.trace.core_c[second] - self.run.trace.core_c[second])
                }));
            }
            Keep::SurfaceToCore => self.spreads_k(run, curve, into),
            Keep::PhaseClock => {}
            Keep::BrowningWork => {
                if let Some(from_c) = self.colour_mean_c {
                    let least_s = f64::MIN_POSITIVE;
                    let log = |run: &Run| run.browning_work_s(from_c).max(least_s).ln();
                    into.push(WORK_WEIGHT_K * (log(run) - log(&self.run)));
                }
            }
        }
        if self.keep != Keep::SurfaceToCore {
            let seconds = (self.met_s..=self.last_s).step_by(STRIDE_S);
            into.extend(
                seconds.map(|second| {
                    self.miss_weight * (run.miss_k(second) - self.run.miss_k(second))
                }),
            );
        }
    }

    /// Surface less centre, and probe less curve, at the same places of both curves.
    fn spreads_k(&self, run: &Run, curve: &SetpointCurve, into: &mut Vec<f64>) {
        let times_s: Vec<f64> = curve.points().iter().map(|point| point.time_s).collect();
        let spread_k: Vec<f64> = (0..run.trace.len()).map(|s| run.spread_k(s)).collect();
        let miss_k: Vec<f64> = (0..run.trace.len()).map(|s| run.miss_k(s)).collect();
        for second in (self.spread_from_s()..=self.last_s).step_by(STRIDE_S) {
            let there_s = if times_s == self.point_times_s {
                second as f64
            } else {
                moved_time_s(second as f64, &self.point_times_s, &times_s)
            };
            into.push(value_at(&spread_k, there_s) - self.run.spread_k(second));
            into.push(self.miss_weight * (value_at(&miss_k, there_s) - self.run.miss_k(second)));
        }
    }

    /// From which second on the spread is compared: before, a cold probe and cold beans make it, not the curve.
    fn spread_from_s(&self) -> usize {
        self.met_s.max(FULL_WEIGHT_S as usize).min(self.last_s)
    }
}
