//! What went wrong outside the program, in words that can be copied.

use eframe::egui::{Label, Ui};

use super::{
    Trouble,
    modal::{ASKING_PX, buttons, modal, paragraph},
};
use crate::desk::{
    ask::Ask,
    commands::Command,
    theme::{Palette, Step},
    widgets::buttons::{ButtonLook, button},
};

/// Shows `trouble`.
pub(super) fn ui(trouble: &Trouble, asks: &mut Vec<Ask>, ui: &Ui) {
    modal(
        ui,
        &trouble.heading,
        ASKING_PX,
        asks,
        |ui, opening, asks| {
            let text = Step::Body.text(&trouble.text).color(Palette::of(ui).text);
            ui.add(Label::new(text).wrap().selectable(true));
            paragraph(ui, "Your plan is as it was.");
            buttons(ui, |ui| {
                let close = button(ui, ButtonLook::Primary, "Close");
                opening.focus(&close);
                if close.clicked() {
                    asks.push(Ask::CloseDialog);
                }
                if trouble.offers_save_as
                    && button(ui, ButtonLook::Plain, "Save elsewhere…").clicked()
                {
                    asks.extend([Ask::CloseDialog, Ask::Do(Command::SaveAs)]);
                }
                if button(ui, ButtonLook::Plain, "Copy text").clicked() {
                    ui.copy_text(format!("{}: {}", trouble.heading, trouble.text));
                }
            });
        },
    );
}
