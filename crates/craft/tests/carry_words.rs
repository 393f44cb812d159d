//! A carry-over in words: the report, the caution about mains that don't fit, and the rules of thumb beside the model.
#![allow(
    missing_docs,
    unused_crate_dependencies,
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test may stop at the first surprise"
)]

mod carry_plans;

use carry_plans::{carried, high, lot, low, measured, plan, to_lot};
use chaffinch_craft::{
    LotNumber, MachineNumber, Plan, RoomNumber,
    carry::{
        CarryRequest, Keep, PracticeRules, RULES_OF_THUMB, Target, Verdict, carry_text, thumb_table,
    },
    units::TempUnit,
};
use std::sync::atomic::AtomicBool;

fn titled() -> Plan {
    let mut parts = plan(low()).into_parts();
    "Invented evening".clone_into(&mut parts.title);
    Plan::new(parts).unwrap()
}

#[test]
fn the_report_tells_layers_phases_effort_difference_marks_and_reasons() {
    let from = titled();
    let rules = PracticeRules::default();
    let mut request = to_lot(&from, high());
    request.practice = Some(&rules);
    insta::assert_snapshot!(carry_text(&from, &carried(&request), TempUnit::Celsius));
}

#[test]
fn the_report_in_fahrenheit_names_no_celsius_and_no_layer_that_is_off() {
    let from = titled();
    let mut request = to_lot(&from, lot(&[(LotNumber::Altitude, 1900.0)]));
    request.keep = Keep::SurfaceToCore;
    let text = carry_text(&from, &carried(&request), TempUnit::Fahrenheit);
    assert!(!text.contains("°C"), "{text}");
    assert!(text.contains("Practice      switched off"), "{text}");
    // What nobody measured leaves times open, where time is what moves.
    assert!(
        text.lines()
            .any(|line| line.contains("± ") && line.contains(" s ")),
        "{text}"
    );
}

#[test]
fn the_dose_of_the_plan_stays_where_the_other_coffee_names_none() {
    let from = plan(carry_plans::with(low(), LotNumber::Dose, 180.0));
    let target = Target::of(&from).with_lot(high());
    let dose = |target: &Target| target.lot.numbers.entered(LotNumber::Dose);
    assert_eq!(dose(&target), Some(measured(180.0)), "kept");
    let other = carry_plans::with(high(), LotNumber::Dose, 150.0);
    assert_eq!(
        dose(&target.with_lot(other)),
        Some(measured(150.0)),
        "its own"
    );
}

#[test]
fn mains_that_the_rating_plate_does_not_name_are_cautioned_against() {
    let from = plan(low());
    let lines = |mains_v: f64| {
        let mut to = Target::of(&from);
        let numbers = &mut to.machine.numbers;
        numbers.set(MachineNumber::RatedVoltage, Some(measured(120.0)));
        to.room
            .numbers
            .set(RoomNumber::Mains, Some(measured(mains_v)));
        let mut request = CarryRequest::new(&from, to);
        request.physics = false;
        carried(&request).lines(TempUnit::Celsius)
    };
    assert!(
        lines(230.0)[0].contains("rated for 120 V and the room's mains is 230 V"),
        "{:?}",
        lines(230.0)
    );
    assert!(!lines(110.0)[0].contains("rated"), "{:?}", lines(110.0));
}

#[test]
fn a_kept_curve_that_the_machine_can_not_follow_is_not_delivered() {
    let from = plan(low());
    let mut to = Target::of(&from);
    to.room
        .numbers
        .set(RoomNumber::Mains, Some(measured(180.0)));
    let mut request = CarryRequest::new(&from, to);
    request.keep = Keep::PhaseClock;
    let found = carried(&request);
    assert!(!found.is_delivered(), "heater at its ceiling");
    let text = found.lines(TempUnit::Celsius).join("\n");
    assert!(text.contains("can't deliver the new plan"), "{text}");
    let same = carried(&CarryRequest::new(&from, Target::of(&from)));
    assert!(same.is_delivered(), "nothing changed");
}

#[test]
fn a_drop_above_the_new_machine_s_ceiling_is_not_delivered() {
    let from = plan(low());
    let drop_c = from.finishes.chosen().temp_c;
    let mut to = Target::of(&from);
    to.machine.ceiling_c = drop_c - 2.0;
    for physics in [true, false] {
        let mut request = CarryRequest::new(&from, to.clone());
        request.physics = physics;
        let found = carried(&request);
        assert!(!found.is_delivered(), "physics {physics}");
        let text = found.lines(TempUnit::Celsius).join("\n");
        assert!(text.contains("drop above the ceiling"), "{text}");
    }
}

/// Signs that follow from heat alone: more mass, more water, more room for heat to cross. The others are told as they come.
#[test]
fn rules_of_thumb_that_are_heat_alone_agree() {
    let from = plan(low());
    let table = thumb_table(&from, &AtomicBool::new(false)).unwrap();
    assert_eq!(table.len(), RULES_OF_THUMB.len(), "one answer a rule");
    for answer in &table {
        let rule = answer.rule;
        assert_eq!(
            rule.source, "common practice, no published source",
            "{}",
            rule.says
        );
        assert!(
            answer.verdict().is_some(),
            "{}: {}",
            rule.says,
            answer.text(TempUnit::Celsius)
        );
    }
    for says in [
        "Dense beans take more heat early",
        "Small beans take less heat early",
        "Large beans want a longer roast to be even",
        "Wet beans lose more weight",
        "A larger dose takes more energy",
    ] {
        let answer = table.iter().find(|answer| answer.rule.says == says);
        let answer = answer.unwrap();
        assert_eq!(
            answer.verdict(),
            Some(Verdict::Agrees),
            "{says}: {}",
            answer.text(TempUnit::Celsius)
        );
    }
    assert!(
        thumb_table(&from, &AtomicBool::new(true)).is_err(),
        "cancelled"
    );
}
