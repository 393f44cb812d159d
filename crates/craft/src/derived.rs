//! Everything that follows from a plan alone: samples, phases, finishes, findings.
//!
//! Pure and total: the same plan gives the same figures, bit for bit, and no plan makes it fail.

use crate::{
    findings,
    findings::Finding,
    finishes::{Finish, FinishId},
    plan::Plan,
};
use chaffinch_curve::{Development, Passage, Phases, PointId, Reach, Samples};

/// Distance of the samples in time, in s; the same as in the exported file.
pub const SAMPLE_STEP_S: f64 = 1.0;

/// What one finish of the ladder would give.
#[derive(Clone, Debug, PartialEq)]
pub struct FinishOutcome {
    /// Which finish.
    pub id: FinishId,
    /// Where the curve reaches it.
    pub drop: Reach<Passage>,
    /// Development time in s.
    pub development_s: Reach<f64>,
    /// Development time as a share of the whole roast, 0–1.
    pub development_ratio: Reach<f64>,
}

/// What is known of one control point beyond what is stored.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PointFacts {
    /// Which point.
    pub id: PointId,
    /// Rate of rise at the point, in °C/s; behind the point where it has a corner.
    pub rise_c_per_s: f64,
}

/// All figures that follow from a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Derived {
    /// The curve each second from 0 to its end, and at the end.
    pub samples: Samples,
    /// Marks, phases and drop for the chosen finish.
    pub phases: Phases,
    /// What each finish would give, in the order of the ladder.
    pub finishes: Vec<FinishOutcome>,
    /// One entry a control point, in order of time.
    pub points: Vec<PointFacts>,
    /// Worst first.
    pub findings: Vec<Finding>,
}

impl Derived {
    /// Computes all figures of `plan`. About 10 µs for 12 points and 900 samples.
    pub fn of(plan: &Plan) -> Self {
        let curve = &plan.curve;
        let phases = Phases::of(curve, &plan.marks, plan.finish().temp_c);
        let points = curve.points().iter().map(|point| PointFacts {
            id: point.id,
            rise_c_per_s: curve.rise_c_per_s(point.time_s),
        });
        Self {
            samples: curve.sample(SAMPLE_STEP_S, curve.end_s()),
            finishes: finish_outcomes(plan),
            points: points.collect(),
            findings: findings::find(plan, &phases),
            phases,
        }
    }

    /// The drop time in s, or the end of the curve if the chosen finish is never reached.
    pub fn end_of_roast_s(&self, plan: &Plan) -> f64 {
        self.phases.end_s(&plan.curve)
    }
}

fn finish_outcomes(plan: &Plan) -> Vec<FinishOutcome> {
    let outcome = |finish: &Finish| {
        let development = Development::of(&plan.curve, &plan.marks, finish.temp_c);
        FinishOutcome {
            id: finish.id,
            drop: development.drop,
            development_s: development.time_s,
            development_ratio: development.ratio,
        }
    };
    plan.finishes.finishes().iter().map(outcome).collect()
}
