//! What the forecast holds against real plans, what mends it, and how it is told.
#![allow(
    missing_docs,
    unused_crate_dependencies,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::missing_assert_message,
    reason = "a test may stop at the first surprise"
)]

use chaffinch_craft::{
    AirEdit, AirId, AirPoint, AirShape, AirflowSchedule, ColourCalibration, Derived, Edit, Finding,
    FindingKind, FinishEdit, FinishId, ForecastKind, Given, History, HotPart, Knowledge, LotNumber,
    MachineNumber, NumberName, Outlook, Plan, ReachEnd, Repair, RoomNumber, Severity,
    SpreadRequest, all_findings, describe_curve, forecast_text, limits, suggest_repair,
    summary_text, units::TempUnit,
};
use chaffinch_curve::{ControlPoint, CurvePoint, PointEdit, PointId, SetpointCurve, Shape};
use chaffinch_twin::{Cause, Limit};
use std::sync::atomic::AtomicBool;

/// Begins slowly enough for a cold probe; the rise falls all the way; drop at 212 °C.
const CALM: [(f64, f64); 10] = [
    (0.0, 90.0),
    (90.0, 125.0),
    (140.0, 145.0),
    (195.0, 160.0),
    (265.0, 175.0),
    (345.0, 188.0),
    (435.0, 200.0),
    (500.0, 207.5),
    (565.0, 214.0),
    (605.0, 218.0),
];

fn calm() -> Plan {
    let mut parts = Plan::fresh().into_parts();
    let points = CALM.iter().zip(1..);
    let points =
        points.map(|(&(time_s, temp_c), id)| ControlPoint::new(PointId(id), time_s, temp_c));
    parts.curve = SetpointCurve::new(Shape::Monotone, points.collect()).unwrap();
    let air = [(0.0, 85.0), (130.0, 76.0), (270.0, 66.0), (420.0, 58.0)];
    let air = air.iter().zip(1..);
    let air = air.map(|(&(time_s, percent), id)| AirPoint {
        id: AirId(id),
        time_s,
        percent,
    });
    parts.airflow = AirflowSchedule::new(AirShape::Steps, air.collect()).unwrap();
    Plan::new(parts).unwrap()
}

fn with(plan: &Plan, edits: &[Edit]) -> Plan {
    plan.edited(&Edit::Together("", edits.to_vec())).unwrap()
}

fn number(name: NumberName, value: f64) -> Edit {
    let knowledge = Knowledge::Measured;
    Edit::Number(name, Some(Given { value, knowledge }))
}

fn machine(name: MachineNumber, value: f64) -> Edit {
    number(NumberName::Machine(name), value)
}

fn mains(value: f64) -> Edit {
    number(NumberName::Room(RoomNumber::Mains), value)
}

fn lot(name: LotNumber, value: f64) -> Edit {
    number(NumberName::Lot(name), value)
}

fn point(id: u32, time_s: f64, temp_c: f64) -> Edit {
    let to = CurvePoint { time_s, temp_c };
    Edit::Points(PointEdit::Move {
        id: PointId(id),
        to,
    })
}

fn air(id: u32, time_s: f64, percent: f64) -> Edit {
    Edit::Air(AirEdit::Move {
        id: AirId(id),
        time_s,
        percent,
    })
}

/// The forecast's findings of a kind.
fn found(plan: &Plan, is: impl Fn(&ForecastKind) -> bool) -> Vec<Finding> {
    let is = |finding: &Finding| matches!(&finding.kind, FindingKind::Forecast(kind) if is(kind));
    let mut found = Outlook::of(plan).findings;
    found.retain(is);
    found
}

/// The one finding of a kind, which the calm plan must not have.
fn only(plan: &Plan, is: impl Fn(&ForecastKind) -> bool) -> Finding {
    assert_eq!(found(&calm(), &is), [], "the calm plan has none");
    let mut found = found(plan, is);
    assert_eq!(
        found.len(),
        1,
        "{found:#?} of {:#?}",
        Outlook::of(plan).findings
    );
    found.remove(0)
}

fn repair(plan: &Plan, finding: &Finding) -> Option<Repair> {
    let (derived, outlook) = (Derived::of(plan), Outlook::of(plan));
    suggest_repair(plan, &derived, &outlook, finding, TempUnit::Celsius)
}

/// The plan after the repair of `finding`, with what the button said.
fn mended(plan: &Plan, finding: &Finding) -> (Plan, String) {
    let repair = repair(plan, finding).expect("a repair");
    (plan.edited(&repair.edit).unwrap(), repair.label)
}

fn sentence(finding: &Finding) -> String {
    finding.sentence(TempUnit::Celsius)
}

#[test]
fn a_calm_plan_has_a_forecast_and_only_the_note_that_it_starts_above_a_cold_probe() {
    let outlook = Outlook::of(&calm());
    assert!(outlook.foreseen().unwrap().moments.drop_s.is_some());
    let headings: Vec<_> = outlook.findings.iter().map(Finding::heading).collect();
    assert_eq!(headings, ["Starts above the probe"]);
    assert_eq!(outlook.findings[0].severity(), Severity::Note);
}

#[test]
fn a_weak_mains_puts_the_curve_out_of_reach_and_names_the_heater() {
    let plan = with(&calm(), &[mains(160.0)]);
    let finding = only(&plan, |kind| {
        matches!(kind, ForecastKind::BeyondReach { .. })
    });
    let FindingKind::Forecast(ForecastKind::BeyondReach {
        end,
        worst_s,
        drawn_c_per_s,
        reach_c_per_s,
        cause,
    }) = finding.kind
    else {
        unreachable!()
    };
    assert_eq!((end, cause), (ReachEnd::Fastest, Cause::HeaterCeiling));
    assert!(reach_c_per_s < drawn_c_per_s);
    assert!(finding.from_s <= worst_s && worst_s <= finding.to_s);
    assert_eq!(drawn_c_per_s, plan.curve.rise_c_per_s(worst_s));
    assert_eq!(finding.severity(), Severity::Caution);
    let text = sentence(&finding);
    assert!(
        text.contains("heater at its ceiling") && text.contains("steeper"),
        "{text}"
    );
    // The miss that follows is not told again.
    assert_eq!(
        found(&plan, |kind| matches!(
            kind,
            ForecastKind::OffTheCurve { .. }
        )),
        []
    );
}

#[test]
fn a_finish_that_the_probe_does_not_reach_is_a_stop_and_less_coffee_mends_it() {
    let plan = with(&calm(), &[mains(163.0)]);
    let finding = only(&plan, |kind| {
        matches!(kind, ForecastKind::FinishNotReached { .. })
    });
    assert_eq!(finding.severity(), Severity::Stop);
    assert!(
        sentence(&finding).contains("“medium” at 212 °C"),
        "{}",
        sentence(&finding)
    );
    let (plan, label) = mended(&plan, &finding);
    assert!(
        Outlook::of(&plan)
            .foreseen()
            .unwrap()
            .moments
            .drop_s
            .is_some(),
        "{label}"
    );
    assert!(label.starts_with("Lower the dose to"), "{label}");
}

#[test]
fn a_finish_that_is_not_drawn_is_told_of_the_curve_alone() {
    let hotter = Edit::Finish(FinishEdit::Choose(FinishId(4)));
    let plan = with(&calm(), &[hotter]);
    let is_missed = |kind: &ForecastKind| matches!(kind, ForecastKind::FinishNotReached { .. });
    assert_eq!(found(&plan, is_missed), []);
    assert_eq!(
        Derived::of(&plan).findings[0].heading(),
        "Finish not reached"
    );
}

#[test]
fn a_slope_that_is_too_steep_is_eased_no_more_than_needed() {
    let plan = with(&calm(), &[point(2, 12.0, 125.0)]);
    let finding = only(&plan, |kind| {
        matches!(kind, ForecastKind::BeyondReach { .. })
    });
    assert!(finding.from_s < 12.0);
    let repair = repair(&plan, &finding).unwrap();
    let Edit::Points(PointEdit::Shift { ids, by }) = &repair.edit else {
        panic!("{repair:?}")
    };
    assert_eq!(
        (ids.len(), by.temp_c),
        (9, 0.0),
        "all points behind the slope"
    );
    assert!(
        repair.label.starts_with("Ease to point 2, +0:"),
        "{}",
        repair.label
    );
    let is_beyond = |kind: &ForecastKind| matches!(kind, ForecastKind::BeyondReach { .. });
    let shifted = |time_s: f64| {
        let by = chaffinch_curve::Offset {
            time_s,
            temp_c: 0.0,
        };
        let ids = ids.clone();
        with(&plan, &[Edit::Points(PointEdit::Shift { ids, by })])
    };
    assert_eq!(found(&shifted(by.time_s), is_beyond), []);
    assert_eq!(
        found(&shifted(by.time_s - limits::REPAIR_STEP_S), is_beyond).len(),
        1
    );
}

#[test]
fn a_fall_that_is_too_fast_is_below_reach() {
    let plan = with(&calm(), &[point(6, 300.0, 130.0)]);
    let is_flat = |kind: &ForecastKind| {
        matches!(
            kind,
            ForecastKind::BeyondReach {
                end: ReachEnd::Slowest,
                ..
            }
        )
    };
    let finding = only(&plan, is_flat);
    let text = sentence(&finding);
    assert!(
        text.contains("flatter") && text.contains("(heater off)"),
        "{text}"
    );
}

#[test]
fn a_late_meeting_is_a_caution_and_starting_later_makes_it_a_note() {
    let steps = CALM[1..].iter().zip(2..);
    let earlier: Vec<Edit> = steps
        .map(|(&(time_s, temp_c), id)| point(id, time_s - 30.0, temp_c))
        .collect();
    let plan = with(&calm(), &earlier);
    let is_late = |kind: &ForecastKind| matches!(kind, ForecastKind::MeetsLate { .. });
    let late = found(&plan, is_late).remove(0);
    assert_eq!(
        (late.severity(), late.heading()),
        (Severity::Caution, "Starts above the probe")
    );
    let met_s = Outlook::of(&plan).foreseen().unwrap().met_s.unwrap();
    assert_eq!((late.from_s, late.to_s), (0.0, met_s as f64));
    assert!(sentence(&late).starts_with("The curve starts at 90 °C and the probe at 20 °C"));
    let (plan, label) = mended(&plan, &late);
    assert!(
        label.starts_with("Start 0:") && label.ends_with("later"),
        "{label}"
    );
    assert_eq!(found(&plan, is_late)[0].severity(), Severity::Note);
    let met_s = Outlook::of(&plan).foreseen().unwrap().met_s.unwrap();
    assert!(met_s as f64 <= limits::LATEST_MEETING_S);
}

#[test]
fn a_preheated_probe_comes_down_to_the_curve() {
    let plan = with(&calm(), &[machine(MachineNumber::Preheat, 200.0)]);
    let late = found(&plan, |kind| matches!(kind, ForecastKind::MeetsLate { .. }));
    assert_eq!(late[0].heading(), "Probe meets the curve late");
    let text = sentence(&late[0]);
    assert!(
        text.contains("the probe at 200 °C, from where cold beans pull it down at once; they meet"),
        "{text}"
    );
}

#[test]
fn a_preheat_above_the_ceiling_is_a_stop_and_a_cooler_one_mends_it() {
    let hot = [
        machine(MachineNumber::Preheat, 250.0),
        machine(MachineNumber::ProbeOffset, 2.0),
        Edit::MachineCeiling(230.0),
    ];
    let is_above = |kind: &ForecastKind| matches!(kind, ForecastKind::AboveCeiling { .. });
    let finding = only(&with(&calm(), &hot), is_above);
    assert_eq!(finding.heading(), "Probe above the ceiling");
    let (mended, label) = mended(&with(&calm(), &hot), &finding);
    assert_eq!(found(&mended, is_above), []);
    // By hand: a probe that shows 2 °C too much reads 230 °C in air of 228 °C.
    assert!(
        ["Preheat to 228 °C", "Preheat to 227.5 °C"].contains(&label.as_str()),
        "{label}"
    );
}

#[test]
fn a_bed_that_rests_is_a_stop_at_its_place_and_more_air_brings_the_forecast_back() {
    let plan = with(&calm(), &[air(3, 270.0, 40.0)]);
    let is_resting = |kind: &ForecastKind| {
        matches!(
            kind,
            ForecastKind::NoForecast {
                limit: Limit::BedRests { .. }
            }
        )
    };
    let finding = only(&plan, is_resting);
    assert_eq!(finding.severity(), Severity::Stop);
    assert_eq!((finding.from_s, finding.to_s), (270.0, 419.0));
    let outlook = Outlook::of(&plan);
    assert!(outlook.foreseen().is_none() && 40.0 < outlook.least_air_percent[300]);
    let (mended, label) = mended(&plan, &finding);
    assert!(label.starts_with("Raise airflow to "), "{label}");
    assert!(Outlook::of(&mended).foreseen().is_some());
    let percents = [100.0, 200.0, 500.0].map(|time_s| mended.airflow.percent(time_s));
    assert_eq!(percents, [85.0, 76.0, 58.0], "the other settings stay");
}

#[test]
fn beans_that_fly_are_a_stop_and_less_air_brings_the_forecast_back() {
    let plan = with(
        &calm(),
        &[
            machine(MachineNumber::ChamberArea, 5.0),
            machine(MachineNumber::FanFlow, 7.0),
            machine(MachineNumber::HeaterPower, 3000.0),
        ],
    );
    let is_flying = |kind: &ForecastKind| {
        matches!(
            kind,
            ForecastKind::NoForecast {
                limit: Limit::BeansCarriedOut { .. }
            }
        )
    };
    let finding = only(&plan, is_flying);
    assert_eq!(finding.severity(), Severity::Stop);
    let (mended, label) = mended(&plan, &finding);
    assert!(label.starts_with("Lower airflow to "), "{label}");
    assert!(Outlook::of(&mended).foreseen().is_some());
}

#[test]
fn a_dose_outside_the_machine_is_a_note_and_the_nearest_dose_mends_it() {
    for (dose_g, expected) in [
        (300.0, "Lower the dose to 250 g"),
        (50.0, "Raise the dose to 100 g"),
    ] {
        let plan = with(&calm(), &[lot(LotNumber::Dose, dose_g)]);
        let finding = only(&plan, |kind| {
            matches!(kind, ForecastKind::NoForecast { .. })
        });
        assert_eq!(finding.severity(), Severity::Note);
        let (mended, label) = mended(&plan, &finding);
        assert_eq!(label, expected);
        assert!(Outlook::of(&mended).foreseen().is_some());
    }
}

#[test]
fn outside_the_model_nothing_else_is_foreseen_and_every_reason_is_told() {
    let plan = with(
        &calm(),
        &[
            mains(150.0),
            lot(LotNumber::Moisture, 15.0),
            lot(LotNumber::Dose, 300.0),
        ],
    );
    let outlook = Outlook::of(&plan);
    let headings: Vec<_> = outlook.findings.iter().map(Finding::heading).collect();
    assert_eq!(headings, ["No forecast"; 2]);
    assert_eq!(outlook.limits().len(), 2);
}

#[test]
fn beans_above_the_ceiling_are_a_stop_though_the_drop_lies_below_it() {
    // The probe shows 5 °C too little.
    let low = machine(MachineNumber::ProbeOffset, -5.0);
    let plan = with(&calm(), &[low.clone(), Edit::MachineCeiling(214.0)]);
    let is_hot = |kind: &ForecastKind| matches!(kind, ForecastKind::AboveCeiling { .. });
    let finding = only(&plan, is_hot);
    assert_eq!(
        (finding.severity(), finding.heading()),
        (Severity::Stop, "Beans above the ceiling")
    );
    let FindingKind::Forecast(ForecastKind::AboveCeiling {
        part, highest_c, ..
    }) = finding.kind
    else {
        unreachable!()
    };
    assert_eq!(part, HotPart::Beans);
    let trace = &Outlook::of(&plan).foreseen().unwrap().trace.clone();
    let hottest_c = trace.surface_c.iter().copied().fold(0.0, f64::max);
    assert!(
        (highest_c - hottest_c).abs() < 0.2,
        "{highest_c} {hottest_c}"
    );
    assert_eq!(
        trace.surface_c[finding.from_s as usize - 1].max(214.0),
        214.0,
        "not before"
    );
    let (cooler, label) = mended(&plan, &finding);
    assert_eq!(label, "Drop at “light”, 206 °C");
    assert_eq!(found(&cooler, is_hot), []);
    assert_eq!(
        found(&with(&calm(), &[low, Edit::MachineCeiling(250.0)]), is_hot),
        []
    );
}

#[test]
fn a_drop_above_the_ceiling_is_told_once() {
    let plan = with(&calm(), &[Edit::MachineCeiling(205.0)]);
    let (derived, outlook) = (Derived::of(&plan), Outlook::of(&plan));
    let all = all_findings(&derived, &outlook);
    let about: Vec<_> = all
        .iter()
        .filter(|one| sentence(one).contains("ceiling"))
        .collect();
    assert_eq!(about.len(), 1, "{all:#?}");
    assert_eq!(about[0].heading(), "Drop above the ceiling");
    // A ceiling at the very drop is kept.
    let at_drop = with(&calm(), &[Edit::MachineCeiling(212.0)]);
    let ceiling = |kind: &ForecastKind| {
        matches!(
            kind,
            ForecastKind::AboveCeiling {
                part: HotPart::Probe,
                ..
            }
        )
    };
    assert_eq!(found(&at_drop, ceiling), []);
}

#[test]
fn the_curve_is_held_against_the_ceiling_without_a_forecast_too() {
    // Starts above the ceiling; the dose is too small for a forecast.
    let hot = [point(1, 0.0, 240.0), Edit::MachineCeiling(230.0)];
    let plan = with(&with(&calm(), &hot), &[lot(LotNumber::Dose, 50.0)]);
    assert!(Outlook::of(&plan).foreseen().is_none());
    let finding = only(&plan, |kind| {
        matches!(kind, ForecastKind::AboveCeiling { .. })
    });
    assert_eq!(finding.heading(), "Curve above the ceiling");
    assert_eq!(
        sentence(&finding),
        "The curve reaches 240 °C, above this machine's ceiling of 230 °C."
    );
}

#[test]
fn a_soft_controller_leaves_the_curve_and_is_named() {
    // The fan jumps to full speed.
    let plan = with(&calm(), &[air(4, 420.0, 100.0)]);
    let finding = only(&plan, |kind| {
        matches!(kind, ForecastKind::OffTheCurve { .. })
    });
    assert_eq!(finding.severity(), Severity::Caution);
    assert!(
        420.0 <= finding.from_s && finding.from_s < 430.0,
        "{finding:?}"
    );
    let text = sentence(&finding);
    assert!(
        text.contains("below the curve") && text.contains("controller lag"),
        "{text}"
    );
}

#[test]
fn a_heater_at_its_limit_is_a_note_and_more_air_helps_where_the_inlet_is_hot() {
    let plan = with(&calm(), &[machine(MachineNumber::InletCeiling, 230.0)]);
    let finding = only(&plan, |kind| {
        matches!(kind, ForecastKind::HeaterAtLimit { .. })
    });
    assert_eq!(finding.severity(), Severity::Note);
    assert!(
        sentence(&finding).contains("inlet air at its ceiling"),
        "{}",
        sentence(&finding)
    );
    let (_, label) = mended(&plan, &finding);
    assert!(label.starts_with("Raise airflow to "), "{label}");
}

#[test]
fn a_controller_that_hunts_is_a_caution() {
    let plan = with(&calm(), &[machine(MachineNumber::ProportionalGain, 24.0)]);
    let finding = only(&plan, |kind| matches!(kind, ForecastKind::Hunts { .. }));
    assert_eq!(finding.severity(), Severity::Caution);
    assert!(repair(&plan, &finding).is_none());
}

#[test]
fn a_setpoint_too_hot_for_the_model_is_told_in_the_reader_s_unit() {
    let plan = with(
        &calm(),
        &[
            point(10, 605.0, 310.0),
            Edit::Finish(FinishEdit::Move {
                id: FinishId(2),
                temp_c: 309.0,
            }),
        ],
    );
    let finding = found(&plan, |kind| {
        matches!(kind, ForecastKind::NoForecast { .. })
    })
    .remove(0);
    let text = finding.sentence(TempUnit::Fahrenheit);
    assert!(text.ends_with("expected −4 °F to 572 °F."), "{text}");
}

#[test]
fn reports_tell_the_forecast_with_its_trust_and_its_caution() {
    let plan = calm();
    let (derived, outlook) = (Derived::of(&plan), Outlook::of(&plan));
    let request = SpreadRequest::of(&plan, &outlook).unwrap();
    let spread = request.run(&AtomicBool::new(false)).unwrap();
    let unit = TempUnit::Celsius;
    insta::assert_snapshot!(
        "forecast",
        forecast_text(
            (&plan, &derived, &outlook),
            spread.as_ref(),
            &ColourCalibration::default(),
            unit
        )
    );
    insta::assert_snapshot!("summary", summary_text(&plan, &derived, &outlook, unit));
    insta::assert_snapshot!("spoken", describe_curve(&plan, &derived, &outlook, unit));
}

#[test]
fn reports_tell_why_there_is_no_forecast() {
    let plan = with(&calm(), &[air(1, 0.0, 40.0), lot(LotNumber::Dose, 300.0)]);
    let (derived, outlook) = (Derived::of(&plan), Outlook::of(&plan));
    let unit = TempUnit::Celsius;
    insta::assert_snapshot!(
        "forecast_off",
        forecast_text(
            (&plan, &derived, &outlook),
            None,
            &ColourCalibration::default(),
            unit
        )
    );
    insta::assert_snapshot!(
        "spoken_off",
        describe_curve(&plan, &derived, &outlook, unit)
    );
}

#[test]
fn fahrenheit_reports_hold_no_celsius() {
    let plan = with(
        &calm(),
        &[
            mains(160.0),
            machine(MachineNumber::ProbeOffset, -5.0),
            Edit::MachineCeiling(214.0),
        ],
    );
    let (derived, outlook) = (Derived::of(&plan), Outlook::of(&plan));
    let spread = SpreadRequest::of(&plan, &outlook)
        .unwrap()
        .run(&AtomicBool::new(false))
        .unwrap();
    let unit = TempUnit::Fahrenheit;
    let text = forecast_text(
        (&plan, &derived, &outlook),
        spread.as_ref(),
        &ColourCalibration::default(),
        unit,
    ) + &describe_curve(&plan, &derived, &outlook, unit)
        + &summary_text(&plan, &derived, &outlook, unit);
    assert!(text.contains("± 12.6 °F"), "7 K are 12.6 °F: {text}");
    assert!(!text.contains("°C"), "{text}");
}

#[test]
fn undo_brings_a_number_of_every_sheet_back() {
    let mut history = History::of_saved(calm());
    let names = [
        NumberName::Lot(LotNumber::Dose),
        NumberName::Machine(MachineNumber::HeaterPower),
        NumberName::Room(RoomNumber::AirTemp),
        NumberName::Variation(chaffinch_craft::VariationNumber::Mains),
    ];
    for name in names {
        let facts = name.facts();
        history
            .apply(&number(name, f64::midpoint(facts.least, facts.most)))
            .unwrap();
        assert_ne!(name.known(history.plan()), name.known(&calm()), "{name:?}");
        let text = history.past().last().unwrap().to_owned();
        assert!(
            text.contains(facts.noun) && text.contains(name.sheet()),
            "{text}"
        );
        assert!(history.undo());
        assert_eq!(**history.plan(), calm());
    }
}
