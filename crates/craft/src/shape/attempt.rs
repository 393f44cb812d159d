//! From a drawing to a plan, and within reach by successive linearisation.

use super::{
    Ground, ShapeError,
    draw::{Case, Drawing, Manner},
    frame::MOST_POINTS,
    judged::reach_shortfall,
    problem::Clash,
    targets::TargetName,
    within::Corridors,
};
use crate::{
    airflow::{AirEdit, AirflowSchedule},
    edit::{Edit, MarkName},
    finishes::FinishEdit,
    outlook::Outlook,
    plan::Plan,
    units::round_to_billionth,
};
use chaffinch_curve::{ControlPoint, MAX_TEMP_C, MIN_TEMP_C, PointEdit, PointId, Segment, Shape};

/// The name of the step in the history.
pub(super) const LABEL: &str = "Shaped";
/// Least points of a shaped curve; fewer can't bend enough. Ours.
const FEWEST_POINTS: usize = 10;
/// Most rounds of drawing within the reach of the curve before.
const REACH_ROUNDS: usize = 5;
/// A peak of the old curve behind this share of the roast is no peak to keep. Ours.
const EARLY_SHARE: f64 = 1.0 / 3.0;
/// What is left over counts as nothing below this, in units of the last digit shown.
pub(super) const NOTHING: f64 = 0.01;

/// Another round, or more points, must take off at least this share of what is missed. Ours.
pub(super) const LITTLE: f64 = 0.02;

/// A curve with the plan that it makes.
pub(super) struct Attempt {
    pub(super) drawing: Drawing,
    pub(super) plan: Plan,
    pub(super) edit: Edit,
    pub(super) outlook: Outlook,
    /// What is missed, in units of the last digit shown.
    missed: f64,
    /// The reach that it was drawn within.
    within: Option<Corridors>,
    /// Whether the machine can follow.
    is_within: bool,
}

/// Somebody who hears how far it is and may stop it.
pub(super) struct Watch<'a> {
    pub(super) is_cancelled: &'a dyn Fn() -> bool,
    pub(super) progress: &'a dyn Fn(f64),
}

/// The best of what is tried: few points first, then more; each place of the peak; round after round within reach.
pub(super) fn best(
    case: &Case<'_>,
    air: &AirflowSchedule,
    watch: &Watch<'_>,
) -> Result<Attempt, ShapeError> {
    let fewest = case
        .plan
        .curve
        .points()
        .len()
        .clamp(FEWEST_POINTS, MOST_POINTS);
    let mut first: Option<Drawing> = None;
    for peak_s in peaks_s(case) {
        // The next place of the peak starts from the times of the last.
        let from_s = first
            .as_ref()
            .map_or(&case.times.at_s, |first| &first.frame.at_s);
        let manner = Manner {
            count: fewest,
            peak_s,
            corridors: None,
        };
        // Where wishes contradict each other in one place of the peak, they mostly do in the others: a glance spares the work.
        let is_hopeless = first.as_ref().is_some_and(|first| {
            0.0 < first.found.slack && !case.promises_less(&manner, from_s, first.found.slack)
        });
        if is_hopeless {
            continue;
        }
        let drawing = case.drawn(&manner, from_s, watch.is_cancelled)?;
        let is_met = drawing.found.slack == 0.0;
        if first
            .as_ref()
            .is_none_or(|first| drawing.is_better_than(first))
        {
            first = Some(drawing);
        }
        if is_met && case.times.wishes.wish(TargetName::PeakTime).is_some() {
            break;
        }
    }
    let first = first.ok_or(ShapeError::NoCurve)?;
    let first = Attempt::of(case, air, first, None)?;
    let mut best = within_reach(case, air, first, fewest, watch)?;
    if NOTHING < best.missed && best.drawing.frame.knots.len() < MOST_POINTS {
        let within = best.within(case);
        let manner = Manner {
            count: MOST_POINTS,
            peak_s: best.drawing.frame.peak_s,
            corridors: within.as_ref(),
        };
        let at_s = &best.drawing.frame.at_s;
        // Most contradictions lie in the wishes, not in the points.
        if !case.promises_less(&manner, at_s, best.missed) {
            return Ok(best);
        }
        let more = case.drawn(&manner, at_s, watch.is_cancelled)?;
        let more = Attempt::of(case, air, more, within.clone())?;
        let more = within_reach(case, air, more, MOST_POINTS, watch)?;
        if more.missed < best.missed - NOTHING {
            best = more;
        }
    }
    Ok(best)
}

/// The best of the rounds in which each curve is drawn within the reach of the one before.
fn within_reach(
    case: &Case<'_>,
    air: &AirflowSchedule,
    mut best: Attempt,
    count: usize,
    watch: &Watch<'_>,
) -> Result<Attempt, ShapeError> {
    if case.times.wishes.wish(TargetName::WithinReach).is_none() {
        return Ok(best);
    }
    let mut corridors = Corridors::of(&best.plan, &best.outlook);
    let mut is_within = best.is_within;
    for round in 1..=REACH_ROUNDS {
        (watch.progress)(round as f64 / (REACH_ROUNDS + 2) as f64);
        let Some(within) = corridors.as_ref().filter(|_| !is_within) else {
            break;
        };
        let manner = Manner {
            count,
            peak_s: best.drawing.frame.peak_s,
            corridors: Some(within),
        };
        let drawing = case.drawn(&manner, &best.drawing.frame.at_s, watch.is_cancelled)?;
        let next = Attempt::of(case, air, drawing, Some(within.clone()))?;
        is_within = next.is_within;
        corridors = Corridors::of(&next.plan, &next.outlook).map(|new| new.damped(within));
        let is_standing = best.missed * (1.0 - LITTLE) < next.missed;
        if next.missed < best.missed {
            best = next;
        }
        if is_standing {
            break;
        }
    }
    Ok(best)
}

/// Places of the greatest rise to try, in s; one `None` where no target asks for one.
fn peaks_s(case: &Case<'_>) -> Vec<Option<f64>> {
    let wish = |name| case.times.wishes.wish(name);
    let has_least = wish(TargetName::PeakRise).is_some_and(|wish| wish.least.is_some());
    let time = wish(TargetName::PeakTime);
    if !has_least && time.is_none() && wish(TargetName::FallingRise).is_none() {
        return vec![None];
    }
    let curve = &case.plan.curve;
    let now_s = curve
        .interpolant()
        .slope_extrema(0.0, curve.end_s())
        .highest
        .x;
    let drop_s = case.times.at_s.last().copied().unwrap_or_default();
    let mut places_s = match time {
        Some(wish) => {
            let (least_s, most_s) = super::boundaries::ends(wish);
            let ends = [least_s, most_s]
                .into_iter()
                .filter(|end_s| end_s.is_finite());
            [now_s.max(least_s).min(most_s)]
                .into_iter()
                .chain(ends)
                .collect()
        }
        None if now_s <= EARLY_SHARE * drop_s => vec![now_s, 0.0],
        None => vec![0.0, now_s],
    };
    places_s.dedup();
    places_s.into_iter().map(Some).collect()
}

impl Attempt {
    fn of(
        case: &Case<'_>,
        air: &AirflowSchedule,
        drawing: Drawing,
        within: Option<Corridors>,
    ) -> Result<Self, ShapeError> {
        let edit = edit(case, air, &drawing);
        let plan = case.plan.edited(&edit)?;
        let outlook = Outlook::of(&plan);
        let mut is_within = true;
        let mut missed = drawing
            .found
            .slack_but_of(Ground::Wish(TargetName::WithinReach));
        if case.times.wishes.wish(TargetName::WithinReach).is_some() && outlook.reach.is_some() {
            let shortfall = reach_shortfall(&outlook);
            missed += shortfall / TargetName::WithinReach.shown_step();
            is_within = shortfall == 0.0;
        }
        Ok(Self {
            drawing,
            plan,
            edit,
            outlook,
            missed,
            within,
            is_within,
        })
    }

    /// The reach that it was drawn within, or else that along it; nothing if nobody wished to be within.
    fn within(&self, case: &Case<'_>) -> Option<Corridors> {
        let along = || Corridors::of(&self.plan, &self.outlook);
        case.times.wishes.wish(TargetName::WithinReach)?;
        self.within.clone().or_else(along)
    }

    /// Whether a wish gives way in the drawing.
    pub(super) fn is_relaxed(&self) -> bool {
        NOTHING < self.drawing.found.slack
    }

    /// What gives way to what.
    pub(super) fn clashes(&self, case: &Case<'_>) -> Vec<Clash> {
        if self.drawing.found.slack == 0.0 && self.is_within {
            return Vec::new();
        }
        let within = self.within(case);
        let manner = Manner {
            count: self.drawing.frame.knots.len(),
            peak_s: self.drawing.frame.peak_s,
            corridors: within.as_ref(),
        };
        case.clashes(&self.drawing, &manner)
    }
}

/// The edit that draws it.
fn edit(case: &Case<'_>, air: &AirflowSchedule, drawing: &Drawing) -> Edit {
    let plan = case.plan;
    let mut edits = Vec::new();
    if plan.curve.shape() != Shape::Smooth {
        edits.push(Edit::Points(PointEdit::SetShape(Shape::Smooth)));
    }
    edits.push(Edit::Points(PointEdit::Replace(points(case, drawing))));
    for (mark, temp_c) in MarkName::ALL.into_iter().zip(case.levels.temps_c) {
        if mark.temp_c(&plan.marks) != temp_c {
            edits.push(Edit::SetMark { mark, temp_c });
        }
    }
    let (finish, drop_c) = (plan.finish(), case.levels.temps_c[2]);
    if finish.temp_c != drop_c {
        let (id, temp_c) = (finish.id, drop_c);
        edits.push(Edit::Finish(FinishEdit::Move { id, temp_c }));
    }
    edits.extend(air_edits(&plan.airflow, air));
    Edit::Together(LABEL, edits)
}

/// The points of the drawing. Pins, straight lines and holds are gone: the spline says how the curve runs.
fn points(case: &Case<'_>, drawing: &Drawing) -> Vec<ControlPoint> {
    let mut next = case.plan.curve.next_id().0;
    let frame = &drawing.frame;
    let places = frame.knots.iter().zip(drawing.temps_c());
    let point = |(knot, &temp_c): (&super::frame::Knot, &f64)| {
        let id = knot.was.map_or_else(
            || {
                next = next.saturating_add(1);
                PointId(next - 1)
            },
            |was| was.id,
        );
        let is_drop = knot.time_s == frame.drop_s();
        let temp_c = match knot.held() {
            Some((_, held_c)) => held_c,
            // Rounding must not leave the curve below its finish.
            None if is_drop && (temp_c - case.levels.temps_c[2]).abs() < 1e-6 => {
                case.levels.temps_c[2]
            }
            None if knot.time_s == 0.0 && (temp_c - case.levels.start_c).abs() < 1e-6 => {
                case.levels.start_c
            }
            None => round_to_billionth(temp_c).clamp(MIN_TEMP_C, MAX_TEMP_C),
        };
        ControlPoint {
            lock: knot.was.map(|was| was.lock).unwrap_or_default(),
            segment: Segment::Curved,
            ..ControlPoint::new(id, knot.time_s, temp_c)
        }
    };
    places.map(point).collect()
}

/// The schedule with every setting inside the wished range, moved as little as may be.
pub(super) fn airflow(case: &AirflowSchedule, wish: Option<super::Wish>) -> AirflowSchedule {
    let Some(wish) = wish else {
        return case.clone();
    };
    let points = case.points().iter().map(|point| crate::AirPoint {
        percent: point
            .percent
            .max(wish.least.unwrap_or(0.0))
            .min(wish.most.unwrap_or(100.0)),
        ..*point
    });
    AirflowSchedule::new(case.shape(), points.collect()).unwrap_or_else(|_| case.clone())
}

fn air_edits(from: &AirflowSchedule, to: &AirflowSchedule) -> Vec<Edit> {
    let pairs = from.points().iter().zip(to.points());
    let moved = pairs.filter(|(from, to)| from != to);
    moved
        .map(|(_, to)| {
            Edit::Air(AirEdit::Move {
                id: to.id,
                time_s: to.time_s,
                percent: to.percent,
            })
        })
        .collect()
}
