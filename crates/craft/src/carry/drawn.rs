//! What a layer changes of a plan: curve, airflow, marks and finishes.

use crate::{
    airflow::{AirPoint, AirflowSchedule},
    finishes::{Finish, FinishLadder},
    plan::PlanParts,
    units::round_to_billionth,
};
use chaffinch_curve::{ControlPoint, CurveError, Marks, SetpointCurve};

/// The drawn part of a plan.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Drawn {
    pub(super) curve: SetpointCurve,
    pub(super) airflow: AirflowSchedule,
    pub(super) marks: Marks,
    pub(super) finishes: FinishLadder,
}

impl Drawn {
    /// The drawn part of `plan`.
    pub(super) fn of(plan: &PlanParts) -> Self {
        Self {
            curve: plan.curve.clone(),
            airflow: plan.airflow.clone(),
            marks: plan.marks,
            finishes: plan.finishes.clone(),
        }
    }

    /// The same plan's sheets with this drawn part.
    pub(super) fn onto(self, parts: PlanParts) -> PlanParts {
        PlanParts {
            curve: self.curve,
            airflow: self.airflow,
            marks: self.marks,
            finishes: self.finishes,
            ..parts
        }
    }

    /// The way from this to `other`, whose points and finishes are this one's moved, gone by a share of 0 to 1; rounded to 1e-9.
    ///
    /// # Errors
    /// [`CurveError`] where the points on the way break a rule of the curve.
    pub(super) fn blended(&self, other: &Self, share: f64) -> Result<Self, CurveError> {
        let between = |from: f64, to: f64| {
            if from == to {
                from
            } else {
                round_to_billionth(from + share * (to - from))
            }
        };
        let points = self.curve.points().iter().zip(other.curve.points());
        let points: Vec<ControlPoint> = points
            .map(|(from, to)| ControlPoint {
                time_s: between(from.time_s, to.time_s),
                temp_c: between(from.temp_c, to.temp_c),
                pinned_rise_c_per_s: from
                    .pinned_rise_c_per_s
                    .zip(to.pinned_rise_c_per_s)
                    .map(|(from, to)| between(from, to)),
                ..*from
            })
            .collect();
        let air = self.airflow.points().iter().zip(other.airflow.points());
        let air: Vec<AirPoint> = air
            .map(|(from, to)| AirPoint {
                id: from.id,
                time_s: between(from.time_s, to.time_s),
                percent: between(from.percent, to.percent),
            })
            .collect();
        // Rounding may bring two points nearer than allowed by less than 1e-9 s; the schedule then stays where it goes to.
        let airflow = AirflowSchedule::new(self.airflow.shape(), air)
            .unwrap_or_else(|_| other.airflow.clone());
        let temps_c = self.finishes.finishes().iter().map(|from| {
            let to = other.finishes.get(from.id).unwrap_or(from);
            between(from.temp_c, to.temp_c)
        });
        Ok(Self {
            curve: SetpointCurve::new(self.curve.shape(), points)?,
            airflow,
            marks: Marks {
                colour_change_c: between(self.marks.colour_change_c, other.marks.colour_change_c),
                first_crack_c: between(self.marks.first_crack_c, other.marks.first_crack_c),
            },
            finishes: with_temps(&self.finishes, temps_c),
        })
    }
}

/// The ladder with other drop temperatures in °C, in its order; unchanged where they leave the curve's range.
pub(super) fn with_temps(
    ladder: &FinishLadder,
    temps_c: impl Iterator<Item = f64>,
) -> FinishLadder {
    let finishes = ladder.finishes().iter().zip(temps_c);
    let finishes = finishes
        .map(|(finish, temp_c)| Finish {
            temp_c,
            ..finish.clone()
        })
        .collect();
    FinishLadder::new(finishes, ladder.chosen().id).unwrap_or_else(|_| ladder.clone())
}
