//! The left column: what the plan was drawn for (coffee, machine, room), where it stops, and what it is compared with.

mod behind;
mod coffee;
mod difference;
mod field_row;
mod known_number;
mod ladder;
mod machine;
mod notes;
mod rail;
mod remembered_card;
mod room;
mod value_row;

pub(in crate::desk) use field_row::accepted;
pub use rail::rail;
pub(in crate::desk) use remembered_card::{AtFirst, remembered_card};
pub(in crate::desk) use value_row::ValueRow;

use eframe::egui::{Align, Id, ScrollArea, Ui};

use super::{ask::Ask, model::Model, theme::space, view_state::ViewState};

/// A card that the rail can bring into view.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Sheet {
    #[default]
    Coffee,
    Machine,
    Room,
    Behind,
}

impl Sheet {
    const ALL: [Self; 4] = [Self::Coffee, Self::Machine, Self::Room, Self::Behind];

    /// Name on the rail; the same as the card's head where there is room for it.
    fn short_label(self) -> &'static str {
        match self {
            Self::Coffee => "Coffee",
            Self::Machine => "Machine",
            Self::Room => "Room",
            Self::Behind => "Plans",
        }
    }

    fn is_folded(self, view: &mut ViewState) -> &mut bool {
        let folds = &mut view.folds;
        match self {
            Self::Coffee => &mut folds.coffee,
            Self::Machine => &mut folds.machine,
            Self::Room => &mut folds.room,
            Self::Behind => &mut folds.behind,
        }
    }

    /// Where the rail leaves word for the column.
    fn wish_id() -> Id {
        Id::unique("sheet asked for by the rail")
    }
}

/// The column's cards, one below the other; scrolls when they don't fit.
pub fn ui(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    ScrollArea::vertical()
        .id_salt("sheets")
        .auto_shrink(false)
        .show(ui, |ui| {
            let wished: Option<Sheet> = ui.data_mut(|data| data.remove_temp(Sheet::wish_id()));
            for sheet in Sheet::ALL {
                let card = ui.scope(|ui| match sheet {
                    Sheet::Coffee => coffee::ui(model, view, asks, ui),
                    Sheet::Machine => machine::ui(model, view, asks, ui),
                    Sheet::Room => room::ui(model, view, asks, ui),
                    Sheet::Behind => behind::ui(model, view, asks, ui),
                });
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
