//! Curves shaped by hand, whatever the plan: a wish is met and what is kept stays, or the edit is refused and nothing changed.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise; its name says what is checked"
)]

#[allow(dead_code, reason = "only whole plans are needed here")]
mod arbitrary;

use chaffinch_craft::{Boundary, Edit, HandEdit, History, KeptEnd, MarkName, Plan, RiseAtDrop};
use chaffinch_curve::{ControlPoint, MAX_TEMP_C, MIN_TEMP_C, PointId};
use proptest::{prelude::*, sample::select, strategy::ValueTree, test_runner::TestRunner};

fn bend(id: u32, to_c_per_s: f64, keep: KeptEnd) -> Edit {
    Edit::Hand(HandEdit::BendRise {
        id: PointId(id),
        to_c_per_s,
        keep,
    })
}

fn straighten(from: u32, to: u32) -> Edit {
    let (from, to) = (PointId(from), PointId(to));
    Edit::Hand(HandEdit::StraightenRise { from, to })
}

fn ease(from: Option<u32>, rise: RiseAtDrop) -> Edit {
    let from = from.map(PointId);
    Edit::Hand(HandEdit::EaseIntoDrop { from, rise })
}

/// When the curve reaches a boundary, in s; marks behind the drop don't count.
fn reach_s(plan: &Plan, boundary: Boundary) -> Option<f64> {
    let drop_s = plan.curve.first_reach(plan.finish().temp_c);
    let Boundary::Mark(mark) = boundary else {
        return drop_s;
    };
    let time_s = plan.curve.first_reach(mark.temp_c(&plan.marks))?;
    drop_s
        .is_none_or(|drop_s| time_s <= drop_s)
        .then_some(time_s)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1_000))]

    #[test]
    fn any_bend_meets_its_wish_or_is_refused(
        plan in arbitrary::plan(),
        number in 0..12_usize,
        factor in 0.5..1.6_f64,
        keep in select(KeptEnd::ALL.to_vec()),
    ) {
        let points = plan.curve.points();
        let point = points[number % points.len()];
        let to = (plan.curve.rise_c_per_s(point.time_s) * factor).clamp(-0.4, 1.9);
        let mut history = History::of_saved(plan.clone());
        if history.apply(&bend(point.id.0, to, keep)).is_err() {
            prop_assert_eq!(&**history.plan(), &plan);
            return Ok(());
        }
        let after = history.plan();
        prop_assert!((after.curve.rise_c_per_s(point.time_s) - to).abs() < 1e-6);
        prop_assert_eq!(after.curve.points()[0].temp_c, points[0].temp_c);
        for (old, new) in points.iter().zip(after.curve.points()) {
            prop_assert_eq!(old.time_s, new.time_s);
            prop_assert!((MIN_TEMP_C..=MAX_TEMP_C).contains(&new.temp_c));
        }
        if let (KeptEnd::Drop, Some(drop_s)) = (keep, reach_s(&plan, Boundary::Drop)) {
            let found_s = reach_s(after, Boundary::Drop);
            prop_assert!(found_s.is_some_and(|found_s| (found_s - drop_s).abs() <= 0.1), "{:?}", found_s);
        }
        history.undo();
        prop_assert_eq!(&**history.plan(), &plan);
    }

    #[test]
    fn any_moved_boundary_leaves_the_others_and_all_temperatures(
        plan in arbitrary::plan(),
        boundary in select(Boundary::ALL.to_vec()),
        by_s in -40.0..40.0_f64,
    ) {
        let Some(now_s) = reach_s(&plan, boundary) else { return Ok(()) };
        let to_s = now_s + by_s;
        let mut history = History::of_saved(plan.clone());
        if history.apply(&Edit::MoveBoundary { boundary, to_s }).is_err() {
            return Ok(());
        }
        let after = history.plan();
        for other in Boundary::ALL {
            let (old_s, new_s) = (reach_s(&plan, other), reach_s(after, other));
            let wanted_s = if other == boundary { Some(to_s) } else { old_s };
            // A mark that lies on the moved boundary goes with it.
            if other != boundary && old_s == Some(now_s) {
                continue;
            }
            // What wasn't reached may be reached now: a smooth curve can overshoot a point.
            let Some(wanted_s) = wanted_s else { continue };
            let is_kept = new_s.is_some_and(|new_s| (wanted_s - new_s).abs() <= 0.1);
            prop_assert!(is_kept, "{other:?} {wanted_s:?} {new_s:?}");
        }
        for (old, new) in plan.curve.points().iter().zip(after.curve.points()) {
            prop_assert_eq!(old.temp_c, new.temp_c);
        }
        history.undo();
        prop_assert_eq!(&**history.plan(), &plan);
    }

    #[test]
    fn any_straightening_is_done_at_once(
        plan in arbitrary::plan(),
        from in 1..12_u32,
        to in 1..12_u32,
    ) {
        let Ok(once) = plan.edited(&straighten(from, to)) else { return Ok(()) };
        prop_assert_eq!(&once.edited(&straighten(from, to)).unwrap(), &once);
        for id in [from, to] {
            let place = |plan: &Plan| plan.curve.point(PointId(id)).map(ControlPoint::place);
            prop_assert_eq!(place(&once), place(&plan));
        }
    }

    #[test]
    fn any_easing_falls_to_the_drop(plan in arbitrary::plan(), share in 0.1..0.9_f64) {
        let edit = ease(None, RiseAtDrop::Share(share));
        let Ok(after) = plan.edited(&edit) else { return Ok(()) };
        let [crack_s, new_crack_s] = [&plan, &after]
            .map(|plan| reach_s(plan, Boundary::Mark(MarkName::FirstCrack)).unwrap());
        prop_assert!((crack_s - new_crack_s).abs() <= 0.1, "{crack_s} {new_crack_s}");
        let again = after.edited(&edit).unwrap();
        for (once, twice) in after.curve.points().iter().zip(again.curve.points()) {
            prop_assert_eq!(once.time_s, twice.time_s);
            prop_assert!((once.temp_c - twice.temp_c).abs() < 1e-5, "{once:?} {twice:?}");
        }
        let drop_s = reach_s(&after, Boundary::Drop).unwrap();
        // The easing begins with the first point that there is room for, at most 2 s behind first crack.
        let beginning_s = new_crack_s + 2.0;
        let mut last = f64::INFINITY;
        for step in 0..=100 {
            let time_s = beginning_s + (drop_s - 1.0 - beginning_s) * f64::from(step) / 100.0;
            let rise = after.curve.rise_c_per_s(time_s);
            prop_assert!(rise <= last + 1e-6, "{rise} after {last} at {time_s}");
            last = rise;
        }
    }
}

/// The properties above mean nothing if nearly everything is refused.
#[test]
fn most_sensible_wishes_are_granted() {
    let mut counts = [0; 4];
    let mut runner = TestRunner::deterministic();
    let strategy = (
        arbitrary::plan(),
        0..12_usize,
        0.7..1.4_f64,
        -15.0..15.0_f64,
    );
    for _ in 0..300 {
        let (plan, number, factor, by_s) = strategy.new_tree(&mut runner).unwrap().current();
        let points = plan.curve.points();
        let index = number % points.len();
        let to = plan.curve.rise_c_per_s(points[index].time_s) * factor;
        let id = points[index].id.0;
        let next = points[(index + 2) % points.len()].id.0;
        let boundary = Boundary::Mark(MarkName::ColourChange);
        let moved = reach_s(&plan, boundary).map(|now_s| Edit::MoveBoundary {
            boundary,
            to_s: now_s + by_s,
        });
        let edits = [
            Some(bend(id, to, KeptEnd::Start)),
            Some(bend(id, to, KeptEnd::Drop)),
            Some(straighten(id, next)),
            moved,
        ];
        for (count, edit) in counts.iter_mut().zip(edits) {
            *count += i32::from(edit.is_some_and(|edit| plan.edited(&edit).is_ok()));
        }
    }
    assert!(counts.iter().all(|&count| 75 < count), "{counts:?} of 300");
}
