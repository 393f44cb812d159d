//! Undo by construction: whatever was done can be taken back and made again, bit for bit.
#![allow(
    missing_docs,
    unused_crate_dependencies,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::missing_assert_message,
    reason = "a test may stop at the first surprise"
)]

mod arbitrary;

use chaffinch_craft::{Edit, GestureId, History, MAX_STEPS, MarkName, Plan};
use chaffinch_curve::{CurvePoint, PointEdit, PointId};
use proptest::{prelude::*, strategy::ValueTree};
use std::sync::Arc;

fn moved(temp_c: f64) -> Edit {
    let to = CurvePoint {
        time_s: 510.0,
        temp_c,
    };
    Edit::Points(PointEdit::Move { id: PointId(2), to })
}

proptest! {
    // With up to 500 edits a run, about 3 s without optimisation.
    #![proptest_config(ProptestConfig::with_cases(1_000))]

    #[test]
    fn undoing_all_gives_the_original_and_redoing_all_the_final_plan(
        plan in arbitrary::plan(),
        edits in prop::collection::vec(arbitrary::edit(), 1..=500),
    ) {
        let mut history = History::of_saved(plan.clone());
        let mut states = vec![Arc::clone(history.plan())];
        for edit in &edits {
            let before = history.plan().clone();
            if history.apply(edit).is_err() {
                prop_assert_eq!(&before, history.plan(), "a refused edit changed the plan: {:?}", edit);
            } else {
                states.extend((before != *history.plan()).then(|| Arc::clone(history.plan())));
            }
        }
        prop_assert_eq!(history.past().len(), states.len() - 1);
        for state in states.iter().rev().skip(1) {
            prop_assert!(history.undo());
            prop_assert_eq!(history.plan(), state);
        }
        prop_assert_eq!(&**history.plan(), &plan);
        prop_assert!(!history.is_modified());
        for state in states.iter().skip(1) {
            prop_assert!(history.redo());
            prop_assert_eq!(history.plan(), state);
        }
        prop_assert!(!history.redo(), "nothing is left to make again");
    }

    #[test]
    fn any_edit_is_taken_back_by_one_undo(plan in arbitrary::plan(), edit in arbitrary::edit()) {
        let mut history = History::of_saved(plan.clone());
        if history.apply(&edit).is_ok() && history.past().len() == 1 {
            prop_assert!(history.undo());
            prop_assert_eq!(&**history.plan(), &plan);
        }
    }
}

#[test]
fn five_hundred_commands_come_back() {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let edits = prop::collection::vec(arbitrary::edit(), 500..501);
    let edits = edits.new_tree(&mut runner).unwrap().current();
    let mut history = History::of_saved(Plan::fresh());
    let accepted = edits
        .iter()
        .filter(|edit| history.apply(edit).is_ok())
        .count();
    assert!(
        100 < accepted,
        "{accepted} of 500 were accepted: too few to mean anything"
    );
    while history.undo() {}
    assert_eq!(**history.plan(), Plan::fresh());
}

#[test]
fn a_drag_of_a_thousand_moves_is_one_step() {
    let mut history = History::of_saved(Plan::fresh());
    for step in 0..1_000 {
        history
            .drag(GestureId(1), &moved(218.0 + f64::from(step) * 0.01))
            .unwrap();
    }
    assert!(history.is_dragging());
    history.release();
    assert_eq!(history.past().collect::<Vec<_>>(), ["Moved point 2"]);
    assert!(history.undo());
    assert_eq!(**history.plan(), Plan::fresh());
}

#[test]
fn a_cancelled_drag_leaves_no_trace() {
    let mut history = History::of_saved(Plan::fresh());
    history.drag(GestureId(1), &moved(230.0)).unwrap();
    history.cancel();
    assert_eq!(**history.plan(), Plan::fresh());
    assert_eq!(history.past().len(), 0);
    assert!(!history.is_modified());
}

#[test]
fn a_drag_back_to_where_it_began_is_no_step() {
    let mut history = History::of_saved(Plan::fresh());
    history.drag(GestureId(1), &moved(230.0)).unwrap();
    history.drag(GestureId(1), &moved(218.0)).unwrap();
    history.release();
    assert_eq!(history.past().len(), 0);
}

#[test]
fn a_refused_move_keeps_the_last_good_one() {
    let mut history = History::of_saved(Plan::fresh());
    history.drag(GestureId(1), &moved(230.0)).unwrap();
    assert!(history.drag(GestureId(1), &moved(400.0)).is_err());
    history.release();
    assert_eq!(history.plan().curve.last().temp_c, 230.0);
}

#[test]
fn depth_is_bounded_and_the_oldest_steps_go_first() {
    let mut history = History::of_saved(Plan::fresh());
    for step in 0..MAX_STEPS + 10 {
        history.apply(&moved(200.0 + step as f64 * 0.01)).unwrap();
    }
    assert_eq!(history.past().len(), MAX_STEPS);
    while history.undo() {}
    assert_eq!(
        history.plan().curve.last().temp_c,
        200.09,
        "ten steps were let go"
    );
}

#[test]
fn undoing_to_the_saved_state_clears_the_mark() {
    let mut history = History::of_saved(Plan::fresh());
    history.apply(&moved(220.0)).unwrap();
    history.mark_saved();
    history.apply(&moved(225.0)).unwrap();
    assert!(history.is_modified());
    history.undo();
    assert!(!history.is_modified());
    history.undo();
    assert!(history.is_modified(), "before the save");
}

#[test]
fn jumping_goes_to_any_named_state_and_back() {
    let mut history = History::of_saved(Plan::fresh());
    for temp_c in [220.0, 225.0, 228.0] {
        history.apply(&moved(temp_c)).unwrap();
    }
    history
        .apply(&Edit::SetMark {
            mark: MarkName::FirstCrack,
            temp_c: 200.0,
        })
        .unwrap();
    history.jump_to(1);
    assert_eq!(history.plan().curve.last().temp_c, 220.0);
    assert_eq!(history.future().last(), Some("Moved first crack"));
    history.jump_to(4);
    assert_eq!(history.plan().marks.first_crack_c, 200.0);
}
