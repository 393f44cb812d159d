//! The machine sheet: ceiling, heater, fan, chamber, probe; the rest and the controller in a part that folds.

use chaffinch_craft::{
    Edit, MachineNumber as Number, NumberName, Outlook, entry, limits,
    units::{self, format_temp_with_unit},
};
use chaffinch_twin::{EMPTY_TARGET_C, FeedForward};
use eframe::egui::{Label, Ui};

use super::{
    ValueRow,
    assumed::Assumed,
    field_row::{WordsRow, accepted, labelled_row},
    known_number,
};
use crate::desk::{
    ask::Ask,
    model::Model,
    theme::{Palette, Step, space},
    view_state::ViewState,
    widgets::{
        card::{CardWords, folding_card_saying, folding_part},
        segmented::segmented_with_tips,
        tooltip::{Explanation, explained},
        typed_field::TypedField,
    },
};

/// What a rating plate, a manual and a tape measure tell.
const FIRST: [Number; 8] = [
    Number::HeaterPower,
    Number::RatedVoltage,
    Number::FanFlow,
    Number::ChamberArea,
    Number::LeastDose,
    Number::GreatestDose,
    Number::Preheat,
    Number::ProbeLag,
];

/// The rest, under a heading each.
const REST: [(&str, &[Number]); 4] = [
    (
        "Heater and air",
        &[
            Number::HeaterEfficiency,
            Number::HeaterLag,
            Number::InletCeiling,
            Number::FanExponent,
            Number::Contact,
        ],
    ),
    (
        "Chamber",
        &[Number::WallHeat, Number::WallGain, Number::WallLoss],
    ),
    (
        "Probe",
        &[
            Number::ProbeOffset,
            Number::ProbeSurfaceShare,
            Number::ProbeDepth,
            Number::ProbeBareLag,
        ],
    ),
    (
        "Controller",
        &[
            Number::ProportionalGain,
            Number::IntegralTime,
            Number::DerivativeTime,
            Number::DerivativeFilter,
        ],
    ),
];

/// Width of the label before the choice of feed-forward, in points.
const CHOICE_LABEL_PX: f32 = 92.0;

pub(super) fn ui(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let machine = &model.plan.machine;
    let ceiling = format_temp_with_unit(machine.ceiling_c, model.unit);
    let summary = match machine.name.as_str() {
        "" => format!("Ceiling {ceiling}"),
        name => format!("{name}, ceiling {ceiling}"),
    };
    let assumed = Assumed::of(&machine.numbers);
    let assumed_words = assumed.words();
    let words = CardWords {
        aside: &assumed_words,
        folded_aside: &assumed_words,
        summary: &summary,
    };
    let mut is_open = !view.folds.machine;
    folding_card_saying(ui, "Machine", words, &mut is_open, |ui| {
        if assumed.is_all() {
            let words = "Every number here is assumed: the forecast is for an invented machine until you enter yours.";
            small(words, ui);
        }
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
        known_number::rows(model, FIRST.map(NumberName::Machine), asks, ui);
        empty_run(model, ui);
        let is_open = &mut view.folds.machine_rest_open;
        folding_part(ui, ["More", "More of the machine"], "", is_open, |ui| {
            rest(model, asks, ui);
        });
    });
    view.folds.machine = !is_open;
}

fn small(words: &str, ui: &mut Ui) {
    let ink = Palette::of(ui).text2;
    ui.add(Label::new(Step::Small.text(words).color(ink)).wrap());
}

fn rest(model: &Model<'_>, asks: &mut Vec<Ask>, ui: &mut Ui) {
    for (heading, numbers) in REST {
        let ink = Palette::of(ui).text2;
        ui.label(Step::Strong.text(heading).color(ink));
        let numbers = numbers.iter().copied().map(NumberName::Machine);
        known_number::rows(model, numbers, asks, ui);
    }
    asks.extend(feed_forward(model, ui).map(Ask::Apply));
}

fn ceiling_row(model: &Model<'_>, ui: &mut Ui) -> Option<Edit> {
    let ceiling_c = model.plan.machine.ceiling_c;
    let (least_c, most_c) = limits::CEILING_RANGE_C;
    let how = format!(
        "{} to {}; it can't be switched off. The machine's manual decides.",
        format_temp_with_unit(least_c, model.unit),
        format_temp_with_unit(most_c, model.unit)
    );
    let [label_px, field_px] = known_number::widths_px(ui, "Ceiling", model.unit.symbol());
    let edit = labelled_row(ui, ("Ceiling", label_px), |ui| {
        TypedField::new("ceiling", "Ceiling of the machine", &units::format_temp_field(ceiling_c, model.unit))
            .width_px(field_px)
            .unit(model.unit.symbol())
            .explained(Explanation {
                what: "The hottest that curve, probe and beans may get on this machine. A finding stops every plan that goes above it.",
                how: &how,
                source: "Dry plant matter is commonly said to take fire in hot air from about 260 °C on (from memory, no published source).",
            })
            .show(ui, &|typed| {
                let ceiling_c =
                    entry::parse_temp(typed, ceiling_c, model.unit).map_err(|error| error.to_string())?;
                accepted(model.plan, Edit::MachineCeiling(ceiling_c))
            })
    });
    let before_c = model.carried.map(|carried| carried.from.machine.ceiling_c);
    if let Some(before_c) = before_c.filter(|before_c| before_c.total_cmp(&ceiling_c).is_ne()) {
        known_number::was_line(&format_temp_with_unit(before_c, model.unit), ui);
    }
    edit
}

/// How soon the empty machine should be hot: a check of the heater that needs no tools.
fn empty_run(model: &Model<'_>, ui: &mut Ui) {
    ui.add_space(space::TIGHT);
    let target = format_temp_with_unit(EMPTY_TARGET_C, model.unit);
    let outlook = match &model.carried {
        Some(carried) => carried.outlook,
        None => Some(model.outlook),
    };
    let is_known = |outlook: &&Outlook| outlook.sheets.lot.check().is_ok();
    let value = match outlook.filter(is_known).map(|outlook| outlook.empty_run_s) {
        Some(Some(time_s)) => format!("{} s", units::format_number(time_s, 0)),
        Some(None) => "not in 5 min".to_owned(),
        None => "unknown".to_owned(),
    };
    let row = ValueRow {
        label: &format!("Empty run to {target}"),
        value: &value,
        is_changing: false,
    };
    let what = format!(
        "A check of the heater: run the empty machine from cold at full heat and full fan, and time how long the probe takes to show {target}."
    );
    let explanation = Explanation {
        what: &what,
        how: "Much longer than this: a weak heater, low mains, or a wrong number on the sheets. Much shorter: less air than the sheet says.",
        source: "Reckoned from machine and room by the same model as the forecast.",
    };
    explained(row.show(ui), &explanation);
    small(
        "Cold, empty, full heat and fan. Never leave it unattended.",
        ui,
    );
}

fn feed_forward(model: &Model<'_>, ui: &mut Ui) -> Option<Edit> {
    const CHOICES: [FeedForward; 2] = [FeedForward::None, FeedForward::AirToSetpoint];
    let labels = CHOICES.map(|choice| match choice {
        FeedForward::None => ("Off", "Heater effort comes from the error alone"),
        FeedForward::AirToSetpoint => (
            "On",
            "The controller adds beforehand the effort that heats the air of the moment from the room to the curve",
        ),
    });
    let current = model.plan.machine.feed_forward;
    let chosen = CHOICES.iter().position(|&choice| choice == current);
    labelled_row(ui, ("Feed-forward", CHOICE_LABEL_PX), |ui| {
        segmented_with_tips(ui, "Feed-forward", &labels, chosen)
            .and_then(|picked| CHOICES.get(picked))
            .map(|&picked| Edit::FeedForward(picked))
    })
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, clippy::missing_assert_message, reason = "tests")]
    use super::*;
    use chaffinch_craft::SheetNumber;
    use std::collections::BTreeSet;

    #[test]
    fn every_number_of_the_machine_has_one_row() {
        let rest = REST.iter().flat_map(|(_, numbers)| numbers.iter().copied());
        let rows: Vec<Number> = FIRST.into_iter().chain(rest).collect();
        let distinct: BTreeSet<Number> = rows.iter().copied().collect();
        assert_eq!(rows.len(), distinct.len());
        assert_eq!(distinct, Number::ALL.iter().copied().collect());
    }
}
