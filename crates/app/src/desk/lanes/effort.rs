//! The effort lane: what the heater does of what it could, and the fan's schedule with a handle for each of its points.

use super::{
    super::{
        ask::Ask,
        axis,
        model::Model,
        paint::{dash::dashed, ribbon::ribbon, strokes::LineRole},
        theme::{Palette, Step},
        view_state::{HeldScales, ViewState},
        window_span::Lane,
    },
    air_points, behind, cursor,
    frame::{self, LaneFrame},
    ground::{self, LegendEntry},
    line, moment, navigate, rail, reach, reworked,
};
use chaffinch_craft::{
    AirEdit, AirflowSchedule, Edit, Foreseen,
    units::{format_share_whole, format_time, percent_from_share},
};
use eframe::egui::{
    CornerRadius, Painter, PointerButton, Pos2, Rect, Response, Shape, Ui, lerp, pos2, vec2,
};

/// Least distance between two lines of the grid.
const GRID_GAP_PX: f32 = 26.0;
/// Least distance between the middles of the two values at the lines' ends.
const LABEL_GAP_PX: f32 = 13.0;
/// Distance of head and legend from the lane's left edge.
const HEAD_PX: f32 = 12.0;
/// From a line's end to the value behind it.
const LABEL_AFTER_PX: f32 = 6.0;
/// From a value to the lane's right edge, at least.
const LABEL_EDGE_PX: f32 = 4.0;
/// Width of a lane that has room for the legend of two plans, least air included.
const LEGEND_PX: f32 = 530.0;
/// All that a heater or a fan can give.
const FULL_PERCENT: f64 = 100.0;

/// Shows the lane.
pub(super) fn ui(
    model: &Model<'_>,
    view: &mut ViewState,
    frame: &LaneFrame,
    time_ticks: &[axis::Tick],
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let palette = Palette::of(ui);
    let ticks = axis::percent_ticks(frame.values, frame.rect.height(), GRID_GAP_PX);
    let painter = ui.painter().clone();
    let phases = &model.derived.phases;
    ground::paint(&painter, frame, phases, time_ticks, &ticks, palette);
    let heater = model.outlook.foreseen().map(Heater::of);
    if let Some(heater) = &heater {
        heater.paint_ground(&painter, frame, palette);
    }
    paint_least_air(&painter, model, frame, palette);
    ground::paint_boundaries(&painter, frame, phases, palette);
    behind::paint(&painter, model, frame, behind::Figure::Airflow, palette);
    let response = frame.show_plot(ui, "Effort lane", |_| {});
    frame::speak(ui, &response, || {
        spoken(model) + &reworked::spoken_effort(model)
    });
    if let Some(heater) = &heater {
        heater.paint_line(&painter, frame, palette);
    }
    let air = paint_air(&painter, model, frame, palette);
    reworked::paint_effort(&painter, model, frame, palette);
    let heater_end = heater.as_ref().and_then(|heater| heater.end(frame));
    paint_ends(&painter, frame, heater_end, air, palette);
    cursor::paint_lines(&painter, view, frame, palette);
    navigate::navigate(ui, &response, frame, Some(Lane::Effort), &mut view.lanes);
    add_point(frame, &response, asks);
    let places = head_places(frame);
    let is_held = view.gesture.is_some();
    let held = view.held.effort_head.filter(|_| is_held);
    let place = held.unwrap_or_else(|| {
        let points = line_points(frame, &model.plan.airflow, heater.as_ref());
        let points = points.chain(reworked::effort_points(model, frame));
        ground::freer_head(places, points)
    });
    let place = HeldScales::kept(&mut view.held.effort_head, place, is_held);
    legend(model, frame, places[place], &painter, palette);
    rail::ui(model, Lane::Effort, frame, asks, ui);
    air_points::ui(model, view, frame, asks, ui);
    ground::paint_axis(&painter, frame, &ticks, "%", palette);
    if let Some(pointer) = response.hover_pos()
        && view.gesture.is_none()
    {
        moment::paint_effort(&painter, model, frame, pointer, palette);
    }
}

/// A double click adds a point to the schedule.
fn add_point(frame: &LaneFrame, response: &Response, asks: &mut Vec<Ask>) {
    if response.double_clicked_by(PointerButton::Primary)
        && let Some(at) = response.interact_pointer_pos()
    {
        asks.push(Ask::Apply(Edit::Air(AirEdit::Insert {
            time_s: frame.time_from_screen_x(at.x).round(),
            percent: frame
                .value_from_screen_y(at.y)
                .round()
                .clamp(0.0, FULL_PERCENT),
        })));
    }
}

/// Where head and legend may stand. Heater and air mostly work in the upper half, so first above the line of 0 %, below which lies
/// the findings' rail; and at the top if more of both runs at the foot.
fn head_places(frame: &LaneFrame) -> [Pos2; 2] {
    let x = frame.rect.left() + HEAD_PX;
    let foot = frame.screen_y_from_value(0.0).min(frame.rect.bottom());
    let top = frame.rect.top() + 2.0;
    [
        pos2(x, foot - ground::HEAD_HALF_PX),
        pos2(x, top + ground::HEAD_HALF_PX),
    ]
}

/// The places of heater and air each second.
fn line_points(
    frame: &LaneFrame,
    airflow: &AirflowSchedule,
    heater: Option<&Heater>,
) -> impl Iterator<Item = Pos2> {
    let efforts = heater.map_or(&[][..], |heater| &heater.effort_percent);
    let heater = line::each_second(efforts.iter().copied()).into_iter();
    let seconds = 0..frame.time_s.to.max(0.0) as usize;
    let air = seconds.map(|second| (second as f64, airflow.percent(second as f64)));
    heater
        .chain(air)
        .map(|(time_s, percent)| frame.screen_from(time_s, percent))
}

fn legend(model: &Model<'_>, frame: &LaneFrame, at: Pos2, painter: &Painter, palette: &Palette) {
    let mut entries = Vec::new();
    if model.outlook.foreseen().is_some() {
        entries.push(LegendEntry::line(LineRole::Heater, "Heater"));
    }
    entries.push(LegendEntry::line(LineRole::Air, "Air"));
    let reworked = reworked::effort_entries(model);
    let has_room = reworked.is_empty() || LEGEND_PX <= frame.rect.width();
    if !model.outlook.least_air_percent.is_empty() && has_room {
        entries.push(LegendEntry::line(LineRole::ReachEdge, "Least air"));
    }
    entries.extend(reworked);
    ground::paint_head(painter, frame, at, "Effort", &entries, palette);
}

/// The heater's effort as it is foreseen, in %, second by second.
struct Heater {
    effort_percent: Vec<f64>,
    limit_percent: Vec<f64>,
}

impl Heater {
    fn of(foreseen: &Foreseen) -> Self {
        let percent = |shares: &[f64]| shares.iter().copied().map(percent_from_share).collect();
        Self {
            effort_percent: percent(&foreseen.trace.effort),
            limit_percent: percent(&foreseen.effort_limit),
        }
    }

    /// The soft fill under the line, and a hatch over what the heater may not give.
    fn paint_ground(&self, painter: &Painter, frame: &LaneFrame, palette: &Palette) {
        let seconds = line::shown_seconds(frame, self.effort_percent.len());
        let line: Vec<Pos2> = seconds
            .map(|second| frame.screen_from(second as f64, self.effort_percent[second]))
            .collect();
        let line = line::thinned(&line);
        let foot = frame.screen_y_from_value(0.0);
        let feet: Vec<Pos2> = line.iter().map(|at| pos2(at.x, foot)).collect();
        painter
            .with_clip_rect(frame.rect)
            .add(ribbon(&line, &feet, palette.heater_fill()));
        let full = vec![FULL_PERCENT; self.limit_percent.len()];
        reach::paint_hatch(painter, &self.limit_percent, &full, frame, palette);
    }

    fn paint_line(&self, painter: &Painter, frame: &LaneFrame, palette: &Palette) {
        let places = line::each_second(self.effort_percent.iter().copied());
        let path = line::thinned(&line::path(&places, 0.0, frame));
        painter
            .with_clip_rect(frame.rect)
            .add(Shape::line(path, LineRole::Heater.stroke(palette)));
    }

    /// Where the line ends, and the value there in %.
    fn end(&self, frame: &LaneFrame) -> Option<(Pos2, f64)> {
        let last = self.effort_percent.len().checked_sub(1)?;
        let percent = self.effort_percent[last];
        Some((frame.screen_from(last as f64, percent), percent))
    }
}

/// The least air that lifts the bed, dotted, and a hatch where the schedule stays under it.
fn paint_least_air(painter: &Painter, model: &Model<'_>, frame: &LaneFrame, palette: &Palette) {
    let least_percent = &model.outlook.least_air_percent;
    let set = |second: usize| model.plan.airflow.percent(second as f64);
    let set_percent: Vec<f64> = (0..least_percent.len()).map(set).collect();
    reach::paint_hatch(painter, &set_percent, least_percent, frame, palette);
    reach::paint_edge(painter, least_percent.iter().copied(), frame, palette);
}

/// The fan's schedule; returns where it ends, and the value there in %.
fn paint_air(
    painter: &Painter,
    model: &Model<'_>,
    frame: &LaneFrame,
    palette: &Palette,
) -> (Pos2, f64) {
    let look = LineRole::Air.look();
    let end_s = model.derived.end_of_roast_s(model.plan);
    painter.extend(dashed(
        &line::path(&line::airflow(&model.plan.airflow, end_s), 0.0, frame),
        look.dash_px,
        LineRole::Air.stroke(palette),
        frame.rect,
    ));
    let last = model.plan.airflow.percent(end_s);
    (frame.screen_from(end_s, last), last)
}

/// Writes the values at the lines' ends, behind both and apart from each other.
fn paint_ends(
    painter: &Painter,
    frame: &LaneFrame,
    heater: Option<(Pos2, f64)>,
    (air_at, air_percent): (Pos2, f64),
    palette: &Palette,
) {
    let text = |at: Pos2, y: f32, percent: f64, ink| {
        if !frame.rect.contains(at) {
            return;
        }
        let words = format!("{percent:.0} %");
        let words = painter.layout_no_wrap(words, Step::Small.font(), ink);
        let left = label_left(at.x, words.size().x, frame.rect.right());
        let corner = pos2(left, y - words.size().y / 2.0);
        // Where the lane ends, a value stands on its own line.
        let plate = Rect::from_min_size(corner, words.size()).expand2(vec2(2.0, 0.0));
        painter.rect_filled(
            plate,
            CornerRadius::same(3),
            palette.chart.gamma_multiply(0.85),
        );
        painter.galley(corner, words, ink);
    };
    let Some((heater_at, heater_percent)) = heater else {
        return text(air_at, air_at.y, air_percent, palette.air);
    };
    let x = heater_at.x.max(air_at.x);
    let [heater_y, air_y] = apart(heater_at.y, air_at.y);
    // Neither leaves the lane: the higher one would stand beside the lane above.
    let highest = frame.rect.top() + LABEL_GAP_PX / 2.0;
    let down = (highest - heater_y.min(air_y)).max(0.0);
    text(
        pos2(x, heater_at.y),
        heater_y + down,
        heater_percent,
        palette.heater,
    );
    text(pos2(x, air_at.y), air_y + down, air_percent, palette.air);
}

/// Where a value behind the end of a line begins, so that it stays clear of the lane's right edge and of what lies behind it.
fn label_left(end_x: f32, width_px: f32, right: f32) -> f32 {
    (end_x + LABEL_AFTER_PX).min(right - LABEL_EDGE_PX - width_px)
}

/// Two heights with room for a line of text each; the higher one stays the higher one.
fn apart(one: f32, other: f32) -> [f32; 2] {
    let missing = LABEL_GAP_PX - (one - other).abs();
    if missing <= 0.0 {
        return [one, other];
    }
    let middle = lerp(one..=other, 0.5);
    let half = LABEL_GAP_PX / 2.0;
    if one <= other {
        [middle - half, middle + half]
    } else {
        [middle + half, middle - half]
    }
}

/// What a screen reader hears of the lane.
fn spoken(model: &Model<'_>) -> String {
    let end_s = model.derived.end_of_roast_s(model.plan);
    let air = format!("air {:.0} %", model.plan.airflow.percent(end_s));
    let Some(foreseen) = model.outlook.foreseen() else {
        return format!("At the drop {air}, heater not foreseen");
    };
    let effort = foreseen.trace.effort.last().copied().unwrap_or_default();
    let limited_s = foreseen.figures.limited_s;
    let limited = if limited_s == 0 {
        "the heater is never at its limit".to_owned()
    } else {
        format!(
            "the heater is at its limit for {}",
            format_time(limited_s as f64)
        )
    };
    format!(
        "At the drop heater {}, {air}; {limited}",
        format_share_whole(effort)
    )
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, clippy::missing_assert_message, reason = "tests")]
    use super::*;
    use crate::desk::window_span::Span;

    #[test]
    fn values_at_the_ends_keep_apart_and_in_order() {
        assert_eq!(apart(10.0, 40.0), [10.0, 40.0]);
        assert_eq!(apart(20.0, 24.0), [15.5, 28.5]);
        assert_eq!(apart(24.0, 20.0), [28.5, 15.5]);
        let [one, other] = apart(20.0, 20.0);
        assert!((one - other).abs() >= LABEL_GAP_PX);
    }

    #[test]
    fn values_stay_inside_the_lane() {
        assert_eq!(label_left(100.0, 32.0, 300.0), 106.0);
        assert_eq!(label_left(290.0, 32.0, 300.0), 264.0);
    }

    #[test]
    fn words_make_way_for_weak_air() {
        let frame = LaneFrame {
            rect: Rect::from_min_max(pos2(50.0, 0.0), pos2(650.0, 84.0)),
            time_s: Span {
                from: 0.0,
                to: 600.0,
            },
            values: Span {
                from: -30.0,
                to: 115.0,
            },
        };
        let place = |percent| {
            let airflow = AirflowSchedule::constant(percent);
            ground::freer_head(head_places(&frame), line_points(&frame, &airflow, None))
        };
        assert_eq!(place(80.0), 0, "at the foot");
        assert_eq!(place(20.0), 1, "at the top");
    }
}
