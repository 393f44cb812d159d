//! The machine sheet, as far as a drawn curve needs it.

use chaffinch_craft::{Edit, entry, limits, units};
use eframe::egui::Ui;

use super::field_row::{WordsRow, accepted, field_row};
use crate::desk::{
    ask::Ask,
    model::Model,
    view_state::ViewState,
    widgets::{card::folding_card, tooltip::Explanation, typed_field::TypedField},
};

pub(super) fn ui(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let machine = &model.plan.machine;
    let ceiling = units::format_temp_with_unit(machine.ceiling_c, model.unit);
    let summary = match machine.name.as_str() {
        "" => format!("Ceiling {ceiling}"),
        name => format!("{name}, ceiling {ceiling}"),
    };
    let mut is_open = !view.folds.machine;
    folding_card(ui, "Machine", ["", &summary], &mut is_open, |ui| {
        let name = WordsRow {
            label: "Name",
            name: "Name of the machine",
            text: &machine.name,
            hint: "What you call the machine.",
        };
        let edits = [
            name.show(model.plan, ui, &Edit::MachineName),
            ceiling_row(model, ui),
        ];
        asks.extend(edits.into_iter().flatten().map(Ask::Apply));
    });
    view.folds.machine = !is_open;
}

fn ceiling_row(model: &Model<'_>, ui: &mut Ui) -> Option<Edit> {
    let ceiling_c = model.plan.machine.ceiling_c;
    let (least_c, most_c) = limits::CEILING_RANGE_C;
    let how = format!(
        "{} to {}. The machine's manual decides.",
        units::format_temp_with_unit(least_c, model.unit),
        units::format_temp_with_unit(most_c, model.unit)
    );
    field_row(ui, "Ceiling", |ui| {
        TypedField::new("ceiling", "Ceiling of the machine", &units::format_temp_field(ceiling_c, model.unit))
            .unit(model.unit.symbol())
            .explained(Explanation {
                what: "The hottest drop that you allow on this machine. A finding says when a plan goes above it.",
                how: &how,
                source: "",
            })
            .show(ui, &|typed| {
                let ceiling_c =
                    entry::parse_temp(typed, ceiling_c, model.unit).map_err(|error| error.to_string())?;
                accepted(model.plan, Edit::MachineCeiling(ceiling_c))
            })
    })
}
