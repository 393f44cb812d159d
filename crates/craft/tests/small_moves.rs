//! Moves of marks, finishes and airflow points by small steps, how far marks may go, and what is said of it.
//!
//! Expected values are typed decimals: what a person would write after adding up the steps by hand.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise; its name says what is checked"
)]

use chaffinch_craft::{
    AirEdit, Derived, Edit, FinishEdit, GestureId, History, MarkName, Outlook, Plan,
    describe_curve, mark_limits_c, summary_text,
    units::{TempUnit, describe_rise},
};

/// Adding 0.1 to a double again and again leaves noise: 0.1 + 0.2 is not 0.3 (IEEE 754).
#[test]
fn tenths_added_up_leave_no_binary_noise() {
    let mut plan = Plan::fresh();
    let finish = plan.finish().id;
    let air = plan.airflow.points()[0].id;
    for _ in 0..7 {
        let edits = [
            Edit::SetMark {
                mark: MarkName::FirstCrack,
                temp_c: plan.marks.first_crack_c + 0.1,
            },
            Edit::Finish(FinishEdit::Move {
                id: finish,
                temp_c: plan.finish().temp_c + 0.1,
            }),
            Edit::Air(AirEdit::Move {
                id: air,
                time_s: 0.0,
                percent: plan.airflow.points()[0].percent + 0.1,
            }),
        ];
        plan = edits
            .iter()
            .fold(plan, |plan, edit| plan.edited(edit).unwrap());
    }
    assert_eq!(plan.marks.first_crack_c, 198.7);
    assert_eq!(plan.finish().temp_c, 212.7);
    assert_eq!(plan.airflow.points()[0].percent, 80.7);
}

#[test]
fn marks_may_go_to_their_limits_and_no_further() {
    let plan = Plan::fresh();
    assert_eq!(
        mark_limits_c(&plan, MarkName::ColourChange),
        (0.0, 197.9),
        "first crack at 198 °C"
    );
    assert_eq!(
        mark_limits_c(&plan, MarkName::FirstCrack),
        (160.1, 320.0),
        "colour change at 160 °C"
    );
    for mark in MarkName::ALL {
        let (least_c, most_c) = mark_limits_c(&plan, mark);
        for temp_c in [least_c, most_c] {
            assert!(plan.edited(&Edit::SetMark { mark, temp_c }).is_ok());
        }
    }
}

#[test]
fn a_mark_nearer_to_the_other_than_usual_may_stay() {
    let near = Edit::SetMark {
        mark: MarkName::ColourChange,
        temp_c: 197.95,
    };
    let plan = Plan::fresh().edited(&near).unwrap();
    assert_eq!(mark_limits_c(&plan, MarkName::ColourChange).1, 197.95);
    assert_eq!(mark_limits_c(&plan, MarkName::FirstCrack).0, 198.0);
}

#[test]
fn a_drop_that_is_not_reached_and_a_single_stop_are_said_plainly() {
    let plan = Plan::fresh();
    let beyond = FinishEdit::Move {
        id: plan.finish().id,
        temp_c: 230.0,
    };
    let plan = plan.edited(&Edit::Finish(beyond)).unwrap();
    let text = describe_curve(
        &plan,
        &Derived::of(&plan),
        &Outlook::of(&plan),
        TempUnit::Celsius,
    );
    assert!(text.contains(". Drop not reached. "), "{text}");
    assert!(text.ends_with(" 1 stop, 1 note."), "{text}");
}

#[test]
fn a_drop_below_first_crack_is_said_to_come_before_it() {
    let plan = Plan::fresh();
    let below = FinishEdit::Move {
        id: plan.finish().id,
        temp_c: 190.0,
    };
    let plan = plan.edited(&Edit::Finish(below)).unwrap();
    let derived = Derived::of(&plan);
    let text = describe_curve(&plan, &derived, &Outlook::of(&plan), TempUnit::Celsius);
    assert!(text.contains("development before first crack. "), "{text}");
    let text = summary_text(&plan, &derived, &Outlook::of(&plan), TempUnit::Celsius);
    assert_eq!(text.matches("before first crack\n").count(), 3, "{text}");
    // A finish that the curve never gets to is said once not to be reached.
    let beyond = FinishEdit::Move {
        id: plan.finish().id,
        temp_c: 230.0,
    };
    let plan = plan.edited(&Edit::Finish(beyond)).unwrap();
    let text = summary_text(
        &plan,
        &Derived::of(&plan),
        &Outlook::of(&plan),
        TempUnit::Celsius,
    );
    let line = text.lines().find(|line| line.starts_with('*')).unwrap();
    assert!(line.ends_with("230 °C      not reached"), "{line}");
}

/// Limits that are read from the plan before the gesture can't creep with the drag.
#[test]
fn the_plan_before_a_gesture_can_be_read_while_it_lasts() {
    let mut history = History::of_saved(Plan::fresh());
    let start = history.plan().clone();
    for temp_c in [150.0, 140.0] {
        let edit = Edit::SetMark {
            mark: MarkName::ColourChange,
            temp_c,
        };
        history.drag(GestureId(1), &edit).unwrap();
        assert_eq!(history.before_gesture(), &start);
        assert_ne!(history.plan(), &start);
    }
    history.release();
    assert_eq!(history.before_gesture(), history.plan());
}

#[test]
fn a_falling_rise_is_said_to_fall() {
    let said = |rise_c_per_min: f64| describe_rise(rise_c_per_min / 60.0, TempUnit::Celsius);
    assert_eq!(said(9.0), "rising 9.0 °C/min");
    assert_eq!(said(-1.5), "falling 1.5 °C/min");
    assert_eq!(said(-0.01), "rising 0.0 °C/min", "what is shown as zero");
}
