//! Control points under the pointer: drag, snap, limits, add, remove, select, lock.
//!
//! What is right comes from issue 2 (sections 3 and 5) and from the rows of `features.md` named beside each check; the
//! figures beside the curve are reckoned here again from the plan.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise; its name says what is checked"
)]

mod desk;

use chaffinch::desk::layout::SNAP_PX;
use chaffinch_craft::{
    Derived,
    units::{TempUnit, format_share, format_temp_with_unit, format_time, format_time_exact},
};
use chaffinch_curve::{Lock, MAX_TEMP_C, MIN_GAP_S, MIN_TEMP_C, Segment, ShiftLimit};
use desk::{Desk, WINDOW, example_path, settled_prefs};
use eframe::egui::{Key, Modifiers, PointerButton, Pos2, vec2};
use proptest::{
    prelude::{ProptestConfig, any},
    proptest,
};

fn development_label(derived: &Derived) -> String {
    let seconds = *derived.phases.development_s.reached().unwrap();
    format!("Development: {}", format_time(seconds))
}

/// E3 and issue 2, section 5: everything derived follows in the frame that moved the pointer.
#[test]
fn all_figures_follow_a_dragged_point_in_the_same_frame() {
    let mut desk = Desk::example();
    let from = desk.handle(8).rect().center();
    let to = desk.screen(485.0, 206.0);
    let before = development_label(desk.derived());
    assert!(desk.says(&before));
    desk.press(from);
    let mut seen = vec![before];
    for part in 1..=20u8 {
        desk.pointer(from + (to - from) * (f32::from(part) / 20.0));
        // What this frame shows follows from the plan as the pointer has left it.
        let shown = Derived::of(&desk.plan());
        assert_eq!(desk.derived(), &shown);
        let label = development_label(&shown);
        let ratio = format_share(*shown.phases.development_ratio.reached().unwrap());
        let drop = format_time(shown.phases.drop.reached().unwrap().time_s);
        assert!(desk.says(&label), "{label}");
        assert!(desk.says(&format!("Ratio: {ratio}")), "{ratio}");
        assert!(desk.says(&format!("Drop time: {drop}")), "{drop}");
        let (point, rise) = (desk.point(8), shown.points[7].rise_c_per_s * 60.0);
        let (time, temp) = (
            format_time_exact(point.time_s),
            format_temp_with_unit(point.temp_c, TempUnit::Celsius),
        );
        assert_eq!(
            Desk::spoken(&desk.handle(8)),
            format!("{time}, {temp}, rising {rise:.1} °C/min")
        );
        seen.push(label);
    }
    seen.dedup();
    assert!(seen.len() > 5, "development follows on the way: {seen:?}");
    desk.release(to);
    // 485 s lies within the magnet of no other point, 206 °C of no mark or finish.
    assert_eq!(desk.places()[7], (485.0, 206.0));
    assert!(desk.says(&development_label(&Derived::of(&desk.plan()))));
}

/// Issue 2, section 5: snap to 1 s and 0.5 °C.
#[test]
fn dragged_point_comes_to_rest_on_whole_seconds_and_half_degrees() {
    let mut desk = Desk::example();
    let to = desk.screen(331.4, 193.3);
    let from = desk.handle(6).rect().center();
    desk.drag(from, to);
    assert_eq!(desk.places()[5], (331.0, 193.5));
    assert_eq!(desk.last_step(), "Moved point 6");
}

/// The point keeps the distance to the pointer that it had when it was taken hold of (`notes/egui.md`, recipes).
#[test]
fn point_that_is_held_off_its_middle_does_not_jump() {
    let mut desk = Desk::example();
    let before = desk.point(6);
    let from = desk.handle(6).rect().center() + vec2(7.0, -5.0);
    desk.press(from);
    desk.pull(from, from + vec2(60.0, 0.0));
    desk.release(from + vec2(60.0, 0.0));
    let after = desk.point(6);
    assert_eq!(after.temp_c, before.temp_c);
    let lane = *desk.state().lane().unwrap();
    let moved_px = (after.time_s - before.time_s) * lane.px_per_s();
    assert!((moved_px - 60.0).abs() <= lane.px_per_s(), "{moved_px} px");
}

/// H1: a drag of 1,000 moves is one step of the history.
#[test]
fn thousand_moves_are_one_step() {
    let mut desk = Desk::example();
    let before = desk.places();
    let from = desk.handle(5).rect().center();
    desk.press(from);
    for turn in 0..1000u16 {
        let angle = f32::from(turn) * 0.05;
        desk.pointer(from + vec2(30.0 * angle.sin(), 25.0 * (1.3 * angle).cos()));
    }
    let last = from + vec2(25.0, 30.0);
    desk.pointer(last);
    desk.release(last);
    assert_ne!(desk.places(), before);
    assert_eq!(desk.steps(), 1);
    desk.ctrl(Key::Z);
    assert_eq!(desk.places(), before);
    assert_eq!(desk.steps(), 0);
}

/// E4: Esc or the right button restores the document bit for bit, and leaves no step.
#[test]
fn drag_that_is_given_up_leaves_the_plan_bit_for_bit() {
    for gives_up_with_key in [true, false] {
        let mut desk = Desk::example();
        let before = desk.plan();
        let from = desk.handle(5).rect().center();
        let to = from + vec2(40.0, 30.0);
        desk.press(from);
        desk.pull(from, to);
        assert_ne!(desk.plan(), before, "the drag was under way");
        if gives_up_with_key {
            desk.key(Key::Escape);
        } else {
            for is_pressed in [true, false] {
                desk.button_event(to, PointerButton::Secondary, is_pressed, Modifiers::NONE);
            }
        }
        assert!(
            std::sync::Arc::ptr_eq(&desk.plan(), &before),
            "the very same plan"
        );
        // The button is still down; moving on and letting go must not take the drag up again.
        desk.pull(to, to + vec2(30.0, 10.0));
        desk.release(to + vec2(30.0, 10.0));
        assert!(
            std::sync::Arc::ptr_eq(&desk.plan(), &before),
            "still, key {gives_up_with_key}"
        );
        assert_eq!(desk.steps(), 0);
        assert!(!desk.is_modified());
    }
}

/// E7: a dragged point stops one minimum step (1 s) before its neighbour, and the limit lights up with its name
/// (`window.md`, behaviour).
#[test]
fn drag_stops_one_second_before_the_neighbour_and_says_so() {
    let mut desk = Desk::example();
    let from = desk.handle(5).rect().center();
    for (target_s, rests_at_s) in [(330.0, 290.0 - MIN_GAP_S), (100.0, 145.0 + MIN_GAP_S)] {
        let to = desk.screen(target_s, 178.5);
        desk.press(from);
        desk.pull(from, to);
        assert_eq!(desk.places()[4], (rests_at_s, 178.5));
        let stopped_by = &desk.state().view().drag.as_ref().unwrap().stopped_by;
        assert!(
            matches!(stopped_by.as_slice(), [ShiftLimit::Neighbour(_)]),
            "{stopped_by:?}"
        );
        let words = stopped_by[0].to_string();
        assert!(desk.paints(&words), "{words} stands beside the point");
        desk.key(Key::Escape);
        desk.release(to);
    }
}

/// Issue 2, section 2: the first point stays at 0 s; temperatures stay within 0 to 320 °C.
#[test]
fn first_point_keeps_its_time_and_no_point_leaves_the_range() {
    let mut desk = Desk::example();
    desk.drag_point(1, 20.0, 118.0);
    assert_eq!(desk.places()[0], (0.0, 118.0));
    let from = desk.handle(9).rect().center();
    desk.press(from);
    let to = Pos2::new(from.x, desk.screen(0.0, 400.0).y);
    desk.pull(from, to);
    let now_c = desk.point(9).temp_c;
    assert!((MIN_TEMP_C..=MAX_TEMP_C).contains(&now_c));
    assert_eq!(now_c, MAX_TEMP_C);
    assert!(desk.paints(&ShiftLimit::Ceiling.to_string()));
    desk.release(to);
}

/// `window.md`: during a drag the view never rescales or jumps.
#[test]
fn view_stands_still_during_a_drag() {
    let mut desk = Desk::example();
    let from = desk.handle(9).rect().center();
    let before = *desk.state().lane().unwrap();
    desk.press(from);
    for to in [
        from + vec2(60.0, -300.0),
        from + vec2(300.0, 300.0),
        from - vec2(20.0, 80.0),
    ] {
        desk.pull(from, to);
        assert_eq!(*desk.state().lane().unwrap(), before);
    }
    desk.release(from - vec2(20.0, 80.0));
}

/// `identity.md` and the keys page: Shift keeps one axis, Alt frees the snap.
#[test]
fn shift_keeps_one_axis_and_alt_frees_the_snap() {
    let mut desk = Desk::example();
    let (from, before) = (desk.handle(6).rect().center(), desk.point(6));
    desk.press(from);
    desk.hold(Modifiers::SHIFT);
    desk.pull(from, from + vec2(50.0, -9.0));
    let after = desk.point(6);
    assert_eq!(after.temp_c, before.temp_c, "Shift keeps the temperature");
    assert!(after.time_s > before.time_s);
    desk.hold(Modifiers::NONE);
    desk.release(from + vec2(50.0, -9.0));

    let mut desk = Desk::example();
    let to = desk.screen(331.43, 193.29);
    desk.press(from);
    desk.hold(Modifiers::ALT);
    desk.pull(from, to);
    let (time_s, temp_c) = desk.places()[5];
    let lane = *desk.state().lane().unwrap();
    let (miss_s, miss_c) = ((time_s - 331.43).abs(), (temp_c - 193.29).abs());
    assert!(
        miss_s * lane.px_per_s() <= 0.5 && miss_c * lane.px_per_value() <= 0.5,
        "{time_s} {temp_c}"
    );
    assert!(miss_s <= 0.06 && miss_c <= 0.02, "{time_s} {temp_c}");
    assert_ne!(
        (time_s.fract(), (2.0 * temp_c).fract()),
        (0.0, 0.0),
        "off the grid"
    );
    desk.hold(Modifiers::NONE);
    desk.release(to);
}

/// A named place attracts within a few pixels: the mark at 200 °C, and another point's time.
#[test]
fn point_snaps_to_a_mark_that_is_near() {
    let mut desk = Desk::example();
    let near = desk.screen(330.0, 200.0) + vec2(0.0, SNAP_PX - 1.0);
    let from = desk.handle(6).rect().center();
    desk.drag(from, near);
    assert_eq!(desk.places()[5], (330.0, 200.0));
}

/// E1: added on the curve, the curve stays within 0.05 °C over 1,001 samples.
#[test]
fn double_click_adds_a_point_on_the_curve() {
    let mut desk = Desk::example();
    let before = desk.plan();
    let at = desk.screen(250.0, 150.0);
    desk.double_click_at(at, Modifiers::NONE);
    assert_eq!(desk.points().len(), 10);
    assert_eq!(desk.point(6).time_s, 250.0);
    let (old, new) = (&before.curve, &desk.plan().curve);
    for sample in 0..=1000u16 {
        let time_s = f64::from(sample) / 1000.0 * old.end_s();
        let miss_c = (old.temp_c(time_s) - new.temp_c(time_s)).abs();
        assert!(miss_c <= 0.05, "{miss_c} °C at {time_s} s");
    }
    assert_eq!(
        (desk.steps(), desk.last_step()),
        (1, "Added point".to_owned())
    );
    assert_eq!(
        desk.focused(),
        "Point 6 of 10",
        "the new point has the focus"
    );
}

/// E2: Ctrl+double click puts the point under the pointer, within 1 px.
#[test]
fn double_click_with_ctrl_adds_a_point_under_the_pointer() {
    let mut desk = Desk::example();
    let at = desk.screen(247.3, 152.2);
    desk.double_click_at(at, Modifiers::COMMAND);
    assert_eq!(desk.points().len(), 10);
    let miss_px = (desk.handle(6).rect().center() - at).length();
    assert!(miss_px <= 1.0, "{miss_px} px");
}

/// Insert at the pointer, and behind the current point without one (issue 2, section 5: by double-click or key).
#[test]
fn insert_key_adds_a_point_at_the_pointer() {
    let mut desk = Desk::example();
    let at = desk.screen(250.0, 150.0);
    desk.pointer(at);
    desk.key(Key::Insert);
    assert_eq!(desk.points().len(), 10);
    assert!((desk.point(6).time_s - 250.0).abs() <= 1.0);
}

/// E5: the end points can't be deleted, and the message says why.
#[test]
fn delete_removes_a_point_and_the_ends_refuse_with_a_reason() {
    let mut desk = Desk::example();
    let third = desk.point(3).id;
    desk.click_point(3, Modifiers::NONE);
    desk.key(Key::Delete);
    assert!(desk.points().iter().all(|point| point.id != third));
    assert_eq!((desk.points().len(), desk.steps()), (8, 1));
    assert_eq!(
        desk.focused(),
        "Point 2 of 8",
        "the keyboard stays on the curve"
    );
    for end in [1, 8] {
        let before = desk.plan();
        desk.click_point(end, Modifiers::NONE);
        desk.key(Key::Delete);
        assert_eq!(desk.plan(), before);
        let reason = desk.refusal();
        assert!(
            reason.contains(&format!("point {end}")) && reason.contains("first or last"),
            "{reason}"
        );
        assert!(desk.says(&reason), "the status line says it");
    }
}

/// T1: Shift and Ctrl conventions, all, none, invert, and the box.
#[test]
fn points_are_selected_by_click_box_and_key() {
    let mut desk = Desk::example();
    desk.click_point(3, Modifiers::NONE);
    assert_eq!(desk.selected(), [3]);
    desk.click_point(5, Modifiers::SHIFT);
    desk.click_point(6, Modifiers::COMMAND);
    assert_eq!(desk.selected(), [3, 5, 6]);
    desk.click_point(5, Modifiers::COMMAND);
    assert_eq!(desk.selected(), [3, 6]);
    desk.ctrl(Key::I);
    assert_eq!(desk.selected(), [1, 2, 4, 5, 7, 8, 9]);
    desk.ctrl(Key::A);
    assert_eq!(desk.selected(), [1, 2, 3, 4, 5, 6, 7, 8, 9]);
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::A);
    assert!(desk.selected().is_empty());
    let (from, to) = (desk.screen(250.0, 206.0), desk.screen(400.0, 183.0));
    desk.drag(from, to);
    assert_eq!(
        desk.selected(),
        [6, 7],
        "the box holds the points at 290 s and 375 s"
    );
    assert_eq!(desk.steps(), 0, "selecting is no step");
}

/// Shift adds a box to the selection, in whatever direction it is drawn.
#[test]
fn box_with_shift_adds() {
    let mut desk = Desk::example();
    desk.click_point(2, Modifiers::NONE);
    let (from, to) = (desk.screen(400.0, 183.0), desk.screen(250.0, 206.0));
    desk.press(from);
    desk.hold(Modifiers::SHIFT);
    desk.pull(from, to);
    desk.release(to);
    desk.hold(Modifiers::NONE);
    assert_eq!(desk.selected(), [2, 6, 7]);
}

/// T2: from here to the end; dragging then shifts the rest in time, spacing kept exactly.
#[test]
fn selection_from_here_on_keeps_its_spacing_when_dragged() {
    let mut desk = Desk::example();
    desk.click_point(6, Modifiers::NONE);
    desk.ctrl(Key::End);
    assert_eq!(desk.selected(), [6, 7, 8, 9]);
    let before = desk.places();
    let from = desk.handle(7).rect().center();
    let to = from + vec2(40.0, -11.0);
    desk.drag(from, to);
    let after = desk.places();
    assert_eq!(after[..5], before[..5]);
    let moved = (after[6].0 - before[6].0, after[6].1 - before[6].1);
    assert!(moved.0 > 0.0 && moved.1 > 0.0, "{moved:?}");
    for index in 5..9 {
        // Exactly: no tolerance, as the feature demands it.
        assert_eq!(
            (
                after[index].0 - before[index].0,
                after[index].1 - before[index].1
            ),
            moved,
            "point {}",
            index + 1
        );
    }
    assert_eq!(
        (desk.steps(), desk.last_step()),
        (1, "Moved 4 points".to_owned())
    );
}

/// C1 and features section 1, row 14: a locked point never moves, and the refusal names the rule.
#[test]
fn locked_point_does_not_move_and_says_why() {
    let mut desk = Desk::example();
    desk.click_point(5, Modifiers::NONE);
    desk.ctrl(Key::K);
    assert_eq!(desk.point(5).lock, Lock::Both);
    assert!(Desk::spoken(&desk.handle(5)).ends_with(", locked"));
    let before = desk.places();
    let from = desk.handle(5).rect().center();
    let to = from + vec2(40.0, 30.0);
    desk.press(from);
    desk.pull(from, to);
    let stopped_by = desk
        .state()
        .view()
        .drag
        .as_ref()
        .unwrap()
        .stopped_by
        .clone();
    assert!(
        matches!(
            stopped_by.as_slice(),
            [ShiftLimit::LockedTime(_), ShiftLimit::LockedTemp(_)]
        ),
        "{stopped_by:?}"
    );
    for limit in stopped_by {
        assert!(
            desk.paints(&limit.to_string()),
            "{limit} stands beside the point"
        );
    }
    desk.release(to);
    assert_eq!(desk.places(), before);
    assert_eq!(desk.steps(), 1, "only the lock is a step");
    for key in [
        Key::ArrowUp,
        Key::ArrowRight,
        Key::PageDown,
        Key::Home,
        Key::Delete,
    ] {
        desk.click_point(5, Modifiers::NONE);
        desk.key(key);
        assert_eq!(desk.places(), before, "{key:?}");
        assert!(
            desk.refusal().contains("locked"),
            "{key:?}: {}",
            desk.refusal()
        );
    }
    desk.ctrl(Key::K);
    desk.key(Key::ArrowUp);
    assert_ne!(desk.places(), before, "unlocked, it moves again");
}

/// Enter asks for the exact fields; a locked point has none, and the wish must not wait for the next point.
#[test]
fn enter_on_a_locked_point_says_why_and_leaves_the_focus_alone() {
    let mut desk = Desk::example();
    desk.click_point(5, Modifiers::NONE);
    desk.ctrl(Key::K);
    desk.key(Key::Enter);
    assert!(desk.refusal().contains("locked"), "{}", desk.refusal());
    desk.click_point(6, Modifiers::NONE);
    assert_eq!(desk.focused(), "Point 6 of 9");
}

/// E6: segment types are visible in table and chart.
#[test]
fn hold_and_straight_stretches_are_shown_in_table_and_curve() {
    let mut desk = Desk::example();
    desk.ctrl(Key::P);
    for (label, segment) in [("Straight", Segment::Straight), ("Hold", Segment::Hold)] {
        let at = desk
            .named(
                eframe::egui::accesskit::Role::ComboBox,
                "From point 5 to the next",
            )
            .rect()
            .center();
        desk.click_at(at, Modifiers::NONE);
        desk.click(label);
        assert_eq!(desk.point(5).segment, segment);
        let shown = desk.named(
            eframe::egui::accesskit::Role::ComboBox,
            "From point 5 to the next",
        );
        assert_eq!(Desk::spoken(&shown), label);
        let (from, to) = (desk.point(5), desk.point(6));
        let curve = &desk.plan().curve;
        // A straight line between the two points, which for a hold is a level one.
        for share in [0.25, 0.5, 0.75] {
            let wished_c = from.temp_c + share * (to.temp_c - from.temp_c);
            let found_c = curve.temp_c(from.time_s + share * (to.time_s - from.time_s));
            assert!(
                (found_c - wished_c).abs() < 1e-9,
                "{label}: {found_c} against {wished_c}"
            );
        }
    }
    assert_eq!(
        desk.point(5).temp_c,
        desk.point(6).temp_c,
        "both ends of a hold"
    );
}

/// X1: WCAG 2.2, 2.5.8: at least 24 by 24.
#[test]
fn every_handle_can_be_hit_within_24_points() {
    let desk = Desk::example();
    for number in 1..=desk.points().len() {
        let size = desk.handle(number).rect().size();
        assert!(size.x >= 23.9 && size.y >= 23.9, "point {number}: {size:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 8, failure_persistence: None, ..ProptestConfig::default() })]

    /// E7: whatever is dragged wherever, times stay strictly increasing by 1 s, and undoing gives the plan back
    /// (the 10,000 edits of the feature are run on the curve itself in `crates/curve`).
    #[test]
    fn random_drags_keep_order_and_can_be_undone(
        drags in proptest::collection::vec((1usize..=9, any::<(u16, u16)>(), any::<bool>()), 12)
    ) {
        let mut desk = Desk::open(Some(&example_path("ember-ridge-filter.ron")), settled_prefs(), WINDOW);
        let before = desk.plan();
        for (number, (across, up), frees) in drags {
            let lane = desk.state().lane().unwrap().rect;
            let share = |part: u16| f32::from(part) / f32::from(u16::MAX);
            let to = lane.min + vec2(share(across) * lane.width(), share(up) * lane.height());
            let from = desk.handle(number).rect().center();
            desk.press(from);
            desk.hold(if frees { Modifiers::ALT } else { Modifiers::NONE });
            desk.pull(from, to);
            desk.hold(Modifiers::NONE);
            desk.release(to);
            for pair in desk.places().windows(2) {
                assert!(pair[1].0 - pair[0].0 >= MIN_GAP_S - 1e-9, "{pair:?}");
            }
        }
        while desk.steps() > 0 {
            desk.ctrl(Key::Z);
        }
        assert_eq!(desk.plan(), before);
        assert!(!desk.is_modified());
    }
}
