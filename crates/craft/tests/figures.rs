//! Derived figures, findings, repairs and comparisons against hand calculation.
#![allow(
    missing_docs,
    unused_crate_dependencies,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::missing_assert_message,
    reason = "a test may stop at the first surprise"
)]

mod arbitrary;

use chaffinch_craft::{
    Alignment, Comparison, Derived, Edit, Finding, FindingKind, FinishEdit, FinishId, MarkName,
    Measure, Plan, Severity, suggest_repair, summary_text, units::TempUnit,
};
use chaffinch_curve::{ControlPoint, PointEdit, PointId, Reach, Segment, SetpointCurve, Shape};
use proptest::prelude::*;

/// A plan through these points (s, °C), straight between them unless a shape is given.
fn plan(knots: &[(f64, f64)], shape: Option<Shape>) -> Plan {
    let points = knots.iter().zip(1..).map(|(&(time_s, temp_c), id)| {
        let mut point = ControlPoint::new(PointId(id), time_s, temp_c);
        if shape.is_none() {
            point.segment = Segment::Straight;
        }
        point
    });
    let mut parts = Plan::fresh().into_parts();
    parts.curve = SetpointCurve::new(shape.unwrap_or_default(), points.collect()).unwrap();
    Plan::new(parts).unwrap()
}

fn findings(plan: &Plan) -> Vec<Finding> {
    Derived::of(plan).findings
}

fn headings(plan: &Plan) -> Vec<&'static str> {
    findings(plan).iter().map(Finding::heading).collect()
}

/// Straight lines: 100 °C to 160 °C in 120 s, to 198 °C in 190 s (12 °C/min), to 222 °C in 160 s (9 °C/min).
const ROAST: [(f64, f64); 4] = [(0.0, 100.0), (120.0, 160.0), (310.0, 198.0), (470.0, 222.0)];

#[test]
fn straight_roast_has_the_phases_of_a_hand_calculation() {
    // Finish “medium”, 212 °C: (212 − 198) / (24/160) = 93⅓ s after first crack.
    let derived = Derived::of(&plan(&ROAST, None));
    let phases = derived.phases;
    let close =
        |found: f64, expected: f64| assert!((found - expected).abs() < 1e-9, "{found} {expected}");
    close(phases.colour_change.reached().unwrap().time_s, 120.0);
    close(phases.first_crack.reached().unwrap().time_s, 310.0);
    close(phases.drop.reached().unwrap().time_s, 310.0 + 280.0 / 3.0);
    close(*phases.development_s.reached().unwrap(), 280.0 / 3.0);
    close(
        *phases.development_ratio.reached().unwrap(),
        (280.0 / 3.0) / (310.0 + 280.0 / 3.0),
    );
    close(phases.browning.reached().unwrap().mean_rise_c_per_s, 0.2);
    close(
        phases.development.reached().unwrap().peak_rise_c_per_s,
        0.15,
    );
}

#[test]
fn every_finish_has_its_own_development() {
    let derived = Derived::of(&plan(&ROAST, None));
    let times: Vec<Option<f64>> = derived
        .finishes
        .iter()
        .map(|finish| finish.development_s.reached().copied())
        .collect();
    // light 206: 8/0.15; medium 212: 14/0.15; full 218: 20/0.15; dark 224 lies above the curve.
    for (found, expected) in times[..3].iter().zip([8.0, 14.0, 20.0]) {
        assert!((found.unwrap() - expected / 0.15).abs() < 1e-9);
    }
    assert_eq!(derived.finishes[3].drop, Reach::NotReached);
    assert_eq!(derived.finishes[3].development_ratio, Reach::NotReached);
}

#[test]
fn samples_are_one_a_second_with_both_ends() {
    let derived = Derived::of(&plan(&[(0.0, 100.0), (90.5, 160.0)], None));
    assert_eq!(derived.samples.time_s.len(), 92);
    assert_eq!(derived.samples.time_s[90], 90.0);
    assert_eq!(derived.samples.time_s[91], 90.5);
}

#[test]
fn a_finish_out_of_reach_is_a_stop_with_a_place_and_a_repair() {
    let plan = plan(&ROAST, None)
        .edited(&Edit::Finish(FinishEdit::Choose(FinishId(4))))
        .unwrap();
    let found = findings(&plan);
    assert_eq!(found[0].severity(), Severity::Stop);
    assert_eq!(found[0].from_s, 470.0);
    assert_eq!(
        found[0].sentence(TempUnit::Celsius),
        "The curve ends at 222 °C and never reaches “dark” at 224 °C."
    );
    let repair = suggest_repair(&plan, &found[0], TempUnit::Celsius).unwrap();
    let mended = plan.edited(&repair.edit).unwrap();
    assert!(
        Derived::of(&mended).phases.drop.is_reached(),
        "{}",
        repair.label
    );
}

#[test]
fn a_mark_above_the_finish_is_found_and_a_hotter_finish_mends_it() {
    let mark = Edit::SetMark {
        mark: MarkName::FirstCrack,
        temp_c: 214.0,
    };
    let plan = plan(&ROAST, None).edited(&mark).unwrap();
    let found = findings(&plan);
    let index = found
        .iter()
        .position(|f| matches!(f.kind, FindingKind::MarkAboveFinish { .. }))
        .unwrap();
    assert_eq!(Derived::of(&plan).phases.development_s, Reach::NotReached);
    let repair = suggest_repair(&plan, &found[index], TempUnit::Celsius).unwrap();
    assert_eq!(repair.label, "Drop at “full”, 218 °C");
}

#[test]
fn a_drop_above_the_ceiling_is_a_stop() {
    let plan = plan(&ROAST, None)
        .edited(&Edit::MachineCeiling(210.0))
        .unwrap();
    let found = findings(&plan);
    assert_eq!(found[0].heading(), "Drop above the ceiling");
    let repair = suggest_repair(&plan, &found[0], TempUnit::Fahrenheit).unwrap();
    assert_eq!(repair.label, "Drop at “light”, 402.8 °F");
}

#[test]
fn shape_findings_appear_where_they_were_planted() {
    // The rise climbs from 6 to 12 °C/min at 310 s.
    let turn = plan(
        &[(0.0, 100.0), (120.0, 170.0), (310.0, 189.0), (470.0, 221.0)],
        None,
    );
    assert!(
        headings(&turn).contains(&"Rise turns up again"),
        "{:?}",
        headings(&turn)
    );
    let falls = plan(
        &[
            (0.0, 100.0),
            (120.0, 170.0),
            (310.0, 208.0),
            (340.0, 205.0),
            (470.0, 221.0),
        ],
        None,
    );
    let found = findings(&falls);
    let cooling = found
        .iter()
        .find(|f| matches!(f.kind, FindingKind::Cools { .. }))
        .unwrap();
    assert!(
        (cooling.from_s - 310.0).abs() < 1e-6 && (cooling.to_s - 340.0).abs() < 1e-6,
        "{cooling:?}"
    );
    let FindingKind::Cools { by_c } = cooling.kind else {
        unreachable!()
    };
    assert!((by_c - 3.0).abs() < 1e-9);
    // 0.5 °C in 60 s is less than 1 °C/min.
    let flat = plan(
        &[
            (0.0, 100.0),
            (120.0, 170.0),
            (310.0, 200.0),
            (370.0, 200.5),
            (470.0, 221.0),
        ],
        None,
    );
    assert!(
        headings(&flat).contains(&"Curve stands nearly still"),
        "{:?}",
        headings(&flat)
    );
    // 12 °C/min to 3 °C/min at a corner.
    let steep = plan(
        &[(0.0, 100.0), (120.0, 170.0), (310.0, 208.0), (470.0, 216.0)],
        None,
    );
    assert!(
        headings(&steep).contains(&"Rise falls off steeply"),
        "{:?}",
        headings(&steep)
    );
}

#[test]
fn what_lies_behind_the_drop_is_not_judged() {
    let mut knots = vec![(0.0, 100.0), (120.0, 160.0), (310.0, 198.0), (430.0, 216.0)];
    let calm = headings(&plan(&knots, None));
    knots.extend([(440.0, 214.0), (450.0, 240.0)]);
    assert_eq!(headings(&plan(&knots, None)), calm);
}

#[test]
fn a_smooth_curve_that_overshoots_says_so_and_monotone_mends_it() {
    let knots = [
        (0.0, 100.0),
        (200.0, 195.0),
        (230.0, 214.0),
        (420.0, 214.5),
        (500.0, 221.0),
    ];
    let plan = plan(&knots, Some(Shape::Smooth));
    let found = findings(&plan);
    let overshoot = found
        .iter()
        .find(|f| matches!(f.kind, FindingKind::Overshoot { .. }))
        .unwrap();
    if let Some(repair) = suggest_repair(&plan, overshoot, TempUnit::Celsius) {
        let mended = plan.edited(&repair.edit).unwrap();
        assert!(!headings(&mended).contains(&"Curve overshoots its points"));
    }
    let monotone = plan
        .edited(&Edit::Points(PointEdit::SetShape(Shape::Monotone)))
        .unwrap();
    assert!(!headings(&monotone).contains(&"Curve overshoots its points"));
}

#[test]
fn a_long_development_is_shortened_to_the_wished_share() {
    let plan = plan(
        &[(0.0, 100.0), (100.0, 160.0), (200.0, 198.0), (400.0, 222.0)],
        None,
    );
    let found = findings(&plan);
    let long = found
        .iter()
        .find(|f| f.heading() == "Long development")
        .unwrap();
    let repair = suggest_repair(&plan, long, TempUnit::Celsius).unwrap();
    let mended = plan.edited(&repair.edit).unwrap();
    let ratio = *Derived::of(&mended)
        .phases
        .development_ratio
        .reached()
        .unwrap();
    assert!(ratio <= plan.lot.wished_development.most(), "{ratio}");
}

#[test]
fn worst_findings_come_first() {
    let plan = plan(
        &[(0.0, 100.0), (100.0, 160.0), (200.0, 150.0), (300.0, 170.0)],
        None,
    );
    let found = findings(&plan);
    assert!(
        found.is_sorted_by(|a, b| a.severity() >= b.severity()),
        "{found:?}"
    );
    assert_eq!(found[0].heading(), "Finish not reached");
}

#[test]
fn a_known_shift_in_temperature_is_the_difference() {
    let here = plan(&ROAST, None);
    let lifted: Vec<_> = ROAST
        .iter()
        .map(|&(time_s, temp_c)| (time_s, temp_c + 2.5))
        .collect();
    let there = plan(&lifted, None);
    let figures = Comparison::of(&here, &there, Alignment::Charge, 2.0)
        .figures
        .unwrap();
    assert!((figures.mean_c - 2.5).abs() < 1e-9 && (figures.rms_c - 2.5).abs() < 1e-9);
    assert!(
        (figures.largest_c - 2.5).abs() < 1e-9,
        "other minus this plan"
    );
    // The other one drops sooner: at 310 + 11.5/0.15 = 386.67 s, so 387 whole seconds are compared.
    assert_eq!(figures.outside_s, 387.0);
}

#[test]
fn aligning_by_a_mark_takes_a_shift_in_time_out() {
    let here = plan(&ROAST, None);
    let later = plan(
        &[(0.0, 85.0), (150.0, 160.0), (340.0, 198.0), (500.0, 222.0)],
        None,
    );
    let comparison = Comparison::of(&here, &later, Alignment::Mark(MarkName::ColourChange), 2.0);
    assert_eq!(
        comparison.shift_s,
        Some(-30.0),
        "the other one reaches the mark 30 s later"
    );
    let after_mark = comparison
        .time_s
        .iter()
        .zip(&comparison.temp_difference_c)
        .filter(|(time_s, _)| **time_s >= 120.0);
    for (time_s, difference_c) in after_mark {
        assert!(difference_c.abs() < 1e-9, "{time_s} {difference_c}");
    }
}

#[test]
fn plans_without_a_common_moment_have_no_figures() {
    let here = plan(&[(0.0, 100.0), (20.0, 160.0), (500.0, 222.0)], None);
    let never = plan(&[(0.0, 100.0), (500.0, 150.0)], None);
    let comparison = Comparison::of(&here, &never, Alignment::Drop, 2.0);
    assert_eq!(comparison.shift_s, None);
}

#[test]
fn measuring_gives_time_temperature_and_mean_rise() {
    let plan = plan(&ROAST, None);
    let measure = Measure::between(&plan, 120.0, 310.0);
    assert_eq!((measure.time_s, measure.temp_c), (190.0, 38.0));
    assert_eq!(measure.mean_rise_c_per_s, Some(0.2));
    assert_eq!(Measure::between(&plan, 60.0, 60.0).mean_rise_c_per_s, None);
}

#[test]
fn fahrenheit_summary_adds_32_to_temperatures_and_not_to_rates() {
    let plan = plan(&ROAST, None);
    let text = summary_text(&plan, &Derived::of(&plan), TempUnit::Fahrenheit);
    // 212 °C = 413.6 °F; 9 °C/min = 16.2 °F/min (exact definitions of the scales).
    assert!(
        text.contains("413.6 °F") && text.contains("16.2 °F/min"),
        "{text}"
    );
    assert!(!text.contains("°C"), "{text}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(250))]

    #[test]
    fn derived_is_total_finite_and_repeatable(
        plan in arbitrary::plan(),
        edits in prop::collection::vec(arbitrary::edit(), 0..12),
    ) {
        let plan = edits.iter().fold(plan, |plan, edit| plan.edited(edit).unwrap_or(plan));
        let derived = Derived::of(&plan);
        prop_assert_eq!(&derived, &Derived::of(&plan));
        let text = format!("{derived:?}{}", summary_text(&plan, &derived, TempUnit::Celsius));
        prop_assert!(!text.contains("NaN") && !text.contains("inf,"), "{}", text);
        for finding in &derived.findings {
            prop_assert!(0.0 <= finding.from_s && finding.from_s <= finding.to_s);
            prop_assert!(finding.to_s <= plan.curve.end_s(), "{:?} {}", finding, plan.curve.end_s());
            if let Some(repair) = suggest_repair(&plan, finding, TempUnit::Celsius) {
                prop_assert!(plan.edited(&repair.edit).is_ok(), "{}", repair.label);
            }
        }
    }
}
