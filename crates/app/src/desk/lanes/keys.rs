//! Keys that move a focused handle: arrows by one step, Shift ten, Alt a tenth, Page keys ten, Home and End to the limits.

use eframe::egui::{
    Event, EventFilter, Id, Key, Modifiers, Response, Ui,
    accesskit::{Action, ActionData},
};

/// One step in time, in s.
pub(super) const TIME_STEP_S: f64 = 1.0;
/// One step in temperature, in °C.
pub(super) const TEMP_STEP_C: f64 = 1.0;

/// What a key asks for, in steps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Step {
    /// So many steps to the right and up.
    By {
        /// Steps in time.
        time: f64,
        /// Steps in temperature.
        temp: f64,
    },
    /// As low as allowed.
    ToLeast,
    /// As high as allowed.
    ToMost,
}

/// A key that was pressed or repeats.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pressed {
    /// What it asks for.
    pub step: Step,
    /// The key is held and repeats.
    pub is_repeat: bool,
}

const KEYS: [Key; 8] = [
    Key::ArrowLeft,
    Key::ArrowRight,
    Key::ArrowUp,
    Key::ArrowDown,
    Key::PageUp,
    Key::PageDown,
    Key::Home,
    Key::End,
];

/// Keeps the arrows for the focused handle; egui would move the focus with them.
pub(super) fn keep_arrows(ui: &Ui, id: Id) {
    let filter = EventFilter {
        horizontal_arrows: true,
        vertical_arrows: true,
        ..EventFilter::default()
    };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(id, filter));
}

/// Takes the first moving key of this frame out of the input.
pub(super) fn pressed(ui: &Ui) -> Option<Pressed> {
    ui.input_mut(|input| {
        let index = input.events.iter().position(|event| {
            matches!(event, Event::Key { key, pressed: true, modifiers, .. }
                if KEYS.contains(key) && !modifiers.command)
        })?;
        let Event::Key {
            key,
            repeat,
            modifiers,
            ..
        } = input.events.remove(index)
        else {
            return None;
        };
        Some(Pressed {
            step: step(key, modifiers),
            is_repeat: repeat,
        })
    })
}

/// Whether `response` was clicked, by pointer or screen reader; egui counts Enter and Space as clicks too, which handles
/// use for something else.
pub(super) fn clicked(ui: &Ui, response: &Response) -> bool {
    let by_key = ui.input(|input| input.key_pressed(Key::Enter) || input.key_pressed(Key::Space));
    response.clicked() && !by_key
}

/// Whether no moving key is down any more.
pub(super) fn all_released(ui: &Ui) -> bool {
    ui.input(|input| KEYS.iter().all(|key| !input.key_down(*key)))
}

fn step(key: Key, modifiers: Modifiers) -> Step {
    let size = match (modifiers.shift, modifiers.alt) {
        (true, _) => 10.0,
        (false, true) => 0.1,
        (false, false) => 1.0,
    };
    let by = |time: f64, temp: f64| Step::By { time, temp };
    match key {
        Key::ArrowLeft => by(-size, 0.0),
        Key::ArrowRight => by(size, 0.0),
        Key::ArrowUp => by(0.0, size),
        Key::ArrowDown => by(0.0, -size),
        Key::PageUp => by(0.0, 10.0),
        Key::PageDown => by(0.0, -10.0),
        Key::Home => Step::ToLeast,
        _ => Step::ToMost,
    }
}

/// What a screen reader asks of a control: steps up or down, or a value.
pub(super) fn reader_wishes(ui: &Ui, id: Id) -> (f64, Option<f64>) {
    ui.input(|input| {
        let count = |action| input.num_accesskit_action_requests(id, action) as f64;
        let wished = input
            .accesskit_action_requests(id, Action::SetValue)
            .find_map(|request| match request.data {
                Some(ActionData::NumericValue(value)) => Some(value),
                _ => None,
            });
        (count(Action::Increment) - count(Action::Decrement), wished)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shift_makes_ten_steps_and_alt_a_tenth() {
        let up = |modifiers| step(Key::ArrowUp, modifiers);
        assert_eq!(
            up(Modifiers::NONE),
            Step::By {
                time: 0.0,
                temp: 1.0
            },
            "plain"
        );
        assert_eq!(
            up(Modifiers::SHIFT),
            Step::By {
                time: 0.0,
                temp: 10.0
            },
            "shift"
        );
        assert_eq!(
            up(Modifiers::ALT),
            Step::By {
                time: 0.0,
                temp: 0.1
            },
            "alt"
        );
        assert_eq!(
            step(Key::ArrowLeft, Modifiers::NONE),
            Step::By {
                time: -1.0,
                temp: 0.0
            },
            "left is earlier"
        );
        assert_eq!(step(Key::Home, Modifiers::NONE), Step::ToLeast, "home");
    }
}
