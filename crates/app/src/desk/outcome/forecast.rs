//! What becomes of the beans, and how well the machine follows: figures that only the forecast has. Each says how far to trust it.

use chaffinch_craft::{
    Foreseen, no_forecast_text,
    units::{self, TempUnit},
};
use chaffinch_twin::{COOL_C, trust};
use eframe::egui::{Id, Label, Ui};

use super::{
    said::{FOLLOWING, SPREAD},
    trust_words, weight_bar,
};
use crate::desk::{
    model::Model,
    sheets::ValueRow,
    theme::{Palette, Step, space},
    widgets::{
        buttons::{ButtonLook, button},
        card::card,
        tooltip::{Explanation, explained},
    },
};

/// What stands above the reasons.
const NO_FORECAST: &str = "No forecast";

/// One row and what it means.
struct Row {
    label: &'static str,
    value: String,
    what: String,
    how: String,
    trust: String,
}

pub(super) fn ui(model: &Model<'_>, is_changing: bool, ui: &mut Ui) {
    let aside = match model.outlook.assumed {
        (0, _) => String::new(),
        (count, of) => format!("{count} of {of} assumed"),
    };
    card(ui, "Forecast", &aside, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        let Some(foreseen) = model.outlook.foreseen() else {
            return reasons(model, ui);
        };
        // First of all, so that it is in sight wherever the card is.
        let caution = Step::Small.text(trust::CAUTION);
        ui.add(Label::new(caution.color(Palette::of(ui).text2)).wrap());
        ui.add_space(space::TIGHT);
        show(&weight_loss(model, foreseen), is_changing, ui);
        let spread = model.spread.map(|spread| spread.figures.weight_loss);
        weight_bar::show(ui, foreseen.figures.weight_loss, spread);
        ui.add_space(space::TIGHT);
        for row in [
            roasted_weight(model, foreseen),
            greatest_miss(model, foreseen),
            meeting(foreseen),
            surface_over_core(model.unit, foreseen),
            energy(foreseen),
            cooling(model.unit, foreseen),
        ] {
            show(&row, is_changing, ui);
        }
        how_far(model, ui);
    });
}

/// Why there is no forecast.
fn reasons(model: &Model<'_>, ui: &mut Ui) {
    let palette = Palette::of(ui);
    ui.label(Step::Strong.text(NO_FORECAST).color(palette.text));
    for limit in model.outlook.limits() {
        ui.add_space(space::TIGHT);
        let reason = no_forecast_text(limit, model.unit);
        let reason = Step::Finding.text(without_heading(&reason));
        ui.add(Label::new(reason.color(palette.text)).wrap());
    }
    ui.add_space(space::TIGHT);
    let stands =
        Step::Small.text("What is drawn stands; the machine sheet and the findings say more.");
    ui.add(Label::new(stands.color(palette.text2)).wrap());
}

/// The reason alone, with a capital letter: what it begins with may stand above it already.
fn without_heading(text: &str) -> String {
    let reason = text.strip_prefix(NO_FORECAST).unwrap_or(text);
    let mut letters = reason.trim_start_matches([':', ' ']).chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}

fn show(row: &Row, is_changing: bool, ui: &mut Ui) {
    let value = ValueRow {
        label: row.label,
        value: &row.value,
        is_changing,
    };
    let explanation = Explanation {
        what: &row.what,
        how: &row.how,
        source: &row.trust,
    };
    explained(value.show(ui), &explanation);
}

fn weight_loss(model: &Model<'_>, foreseen: &Foreseen) -> Row {
    let spread = model.spread.map_or_else(String::new, |spread| {
        let band = &spread.figures.weight_loss;
        let [from, to] = [band.p10, band.p90].map(units::format_share);
        format!("80 of 100 roasts that vary from day to day lose {from} to {to}. ")
    });
    Row {
        label: "Weight loss",
        value: format!(
            "{} ± {}",
            units::format_share(foreseen.figures.weight_loss),
            trust_words::weight_loss_points()
        ),
        what:
            "Water, dry matter and chaff that are gone at the drop, as a share of the green weight."
                .to_owned(),
        how: format!(
            "{spread}The bar shows them with those of 98 of 100 around, and the trust below."
        ),
        trust: trust_words::weight_loss(),
    }
}

fn roasted_weight(model: &Model<'_>, foreseen: &Foreseen) -> Row {
    let grams = |kg: f64| units::format_number(units::grams_from_kg(kg), 0);
    Row {
        label: "Roasted weight",
        value: format!(
            "{} → {} g",
            grams(model.outlook.sheets.lot.dose_kg),
            grams(foreseen.figures.roasted_kg)
        ),
        what: "Green beans charged, and what is left of them at the drop.".to_owned(),
        how: "The dose of the coffee sheet less the weight loss.".to_owned(),
        trust: trust_words::weight_loss(),
    }
}

fn greatest_miss(model: &Model<'_>, foreseen: &Foreseen) -> Row {
    let miss = foreseen.greatest_miss_k;
    let since = match foreseen.met_s {
        Some(_) => "since the probe keeps to the curve",
        None => "since charge, for they never meet",
    };
    let rms = units::format_temp_difference_with_unit(foreseen.rms_miss_k, model.unit);
    let spread = model.spread.map_or_else(String::new, |spread| {
        let ends = [spread.miss_k.p10, spread.miss_k.p90];
        let [from, to] = ends.map(|k| units::format_temp_shift_with_unit(k, model.unit));
        format!(" In 80 of 100 roasts that vary from day to day it lies between {from} and {to}.")
    });
    Row {
        label: "Greatest miss",
        value: format!(
            "{} at {}",
            units::format_temp_shift_with_unit(miss.value, model.unit),
            units::format_time(miss.time_s as f64)
        ),
        what: format!("Probe less curve where they differ most {since}; root mean square {rms}."),
        how: spread.trim_start().to_owned(),
        trust: FOLLOWING.to_owned(),
    }
}

fn meeting(foreseen: &Foreseen) -> Row {
    let value = match foreseen.met_s {
        Some(0) => "from charge on".to_owned(),
        Some(met_s) => format!("at {}", units::format_time(met_s as f64)),
        None => "never".to_owned(),
    };
    Row {
        label: "Meets the curve",
        value,
        what: "From here on the probe keeps to the curve for a while; misses count from where it stops closing in."
            .to_owned(),
        how: "The probe starts where the machine stands at charge, the curve where it was drawn."
            .to_owned(),
        trust: FOLLOWING.to_owned(),
    }
}

fn surface_over_core(unit: TempUnit, foreseen: &Foreseen) -> Row {
    let temps = [
        foreseen.trace.surface_c.last(),
        foreseen.trace.core_c.last(),
    ];
    let [surface, core] = temps.map(|temp_c| {
        temp_c.map_or_else(String::new, |&c| {
            units::format_temp_with_unit(c.round(), unit)
        })
    });
    let spread = trust_words::degrees(foreseen.figures.drop_spread_k, unit);
    let trust = trust_words::degrees(trust::CORE_K, unit);
    let bare = spread.trim_end_matches(unit.symbol()).trim_end();
    Row {
        label: "Surface over core",
        value: format!("{bare} ± {trust}"),
        what: format!(
            "How much hotter a bean is outside than inside at the drop: surface {surface}, core {core}."
        ),
        how: "Heat needs time to get in: the faster the rise, the more.".to_owned(),
        trust: trust_words::bean_temperatures(unit),
    }
}

fn energy(foreseen: &Foreseen) -> Row {
    Row {
        label: "Heater energy",
        value: format!(
            "{} kWh",
            units::format_number(foreseen.figures.heater_kwh, 2)
        ),
        what: "What the heater draws from charge to drop. Preheating and the fan aren't counted."
            .to_owned(),
        how: String::new(),
        trust: trust_words::heater(),
    }
}

fn cooling(unit: TempUnit, foreseen: &Foreseen) -> Row {
    let value = match foreseen.figures.cooling {
        Some(cooling) => format!("{} or more", units::format_time(cooling.probe_s as f64)),
        None => "room too warm".to_owned(),
    };
    Row {
        label: "Cooling time",
        value,
        what: format!(
            "From the drop until the probe reads {} in cold air, the fan full on.",
            units::format_temp_with_unit(COOL_C, unit)
        ),
        how: String::new(),
        trust: "Common practice, no published source: 3 to 5 min. The model comes out a minute or more too fast, \
                because nothing but the beans is hot in it. Let the machine run its own cooling."
            .to_owned(),
    }
}

/// The trust of all figures in one place, for who has no pointer to rest on them.
fn how_far(model: &Model<'_>, ui: &mut Ui) {
    let id = Id::unique("outcome says how far to trust the forecast");
    let mut is_open = ui.data(|data| data.get_temp(id).unwrap_or(false));
    let link = button(ui, ButtonLook::Link, "How far to trust it");
    if link.clicked() {
        is_open = !is_open;
        ui.data_mut(|data| data.insert_temp(id, is_open));
    }
    ui.accesskit_node_builder(link.id, |node| node.set_expanded(is_open));
    if !is_open {
        return;
    }
    let assumed = trust_words::assumed(model.outlook.assumed);
    let texts = [
        FOLLOWING,
        SPREAD,
        &trust_words::weight_loss(),
        &trust_words::bean_temperatures(model.unit),
        &trust_words::heater(),
        super::said::CRACK,
        &assumed,
    ];
    for text in texts {
        let words = Step::Small.text(text).color(Palette::of(ui).text2);
        ui.add(Label::new(words).wrap());
        ui.add_space(space::TIGHT);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reasons_dont_repeat_what_stands_above_them() {
        let found = without_heading("No forecast: the dose is 900 g.");
        assert_eq!(found, "The dose is 900 g.", "the heading says the rest");
        let found = without_heading("At 0:12 the air no longer lifts the beans.");
        assert_eq!(
            found, "At 0:12 the air no longer lifts the beans.",
            "as it is"
        );
        assert_eq!(without_heading(""), "", "nothing to say does no harm");
    }
}
