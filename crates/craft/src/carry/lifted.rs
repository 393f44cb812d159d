//! The airflow for another machine, room or lot: as drawn where it lifts the bed, else all of it raised or lowered by one factor.

use super::error::CarryError;
use crate::{
    airflow::{AirPoint, AirflowSchedule},
    outlook::Outlook,
    plan::{Plan, PlanParts},
};
use chaffinch_twin::Limit;

/// The schedule of `to` that lifts the bed as the one of `from` does at its tightest moment, at most the full fan; unchanged where it
/// lifts the bed and carries nothing out. `to` is the plan carried from on the sheets carried to.
///
/// # Errors
/// [`CarryError::NoForecast`] with the limits that stay broken whatever the fan does; limits that another curve may mend are left out.
pub(super) fn lifted_airflow(
    from: &Outlook,
    to: &PlanParts,
) -> Result<AirflowSchedule, CarryError> {
    let plan = Plan::new(to.clone())?;
    let outlook = Outlook::of(&plan);
    let is_about_air = |limit: &Limit| {
        matches!(
            limit,
            Limit::BedRests { .. } | Limit::BeansCarriedOut { .. }
        )
    };
    if !outlook.limits().iter().any(is_about_air) {
        return checked(&outlook, to.airflow.clone());
    }
    let needed = from
        .least_air_percent
        .iter()
        .zip(&outlook.least_air_percent);
    let factor = needed.map(|(from, to)| to / from).fold(0.0_f64, f64::max);
    if !(factor.is_finite() && 0.0 < factor) {
        return checked(&outlook, to.airflow.clone());
    }
    let scaled = |point: &AirPoint| AirPoint {
        percent: (point.percent * factor).clamp(0.0, 100.0),
        ..*point
    };
    let points = to.airflow.points().iter().map(scaled).collect();
    let airflow =
        AirflowSchedule::new(to.airflow.shape(), points).unwrap_or_else(|_| to.airflow.clone());
    let plan = Plan::new(PlanParts {
        airflow: airflow.clone(),
        ..to.clone()
    })?;
    checked(&Outlook::of(&plan), airflow)
}

fn checked(outlook: &Outlook, airflow: AirflowSchedule) -> Result<AirflowSchedule, CarryError> {
    let is_lasting =
        |limit: &&Limit| !matches!(limit, Limit::Duration { .. } | Limit::BeansTooHot { .. });
    let limits: Vec<Limit> = outlook
        .limits()
        .iter()
        .filter(is_lasting)
        .cloned()
        .collect();
    if limits.is_empty() {
        Ok(airflow)
    } else {
        Err(CarryError::NoForecast { limits })
    }
}
