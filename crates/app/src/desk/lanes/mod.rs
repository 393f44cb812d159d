//! The lanes in the middle of the window: phase strip, temperature, rate of rise, airflow, on one time axis.

mod air;
pub mod behind;
mod cursor;
mod finish_ladder;
pub mod fit;
pub mod frame;
mod ground;
pub mod handles;
mod keys;
mod marks;
mod navigate;
mod place;
pub mod rail;
mod rise;
mod slider;
mod strip;
mod temperature;

use super::{
    ask::Ask,
    axis,
    model::Model,
    theme::{Palette, Step, radius},
    view_state::ViewState,
    window_span::Lane,
};
use eframe::egui::{CornerRadius, Painter, Pos2, Rect, Stroke, StrokeKind, Ui};

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
}

/// Shows all lanes in what room `ui` has; the frame of the temperature lane goes back for tests and hints.
pub fn ui(
    model: &Model<'_>,
    view: &mut ViewState,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) -> (Anchors, LaneFrame) {
    let room = ui.available_rect_before_wrap();
    let places = place::Places::of(room);
    let shown = view.lanes.current();
    let frame = |rect: Rect, lane: Lane| LaneFrame {
        rect,
        time_s: shown.time_s,
        values: shown.values(lane),
    };
    let temperature = frame(places.temperature, Lane::Temperature);
    let label_px = widest_time_label_px(ui.painter());
    let ticks = axis::time_ticks(shown.time_s, places.temperature.width(), label_px);
    let pointer = ui.input(|input| input.pointer.hover_pos());
    let lanes = places.temperature.union(places.air);
    view.hover_s = pointer
        .filter(|pointer| lanes.contains(*pointer) && ui.rect_contains_pointer(lanes))
        .map(|pointer| temperature.time_from_screen_x(pointer.x));
    strip::ui(
        model,
        view,
        &frame(places.strip, Lane::Temperature),
        asks,
        ui,
    );
    temperature::ui(model, view, &temperature, &ticks, asks, ui);
    let finish = finish_ladder::ui(model, view, &temperature, places.finishes, asks, ui);
    rise::ui(model, view, &frame(places.rise, Lane::Rise), &ticks, ui);
    let air = frame(places.air, Lane::Airflow);
    air::ui(model, view, &air, &ticks, asks, ui);
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
        &air,
        &ticks,
        Palette::of(ui),
    );
    ui.allocate_rect(room, eframe::egui::Sense::hover());
    let points = model.plan.curve.points();
    let middle = &points[points.len() / 2];
    let on_curve = points
        .iter()
        .map(|point| temperature.screen_from(point.time_s, point.temp_c));
    let air_points = model.plan.airflow.points().iter();
    let on_air = air_points.map(|point| air.screen_from(point.time_s, point.percent));
    let anchors = Anchors {
        point: temperature.screen_from(middle.time_s, middle.temp_c),
        finish,
        handles: on_curve.chain(on_air).collect(),
        lane: places.temperature,
    };
    (anchors, temperature)
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
