//! Repairs by the airflow: enough to lift the beans, not so much that it carries them out, less where heat is short.

use crate::{
    airflow::{AirEdit, AirPoint, AirShape},
    edit::Edit,
    limits,
    repair::{Case, Repair},
};

/// Steps by which the margin above what lifts the bed grows, as a share.
const LIFT_STEP: f64 = 0.05;
/// Most such steps; a power of two.
const MAX_LIFT_STEPS: i32 = 4;

/// Raises the air wherever the bed rests, to what lifts it and some more.
pub(crate) fn lift(case: &Case<'_>) -> Option<Repair> {
    let plan = case.plan;
    let least = &case.outlook.least_air_percent;
    let rests = |second: &usize| plan.airflow.percent(*second as f64) < least[*second];
    let resting: Vec<usize> = (0..least.len()).filter(rests).collect();
    let (first, last) = (*resting.first()?, *resting.last()?);
    let needed = resting.iter().map(|&second| least[second]);
    let needed = needed.fold(0.0, f64::max);
    let governing = governing(case, (first as f64, last as f64));
    case.least_mending(MAX_LIFT_STEPS, |steps| {
        let margin = limits::LEAST_LIFT + f64::from(steps - 1) * LIFT_STEP;
        let percent = (needed * margin).ceil().min(100.0);
        changed(case, &governing, "Raise", percent, |now| now.max(percent))
    })
}

/// Lowers the air from `from_s` on by `share` of itself, and some more, so that single beans stay.
pub(crate) fn hold_down(case: &Case<'_>, from_s: f64, share: f64) -> Option<Repair> {
    let now = case.plan.airflow.percent(from_s);
    let governing = governing(case, (from_s, case.plan.curve.end_s()));
    case.least_mending(MAX_LIFT_STEPS, |steps| {
        let percent = (now * share * (1.0 - f64::from(steps) * LIFT_STEP)).floor();
        changed(case, &governing, "Lower", percent, |now| now.min(percent))
    })
}

/// Lowers the air from one time to another, but not below what lifts the bed with some to spare.
pub(crate) fn lower(case: &Case<'_>, place_s: (f64, f64)) -> Option<Repair> {
    let least = &case.outlook.least_air_percent;
    let is_lifted = |repair: &Repair| {
        case.plan.edited(&repair.edit).is_ok_and(|plan| {
            let mut seconds = (0..).map(f64::from).zip(least);
            seconds.all(|(time_s, least)| {
                let percent = plan.airflow.percent(time_s);
                limits::LEAST_LIFT * least <= percent
                    || percent == case.plan.airflow.percent(time_s)
            })
        })
    };
    by_steps(case, place_s, "Lower", -1.0, is_lifted)
}

/// Raises the air from one time to another.
pub(crate) fn raise(case: &Case<'_>, place_s: (f64, f64)) -> Option<Repair> {
    by_steps(case, place_s, "Raise", 1.0, |_| true)
}

fn by_steps(
    case: &Case<'_>,
    place_s: (f64, f64),
    word: &str,
    sign: f64,
    is_allowed: impl Fn(&Repair) -> bool,
) -> Option<Repair> {
    let governing = governing(case, place_s);
    let (from_s, to_s) = place_s;
    let now = case.plan.airflow.percent(f64::midpoint(from_s, to_s));
    case.least_mending(limits::MAX_REPAIR_AIR_STEPS, |steps| {
        let by = sign * f64::from(steps) * limits::REPAIR_STEP_AIR_PERCENT;
        let repair = changed(case, &governing, word, now + by, |now| now + by)?;
        is_allowed(&repair).then_some(repair)
    })
}

/// The points of the schedule that set the air anywhere from one time to another.
fn governing(case: &Case<'_>, (from_s, to_s): (f64, f64)) -> Vec<AirPoint> {
    let airflow = &case.plan.airflow;
    let points = airflow.points();
    let reach_on = match airflow.shape() {
        AirShape::Steps => 0,
        // A ramp is set by the point at its end too.
        AirShape::Ramps => 1,
    };
    let at = |time_s: f64| points.partition_point(|point| point.time_s <= time_s);
    let from = at(from_s).saturating_sub(1);
    let to = (at(to_s) + reach_on).min(points.len());
    points[from..to.max(from)].to_vec()
}

/// Other settings for these points; nothing if none changes or one leaves 0 to 100 %.
fn changed(
    case: &Case<'_>,
    points: &[AirPoint],
    word: &str,
    shown_percent: f64,
    to: impl Fn(f64) -> f64,
) -> Option<Repair> {
    let moved = points.iter().filter_map(|point| {
        let percent = to(point.percent);
        let edit = AirEdit::Move {
            id: point.id,
            time_s: point.time_s,
            percent,
        };
        (percent != point.percent).then_some(Edit::Air(edit))
    });
    let mut edits: Vec<Edit> = moved.collect();
    let edit = match edits.len() {
        0 => return None,
        1 => edits.remove(0),
        _ => Edit::Together("Changed airflow", edits),
    };
    // A setting outside its range is refused here rather than after a forecast.
    case.plan.edited(&edit).ok()?;
    Some(Repair {
        label: format!("{word} airflow to {shown_percent:.0} %"),
        edit,
    })
}
