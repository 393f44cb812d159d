//! The edit that mends a finding, where one can be computed.
//!
//! A repair is offered only after it was tried: there must be fewer findings of its kind than before, and fewer that weigh
//! as much or more. Most tries fail on the kind alone, which is judged first, so that all repairs of a plan take
//! about 1 ms for 12 points and at most 30 ms for 200 (bench `repairs`): to be done once an edit, not in a drag.

use crate::{
    derived::Derived,
    edit::{Boundary, Edit},
    findings::{self, Finding, FindingKind},
    finishes::FinishEdit,
    limits,
    plan::Plan,
    shape_findings::JudgedCurve,
    units::{TempUnit, format_temp_with_unit, format_time},
};
use chaffinch_curve::{ControlPoint, CurvePoint, MAX_TIME_S, Phases, PointEdit, Reach, Shape};

/// A button's worth of help.
#[derive(Clone, Debug, PartialEq)]
pub struct Repair {
    /// What the button says.
    pub label: String,
    /// What it does.
    pub edit: Edit,
}

/// The repairs of the first findings of `derived`, which must be those of `plan`, in their order; for as many as
/// [`limits::MAX_REPAIRED_FINDINGS`]. Temperatures on the buttons are in `unit`.
pub fn suggest_repairs(plan: &Plan, derived: &Derived, unit: TempUnit) -> Vec<Option<Repair>> {
    let findings = derived.findings.iter();
    findings
        .take(limits::MAX_REPAIRED_FINDINGS)
        .map(|finding| suggest_repair(plan, derived, finding, unit))
        .collect()
}

/// The edit that mends `finding`, one of `derived`, if one was found that does so without bringing anything as bad.
pub fn suggest_repair(
    plan: &Plan,
    derived: &Derived,
    finding: &Finding,
    unit: TempUnit,
) -> Option<Repair> {
    let case = Case {
        plan,
        before: &derived.findings,
        finding,
    };
    let candidates = match &finding.kind {
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
            move_drop(derived, wished)
        }
        FindingKind::Overshoot { .. } => vec![Repair {
            label: "Use the shape without overshoot".to_owned(),
            edit: Edit::Points(PointEdit::SetShape(Shape::Monotone)),
        }],
        FindingKind::RiseTurnsUp { .. }
        | FindingKind::RiseFallsSteeply { .. }
        | FindingKind::Cools { .. }
        | FindingKind::Plateau => return ease(&case),
    };
    let mut candidates = candidates.into_iter();
    candidates.find(|repair| case.is_mended_by(&repair.edit))
}

/// A finding to be mended, with what stood against the plan before.
struct Case<'a> {
    plan: &'a Plan,
    before: &'a [Finding],
    finding: &'a Finding,
}

impl Case<'_> {
    fn is_mended_by(&self, edit: &Edit) -> bool {
        let Ok(mended) = self.plan.edited(edit) else {
            return false;
        };
        let phases = Phases::of(&mended.curve, &mended.marks, mended.finish().temp_c);
        let after = findings::find(&mended, &phases);
        self.count_of_kind(&after) < self.count_of_kind(self.before)
            && self.count_as_bad(&after) < self.count_as_bad(self.before)
    }

    /// Whether the curve has fewer findings of the kind after `edit`, whatever else it brings.
    fn is_fewer_after(&self, edit: &PointEdit) -> bool {
        let Ok(curve) = self.plan.curve.edited(edit) else {
            return false;
        };
        let phases = Phases::of(&curve, &self.plan.marks, self.plan.finish().temp_c);
        let after = JudgedCurve::of(&curve, &phases).findings_like(&self.finding.kind);
        after.len() < self.count_of_kind(self.before)
    }

    fn count_of_kind(&self, found: &[Finding]) -> usize {
        let kind = std::mem::discriminant(&self.finding.kind);
        let same = |other: &&Finding| std::mem::discriminant(&other.kind) == kind;
        found.iter().filter(same).count()
    }

    fn count_as_bad(&self, found: &[Finding]) -> usize {
        let as_bad = |other: &&Finding| other.severity() >= self.finding.severity();
        found.iter().filter(as_bad).count()
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

fn shifted(point: &ControlPoint, steps: i32) -> PointEdit {
    let temp_c = point.temp_c + f64::from(steps) * limits::REPAIR_STEP_C;
    let to = CurvePoint {
        temp_c,
        ..point.place()
    };
    PointEdit::Move { id: point.id, to }
}
