//! What a screen reader meets: every control has a name, every point a name, a value and actions.
//!
//! What is right comes from the rows K2, K4, K5, K7 and L1 of `features.md` and from issue 2, section 5.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise; its name says what is checked"
)]

mod desk;

use chaffinch::desk::{
    commands::{Command, TABLE},
    dialogs::Dialog,
    prefs::Prefs,
};
use desk::{Desk, WINDOW, settled_prefs};
use eframe::egui::{
    Event, Key, Modifiers, Vec2,
    accesskit::{Action, Role},
};
use egui_kittest::kittest::NodeT;
use std::collections::BTreeSet;

/// Something that can be acted on: it takes the focus, a value or a click.
fn is_control(node: &egui_kittest::kittest::AccessKitNode<'_>) -> bool {
    let takes = |action| node.data().supports_action(action);
    // A row of a table takes the click of a pointer beside its named button, and nothing else.
    let is_row = node.role() == Role::GenericContainer && !takes(Action::Focus);
    takes(Action::Focus)
        || takes(Action::SetValue)
        || takes(Action::Increment)
        || takes(Action::Click) && !is_row
}

/// What of the window can be acted on and has no name.
fn unnamed(desk: &Desk) -> Vec<String> {
    let nodes = desk.root().children_recursive();
    nodes
        .filter_map(|node| {
            let node = node.accesskit_node();
            let is_named = node.label().is_some_and(|label| !label.trim().is_empty());
            // A scroll bar says by its role what it is; the lines of a text field belong to the field.
            let is_exempt = matches!(node.role(), Role::ScrollBar | Role::TextRun | Role::Label);
            (is_control(&node) && !is_named && !is_exempt)
                .then(|| format!("{:?} {:?}", node.role(), node.raw_bounds()))
        })
        .collect()
}

/// Names that two controls of one role share.
fn shared_names(desk: &Desk) -> Vec<String> {
    let mut seen = BTreeSet::new();
    let nodes = desk.root().children_recursive();
    nodes
        .filter_map(|node| {
            let node = node.accesskit_node();
            let name = node
                .label()
                .filter(|_| is_control(&node) && node.role() != Role::Label)?;
            (!seen.insert((format!("{:?}", node.role()), name.clone()))).then_some(name)
        })
        .collect()
}

fn assert_named(desk: &Desk, place: &str) {
    assert_eq!(unnamed(desk), Vec::<String>::new(), "{place}: unnamed");
    assert_eq!(
        shared_names(desk),
        Vec::<String>::new(),
        "{place}: names that are not unique"
    );
}

/// K7: no unnamed control; nodes ≥ points + buttons.
#[test]
fn every_control_has_a_name_of_its_own() {
    for size in [WINDOW, Vec2::new(1000.0, 640.0), Vec2::new(1920.0, 1080.0)] {
        let mut desk = Desk::open(None, settled_prefs(), size);
        assert_named(&desk, &format!("{size:?}"));
        desk.click_point(3, Modifiers::NONE);
        assert_named(&desk, "with a point selected");
        desk.ctrl(Key::A);
        assert_named(&desk, "with all points selected");
        desk.ctrl(Key::P);
        for page in ["Points", "Airflow", "Move and stretch", "History"] {
            let name = format!("Page: {page}");
            let at = desk.named(Role::RadioButton, &name).rect().center();
            desk.click_at(at, Modifiers::NONE);
            assert_named(&desk, page);
        }
    }
}

#[test]
fn tree_holds_at_least_points_and_buttons() {
    let desk = Desk::example();
    let roles: Vec<Role> = desk
        .root()
        .children_recursive()
        .map(|node| node.accesskit_node().role())
        .collect();
    let count = |wanted: Role| roles.iter().filter(|&&role| role == wanted).count();
    // Nine points, two marks, three boundaries, three finishes and four airflow points are spin buttons, and the rise at the eight
    // points up to the drop.
    assert_eq!(count(Role::SpinButton), 9 + 2 + 3 + 3 + 4 + 8);
    assert!(count(Role::Button) >= 8);
    assert!(roles.len() >= desk.points().len() + count(Role::Button));
}

/// K7 for every dialog, each reached as a person reaches it.
#[test]
fn dialogs_have_named_controls_and_can_be_left() {
    let keys = [Key::F1, Key::F2];
    for key in keys {
        let mut desk = Desk::example();
        desk.key(key);
        assert_dialog(&mut desk, &format!("{key:?}"));
    }
    let mut desk = Desk::example();
    desk.ctrl(Key::D);
    assert_dialog(&mut desk, "description");
    // No chooser in the script: the typed path.
    let mut desk = Desk::example();
    desk.ctrl(Key::E);
    assert_dialog(&mut desk, "typed path");
    let mut desk = Desk::example();
    desk.tab_to("Point 3 of 9");
    desk.key(Key::ArrowUp);
    desk.ctrl(Key::N);
    assert!(matches!(
        desk.state().view().dialog,
        Some(Dialog::Unsaved(_))
    ));
    assert_dialog(&mut desk, "unsaved");
    for text in ["0:00\t105\n8:00\t214", "nonsense"] {
        let mut desk = Desk::example();
        desk.event(Event::Paste(text.to_owned()));
        desk.run();
        assert_dialog(&mut desk, "paste");
    }
    let mut desk = Desk::example();
    desk.chooser
        .answer(std::path::Path::new("/nowhere/at/all.ron"));
    desk.ctrl(Key::O);
    assert!(matches!(
        desk.state().view().dialog,
        Some(Dialog::Trouble(_))
    ));
    assert_dialog(&mut desk, "trouble");
}

fn assert_dialog(desk: &mut Desk, place: &str) {
    assert!(desk.state().view().dialog.is_some(), "{place} is open");
    // A dialog may say "Save" as the window behind it does.
    assert_eq!(unnamed(desk), Vec::<String>::new(), "{place}: unnamed");
    assert!(
        !desk.focused().is_empty(),
        "{place}: something in it has the focus"
    );
    desk.key(Key::Escape);
    assert!(
        desk.state().view().dialog.is_none(),
        "{place}: Esc leaves it"
    );
}

/// Issue 2, section 5: the cautions come at the first start, and only their button says that they were read.
#[test]
fn cautions_come_first_and_are_read_once() {
    let mut desk = Desk::open(None, Prefs::default(), WINDOW);
    assert!(matches!(desk.state().view().dialog, Some(Dialog::Cautions)));
    assert_named(&desk, "first start");
    for caution in &chaffinch_craft::CAUTIONS {
        assert!(desk.says(caution.heading), "{}", caution.heading);
    }
    desk.key(Key::Escape);
    assert!(!desk.state().prefs().cautions_read, "Esc puts them off");
    desk.click("Cautions");
    desk.click("I have read this");
    assert!(desk.state().prefs().cautions_read);
    assert!(desk.state().view().dialog.is_none());
    // The first-start notes follow; each can be closed.
    for note in [
        "Close the note on dragging",
        "Close the note on finishes",
        "Close the note on reach",
        "Close the note on exact numbers",
    ] {
        desk.click(note);
    }
    assert_eq!(desk.state().prefs().hints_done, 0b1111);
}

/// K2: "Point 3 of 7", value with time, temperature and slope.
#[test]
fn points_say_time_temperature_and_rise() {
    let mut desk = Desk::example();
    // 290 s = 4:50; the rise is that of the curve, in °C/min.
    let rise = desk.plan().curve.rise_c_per_s(290.0) * 60.0;
    assert_eq!(
        Desk::spoken(&desk.handle(6)),
        format!("4:50, 188 °C, rising {rise:.1} °C/min")
    );
    desk.ctrl(Key::U);
    // 188 °C × 9/5 + 32 = 370.4 °F; a rate carries no 32.
    let rise = rise * 9.0 / 5.0;
    assert_eq!(
        Desk::spoken(&desk.handle(6)),
        format!("4:50, 370.4 °F, rising {rise:.1} °F/min")
    );
}

/// K2: increment, decrement and set value.
#[test]
fn reader_moves_a_point_by_its_actions() {
    let mut desk = Desk::example();
    for node in [desk.handle(6)] {
        let data = node.accesskit_node();
        for action in [
            Action::Increment,
            Action::Decrement,
            Action::SetValue,
            Action::Focus,
        ] {
            assert!(data.data().supports_action(action), "{action:?}");
        }
        assert_eq!(data.numeric_value(), Some(188.0));
        assert_eq!(
            (data.min_numeric_value(), data.max_numeric_value()),
            (Some(0.0), Some(320.0))
        );
    }
    desk.handle(6).increment_accesskit();
    desk.run();
    assert_eq!(desk.places()[5], (290.0, 189.0));
    desk.handle(6).decrement_accesskit();
    desk.handle(6).decrement_accesskit();
    desk.run();
    assert_eq!(desk.places()[5], (290.0, 187.0));
    desk.handle(6).set_value_accesskit(191.25);
    desk.run();
    assert_eq!(desk.places()[5], (290.0, 191.25));
    desk.handle(6).set_value_accesskit(1e9);
    desk.run();
    assert_eq!(desk.places()[5], (290.0, 320.0), "as far as it goes");
    assert!(
        desk.says("no point goes above 320 °C"),
        "and says why: {}",
        desk.refusal()
    );
    desk.handle(6).set_value_accesskit(f64::NAN);
    desk.run();
    assert_eq!(
        desk.places()[5],
        (290.0, 320.0),
        "what is no number changes nothing"
    );
}

/// K2: time as well, by a value field of the point.
#[test]
fn reader_sets_time_and_temperature_in_fields() {
    let mut desk = Desk::example();
    desk.handle(6).focus();
    desk.run();
    desk.field("Exact time of point 6").focus();
    desk.run();
    desk.field("Exact time of point 6")
        .set_text_value_accesskit("5:00");
    desk.run();
    desk.key(Key::Enter);
    assert_eq!(desk.places()[5], (300.0, 188.0));
}

/// K2 for the other handles.
#[test]
fn reader_moves_marks_finishes_boundaries_and_airflow() {
    let mut desk = Desk::example();
    desk.spin("Colour change").set_value_accesskit(155.0);
    desk.run();
    assert_eq!(desk.plan().marks.colour_change_c, 155.0);
    desk.spin("Finish omni").increment_accesskit();
    desk.run();
    assert_eq!(desk.plan().finishes.finishes()[2].temp_c, 215.0);
    desk.spin("Airflow point 3 of 4").set_value_accesskit(66.0);
    desk.run();
    assert_eq!(desk.plan().airflow.points()[2].percent, 66.0);
    desk.spin("Time of first crack").set_value_accesskit(380.0);
    desk.run();
    let first_crack_s = desk.derived().phases.first_crack.reached().unwrap().time_s;
    assert!((first_crack_s - 380.0).abs() <= 0.1, "{first_crack_s}");
}

/// K7 and `house-style.md` section 6: every command can be reached by key, and most by a named control.
#[test]
fn every_command_of_the_table_has_a_key_and_a_name() {
    for entry in TABLE {
        assert!(entry.key.is_some(), "{}", entry.label);
        assert!(
            !entry.label.is_empty() && entry.hint.len() > entry.label.len() / 2,
            "{}",
            entry.label
        );
    }
    // What changes or leaves the plan can be done without knowing a key.
    let mut desk = Desk::example();
    desk.click_point(5, Modifiers::NONE);
    desk.ctrl(Key::P);
    for name in [
        "Undo",
        "Redo",
        "Save",
        "Export…",
        "Plan",
        "Cautions",
        "Keys",
        "Add",
        "Remove",
        "Copy",
        "Paste…",
        "Lay a plan behind…",
    ] {
        let found = desk.root().children_recursive().any(|node| {
            let node = node.accesskit_node();
            node.role() == Role::Button && node.label().as_deref() == Some(name)
        });
        assert!(found, "there is a button “{name}”");
    }
    for (menu, rows) in [
        (
            "Plan",
            [Command::New, Command::Open, Command::SaveAs].as_slice(),
        ),
        ("Export…", &[]),
    ] {
        desk.click(menu);
        for command in rows {
            let label = command.entry().label;
            assert!(desk.says(label), "{menu} offers {label}");
        }
        desk.key(Key::Escape);
    }
}

/// K5: the chart has a text, spoken on demand: phases and findings.
#[test]
fn curve_is_described_in_words() {
    let mut desk = Desk::example();
    desk.ctrl(Key::D);
    let text = chaffinch_craft::describe_curve(
        &desk.plan(),
        desk.derived(),
        desk.outlook(),
        chaffinch_craft::units::TempUnit::Celsius,
    );
    let words = desk.words().join("\n");
    for sentence in text.lines().filter(|line| !line.is_empty()) {
        assert!(words.contains(sentence), "{sentence}");
    }
    for phase in ["drying", "browning", "development"] {
        assert!(text.to_lowercase().contains(phase), "{phase}");
    }
}

/// K6: what has the focus lies inside the window, so that its ring can be seen.
#[test]
fn focus_never_leaves_the_window() {
    for size in [WINDOW, Vec2::new(1000.0, 640.0)] {
        let mut desk = Desk::open(None, settled_prefs(), size);
        desk.ctrl(Key::P);
        let window =
            eframe::egui::Rect::from_min_size(eframe::egui::Pos2::ZERO, size + Vec2::splat(16.0));
        let mut met = BTreeSet::new();
        for _ in 0..250 {
            desk.key(Key::Tab);
            let name = desk.focused();
            assert!(
                !name.is_empty(),
                "Tab stops only at named controls, after {met:?}"
            );
            let rect = desk.focused_rect();
            assert!(window.contains_rect(rect), "{name} at {rect:?} in {size:?}");
            if !met.insert(name.clone()) {
                break;
            }
        }
        assert!(met.len() > 40, "{}", met.len());
        assert!(met.contains("Point 9 of 9"));
    }
}
