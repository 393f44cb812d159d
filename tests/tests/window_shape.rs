//! Shaping by targets in the window: wishes switched on, typed and slid; contradictions said; accepted as one step.
//!
//! What is right comes from the issue ("Shape by targets") and from the figures of the plan that comes of it.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise; its name says what is checked"
)]

mod desk;

use desk::{Desk, WINDOW, settled_prefs};
use eframe::egui::{Key, Modifiers, Vec2, accesskit::Role};
use egui_kittest::kittest::NodeT;

/// High enough for all targets.
const TALL: Vec2 = Vec2::new(1280.0, 2000.0);

fn shaping(size: Vec2) -> Desk {
    let mut desk = Desk::open(None, settled_prefs(), size);
    desk.key_press_modifiers(Modifiers::COMMAND, Key::G);
    desk.run();
    desk
}

fn switch(desk: &mut Desk, target: &str) {
    let name = format!("Target: {target}");
    let at = desk.named(Role::CheckBox, &name).rect().center();
    desk.click_at(at, Modifiers::NONE);
    desk.run();
}

fn wish(desk: &mut Desk, field: &str, typed: &str) {
    desk.field(field).focus();
    desk.run();
    desk.key_press_modifiers(Modifiers::COMMAND, Key::A);
    desk.field(field).type_text(typed);
    desk.run();
    desk.key_press(Key::Enter);
    desk.run();
}

fn drop_s(desk: &Desk) -> f64 {
    desk.derived().phases.drop.reached().unwrap().time_s
}

#[test]
fn a_wished_drop_time_is_drawn_beside_the_plan_and_accepted_as_one_step() {
    let mut desk = shaping(TALL);
    let (before, steps) = (desk.plan(), desk.steps());
    switch(&mut desk, "Time of drop");
    wish(&mut desk, "Time of drop", "8:10");
    assert_eq!(desk.plan(), before, "only looked at so far");
    assert!(desk.says("1 of 1 met"), "{:?}", desk.words());
    desk.click("Accept");
    desk.run();
    assert_eq!(desk.steps(), steps + 1, "one step");
    assert_eq!(desk.last_step(), "Shaped");
    assert!((drop_s(&desk) - 490.0).abs() <= 0.5, "{}", drop_s(&desk));
    desk.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    desk.run();
    assert_eq!(desk.plan(), before, "undone in one step");
}

#[test]
fn wishes_that_contradict_each_other_are_named_and_the_nearest_curve_is_shown() {
    let mut desk = shaping(TALL);
    switch(&mut desk, "Time of drop");
    wish(&mut desk, "Time of drop", "7:00");
    switch(&mut desk, "Length of drying");
    wish(&mut desk, "Length of drying", "4:00");
    switch(&mut desk, "Length of browning");
    wish(&mut desk, "Length of browning", "4:00");
    assert!(!desk.says("3 of 3 met"), "{:?}", desk.words());
    assert!(desk.says("gives way by"), "{:?}", desk.words());
    // The nearest curve can be had all the same.
    desk.click("Accept");
    desk.run();
    assert_eq!(desk.last_step(), "Shaped");
}

#[test]
fn text_that_is_no_wish_says_why_and_changes_nothing() {
    let mut desk = shaping(TALL);
    switch(&mut desk, "Share of development");
    wish(&mut desk, "Share of development", "150 %");
    assert!(desk.says("expected 0.5 to 99"), "{:?}", desk.words());
}

#[test]
fn a_slider_by_keyboard_moves_the_wish_and_the_curve_follows() {
    let mut desk = shaping(TALL);
    switch(&mut desk, "Time of drop");
    let before = desk.state().computed().ghost().unwrap().derived.phases.drop;
    desk.named(Role::Slider, "Slide Time of drop").focus();
    desk.run();
    for _ in 0..5 {
        desk.key_press(Key::ArrowRight);
        desk.run();
    }
    let after = desk.state().computed().ghost().unwrap().derived.phases.drop;
    let [before_s, after_s] = [before, after].map(|drop| drop.reached().unwrap().time_s);
    assert!(
        (after_s - before_s - 5.0).abs() <= 1.0,
        "{before_s} s, then {after_s} s"
    );
}

#[test]
fn escape_leaves_it_and_the_plan_is_as_before() {
    let mut desk = shaping(WINDOW);
    let before = desk.plan();
    switch(&mut desk, "Time of drop");
    desk.key_press(Key::Escape);
    desk.run();
    assert!(desk.state().view().rework.is_none(), "left");
    assert_eq!(desk.plan(), before);
}

#[test]
fn the_list_does_not_move_under_the_hand_that_switches() {
    let mut desk = shaping(WINDOW);
    let place = |desk: &Desk| {
        let node = desk.named(Role::CheckBox, "Target: Time of colour change");
        node.accesskit_node().label().map(|_| node.rect().min)
    };
    let before = place(&desk);
    switch(&mut desk, "Time of colour change");
    assert_eq!(place(&desk), before, "it stands where it stood");
}
