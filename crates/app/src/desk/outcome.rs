//! The right column's outcome, drawn beside forecast: where and when the roast drops, its phases, what becomes of the beans; its
//! finishes, and what was measured.

mod figures;
mod finish_said;
mod finishes;
mod forecast;
mod forecast_line;
mod measure;
mod phases;
mod said;
mod trust_words;
mod weight_bar;

use eframe::egui::{ScrollArea, Ui};

use super::{ask::Ask, layout::LOW_WINDOW_PX, model::Model, theme::space, view_state::ViewState};

/// What stands for a value that doesn't exist.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Missing {
    /// In a narrow row.
    pub(super) painted: &'static str,
    /// In full, to be spoken.
    pub(super) spoken: &'static str,
}

/// The curve never gets there.
pub(super) const NOT_REACHED: Missing = Missing {
    painted: "not reached",
    spoken: "not reached",
};
/// The drop comes first.
const BEFORE_FIRST_CRACK: Missing = Missing {
    painted: "before crack",
    spoken: "before first crack",
};

/// What stands for a development that doesn't exist: a drop that is reached comes before first crack.
pub(super) fn no_development(is_drop_reached: bool) -> Missing {
    if is_drop_reached {
        BEFORE_FIRST_CRACK
    } else {
        NOT_REACHED
    }
}

/// A window that is higher than this shows each phase's rises, in points.
const TALL_WINDOW_PX: f32 = 960.0;
/// Height that is left for the findings below, in points: the worst one stays in sight.
const FINDINGS_PX: f32 = 184.0;
/// The same in a low window, whose cards have narrower margins.
const FINDINGS_LOW_PX: f32 = 176.0;

/// The column's cards, one below the other; they scroll when they would leave the findings no room.
pub fn ui(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let is_changing = view.gesture.is_some();
    let findings_px = if is_window_low(ui) {
        FINDINGS_LOW_PX
    } else {
        FINDINGS_PX
    };
    let cards = ScrollArea::vertical()
        .id_salt("outcome")
        .max_height(ui.available_height() - findings_px)
        .auto_shrink([false, true]);
    let sayings = said::Sayings::of(model);
    cards.show(ui, |ui| {
        figures::ui(model, &sayings, is_changing, ui);
        ui.add_space(space::TIGHT);
        if let [Some(from_s), Some(to_s)] = view.measure_s {
            measure::ui(model, (from_s, to_s), is_changing, asks, ui);
            ui.add_space(space::TIGHT);
        }
        phases::ui(model, &sayings, is_changing, ui);
        ui.add_space(space::TIGHT);
        forecast::ui(model, is_changing, ui);
        ui.add_space(space::TIGHT);
        finishes::ui(model, is_changing, asks, ui);
    });
}

/// Whether the column must do with little height.
fn is_window_low(ui: &Ui) -> bool {
    ui.content_rect().height() < LOW_WINDOW_PX
}

/// Whether there is height for what can be told on hover as well.
fn is_window_tall(ui: &Ui) -> bool {
    TALL_WINDOW_PX <= ui.content_rect().height()
}
