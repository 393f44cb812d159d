//! What all small handles have in common: a name and a value for screen readers, keys, and a drag that keeps its hold.

use super::{
    super::{ask::Ask, view_state::ViewState},
    keys::{self, Step},
};
use chaffinch_craft::Edit;
use eframe::egui::{
    Id, PointerButton, Pos2, Response, Role, Ui, Vec2, WidgetInfo, accesskit::Action,
};

/// A handle as a screen reader hears it.
pub(super) struct Spoken {
    /// Its name, unique in the window.
    pub name: String,
    /// Its value as a number in the unit that is shown.
    pub number: f64,
    /// Least and greatest value, in the same unit.
    pub range: [f64; 2],
    /// Its value in words.
    pub text: String,
}

/// What keys or a screen reader ask of a handle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Wish {
    /// So many steps in time (to the right) and in value (up).
    Steps {
        /// Steps in time.
        time: f64,
        /// Steps in value.
        value: f64,
    },
    /// This number, in the unit that is shown.
    Number(f64),
    /// As low as allowed.
    Least,
    /// As high as allowed.
    Most,
}

/// Names the handle, and returns what keys and screen readers ask of it.
pub(super) fn speak(ui: &Ui, response: &Response, spoken: Spoken) -> Option<Wish> {
    response.widget_info(|| WidgetInfo {
        value: Some(spoken.number),
        ..WidgetInfo::labeled(Role::SpinButton, true, spoken.name.clone())
    });
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_value(spoken.text);
        node.set_min_numeric_value(spoken.range[0]);
        node.set_max_numeric_value(spoken.range[1]);
        node.add_action(Action::Increment);
        node.add_action(Action::Decrement);
        node.add_action(Action::SetValue);
    });
    let (steps, wished) = keys::reader_wishes(ui, response.id);
    if let Some(number) = wished {
        return Some(Wish::Number(number));
    }
    if steps != 0.0 {
        return Some(Wish::Steps {
            time: 0.0,
            value: steps,
        });
    }
    if !response.has_focus() {
        return None;
    }
    keys::keep_arrows(ui, response.id);
    keys::pressed(ui).map(|pressed| match pressed.step {
        Step::By { time, temp } => Wish::Steps { time, value: temp },
        Step::ToLeast => Wish::Least,
        Step::ToMost => Wish::Most,
    })
}

/// Asks for the edit that a [`Wish`] comes to; all that a held key wishes until it is let go is one step.
pub(super) fn ask(ui: &Ui, view: &mut ViewState, edit: Edit) -> Ask {
    if keys::all_released(ui) {
        return Ask::Apply(edit);
    }
    if view.gesture.is_none() {
        view.begin_gesture();
    }
    Ask::Drag(edit)
}

/// Follows a drag of a handle that was at `anchor` when it began: returns where the anchor should be now.
///
/// The place where the pointer took hold is kept, so nothing jumps.
pub(super) fn follow(
    ui: &Ui,
    response: &Response,
    anchor: Pos2,
    view: &mut ViewState,
    asks: &mut Vec<Ask>,
) -> Option<Pos2> {
    if response.gained_focus() {
        // The keyboard is no longer on a point, so the exact fields and Delete mean none.
        view.current = None;
    }
    let hold: Id = response.id.with("hold");
    if response.drag_started_by(PointerButton::Primary) {
        let origin = ui.input(|input| input.pointer.press_origin());
        let held = origin.map_or(Vec2::ZERO, |origin| origin - anchor);
        ui.data_mut(|data| data.insert_temp(hold, held));
        response.request_focus();
        view.begin_gesture();
    }
    if response.drag_stopped_by(PointerButton::Primary) {
        asks.push(Ask::Release);
        return None;
    }
    // Without a gesture the drag was given up with Esc; the pointer may still be down.
    if !response.dragged_by(PointerButton::Primary) || view.gesture.is_none() {
        return None;
    }
    let held = ui
        .data(|data| data.get_temp::<Vec2>(hold))
        .unwrap_or(Vec2::ZERO);
    response
        .interact_pointer_pos()
        .map(|pointer| pointer - held)
}
