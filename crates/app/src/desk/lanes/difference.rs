//! What a rework changes: new minus old over time, in temperature (axis at the left) and in the rate of rise (axis at the right).
//!
//! Both axes have their zero on one line. They follow the difference in round steps, and only outwards while a button is held, so that
//! a slider is seen to move the lines and not the scale.

use super::{
    super::{
        axis,
        model::Model,
        paint::{
            dash::dashed,
            marks::marker,
            strokes::{LineRole, Marker},
        },
        theme::{Palette, Step},
        view_state::ViewState,
        window_span::Span,
    },
    cursor,
    frame::{self, LaneFrame},
    ground::{self, LegendEntry},
    line, navigate,
};
use chaffinch_craft::{
    CurveDifference,
    units::{
        CelsiusDifference, TempUnit, format_number, format_rise_with_unit,
        format_temp_shift_with_unit, format_time,
    },
};
use eframe::egui::{Align2, CornerRadius, Painter, Rect, Stroke, Ui, pos2, vec2};

/// The lane's name.
pub(super) const HEAD: &str = "What changes";
/// Said until something came of a rework.
const NOTHING_YET: &str = "Nothing is reworked yet";
/// Least distance between two lines of the grid.
const GRID_GAP_PX: f32 = 22.0;
/// How far the lane may reach to both sides of zero, in K and in °C/min.
const REACHES: [f64; 9] = [0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0];
/// Room below and above what is reached, as shares of it; more at the head, where the words stand.
const BELOW: f64 = 1.15;
const ABOVE: f64 = 1.75;
/// From the lane's right edge to the numbers of its axis: behind the arrow that folds the lane.
const RIGHT_AXIS_PX: f32 = 28.0;
/// From the lane's top to the middle of its head.
const HEAD_DOWN_PX: f32 = 13.0;
/// One tick mark a minute along the line of the rise, as in its own lane.
const TICK_EVERY_S: usize = 60;

/// Shows the lane.
pub(super) fn ui(
    model: &Model<'_>,
    view: &mut ViewState,
    frame: &LaneFrame,
    time_ticks: &[axis::Tick],
    ui: &mut Ui,
) {
    let palette = Palette::of(ui);
    let outcome = model.rework.and_then(|reworked| reworked.found.outcome());
    let difference = outcome.map(|(new, ..)| CurveDifference::between(model.plan, new));
    let is_held = ui.input(|input| input.pointer.any_down());
    let found = difference.as_ref();
    let per_min = 60.0;
    let reach_k = held_reach(
        &mut view.held.rework_k,
        found.map_or(0.0, |found| greatest(&found.temp_k)),
        is_held,
    );
    let reach_per_min = held_reach(
        &mut view.held.rework_rise,
        found.map_or(0.0, |found| per_min * greatest(&found.rise_c_per_s)),
        is_held,
    );
    let temps = with_reach(frame, reach_k);
    let rises = with_reach(frame, reach_per_min / per_min);
    let ticks = temp_ticks(&temps, model.unit);
    let painter = ui.painter().clone();
    let phases = &model.derived.phases;
    ground::paint(&painter, &temps, phases, time_ticks, &ticks, palette);
    ground::paint_boundaries(&painter, &temps, phases, palette);
    let zero_y = temps.screen_y_from_value(0.0);
    painter.hline(frame.rect.x_range(), zero_y, Stroke::new(1.0, palette.mark));
    let response = frame.show_plot(ui, "Lane of what changes", |_| {});
    frame::speak(ui, &response, || spoken(found, model.unit));
    if let Some(found) = found {
        paint_lines(&painter, found, [&temps, &rises], palette);
    }
    cursor::paint_lines(&painter, view, &temps, palette);
    navigate::navigate(ui, &response, &temps, None, &mut view.lanes);
    ground::paint_axis(&painter, &temps, &ticks, model.unit.symbol(), palette);
    paint_right_axis(&painter, &rises, model.unit, palette);
    let at = frame.rect.left_top() + vec2(12.0, HEAD_DOWN_PX);
    let legend = [
        LegendEntry::line(LineRole::Curve, "temperature, left"),
        LegendEntry::line(LineRole::Rate, "rise, right"),
    ];
    ground::paint_head(&painter, frame, at, "New minus old", &legend, palette);
    let Some(found) = found else {
        let words = if model.rework.is_some() {
            "No curve came of it: the panel says why"
        } else {
            NOTHING_YET
        };
        let middle = pos2(frame.rect.center().x, zero_y - 10.0);
        let font = Step::Small.font();
        painter.text(middle, Align2::CENTER_CENTER, words, font, palette.text2);
        return;
    };
    if let Some(time_s) = view.hover_s {
        paint_moment(
            &painter,
            found,
            time_s,
            [&temps, &rises],
            model.unit,
            palette,
        );
    }
}

fn with_reach(frame: &LaneFrame, reach: f64) -> LaneFrame {
    let values = Span {
        from: -BELOW * reach,
        to: ABOVE * reach,
    };
    LaneFrame { values, ..*frame }
}

fn greatest(values: &[f64]) -> f64 {
    values.iter().fold(0.0, |most, value| value.abs().max(most))
}

/// The least round reach that shows all; while `is_held` it only grows.
fn held_reach(slot: &mut Option<f64>, needed: f64, is_held: bool) -> f64 {
    let round = REACHES.into_iter().find(|reach| needed <= *reach);
    let round = round.unwrap_or(needed);
    let reach = match *slot {
        Some(before) if is_held => before.max(round),
        _ => round,
    };
    *slot = Some(reach);
    reach
}

/// Ticks that are round in `unit`; a difference carries no 32.
fn temp_ticks(frame: &LaneFrame, unit: TempUnit) -> Vec<axis::Tick> {
    let shown = Span {
        from: CelsiusDifference(frame.values.from).shown(unit),
        to: CelsiusDifference(frame.values.to).shown(unit),
    };
    let ticks = axis::percent_ticks(shown, frame.rect.height(), GRID_GAP_PX);
    let stored = |tick: axis::Tick| axis::Tick {
        at: CelsiusDifference::from_shown(tick.at, unit).0,
        label: tick.label.map(signed),
    };
    ticks.into_iter().map(stored).collect()
}

/// A difference that is more says so.
fn signed(label: String) -> String {
    let is_positive = label.chars().any(|digit| matches!(digit, '1'..='9'));
    if is_positive && !label.starts_with('−') {
        format!("+{label}")
    } else {
        label
    }
}

/// Temperature below, rise above it, thinner than in their own lanes.
fn paint_lines(
    painter: &Painter,
    found: &CurveDifference,
    [temps, rises]: [&LaneFrame; 2],
    palette: &Palette,
) {
    const WIDTH_PX: f32 = 2.0;
    for (role, values, frame) in [
        (LineRole::Rate, &found.rise_c_per_s, rises),
        (LineRole::Curve, &found.temp_k, temps),
    ] {
        let places = line::each_second(values.iter().copied());
        let path = line::path(&places, 0.0, frame);
        let stroke = Stroke::new(WIDTH_PX, role.color(palette));
        painter.extend(dashed(&path, role.look().dash_px, stroke, frame.rect));
    }
    let clipped = painter.with_clip_rect(rises.rect);
    for second in (TICK_EVERY_S..found.rise_c_per_s.len()).step_by(TICK_EVERY_S) {
        let at = rises.screen_from(second as f64, found.rise_c_per_s[second]);
        clipped.extend(marker(Marker::Tick, at, palette.rate, palette.chart));
    }
}

/// The axis of rates, right of the lane.
fn paint_right_axis(painter: &Painter, frame: &LaneFrame, unit: TempUnit, palette: &Palette) {
    let ticks = axis::rise_ticks(frame.values, frame.rect.height(), GRID_GAP_PX, unit);
    let room = frame.rect.y_range().shrink(5.0);
    let left = frame.rect.right() + RIGHT_AXIS_PX;
    for tick in ticks {
        let y = frame.screen_y_from_value(tick.at);
        if let Some(label) = tick.label
            && room.contains(y)
        {
            let font = Step::Small.font();
            let at = pos2(left, y);
            painter.text(at, Align2::LEFT_CENTER, signed(label), font, palette.rate);
        }
    }
    let at = pos2(left, frame.rect.bottom() - 1.0);
    let (symbol, font) = (unit.rise_symbol(), Step::Small.font());
    painter.text(at, Align2::LEFT_BOTTOM, symbol, font, palette.text3);
}

/// Both values at the cursor, at the lane's right where they cover no line's beginning, and a ring on each line.
fn paint_moment(
    painter: &Painter,
    found: &CurveDifference,
    time_s: f64,
    [temps, rises]: [&LaneFrame; 2],
    unit: TempUnit,
    palette: &Palette,
) {
    let Some((temp_k, rise_c_per_s)) = found.at(time_s) else {
        return;
    };
    let clipped = painter.with_clip_rect(temps.rect);
    for (at, ink) in [
        (rises.screen_from(time_s, rise_c_per_s), palette.rate),
        (temps.screen_from(time_s, temp_k), palette.setpoint),
    ] {
        clipped.circle(at, 3.0, palette.chart, Stroke::new(1.5, ink));
    }
    let parts = [
        (
            signed(format_rise_with_unit(rise_c_per_s, unit)),
            palette.rate,
        ),
        (format_temp_shift_with_unit(temp_k, unit), palette.text),
        (format_time(time_s), palette.text2),
    ];
    let mut right = temps.rect.right() - 8.0;
    let y = temps.rect.top() + HEAD_DOWN_PX;
    for (text, ink) in parts {
        let words = painter.layout_no_wrap(text, Step::Strong.font(), ink);
        let corner = pos2(right - words.size().x, y - words.size().y / 2.0);
        let plate = Rect::from_min_size(corner, words.size()).expand2(vec2(5.0, 1.0));
        let ground = palette.chart.gamma_multiply(0.85);
        painter.rect_filled(plate, CornerRadius::same(3), ground);
        painter.galley(corner, words, ink);
        right = corner.x - 10.0;
    }
}

/// What a screen reader hears of the lane.
fn spoken(found: Option<&CurveDifference>, unit: TempUnit) -> String {
    let greatest = found.and_then(CurveDifference::greatest);
    let (Some(found), Some(greatest)) = (found, greatest) else {
        return NOTHING_YET.to_owned();
    };
    let last = found.temp_k.last().copied().unwrap_or_default();
    let rises = (found.rise_c_per_s.iter()).fold([0.0_f64; 2], |[least, most], &rise| {
        [least.min(rise), most.max(rise)]
    });
    let [slower, faster] = rises.map(|rise| signed(format_rise_with_unit(rise, unit)));
    format!(
        "New minus old: at most {} at {}, {} at the end after {} min; rise {slower} to {faster}",
        format_temp_shift_with_unit(greatest.temp_k, unit),
        format_time(greatest.time_s),
        format_temp_shift_with_unit(last, unit),
        format_number(found.temp_k.len() as f64 / 60.0, 1),
    )
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, clippy::missing_assert_message, reason = "tests")]
    use super::*;

    #[test]
    fn scale_steps_and_never_shrinks_under_a_held_button() {
        let mut slot = None;
        assert_eq!(held_reach(&mut slot, 3.2, false), 5.0);
        assert_eq!(held_reach(&mut slot, 0.7, true), 5.0);
        assert_eq!(held_reach(&mut slot, 5.1, true), 10.0);
        assert_eq!(held_reach(&mut slot, 0.7, false), 1.0);
        assert_eq!(held_reach(&mut slot, 731.0, false), 731.0);
    }

    #[test]
    fn labels_of_more_have_a_plus_and_zero_has_none() {
        for (label, expected) in [
            ("2", "+2"),
            ("0", "0"),
            ("0.0", "0.0"),
            ("−2", "−2"),
            ("0.5", "+0.5"),
            ("1.2 °C/min", "+1.2 °C/min"),
        ] {
            assert_eq!(signed(label.to_owned()), expected);
        }
    }
}
