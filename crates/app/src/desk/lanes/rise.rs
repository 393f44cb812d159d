//! The lane of the rate of rise, and on demand the difference to a plan behind the curve.

use super::{
    super::{
        ask::Ask,
        axis,
        model::Model,
        paint::{
            dash::dashed,
            marks::marker,
            strokes::{LineRole, Marker},
        },
        theme::Palette,
        view_state::{HeldScales, ViewState},
        window_span::{Lane, Span},
    },
    behind, cursor, forecast,
    frame::{self, LaneFrame},
    ground::{self, LegendEntry},
    line, moment, navigate, reach, reworked, rise_drag,
};
use chaffinch_craft::units::{
    CelsiusDifference, TempUnit, describe_rise, format_temp_shift_with_unit,
};
use eframe::egui::{Painter, Pos2, Stroke, Ui, pos2, vec2};
use egui_plot::Line;

/// Least distance between two lines of the grid.
const GRID_GAP_PX: f32 = 26.0;
/// One tick mark a minute along the line.
const TICK_EVERY_S: usize = 60;

/// Shows the lane.
pub(super) fn ui(
    model: &Model<'_>,
    view: &mut ViewState,
    frame: &LaneFrame,
    time_ticks: &[axis::Tick],
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    if view.shows_difference(model.behind) {
        return difference_ui(model, view, frame, time_ticks, ui);
    }
    let palette = Palette::of(ui);
    let ticks = axis::rise_ticks(frame.values, frame.rect.height(), GRID_GAP_PX, model.unit);
    let painter = ui.painter().clone();
    let phases = &model.derived.phases;
    ground::paint(&painter, frame, phases, time_ticks, &ticks, palette);
    zero_line(&painter, frame, palette);
    ground::paint_boundaries(&painter, frame, phases, palette);
    let is_reach_seen = paint_reach(&painter, model, frame, palette);
    behind::paint(&painter, model, frame, behind::Figure::Rise, palette);
    let samples = &model.derived.samples;
    if let Some(ghost) = model.ghost {
        let curve = &ghost.plan.curve;
        let places = line::rise(curve, &ghost.derived.samples, [0.0, curve.end_s()]);
        let path = line::path(&places, 0.0, frame);
        let look = LineRole::Preview.look();
        let stroke = LineRole::Preview.stroke(palette);
        painter.extend(dashed(&path, look.dash_px, stroke, frame.rect));
    }
    if let Some(foreseen) = model.outlook.foreseen() {
        // Before probe and curve meet, the probe's rise is out of all proportion.
        let from = foreseen.met_s.unwrap_or(0);
        let rises = &foreseen.rise_c_per_s[from..];
        forecast::paint_seconds(&painter, rises, from, frame, palette);
    }
    let until_s = model.derived.end_of_roast_s(model.plan);
    let response = frame.show_plot(ui, "Rate of rise lane", |plot| {
        let places = line::rise(&model.plan.curve, samples, [0.0, until_s]);
        let line = Line::new("Rate of rise", line::plot_points(&places))
            .color(palette.rate)
            .width(LineRole::Rate.look().width_px)
            .allow_hover(false);
        plot.line(line);
    });
    frame::speak(ui, &response, || spoken(model));
    let clipped = painter.with_clip_rect(frame.rect);
    for index in (TICK_EVERY_S..samples.time_s.len()).step_by(TICK_EVERY_S) {
        if samples.time_s[index] <= until_s {
            let at = frame.screen_from(samples.time_s[index], samples.rise_c_per_s[index]);
            clipped.extend(marker(Marker::Tick, at, palette.rate, palette.chart));
        }
    }
    cursor::paint_lines(&painter, view, frame, palette);
    navigate::navigate(ui, &response, frame, Some(Lane::Rise), &mut view.lanes);
    ground::paint_axis(&painter, frame, &ticks, model.unit.rise_symbol(), palette);
    let names = reworked::curve_names(model);
    let mut legend = vec![LegendEntry::line(LineRole::Rate, names.rate)];
    if model.ghost.is_some() {
        legend.push(LegendEntry::line(LineRole::Preview, names.preview));
    }
    if model.outlook.foreseen().is_some() {
        legend.push(LegendEntry::line(LineRole::Forecast, "Forecast"));
    }
    if is_reach_seen {
        legend.push(LegendEntry::line(LineRole::ReachEdge, "Reach"));
    }
    let places = head_places(frame);
    let place = ground::freer_head(places, line_points(model, frame));
    let place = HeldScales::kept(&mut view.held.rise_head, place, view.gesture.is_some());
    let at = places[place];
    ground::paint_head(&painter, frame, at, "Rate of rise", &legend, palette);
    rise_drag::ui(model, view, frame, asks, ui);
    if let Some(pointer) = response.hover_pos()
        && view.gesture.is_none()
    {
        moment::paint_rise(&painter, model, frame, pointer, palette);
    }
}

/// Where head and legend may stand. The rise is high at the start, so first at the top further right; or at the foot.
fn head_places(frame: &LaneFrame) -> [Pos2; 2] {
    const DOWN_PX: f32 = 14.0;
    let x = frame.rect.left() + frame.rect.width() * 0.34;
    [
        pos2(x, frame.rect.top() + DOWN_PX),
        pos2(x, frame.rect.bottom() - DOWN_PX),
    ]
}

/// The places of the rates that are drawn and foreseen.
fn line_points(model: &Model<'_>, frame: &LaneFrame) -> impl Iterator<Item = Pos2> {
    let samples = &model.derived.samples;
    let drawn = samples.time_s.iter().copied();
    let drawn = drawn.zip(samples.rise_c_per_s.iter().copied());
    let foreseen = model.outlook.foreseen();
    let foreseen = foreseen.map_or(&[][..], |foreseen| &foreseen.rise_c_per_s);
    let foreseen = line::each_second(foreseen.iter().copied());
    drawn
        .chain(foreseen)
        .map(|(time_s, rise_c_per_s)| frame.screen_from(time_s, rise_c_per_s))
}

/// Draws the fastest and the slowest rise that the machine can keep up; says whether the lane shows any of them.
///
/// The lane's scale follows what is drawn: most machines could rise several times as fast.
fn paint_reach(painter: &Painter, model: &Model<'_>, frame: &LaneFrame, palette: &Palette) -> bool {
    let Some(reach) = &model.outlook.reach else {
        return false;
    };
    let mut is_seen = false;
    for bounds in [&reach.fastest, &reach.slowest] {
        let rises = bounds.iter().map(|bound| bound.rise_c_per_s);
        let seconds = line::shown_seconds(frame, bounds.len());
        is_seen |= bounds[seconds]
            .iter()
            .any(|bound| frame.values.contains(bound.rise_c_per_s));
        reach::paint_edge(painter, rises, frame, palette);
    }
    is_seen
}

/// What a screen reader hears of the lane.
fn spoken(model: &Model<'_>) -> String {
    let drawn_s = model.derived.end_of_roast_s(model.plan);
    let rise = |rise_c_per_s: f64| describe_rise(rise_c_per_s, model.unit);
    let drawn = rise(model.plan.curve.rise_c_per_s(drawn_s));
    let foreseen = model.outlook.foreseen();
    let foreseen = foreseen.and_then(|foreseen| foreseen.rise_c_per_s.last());
    match foreseen {
        Some(&foreseen) => format!("At the drop drawn {drawn}, forecast {}", rise(foreseen)),
        None => format!("At the drop drawn {drawn}, no forecast"),
    }
}

/// Other minus this plan, with the zero line; gaps stay gaps.
fn difference_ui(
    model: &Model<'_>,
    view: &mut ViewState,
    frame: &LaneFrame,
    time_ticks: &[axis::Tick],
    ui: &mut Ui,
) {
    let Some(first) = model.behind.first() else {
        return;
    };
    let palette = Palette::of(ui);
    let differences = &first.comparison.temp_difference_c;
    let reach = differences
        .iter()
        .fold(1.0_f64, |reach, difference| reach.max(difference.abs()));
    let is_held = view.gesture.is_some();
    let reach = HeldScales::kept(&mut view.held.difference_c, reach, is_held);
    // More room at the head, where the words stand.
    let values = Span {
        from: -reach * 1.2,
        to: reach * 1.5,
    };
    let frame = LaneFrame { values, ..*frame };
    let ticks = difference_ticks(&frame, model.unit);
    let painter = ui.painter().clone();
    ground::paint(
        &painter,
        &frame,
        &model.derived.phases,
        time_ticks,
        &ticks,
        palette,
    );
    zero_line(&painter, &frame, palette);
    let role = behind::role(0);
    let times = first.comparison.time_s.iter().zip(differences);
    let path: Vec<Pos2> = times
        .map(|(&time_s, &difference)| frame.screen_from(time_s, difference))
        .collect();
    painter.extend(dashed(
        &path,
        role.look().dash_px,
        role.stroke(palette),
        frame.rect,
    ));
    let response = frame.show_plot(ui, "Difference lane", |_| {});
    cursor::paint_lines(&painter, view, &frame, palette);
    navigate::navigate(ui, &response, &frame, None, &mut view.lanes);
    ground::paint_axis(&painter, &frame, &ticks, model.unit.symbol(), palette);
    let head = format!("{} minus {}", first.name, model.plan.title);
    let at = frame.rect.left_top() + vec2(12.0, 14.0);
    ground::paint_head(
        &painter,
        &frame,
        at,
        &head,
        &[LegendEntry::line(role, "Difference")],
        palette,
    );
}

/// Ticks that are round in `unit`; a difference carries no 32.
fn difference_ticks(frame: &LaneFrame, unit: TempUnit) -> Vec<axis::Tick> {
    let shown = Span {
        from: CelsiusDifference(frame.values.from).shown(unit),
        to: CelsiusDifference(frame.values.to).shown(unit),
    };
    let tick = |tick: axis::Tick| {
        let at = CelsiusDifference::from_shown(tick.at, unit).0;
        let label = Some(format_temp_shift_with_unit(at, unit));
        axis::Tick { at, label }
    };
    let ticks = axis::percent_ticks(shown, frame.rect.height(), GRID_GAP_PX);
    ticks.into_iter().map(tick).collect()
}

fn zero_line(painter: &Painter, frame: &LaneFrame, palette: &Palette) {
    let y = frame.screen_y_from_value(0.0);
    if frame.rect.y_range().contains(y) {
        let ends = [pos2(frame.rect.left(), y), pos2(frame.rect.right(), y)];
        painter.line_segment(ends, Stroke::new(1.0, palette.mark));
    }
}
