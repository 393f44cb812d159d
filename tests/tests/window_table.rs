//! The drawer: the curve as a table, paste from a spreadsheet, transforms by number, the history.
//!
//! What is right comes from the rows N1 to N4, T3 to T8, I2, I3, H4 and G3 of `features.md`, named beside each check.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise; its name says what is checked"
)]

mod desk;

use chaffinch::desk::dialogs::Dialog;
use chaffinch_curve::Lock;
use chaffinch_shelf::table_text::{Unstated, read_points};
use desk::Desk;
use eframe::egui::{Event, Key, Modifiers, OutputCommand, accesskit::Role};
use egui_kittest::kittest::NodeT;

fn drawer() -> Desk {
    let mut desk = Desk::example();
    desk.ctrl(Key::P);
    desk
}

fn page(desk: &mut Desk, name: &str) {
    let at = desk.named(Role::RadioButton, name).rect().center();
    desk.click_at(at, Modifiers::NONE);
}

/// N1 and N4: a number typed in the table is in the chart in the same frame.
#[test]
fn number_typed_in_the_table_moves_the_point_in_the_chart() {
    let mut desk = drawer();
    desk.enter("Temperature of point 6", "190.5");
    assert_eq!(desk.places()[5], (290.0, 190.5));
    assert!(Desk::spoken(&desk.handle(6)).starts_with("4:50, 190.5 °C"));
    desk.enter("Time of point 6", "5:00");
    assert_eq!(desk.places()[5], (300.0, 190.5));
    assert_eq!(desk.steps(), 2);
    // And the other way round.
    desk.handle(6).set_value_accesskit(191.0);
    desk.run();
    assert_eq!(
        desk.field("Temperature of point 6").value().as_deref(),
        Some("191")
    );
}

/// N2 and N3: sums, changes and units that are typed.
#[test]
fn changes_and_units_are_understood() {
    let cases = [
        ("Temperature of point 6", "+5", (290.0, 193.0)),
        ("Temperature of point 6", "-3", (290.0, 185.0)),
        ("Temperature of point 6", "195-3", (290.0, 192.0)),
        // 188 × 1.05 = 197.4.
        ("Temperature of point 6", "*1.05", (290.0, 197.4)),
        // 374 °F are 190 °C (from memory).
        ("Temperature of point 6", "374F", (290.0, 190.0)),
        ("Temperature of point 6", "187,5", (290.0, 187.5)),
        ("Time of point 6", "+15", (305.0, 188.0)),
        ("Time of point 6", "-0:15", (275.0, 188.0)),
        ("Time of point 6", "300s", (300.0, 188.0)),
        ("Time of point 6", "5.5min", (330.0, 188.0)),
    ];
    for (field, text, (time_s, temp_c)) in cases {
        let mut desk = drawer();
        desk.enter(field, text);
        let (found_s, found_c) = desk.places()[5];
        assert!(
            (found_s - time_s).abs() < 1e-9 && (found_c - temp_c).abs() < 1e-9,
            "{text}: {found_s} s, {found_c} °C"
        );
        assert_eq!(desk.steps(), 1, "{text}");
    }
}

/// G3 and N2: a bad text keeps what was typed, leaves the value and says what is wrong.
#[test]
fn text_that_is_no_number_stays_with_its_reason() {
    for (field, text) in [
        ("Temperature of point 6", "hot"),
        ("Time of point 6", "4:99"),
        ("Temperature of point 6", "1.234,5x"),
    ] {
        let mut desk = drawer();
        let before = desk.plan();
        desk.enter(field, text);
        assert_eq!(desk.plan(), before, "{text}");
        assert_eq!(
            desk.field(field).value().as_deref(),
            Some(text),
            "what was typed stays"
        );
        let reason = desk.refusal();
        assert!(!reason.is_empty() && desk.says(&reason), "{text}: {reason}");
        // Esc in the field puts the value back.
        desk.field(field).focus();
        desk.run();
        desk.key(Key::Escape);
        assert_eq!(desk.plan(), before);
    }
}

/// A value that the curve refuses is said in words too, and changes nothing.
#[test]
fn value_that_the_curve_refuses_changes_nothing() {
    let mut desk = drawer();
    let before = desk.plan();
    for (field, text) in [
        ("Temperature of point 6", "400"),
        ("Time of point 6", "2:00"),
        ("Time of point 6", "210.5"),
    ] {
        desk.enter(field, text);
        assert_eq!(desk.plan(), before, "{text}");
        assert!(!desk.refusal().is_empty(), "{text}");
        assert!(desk.says(&desk.refusal()), "{text}: {}", desk.refusal());
    }
    assert_eq!(desk.steps(), 0);
}

/// Issue 2, section 2: the rise of a point can be pinned and freed.
#[test]
fn rise_is_pinned_by_typing_and_freed_by_clearing() {
    let mut desk = drawer();
    desk.enter("Rise of point 6", "9");
    // 9 °C/min are 0.15 °C/s.
    assert!((desk.point(6).pinned_rise_c_per_s.unwrap() - 0.15).abs() < 1e-12);
    assert!((desk.plan().curve.rise_c_per_s(290.0) - 0.15).abs() < 1e-9);
    desk.enter("Rise of point 6", "");
    assert_eq!(desk.point(6).pinned_rise_c_per_s, None);
}

/// I2: paste with a preview, one undo step.
#[test]
fn pasted_table_is_shown_then_applied_as_one_step() {
    let mut desk = Desk::example();
    let before = desk.plan();
    desk.event(Event::Paste(
        "Time\tTemperature\n0:00\t104.5\n3:20\t170\n8:00\t213\n".to_owned(),
    ));
    desk.run();
    assert!(matches!(
        desk.state().view().dialog,
        Some(Dialog::Paste { .. })
    ));
    assert_eq!(desk.plan(), before, "a preview changes nothing");
    let ghost = desk.state().computed().ghost().unwrap();
    assert_eq!(ghost.plan.curve.points().len(), 3, "the chart shows it too");
    assert!(
        desk.says("3:20") && desk.says("104.5"),
        "the preview shows the rows"
    );
    assert!(
        !is_offered(&desk, "Replace all points"),
        "the text doesn't say its unit, so a person must"
    );
    desk.click("The temperatures are in: °C");
    desk.click("Replace all points");
    assert_eq!(
        desk.places(),
        [(0.0, 104.5), (200.0, 170.0), (480.0, 213.0)]
    );
    assert_eq!(desk.steps(), 1);
    assert!(desk.state().view().dialog.is_none());
    desk.ctrl(Key::Z);
    assert_eq!(desk.plan(), before);
}

/// Whether there is a button of this name that can be pressed.
fn is_offered(desk: &Desk, name: &str) -> bool {
    desk.root().children_recursive().any(|node| {
        let node = node.accesskit_node();
        node.label().as_deref() == Some(name) && !node.is_disabled()
    })
}

/// I1: a table without a unit is tried in the one that the window shows; 0 silently wrong numbers.
#[test]
fn table_without_a_unit_is_read_in_the_one_that_is_chosen() {
    for (unit, last_c) in [("°C", 213.0), ("°F", 100.556)] {
        let mut desk = Desk::example();
        desk.event(Event::Paste("0\t104.5\n480\t213\n".to_owned()));
        desk.run();
        desk.click(&format!("The temperatures are in: {unit}"));
        desk.click("Replace all points");
        let (time_s, temp_c) = desk.places()[1];
        // (213 − 32) · 5/9 = 100.556, from the units' definitions.
        assert!(
            time_s == 480.0 && (temp_c - last_c).abs() < 1e-3,
            "{unit}: {temp_c}"
        );
    }
}

/// I1: 0 silently wrong numbers; what can't be read is refused with the row.
#[test]
fn table_that_cannot_be_read_is_refused_with_its_place() {
    let mut desk = Desk::example();
    let before = desk.plan();
    desk.event(Event::Paste("0:00\t105\n2:00\twarm\n".to_owned()));
    desk.run();
    assert!(
        desk.says("warm") && desk.says("2"),
        "the row that can't be read is named"
    );
    desk.click("Close");
    assert_eq!(desk.plan(), before);
    // A table that the curve refuses can't be applied.
    desk.event(Event::Paste("0:00\t105\n2:00\t150\n1:00\t160\n".to_owned()));
    desk.run();
    assert!(
        !is_offered(&desk, "Replace all points"),
        "times that fall are no curve"
    );
    desk.key(Key::Escape);
    assert_eq!(desk.plan(), before);
}

/// I3: the clipboard carries a table that is read back to the same numbers.
#[test]
fn copied_points_are_a_table() {
    let mut desk = Desk::example();
    desk.event(Event::Copy);
    desk.step();
    let copied = desk
        .output()
        .platform_output
        .commands
        .iter()
        .find_map(|command| match command {
            OutputCommand::CopyText(text) => Some(text.clone()),
            _ => None,
        });
    let copied = copied.unwrap();
    let first = copied.lines().next().unwrap();
    assert!(
        first.contains('\t') && first.contains("°C"),
        "units in the header: {first}"
    );
    let read: Vec<(f64, f64)> = read_points(&copied, Unstated::default())
        .unwrap()
        .points
        .iter()
        .map(|point| (point.time_s, point.temp_c))
        .collect();
    assert_eq!(read, desk.places());
}

/// T3: a shift by number equals the hand calculation to the last stored digit.
#[test]
fn shift_by_number_is_the_sum_on_paper() {
    let mut desk = drawer();
    desk.click_point(6, Modifiers::NONE);
    desk.ctrl(Key::End);
    page(&mut desk, "Page: Move and stretch");
    desk.enter("Later by", "0:12");
    desk.enter("Hotter by", "-1.3");
    let before = desk.places();
    assert_eq!(desk.steps(), 0, "a preview is no step");
    let ghost = desk.state().computed().ghost().unwrap().plan.curve.points()[5];
    assert_eq!(
        (ghost.time_s, ghost.temp_c),
        (302.0, 186.7),
        "the preview: 290 + 12, 188 − 1.3"
    );
    desk.click("Apply");
    // On paper: 290, 375, 455, 490 s and 188, 200, 210, 214 °C, each + 12 s and − 1.3 °C.
    assert_eq!(
        desk.places()[5..],
        [
            (302.0, 186.7),
            (387.0, 198.7),
            (467.0, 208.7),
            (502.0, 212.7)
        ]
    );
    assert_eq!(desk.places()[..5], before[..5]);
    assert_eq!(desk.steps(), 1);
}

/// T4: f then 1/f returns within one stored unit.
#[test]
fn stretch_and_its_inverse_give_the_curve_back() {
    let mut desk = drawer();
    let before = desk.places();
    page(&mut desk, "Page: Move and stretch");
    page(&mut desk, "Transform: Stretch time");
    desk.enter("Factor of time", "1.25");
    desk.click("Apply");
    // All points, about the first at 0 s: 490 × 1.25 = 612.5.
    assert_eq!(desk.places()[8], (612.5, 214.0));
    desk.enter("Factor of time", "0.8");
    desk.click("Apply");
    for (found, wished) in desk.places().iter().zip(&before) {
        assert!(
            (found.0 - wished.0).abs() <= 0.1 && found.1 == wished.1,
            "{found:?} against {wished:?}"
        );
    }
    assert_eq!(desk.steps(), 2);
}

/// T5: points at the pivot do not move; the others keep their share of the distance.
#[test]
fn scale_keeps_the_pivot() {
    let mut desk = drawer();
    page(&mut desk, "Page: Move and stretch");
    page(&mut desk, "Transform: Scale temperature");
    desk.enter("Temperature that stays", "160");
    desk.enter("Factor of temperature", "0.9");
    desk.click("Apply");
    assert_eq!(desk.places()[3], (145.0, 160.0));
    // 160 + 0.9 × (214 − 160) = 208.6; 160 + 0.9 × (108 − 160) = 113.2.
    assert_eq!((desk.places()[8].1, desk.places()[0].1), (208.6, 113.2));
}

/// T6: no command mirrors.
#[test]
fn factor_that_mirrors_is_refused() {
    for text in ["0", "-1", "=-2"] {
        let mut desk = drawer();
        page(&mut desk, "Page: Move and stretch");
        page(&mut desk, "Transform: Stretch time");
        let before = desk.plan();
        desk.enter("Factor of time", text);
        assert!(
            desk.button("Apply").accesskit_node().is_disabled(),
            "{text}"
        );
        assert_eq!(desk.plan(), before);
    }
}

/// T8: if a locked point would move, Apply is disabled with the reason.
#[test]
fn transform_of_a_locked_point_cannot_be_applied_and_says_why() {
    let mut desk = drawer();
    desk.click_point(5, Modifiers::NONE);
    desk.ctrl(Key::K);
    assert_eq!(desk.point(5).lock, Lock::Both);
    page(&mut desk, "Page: Move and stretch");
    desk.enter("Later by", "10");
    assert!(desk.button("Apply").accesskit_node().is_disabled());
    assert!(desk.says("locked"));
    let before = desk.plan();
    desk.button("Apply").click_accesskit();
    desk.run();
    assert_eq!(desk.plan(), before);
}

/// H4: a named list; choosing a row goes there.
#[test]
fn history_page_goes_to_the_chosen_step() {
    let mut desk = drawer();
    let mut plans = vec![desk.plan()];
    for number in [3, 5, 7] {
        desk.handle(number).increment_accesskit();
        desk.run();
        plans.push(desk.plan());
    }
    page(&mut desk, "Page: History");
    for (step, name) in [
        (1, "Step 1: Moved point 3"),
        (3, "Step 3: Moved point 7"),
        (0, "Step 0: As opened"),
        (2, "Step 2: Moved point 5"),
    ] {
        desk.click(name);
        assert_eq!(desk.plan(), plans[step], "{name}");
        assert_eq!(desk.steps(), step);
    }
    desk.click("Undo step");
    assert_eq!(desk.plan(), plans[1]);
    desk.click("Redo step");
    assert_eq!(desk.plan(), plans[2]);
}

/// The airflow's table edits the airflow.
#[test]
fn airflow_is_typed_in_its_table() {
    let mut desk = drawer();
    page(&mut desk, "Page: Airflow");
    let fields: Vec<String> = desk
        .root()
        .children_recursive()
        .filter_map(|node| {
            let node = node.accesskit_node();
            node.label()
                .filter(|label| node.role() == Role::TextInput && label.contains("airflow point 2"))
        })
        .collect();
    assert_eq!(fields.len(), 2, "time and setting: {fields:?}");
    let setting = fields
        .iter()
        .find(|name| !name.contains("ime"))
        .unwrap()
        .clone();
    desk.enter(&setting, "75");
    assert_eq!(desk.plan().airflow.points()[1].percent, 75.0);
    let time = fields
        .iter()
        .find(|name| name.contains("ime"))
        .unwrap()
        .clone();
    desk.enter(&time, "1:40");
    assert_eq!(desk.plan().airflow.points()[1].time_s, 100.0);
    assert_eq!(desk.steps(), 2);
}

/// The bar at the foot moves several points together.
#[test]
fn bar_moves_the_selection_by_typed_numbers() {
    let mut desk = Desk::example();
    desk.click_point(6, Modifiers::NONE);
    desk.ctrl(Key::End);
    desk.enter("Move the selected points in time by", "0:10");
    assert_eq!(
        desk.places()[5..]
            .iter()
            .map(|place| place.0)
            .collect::<Vec<_>>(),
        [300.0, 385.0, 465.0, 500.0]
    );
    desk.enter("Move the temperature of the selected points by", "2");
    assert_eq!(
        desk.places()[5..]
            .iter()
            .map(|place| place.1)
            .collect::<Vec<_>>(),
        [190.0, 202.0, 212.0, 216.0]
    );
    assert_eq!(desk.steps(), 2);
}
