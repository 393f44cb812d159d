//! What a review found in the window and was mended; each test keeps the case that went wrong.
//!
//! What is right comes from `window.md` ("Behaviour") and the rows of `features.md` named beside the tests.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise; its name says what is checked"
)]

mod desk;

use chaffinch::desk::{
    dialogs::{Dialog, GoOn},
    hints::Hint,
    prefs::{Prefs, ThemeChoice},
    view_state::Status,
    window_span::Lane,
};
use chaffinch_craft::describe_curve;
use desk::{Desk, WINDOW, example_path, settled_prefs};
use eframe::egui::{
    Event, Key, Modifiers, MouseWheelSource, MouseWheelUnit, PointerButton, Pos2, Rect, Shape,
    TouchPhase,
    accesskit::{Live, Role},
    vec2,
};
use egui_kittest::kittest::NodeT;
use std::fs;

const TEMP_OF_5: &str = "Temperature of point 5";

/// A desk with something typed into a field that still has the focus.
fn typing() -> Desk {
    let mut desk = Desk::example();
    desk.click_point(5, Modifiers::NONE);
    desk.click_beginning("Points table");
    desk.field(TEMP_OF_5).focus();
    desk.run();
    desk.type_over("177");
    assert!(!desk.is_modified(), "nothing is applied while it is typed");
    desk
}

/// H6: closing counts what stands in a field and wasn't confirmed.
#[test]
fn closing_the_window_keeps_what_is_typed() {
    let mut desk = typing();
    assert!(desk.close_window(), "the window stays open");
    assert_eq!(desk.point(5).temp_c, 177.0);
    assert_eq!(
        desk.state().view().dialog,
        Some(Dialog::Unsaved(GoOn::Quit))
    );
}

#[test]
fn closing_from_an_untouched_field_just_closes() {
    let mut desk = Desk::example();
    desk.click_point(5, Modifiers::NONE);
    desk.click_beginning("Points table");
    desk.field(TEMP_OF_5).focus();
    desk.run();
    desk.close_window();
    assert_eq!(desk.state().view().dialog, None);
    assert!(!desk.close_window(), "now it closes");
}

#[test]
fn dropping_a_file_asks_about_what_is_typed() {
    let mut desk = typing();
    let path = example_path("low-meadow-dark.ron");
    desk.drop_file(&path);
    assert_eq!(desk.point(5).temp_c, 177.0);
    assert_eq!(
        desk.state().view().dialog,
        Some(Dialog::Unsaved(GoOn::OpenFile(path)))
    );
}

/// `window.md`: cautions come first; the trouble with the file that was asked for isn't lost.
#[test]
fn trouble_with_the_argument_follows_the_cautions() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("cut.ron");
    fs::write(&path, "Plan(version: 1, title: ").unwrap();
    let mut desk = Desk::open(Some(&path), Prefs::default(), WINDOW);
    assert_eq!(desk.state().view().dialog, Some(Dialog::Cautions));
    desk.click("I have read this");
    match &desk.state().view().dialog {
        Some(Dialog::Trouble(trouble)) => assert!(trouble.text.contains("cut.ron")),
        other => panic!("no trouble but {other:?}"),
    }
    desk.key(Key::Escape);
    assert_eq!(desk.state().view().dialog, None, "and it comes once");
}

fn comparing() -> Desk {
    let mut desk = Desk::example();
    desk.chooser
        .answer(&example_path("ember-ridge-espresso.ron"));
    desk.click("Lay a plan behind…");
    let name = "Difference in the rise lane";
    desk.named(Role::CheckBox, name).scroll_to_me();
    desk.run();
    let at = desk.named(Role::CheckBox, name).rect().center();
    desk.click_at(at, Modifiers::NONE);
    assert!(desk.state().view().difference_shown);
    desk
}

fn wheel(desk: &mut Desk, at: Pos2, modifiers: Modifiers) {
    desk.pointer(at);
    desk.hold(modifiers);
    desk.event(Event::MouseWheel {
        unit: MouseWheelUnit::Point,
        delta: vec2(0.0, 120.0),
        phase: TouchPhase::Move,
        modifiers,
        source: MouseWheelSource::Wheel,
    });
    desk.run();
    desk.hold(Modifiers::NONE);
}

/// The difference has a scale of its own; the hidden rise must not move under it.
#[test]
fn over_the_difference_only_time_zooms() {
    let mut desk = comparing();
    let at = desk.named(Role::Canvas, "Difference lane").rect().center();
    let before = desk.state().view().lanes.current();
    wheel(&mut desk, at, Modifiers::ALT);
    assert_eq!(desk.state().view().lanes.current(), before);
    wheel(&mut desk, at, Modifiers::NONE);
    let after = desk.state().view().lanes.current();
    assert!(after.time_s.width() < before.time_s.width());
    assert_eq!(after.rise_c_per_s, before.rise_c_per_s);
}

/// `window.md`: "During a drag the view never rescales or jumps."
#[test]
fn scales_are_held_during_a_drag() {
    let mut desk = comparing();
    let held = desk.state().view().held;
    let from = desk.handle(6).rect().center();
    let to = from + vec2(0.0, 90.0);
    desk.press(from);
    desk.pull(from, to);
    let during = desk.state().view().held;
    assert_eq!(during.difference_c, held.difference_c);
    desk.release(to);
    assert!(desk.state().view().held.difference_c > held.difference_c);

    let mut desk = Desk::example();
    let held = desk.state().view().held.ladder_top_px;
    let from = desk.spin("Finish omni").rect().center();
    let to = from - vec2(0.0, 60.0);
    desk.press(from);
    desk.pull(from, to);
    assert_eq!(desk.state().view().held.ladder_top_px, held);
    desk.release(to);
    assert!(desk.state().view().held.ladder_top_px < held);
}

/// K3: Home and End go to the limits of a mark, and a drag stops there and says so.
#[test]
fn marks_stop_at_each_other() {
    let mut desk = Desk::example();
    desk.tab_to("Colour change");
    desk.key(Key::End);
    assert_eq!(desk.plan().marks.colour_change_c, 199.9);
    desk.key(Key::ArrowUp);
    assert_eq!(desk.plan().marks.colour_change_c, 199.9);
    assert!(
        desk.refusal().contains("below first crack"),
        "{}",
        desk.refusal()
    );
    desk.key(Key::Home);
    assert_eq!(desk.plan().marks.colour_change_c, 0.0);
    desk.spin("First crack").set_value_accesskit(f64::NAN);
    desk.run();
    assert_eq!(desk.plan().marks.first_crack_c, 200.0);
}

/// A tenth of a step, seven times, is 0.7 and no binary neighbour of it.
#[test]
fn alt_with_an_arrow_leaves_round_numbers() {
    let mut desk = Desk::example();
    desk.tab_to("Airflow point 2 of 4");
    for _ in 0..7 {
        desk.key_with(Modifiers::ALT, Key::ArrowUp);
    }
    assert_eq!(desk.plan().airflow.points()[1].percent, 78.7);
}

/// The first point stays at 0 s, so a selection with it moves in temperature only; the window says why.
#[test]
fn first_point_among_several_says_that_it_holds_them() {
    let mut desk = Desk::example();
    desk.click_point(1, Modifiers::NONE);
    desk.click_point(3, Modifiers::SHIFT);
    let from = desk.handle(3).rect().center();
    let to = from + vec2(20.0, 0.0);
    desk.press(from);
    desk.pull(from, to);
    assert!(desk.paints("the first point stays at 0 s"));
    desk.release(to);
}

/// Every move of a drag starts from the plan that it began with, so going there and back lands where it was.
#[test]
fn boundary_dragged_out_and_back_lands_where_it_was() {
    let mut desk = Desk::example();
    let before = desk.plan();
    let from = desk.spin("Time of first crack").rect().center();
    desk.press(from);
    desk.pull(from, from + vec2(400.0, 0.0));
    let furthest_s = desk.derived().phases.first_crack.reached().unwrap().time_s;
    for _ in 0..5 {
        desk.pull(from + vec2(390.0, 0.0), from + vec2(400.0, 0.0));
    }
    let again_s = desk.derived().phases.first_crack.reached().unwrap().time_s;
    assert!(
        (furthest_s - again_s).abs() < 1e-9,
        "{furthest_s} {again_s}"
    );
    desk.pull(from + vec2(400.0, 0.0), from);
    desk.release(from);
    assert_eq!(
        desk.places(),
        before
            .curve
            .points()
            .iter()
            .map(|point| (point.time_s, point.temp_c))
            .collect::<Vec<_>>()
    );
}

/// In °F all that a reader hears and sets is in °F. From memory: 188 °C = 370.4 °F, 300 °F = 148.9 °C (to 0.1).
#[test]
fn reader_works_in_the_unit_that_is_shown() {
    let mut desk = Desk::example();
    desk.ctrl(Key::U);
    let handle = desk.handle(6);
    let node = handle.accesskit_node();
    assert!((node.numeric_value().unwrap() - 370.4).abs() < 1e-9);
    assert_eq!(
        (node.min_numeric_value(), node.max_numeric_value()),
        (Some(32.0), Some(608.0))
    );
    desk.spin("Colour change").set_value_accesskit(300.0);
    desk.run();
    assert!((desk.plan().marks.colour_change_c - 148.9).abs() < 0.02);
    desk.handle(6).set_value_accesskit(379.4);
    desk.run();
    assert_eq!(desk.point(6).temp_c, 193.0, "188 °C + 5 °C = 379.4 °F");
    desk.spin("Finish omni").set_value_accesskit(419.0);
    desk.run();
    assert_eq!(desk.plan().finishes.finishes()[2].temp_c, 215.0);
}

#[test]
fn a_falling_point_is_said_to_fall() {
    let mut desk = Desk::example();
    desk.handle(9).set_value_accesskit(190.0);
    desk.run();
    let spoken = Desk::spoken(&desk.handle(9));
    assert!(spoken.contains(", falling "), "{spoken}");
    assert!(!spoken.contains('−'), "{spoken}");
}

/// E4: Shift keeps an axis for as long as it is held; pressed again it chooses anew.
#[test]
fn shift_let_go_frees_the_axis() {
    let mut desk = Desk::example();
    let from = desk.handle(6).rect().center();
    desk.press(from);
    desk.hold(Modifiers::SHIFT);
    desk.pull(from, from + vec2(30.0, 0.0));
    assert_eq!(desk.point(6).temp_c, 188.0, "kept to time");
    desk.hold(Modifiers::NONE);
    desk.pull(from + vec2(30.0, 0.0), from + vec2(2.0, -30.0));
    desk.hold(Modifiers::SHIFT);
    desk.pull(from + vec2(2.0, -30.0), from + vec2(3.0, -40.0));
    let point = desk.point(6);
    assert_eq!(point.time_s, 290.0, "now kept to temperature");
    assert!(point.temp_c > 188.0, "{point:?}");
    desk.hold(Modifiers::NONE);
    desk.release(from + vec2(3.0, -40.0));
}

#[test]
fn long_titles_stay_inside_the_lane_of_the_difference() {
    let mut desk = comparing();
    let title = "A very long title of a plan that goes on and on beyond every lane";
    desk.click_beginning("Title: ");
    desk.type_over(title);
    desk.key(Key::Enter);
    assert_eq!(desk.plan().title, title);
    let lane = desk.named(Role::Canvas, "Difference lane").rect();
    let widest = painted(&desk, " minus ")
        .into_iter()
        .filter(|rect| rect.intersects(lane))
        .map(|rect| rect.right())
        .fold(f32::NEG_INFINITY, f32::max);
    assert!(lane.left() < widest && widest <= lane.right(), "{widest}");
}

/// Where text that contains `text` is painted.
fn painted(desk: &Desk, text: &str) -> Vec<Rect> {
    let shapes = desk.output().shapes.iter();
    let found = shapes.filter_map(|clipped| match &clipped.shape {
        Shape::Text(shape) if shape.galley.text().contains(text) => {
            Some(shape.visual_bounding_rect())
        }
        _ => None,
    });
    found.collect()
}

/// A hint goes when the thing itself was done, whatever the step is called.
#[test]
fn only_a_drag_of_a_point_teaches_dragging_points() {
    let mut desk = Desk::open(
        None,
        Prefs {
            hints_done: 0,
            ..settled_prefs()
        },
        WINDOW,
    );
    let from = desk.spin("Airflow point 2 of 4").rect().center();
    desk.drag(from, from + vec2(30.0, 12.0));
    assert_eq!(desk.state().prefs().hints_done, 0, "airflow isn't a point");
    let to = desk.handle(5).rect().center() + vec2(0.0, -10.0);
    let from = desk.handle(5).rect().center();
    desk.drag(from, to);
    assert_eq!(desk.state().prefs().hints_done, Hint::DragPoint.bit());
}

/// One file by two spellings is one file: it stands in the list once, and a save to it is watched.
#[test]
fn another_spelling_of_a_path_is_the_same_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("mine.ron");
    let spelt = folder.path().join("sub/../mine.ron");
    fs::create_dir(folder.path().join("sub")).unwrap();
    fs::copy(example_path("low-meadow-dark.ron"), &path).unwrap();
    let mut desk = Desk::open(Some(&path), settled_prefs(), WINDOW);
    fs::copy(example_path("willow-terrace-omni.ron"), &path).unwrap();
    desk.chooser.answer(&spelt);
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    assert!(
        matches!(desk.state().view().dialog, Some(Dialog::ChangedOnDisk(_))),
        "{:?}",
        desk.state().view().dialog
    );
    desk.key(Key::Escape);
    desk.drop_file(&spelt);
    assert_eq!(desk.state().prefs().recent.len(), 1);
}

#[test]
fn theme_can_follow_the_system_again() {
    let mut desk = Desk::example();
    let dark = desk.named(Role::RadioButton, "Theme: Dark").rect().center();
    desk.click_at(dark, Modifiers::NONE);
    assert_eq!(desk.state().prefs().theme, ThemeChoice::Dark);
    let system = desk
        .named(Role::RadioButton, "Theme: System")
        .rect()
        .center();
    desk.click_at(system, Modifiers::NONE);
    assert_eq!(desk.state().prefs().theme, ThemeChoice::System);
    desk.ctrl(Key::T);
    assert_ne!(desk.state().prefs().theme, ThemeChoice::System);
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::T);
    assert_eq!(desk.state().prefs().theme, ThemeChoice::System);
}

/// E6: straight and hold stretches are told from curved ones in the chart, not by colour alone.
#[test]
fn kinds_of_stretches_are_seen_and_said() {
    let mut desk = Desk::example();
    assert!(!desk.paints("straight"));
    desk.click_point(6, Modifiers::NONE);
    straighten(&mut desk);
    assert!(desk.paints("straight"));
    assert!(Desk::spoken(&desk.handle(6)).ends_with(", then straight"));
}

/// Picks "Straight" for the stretch behind the selected point, by the bar at the foot.
fn straighten(desk: &mut Desk) {
    let boxes = desk.root().children_recursive();
    let stretch = boxes
        .filter(|node| node.accesskit_node().role() == Role::ComboBox)
        .find(|node| {
            let label = node.accesskit_node().label().unwrap_or_default();
            label == "From the current point 6 to the next"
        })
        .unwrap()
        .rect()
        .center();
    desk.click_at(stretch, Modifiers::NONE);
    let choices = desk.root().children_recursive();
    let straight = choices
        .filter(|node| node.accesskit_node().label().as_deref() == Some("Straight"))
        .last()
        .unwrap()
        .rect()
        .center();
    desk.click_at(straight, Modifiers::NONE);
}

/// X1: where the areas of two handles would overlap, the nearer centre wins.
#[test]
fn of_two_close_points_the_nearer_is_taken() {
    let mut desk = Desk::example();
    let time_s = desk.point(6).time_s + 6.0;
    let place = desk.screen(time_s, desk.plan().curve.temp_c(time_s));
    desk.double_click_at(place + vec2(0.0, 40.0), Modifiers::NONE);
    assert_eq!(desk.points().len(), 10, "a point was added on the curve");
    let [left, right] = [6, 7].map(|number| {
        let point = desk.point(number);
        desk.screen(point.time_s, point.temp_c)
    });
    assert!(left.distance(right) < 24.0, "{left} {right}");
    for (share, wished) in [(0.3, 6), (0.7, 7)] {
        desk.click_at(left.lerp(right, share), Modifiers::NONE);
        assert_eq!(desk.selected(), [wished], "{share} of the way");
    }
}

/// A4: the axis of values zooms and moves by keys, in the lane under the pointer.
#[test]
fn values_zoom_by_key() {
    let mut desk = Desk::example();
    let whole = desk.state().view().lanes.current();
    desk.key_with(Modifiers::ALT, Key::Plus);
    let closer = desk.state().view().lanes.current();
    assert!(closer.temp_c.width() < whole.temp_c.width());
    assert_eq!(closer.time_s, whole.time_s);
    desk.ctrl(Key::ArrowUp);
    let higher = desk.state().view().lanes.current();
    assert!(higher.temp_c.from > closer.temp_c.from);
    let at = desk.named(Role::Canvas, "Effort lane").rect().center();
    desk.pointer(at);
    assert_eq!(desk.state().view().hover_lane, Some(Lane::Effort));
    desk.key_with(Modifiers::ALT, Key::Minus);
    let wider = desk.state().view().lanes.current();
    assert!(wider.effort_percent.width() > higher.effort_percent.width());
    assert_eq!(wider.temp_c, higher.temp_c);
}

/// The brackets go through the views even while a handle has the arrows.
#[test]
fn brackets_walk_the_views_at_a_handle() {
    let mut desk = Desk::example();
    desk.tab_to("Point 5 of 9");
    let whole = desk.state().view().lanes.current();
    desk.ctrl(Key::Plus);
    let closer = desk.state().view().lanes.current();
    desk.ctrl(Key::OpenBracket);
    assert_eq!(desk.state().view().lanes.current(), whole);
    desk.ctrl(Key::CloseBracket);
    assert_eq!(desk.state().view().lanes.current(), closer);
}

/// H5 and K: what was removed can be put back where it is said, and a reader hears that it was.
#[test]
fn removing_offers_to_undo_and_is_spoken() {
    let mut desk = Desk::example();
    let before = desk.places();
    desk.click_point(5, Modifiers::NONE);
    desk.key(Key::Delete);
    assert_eq!(
        desk.state().view().status,
        Some(Status::Removed("Removed point 5".to_owned()))
    );
    let is_live = desk.root().children_recursive().any(|node| {
        let node = node.accesskit_node();
        let says = [node.label(), node.value()].into_iter().flatten();
        let says = says
            .into_iter()
            .any(|text| text.contains("Removed point 5"));
        says && node.live() == Live::Polite
    });
    assert!(is_live, "the status line is a live region");
    desk.click("Undo removing");
    assert_eq!(desk.places(), before);
    assert_eq!(desk.state().view().status, None);
}

#[test]
fn description_says_a_drop_that_is_not_reached() {
    let mut desk = Desk::example();
    desk.spin("Finish filter").set_value_accesskit(230.0);
    desk.run();
    let unit = desk.state().prefs().unit();
    let words = describe_curve(&desk.plan(), desk.derived(), desk.outlook(), unit);
    assert!(words.contains("Drop not reached."), "{words}");
    desk.ctrl(Key::D);
    assert!(desk.says("Drop not reached."));
}

/// The middle button moves the hidden rise no more than the wheel does.
#[test]
fn middle_button_over_the_difference_moves_time_only() {
    let mut desk = comparing();
    let at = desk.named(Role::Canvas, "Difference lane").rect().center();
    let before = desk.state().view().lanes.current();
    desk.pointer(at);
    desk.button_event(at, PointerButton::Middle, true, Modifiers::NONE);
    desk.pull(at, at + vec2(40.0, 25.0));
    desk.button_event(
        at + vec2(40.0, 25.0),
        PointerButton::Middle,
        false,
        Modifiers::NONE,
    );
    let after = desk.state().view().lanes.current();
    assert_ne!(after.time_s, before.time_s);
    assert_eq!(after.rise_c_per_s, before.rise_c_per_s);
}
