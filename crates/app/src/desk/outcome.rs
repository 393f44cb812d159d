//! The right column's outcome: where and when the roast drops, its phases, its finishes, and what was measured.

mod figures;
mod finishes;
mod measure;
mod phases;

use eframe::egui::{ScrollArea, Ui};

use super::{ask::Ask, layout::LOW_WINDOW_PX, model::Model, theme::space, view_state::ViewState};

/// What stands for a value that doesn't exist.
#[derive(Clone, Copy, Debug)]
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

/// Height that is left for the findings below, in points: the worst one stays in sight.
const FINDINGS_PX: f32 = 172.0;

/// The column's cards, one below the other; they scroll when they would leave the findings no room.
pub fn ui(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let is_changing = view.gesture.is_some();
    let cards = ScrollArea::vertical()
        .id_salt("outcome")
        .max_height(ui.available_height() - FINDINGS_PX)
        .auto_shrink([false, true]);
    cards.show(ui, |ui| {
        figures::ui(model, is_changing, ui);
        ui.add_space(space::TIGHT);
        if let [Some(from_s), Some(to_s)] = view.measure_s {
            measure::ui(model, (from_s, to_s), is_changing, asks, ui);
            ui.add_space(space::TIGHT);
        }
        phases::ui(model, is_changing, ui);
        ui.add_space(space::TIGHT);
        finishes::ui(model, is_changing, asks, ui);
    });
}

/// Whether the column must do with little height.
fn is_window_low(ui: &Ui) -> bool {
    ui.content_rect().height() < LOW_WINDOW_PX
}
