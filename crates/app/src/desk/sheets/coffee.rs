//! The coffee sheet: what is known of the green lot, and how well.

use chaffinch_craft::{
    Edit, Knowledge, LotNumber, LotText, NumberName, Numbers, RatioRange, SheetNumber, entry, units,
};
use eframe::egui::{Align2, Sense, Ui, vec2};

use super::{
    assumed::Assumed,
    field_row::{WordsRow, accepted, field_row},
    knowledge_badge, known_number, notes,
};
use crate::desk::{
    ask::Ask,
    model::Model,
    theme::{Palette, Step, space},
    view_state::ViewState,
    widgets::{
        card::{CardWords, folding_card_saying, folding_part},
        tooltip::Explanation,
        typed_field::TypedField,
    },
};

const PERCENT: f64 = 100.0;

/// Numbers that describe the lot, and without which the forecast would be for another one.
const FIRST: [LotNumber; 5] = [
    LotNumber::Dose,
    LotNumber::Altitude,
    LotNumber::Density,
    LotNumber::Moisture,
    LotNumber::HundredBeans,
];

/// Numbers that few know of a lot.
const REST: [LotNumber; 6] = [
    LotNumber::Latitude,
    LotNumber::ScreenSize,
    LotNumber::Conductivity,
    LotNumber::Drying,
    LotNumber::Exotherm,
    LotNumber::DryLoss,
];

pub(super) fn ui(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let lot = &model.plan.lot;
    let carried = model.carried.as_ref();
    let known = carried.map_or(&lot.numbers, |carried| &carried.to.lot.numbers);
    let words_of_card = CardWords {
        aside: &lot.process,
        folded_aside: &Assumed::of(known).words(),
        summary: &lot.headline(),
    };
    let mut is_open = !view.folds.coffee;
    folding_card_saying(ui, "Coffee", words_of_card, &mut is_open, |ui| {
        asks.extend(words(model, LotText::Name, ui).map(Ask::Apply));
        known_number::rows(model, FIRST.map(NumberName::Lot), asks, ui);
        asks.extend(wished_development(model, ui).map(Ask::Apply));
        let is_open = &mut view.folds.coffee_rest_open;
        let parts = ["More", "More of the coffee"];
        folding_part(ui, parts, &lot.origin, is_open, |ui| rest(model, asks, ui));
        let kinds: Vec<Knowledge> = (Knowledge::ALL.into_iter())
            .filter(|&kind| is_shown(kind, known))
            .collect();
        knowledge_badge::legend(&kinds, ui);
    });
    view.folds.coffee = !is_open;
}

/// Whether some number of the lot is known like this.
fn is_shown(kind: Knowledge, numbers: &Numbers<LotNumber>) -> bool {
    let mut known = (LotNumber::ALL.iter()).filter_map(|&number| numbers.known(number));
    known.any(|given| given.knowledge == kind)
}

/// Where it comes from, and what is rarely known of it.
fn rest(model: &Model<'_>, asks: &mut Vec<Ask>, ui: &mut Ui) {
    for field in [LotText::Origin, LotText::Process, LotText::Harvest] {
        asks.extend(words(model, field, ui).map(Ask::Apply));
    }
    known_number::rows(model, REST.map(NumberName::Lot), asks, ui);
    let notes = field_row(ui, LotText::Notes.label(), |ui| {
        notes::field(ui, "Notes on the coffee", &model.plan.lot.notes)
    });
    asks.extend(notes.map(|text| Ask::Apply(Edit::LotText(LotText::Notes, text))));
}

fn words(model: &Model<'_>, field: LotText, ui: &mut Ui) -> Option<Edit> {
    let (name, hint) = match field {
        LotText::Name => ("Name of the coffee", "What you call this lot."),
        LotText::Origin => (
            "Origin of the coffee",
            "Country, region, producer: as you were told.",
        ),
        LotText::Process => (
            "Process of the coffee",
            "How the cherry became green coffee: washed, natural, honey, …",
        ),
        LotText::Harvest => (
            "Harvest of the coffee",
            "When it was picked: a year, a month, a season.",
        ),
        LotText::Notes => ("Notes on the coffee", "Anything else."),
    };
    let row = WordsRow {
        label: field.label(),
        name,
        text: model.plan.lot.text(field),
        hint,
    };
    row.show(model.plan, ui, &|text| Edit::LotText(field, text))
}

fn wished_development(model: &Model<'_>, ui: &mut Ui) -> Option<Edit> {
    let range = model.plan.lot.wished_development;
    let explanation = Explanation {
        what: "Development that you wish for this lot, as a share of the whole roast. A finding says when the curve is outside it.",
        how: "0 to 100 %, the smaller first.",
        source: "",
    };
    let percent_field =
        |ui: &mut Ui, name, ratio: f64, unit, range_of: &dyn Fn(f64) -> (f64, f64)| {
            let percent = units::round_to_billionth(ratio * PERCENT);
            TypedField::new(name, name, &units::format_number_exact(percent))
                .width_px(42.0)
                .unit(unit)
                .explained(explanation)
                .show(ui, &|typed| {
                    let percent =
                        entry::parse_percent(typed, percent).map_err(|error| error.to_string())?;
                    let (least, most) = range_of(percent / PERCENT);
                    let range = RatioRange::new(least, most).map_err(|error| error.to_string())?;
                    accepted(model.plan, Edit::WishedDevelopment(range))
                })
        };
    field_row(ui, "Development", |ui| {
        let (least, most) = (range.least(), range.most());
        let from = percent_field(ui, "Least wished development", least, "", &|typed| {
            (typed, most)
        });
        range_word(ui);
        let to = percent_field(ui, "Greatest wished development", most, "%", &|typed| {
            (least, typed)
        });
        from.or(to)
    })
}

/// The word between the two ends of a range, level with their fields.
fn range_word(ui: &mut Ui) {
    let (rect, _) = ui.allocate_exact_size(vec2(12.0, space::CONTROL_HEIGHT), Sense::hover());
    let ink = Palette::of(ui).text3;
    ui.painter().text(
        rect.center(),
        Align2::CENTER_CENTER,
        "to",
        Step::Small.font(),
        ink,
    );
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, clippy::missing_assert_message, reason = "tests")]
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_number_of_the_lot_has_one_row() {
        let rows: BTreeSet<LotNumber> = FIRST.into_iter().chain(REST).collect();
        assert_eq!(rows.len(), FIRST.len() + REST.len());
        assert_eq!(rows, LotNumber::ALL.iter().copied().collect());
    }
}
