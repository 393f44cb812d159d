//! What to mind before the new plan is roasted, in the look of a caution: mains that don't fit, what the machine can't deliver.

use crate::desk::{
    model::Model,
    theme::{Palette, Step, space},
    widgets::{card::plain_card, sign::sign},
};
use chaffinch_craft::{Severity, carry::CarryOver};
use eframe::egui::{Label, Role, Ui, WidgetInfo};

/// Shows one card with all cautions, or nothing.
pub(super) fn ui(model: &Model<'_>, carried: Option<&CarryOver>, ui: &mut Ui) {
    let cautions = carried.map_or_else(Vec::new, |carried| carried.cautions(model.unit));
    if cautions.is_empty() {
        return;
    }
    plain_card(ui, |ui| {
        for caution in &cautions {
            ui.horizontal_top(|ui| {
                let palette = Palette::of(ui);
                sign(ui, Severity::Caution, palette.raised);
                ui.vertical(|ui| {
                    ui.spacing_mut().item_spacing.y = 2.0;
                    let spoken = format!("Caution: {}", caution.heading);
                    let ink = palette.severity_text(Severity::Caution);
                    ui.add(Label::new(Step::Strong.text(caution.heading).color(ink)).wrap())
                        .widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
                    let text = Step::Finding.text(&caution.text).color(palette.text);
                    ui.add(Label::new(text).wrap());
                });
            });
        }
    });
    ui.add_space(space::TIGHT);
}
