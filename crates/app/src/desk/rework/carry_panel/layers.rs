//! The three layers, kept apart: each with its switch, its size and what it is worth.

use crate::desk::rework::form::CarryForm;
use crate::desk::{
    model::Model,
    theme::{Palette, Step, space},
    view_state::{DrawerPage, ViewState},
    widgets::{
        buttons::{ButtonLook, button},
        card::card,
        focus,
    },
};
use chaffinch_craft::{
    carry::{CarryOver, Layer, Practice, YourRoasts},
    units::{self, TempUnit},
};
use chaffinch_twin::trust;
use eframe::egui::{Align, Label, Layout, Role, Ui, WidgetInfo};

/// Distance of what is below a switch from the left edge, in points: its box and the gap after it.
const INDENT_PX: f32 = 24.0;

pub(super) fn ui(
    model: &Model<'_>,
    form: &mut CarryForm,
    carried: Option<&CarryOver>,
    view: &mut ViewState,
    ui: &mut Ui,
) {
    let unit = model.unit;
    card(ui, "Layers", "each at its full size", |ui| {
        switch("Physics", &mut form.physics, ui);
        below(ui, |ui| {
            size("Physics", carried, Layer::Physics, unit, ui);
            small(&physics_words(unit), ui);
        });
        ui.add_space(space::TIGHT);
        ui.horizontal(|ui| {
            switch("Practice", &mut form.practice, ui);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                edit_rules(view, ui);
            });
        });
        below(ui, |ui| {
            size("Practice", carried, Layer::Practice, unit, ui);
            small(&practice_words(carried), ui);
        });
        ui.add_space(space::TIGHT);
        // Nothing can switch it on before there are roasts.
        ui.add_enabled_ui(false, |ui| switch("Your roasts", &mut false, ui));
        below(ui, |ui| {
            let roasts = carried.map_or_else(YourRoasts::default, |carried| carried.your_roasts);
            small(&roasts.sentence(), ui);
        });
        ui.separator();
        let name = format!("Together at {} %", units::format_number(form.percent, 0));
        ui.label(Step::Body.text(&name));
        below(ui, |ui| size(&name, carried, Layer::Together, unit, ui));
    });
}

fn edit_rules(view: &mut ViewState, ui: &mut Ui) {
    let edit = button(ui, ButtonLook::Link, "Edit rules…")
        .on_hover_text("The table of rules, in the drawer at the foot");
    if edit.clicked() {
        view.drawer_open = true;
        view.drawer_page = DrawerPage::Practice;
    }
}

fn switch(layer: &str, is_on: &mut bool, ui: &mut Ui) {
    let response = ui
        .checkbox(is_on, Step::Strong.text(layer))
        .accessible_name(format!("Layer: {layer}"));
    focus::show(&response);
}

fn below(ui: &mut Ui, add_contents: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        ui.add_space(INDENT_PX);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            add_contents(ui);
        });
    });
}

/// Least to greatest move of the curve's points; time has a line of its own.
fn size(name: &str, carried: Option<&CarryOver>, layer: Layer, unit: TempUnit, ui: &mut Ui) {
    let (first, time) = carried.map_or_else(
        || ("–".to_owned(), None),
        |carried| {
            let size = carried.layer_size(layer);
            let first = format!("{}, {}", size.temp_text(unit), size.rise_text(unit));
            (first, size.time_text())
        },
    );
    let time = time.map(|time| format!("in time {time}"));
    let both = |between: &str| {
        let lines = std::iter::once(first.as_str()).chain(time.as_deref());
        lines.collect::<Vec<_>>().join(between)
    };
    let spoken = format!("Size of {name}: {}", both(", "));
    let painted = Step::Body.text(both("\n")).color(Palette::of(ui).text);
    ui.add(Label::new(painted).wrap())
        .widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
}

fn small(words: &str, ui: &mut Ui) {
    ui.add(Label::new(Step::Small.text(words).color(Palette::of(ui).text2)).wrap());
}

fn physics_words(unit: TempUnit) -> String {
    format!(
        "For another coffee a few degrees, no more; the core is known to ± {}.",
        units::format_temp_difference_with_unit(trust::CORE_K, unit)
    )
}

fn practice_words(carried: Option<&CarryOver>) -> String {
    let what = match carried.map(|carried| carried.practice) {
        Some(Practice::NoAltitude) => "Needs the altitude of growth of both coffees. ".to_owned(),
        Some(Practice::Applied { from_m, to_m }) => grown_words(from_m, to_m),
        Some(Practice::Off) | None => String::new(),
    };
    format!("{what}Common practice, no published source.")
}

/// Where both coffees grew, in equivalent altitudes.
fn grown_words(from_m: f64, to_m: f64) -> String {
    let [from, to] = [from_m, to_m].map(|metres| units::format_number(metres, 0));
    if from == to {
        format!("Both grew at {to} m (equivalent altitudes). ")
    } else {
        format!("Grown at {to} m instead of {from} m (equivalent altitudes). ")
    }
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, clippy::missing_assert_message, reason = "tests")]
    use super::*;

    #[test]
    fn one_altitude_is_not_instead_of_itself() {
        assert!(grown_words(900.0, 900.2).starts_with("Both grew at 900 m"));
        assert!(grown_words(900.0, 1950.0).starts_with("Grown at 1950 m instead of 900 m"));
    }
}
