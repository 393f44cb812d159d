//! Zoom and pan with wheel, pinch and middle button: the same in every lane.
//!
//! Wheel: time, about the pointer. Wheel with Alt: the lane's values. Wheel with Shift, or sideways: along time.
//! Pinch or wheel with Ctrl: both axes. Middle button: drag the view.

use super::{
    super::window_span::{Lane, LaneView, ViewHistory, ViewStep},
    frame::LaneFrame,
};
use eframe::egui::{Id, PointerButton, Response, Ui};

/// Zoom of one point of wheel travel.
const ZOOM_PER_WHEEL_PX: f64 = 0.0025;
/// A pause of the wheel after which the next turn is a step of its own, in s.
const WHEEL_PAUSE_S: f64 = 0.6;

/// Applies what wheel and middle button ask for over this lane; without a `lane`, only time moves.
pub(super) fn navigate(
    ui: &Ui,
    response: &Response,
    frame: &LaneFrame,
    lane: Option<Lane>,
    views: &mut ViewHistory,
) {
    if response.dragged_by(PointerButton::Middle) {
        let moved = response.drag_delta();
        let step = if response.drag_started_by(PointerButton::Middle) {
            ViewStep::Begins
        } else {
            ViewStep::Continues
        };
        let mut view = views
            .current()
            .time_panned(-f64::from(moved.x) / frame.px_per_s());
        if let Some(lane) = lane {
            view = view.values_panned(lane, f64::from(moved.y) / frame.px_per_value());
        }
        views.go(view, step);
    }
    let Some(pointer) = response.hover_pos() else {
        return;
    };
    let (wheel, pinch, alt) = ui.input(|input| {
        (
            input.smooth_scroll_delta(),
            f64::from(input.zoom_delta()),
            input.modifiers.alt,
        )
    });
    let (time_s, value) = (
        frame.time_from_screen_x(pointer.x),
        frame.value_from_screen_y(pointer.y),
    );
    let factor = (-f64::from(wheel.y) * ZOOM_PER_WHEEL_PX).exp();
    let mut view: LaneView = views.current();
    if pinch != 1.0 {
        view = view.time_zoomed(1.0 / pinch, time_s);
        if let Some(lane) = lane {
            view = view.values_zoomed(lane, 1.0 / pinch, value);
        }
    } else if wheel.y != 0.0 && alt {
        if let Some(lane) = lane {
            view = view.values_zoomed(lane, factor, value);
        }
    } else if wheel.y != 0.0 {
        view = view.time_zoomed(factor, time_s);
    }
    if wheel.x != 0.0 {
        view = view.time_panned(-f64::from(wheel.x) / frame.px_per_s());
    }
    if view != views.current() {
        views.go(view, wheel_step(ui));
    }
}

/// One run of the wheel is one step back, so a pause begins the next.
fn wheel_step(ui: &Ui) -> ViewStep {
    let id = Id::unique("last-wheel-time");
    let now_s = ui.input(|input| input.time);
    let last_s = ui.data_mut(|data| {
        let last_s: &mut f64 = data.get_temp_mut_or(id, f64::NEG_INFINITY);
        std::mem::replace(last_s, now_s)
    });
    if now_s - last_s > WHEEL_PAUSE_S {
        ViewStep::Begins
    } else {
        ViewStep::Continues
    }
}
