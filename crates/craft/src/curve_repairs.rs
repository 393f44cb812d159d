//! Repairs of what stands against the drawn curve: other points, another finish, another shape.

use crate::{
    derived::Derived,
    edit::{Boundary, Edit},
    findings::FindingKind,
    finishes::{Finish, FinishEdit},
    limits,
    plan::Plan,
    repair::{Case, Repair},
    units::{TempUnit, format_temp_with_unit, format_time},
};
use chaffinch_curve::{ControlPoint, CurvePoint, MAX_TIME_S, PointEdit, Reach, Shape};

/// The repair of a finding of the drawn curve.
pub(crate) fn suggest(case: &Case<'_>) -> Option<Repair> {
    let (plan, unit) = (case.plan, case.unit);
    match &case.finding.kind {
        FindingKind::FinishNotReached { temp_c, .. } => {
            case.first_mending(prolong(plan, *temp_c, unit))
        }
        FindingKind::MarkAboveFinish { mark_c, .. } => {
            let hotter = |finish: &&Finish| finish.temp_c > *mark_c;
            let finishes = plan.finishes.finishes().iter();
            case.first_mending(finishes.filter(hotter).map(|finish| choose(finish, unit)))
        }
        FindingKind::DropAboveCeiling { ceiling_c, .. } => lower_finish(case, *ceiling_c),
        FindingKind::DevelopmentOutside { ratio, least, most } => {
            let wished = if ratio < least { *least } else { *most };
            case.first_mending(move_drop(case.derived, wished))
        }
        FindingKind::Overshoot { .. } => case.first_mending([Repair {
            label: "Use the shape without overshoot".to_owned(),
            edit: Edit::Points(PointEdit::SetShape(Shape::Monotone)),
        }]),
        FindingKind::RiseTurnsUp { .. }
        | FindingKind::RiseFallsSteeply { .. }
        | FindingKind::Cools { .. }
        | FindingKind::Plateau => ease(case),
        FindingKind::Forecast(_) => None,
    }
}

/// Drops at the hottest finish below the chosen one, and no hotter than `most_c`, that mends.
pub(crate) fn cooler_finish(case: &Case<'_>, most_c: f64) -> Option<Repair> {
    let chosen_c = case.plan.finish().temp_c;
    let cooler = |finish: &&Finish| finish.temp_c <= most_c && finish.temp_c < chosen_c;
    let finishes = case.plan.finishes.finishes().iter().rev();
    case.first_mending(
        finishes
            .filter(cooler)
            .map(|finish| choose(finish, case.unit)),
    )
}

/// Drops at a cooler finish; where the ladder has none, the chosen one moves down to `most_c` or a little below.
pub(crate) fn lower_finish(case: &Case<'_>, most_c: f64) -> Option<Repair> {
    cooler_finish(case, most_c).or_else(|| {
        let chosen = case.plan.finish();
        let whole_c = (most_c / limits::REPAIR_STEP_C).floor() * limits::REPAIR_STEP_C;
        case.least_mending(limits::MAX_REPAIR_FINISH_STEPS, |steps| {
            let temp_c = whole_c - f64::from(steps - 1) * limits::REPAIR_STEP_C;
            let edit = FinishEdit::Move {
                id: chosen.id,
                temp_c,
            };
            let temp = format_temp_with_unit(temp_c, case.unit);
            (temp_c < chosen.temp_c).then(|| Repair {
                label: format!("Lower “{}” to {temp}", chosen.name),
                edit: Edit::Finish(edit),
            })
        })
    })
}

fn choose(finish: &Finish, unit: TempUnit) -> Repair {
    Repair {
        label: format!(
            "Drop at “{}”, {}",
            finish.name,
            format_temp_with_unit(finish.temp_c, unit)
        ),
        edit: Edit::Finish(FinishEdit::Choose(finish.id)),
    }
}

/// Carries the curve on to the finish at its last rise, by moving the last point or by adding one behind it.
fn prolong(plan: &Plan, temp_c: f64, unit: TempUnit) -> Vec<Repair> {
    let last = plan.curve.last();
    let rise = plan
        .curve
        .rise_c_per_s(last.time_s)
        .max(limits::LEAST_PROLONGING_RISE_C_PER_S);
    let time_s = (last.time_s + (temp_c - last.temp_c) / rise).ceil();
    if time_s <= last.time_s || time_s > MAX_TIME_S {
        return Vec::new();
    }
    let at = CurvePoint { time_s, temp_c };
    let label = format!(
        "Carry on to {} at {}",
        format_temp_with_unit(temp_c, unit),
        format_time(time_s)
    );
    [
        PointEdit::InsertAt { at },
        PointEdit::Move {
            id: last.id,
            to: at,
        },
    ]
    .map(|edit| Repair {
        label: label.clone(),
        edit: Edit::Points(edit),
    })
    .to_vec()
}

/// Moves the drop in time so that development has the wished share of the whole roast.
fn move_drop(derived: &Derived, wished_ratio: f64) -> Vec<Repair> {
    let Reach::At(crack) = derived.phases.first_crack else {
        return Vec::new();
    };
    // (drop − crack) / drop = ratio; a hair inside the range, so that rounding can't leave it.
    let exact_s = crack.time_s / (1.0 - wished_ratio);
    [exact_s.ceil(), exact_s.floor()]
        .map(|to_s| Repair {
            label: format!("Drop at {}", format_time(to_s)),
            edit: Edit::MoveBoundary {
                boundary: Boundary::Drop,
                to_s,
            },
        })
        .to_vec()
}

/// Tries moves of the points at the finding, down and up, nearest point first, each time twice as far; then looks for the
/// least move between the last that failed and the first that mends.
fn ease(case: &Case<'_>) -> Option<Repair> {
    let middle_s = f64::midpoint(case.finding.from_s, case.finding.to_s);
    let distance_s = |point: &ControlPoint| (point.time_s - middle_s).abs();
    let mut points: Vec<(usize, &ControlPoint)> = (1..)
        .zip(case.plan.curve.points())
        .skip(1)
        .filter(|(_, point)| !point.lock.holds_temp())
        .collect();
    points.sort_by(|(_, a), (_, b)| distance_s(a).total_cmp(&distance_s(b)));
    points.truncate(limits::MAX_REPAIR_POINTS);
    let doubled = |steps: &i32| Some(2 * steps).filter(|&steps| steps <= limits::MAX_REPAIR_STEPS);
    std::iter::successors(Some(1), doubled)
        .flat_map(|steps| points.iter().map(move |&point| (steps, point)))
        .flat_map(|(steps, point)| [(-steps, point), (steps, point)])
        .find(|&(steps, (_, point))| is_eased_by(case, point, steps))
        .map(|(steps, (number, point))| Repair {
            label: format!(
                "{} point {number}",
                if steps < 0 { "Lower" } else { "Lift" }
            ),
            edit: Edit::Points(shifted(point, least_steps(case, point, steps))),
        })
}

/// The least of the moves up to `steps`, which mends, that mends too; half of it doesn't.
fn least_steps(case: &Case<'_>, point: &ControlPoint, steps: i32) -> i32 {
    let (mut fails, mut mends) = (steps / 2, steps);
    while (mends - fails).abs() > 1 {
        let middle = i32::midpoint(fails, mends);
        if is_eased_by(case, point, middle) {
            mends = middle;
        } else {
            fails = middle;
        }
    }
    mends
}

fn is_eased_by(case: &Case<'_>, point: &ControlPoint, steps: i32) -> bool {
    let edit = shifted(point, steps);
    case.is_fewer_after(&edit) && case.is_mended_by(&Edit::Points(edit))
}

/// The point, so many steps of temperature up or down.
pub(crate) fn shifted(point: &ControlPoint, steps: i32) -> PointEdit {
    let temp_c = point.temp_c + f64::from(steps) * limits::REPAIR_STEP_C;
    let to = CurvePoint {
        temp_c,
        ..point.place()
    };
    PointEdit::Move { id: point.id, to }
}
