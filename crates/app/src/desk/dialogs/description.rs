//! The curve in words, to be read, spoken or copied.

use chaffinch_craft::{describe_curve, summary_text};
use eframe::egui::{Label, RichText, ScrollArea, Ui, accesskit::Live};

use super::modal::{READING_PX, buttons, modal, scroll_height_px};
use crate::desk::{
    ask::Ask,
    model::Model,
    theme::{Palette, Step},
    widgets::buttons::{ButtonLook, button},
};

/// Shows the sentence that a screen reader speaks, and all figures as text beneath it.
pub(super) fn ui(model: &Model<'_>, asks: &mut Vec<Ask>, ui: &Ui) {
    let spoken = describe_curve(model.plan, model.derived, model.outlook, model.unit);
    let figures = summary_text(model.plan, model.derived, model.outlook, model.unit);
    modal(
        ui,
        "The curve in words",
        READING_PX,
        asks,
        |ui, opening, asks| {
            let palette = Palette::of(ui);
            let scroll = ScrollArea::both().max_height(scroll_height_px(ui));
            scroll.show(ui, |ui| {
                let sentence = Label::new(Step::Body.text(&spoken).color(palette.text)).wrap();
                let response = ui.add(sentence.selectable(true));
                ui.accesskit_node_builder(response.id, |node| node.set_live(Live::Polite));
                ui.separator();
                let report = RichText::new(figures.trim_end())
                    .monospace()
                    .color(palette.text);
                ui.add(Label::new(report).extend().selectable(true));
            });
            buttons(ui, |ui| {
                let close = button(ui, ButtonLook::Primary, "Close");
                opening.focus(&close);
                if close.clicked() {
                    asks.push(Ask::CloseDialog);
                }
                if button(ui, ButtonLook::Plain, "Copy text").clicked() {
                    ui.copy_text(format!("{spoken}\n\n{figures}"));
                }
            });
        },
    );
}
