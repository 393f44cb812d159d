//! What lies between the measuring lines A and B.

use chaffinch_craft::{Measure, units};
use eframe::egui::Ui;

use crate::desk::{
    ask::Ask,
    commands::Command,
    model::Model,
    sheets::ValueRow,
    widgets::{
        buttons::{ButtonLook, wide_button},
        card::card,
    },
};

pub(super) fn ui(
    model: &Model<'_>,
    (from_s, to_s): (f64, f64),
    is_changing: bool,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let measure = Measure::between(model.plan, from_s, to_s);
    let span = format!(
        "{} to {}",
        units::format_time(from_s),
        units::format_time(to_s)
    );
    card(ui, "B minus A", &span, |ui| {
        let rise = measure.mean_rise_c_per_s.map_or_else(
            || "A and B coincide".to_owned(),
            |rise| units::format_rise_with_unit(rise, model.unit),
        );
        for (label, value) in [
            ("Time", units::format_time_shift(measure.time_s)),
            (
                "Temperature",
                units::format_temp_shift_with_unit(measure.temp_c, model.unit),
            ),
            ("Mean rise", rise),
        ] {
            ValueRow {
                label,
                value: &value,
                is_changing,
            }
            .show(ui);
        }
        let entry = Command::MeasureOff.entry();
        let off = wide_button(ui, ButtonLook::Plain, entry.label)
            .on_hover_text(Command::MeasureOff.tip(ui));
        if off.clicked() {
            asks.push(Ask::Do(Command::MeasureOff));
        }
    });
}
