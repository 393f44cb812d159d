//! How the forecast names what it can't take, and what it takes where nobody entered anything.
#![allow(
    missing_docs,
    unused_crate_dependencies,
    clippy::unwrap_used,
    clippy::missing_assert_message,
    reason = "a test may stop at the first surprise"
)]

use chaffinch_craft::{
    ColourCalibration, Derived, Edit, Finding, FinishEdit, Given, Knowledge, LotNumber,
    MachineNumber, NumberName, Outlook, Plan, RoomNumber, Severity, forecast_text, units::TempUnit,
};
use chaffinch_curve::{CurvePoint, PointEdit, Shape};

fn number(name: NumberName, value: f64) -> Edit {
    let knowledge = Knowledge::Measured;
    Edit::Number(name, Some(Given { value, knowledge }))
}

fn with(edit: &Edit) -> Plan {
    Plan::fresh().edited(edit).unwrap()
}

/// The fresh plan, ending at a drop of `finish_c`.
fn to(finish_c: f64) -> Plan {
    let plan = Plan::fresh();
    let last = plan.curve.points().last().unwrap();
    let at = CurvePoint {
        time_s: last.time_s,
        temp_c: finish_c + 1.0,
    };
    let id = plan.finishes.finishes().last().unwrap().id;
    let edits = vec![
        Edit::Points(PointEdit::Move {
            id: last.id,
            to: at,
        }),
        Edit::Finish(FinishEdit::Move {
            id,
            temp_c: finish_c,
        }),
        Edit::Finish(FinishEdit::Choose(id)),
    ];
    plan.edited(&Edit::Together("", edits)).unwrap()
}

fn sentences(plan: &Plan) -> Vec<String> {
    let findings = Outlook::of(plan).findings;
    let sentence = |finding: &Finding| finding.sentence(TempUnit::Celsius);
    findings.iter().map(sentence).collect()
}

#[test]
fn a_lot_outside_the_model_is_told_in_the_units_of_the_sheet() {
    for (name, value, expected) in [
        (
            LotNumber::Density,
            400.0,
            "Density is 400 g/L; expected 522 g/L to 841 g/L.",
        ),
        (
            LotNumber::Moisture,
            25.0,
            "Moisture is 25 %; expected 3 % to 20 %.",
        ),
        (
            LotNumber::ScreenSize,
            6.0,
            "Bean diameter is 2.286 mm; expected 4 mm to 9 mm.",
        ),
    ] {
        let plan = with(&number(NumberName::Lot(name), value));
        assert_eq!(sentences(&plan), [expected]);
    }
}

#[test]
fn a_number_without_a_unit_is_refused_without_a_gap() {
    let edit = number(NumberName::Machine(MachineNumber::FanExponent), 5.0);
    let text = Plan::fresh().edited(&edit).unwrap_err().to_string();
    assert!(
        text.contains("fan curve of the machine is 5; expected 0.3 to 3"),
        "{text}"
    );
}

#[test]
fn beans_hotter_than_the_model_knows_are_a_caution() {
    let findings = Outlook::of(&to(246.0)).findings;
    let found: Vec<_> = findings
        .iter()
        .map(|finding| (finding.severity(), finding.heading()))
        .collect();
    assert_eq!(found, [(Severity::Caution, "No forecast")]);
}

#[test]
fn mains_that_nobody_entered_are_those_of_the_rating_plate() {
    let mains = NumberName::Room(RoomNumber::Mains);
    let plan = with(&number(
        NumberName::Machine(MachineNumber::RatedVoltage),
        120.0,
    ));
    let known = mains.known(&plan).unwrap();
    assert_eq!((known.value, known.knowledge), (120.0, Knowledge::Assumed));
    assert_eq!(Outlook::of(&plan).sheets.room.mains_v, 120.0);
    let plan = plan.edited(&number(mains, 113.0)).unwrap();
    assert_eq!(Outlook::of(&plan).sheets.room.mains_v, 113.0);
}

#[test]
fn reach_is_told_no_further_than_the_drawn_drop() {
    let plan = Plan::fresh();
    let end_s = plan.curve.end_s();
    let steep = CurvePoint {
        time_s: end_s + 10.0,
        temp_c: 300.0,
    };
    let late = FinishEdit::Move {
        id: plan.finish().id,
        temp_c: plan.curve.last().temp_c - 0.1,
    };
    let edits = vec![
        Edit::Finish(late),
        Edit::Points(PointEdit::SetShape(Shape::Monotone)),
        Edit::Points(PointEdit::InsertAt { at: steep }),
    ];
    let plan = with(&Edit::Together("", edits));
    let (derived, outlook) = (Derived::of(&plan), Outlook::of(&plan));
    let (foreseen, reach) = (outlook.foreseen().unwrap(), outlook.reach.as_ref().unwrap());
    let too_steep = |&second: &usize| {
        reach.fastest[second].rise_c_per_s < plan.curve.rise_c_per_s(second as f64)
    };
    let behind = foreseen.drawn_drop_s + 1..foreseen.trace.len();
    assert!(
        behind.clone().any(|second| too_steep(&second)),
        "{behind:?}"
    );
    let text = forecast_text(
        (&plan, &derived, &outlook),
        None,
        &ColourCalibration::default(),
        TempUnit::Celsius,
    );
    assert!(
        text.contains("to spare") && !text.contains("too much"),
        "{text}"
    );
}
