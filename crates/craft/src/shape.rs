//! Shape by targets: the smoothest curve that meets what the roaster wants, instead of points drawn by hand.
//!
//! Temperatures of the boundaries come first (`boundaries.rs`), then their times (`times.rs`), then the curve (`draw.rs`): a convex
//! quadratic programme over the degrees of freedom that the curve itself has, the temperatures at its points. For a smooth curve
//! everything that can be wished is linear in them (`spline.rs`), so what is found *is* the new curve and nothing has to be fitted to
//! it afterwards. Where the machine should be able to follow, the model's reach along the last curve bounds the rise of the next one
//! (`within.rs`).
//!
//! Wishes that contradict each other are relaxed as little as may be, each in units of the last digit shown: those for times among
//! themselves, then all beside the curve. Which ones stand against each other is read from the multipliers (`problem.rs`). In the end
//! every wish is judged on the finished plan.
//!
//! Shaped again by the same targets, a curve stays to a tenth of a degree (`sketch.rs`).
//!
//! Left out: a start above colour change, and curves that cool on purpose. What isn't wished stays as near as may be to what it was;
//! pins, straight lines and holds give way to the spline, locks don't.

mod attempt;
mod boundaries;
mod draw;
mod frame;
mod ground;
mod judged;
mod problem;
mod programme;
mod report;
mod sketch;
mod spline;
mod targets;
#[cfg(test)]
mod tests;
mod times;
mod within;

pub use ground::Ground;
pub use judged::standing;
#[doc(hidden)]
pub use programme::{Programme, Row, Solution};
pub use targets::{TargetError, TargetFacts, TargetName, TargetUnit, Targets, Wish};

use crate::{
    carry::Picture,
    derived::Derived,
    edit::{Edit, Refusal},
    outlook::Outlook,
    plan::{Plan, PlanParts},
};
use attempt::Watch;
use boundaries::{Levels, Old};
use chaffinch_curve::Shape;
use draw::Case;
use judged::{Judged, wobble_c_per_min2};
use problem::Clash;
use std::sync::atomic::{AtomicBool, Ordering};
use times::Times;

/// A wish beside what the curve found gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Met {
    /// Which target.
    pub name: TargetName,
    /// What was wished.
    pub wish: Wish,
    /// What the curve gives, in the target's unit; nothing where it doesn't exist, as a drop that isn't reached. Of a target that takes
    /// no value, by how much it doesn't hold, in °C/min: the climb of a rise that should only fall, the rise beyond reach.
    pub found: Option<f64>,
    /// How far it misses the wish, in the target's unit; 0 where it is met within half of the last digit shown, and 1 where there is
    /// nothing to judge by.
    pub miss: f64,
}

/// A wish that can't be met beside others.
#[derive(Clone, Debug, PartialEq)]
pub struct Conflict {
    /// The wish that gives way.
    pub gives_way: TargetName,
    /// By how much, in its unit, as in [`Met::miss`].
    pub by: f64,
    /// What it contradicts, all of it together.
    pub against: Vec<Ground>,
}

/// A curve drawn from targets, beside the one that it started from.
#[derive(Clone, Debug)]
pub struct Shaped {
    /// The new plan.
    pub plan: Plan,
    /// The edit that makes it out of the old one, as one step of the history.
    pub edit: Edit,
    /// The old plan.
    pub before: Picture,
    /// The new plan.
    pub after: Picture,
    /// Every wish and what came of it, in the order of [`TargetName::ALL`].
    pub met: Vec<Met>,
    /// What gives way to what; empty where all wishes are met.
    pub conflicts: Vec<Conflict>,
    /// How much the fall of the rise changes from charge to drop, before and after, all changes added up, in °C/min per min: the less,
    /// the smoother.
    pub wobble_c_per_min2: [f64; 2],
    /// Temperature at charge, before and after, in °C.
    pub start_c: [f64; 2],
    /// Number of points before.
    pub points_before: usize,
    /// Shape of the curve before; after, it is smooth.
    pub shape_before: Shape,
    programme: Programme,
}

/// Why no curve comes of targets.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ShapeError {
    /// Somebody stopped it.
    #[error("shaping was stopped")]
    Cancelled,
    /// No targets at all: there is no curve to look for.
    #[error(
        "no targets are set, so there is nothing to shape by; wish for something first, such as a time of drop"
    )]
    NothingWished,
    /// The solver found no curve even with all wishes relaxed.
    #[error(
        "no curve was found near these targets; free locked points, keep the start below colour change, or wish for less at once"
    )]
    NoCurve,
    /// The plan refused the curve.
    #[error(transparent)]
    Refused(#[from] Refusal),
}

/// Draws the smoothest curve that meets `targets`, starting from `from`; `progress` hears the share that is done, 0 to 1.
///
/// Targets that can't all be met give way as little as may be; [`Shaped::conflicts`] says which. About 5 ms; within reach up to 250 ms.
///
/// # Errors
/// [`ShapeError`]: cancelled, nothing wished, no curve found, a curve that no plan takes.
pub fn shape(
    from: &Plan,
    targets: &Targets,
    is_cancelled: &AtomicBool,
    progress: &dyn Fn(f64),
) -> Result<Shaped, ShapeError> {
    if targets.all().next().is_none() {
        return Err(ShapeError::NothingWished);
    }
    let is_cancelled = || is_cancelled.load(Ordering::Relaxed);
    let levels = Levels::of(from, targets).ok_or(ShapeError::NoCurve)?;
    let old = Old::of(from);
    let times = Times::of(&old, &levels, targets, true).ok_or(ShapeError::NoCurve)?;
    let mut case = Case {
        plan: from,
        old,
        levels,
        times,
    };
    let air = attempt::airflow(&from.airflow, targets.wish(TargetName::Airflow));
    let watch = Watch {
        is_cancelled: &is_cancelled,
        progress,
    };
    let mut best = attempt::best(&case, &air, &watch)?;
    if case.times.is_short && best.is_relaxed() {
        // Phases that short were worth it only if all wishes could have been met.
        let times = Times::of(&case.old, &case.levels, targets, false);
        case.times = times.ok_or(ShapeError::NoCurve)?;
        let watch = Watch {
            is_cancelled: &is_cancelled,
            progress: &|_| (),
        };
        best = attempt::best(&case, &air, &watch)?;
    }
    if is_cancelled() {
        return Err(ShapeError::Cancelled);
    }
    let among = [&case.levels.clashes, &case.times.clashes];
    let mut clashes: Vec<Clash> = among.into_iter().flatten().cloned().collect();
    clashes.extend(best.clashes(&case));
    let before = picture(from, Outlook::of(from));
    let after = picture(&best.plan, best.outlook);
    let judged = Judged {
        from,
        plan: &best.plan,
        derived: &after.derived,
        outlook: &after.outlook,
    };
    let met = judged.all(targets);
    let shaped = Shaped {
        conflicts: conflicts(&met, &clashes),
        met,
        wobble_c_per_min2: [
            wobble_c_per_min2(from, &before),
            wobble_c_per_min2(&best.plan, &after),
        ],
        start_c: [from, &best.plan].map(|plan: &Plan| start_c(plan)),
        points_before: from.curve.points().len(),
        shape_before: from.curve.shape(),
        programme: best.drawing.found.programme,
        plan: best.plan,
        edit: best.edit,
        before,
        after,
    };
    progress(1.0);
    Ok(shaped)
}

/// For each wish that is missed, the first reason found; where it is one of several that could have given way, they change places.
fn conflicts(met: &[Met], clashes: &[Clash]) -> Vec<Conflict> {
    let missed = met.iter().filter(|met| 0.0 < met.miss);
    let others = |name: TargetName| {
        let wished = met.iter().map(|met| met.name);
        wished.filter(move |other| *other != name).map(Ground::Wish)
    };
    let conflict = |met: &Met| {
        let wish = Ground::Wish(met.name);
        let own = clashes.iter().find(|clash| clash.gives_way == wish);
        let clash = own.or_else(|| clashes.iter().find(|clash| clash.against.contains(&wish)));
        let mut against: Vec<Ground> = match clash {
            Some(clash) => {
                let all = clash.against.iter().copied().chain([clash.gives_way]);
                all.filter(|ground| *ground != wish).collect()
            }
            // No multiplier names what stands against it; reach is judged by the model and named there.
            None if met.name == TargetName::WithinReach => return None,
            None => others(met.name).collect(),
        };
        if against.is_empty() {
            return None;
        }
        against.sort_unstable();
        Some(Conflict {
            gives_way: met.name,
            by: met.miss,
            against,
        })
    };
    missed.filter_map(conflict).collect()
}

fn picture(plan: &Plan, outlook: Outlook) -> Picture {
    Picture {
        derived: Derived::of(plan),
        outlook,
    }
}

fn start_c(plan: &PlanParts) -> f64 {
    plan.curve.points()[0].temp_c
}

impl Shaped {
    /// Whether every wish is met, within what the window shows.
    pub fn is_all_met(&self) -> bool {
        self.met.iter().all(|met| met.miss == 0.0)
    }

    /// The last programme that was solved; for the comparison with another solver.
    #[doc(hidden)]
    pub fn programme(&self) -> &Programme {
        &self.programme
    }
}
