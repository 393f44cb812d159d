//! Handles of the airflow's points: dragged, moved by keys, typed over by screen readers, removed with Delete.

use super::{
    super::{
        ask::Ask,
        model::Model,
        paint::{marks::marker, strokes::Marker},
        theme::{Palette, Step},
        view_state::ViewState,
    },
    frame::LaneFrame,
    hit, keys,
    slider::{self, Spoken, Wish},
};
use chaffinch_craft::{AirEdit, AirPoint, Edit, units::format_time_field};
use eframe::egui::{
    Align2, CursorIcon, Id, Key, Modifiers, Pos2, Rect, Response, Sense, Stroke, Ui, Vec2, vec2,
};

/// One step of a key in airflow, in %.
const PERCENT_STEP: f64 = 1.0;

/// Shows a handle for each point of the schedule.
pub(super) fn ui(
    model: &Model<'_>,
    view: &mut ViewState,
    frame: &LaneFrame,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let points = model.plan.airflow.points();
    let centers: Vec<Pos2> = points
        .iter()
        .map(|point| frame.screen_from(point.time_s, point.percent))
        .collect();
    let areas = hit::areas(&centers, super::hit_px(ui));
    for ((index, point), area) in points.iter().enumerate().zip(areas) {
        handle(model, view, frame, (index, point, area), asks, ui);
    }
}

fn handle(
    model: &Model<'_>,
    view: &mut ViewState,
    frame: &LaneFrame,
    (index, point, area): (usize, &AirPoint, Rect),
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let center = frame.screen_from(point.time_s, point.percent);
    let seen = frame.rect.expand(4.0).contains(center);
    let area = if seen {
        area
    } else {
        Rect::from_center_size(center, Vec2::ZERO)
    };
    let id = Id::unique(("airflow-point", point.id.0));
    let response = ui.interact(area, id, Sense::click_and_drag());
    let spoken = Spoken {
        name: format!(
            "Airflow point {} of {}",
            index + 1,
            model.plan.airflow.points().len()
        ),
        number: point.percent,
        range: [0.0, 100.0],
        text: format!(
            "{}, {:.0} %",
            format_time_field(point.time_s),
            point.percent
        ),
    };
    let wish = slider::speak(ui, &response, spoken);
    if response.clicked() {
        response.request_focus();
    }
    if response.hovered() {
        ui.ctx().set_cursor_icon(CursorIcon::Grab);
    }
    let allowed = |time_s: f64, percent: f64| {
        let (time_s, percent) = model
            .plan
            .airflow
            .nearest_allowed(point.id, time_s, percent);
        Edit::Air(AirEdit::Move {
            id: point.id,
            time_s,
            percent,
        })
    };
    if let Some(at) = slider::follow(ui, &response, center, view, asks) {
        let time_s = frame.time_from_screen_x(at.x).round();
        asks.push(Ask::Drag(allowed(
            time_s,
            frame.value_from_screen_y(at.y).round(),
        )));
    }
    if let Some(wish) = wish {
        let (time_s, percent) = match wish {
            Wish::Steps { time, value } => (
                point.time_s + time * keys::TIME_STEP_S,
                point.percent + value * PERCENT_STEP,
            ),
            Wish::Number(number) => (point.time_s, number),
            Wish::Least => (point.time_s, 0.0),
            Wish::Most => (point.time_s, 100.0),
        };
        asks.push(slider::ask(ui, view, allowed(time_s, percent)));
    }
    let remove = response.has_focus()
        && ui.input_mut(|input| {
            input.consume_key(Modifiers::NONE, Key::Delete)
                || input.consume_key(Modifiers::NONE, Key::Backspace)
        });
    if remove {
        asks.push(Ask::Apply(Edit::Air(AirEdit::Remove(point.id))));
    }
    if seen {
        paint_handle(point, center, &response, ui);
    }
}

fn paint_handle(point: &AirPoint, center: Pos2, response: &Response, ui: &Ui) {
    let palette = Palette::of(ui);
    let painter = ui.painter();
    if response.hovered() || response.dragged() {
        painter.circle_filled(center, 12.0, palette.halo());
    }
    if response.has_focus() {
        painter.circle_stroke(center, 9.0, Stroke::new(2.0, palette.accent));
    }
    painter.circle(center, 5.0, palette.chart, Stroke::new(2.0, palette.air));
    painter.extend(marker(Marker::Disc, center, palette.air, palette.chart));
    if response.hovered() || response.dragged() {
        let text = format!(
            "{} · {:.0} %",
            format_time_field(point.time_s),
            point.percent
        );
        let at = center + vec2(12.0, -12.0);
        painter.text(
            at,
            Align2::LEFT_BOTTOM,
            text,
            Step::Strong.font(),
            palette.text,
        );
    }
}
