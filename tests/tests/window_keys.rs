//! The desk without a pointer: the whole task by keyboard, and what each key does at a point.
//!
//! What is right comes from the rows K1, K3, N5, K8 and H1 of `features.md`, named beside each check.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise; its name says what is checked"
)]

mod desk;

use chaffinch::desk::{commands::TABLE, dialogs::Dialog};
use chaffinch_curve::{Lock, MAX_TEMP_C, MIN_TEMP_C};
use chaffinch_shelf::{plan_from_neutral, plan_to_ron};
use desk::{Desk, example_path};
use eframe::egui::{Event, Key, Modifiers};
use std::fs;

/// K1: the full task (new, 5 points, lock, check, export, compare) with the keyboard only.
#[test]
fn whole_task_by_keyboard_alone() {
    let folder = tempfile::tempdir().unwrap();
    let (json, ron) = (
        folder.path().join("curve.json"),
        folder.path().join("plan.ron"),
    );
    let mut desk = Desk::example();
    desk.ctrl(Key::N);
    assert_eq!((desk.points().len(), desk.steps()), (2, 0), "new");
    desk.tab_to("Point 1 of 2");
    let wished = [
        ("2:20", "160", 140.0, 160.0),
        ("4:30", "186,5", 270.0, 186.5),
        ("7:05", "206", 425.0, 206.0),
    ];
    for (number, (time, temp, time_s, temp_c)) in (2..).zip(wished) {
        desk.key(Key::Insert);
        assert_eq!(desk.focused(), format!("Point {number} of {}", number + 1));
        desk.key(Key::Enter);
        assert_eq!(desk.focused(), format!("Exact time of point {number}"));
        desk.type_over(time);
        desk.key(Key::Tab);
        assert_eq!(
            desk.focused(),
            format!("Exact temperature of point {number}")
        );
        desk.type_over(temp);
        desk.key(Key::Enter);
        assert_eq!(desk.places()[number - 1], (time_s, temp_c), "exact entry");
        desk.tab_to(&format!("Point {number} of {}", number + 1));
    }
    assert_eq!(desk.points().len(), 5);
    // Lock the last one added.
    desk.ctrl(Key::K);
    assert_eq!(desk.point(4).lock, Lock::Both);
    desk.key(Key::ArrowUp);
    assert_eq!(desk.places()[3], (425.0, 206.0), "locked");
    // Check: the findings are in the tree in words.
    for finding in desk.findings().to_vec() {
        assert!(desk.says(&finding.sentence(chaffinch_craft::units::TempUnit::Celsius)));
    }
    // Export, save.
    desk.chooser.answer(&json);
    desk.ctrl(Key::E);
    let exported = plan_from_neutral(&fs::read_to_string(&json).unwrap()).unwrap();
    // Names of points are the program's own; a file holds their order.
    assert_eq!(plan_to_ron(&exported), plan_to_ron(&desk.plan()));
    desk.chooser.answer(&ron);
    desk.ctrl(Key::S);
    assert_eq!(fs::read_to_string(&ron).unwrap(), plan_to_ron(&desk.plan()));
    assert!(!desk.is_modified());
    // Compare with a pinned plan.
    desk.chooser
        .answer(&example_path("willow-terrace-omni.ron"));
    desk.ctrl(Key::L);
    let behind = desk.state().computed().behind();
    assert_eq!(behind.len(), 1);
    let name = behind[0].name.clone();
    assert!(desk.says(&name), "{name} is listed");
}

/// N5: 1 s and 1 °C, Shift ten times, Alt a tenth.
#[test]
fn arrows_move_by_one_ten_and_a_tenth() {
    let cases = [
        (Modifiers::NONE, Key::ArrowRight, (1.0, 0.0)),
        (Modifiers::NONE, Key::ArrowLeft, (-1.0, 0.0)),
        (Modifiers::NONE, Key::ArrowUp, (0.0, 1.0)),
        (Modifiers::NONE, Key::ArrowDown, (0.0, -1.0)),
        (Modifiers::SHIFT, Key::ArrowRight, (10.0, 0.0)),
        (Modifiers::SHIFT, Key::ArrowDown, (0.0, -10.0)),
        (Modifiers::ALT, Key::ArrowRight, (0.1, 0.0)),
        (Modifiers::ALT, Key::ArrowLeft, (-0.1, 0.0)),
        (Modifiers::ALT, Key::ArrowUp, (0.0, 0.1)),
        (Modifiers::NONE, Key::PageUp, (0.0, 10.0)),
        (Modifiers::NONE, Key::PageDown, (0.0, -10.0)),
    ];
    for (modifiers, key, (by_s, by_c)) in cases {
        let mut desk = Desk::example();
        let view = desk.state().view().lanes.current();
        desk.tab_to("Point 5 of 9");
        desk.key_with(modifiers, key);
        // 210 s and 174 °C; a sum with a tenth is the nearest decimal number.
        let wished: (f64, f64) = (210.0 + by_s, 174.0 + by_c);
        assert_eq!(desk.places()[4], wished, "{modifiers:?} {key:?}");
        assert_eq!(desk.steps(), 1, "{modifiers:?} {key:?}");
        assert_eq!(desk.focused(), "Point 5 of 9", "{key:?} keeps the focus");
        assert_eq!(
            desk.state().view().lanes.current(),
            view,
            "{key:?} leaves the view alone"
        );
    }
}

/// K3: Home and End go to the allowed limits.
#[test]
fn home_and_end_go_to_the_limits() {
    let mut desk = Desk::example();
    desk.tab_to("Point 5 of 9");
    desk.key(Key::Home);
    assert_eq!(desk.places()[4], (210.0, MIN_TEMP_C));
    desk.key(Key::End);
    assert_eq!(desk.places()[4], (210.0, MAX_TEMP_C));
    assert_eq!(desk.steps(), 2);
}

/// A selection moves as one, by the point that has the focus.
#[test]
fn arrows_move_the_whole_selection() {
    let mut desk = Desk::example();
    desk.tab_to("Point 6 of 9");
    desk.ctrl(Key::End);
    let before = desk.places();
    desk.key_with(Modifiers::SHIFT, Key::ArrowRight);
    let after = desk.places();
    assert_eq!(after[..5], before[..5]);
    for index in 5..9 {
        assert_eq!(
            after[index],
            (before[index].0 + 10.0, before[index].1),
            "point {}",
            index + 1
        );
    }
}

/// K2: Tab walks the points in order of time, also after one was added between.
#[test]
fn tab_walks_points_in_order_of_time_and_back() {
    let mut desk = Desk::example();
    desk.tab_to("Point 3 of 9");
    desk.key(Key::Insert);
    let count = desk.points().len();
    assert_eq!((count, desk.focused()), (10, "Point 4 of 10".to_owned()));
    desk.tab_to("Point 1 of 10");
    for number in 2..=count {
        desk.key(Key::Tab);
        assert_eq!(desk.focused(), format!("Point {number} of 10"));
        assert_eq!(desk.selected(), [4], "going by selects nothing");
    }
    for number in (1..count).rev() {
        desk.key_with(Modifiers::SHIFT, Key::Tab);
        assert_eq!(desk.focused(), format!("Point {number} of 10"));
    }
}

/// Keys act on the point that has the focus, together with the selection when it belongs to it; never on another one.
#[test]
fn keys_mean_the_point_with_the_focus() {
    let mut desk = Desk::example();
    desk.click_point(4, Modifiers::NONE);
    desk.tab_to("Point 6 of 9");
    let (fourth, sixth) = (desk.point(4).id, desk.point(6).id);
    desk.key(Key::Enter);
    assert_eq!(desk.focused(), "Exact time of point 6");
    desk.key(Key::Escape);
    desk.tab_to("Point 6 of 9");
    desk.ctrl(Key::K);
    assert_eq!(
        (desk.point(4).lock, desk.point(6).lock),
        (Lock::Free, Lock::Both)
    );
    desk.ctrl(Key::K);
    desk.key(Key::Delete);
    let left: Vec<_> = desk.points().iter().map(|point| point.id).collect();
    assert!(left.contains(&fourth) && !left.contains(&sixth));
}

/// T1: a selection is built by keyboard alone, and the keys then mean all of it.
#[test]
fn selection_is_built_with_the_space_bar() {
    let mut desk = Desk::example();
    for name in ["Point 4 of 9", "Point 6 of 9", "Point 7 of 9"] {
        desk.tab_to(name);
        desk.key(Key::Space);
    }
    assert_eq!(desk.selected(), [4, 6, 7]);
    desk.key(Key::Space);
    assert_eq!(desk.selected(), [4, 6], "and out again");
    desk.tab_to("Point 6 of 9");
    desk.key(Key::ArrowUp);
    assert_eq!((desk.places()[3].1, desk.places()[5].1), (161.0, 189.0));
    desk.key(Key::Delete);
    assert_eq!(desk.points().len(), 7);
}

/// A point taken out of the selection by a click is not what the next key means.
#[test]
fn point_taken_out_is_not_removed() {
    let mut desk = Desk::example();
    desk.click_point(4, Modifiers::NONE);
    desk.click_point(6, Modifiers::COMMAND);
    desk.click_point(6, Modifiers::COMMAND);
    let (fourth, sixth) = (desk.point(4).id, desk.point(6).id);
    desk.key(Key::Delete);
    let left: Vec<_> = desk.points().iter().map(|point| point.id).collect();
    assert!(!left.contains(&fourth) && left.contains(&sixth));
    desk.click_point(3, Modifiers::NONE);
    desk.ctrl(Key::I);
    desk.ctrl(Key::K);
    assert_eq!(desk.point(3).lock, Lock::Free);
    assert_eq!(desk.point(4).lock, Lock::Both);
}

/// Whether a key goes down, repeats while it is held, or goes up.
#[derive(Clone, Copy, PartialEq)]
enum Stroke {
    Down,
    Repeat,
    Up,
}

fn key_event(key: Key, stroke: Stroke) -> Event {
    Event::Key {
        key,
        physical_key: None,
        pressed: stroke != Stroke::Up,
        repeat: stroke == Stroke::Repeat,
        modifiers: Modifiers::NONE,
    }
}

/// H1: one gesture, one step; a held key is one.
#[test]
fn held_key_is_one_step() {
    let mut desk = Desk::example();
    desk.tab_to("Point 5 of 9");
    for turn in 0..30 {
        desk.event(key_event(
            Key::ArrowRight,
            if turn > 0 {
                Stroke::Repeat
            } else {
                Stroke::Down
            },
        ));
        desk.step();
    }
    desk.event(key_event(Key::ArrowRight, Stroke::Up));
    desk.run();
    assert_eq!(desk.places()[4].0, 240.0);
    assert_eq!(
        (desk.steps(), desk.last_step()),
        (1, "Moved point 5".to_owned())
    );
    desk.key(Key::ArrowRight);
    assert_eq!(desk.steps(), 2, "pressed anew it is another step");
    desk.ctrl(Key::Z);
    desk.ctrl(Key::Z);
    assert_eq!(desk.places()[4].0, 210.0);
    desk.ctrl(Key::Y);
    assert_eq!(desk.places()[4].0, 240.0);
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert_eq!(desk.places()[4].0, 241.0);
}

/// A point that can't go on says why, while the key is held and after.
#[test]
fn held_key_stops_at_the_neighbour_with_words() {
    let mut desk = Desk::example();
    desk.tab_to("Point 9 of 9");
    for _ in 0..4 {
        desk.key_with(Modifiers::SHIFT, Key::ArrowLeft);
    }
    assert_eq!(desk.places()[8].0, 456.0, "1 s behind the point at 455 s");
    assert!(desk.refusal().contains("neighbour"), "{}", desk.refusal());
    assert!(desk.says(&desk.refusal()));
}

/// K1: marks, boundaries, finishes and airflow points move by keys too.
#[test]
fn other_handles_move_by_keys() {
    let mut desk = Desk::example();
    desk.tab_to("First crack");
    desk.key(Key::ArrowUp);
    assert_eq!(desk.plan().marks.first_crack_c, 201.0);
    desk.tab_to("Finish omni");
    desk.key(Key::ArrowDown);
    assert!(
        desk.plan()
            .finishes
            .finishes()
            .iter()
            .any(|finish| finish.temp_c == 213.0)
    );
    desk.key(Key::Space);
    assert_eq!(desk.plan().finish().name, "omni");
    desk.tab_to("Finish light filter");
    desk.key(Key::Enter);
    assert!(
        desk.says("Name of finish light filter"),
        "Enter opens the menu"
    );
    assert_eq!(desk.plan().finish().name, "omni", "and chooses nothing");
    desk.key(Key::Escape);
    desk.tab_to("Airflow point 2 of 4");
    desk.key_with(Modifiers::SHIFT, Key::ArrowUp);
    assert_eq!(desk.plan().airflow.points()[1].percent, 88.0);
    desk.key(Key::Delete);
    assert_eq!(desk.plan().airflow.points().len(), 3);
    desk.tab_to("Time of first crack");
    let before_s = desk.derived().phases.first_crack.reached().unwrap().time_s;
    desk.key_with(Modifiers::SHIFT, Key::ArrowRight);
    desk.run();
    let after_s = desk.derived().phases.first_crack.reached().unwrap().time_s;
    // Whole seconds from where it was; the stretch itself is exact to 0.1 s (`warp.rs`).
    assert!(
        (after_s - before_s.round() - 10.0).abs() <= 0.1,
        "{before_s} then {after_s}"
    );
}

/// A held key on such a handle is one step as well (H1).
#[test]
fn held_key_on_a_mark_is_one_step() {
    let mut desk = Desk::example();
    desk.tab_to("First crack");
    for turn in 0..5 {
        desk.event(key_event(
            Key::ArrowUp,
            if turn > 0 {
                Stroke::Repeat
            } else {
                Stroke::Down
            },
        ));
        desk.step();
    }
    desk.event(key_event(Key::ArrowUp, Stroke::Up));
    desk.run();
    assert_eq!(desk.plan().marks.first_crack_c, 205.0);
    assert_eq!(desk.steps(), 1);
}

/// The step ends when the key is let go, wherever the focus is by then.
#[test]
fn key_let_go_after_the_focus_went_on_ends_its_step() {
    let mut desk = Desk::example();
    desk.tab_to("Point 5 of 9");
    desk.event(key_event(Key::ArrowUp, Stroke::Down));
    desk.step();
    desk.key(Key::Tab);
    assert_eq!(desk.focused(), "Point 6 of 9");
    desk.event(key_event(Key::ArrowUp, Stroke::Up));
    desk.run();
    assert_eq!(desk.state().view().gesture, None);
    assert_eq!(desk.steps(), 1);
}

/// K8: F1 lists every key of the table, and what it says about arrows is what they do.
#[test]
fn help_page_lists_every_key_as_it_is() {
    let mut desk = Desk::example();
    desk.key(Key::F1);
    assert!(matches!(desk.state().view().dialog, Some(Dialog::Keys)));
    let words = desk.words();
    for entry in TABLE {
        assert!(
            words.iter().any(|word| word == entry.label),
            "{}",
            entry.label
        );
    }
    assert!(desk.says("Earlier or later by 1 s"));
    assert!(
        desk.says("Hotter or cooler by 1 °C"),
        "N5: arrows move by 1 °C"
    );
    desk.key(Key::Escape);
    assert!(desk.state().view().dialog.is_none());
}

/// Keys of the table do what they say without a pointer.
#[test]
fn keys_of_the_view_and_the_dialogs_work() {
    let mut desk = Desk::example();
    desk.tab_to("Point 5 of 9");
    let whole = desk.state().view().lanes.current();
    desk.ctrl(Key::Plus);
    let closer = desk.state().view().lanes.current();
    assert!(closer.time_s.width() < whole.time_s.width());
    desk.ctrl(Key::Minus);
    assert!(desk.state().view().lanes.current().time_s.width() > closer.time_s.width());
    desk.ctrl(Key::Num0);
    assert_eq!(desk.state().view().lanes.current(), whole);
    desk.ctrl(Key::Num1);
    desk.tab_to("Point 7 of 9");
    desk.ctrl(Key::Num2);
    assert_eq!(desk.state().view().measure_s, [Some(210.0), Some(375.0)]);
    // D4: 375 s − 210 s = 2:45 and 200 °C − 174 °C = 26 °C.
    assert!(desk.says("+2:45") && desk.says("+26 °C"));
    desk.ctrl(Key::Num3);
    assert_eq!(desk.state().view().measure_s, [None; 2]);
    for (key, heading) in [(Key::F2, "Before you roast"), (Key::F1, "Keys")] {
        desk.key(key);
        assert!(desk.says(heading));
        desk.key(Key::Escape);
        assert!(desk.state().view().dialog.is_none());
    }
    desk.ctrl(Key::D);
    assert!(matches!(
        desk.state().view().dialog,
        Some(Dialog::Description)
    ));
    // K5: the curve in words names its phases.
    assert!(desk.says("development"));
    desk.key(Key::Escape);
    assert_eq!(
        desk.focused(),
        "Point 7 of 9",
        "the focus is back where it was"
    );
}

/// A letter typed in a field is text, not a command (W 2.1.4), and undo in a field is the field's own.
#[test]
fn keys_in_a_text_field_belong_to_the_field() {
    let mut desk = Desk::example();
    desk.click_point(5, Modifiers::NONE);
    let before = desk.plan();
    desk.key(Key::Enter);
    assert_eq!(desk.focused(), "Exact time of point 5");
    for key in [
        Key::Delete,
        Key::Insert,
        Key::End,
        Key::ArrowLeft,
        Key::Backspace,
    ] {
        desk.key(key);
    }
    desk.ctrl(Key::A);
    assert_eq!(desk.selected(), [5], "Ctrl+A selects the text");
    desk.key(Key::Escape);
    assert_eq!(desk.plan(), before);
}
