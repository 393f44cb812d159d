//! The edit that mends a finding, where one can be computed.
//!
//! A repair is offered only after it was tried: the finding it is for must be gone and nothing worse may have come.
//! Trying costs a few hundred evaluations of a curve, about a millisecond, so it is done on demand, not in a drag.

use crate::{
    derived::Derived,
    edit::{Boundary, Edit},
    findings::{Finding, FindingKind},
    finishes::FinishEdit,
    plan::Plan,
    units::{TempUnit, format_temp_with_unit, format_time},
};
use chaffinch_curve::{CurvePoint, Lock, MAX_TIME_S, PointEdit, Reach, Shape};

/// Largest change of a point that a repair makes on its own, in °C.
const MAX_EASE_C: f64 = 20.0;
/// Step of that search, in °C; the same as the window's snap.
const EASE_STEP_C: f64 = 0.5;
/// Slowest rise at which a curve is prolonged to its finish, in °C/s (3 °C/min).
const LEAST_PROLONGING_RISE_C_PER_S: f64 = 3.0 / 60.0;

/// A button's worth of help.
#[derive(Clone, Debug, PartialEq)]
pub struct Repair {
    /// What the button says, without temperatures in a unit.
    pub label: String,
    /// What it does.
    pub edit: Edit,
}

/// The edit that mends `finding`, if one was found that does so without bringing anything worse.
pub fn suggest(plan: &Plan, finding: &Finding, unit: TempUnit) -> Option<Repair> {
    let candidates = candidates(plan, finding, unit);
    candidates
        .into_iter()
        .find(|repair| mends(plan, finding, &repair.edit))
}

fn candidates(plan: &Plan, finding: &Finding, unit: TempUnit) -> Vec<Repair> {
    match &finding.kind {
        FindingKind::FinishNotReached { temp_c, .. } => prolong(plan, *temp_c, unit),
        FindingKind::MarkAboveFinish { mark_c, .. } => {
            choose(plan, unit, |temp_c| temp_c > *mark_c, Order::CoolestFirst)
        }
        FindingKind::DropAboveCeiling { ceiling_c, .. } => choose(
            plan,
            unit,
            |temp_c| temp_c <= *ceiling_c,
            Order::HottestFirst,
        ),
        FindingKind::DevelopmentOutside { ratio, least, most } => {
            let wished = if ratio < least { *least } else { *most };
            move_drop(plan, wished)
        }
        FindingKind::Overshoot { .. } => vec![Repair {
            label: "Use the monotone shape".to_owned(),
            edit: Edit::Points(PointEdit::SetShape(Shape::Monotone)),
        }],
        FindingKind::RiseTurnsUp { .. }
        | FindingKind::RiseFallsSteeply { .. }
        | FindingKind::Cools { .. }
        | FindingKind::Plateau => ease(plan, finding),
    }
}

fn mends(plan: &Plan, finding: &Finding, edit: &Edit) -> bool {
    let Ok(mended) = plan.edited(edit) else {
        return false;
    };
    let kind = std::mem::discriminant(&finding.kind);
    let before = Derived::of(plan).findings;
    let after = Derived::of(&mended).findings;
    let of_kind = |found: &[Finding]| {
        let same = |other: &&Finding| std::mem::discriminant(&other.kind) == kind;
        found.iter().filter(same).count()
    };
    let as_bad = |found: &[Finding]| {
        let as_bad = |other: &&Finding| other.severity() >= finding.severity();
        found.iter().filter(as_bad).count()
    };
    of_kind(&after) < of_kind(&before) && as_bad(&after) < as_bad(&before)
}

/// Carries the curve on to the finish at its last rise, by moving the last point or by adding one behind it.
fn prolong(plan: &Plan, temp_c: f64, unit: TempUnit) -> Vec<Repair> {
    let last = plan.curve.last();
    let rise = plan
        .curve
        .rise_c_per_s(last.time_s)
        .max(LEAST_PROLONGING_RISE_C_PER_S);
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

#[derive(Clone, Copy, PartialEq)]
enum Order {
    CoolestFirst,
    HottestFirst,
}

fn choose(plan: &Plan, unit: TempUnit, fits: impl Fn(f64) -> bool, order: Order) -> Vec<Repair> {
    let mut repairs: Vec<Repair> = plan
        .finishes
        .finishes()
        .iter()
        .filter(|finish| fits(finish.temp_c))
        .map(|finish| Repair {
            label: format!(
                "Drop at “{}”, {}",
                finish.name,
                format_temp_with_unit(finish.temp_c, unit)
            ),
            edit: Edit::Finish(FinishEdit::Choose(finish.id)),
        })
        .collect();
    if order == Order::HottestFirst {
        repairs.reverse();
    }
    repairs
}

/// Moves the drop in time so that development has the wished share of the whole roast.
fn move_drop(plan: &Plan, wished_ratio: f64) -> Vec<Repair> {
    let Reach::At(crack) = Derived::of(plan).phases.first_crack else {
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

/// Tries ever larger moves of the points at the finding, up and down, nearest point first.
fn ease(plan: &Plan, finding: &Finding) -> Vec<Repair> {
    let middle_s = f64::midpoint(finding.from_s, finding.to_s);
    let mut points: Vec<_> = plan
        .curve
        .points()
        .iter()
        .enumerate()
        .skip(1)
        .filter(|(_, point)| !point.lock.holds_temp() && point.lock != Lock::Both)
        .collect();
    points.sort_by(|(_, a), (_, b)| {
        (a.time_s - middle_s)
            .abs()
            .total_cmp(&(b.time_s - middle_s).abs())
    });
    points.truncate(3);
    let steps = (MAX_EASE_C / EASE_STEP_C) as i32;
    let mut repairs = Vec::new();
    for step in 1..=steps {
        for &(index, point) in &points {
            for by_c in [
                -f64::from(step) * EASE_STEP_C,
                f64::from(step) * EASE_STEP_C,
            ] {
                let to = CurvePoint {
                    time_s: point.time_s,
                    temp_c: point.temp_c + by_c,
                };
                let verb = if by_c > 0.0 { "Lift" } else { "Lower" };
                repairs.push(Repair {
                    label: format!("{verb} point {}", index + 1),
                    edit: Edit::Points(PointEdit::Move { id: point.id, to }),
                });
            }
        }
    }
    repairs
}
