//! The lanes in the middle of the window: phase strip, temperature, rate of rise, effort, on one time axis.

mod air_points;
pub mod behind;
mod borders;
mod cursor;
mod difference;
mod effort;
mod finish_ladder;
pub mod fit;
pub(in crate::desk) mod follow;
mod forecast;
pub mod frame;
mod ground;
pub mod handles;
mod hit;
mod keys;
mod line;
mod marks;
mod measure;
mod moment;
mod navigate;
mod place;
mod rail;
mod reach;
mod readout;
mod reworked;
mod rise;
mod rise_drag;
pub mod sizes;
mod slider;
mod spread;
mod stretches;
mod strip;
mod temperature;

use super::{
    ask::Ask,
    axis, layout,
    model::Model,
    theme::{Palette, Step, radius},
    view_state::ViewState,
    window_span::Lane,
};
use eframe::egui::{CornerRadius, Painter, Pos2, Rect, Stroke, StrokeKind, Ui};

use place::{DifferenceLane, Places};

pub use frame::LaneFrame;

/// Where the first-start notes may point to.
#[derive(Clone, Debug, PartialEq)]
pub struct Anchors {
    /// A control point in the middle of the curve.
    pub point: Pos2,
    /// The tab of the chosen finish.
    pub finish: Pos2,
    /// All control points and airflow points.
    pub handles: Vec<Pos2>,
    /// The temperature lane.
    pub lane: Rect,
    /// The middle of the reach corridor's upper edge; nothing where there is no corridor.
    pub reach: Option<Pos2>,
}

/// Shows all lanes in what room `ui` has; the frame of the temperature lane goes back for tests and hints.
pub fn ui(
    model: &Model<'_>,
    view: &mut ViewState,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) -> (Anchors, LaneFrame) {
    let room = ui.available_rect_before_wrap();
    reworked::grow_view(model, view, ui);
    let places = places(model, view, room, ui);
    let shown = view.lanes.current();
    let frame = |rect: Rect, lane: Lane| LaneFrame {
        rect,
        time_s: shown.time_s,
        values: shown.values(lane),
    };
    let temperature = frame(places.temperature, Lane::Temperature);
    let label_px = widest_time_label_px(ui.painter());
    let ticks = axis::time_ticks(shown.time_s, places.temperature.width(), label_px);
    hover(view, &places, &temperature, ui);
    strip::ui(
        model,
        view,
        &frame(places.strip, Lane::Temperature),
        asks,
        ui,
    );
    temperature::ui(model, view, &temperature, &ticks, asks, ui);
    let finish = finish_ladder::ui(model, view, &temperature, places.finishes, asks, ui);
    if let Some(place) = places.difference {
        let frame = frame(place, Lane::Temperature);
        if view.lane_sizes.is_difference_folded {
            borders::paint_folded(place, difference::HEAD, ui);
        } else {
            difference::ui(model, view, &frame, &ticks, ui);
        }
    }
    if view.lane_sizes.is_rise_folded {
        borders::paint_folded(places.rise, "Rate of rise", ui);
    } else {
        let rise = frame(places.rise, Lane::Rise);
        rise::ui(model, view, &rise, &ticks, asks, ui);
    }
    let effort = frame(places.effort, Lane::Effort);
    if view.lane_sizes.is_effort_folded {
        borders::paint_folded(places.effort, "Effort", ui);
    } else {
        effort::ui(model, view, &effort, &ticks, asks, ui);
    }
    borders::ui(view, &places, ui);
    // A held key may be let go after the focus has gone elsewhere.
    if view.gesture.is_some()
        && keys::all_released(ui)
        && !ui.input(|input| input.pointer.any_down())
    {
        view.nudge = None;
        asks.push(Ask::Release);
    }
    ground::paint_time_axis(
        ui.painter(),
        places.time_axis,
        &effort,
        &ticks,
        Palette::of(ui),
    );
    ui.allocate_rect(room, eframe::egui::Sense::hover());
    (anchors(model, [&temperature, &effort], finish), temperature)
}

/// Where all lies in `room`; the lane of what changes only while a rework is open.
fn places(model: &Model<'_>, view: &ViewState, room: Rect, ui: &Ui) -> Places {
    let difference = if view.rework.is_some() {
        DifferenceLane::Shown
    } else {
        DifferenceLane::Hidden
    };
    let gutter_px = finish_ladder::gutter_px(model, room.width(), ui);
    Places::of(room, &view.lane_sizes, gutter_px, difference)
}

/// Takes down which moment and which lane are under the pointer.
fn hover(view: &mut ViewState, places: &Places, temperature: &LaneFrame, ui: &Ui) {
    let pointer = ui.input(|input| input.pointer.hover_pos());
    let lanes = places.temperature.union(places.effort);
    view.hover_s = pointer
        .filter(|pointer| lanes.contains(*pointer) && ui.rect_contains_pointer(lanes))
        .map(|pointer| temperature.time_from_screen_x(pointer.x));
    view.hover_lane = pointer.filter(|_| view.hover_s.is_some()).and_then(|at| {
        let lanes = [places.temperature, places.rise, places.effort];
        let lane = lanes.iter().position(|lane| lane.contains(at));
        lane.map(|lane| Lane::ALL[lane])
    });
}

fn anchors(model: &Model<'_>, [temperature, effort]: [&LaneFrame; 2], finish: Pos2) -> Anchors {
    let points = model.plan.curve.points();
    let middle = &points[points.len() / 2];
    let on_curve = points
        .iter()
        .map(|point| temperature.screen_from(point.time_s, point.temp_c));
    let air_points = model.plan.airflow.points().iter();
    let on_air = air_points.map(|point| effort.screen_from(point.time_s, point.percent));
    Anchors {
        point: temperature.screen_from(middle.time_s, middle.temp_c),
        finish,
        handles: on_curve.chain(on_air).collect(),
        lane: temperature.rect,
        reach: reach_anchor(model, temperature),
    }
}

/// The corridor's upper edge halfway through the roast.
fn reach_anchor(model: &Model<'_>, frame: &LaneFrame) -> Option<Pos2> {
    let highest_c = &model.outlook.corridor.highest_c;
    let middle = highest_c.len() / 2;
    let temp_c = *highest_c.get(middle)?;
    Some(frame.screen_from(middle as f64, temp_c))
}

/// Side of a handle's hit area: larger where fingers may touch.
fn hit_px(ui: &Ui) -> f32 {
    if ui.input(eframe::egui::InputState::has_touch_screen) {
        layout::TOUCH_HIT_PX
    } else {
        layout::HIT_PX
    }
}

fn widest_time_label_px(painter: &Painter) -> f32 {
    let galley = painter.layout_no_wrap(
        "00:00".to_owned(),
        Step::Small.font(),
        eframe::egui::Color32::PLACEHOLDER,
    );
    galley.size().x + 14.0
}

/// The ring around what has the keyboard's focus.
fn focus_ring(painter: &Painter, rect: Rect, palette: &Palette) {
    painter.rect_stroke(
        rect,
        CornerRadius::same(radius::FIELD),
        Stroke::new(2.0, palette.accent),
        StrokeKind::Outside,
    );
}
