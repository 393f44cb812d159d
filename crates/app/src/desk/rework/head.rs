//! The head of a rework's panel: its name, and the buttons that accept or leave it.

use crate::desk::{
    ask::Ask,
    model::Model,
    theme::{Palette, Step, space},
    widgets::buttons::{ButtonLook, button},
};
use eframe::egui::{Label, ProgressBar, Ui};

/// Shows name, sentence, and the buttons; accepting is possible once the preview is about what is asked for.
pub(super) fn ui(model: &Model<'_>, name: &str, sentence: &str, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let palette = Palette::of(ui);
    ui.label(Step::Head.text(name).color(palette.text));
    ui.add(Label::new(Step::Small.text(sentence).color(palette.text2)).wrap());
    ui.add_space(space::TIGHT);
    ui.horizontal(|ui| {
        let is_ready = model.ghost.is_some() && !model.is_rework_pending;
        let accept = ui
            .add_enabled_ui(is_ready, |ui| button(ui, ButtonLook::Primary, "Accept"))
            .inner
            .on_hover_text("Make the plan this one, as one step of the history");
        if accept.clicked() {
            asks.push(Ask::AcceptRework);
        }
        let leave = button(ui, ButtonLook::Link, "Leave")
            .on_hover_text("Go back to the plan as it is (Escape)");
        if leave.clicked() {
            asks.push(Ask::LeaveRework);
        }
    });
    progress(model, asks, ui);
}

/// A thin line while the work takes long, with a way to stop it, or to go on where it was stopped.
fn progress(model: &Model<'_>, asks: &mut Vec<Ask>, ui: &mut Ui) {
    if let Some(done) = model.rework_progress {
        ui.horizontal(|ui| {
            ui.add(
                ProgressBar::new(done as f32)
                    .desired_height(4.0)
                    .desired_width((ui.available_width() - 60.0).max(40.0)),
            );
            if button(ui, ButtonLook::Link, "Stop").clicked() {
                asks.push(Ask::StopRework);
            }
        });
    } else if model.is_rework_stopped {
        ui.horizontal(|ui| {
            ui.label(Step::Small.text("Stopped; the curve shown is an older one."));
            if button(ui, ButtonLook::Link, "Go on").clicked() {
                asks.push(Ask::GoOnRework);
            }
        });
    }
}
