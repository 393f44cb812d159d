//! The left column: what the plan was drawn for (coffee, machine, room, everyday variation), where it stops, and what it is
//! compared with.

mod assumed;
mod behind;
mod coffee;
mod difference;
mod field_row;
mod knowledge_badge;
mod known_number;
mod ladder;
mod machine;
mod notes;
mod rail;
mod remembered_card;
mod room;
mod value_row;
mod variation;

pub(in crate::desk) use field_row::accepted;
pub use rail::rail;
pub(in crate::desk) use remembered_card::{AtFirst, remembered_card};
pub(in crate::desk) use value_row::ValueRow;

use eframe::egui::{Align, Id, ScrollArea, Ui};

use super::{ask::Ask, model::Model, theme::space, view_state::ViewState};

/// A column of this height, in points, has room for an open machine sheet below the coffee and above the room.
const MACHINE_FITS_PX: f32 = 880.0;

/// A card that the rail can bring into view.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Sheet {
    #[default]
    Coffee,
    Machine,
    Room,
    Behind,
    Variation,
}

impl Sheet {
    const ALL: [Self; 5] = [
        Self::Coffee,
        Self::Machine,
        Self::Room,
        Self::Behind,
        Self::Variation,
    ];

    /// The sheets that a plan can be carried to.
    const TARGET: [Self; 3] = [Self::Coffee, Self::Machine, Self::Room];

    fn ui(self, model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
        match self {
            Self::Coffee => coffee::ui(model, view, asks, ui),
            Self::Machine => machine::ui(model, view, asks, ui),
            Self::Room => room::ui(model, view, asks, ui),
            Self::Behind => behind::ui(model, view, asks, ui),
            Self::Variation => variation::ui(model, view, asks, ui),
        }
    }

    /// Name on the rail; the same as the card's head where there is room for it.
    fn short_label(self) -> &'static str {
        match self {
            Self::Coffee => "Coffee",
            Self::Machine => "Machine",
            Self::Room => "Room",
            Self::Behind => "Plans",
            Self::Variation => "Variation",
        }
    }

    fn unfold(self, view: &mut ViewState) {
        let folds = &mut view.folds;
        match self {
            Self::Coffee => folds.coffee = false,
            Self::Machine => folds.machine = false,
            Self::Room => folds.room = false,
            Self::Behind => folds.behind = false,
            Self::Variation => folds.variation_open = true,
        }
    }

    /// Where the rail leaves word for the column.
    fn wish_id() -> Id {
        Id::unique("sheet asked for by the rail")
    }

    /// Where the rail keeps which sheet it opened last.
    fn last_id() -> Id {
        Id::unique("sheet opened last by the rail")
    }
}

/// The sheets of coffee, machine and room alone, for a plan that stands for what another one is carried to; below what `add_above`
/// shows. Scrolls when they don't fit.
pub(in crate::desk) fn for_target(
    model: &Model<'_>,
    view: &mut ViewState,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
    add_above: impl FnOnce(&mut Ui),
) {
    let wished = wished(view, ui);
    ScrollArea::vertical()
        .id_salt("sheets carried to")
        .auto_shrink(false)
        .show(ui, |ui| {
            add_above(ui);
            for sheet in Sheet::TARGET {
                ui.add_space(space::TIGHT);
                let card = ui.scope(|ui| sheet.ui(model, view, asks, ui));
                if wished == Some(sheet) {
                    ui.scroll_to_rect(card.response.rect, Some(Align::TOP));
                }
            }
        });
}

/// The sheet that the rail asked for, unfolded. At the first look the machine sheet is open only where there is room for it.
fn wished(view: &mut ViewState, ui: &Ui) -> Option<Sheet> {
    let wished: Option<Sheet> = ui.data_mut(|data| data.remove_temp(Sheet::wish_id()));
    if !std::mem::replace(&mut view.folds.fitted, true) {
        view.folds.machine = ui.available_height() < MACHINE_FITS_PX;
    }
    if let Some(wished) = wished {
        wished.unfold(view);
    }
    wished
}

/// The column's cards, one below the other; scrolls when they don't fit.
pub fn ui(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let wished = wished(view, ui);
    ScrollArea::vertical()
        .id_salt("sheets")
        .auto_shrink(false)
        .show(ui, |ui| {
            for sheet in Sheet::ALL {
                let card = ui.scope(|ui| sheet.ui(model, view, asks, ui));
                if wished == Some(sheet) {
                    ui.scroll_to_rect(card.response.rect, Some(Align::TOP));
                }
                ui.add_space(space::TIGHT);
            }
            ladder::ui(model, asks, ui);
            ui.add_space(space::TIGHT);
            notes::card(model, asks, ui);
        });
}
