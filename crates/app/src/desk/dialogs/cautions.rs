//! The cautions: first thing at the first start, and one click away ever after.

use chaffinch_craft::CAUTIONS;
use eframe::egui::{ScrollArea, Ui};

use super::modal::{READING_PX, buttons, modal, paragraph, scroll_height_px};
use crate::desk::{
    ask::Ask,
    prefs::Prefs,
    theme::{Palette, Step, space},
    widgets::buttons::{ButtonLook, button},
};

/// Shows the cautions. Only the button says that they were read; Esc puts them off to the next start.
pub(super) fn ui(prefs: &Prefs, asks: &mut Vec<Ask>, ui: &Ui) {
    modal(
        ui,
        "Before you roast",
        READING_PX,
        asks,
        |ui, opening, asks| {
            let scroll = ScrollArea::vertical().max_height(scroll_height_px(ui));
            scroll.show(ui, |ui| {
                for caution in &CAUTIONS {
                    ui.label(Step::Head.text(caution.heading));
                    paragraph(ui, caution.text);
                    ui.add_space(space::TIGHT);
                }
                let note = Step::Small
                    .text("F2 shows this page again.")
                    .color(Palette::of(ui).text2);
                ui.label(note);
            });
            buttons(ui, |ui| {
                let label = if prefs.cautions_read {
                    "Close"
                } else {
                    "I have read this"
                };
                let done = button(ui, ButtonLook::Primary, label);
                opening.focus(&done);
                if done.clicked() {
                    asks.extend([Ask::CautionsRead, Ask::CloseDialog]);
                }
            });
        },
    );
}
