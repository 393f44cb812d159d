//! The question when somebody else has changed the plan's file since it was opened or saved.

use eframe::egui::Ui;
use std::path::Path;

use super::modal::{ASKING_PX, buttons, modal, paragraph};
use crate::desk::{
    ask::Ask,
    commands::Command,
    widgets::buttons::{ButtonLook, button},
};

/// Asks which of the two versions shall stay.
pub(super) fn ui(path: &Path, asks: &mut Vec<Ask>, ui: &Ui) {
    modal(
        ui,
        "The file has changed on disk",
        ASKING_PX,
        asks,
        |ui, opening, asks| {
            paragraph(
                ui,
                &format!(
                    "Since you opened or saved it, something else has written to {}",
                    path.display()
                ),
            );
            paragraph(
                ui,
                "Save as keeps both versions. Reload lets your changes go. Overwrite lets the other version go.",
            );
            buttons(ui, |ui| {
                let both = button(ui, ButtonLook::Primary, "Save as…");
                opening.focus(&both);
                if both.clicked() {
                    asks.extend([Ask::CloseDialog, Ask::Do(Command::SaveAs)]);
                }
                for (label, ask) in [
                    ("Reload", Ask::Reload(path.to_owned())),
                    ("Overwrite", Ask::Overwrite(path.to_owned())),
                ] {
                    if button(ui, ButtonLook::Plain, label).clicked() {
                        asks.push(ask);
                    }
                }
            });
        },
    );
}
