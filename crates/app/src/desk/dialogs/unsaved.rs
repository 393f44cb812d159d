//! The question before unsaved work would be lost.

use eframe::egui::Ui;

use super::{
    GoOn,
    modal::{ASKING_PX, buttons, modal, paragraph},
};
use crate::desk::{
    ask::Ask,
    model::Model,
    widgets::buttons::{ButtonLook, button},
};

/// Asks whether to save before `go_on`.
pub(super) fn ui(model: &Model<'_>, go_on: &GoOn, asks: &mut Vec<Ask>, ui: &Ui) {
    modal(
        ui,
        "Save your changes?",
        ASKING_PX,
        asks,
        |ui, opening, asks| {
            let title = &model.plan.title;
            paragraph(
                ui,
                &format!(
                    "“{title}” has changes that aren't saved. {}",
                    what_follows(go_on)
                ),
            );
            buttons(ui, |ui| {
                let choices = [
                    (ButtonLook::Primary, "Save", Ask::SaveAndGoOn),
                    (ButtonLook::Plain, "Discard", Ask::DiscardAndGoOn),
                ];
                for (look, label, ask) in choices {
                    if button(ui, look, label).clicked() {
                        asks.push(ask);
                    }
                }
                let keep = button(ui, ButtonLook::Plain, "Keep editing");
                opening.focus(&keep);
                if keep.clicked() {
                    asks.push(Ask::CloseDialog);
                }
            });
        },
    );
}

fn what_follows(go_on: &GoOn) -> String {
    match go_on {
        GoOn::New => "After that a new plan is started.".to_owned(),
        GoOn::Open => "After that you choose a file to open.".to_owned(),
        GoOn::OpenFile(path) => format!("After that this file is opened: {}", path.display()),
        GoOn::Quit => "After that the window closes.".to_owned(),
    }
}
