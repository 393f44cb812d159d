//! Random plans with random sheets: the forecast never fails, is finite, and its repairs mend.
#![allow(
    missing_docs,
    unused_crate_dependencies,
    clippy::unwrap_used,
    clippy::missing_assert_message,
    reason = "a test may stop at the first surprise"
)]

mod arbitrary;

use chaffinch_craft::{
    AirEdit, AirId, ColourCalibration, Derived, Edit, Given, Knowledge, NumberName, Outlook, Plan,
    RoomNumber, all_findings, describe_curve, forecast_text, suggest_repair, summary_text,
    units::TempUnit,
};
use proptest::prelude::*;

/// The plan on another mains, with another fan setting at charge.
fn with_mains_and_air(plan: &Plan, volts: f64, percent: f64) -> Plan {
    let given = Given {
        value: volts,
        knowledge: Knowledge::Measured,
    };
    let edits = vec![
        Edit::Number(NumberName::Room(RoomNumber::Mains), Some(given)),
        Edit::Air(AirEdit::Move {
            id: AirId(1),
            time_s: 0.0,
            percent,
        }),
    ];
    plan.edited(&Edit::Together("", edits)).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_plan_has_an_outlook_that_is_finite_and_can_be_told(
        plan in arbitrary::plan(),
        edits in prop::collection::vec(arbitrary::edit(), 0..12),
        numbers in prop::collection::vec(arbitrary::number(), 0..6),
    ) {
        let numbers = numbers.into_iter().map(|(name, given)| Edit::Number(name, given));
        let edits = edits.into_iter().chain(numbers);
        let plan = edits.fold(plan, |plan, edit| plan.edited(&edit).unwrap_or(plan));
        let (derived, outlook) = (Derived::of(&plan), Outlook::of(&plan));
        prop_assert_eq!(outlook.foreseen().is_none(), !outlook.limits().is_empty());
        if let Some(foreseen) = outlook.foreseen() {
            let lengths = [
                foreseen.setpoint_c.len(),
                foreseen.rise_c_per_s.len(),
                foreseen.effort_limit.len(),
                outlook.least_air_percent.len(),
                outlook.corridor.lowest_c.len(),
                outlook.corridor.highest_c.len(),
            ];
            prop_assert_eq!(lengths, [foreseen.trace.len(); 6]);
        }
        let all = all_findings(&derived, &outlook);
        prop_assert!(all.is_sorted_by(|a, b| a.severity() >= b.severity()), "{:?}", all);
        for finding in &all {
            prop_assert!(0.0 <= finding.from_s && finding.from_s <= finding.to_s, "{:?}", finding);
            prop_assert!(finding.to_s <= plan.curve.end_s(), "{:?} {}", finding, plan.curve.end_s());
        }
        let unit = TempUnit::Celsius;
        let text = forecast_text((&plan, &derived, &outlook), None, &ColourCalibration::default(), unit)
            + &summary_text(&plan, &derived, &outlook, unit)
            + &describe_curve(&plan, &derived, &outlook, unit);
        // “–” is what a number that isn't finite is written as.
        for odd in ["NaN", "inf ", "– °C"] {
            prop_assert!(!text.contains(odd), "{}: {}", odd, text);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn a_repair_leaves_fewer_findings_of_its_weight_or_brings_a_forecast(
        plan in arbitrary::plan(),
        volts in 150.0..250.0_f64,
        percent in 30.0..100.0_f64,
    ) {
        let plan = with_mains_and_air(&plan, volts, percent);
        let (derived, outlook) = (Derived::of(&plan), Outlook::of(&plan));
        for finding in all_findings(&derived, &outlook) {
            let Some(repair) = suggest_repair(&plan, &derived, &outlook, &finding, TempUnit::Celsius) else {
                continue;
            };
            let mended = plan.edited(&repair.edit).unwrap();
            let after = Outlook::of(&mended);
            let is_back = after.limits().len() < outlook.limits().len();
            let as_bad = |derived: &Derived, outlook: &Outlook| {
                let all = all_findings(derived, outlook);
                all.iter().filter(|other| other.severity() >= finding.severity()).count()
            };
            let is_less = as_bad(&Derived::of(&mended), &after) < as_bad(&derived, &outlook);
            prop_assert!(is_back || is_less, "{}: {:?}", repair.label, finding);
        }
    }
}
