//! Handles on the line of the rate of rise, at the times of the control points: dragged up and down, they bend the rise there, and the
//! temperature follows by integration.
//!
//! What stays meanwhile is chosen by a button in the lane's corner, and while Shift is held in a drag it is the other.

use super::{
    super::{
        ask::Ask,
        commands::Command,
        model::Model,
        theme::{Palette, Step},
        view_state::ViewState,
    },
    frame::LaneFrame,
    hit,
    readout::{self, Row},
    slider::{self, Spoken, Wish},
};
use chaffinch_craft::{
    Edit, HandEdit, KeptEnd,
    limits::BENT_RISE_RANGE_C_PER_S,
    units::{
        CelsiusPerSecond, TempUnit, describe_rise, format_rise_with_unit, format_temp_with_unit,
        format_time, format_time_field,
    },
};
use chaffinch_curve::{ControlPoint, PointId};
use eframe::egui::{
    Align2, CursorIcon, Id, Pos2, Rect, Response, Role, Sense, Stroke, Ui, Vec2, WidgetInfo, vec2,
};

/// A drag stops at every tenth of a degree a minute, of the unit that is shown.
const STOPS_PER_UNIT: f64 = 10.0;
/// Radius of an idle handle, in points: smaller than a control point, which it isn't.
const RADIUS_PX: f32 = 4.0;
/// The button in the corner, from the lane's foot and left edge to its words, in points.
const CORNER: Vec2 = vec2(12.0, -8.0);

/// The widget id of a handle; stable while its point lives.
fn handle_id(id: PointId) -> Id {
    Id::unique(("rise-handle", id.0))
}

/// Shows a handle for every point up to the drop, and the button that says what stays.
pub(super) fn ui(
    model: &Model<'_>,
    view: &mut ViewState,
    frame: &LaneFrame,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    kept_end(view, frame, asks, ui);
    let curve = &model.plan.curve;
    let until_s = model.derived.end_of_roast_s(model.plan);
    let is_roasted = |point: &&ControlPoint| point.time_s <= until_s;
    let points: Vec<ControlPoint> = curve.points().iter().filter(is_roasted).copied().collect();
    let centers: Vec<Pos2> = points
        .iter()
        .map(|point| frame.screen_from(point.time_s, curve.rise_c_per_s(point.time_s)))
        .collect();
    let areas = hit::areas(&centers, super::hit_px(ui));
    for ((index, point), (area, center)) in points
        .iter()
        .enumerate()
        .zip(areas.into_iter().zip(centers))
    {
        handle(
            model,
            view,
            frame,
            &Grip {
                index,
                point: *point,
                center,
                area,
            },
            asks,
            ui,
        );
    }
}

/// A handle's point and place.
struct Grip {
    index: usize,
    point: ControlPoint,
    center: Pos2,
    area: Rect,
}

fn handle(
    model: &Model<'_>,
    view: &mut ViewState,
    frame: &LaneFrame,
    grip: &Grip,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let seen = frame.rect.expand(RADIUS_PX).contains(grip.center);
    // A handle outside the lane keeps its place in the tab order, with nothing to grab.
    let area = if seen {
        grip.area
    } else {
        Rect::from_center_size(grip.center, Vec2::ZERO)
    };
    let response = ui.interact(area, handle_id(grip.point.id), Sense::click_and_drag());
    let now_c_per_s = model.plan.curve.rise_c_per_s(grip.point.time_s);
    let wish = slider::speak(ui, &response, spoken(model, view, grip, now_c_per_s));
    if response.clicked() {
        response.request_focus();
    }
    if response.hovered() || response.dragged() {
        ui.ctx().set_cursor_icon(CursorIcon::ResizeVertical);
    }
    let shift = ui.input(|input| input.modifiers.shift);
    let keep = if response.dragged() && shift {
        view.bend_keeps.other()
    } else {
        view.bend_keeps
    };
    let bent = |to_c_per_s: f64, keep: KeptEnd| {
        let (least, most) = BENT_RISE_RANGE_C_PER_S;
        Edit::Hand(HandEdit::BendRise {
            id: grip.point.id,
            to_c_per_s: to_c_per_s.clamp(least, most),
            keep,
        })
    };
    if let Some(at) = slider::follow(ui, &response, grip.center, view, asks) {
        let to_c_per_s = on_stop(frame.value_from_screen_y(at.y), model.unit);
        asks.push(Ask::Drag(bent(to_c_per_s, keep)));
    }
    if let Some(wish) = wish {
        let to_c_per_s = wished(wish, now_c_per_s, model.unit);
        asks.push(slider::ask(ui, view, bent(to_c_per_s, view.bend_keeps)));
    }
    if !seen {
        return;
    }
    paint(&response, grip, ui);
    if response.dragged() && view.gesture.is_some() {
        paint_said(model, frame, grip, keep, ui);
    } else if ui.ctx().dragged_id().is_none() {
        response.on_hover_text(format!(
            "Drag up or down to bend the rise here. {}. With Shift held, the {} stays instead.",
            view.bend_keeps.meaning(),
            view.bend_keeps.other().label().to_lowercase(),
        ));
    }
}

fn spoken(model: &Model<'_>, view: &ViewState, grip: &Grip, now_c_per_s: f64) -> Spoken {
    let count = model.plan.curve.points().len();
    let (least, most) = BENT_RISE_RANGE_C_PER_S;
    let kept = view.bend_keeps.label().to_lowercase();
    Spoken {
        name: format!("Rise at point {} of {count}", grip.index + 1),
        number: shown(now_c_per_s, model.unit),
        range: [least, most].map(|rise_c_per_s| shown(rise_c_per_s, model.unit)),
        text: format!(
            "{}, {}, {kept} stays",
            format_time_field(grip.point.time_s),
            describe_rise(now_c_per_s, model.unit)
        ),
    }
}

fn shown(rise_c_per_s: f64, unit: TempUnit) -> f64 {
    CelsiusPerSecond(rise_c_per_s).shown_per_min(unit)
}

/// The nearest stop of the unit that is shown.
fn on_stop(rise_c_per_s: f64, unit: TempUnit) -> f64 {
    let stop = (shown(rise_c_per_s, unit) * STOPS_PER_UNIT).round() / STOPS_PER_UNIT;
    CelsiusPerSecond::from_shown_per_min(stop, unit).0
}

/// The rise that keys or a screen reader ask for: steps of 1 °C/min or 1 °F/min.
fn wished(wish: Wish, now_c_per_s: f64, unit: TempUnit) -> f64 {
    let from_shown = |number| CelsiusPerSecond::from_shown_per_min(number, unit).0;
    match wish {
        Wish::Steps { value: 0.0, .. } => now_c_per_s,
        Wish::Steps { value, .. } => on_stop(now_c_per_s + from_shown(value), unit),
        Wish::Number(number) => from_shown(number),
        Wish::Least => BENT_RISE_RANGE_C_PER_S.0,
        Wish::Most => BENT_RISE_RANGE_C_PER_S.1,
    }
}

fn paint(response: &Response, grip: &Grip, ui: &Ui) {
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let strong = response.hovered() || response.dragged();
    if strong {
        painter.circle_filled(grip.center, 10.0, palette.halo());
    }
    if response.has_focus() {
        painter.circle_stroke(grip.center, 8.0, Stroke::new(2.0, palette.accent));
    }
    let radius_px = if strong { RADIUS_PX + 1.0 } else { RADIUS_PX };
    let ring = Stroke::new(1.5, palette.rate);
    painter.circle(grip.center, radius_px, palette.chart, ring);
}

/// Beside a dragged handle: the rise there, and what becomes of the drop.
fn paint_said(model: &Model<'_>, frame: &LaneFrame, grip: &Grip, keep: KeptEnd, ui: &Ui) {
    let palette = Palette::of(ui);
    let curve = &model.plan.curve;
    let small = |text: String| (text, Step::Small, palette.text2);
    let strong = |text: String| (text, Step::Strong, palette.text);
    let rise = curve.rise_c_per_s(grip.point.time_s);
    let mut rows: Vec<Row> = vec![vec![
        strong(format_time_field(grip.point.time_s)),
        strong(format_rise_with_unit(rise, model.unit)),
    ]];
    let drop = match model.derived.phases.drop.reached() {
        Some(drop) => format!(
            "drop {}, {}",
            format_time(drop.time_s),
            format_temp_with_unit(model.plan.finish().temp_c, model.unit)
        ),
        None => "drop not reached".to_owned(),
    };
    rows.push(vec![small(drop)]);
    rows.push(vec![small(format!(
        "{} stays",
        keep.label().to_lowercase()
    ))]);
    readout::beside(ui.painter(), frame.rect, grip.center, &rows, palette);
}

/// The button that says what stays while the rise is bent.
fn kept_end(view: &ViewState, frame: &LaneFrame, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let palette = Palette::of(ui);
    let words = format!("Bends keep: {}", view.bend_keeps.label().to_lowercase());
    let galley = ui
        .painter()
        .layout_no_wrap(words.clone(), Step::Small.font(), palette.text2);
    let rect = Align2::LEFT_BOTTOM.anchor_size(frame.rect.left_bottom() + CORNER, galley.size());
    let id = Id::unique("kept end of bends");
    let response = ui.interact(rect.expand2(vec2(5.0, 4.0)), id, Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, words.clone()));
    if response.clicked() {
        asks.push(Ask::Do(Command::ToggleKeptEnd));
    }
    let ink = if response.hovered() {
        palette.text
    } else {
        palette.text2
    };
    let painter = ui.painter();
    painter.text(
        rect.left_bottom(),
        Align2::LEFT_BOTTOM,
        words,
        Step::Small.font(),
        ink,
    );
    painter.hline(
        rect.x_range(),
        rect.bottom(),
        Stroke::new(1.0, palette.text3),
    );
    if response.has_focus() {
        super::focus_ring(painter, rect.expand(3.0), palette);
    }
    let tip = format!(
        "{}. {}",
        view.bend_keeps.meaning(),
        Command::ToggleKeptEnd.tip(ui.ctx())
    );
    response
        .on_hover_cursor(CursorIcon::PointingHand)
        .on_hover_text(tip);
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, clippy::missing_assert_message, reason = "tests")]
    use super::*;

    #[test]
    fn steps_and_stops_are_tenths_of_the_shown_unit() {
        let per_min = |rise_c_per_s: f64, unit| shown(rise_c_per_s, unit);
        let step = |value| Wish::Steps { time: 0.0, value };
        for unit in [TempUnit::Celsius, TempUnit::Fahrenheit] {
            let now = CelsiusPerSecond::from_shown_per_min(9.6437, unit).0;
            let after = |wish| per_min(wished(wish, now, unit), unit);
            assert!((after(step(1.0)) - 10.6).abs() < 1e-9, "{unit:?}");
            assert!((after(step(-0.1)) - 9.5).abs() < 1e-9, "{unit:?}");
            assert!((after(Wish::Number(7.25)) - 7.25).abs() < 1e-9, "{unit:?}");
            assert_eq!(
                wished(step(0.0), now, unit),
                now,
                "left and right change nothing"
            );
        }
    }
}
