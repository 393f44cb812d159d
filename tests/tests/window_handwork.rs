//! The curve shaped by hand in the window: the line of the rise bent, straightened and eased, and the development bar dragged.
//!
//! What is right comes from issue 4 (section 2, last paragraph), reckoned here again from the plan's own curve.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise; its name says what is checked"
)]

mod desk;

use chaffinch_curve::Reach;
use desk::Desk;
use eframe::egui::{Key, Modifiers, Pos2, accesskit::Role, vec2};
use std::sync::Arc;

fn rise_handle(desk: &Desk, number: usize) -> Pos2 {
    let name = format!("Rise at point {number} of {}", desk.points().len());
    desk.spin(&name).rect().center()
}

/// The rise at a point, in °C/min.
fn rise_per_min(desk: &Desk, number: usize) -> f64 {
    let time_s = desk.point(number).time_s;
    desk.plan().curve.rise_c_per_s(time_s) * 60.0
}

/// When the curve passes colour change, first crack and the drop, in s.
fn passages_s(desk: &Desk) -> [f64; 3] {
    let phases = &desk.derived().phases;
    [&phases.colour_change, &phases.first_crack, &phases.drop].map(|passage| match passage {
        Reach::At(passage) => passage.time_s,
        Reach::NotReached => panic!("{passage:?}"),
    })
}

#[test]
fn rise_dragged_up_bends_the_curve_and_keeps_start_and_drop() {
    let mut desk = Desk::example();
    let (before, rise, drop_s) = (desk.plan(), rise_per_min(&desk, 4), passages_s(&desk)[2]);
    let from = rise_handle(&desk, 4);
    let to = from + vec2(0.0, -12.0);
    desk.press(from);
    desk.pull(from, to);
    assert!(
        desk.paints("drop 7:35, 210 °C"),
        "what becomes of the drop is said"
    );
    assert!(desk.paints("drop stays"));
    desk.release(to);
    let bent = rise_per_min(&desk, 4);
    assert!(bent > rise + 1.0, "{rise} {bent}");
    assert!(
        (bent * 10.0 - (bent * 10.0).round()).abs() < 1e-4,
        "it stops at tenths: {bent}"
    );
    // Where the pointer let go, the handle is.
    assert!((rise_handle(&desk, 4) - to).length() < 2.0);
    assert_eq!(desk.point(1), before.curve.points()[0]);
    assert!((passages_s(&desk)[2] - drop_s).abs() < 0.01);
    assert_eq!(desk.steps(), 1);
    assert_eq!(desk.last_step(), "Bent the rise at point 4");
    desk.ctrl(Key::Z);
    assert!(Arc::ptr_eq(&desk.plan(), &before) || *desk.plan() == *before);
}

#[test]
fn with_shift_or_by_choice_the_start_stays_alone() {
    let mut desk = Desk::example();
    let (before, drop_s) = (desk.places(), passages_s(&desk)[2]);
    let from = rise_handle(&desk, 4);
    let to = from + vec2(0.0, -8.0);
    desk.press(from);
    desk.hold(Modifiers::SHIFT);
    desk.pull(from, to);
    assert!(desk.paints("start stays"));
    desk.hold(Modifiers::NONE);
    desk.pull(to, to);
    assert!(desk.paints("drop stays"), "let go, the key changes it back");
    desk.hold(Modifiers::SHIFT);
    desk.pull(to, to);
    desk.button_event(
        to,
        eframe::egui::PointerButton::Primary,
        false,
        Modifiers::SHIFT,
    );
    desk.hold(Modifiers::NONE);
    desk.run();
    let by_shift = desk.places();
    assert_eq!(by_shift[..3], before[..3], "all before the bend");
    let by_c: Vec<f64> = (4..9)
        .map(|index| by_shift[index].1 - before[index].1)
        .collect();
    assert!(
        by_c.iter()
            .all(|shift_c| 0.5 < by_c[0] && (shift_c - by_c[0]).abs() < 1e-6),
        "{by_c:?}"
    );
    assert!(
        passages_s(&desk)[2] < drop_s - 1.0,
        "hotter, it drops earlier"
    );
    desk.ctrl(Key::Z);
    // The same by the button in the lane's corner.
    desk.click("Bends keep: drop");
    assert!(desk.says("Bends keep: start"));
    desk.drag(from, to);
    assert_eq!(desk.places(), by_shift);
    desk.ctrl(Key::B);
    assert!(desk.says("Bends keep: drop"));
}

#[test]
fn keys_and_screen_readers_bend_the_rise() {
    let mut desk = Desk::example();
    let name = "Rise at point 5 of 9";
    let shown = |desk: &Desk| (rise_per_min(desk, 5) * 10.0).round() / 10.0;
    let before = shown(&desk);
    assert_eq!(
        Desk::spoken(&desk.spin(name)),
        format!("3:30, rising {before:.1} °C/min, drop stays")
    );
    desk.spin(name).focus();
    desk.run();
    desk.key(Key::ArrowUp);
    assert!(
        (shown(&desk) - before - 1.0).abs() < 0.11,
        "{before} {}",
        shown(&desk)
    );
    desk.key_with(Modifiers::ALT, Key::ArrowDown);
    assert!((shown(&desk) - before - 0.9).abs() < 0.11);
    assert_eq!(desk.steps(), 2);
    desk.spin(name).set_value_accesskit(13.5);
    desk.run();
    assert!((rise_per_min(&desk, 5) - 13.5).abs() < 1e-4);
    // Beyond any roast it stays, and the reason is said.
    desk.spin(name).focus();
    desk.run();
    let steps = desk.steps();
    desk.key(Key::End);
    assert_eq!(desk.steps(), steps);
    assert!(
        desk.refusal()
            .contains("would be left to the rest of the roast"),
        "{}",
        desk.refusal()
    );
}

#[test]
fn bend_can_be_given_up() {
    let mut desk = Desk::example();
    let before = desk.plan();
    let from = rise_handle(&desk, 3);
    let to = from + vec2(0.0, 9.0);
    desk.press(from);
    desk.pull(from, to);
    assert_ne!(desk.plan(), before);
    desk.key(Key::Escape);
    desk.release(to);
    assert!(Arc::ptr_eq(&desk.plan(), &before));
    assert_eq!(desk.steps(), 0);
}

#[test]
fn handles_end_at_the_drop_and_locked_temperatures_refuse() {
    let mut desk = Desk::example();
    let handles = desk.words();
    let count = handles
        .iter()
        .filter(|word| word.starts_with("Rise at point "))
        .count();
    assert_eq!(count, 8, "point 9 lies behind the drop");
    desk.click_point(4, Modifiers::NONE);
    desk.ctrl(Key::K);
    let before = desk.plan();
    let from = rise_handle(&desk, 4);
    desk.press(from);
    desk.pull(from, from + vec2(0.0, -9.0));
    assert!(
        desk.refusal().contains("temperature of point 4 is locked"),
        "{}",
        desk.refusal()
    );
    desk.release(from + vec2(0.0, -9.0));
    assert_eq!(desk.plan(), before);
}

#[test]
fn development_bar_is_dragged_at_its_end_and_marks_stay() {
    let mut desk = Desk::example();
    let [colour_s, crack_s, drop_s] = passages_s(&desk);
    let from = desk.spin("Time of drop").rect().center();
    desk.pointer(from);
    let by = desk.screen(30.0, 100.0) - desk.screen(0.0, 100.0);
    desk.drag(from, from + by);
    let [new_colour_s, new_crack_s, new_drop_s] = passages_s(&desk);
    assert!((new_drop_s - drop_s - 30.0).abs() < 1.0, "{new_drop_s}");
    assert!((new_colour_s - colour_s).abs() <= 0.1 && (new_crack_s - crack_s).abs() <= 0.1);
    assert_eq!(desk.last_step(), "Moved drop in time");
    // The bar's other end: first crack moves, the drop stays.
    let from = desk.spin("Time of first crack").rect().center();
    desk.drag(from, from - by);
    let [last_colour_s, last_crack_s, last_drop_s] = passages_s(&desk);
    assert!(
        (last_crack_s - new_crack_s + 30.0).abs() < 1.0,
        "{last_crack_s}"
    );
    assert!((last_colour_s - colour_s).abs() <= 0.2 && (last_drop_s - new_drop_s).abs() <= 0.1);
}

#[test]
fn rise_is_straightened_between_selected_points() {
    let mut desk = Desk::example();
    desk.ctrl(Key::J);
    assert!(
        desk.refusal().contains("first and the last point"),
        "{}",
        desk.refusal()
    );
    desk.click_point(2, Modifiers::NONE);
    desk.click_point(6, Modifiers::COMMAND);
    let (start, before) = (rise_per_min(&desk, 2), desk.places());
    desk.ctrl(Key::J);
    assert_eq!(desk.last_step(), "Straightened the rise from point 2 to 6");
    // 128.5 °C at 45 s to 188 °C at 290 s: the mean of both ends is the mean rise.
    let end = 2.0 * (188.0 - 128.5) / 245.0 * 60.0 - start;
    for number in [2, 3, 4, 5] {
        let share = (desk.point(number).time_s - 45.0) / 245.0;
        let line = start + (end - start) * share;
        assert!(
            (rise_per_min(&desk, number) - line).abs() < 1e-4,
            "{number}"
        );
    }
    let after = desk.places();
    assert_eq!((after[1], after[5]), (before[1], before[5]));
    // The same by the button over the table of points.
    desk.ctrl(Key::Z);
    desk.ctrl(Key::P);
    desk.click("Straighten rise");
    assert_eq!(desk.places(), after);
}

#[test]
fn curve_is_eased_into_the_drop() {
    let mut desk = Desk::example();
    let crack_s = passages_s(&desk)[1];
    let start = desk.plan().curve.rise_c_per_s(crack_s);
    desk.ctrl(Key::M);
    assert_eq!(desk.last_step(), "Eased into the drop");
    // The rise at first crack is the weighted harmonic mean of 12 °C in 85 s and 10 °C in 80 s, 0.1325 °C/s; 10 °C at 5/6 of it,
    // the highest mean that falls to half without a turn, take 90.6 s: 465.6 s.
    assert!(
        desk.says("which moved from 7:35 to 7:46"),
        "{:?}",
        passages_s(&desk)
    );
    let plan = desk.plan();
    let [_, new_crack_s, drop_s] = passages_s(&desk);
    assert!((new_crack_s - crack_s).abs() <= 0.1);
    assert_eq!(plan.finish().temp_c, 210.0);
    let at_drop = plan.curve.rise_c_per_s(drop_s);
    assert!((at_drop / start - 0.5).abs() < 0.01, "{at_drop} {start}");
    let seconds = (drop_s - crack_s).floor() as u32;
    let rises: Vec<f64> = (0..seconds)
        .map(|second| plan.curve.rise_c_per_s(crack_s + f64::from(second)))
        .collect();
    assert!(
        rises.windows(2).all(|pair| pair[1] <= pair[0] + 1e-9),
        "{rises:?}"
    );
    // The button says what it does.
    desk.ctrl(Key::Z);
    desk.ctrl(Key::P);
    desk.click("Ease into drop");
    assert_eq!(desk.plan(), plan);
    desk.key(Key::F1);
    assert!(desk.says("Ease into the drop"), "the page of keys lists it");
    let names = desk.words();
    assert!(names.iter().any(|name| name.contains("Straighten rise")));
    let _ = desk.named(Role::Button, "Bends keep: drop");
}
