//! What changed and why, in plain words; what to measure; and how far all of it may be trusted.

use crate::desk::{
    model::Model,
    theme::{Palette, Step, space},
    widgets::{card::card, sign::sign},
};
use chaffinch_craft::{
    Severity,
    carry::{CARRY_TRUST_TEXT, CarryOver},
};
use chaffinch_twin::trust;
use eframe::egui::{Label, Sense, Ui, pos2, vec2};

/// Radius of the dot before a line, in points.
const DOT_PX: f32 = 2.0;
/// Room for it, in points.
const DOT_ROOM_PX: f32 = 10.0;
/// Height of the first line of words, in points.
const LINE_PX: f32 = 16.0;

pub(super) fn ui(model: &Model<'_>, carried: &CarryOver, ui: &mut Ui) {
    card(ui, "What changed and why", "", |ui| {
        for line in carried.other_lines(model.unit) {
            dotted(&line, ui);
        }
    });
    if let Some(measurement) = carried.measurement(model.unit) {
        ui.add_space(space::TIGHT);
        card(ui, "Worth measuring", "", |ui| words(&measurement, ui));
    }
}

/// What a carry-over is not; always there.
pub(super) fn trust(ui: &mut Ui) {
    card(ui, "How far to trust it", "", |ui| {
        words(CARRY_TRUST_TEXT, ui);
        ui.horizontal_top(|ui| {
            let palette = Palette::of(ui);
            ui.spacing_mut().item_spacing.x = space::TIGHT;
            sign(ui, Severity::Caution, palette.raised);
            words(trust::CAUTION, ui);
        });
    });
}

fn dotted(line: &str, ui: &mut Ui) {
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        let (rect, _) = ui.allocate_exact_size(vec2(DOT_ROOM_PX, LINE_PX), Sense::hover());
        let center = pos2(rect.left() + DOT_PX, rect.center().y);
        let ink = Palette::of(ui).text3;
        ui.painter().circle_filled(center, DOT_PX, ink);
        words(line, ui);
    });
}

fn words(words: &str, ui: &mut Ui) {
    let text = Step::Finding.text(words).color(Palette::of(ui).text);
    ui.add(Label::new(text).wrap());
}
