//! The forecast in the lanes: its lines, what a screen reader hears of them, the off state, readouts, findings and handles.
//!
//! What is right comes from issue 3 (section 5), the rows on forecast and reach of `window.md` and `identity.md`, and from the
//! outlook reckoned here again.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise; its name says what is checked"
)]

mod desk;

use chaffinch::desk::theme::Palette;
use chaffinch_craft::{
    Foreseen, Outlook,
    units::{format_temp_shift_with_unit, format_temp_with_unit, format_time},
};
use desk::{Desk, example_path, settled_prefs};
use eframe::egui::{Color32, Key, Modifiers, Pos2, Rect, Shape, Vec2, accesskit::Role, pos2, vec2};

const LANES: [&str; 3] = ["Temperature lane", "Rate of rise lane", "Effort lane"];

fn lane_rect(desk: &Desk, name: &str) -> Rect {
    desk.named(Role::Canvas, name).rect()
}

fn heard(desk: &Desk, name: &str) -> String {
    Desk::spoken(&desk.named(Role::Canvas, name))
}

/// The forecast of the plan on the desk, reckoned here.
fn foreseen(desk: &Desk) -> Foreseen {
    Outlook::of(&desk.plan()).roast.unwrap()
}

/// Where lines of this colour begin and end, in the last frame.
fn lines(desk: &Desk, ink: Color32) -> Vec<[Pos2; 2]> {
    let mut found = Vec::new();
    for clipped in &desk.output().shapes {
        collect(&clipped.shape, ink, &mut found);
    }
    found
}

fn collect(shape: &Shape, ink: Color32, found: &mut Vec<[Pos2; 2]>) {
    match shape {
        Shape::Vec(shapes) => shapes.iter().for_each(|shape| collect(shape, ink, found)),
        Shape::LineSegment { points, stroke } if stroke.color == ink => found.push(*points),
        Shape::Path(path) => {
            let is_ink = path.stroke.color == eframe::egui::epaint::ColorMode::Solid(ink);
            if let (true, Some(&first), Some(&last)) =
                (is_ink, path.points.first(), path.points.last())
            {
                found.push([first, last]);
            }
        }
        _ => {}
    }
}

/// How many of these lines lie in a rectangle.
fn within(lines: &[[Pos2; 2]], rect: Rect) -> usize {
    let is_in = |ends: &&[Pos2; 2]| ends.iter().all(|end| rect.contains(*end));
    lines.iter().filter(is_in).count()
}

/// The fan so low that the bed rests.
fn without_air() -> Desk {
    let mut desk = Desk::example();
    for number in 1..=4 {
        let name = format!("Airflow point {number} of 4");
        desk.spin(&name).set_value_accesskit(20.0);
        desk.run();
    }
    assert!(
        desk.outlook().foreseen().is_none(),
        "the case: 20 % doesn't lift the bed"
    );
    desk
}

#[test]
fn lanes_say_what_is_foreseen() {
    let desk = Desk::example();
    let unit = desk.state().prefs().unit();
    let foreseen = foreseen(&desk);
    let temperature = heard(&desk, LANES[0]);
    let drop = format_time(foreseen.moments.drop_s.unwrap());
    let miss = foreseen.greatest_miss_k;
    for part in [
        format!("Forecast drops at {drop}"),
        format!(
            "meets the curve at {}",
            format_time(foreseen.met_s.unwrap() as f64)
        ),
        format!(
            "{} at {}",
            format_temp_shift_with_unit(miss.value, unit),
            format_time(miss.time_s as f64)
        ),
        "in 80 of 100 roasts between".to_owned(),
    ] {
        assert!(temperature.contains(&part), "{part}: {temperature}");
    }
    let rise = heard(&desk, LANES[1]);
    assert!(rise.contains("forecast rising"), "{rise}");
    let effort = heard(&desk, LANES[2]);
    let percent = foreseen.trace.effort.last().unwrap() * 100.0;
    assert!(
        effort.contains(&format!("heater {percent:.0} %")),
        "{effort}"
    );
    assert!(effort.contains("air 62 %"), "{effort}");
}

#[test]
fn forecast_reach_and_heater_are_drawn_where_they_belong() {
    let desk = Desk::example();
    let palette = &Palette::LIGHT;
    let dashes = lines(&desk, palette.forecast);
    for lane in &LANES[..2] {
        let count = within(&dashes, lane_rect(&desk, lane));
        assert!(count > 20, "{lane}: {count} dashes");
    }
    assert_eq!(
        within(&dashes, lane_rect(&desk, LANES[2])),
        0,
        "no probe here"
    );
    let hatch = within(
        &lines(&desk, palette.hatch_line()),
        lane_rect(&desk, LANES[0]),
    );
    assert!(hatch > 20, "{hatch} lines of the corridor");
    let heater = within(&lines(&desk, palette.heater), lane_rect(&desk, LANES[2]));
    assert!(heater >= 1, "heater");
    for name in ["Forecast", "Reach", "Heater", "Air", "Least air"] {
        assert!(desk.paints(name), "{name} in a legend");
    }
}

/// The forecast lies where the outlook says, to a point of the screen.
#[test]
fn forecast_passes_through_the_reading_of_its_seconds() {
    let desk = Desk::example();
    let lane = *desk.state().lane().unwrap();
    let foreseen = foreseen(&desk);
    let ends: Vec<Pos2> = lines(&desk, Palette::LIGHT.forecast)
        .into_iter()
        .flatten()
        .filter(|end| lane.rect.contains(*end))
        // The legend's sample lies in the head.
        .filter(|end| end.y > lane.rect.top() + 24.0)
        .collect();
    let cross = lane.screen_from(foreseen.moments.drop_s.unwrap(), 210.0);
    let mut checked = 0;
    for end in ends {
        let time_s = lane.time_from_screen_x(end.x);
        let (second, part) = (time_s.floor() as usize, time_s.fract());
        let trace = &foreseen.trace.probe_c;
        if end.distance(cross) < 6.0 || second + 1 >= trace.len() {
            continue;
        }
        let probe_c = trace[second] + part * (trace[second + 1] - trace[second]);
        let away = (end.y - lane.screen_y_from_value(probe_c)).abs();
        // The first seconds are steep: there half a point across is several up.
        assert!(away < 1.0 || second < 20, "{away} at {time_s} s");
        checked += 1;
    }
    assert!(checked > 40, "{checked}");
}

#[test]
fn without_a_forecast_the_lanes_say_why_and_keep_the_drawn_lines() {
    let mut desk = without_air();
    let palette = &Palette::LIGHT;
    for part in ["No forecast", "lift the beans"] {
        assert!(
            heard(&desk, LANES[0]).contains(part),
            "{}",
            heard(&desk, LANES[0])
        );
        assert!(desk.paints(part), "{part} in the lane");
    }
    assert!(heard(&desk, LANES[1]).contains("no forecast"));
    assert!(heard(&desk, LANES[2]).contains("heater not foreseen"));
    let dashes = lines(&desk, palette.forecast);
    for lane in LANES {
        assert_eq!(within(&dashes, lane_rect(&desk, lane)), 0, "{lane}");
    }
    assert!(!desk.paints("Heater"), "nothing stands for the heater");
    let hatch = within(
        &lines(&desk, palette.hatch_line()),
        lane_rect(&desk, LANES[2]),
    );
    assert!(hatch > 10, "missing air is hatched: {hatch}");
    // The curve can still be worked on.
    let before = desk.point(4);
    desk.drag_point(4, before.time_s, before.temp_c + 4.0);
    assert!((desk.point(4).temp_c - before.temp_c - 4.0).abs() < 1.0);
    // And air brings the forecast back.
    for number in 1..=4 {
        let name = format!("Airflow point {number} of 4");
        desk.spin(&name).set_value_accesskit(80.0);
        desk.run();
    }
    assert!(heard(&desk, LANES[0]).contains("Forecast drops"), "back");
    assert!(!desk.paints("No forecast"));
}

#[test]
fn nothing_rescales_while_a_drag_changes_the_forecast() {
    let mut desk = Desk::example();
    let before = (
        *desk.state().lane().unwrap(),
        desk.state().view().lanes.current(),
    );
    let drop_s = foreseen(&desk).moments.drop_s;
    let from = desk.handle(5).rect().center();
    desk.press(from);
    desk.pull(from, from + vec2(0.0, -60.0));
    assert_eq!(
        (
            *desk.state().lane().unwrap(),
            desk.state().view().lanes.current()
        ),
        before,
        "lanes in the drag"
    );
    let dragged = desk
        .outlook()
        .foreseen()
        .map(|foreseen| foreseen.moments.drop_s);
    let now = foreseen(&desk);
    assert_eq!(
        dragged,
        Some(now.moments.drop_s),
        "the forecast follows in the same frame"
    );
    assert!(
        now.greatest_miss_k.value.abs() > 1.0,
        "a drag of 20 °C is not followed to the degree"
    );
    desk.release(from + vec2(0.0, -60.0));
    assert!(drop_s.is_some());
}

/// Old bands never pass as current ones: soon after an edit they give way to the name of the work that renews them.
#[test]
fn spread_that_is_out_of_date_gives_way_to_its_name() {
    let mut desk = Desk::example();
    let ink = Palette::LIGHT.spread_edge();
    let edges = |desk: &Desk| within(&lines(desk, ink), lane_rect(desk, LANES[0]));
    assert!(edges(&desk) > 20, "{} edges of bands", edges(&desk));
    let from = desk.handle(5).rect().center();
    desk.press(from);
    desk.pull(from, from + vec2(0.0, -30.0));
    // Without a worker the spread waits for the end of the drag.
    std::thread::sleep(std::time::Duration::from_millis(200));
    desk.step();
    assert!(desk.paints("Spread of 1,024 roasts"));
    assert_eq!(edges(&desk), 0, "edges of old bands");
    desk.release(from + vec2(0.0, -30.0));
    assert!(!desk.paints("Spread of 1,024 roasts"));
    assert!(edges(&desk) > 20, "the new bands");
}

#[test]
fn air_is_worked_in_the_effort_lane_by_pointer_and_keys() {
    let mut desk = Desk::example();
    let lane = lane_rect(&desk, LANES[2]);
    for number in 1..=4 {
        let name = format!("Airflow point {number} of 4");
        let at = desk.spin(&name).rect().center();
        assert!(lane.contains(at), "{name} at {at:?}");
    }
    let from = desk.spin("Airflow point 3 of 4").rect().center();
    desk.drag(from, from + vec2(0.0, -10.0));
    let moved = desk.plan().airflow.points()[2].percent;
    assert!(moved > 72.0, "{moved}");
    desk.tab_to("Airflow point 3 of 4");
    desk.key(Key::ArrowDown);
    assert_eq!(desk.plan().airflow.points()[2].percent, moved - 1.0);
    let second = foreseen(&desk).trace.flow_share.len() - 1;
    assert!(second > 300, "the forecast goes on");
    desk.click("Fold the lane of effort");
    assert!(desk.paints("Effort"), "its head stays");
    desk.click("Open the lane of effort");
    assert!(lane_rect(&desk, LANES[2]).height() > 60.0);
}

#[test]
fn readouts_tell_drawn_and_foreseen_with_their_trust() {
    let mut desk = Desk::example();
    let lane = lane_rect(&desk, LANES[0]);
    desk.pointer(pos2(desk.screen(250.0, 100.0).x, lane.bottom() - 60.0));
    desk.run();
    let foreseen = foreseen(&desk);
    let time_s = desk.state().view().hover_s.unwrap();
    let second = time_s.round() as usize;
    let probe_c = foreseen.trace.probe_c[second];
    let unit = desk.state().prefs().unit();
    for part in [
        format!("forecast {}", format_temp_with_unit(probe_c, unit)),
        format!("heater {:.0} %", foreseen.trace.effort[second] * 100.0),
        format!("core {:.0} ±7 °C", foreseen.trace.core_c[second]),
        format!("surface {:.0} ±2 °C", foreseen.trace.surface_c[second]),
        "air 70 %".to_owned(),
    ] {
        assert!(desk.paints(&part), "{part}");
    }
    let lane = lane_rect(&desk, LANES[2]);
    desk.pointer(pos2(desk.screen(250.0, 100.0).x, lane.top() + 40.0));
    desk.run();
    assert!(desk.paints("least air"), "what lifts the bed");
    assert!(desk.paints("air 70 %") && desk.paints("heater "));
    assert!(!desk.paints("core "), "only where the pointer is");
}

#[test]
fn glyph_on_the_rail_lights_its_finding_up() {
    let mut desk = without_air();
    let lane = lane_rect(&desk, LANES[2]);
    let finding = desk.state().computed().findings()[0].clone();
    assert!(
        finding
            .sentence(desk.state().prefs().unit())
            .contains("a bed that rests")
    );
    let shown = *desk.state().lane().unwrap();
    let x = |time_s: f64| shown.screen_x_from_time(time_s);
    let at = pos2(
        f32::midpoint(x(finding.from_s), x(finding.to_s)).max(lane.left() + 12.0),
        lane.bottom() - 12.0,
    );
    desk.click_at(at, Modifiers::NONE);
    assert_eq!(
        desk.state().view().lit_s,
        Some((finding.from_s, finding.to_s))
    );
}

#[test]
fn time_axis_holds_a_forecast_that_ends_late() {
    let path = example_path("ember-ridge-first-attempt.ron");
    let desk = Desk::open(Some(&path), settled_prefs(), Vec2::new(1280.0, 800.0));
    let end_s = desk.outlook().foreseen().unwrap().trace.len() as f64 - 1.0;
    let curve_end_s = desk.plan().curve.end_s();
    assert!(curve_end_s < end_s, "the case: {curve_end_s} s, {end_s} s");
    let lane = lane_rect(&desk, LANES[0]);
    let x = desk.state().lane().unwrap().screen_x_from_time(end_s);
    assert!(x + 32.0 < lane.right(), "room for “100 %”: {x}, {lane:?}");
}

#[test]
fn no_scale_moves_while_the_forecast_grows_longer_in_a_drag() {
    let mut desk = Desk::example();
    let shown = desk.state().view().lanes.current();
    let end_s = desk.outlook().foreseen().unwrap().trace.len();
    let point = desk.point(desk.points().len() - 1);
    let from = desk.screen(point.time_s, point.temp_c);
    let to = desk.screen(point.time_s + 25.0, point.temp_c - 6.0);
    desk.press(from);
    desk.pull(from, to);
    desk.run();
    let later_s = desk.outlook().foreseen().unwrap().trace.len();
    assert!(end_s < later_s, "the case: {end_s} s, {later_s} s");
    assert_eq!(desk.state().view().lanes.current(), shown);
}
