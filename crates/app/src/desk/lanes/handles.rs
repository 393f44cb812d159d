//! The control points as handles: drag, keys, selection, and one named control a point for screen readers.

use super::{
    super::{
        ask::Ask,
        commands::Command,
        drag::{Drag, Nudge},
        model::Model,
        paint::marks::{HandleBody, HandleState, handle, refused_wish},
        snapping::AxisKeeper,
        theme::Palette,
        view_state::ViewState,
    },
    follow::follow,
    frame::LaneFrame,
    hit,
    keys::{self, Step},
};
use chaffinch_craft::{
    Edit,
    units::{
        Celsius, CelsiusDifference, describe_rise, format_temp_with_unit, format_time_field,
        round_to_billionth,
    },
};
use chaffinch_curve::{
    ControlPoint, CurvePoint, Lock, MAX_TEMP_C, MIN_TEMP_C, Offset, PointEdit, PointId, Segment,
    ShiftLimit,
};
use eframe::egui::{
    CursorIcon, Id, Key, Modifiers, PointerButton, Pos2, Rect, Response, Role, Sense, Ui, Vec2,
    WidgetInfo, accesskit::Action,
};

/// The widget id of a point's handle; stable while the point lives.
pub fn handle_id(id: PointId) -> Id {
    Id::unique(("control-point", id.0))
}

/// Shows all handles; returns the point that the pointer is on.
pub fn ui(
    model: &Model<'_>,
    view: &mut ViewState,
    frame: &LaneFrame,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) -> Option<PointId> {
    let palette = Palette::of(ui);
    let mut hovered = None;
    let points = model.plan.curve.points();
    let centers: Vec<Pos2> = points
        .iter()
        .map(|point| frame.screen_from(point.time_s, point.temp_c))
        .collect();
    let areas = hit::areas(&centers, super::hit_px(ui));
    for (index, (point, hit)) in points.iter().zip(areas).enumerate() {
        let center = centers[index];
        // A point outside the lane keeps its place in the tab order, with nothing to grab.
        let seen = frame.rect.expand(super::hit_px(ui) / 2.0).contains(center);
        let hit = if seen {
            hit
        } else {
            Rect::from_center_size(center, Vec2::ZERO)
        };
        let response = ui.interact(hit, handle_id(point.id), Sense::click_and_drag());
        describe(model, index, point, &response, ui);
        if view.focus_point == Some(point.id) {
            response.request_focus();
            view.focus_point = None;
        }
        pointer(model, view, frame, point, &response, asks, ui);
        keyboard(model, view, point, &response, asks, ui);
        reader(model, point, &response, asks, ui);
        if response.hovered()
            || view
                .drag
                .as_ref()
                .is_some_and(|drag| drag.grabbed == point.id)
        {
            hovered = Some(point.id);
        }
        if seen {
            let state = HandleState {
                body: body(view, point),
                is_hovered: response.hovered(),
                is_focused: response.has_focus(),
            };
            ui.painter().extend(handle(center, state, palette));
        }
    }
    paint_refused(model, view, frame, ui, palette);
    hovered
}

fn body(view: &ViewState, point: &ControlPoint) -> HandleBody {
    let refused = view
        .drag
        .as_ref()
        .is_some_and(|drag| drag.grabbed == point.id && !drag.stopped_by.is_empty());
    if refused {
        HandleBody::Refused
    } else if view.selection.contains(&point.id) && point.lock == Lock::Free {
        HandleBody::Selected
    } else if point.lock != Lock::Free {
        HandleBody::Locked
    } else {
        HandleBody::Idle
    }
}

/// The dotted ghost at the place the pointer asks for, while a limit keeps the point from it.
fn paint_refused(
    model: &Model<'_>,
    view: &ViewState,
    frame: &LaneFrame,
    ui: &Ui,
    palette: &Palette,
) {
    if let Some(drag) = &view.drag
        && !drag.stopped_by.is_empty()
        && let Some(point) = model.plan.curve.point(drag.grabbed)
    {
        let held = frame.screen_from(point.time_s, point.temp_c);
        let wish = frame.screen_from(drag.wish.time_s, drag.wish.temp_c);
        let painter = ui.painter().with_clip_rect(frame.rect);
        painter.extend(refused_wish(held, wish, palette));
    }
}

/// “Point 3 of 7”, and its value in words, for screen readers and for tests.
fn describe(model: &Model<'_>, index: usize, point: &ControlPoint, response: &Response, ui: &Ui) {
    let count = model.plan.curve.points().len();
    let name = format!("Point {} of {count}", index + 1);
    response.widget_info(|| WidgetInfo {
        value: Some(Celsius(point.temp_c).shown(model.unit)),
        ..WidgetInfo::labeled(Role::SpinButton, true, name.clone())
    });
    let rise_c_per_s = model
        .derived
        .points
        .get(index)
        .map_or(0.0, |facts| facts.rise_c_per_s);
    let lock = match point.lock {
        Lock::Free => "",
        Lock::Time => ", time locked",
        Lock::Temp => ", temperature locked",
        Lock::Both => ", locked",
    };
    let stretch = match point.segment {
        Segment::Curved => "",
        Segment::Straight => ", then straight",
        Segment::Hold => ", then held",
    };
    let value = format!(
        "{}, {}, {}{lock}{stretch}",
        format_time_field(point.time_s),
        format_temp_with_unit(point.temp_c, model.unit),
        describe_rise(rise_c_per_s, model.unit),
    );
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_min_numeric_value(Celsius(MIN_TEMP_C).shown(model.unit));
        node.set_max_numeric_value(Celsius(MAX_TEMP_C).shown(model.unit));
        node.set_numeric_value_step(CelsiusDifference(keys::TEMP_STEP_C).shown(model.unit));
        node.set_value(value);
        node.add_action(Action::Increment);
        node.add_action(Action::Decrement);
        node.add_action(Action::SetValue);
    });
}

fn pointer(
    model: &Model<'_>,
    view: &mut ViewState,
    frame: &LaneFrame,
    point: &ControlPoint,
    response: &Response,
    asks: &mut Vec<Ask>,
    ui: &Ui,
) {
    if response.hovered() {
        ui.ctx().set_cursor_icon(match point.lock {
            Lock::Both => CursorIcon::NotAllowed,
            Lock::Time => CursorIcon::ResizeVertical,
            Lock::Temp => CursorIcon::ResizeHorizontal,
            Lock::Free => CursorIcon::Grab,
        });
    }
    let modifiers = ui.input(|input| input.modifiers);
    if keys::clicked(ui, response) {
        response.request_focus();
        if modifiers.shift || modifiers.command {
            view.toggle(point.id);
            if !view.selection.contains(&point.id) {
                view.focus_point = view.current;
            }
        } else {
            view.select_only(point.id);
        }
    }
    if response.double_clicked() {
        view.focus_fields = true;
    }
    if response.drag_started_by(PointerButton::Primary) {
        response.request_focus();
        begin_drag(model, view, frame, point, ui);
    }
    if response.dragged_by(PointerButton::Primary) {
        ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
        go_on(model, view, frame, asks, ui);
    }
    if response.drag_stopped_by(PointerButton::Primary) && view.drag.take().is_some() {
        asks.push(Ask::Release);
    }
}

fn begin_drag(
    model: &Model<'_>,
    view: &mut ViewState,
    frame: &LaneFrame,
    point: &ControlPoint,
    ui: &Ui,
) {
    if !view.selection.contains(&point.id) {
        view.select_only(point.id);
    }
    view.current = Some(point.id);
    let center = frame.screen_from(point.time_s, point.temp_c);
    let origin = ui
        .input(|input| input.pointer.press_origin())
        .unwrap_or(center);
    view.begin_gesture();
    view.drag = Some(Drag {
        start: std::sync::Arc::clone(model.history.plan()),
        ids: view.selected(&model.plan.curve),
        grabbed: point.id,
        from: point.place(),
        hold_px: origin - center,
        keeper: AxisKeeper::default(),
        stopped_by: Vec::new(),
        wish: point.place(),
    });
}

/// Moves the dragged points as close to the pointer as snapping, locks and limits allow.
fn go_on(model: &Model<'_>, view: &mut ViewState, frame: &LaneFrame, asks: &mut Vec<Ask>, ui: &Ui) {
    let Some(drag) = &mut view.drag else { return };
    let (pointer, modifiers) = ui.input(|input| (input.pointer.interact_pos(), input.modifiers));
    let Some(pointer) = pointer else { return };
    asks.push(Ask::Drag(follow(
        drag, pointer, modifiers, frame, model.unit,
    )));
}

fn keyboard(
    model: &Model<'_>,
    view: &mut ViewState,
    point: &ControlPoint,
    response: &Response,
    asks: &mut Vec<Ask>,
    ui: &Ui,
) {
    if !response.has_focus() {
        return;
    }
    keys::keep_arrows(ui, response.id);
    view.current = Some(point.id);
    if let Some(pressed) = keys::pressed(ui) {
        let by = match pressed.step {
            Step::By { time, temp } => Offset {
                time_s: time * keys::TIME_STEP_S,
                temp_c: temp * keys::TEMP_STEP_C,
            },
            // Further than any point can go; the limit stops it and says so.
            Step::ToLeast => Offset {
                time_s: 0.0,
                temp_c: -MAX_TEMP_C,
            },
            Step::ToMost => Offset {
                time_s: 0.0,
                temp_c: MAX_TEMP_C,
            },
        };
        nudge(model, view, point.id, by, pressed.is_repeat, asks);
    }
    if ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Enter)) {
        view.focus_fields = true;
    }
    if ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Backspace)) {
        asks.push(Ask::Do(Command::Remove));
    }
    if ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Space)) {
        view.toggle(point.id);
    }
}

/// Moves the selection (or this point alone, if it isn't selected); repeats of a held key belong to one step.
fn nudge(
    model: &Model<'_>,
    view: &mut ViewState,
    id: PointId,
    by: Offset,
    is_repeat: bool,
    asks: &mut Vec<Ask>,
) {
    if !is_repeat && view.nudge.take().is_some() {
        asks.push(Ask::Release);
    }
    if view.nudge.is_none() {
        let ids = if view.selection.contains(&id) {
            view.selected(&model.plan.curve)
        } else {
            vec![id]
        };
        view.begin_gesture();
        view.nudge = Some(Nudge {
            start: std::sync::Arc::clone(model.history.plan()),
            ids,
            wish: Offset {
                time_s: 0.0,
                temp_c: 0.0,
            },
        });
    }
    let Some(nudge) = &mut view.nudge else { return };
    let wish = Offset {
        time_s: nudge.wish.time_s + by.time_s,
        temp_c: nudge.wish.temp_c + by.temp_c,
    };
    let limited = nudge.start.curve.limit_shift(&nudge.ids, wish);
    nudge.wish = limited.by;
    let edit = match nudge.ids.as_slice() {
        [id] => match nudge.start.curve.point(*id) {
            Some(point) => PointEdit::Move {
                id: *id,
                to: CurvePoint {
                    time_s: round_to_billionth(point.time_s + limited.by.time_s),
                    temp_c: round_to_billionth(point.temp_c + limited.by.temp_c),
                },
            },
            None => return,
        },
        ids => PointEdit::Shift {
            ids: ids.to_vec(),
            by: limited.by,
        },
    };
    asks.push(Ask::Drag(Edit::Points(edit)));
    say(&limited.stopped_by, asks);
}

/// Says what stopped a move; asked for after the move, which clears the status line.
fn say(stopped_by: &[ShiftLimit], asks: &mut Vec<Ask>) {
    asks.extend(stopped_by.iter().map(|limit| Ask::Say(limit.to_string())));
}

/// What a screen reader asks for.
fn reader(
    model: &Model<'_>,
    point: &ControlPoint,
    response: &Response,
    asks: &mut Vec<Ask>,
    ui: &Ui,
) {
    let (steps, wished) = keys::reader_wishes(ui, response.id);
    let by_c = match wished {
        Some(number) => Celsius::from_shown(number, model.unit).0 - point.temp_c,
        None if steps != 0.0 => steps * keys::TEMP_STEP_C,
        None => return,
    };
    let by = Offset {
        time_s: 0.0,
        temp_c: by_c,
    };
    let limited = model.plan.curve.limit_shift(&[point.id], by);
    let to = CurvePoint {
        time_s: point.time_s,
        temp_c: if limited.by == by {
            point.temp_c + by_c
        } else {
            point.temp_c + limited.by.temp_c
        },
    };
    asks.push(Ask::Apply(Edit::Points(PointEdit::Move {
        id: point.id,
        to,
    })));
    say(&limited.stopped_by, asks);
}
