//! Marks, finishes, phase boundaries, airflow, units and theme.
//!
//! What is right comes from issue 2 (section 5), the rows A2, A4, D4, H1 and X6 of `features.md`, and from the plan reckoned
//! here again.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise; its name says what is checked"
)]

mod desk;

use chaffinch_craft::{
    Derived,
    units::{format_share, format_time},
};
use chaffinch_shelf::{plan_to_neutral, plan_to_ron};
use desk::Desk;
use eframe::egui::{
    Event, Key, Modifiers, MouseWheelSource, MouseWheelUnit, PointerButton, Pos2, Theme,
    TouchPhase, Vec2, accesskit::Role, pos2, vec2,
};
use std::sync::Arc;

/// `window.md`: marks drag vertically, by their label or by their line; snapped to 0.5 °C.
#[test]
fn mark_is_dragged_by_label_and_by_line() {
    let mut desk = Desk::example();
    let lane = *desk.state().lane().unwrap();
    let per_c = desk.screen(0.0, 201.0) - desk.screen(0.0, 200.0);
    let label = desk.spin("First crack").rect().center();
    desk.drag(label, label + per_c * -3.0);
    assert_eq!(desk.plan().marks.first_crack_c, 197.0);
    assert_eq!(
        (desk.steps(), desk.last_step()),
        (1, "Moved first crack".to_owned())
    );
    // On the line, away from label and points.
    let line = pos2(
        lane.rect.left() + 0.6 * lane.rect.width(),
        desk.screen(0.0, 160.0).y,
    );
    desk.drag(line, line + per_c * 2.5);
    assert_eq!(desk.plan().marks.colour_change_c, 162.5);
    assert_eq!(desk.steps(), 2);
    // Everything that hangs on the marks followed.
    let derived = Derived::of(&desk.plan());
    assert_eq!(desk.derived(), &derived);
    let development = format_time(*derived.phases.development_s.reached().unwrap());
    assert!(desk.says(&format!("Development: {development}")));
}

/// Marks keep their order; the refusal says both values (issue 2, section 2).
#[test]
fn mark_dragged_over_the_other_is_refused_with_words() {
    let mut desk = Desk::example();
    let from = desk.spin("Colour change").rect().center();
    let to = from + (desk.screen(0.0, 210.0) - desk.screen(0.0, 160.0));
    desk.press(from);
    desk.pull(from, to);
    assert!(desk.plan().marks.colour_change_c < desk.plan().marks.first_crack_c);
    assert!(
        desk.refusal().contains("below first crack"),
        "{}",
        desk.refusal()
    );
    desk.release(to);
    assert!(desk.steps() <= 1);
}

/// Esc gives up a drag of a mark as well (E4).
#[test]
fn drag_of_a_mark_can_be_given_up() {
    for name in [
        "First crack",
        "Finish omni",
        "Time of first crack",
        "Airflow point 2 of 4",
    ] {
        let mut desk = Desk::example();
        let before = desk.plan();
        let from = desk.spin(name).rect().center();
        let to = from + vec2(18.0, -14.0);
        desk.press(from);
        desk.pull(from, to);
        assert_ne!(desk.plan(), before, "{name} was under way");
        desk.key(Key::Escape);
        desk.release(to);
        assert!(Arc::ptr_eq(&desk.plan(), &before), "{name}");
        assert_eq!(desk.steps(), 0, "{name}");
    }
}

/// Issue 2, section 2: finishes are a ladder on one curve, one of them chosen; choosing changes what is derived.
#[test]
fn choosing_a_finish_changes_drop_and_development() {
    let mut desk = Desk::example();
    assert!(
        desk.says("Drop time: 7:35"),
        "the curve passes 210 °C at 455 s"
    );
    let at = desk.spin("Finish omni").rect().center();
    desk.click_at(at, Modifiers::NONE);
    assert_eq!(desk.plan().finish().name, "omni");
    // 214 °C is the last point, at 490 s = 8:10; first crack is the point at 375 s: 115 s = 1:55, of 490 s 23.5 %.
    assert!(desk.says("Drop temperature: 214 °C"));
    assert!(desk.says("Drop time: 8:10"));
    assert!(desk.says("Development: 1:55"));
    assert!(desk.says(&format!("Ratio: {}", format_share(115.0 / 490.0))));
    assert_eq!(Desk::spoken(&desk.spin("Finish omni")), "214 °C, chosen");
    assert_eq!(desk.last_step(), "Chose finish “omni”");
    // By the list in the right column, too; it may have to be scrolled to.
    let row = (Role::RadioButton, "Choose finish light filter");
    desk.named(row.0, row.1).scroll_to_me();
    desk.run();
    let at = desk.named(row.0, row.1).rect().center();
    desk.click_at(at, Modifiers::NONE);
    assert_eq!(desk.plan().finish().name, "light filter");
}

#[test]
fn finish_is_dragged_up_and_down_in_half_degrees() {
    let mut desk = Desk::example();
    let from = desk.spin("Finish filter").rect().center();
    let per_c = desk.screen(0.0, 201.0) - desk.screen(0.0, 200.0);
    desk.drag(from, from + per_c * -4.5);
    assert_eq!(desk.plan().finish().temp_c, 205.5);
    assert_eq!(desk.steps(), 1);
    assert!(desk.says("Drop temperature: 205.5 °C"));
}

/// A finish that the curve never reaches is said to be so, with a finding (issue 2, section 2).
#[test]
fn finish_above_the_curve_is_not_reached() {
    let mut desk = Desk::example();
    desk.spin("Finish filter").set_value_accesskit(230.0);
    desk.run();
    assert!(desk.says("Drop temperature: not reached"));
    assert!(desk.says("Development: not reached"));
    assert!(desk.says("Finish not reached"), "the finding");
    assert!(
        !desk
            .words()
            .iter()
            .any(|word| word.contains("NaN") || word.contains("inf"))
    );
}

/// Issue 2, section 5: a phase boundary is dragged in the strip; temperatures of the points stay.
#[test]
fn boundary_in_the_strip_moves_the_phase_in_time() {
    let mut desk = Desk::example();
    let before = desk.places();
    let from = desk.spin("Time of first crack").rect().center();
    let by_px = (desk.screen(20.0, 0.0) - desk.screen(0.0, 0.0)).x;
    desk.drag(from, from + vec2(by_px, 30.0));
    let after = desk.places();
    assert_eq!(
        after.iter().map(|place| place.1).collect::<Vec<_>>(),
        before.iter().map(|place| place.1).collect::<Vec<_>>()
    );
    let first_crack_s = desk.derived().phases.first_crack.reached().unwrap().time_s;
    assert!(
        (first_crack_s - 395.0).abs() <= 0.1,
        "375 s + 20 s, found {first_crack_s}"
    );
    assert_eq!(after[..4], before[..4], "up to colour change nothing moves");
    let drop_s = desk.derived().phases.drop.reached().unwrap().time_s;
    assert!(
        (drop_s - 455.0).abs() <= 0.1,
        "the drop stays, found {drop_s}"
    );
    assert_eq!(
        (desk.steps(), desk.last_step()),
        (1, "Moved first crack in time".to_owned())
    );
}

/// A boundary stops a shortest phase away from the next one, in one drag as in many.
#[test]
fn boundary_stops_before_the_next_one() {
    let mut desk = Desk::example();
    let from = desk.spin("Time of first crack").rect().center();
    desk.drag(from, from + vec2(400.0, 0.0));
    let phases = desk.derived().phases;
    let (crack_s, drop_s) = (
        phases.first_crack.reached().unwrap().time_s,
        phases.drop.reached().unwrap().time_s,
    );
    assert!(
        crack_s < drop_s && desk.steps() <= 1,
        "{crack_s} before {drop_s}"
    );
    for pair in desk.places().windows(2) {
        assert!(pair[1].0 > pair[0].0, "{pair:?}");
    }
}

#[test]
fn airflow_point_is_dragged_added_and_removed() {
    let mut desk = Desk::example();
    let from = desk.spin("Airflow point 2 of 4").rect().center();
    desk.drag(from, from + vec2(30.0, 12.0));
    let moved = desk.plan().airflow.points()[1];
    assert!(moved.time_s > 95.0 && moved.percent < 78.0, "{moved:?}");
    assert_eq!(
        (moved.time_s.fract(), moved.percent.fract()),
        (0.0, 0.0),
        "whole seconds and per cent"
    );
    assert_eq!(
        (desk.steps(), desk.last_step()),
        (1, "Changed airflow".to_owned())
    );
    let free = desk.spin("Airflow point 4 of 4").rect().center() + vec2(60.0, 30.0);
    desk.double_click_at(free, Modifiers::NONE);
    assert_eq!(desk.plan().airflow.points().len(), 5);
    desk.tab_to("Airflow point 5 of 5");
    desk.key(Key::Delete);
    assert_eq!(desk.plan().airflow.points().len(), 4);
    desk.tab_to("Airflow point 1 of 4");
    desk.key(Key::Delete);
    assert_eq!(desk.plan().airflow.points().len(), 4, "the first one stays");
    assert!(
        desk.refusal().contains("first airflow point"),
        "{}",
        desk.refusal()
    );
}

/// A2: switching is a view change: bytes unchanged; a temperature is ×9/5 + 32, a difference and a slope ×9/5.
#[test]
fn fahrenheit_is_a_matter_of_the_view() {
    let mut desk = Desk::example();
    let (ron, json) = (plan_to_ron(&desk.plan()), plan_to_neutral(&desk.plan()));
    desk.ctrl(Key::Num1);
    desk.tab_to("Point 5 of 9");
    desk.ctrl(Key::Num1);
    desk.tab_to("Point 7 of 9");
    desk.ctrl(Key::Num2);
    assert!(desk.says("+26 °C"), "200 °C − 174 °C");
    let at = desk.named(Role::RadioButton, "Units: °F").rect().center();
    desk.click_at(at, Modifiers::NONE);
    assert!(desk.state().prefs().fahrenheit);
    // From memory: 210 °C = 410 °F, 160 °C = 320 °F, a difference of 26 °C is 46.8 °F.
    assert!(desk.says("Drop temperature: 410 °F"));
    assert_eq!(Desk::spoken(&desk.spin("Colour change")), "320 °F");
    assert!(desk.says("+46.8 °F"), "a difference carries no 32");
    // The keys' step is 1 °C in either unit (N5), and the status line says so.
    let in_celsius: Vec<String> = desk
        .words()
        .into_iter()
        .filter(|word| word.contains("°C"))
        .collect();
    let expected =
        |word: &String| word == "Units: °C" || word.starts_with("Arrow keys: 1 s or 1 °C");
    assert!(in_celsius.iter().all(expected), "{in_celsius:?}");
    assert_eq!(plan_to_ron(&desk.plan()), ron);
    assert_eq!(plan_to_neutral(&desk.plan()), json);
    assert!(!desk.is_modified());
    assert_eq!(desk.steps(), 0);
}

/// With °F a typed and a dragged temperature is meant in °F.
#[test]
fn fahrenheit_is_typed_and_snapped_in_fahrenheit() {
    let mut desk = Desk::example();
    desk.ctrl(Key::U);
    desk.click_point(6, Modifiers::NONE);
    desk.enter("Exact temperature of point 6", "374");
    assert_eq!(
        desk.point(6).temp_c,
        190.0,
        "374 °F are 190 °C (from memory)"
    );
    let to = desk.screen(290.0, 193.3);
    let from = desk.handle(6).rect().center();
    desk.drag(from, to);
    let temp_f = desk.point(6).temp_c * 9.0 / 5.0 + 32.0;
    assert!(
        (temp_f - temp_f.round()).abs() < 1e-6,
        "whole °F, found {temp_f}"
    );
}

/// X6: light and dark switch live; the choice is kept in the preferences.
#[test]
fn theme_switches_live() {
    let mut desk = Desk::example();
    assert_eq!(desk.ctx.theme(), Theme::Light);
    let before = desk.plan();
    desk.ctrl(Key::T);
    assert_eq!(desk.ctx.theme(), Theme::Dark);
    let at = desk
        .named(Role::RadioButton, "Theme: Light")
        .rect()
        .center();
    desk.click_at(at, Modifiers::NONE);
    assert_eq!(desk.ctx.theme(), Theme::Light);
    assert_eq!(desk.plan(), before);
}

fn wheel(desk: &mut Desk, at: Pos2, delta: Vec2, modifiers: Modifiers) {
    desk.pointer(at);
    desk.hold(modifiers);
    desk.event(Event::MouseWheel {
        unit: MouseWheelUnit::Point,
        delta,
        phase: TouchPhase::Move,
        modifiers,
        source: MouseWheelSource::Wheel,
    });
    desk.run();
    desk.hold(Modifiers::NONE);
    desk.run();
}

/// A4: wheel at the pointer, pan, history back; lanes share the time axis.
#[test]
fn wheel_zooms_about_the_pointer_and_the_way_back_is_kept() {
    let mut desk = Desk::example();
    let whole = desk.state().view().lanes.current();
    let at = desk.screen(250.0, 150.0);
    wheel(&mut desk, at, vec2(0.0, 120.0), Modifiers::NONE);
    let closer = desk.state().view().lanes.current();
    assert!(closer.time_s.width() < whole.time_s.width());
    let lane = *desk.state().lane().unwrap();
    assert!(
        (lane.time_from_screen_x(at.x) - 250.0).abs() < 0.5,
        "the moment under the pointer stays"
    );
    desk.key_with(Modifiers::ALT, Key::ArrowLeft);
    assert_eq!(desk.state().view().lanes.current(), whole);
    desk.key_with(Modifiers::ALT, Key::ArrowRight);
    assert_eq!(desk.state().view().lanes.current(), closer);
    // The middle button pans, and changes no point.
    let before = desk.plan();
    desk.pointer(at);
    desk.button_event(at, PointerButton::Middle, true, Modifiers::NONE);
    desk.pull(at, at + vec2(-80.0, 20.0));
    desk.button_event(
        at + vec2(-80.0, 20.0),
        PointerButton::Middle,
        false,
        Modifiers::NONE,
    );
    desk.run();
    assert!(desk.state().view().lanes.current().time_s.from > closer.time_s.from);
    assert_eq!(desk.plan(), before);
}

/// Issue 2, section 5: hover for time, temperature and rise.
#[test]
fn hover_says_time_temperature_and_rise() {
    let mut desk = Desk::example();
    let at = desk.screen(250.0, 140.0);
    desk.pointer(at);
    desk.run();
    let curve = &desk.plan().curve;
    let time_s = desk.state().lane().unwrap().time_from_screen_x(at.x);
    let (temp_c, rise) = (curve.temp_c(time_s), curve.rise_c_per_s(time_s) * 60.0);
    assert!(desk.paints("4:10"));
    assert!(desk.paints(&format!("{temp_c:.1} °C")), "{temp_c}");
    assert!(desk.paints(&format!("{rise:.1} °C/min")), "{rise}");
}
