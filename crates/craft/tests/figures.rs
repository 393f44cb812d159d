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
    Measure, Outlook, Plan, Repair, Severity, all_findings, limits, suggest_repair,
    suggest_repairs, summary_text, units::TempUnit,
};
use chaffinch_curve::{
    ControlPoint, CurvePoint, PointEdit, PointId, Reach, Segment, SetpointCurve, Shape,
};
use proptest::{prelude::*, strategy::ValueTree, test_runner::TestRunner};

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

fn repair(plan: &Plan, finding: &Finding, unit: TempUnit) -> Option<Repair> {
    suggest_repair(plan, &Derived::of(plan), &Outlook::of(plan), finding, unit)
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
        "The curve gets no hotter than 222 °C and never reaches “dark” at 224 °C."
    );
    let repair = repair(&plan, &found[0], TempUnit::Celsius).unwrap();
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
    let repair = repair(&plan, &found[index], TempUnit::Celsius).unwrap();
    assert_eq!(repair.label, "Drop at “full”, 218 °C");
}

#[test]
fn a_drop_above_the_ceiling_is_a_stop() {
    let plan = plan(&ROAST, None)
        .edited(&Edit::MachineCeiling(210.0))
        .unwrap();
    let found = findings(&plan);
    assert_eq!(found[0].heading(), "Drop above the ceiling");
    let repair = repair(&plan, &found[0], TempUnit::Fahrenheit).unwrap();
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

/// Straight lines; the rise is 30, 24, 12 and 9 °C/min, and colour change, 160 °C, is passed after 125 s.
const STEEP_OVER_COLOUR_CHANGE: [(f64, f64); 5] = [
    (0.0, 100.0),
    (100.0, 150.0),
    (130.0, 162.0),
    (330.0, 202.0),
    (470.0, 223.0),
];

fn steep_falls(plan: &Plan) -> Vec<Finding> {
    let mut found = findings(plan);
    found.retain(|found| matches!(found.kind, FindingKind::RiseFallsSteeply { .. }));
    found
}

#[test]
fn a_steep_fall_across_colour_change_is_judged_from_there_on() {
    let found = steep_falls(&plan(&STEEP_OVER_COLOUR_CHANGE, None));
    assert_eq!(found.len(), 1, "{found:?}");
    // From 24 to 12 °C/min, seen by windows of 30 s that begin from 125 to 130 s; half a second is the samples' distance.
    let (fall, at) = (&found[0], |found: f64, expected: f64| {
        (found - expected).abs() <= 0.5
    });
    assert!(at(fall.from_s, 125.0) && at(fall.to_s, 160.0), "{fall:?}");
    let FindingKind::RiseFallsSteeply { loss_c_per_s } = fall.kind else {
        unreachable!()
    };
    assert!((loss_c_per_s - 0.2).abs() < 1e-9, "{loss_c_per_s}");
}

#[test]
fn a_steep_fall_that_is_over_by_colour_change_is_not_remarked_on() {
    // 30, 24, 21 °C/min: only the first loss, of 6 °C/min, is steep, and it comes before colour change.
    let mut knots = STEEP_OVER_COLOUR_CHANGE[..3].to_vec();
    knots.push((290.0, 218.0));
    let found = steep_falls(&plan(&knots, None));
    assert!(found.is_empty(), "{found:?}");
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
    // After 10 s of steep rise the smooth curve swings above 204.5 °C, well before the drop at 212 °C.
    let mut knots = ROAST[..3].to_vec();
    knots.extend([(320.0, 204.0), (400.0, 204.5), (500.0, 221.0)]);
    let plan = plan(&knots, Some(Shape::Smooth));
    let found = findings(&plan);
    let overshoot = found
        .iter()
        .find(|f| matches!(f.kind, FindingKind::Overshoot { by_c } if by_c > 0.0))
        .unwrap();
    assert!(
        320.0 < overshoot.from_s && overshoot.from_s < 400.0,
        "{overshoot:?}"
    );
    let repair = repair(&plan, overshoot, TempUnit::Celsius).unwrap();
    let monotone = PointEdit::SetShape(Shape::Monotone);
    assert_eq!(repair.edit, Edit::Points(monotone));
    let mended = plan.edited(&repair.edit).unwrap();
    assert!(!headings(&mended).contains(&"Curve overshoots its points"));
}

#[test]
fn an_overshoot_behind_the_drop_is_not_judged() {
    let overshoots = |plan: &Plan| {
        let mut found = findings(plan);
        found.retain(|found| matches!(found.kind, FindingKind::Overshoot { .. }));
        found
    };
    // The corner at 460 s makes the smooth curve swing above 235 °C; the drop, 212 °C, is over long before.
    let mut knots = ROAST[..3].to_vec();
    knots.extend([(430.0, 216.0), (460.0, 235.0), (560.0, 235.5)]);
    let plan = plan(&knots, Some(Shape::Smooth));
    let out_of_reach = Edit::Finish(FinishEdit::Add {
        name: "out of reach".to_owned(),
        temp_c: 300.0,
    });
    assert!(
        overshoots(&plan).iter().all(|found| found.from_s < 430.0),
        "{:?}",
        overshoots(&plan)
    );
    let later = plan.edited(&out_of_reach).unwrap();
    let id = later.finishes.finishes().last().unwrap().id;
    let later = later.edited(&Edit::Finish(FinishEdit::Choose(id))).unwrap();
    assert!(
        overshoots(&later).iter().any(|found| 460.0 < found.from_s),
        "the same place is found when there is no drop before it: {:?}",
        findings(&later)
    );
}

#[test]
fn a_repair_moves_a_point_no_farther_than_it_must() {
    // The rise turns up at 310 s, from 6 to 12 °C/min.
    let knots = [(0.0, 100.0), (120.0, 170.0), (310.0, 189.0), (470.0, 221.0)];
    let plan = plan(&knots, None);
    let found = findings(&plan);
    let turns = |plan: &Plan| {
        let turn = |found: &&Finding| matches!(found.kind, FindingKind::RiseTurnsUp { .. });
        findings(plan).iter().filter(turn).count()
    };
    let turn = found
        .iter()
        .find(|found| matches!(found.kind, FindingKind::RiseTurnsUp { .. }))
        .unwrap();
    let repair = repair(&plan, turn, TempUnit::Celsius).unwrap();
    let Edit::Points(PointEdit::Move { id, to }) = repair.edit else {
        panic!("{repair:?}")
    };
    assert!(turns(&plan.edited(&repair.edit).unwrap()) < turns(&plan));
    let from_c = plan.curve.point(id).unwrap().temp_c;
    let less = to.temp_c - limits::REPAIR_STEP_C.copysign(to.temp_c - from_c);
    let less = PointEdit::Move {
        id,
        to: CurvePoint { temp_c: less, ..to },
    };
    let less = plan.edited(&Edit::Points(less)).unwrap();
    assert_eq!(turns(&less), turns(&plan), "{}", repair.label);
}

#[test]
fn repairs_are_looked_for_as_long_as_they_fit_on_the_screen() {
    // Every 20 s the curve falls by 1 °C.
    let saw: Vec<_> = (0..24)
        .map(|number| {
            let time_s = f64::from(number) * 20.0;
            (time_s, 100.0 + time_s / 4.0 - f64::from(number % 2) * 6.0)
        })
        .collect();
    let plan = plan(&saw, None);
    let derived = Derived::of(&plan);
    let outlook = Outlook::of(&plan);
    let findings = all_findings(&derived, &outlook);
    assert!(limits::MAX_REPAIRED_FINDINGS < findings.len());
    let repairs = suggest_repairs(&plan, &derived, &outlook, &findings, TempUnit::Celsius);
    assert_eq!(repairs.len(), limits::MAX_REPAIRED_FINDINGS);
    for (repair, finding) in repairs.iter().zip(&findings) {
        assert_eq!(*repair, self::repair(&plan, finding, TempUnit::Celsius));
    }
}

#[test]
fn a_long_development_is_shortened_to_the_wished_share() {
    let plan = plan(
        &[(0.0, 100.0), (130.0, 160.0), (260.0, 198.0), (520.0, 222.0)],
        None,
    );
    let found = findings(&plan);
    let long = found
        .iter()
        .find(|f| f.heading() == "Long development")
        .unwrap();
    let repair = repair(&plan, long, TempUnit::Celsius).unwrap();
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
fn best_fit_finds_a_known_shift() {
    for shift_s in [-75.0, -12.0, 0.0, 4.0, 60.0, 110.0] {
        // The same roast, begun earlier or later on its own clock.
        let steep = [
            (0.0, 100.0),
            (60.0, 135.0),
            (150.0, 165.0),
            (310.0, 198.0),
            (470.0, 222.0),
        ];
        let here = plan(&steep, Some(Shape::Monotone));
        let at = |time_s: f64| here.curve.temp_c(time_s);
        let samples: Vec<_> = (0..=40)
            .map(|index| f64::from(index) * 11.0)
            .filter(|time_s| *time_s + shift_s >= 0.0 && *time_s + shift_s <= 470.0)
            .map(|time_s| (time_s, at(time_s + shift_s)))
            .collect();
        let first_s = samples[0].0;
        let other: Vec<_> = samples
            .iter()
            .map(|&(time_s, temp_c)| (time_s - first_s, temp_c))
            .collect();
        let other = plan(&other, Some(Shape::Monotone));
        let found_s = Comparison::of(&here, &other, Alignment::BestFit, 2.0)
            .shift_s
            .unwrap();
        assert!(
            (found_s - (shift_s + first_s)).abs() <= 1.0,
            "{shift_s} {found_s}"
        );
    }
}

/// A roast as a log would have it: a point every 4 s, each off by the next of `noise_c`, in °C.
fn logged(from_s: f64, noise_c: &[f64]) -> Plan {
    // Rises ever more slowly, over 900 s from 80 to 224 °C.
    let temp_c = |time_s: f64| 80.0 + 144.0 * (1.0 - (1.0 - time_s / 900.0).powf(1.7));
    let points: Vec<_> = (0..)
        .zip(noise_c)
        .map(|(index, noise_c)| (f64::from(index) * 4.0, noise_c))
        .map(|(time_s, noise_c)| (time_s, temp_c(from_s + time_s) + noise_c))
        .collect();
    plan(&points, Some(Shape::Monotone))
}

/// The references are the shifts that were put in. The noise is evenly spread over ±1 °C, from proptest's fixed seed.
#[test]
fn best_fit_recovers_a_shift_from_noise_in_a_hundred_of_a_hundred_cases() {
    let mut runner = TestRunner::deterministic();
    let quiet = [0.0; 150];
    let here = logged(130.0, &quiet);
    let mut misses = Vec::new();
    for case in 0..100 {
        let shift_s = 1.0 + f64::from(case) * 119.0 / 99.0;
        let noise_c = prop::collection::vec(-1.0..=1.0_f64, 150..=150);
        let noise_c = noise_c.new_tree(&mut runner).unwrap().current();
        let from_s = if case % 2 == 0 {
            130.0 + shift_s
        } else {
            130.0 - shift_s
        };
        let other = logged(from_s, &noise_c);
        let fit = Comparison::of(&here, &other, Alignment::BestFit, 2.0);
        let miss_s = fit.shift_s.unwrap() - (from_s - 130.0);
        if miss_s.abs() > 1.0 {
            misses.push((shift_s, miss_s));
        }
    }
    assert!(misses.is_empty(), "shift and miss in s: {misses:?}");
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
    let text = summary_text(
        &plan,
        &Derived::of(&plan),
        &Outlook::of(&plan),
        TempUnit::Fahrenheit,
    );
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
        let text = format!("{derived:?}");
        prop_assert!(!text.contains("NaN") && !text.contains("inf,"), "{}", text);
        for finding in &derived.findings {
            prop_assert!(0.0 <= finding.from_s && finding.from_s <= finding.to_s);
            prop_assert!(finding.to_s <= plan.curve.end_s(), "{:?} {}", finding, plan.curve.end_s());
        }
    }
}
