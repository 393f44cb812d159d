//! The coffee sheet: what is known of the green lot, and how well.

use chaffinch_craft::{Edit, LotNumber, LotText, RatioRange, entry, units};
use eframe::egui::{Align2, Sense, Ui, vec2};

use super::{
    field_row::{WordsRow, accepted, field_row},
    known_number, notes,
};
use crate::desk::{
    ask::Ask,
    model::Model,
    theme::{Palette, Step, space},
    view_state::ViewState,
    widgets::{card::folding_card, tooltip::Explanation, typed_field::TypedField},
};

const PERCENT: f64 = 100.0;

pub(super) fn ui(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let lot = &model.plan.lot;
    let mut is_open = !view.folds.coffee;
    folding_card(
        ui,
        "Coffee",
        [&lot.process, &lot.headline()],
        &mut is_open,
        |ui| {
            let edits = [
                words(model, LotText::Name, ui),
                words(model, LotText::Origin, ui),
                known_number::ui(model.plan, LotNumber::Altitude, ui),
                words(model, LotText::Process, ui),
                known_number::ui(model.plan, LotNumber::Density, ui),
                known_number::ui(model.plan, LotNumber::Moisture, ui),
                known_number::ui(model.plan, LotNumber::ScreenSize, ui),
                words(model, LotText::Harvest, ui),
                wished_development(model, ui),
                field_row(ui, LotText::Notes.label(), |ui| {
                    notes::field(ui, "Notes on the coffee", &lot.notes)
                })
                .map(|text| Edit::LotText(LotText::Notes, text)),
            ];
            asks.extend(edits.into_iter().flatten().map(Ask::Apply));
            known_number::legend(lot, ui);
        },
    );
    view.folds.coffee = !is_open;
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
