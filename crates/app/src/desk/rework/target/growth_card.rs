//! What one does with a coffee of which only the altitude is known: grades as presets, what the altitude tells, and the altitude
//! that counts.

use chaffinch_craft::{
    Edit, Given, Knowledge, Lot, LotNumber, NumberName, Plan, PlanParts, SheetNumber,
    carry::{
        AltitudeGrade, EQUIVALENT_ALTITUDE_TEXT, Growth, Guess, REFERENCE_LATITUDE_DEG, Target,
    },
    units::{format_number, format_number_exact},
};
use eframe::egui::{Label, Ui};

use super::{carried::Carried, grade_menu::grade_menu};
use crate::desk::{
    sheets::ValueRow,
    theme::{Palette, Step, space},
    widgets::{
        buttons::{ButtonLook, wide_button},
        card::card,
        tooltip::{Explanation, explained},
    },
};

/// A guess that may be off by this or more is told without decimals.
const WHOLE_FROM: f64 = 10.0;

/// What an altitude may tell, in the order of the sheet.
const TOLD: [LotNumber; 3] = [
    LotNumber::Density,
    LotNumber::Moisture,
    LotNumber::ScreenSize,
];

/// Shows the card; gives the plan on the sheets carried to, if it became another one.
pub(in crate::desk::rework) fn growth_card(
    to: &Plan,
    carried: &Carried<'_>,
    ui: &mut Ui,
) -> Option<Plan> {
    card(ui, "Known by its altitude", "", |ui| {
        let forgotten = wide_button(ui, ButtonLook::Plain, "Another coffee: altitude only")
            .on_hover_text(
                "Another coffee of which only the altitude is known: forgets name, origin, process, harvest, notes and all \
                 numbers but the dose, so that altitude, latitude and process can be entered below",
            )
            .clicked()
            .then(|| another_coffee(to))
            .flatten();
        let head = wide_button(ui, ButtonLook::Plain, "Altitude grade…").on_hover_text(
            "Sets the altitude of growth from a producing country's grade; approximate",
        );
        let graded = grade_menu(&head)
            .and_then(AltitudeGrade::altitude_m)
            .and_then(|altitude_m| at_altitude(to, altitude_m));
        counts_as(carried, ui);
        estimates(to, carried, ui);
        forgotten.or(graded)
    })
    .inner
}

/// The same dose of a coffee of which nothing is known.
fn another_coffee(to: &Plan) -> Option<Plan> {
    let lot = Lot {
        wished_development: to.lot.wished_development,
        ..Lot::default()
    };
    let lot = Target::of(to).with_lot(lot).lot;
    Plan::new(PlanParts {
        lot,
        ..to.clone().into_parts()
    })
    .ok()
}

fn at_altitude(to: &Plan, altitude_m: f64) -> Option<Plan> {
    let given = Given {
        value: altitude_m,
        knowledge: Knowledge::Estimated,
    };
    let altitude = NumberName::Lot(LotNumber::Altitude);
    to.edited(&Edit::Number(altitude, Some(given))).ok()
}

/// The altitude that counts, once a latitude says that it may be another one. The row stands in any case: while altitude and
/// latitude are typed below, nothing may move under the hand.
fn counts_as(carried: &Carried<'_>, ui: &mut Ui) {
    let growth = Growth::of(&carried.to.lot).filter(|growth| growth.latitude_deg.is_some());
    ui.add_space(space::TIGHT);
    let row = ValueRow {
        label: &format!(
            "Counts as, at {}°",
            format_number_exact(REFERENCE_LATITUDE_DEG)
        ),
        value: &growth.map_or_else(
            || "needs latitude".to_owned(),
            |growth| format!("{} m", format_number(growth.equivalent_altitude_m(), 0)),
        ),
        is_changing: false,
    };
    let explanation = Explanation {
        what: "The altitude that is as warm there, on the mean of a year, as where this coffee grew. Practice and estimates go by it.",
        how: EQUIVALENT_ALTITUDE_TEXT,
        source: "",
    };
    explained(row.show(ui), &explanation);
}

/// What the altitude tells of numbers that nobody entered, each with how far it may be off. All rows stand in any case, as above.
fn estimates(to: &Plan, carried: &Carried<'_>, ui: &mut Ui) {
    let told = TOLD.map(|number| told(carried, number));
    ui.add_space(space::TIGHT);
    let palette = Palette::of(ui);
    let knows_altitude = Growth::of(&to.lot).is_some();
    let head = match (told.iter().any(Option::is_some), knows_altitude) {
        (true, _) => "Estimated from altitude",
        (false, true) => "Nothing left to estimate",
        (false, false) => "Enter the altitude below",
    };
    ui.label(Step::Strong.text(head).color(palette.text2));
    for (number, told) in TOLD.into_iter().zip(told) {
        if let Some(guess) = told {
            estimate(guess, ui);
            continue;
        }
        let is_entered = to.lot.numbers.entered(number).is_some();
        let row = ValueRow {
            label: number.facts().label,
            value: match (is_entered, knows_altitude) {
                (true, _) => "entered",
                (false, true) => "known otherwise",
                (false, false) => "–",
            },
            is_changing: false,
        };
        row.show(ui);
    }
    let words = "Common practice, no published source. What is measured wins.";
    ui.add(Label::new(Step::Small.text(words).color(palette.text3)).wrap());
}

/// What the altitude tells of a number that nobody entered.
fn told<'a>(carried: &'a Carried<'_>, number: LotNumber) -> Option<&'a Guess> {
    let name = NumberName::Lot(number);
    let guess = carried.guess(name)?;
    let is_told =
        guess.knowledge == Knowledge::Estimated && carried.told_by_altitude(name).is_some();
    is_told.then_some(guess)
}

fn estimate(guess: &Guess, ui: &mut Ui) {
    let facts = guess.number.facts();
    let decimals = usize::from(guess.spread < WHOLE_FROM);
    let symbol = facts.unit.kept_symbol();
    // "16.2 ± 1.5 1/64 in" would read as one number too many.
    let symbol = if symbol.starts_with(|first: char| first.is_ascii_digit()) {
        format!("({symbol})")
    } else {
        symbol.to_owned()
    };
    let row = ValueRow {
        label: facts.label,
        value: &format!(
            "{} ± {} {symbol}",
            format_number(guess.value, decimals),
            format_number(guess.spread, decimals),
        ),
        is_changing: false,
    };
    let how = format!("To do better, {}.", guess.measurement());
    let explanation = Explanation {
        what: "95 of 100 such coffees are taken to lie within this. What you measure and enter below wins over it.",
        how: &how,
        source: "Common practice, no published source.",
    };
    explained(row.show(ui), &explanation);
}

#[cfg(test)]
mod tests {
    #![allow(
        missing_docs,
        clippy::missing_assert_message,
        clippy::unwrap_used,
        reason = "tests"
    )]
    use super::*;

    #[test]
    fn another_coffee_keeps_the_dose_and_what_is_wished_alone() {
        let plan = Plan::fresh();
        let dose = NumberName::Lot(LotNumber::Dose);
        let given = Given {
            value: 180.0,
            knowledge: Knowledge::Measured,
        };
        let plan = plan.edited(&Edit::Number(dose, Some(given))).unwrap();
        let plan = at_altitude(&plan, 1300.0).unwrap();
        let other = another_coffee(&plan).unwrap();
        let entered: Vec<_> = other.lot.numbers.all_entered().collect();
        assert_eq!(entered, [(LotNumber::Dose, given)]);
        assert_eq!(other.lot.name, "");
        assert_eq!(other.lot.wished_development, plan.lot.wished_development);
        assert_eq!((&other.machine, &other.room), (&plan.machine, &plan.room));
    }
}
