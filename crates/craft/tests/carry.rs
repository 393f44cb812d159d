//! Carrying a plan over: there and back, part of the way, and as one step of the history.
#![allow(
    missing_docs,
    unused_crate_dependencies,
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test may stop at the first surprise"
)]

#[allow(dead_code, reason = "only whole plans are needed here")]
mod arbitrary;
mod carry_plans;

use carry_plans::{carried, greatest, high, lot, low, measured, plan, to_lot, with};
use chaffinch_craft::{
    AirId, AirPoint, AirShape, AirflowSchedule, Knowledge, Lot, LotNumber, Plan,
    carry::{CarryError, CarryOver, CarryRequest, Keep, Practice, PracticeRules, Target, carry},
    units::TempUnit,
};
use chaffinch_curve::{ControlPoint, Lock, SetpointCurve, Shape};
use proptest::prelude::*;
use std::sync::atomic::AtomicBool;

#[test]
fn the_same_coffee_machine_and_room_give_the_same_curve_to_the_last_bit() {
    let rules = PracticeRules::default();
    // Measured, guessed from altitude, and known by nothing.
    for lot in [
        low(),
        self::lot(&[(LotNumber::Altitude, 1750.0)]),
        Lot::default(),
    ] {
        let from = plan(lot);
        for keep in Keep::ALL {
            let mut request = CarryRequest::new(&from, Target::of(&from));
            request.keep = keep;
            request.practice = Some(&rules);
            let found = carried(&request);
            assert_eq!(found.plan.curve, from.curve, "{keep:?}: curve");
            assert_eq!(found.plan.marks, from.marks, "{keep:?}: marks");
            assert_eq!(found.plan.finishes, from.finishes, "{keep:?}: finishes");
            assert_eq!(found.plan.airflow, from.airflow, "{keep:?}: airflow");
            assert_eq!(found.plan.notes, from.notes, "{keep:?}: notes");
            assert_eq!(found.shortfall, None, "{keep:?}: shortfall");
        }
    }
}

#[test]
fn physics_there_and_back_is_within_three_tenths_of_a_degree() {
    let from = plan(low());
    for keep in Keep::ALL {
        let mut there = to_lot(&from, high());
        there.keep = keep;
        let there = carried(&there).plan;
        let mut back = to_lot(&there, low());
        back.keep = keep;
        let back = carried(&back).plan;
        let pairs = || from.curve.points().iter().zip(back.curve.points());
        let off_k = greatest(pairs().map(|(old, new)| old.temp_c - new.temp_c));
        let off_s = greatest(pairs().map(|(old, new)| old.time_s - new.time_s));
        assert!(off_k <= 0.3, "{keep:?}: {off_k} K");
        // 0.3 K at the slowest rise of this curve, 0.09 °C/s, is 3.3 s.
        assert!(off_s <= 3.0, "{keep:?}: {off_s} s");
        let crack_k = from.marks.first_crack_c - back.marks.first_crack_c;
        assert!(crack_k.abs() <= 0.3, "{keep:?}: first crack {crack_k} K");
        assert_eq!(back.lot, from.lot, "{keep:?}: lot");
    }
}

#[test]
fn practice_there_and_back_is_exact() {
    let mut parts = plan(low()).into_parts();
    let mut points = parts.curve.points().to_vec();
    points[4].lock = Lock::Time;
    points[6].pinned_rise_c_per_s = Some(0.15);
    parts.curve = SetpointCurve::new(Shape::Smooth, points).unwrap();
    parts.airflow = AirflowSchedule::new(
        AirShape::Steps,
        (1..)
            .zip([(0.0, 90.0), (100.0, 85.0), (320.0, 80.0), (470.0, 75.0)])
            .map(|(id, (time_s, percent))| AirPoint {
                id: AirId(id),
                time_s,
                percent,
            })
            .collect(),
    )
    .unwrap();
    let from = Plan::new(parts).unwrap();
    let rules = PracticeRules::default();
    let practised = |from: &Plan, lot: Lot| {
        let mut request = to_lot(from, lot);
        request.physics = false;
        request.practice = Some(&rules);
        carried(&request)
    };
    let there = practised(&from, high());
    assert_eq!(
        there.practice,
        Practice::Applied {
            from_m: 900.0,
            to_m: 1900.0
        },
        "altitudes"
    );
    // 1,000 m at 0.1 °C for each 100 m, by hand.
    let crack_k = there.plan.marks.first_crack_c - from.marks.first_crack_c;
    assert!((crack_k - 1.0).abs() < 1e-9, "first crack {crack_k}");
    let moved_s = greatest(there.points.iter().map(|point| point.practice.time_s));
    assert!(1.0 < moved_s, "practice moves something: {moved_s} s");
    let back = practised(&there.plan, low()).plan;
    for (old, new) in from.curve.points().iter().zip(back.curve.points()) {
        let rise = |point: &ControlPoint| point.pinned_rise_c_per_s.unwrap_or(0.0);
        assert!(
            (old.temp_c - new.temp_c).abs() < 1e-7
                && (old.time_s - new.time_s).abs() < 1e-7
                && (rise(old) - rise(new)).abs() < 1e-7,
            "{old:?} {new:?}"
        );
    }
    for (old, new) in from.airflow.points().iter().zip(back.airflow.points()) {
        assert!((old.time_s - new.time_s).abs() < 1e-7, "{old:?} {new:?}");
    }
    for (old, new) in from
        .finishes
        .finishes()
        .iter()
        .zip(back.finishes.finishes())
    {
        assert!((old.temp_c - new.temp_c).abs() < 1e-7, "{old:?} {new:?}");
    }
    assert!(
        (from.marks.first_crack_c - back.marks.first_crack_c).abs() < 1e-7,
        "first crack"
    );
}

#[test]
fn practice_needs_both_altitudes_and_says_so() {
    let from = plan(lot(&[(LotNumber::Density, 696.0)]));
    let rules = PracticeRules::default();
    let mut request = to_lot(&from, high());
    request.physics = false;
    request.practice = Some(&rules);
    let found = carried(&request);
    assert_eq!(found.practice, Practice::NoAltitude, "state");
    assert_eq!(found.plan.curve, from.curve, "curve");
}

#[test]
fn without_a_forecast_there_is_no_history_to_keep() {
    let mut from = plan(low()).into_parts();
    from.airflow = AirflowSchedule::constant(20.0);
    let from = Plan::new(from).unwrap();
    let mut request = to_lot(&from, high());
    let refused = carry(&request, &AtomicBool::new(false), &|_| ());
    let Err(CarryError::NoHistory { limits }) = refused else {
        panic!("{refused:?}");
    };
    assert!(!limits.is_empty(), "a reason");
    // Practice asks no model.
    let rules = PracticeRules::default();
    request.physics = false;
    request.practice = Some(&rules);
    let found = carried(&request);
    assert!(
        1.0 < greatest(found.points.iter().map(|point| point.total.time_s)),
        "practice alone"
    );
}

#[test]
fn the_slider_goes_from_the_old_curve_to_the_new_one() {
    let from = plan(low());
    let rules = PracticeRules::default();
    let at = |percent: f64| {
        let mut request = to_lot(&from, high());
        request.practice = Some(&rules);
        request.percent = percent;
        carried(&request)
    };
    let (none, half, full) = (at(0.0), at(50.0), at(100.0));
    assert_eq!(none.plan.curve, from.curve, "0 %");
    assert_eq!(none.plan.marks, from.marks, "0 %");
    for ((old, half), full) in from
        .curve
        .points()
        .iter()
        .zip(half.plan.curve.points())
        .zip(full.plan.curve.points())
    {
        assert!(
            (f64::midpoint(old.temp_c, full.temp_c) - half.temp_c).abs() < 1e-8
                && (f64::midpoint(old.time_s, full.time_s) - half.time_s).abs() < 1e-8,
            "{old:?} {half:?} {full:?}"
        );
    }
    for point in &full.points {
        let layers_k = point.physics.temp_k + point.practice.temp_k;
        assert!((layers_k - point.total.temp_k).abs() < 1e-8, "{point:?}");
    }
    let mut request = to_lot(&from, high());
    request.percent = 101.0;
    let refused = carry(&request, &AtomicBool::new(false), &|_| ());
    assert_eq!(
        refused.err(),
        Some(CarryError::Percent { found: 101.0 }),
        "beyond"
    );
}

#[test]
fn accepting_is_one_edit_with_a_note_of_origin() {
    let mut from = plan(low()).into_parts();
    from.title = "Evening".to_owned();
    from.notes = "Liked it.".to_owned();
    let from = Plan::new(from).unwrap();
    let mut to = Target::of(&from);
    to.lot = high();
    to.lot.name = "Invented ridge".to_owned();
    to.room.name = "Shed".to_owned();
    let found = carried(&CarryRequest::new(&from, to));
    assert_eq!(from.edited(&found.edit).as_ref(), Ok(&found.plan), "edit");
    assert_eq!(found.edit.label(&from), "Carried over", "label");
    let notes = &found.plan.notes;
    assert!(
        notes.contains("“Evening”")
            && notes.contains("“Invented ridge”")
            && notes.ends_with("Liked it."),
        "{notes}"
    );
    assert_eq!(found.plan.room.name, "Shed", "sheets come along");
}

#[test]
fn locked_points_stay_where_they_are() {
    let mut parts = plan(low()).into_parts();
    let mut points = parts.curve.points().to_vec();
    points[3].lock = Lock::Temp;
    points[5].lock = Lock::Both;
    parts.curve = SetpointCurve::new(Shape::Smooth, points).unwrap();
    let from = Plan::new(parts).unwrap();
    let rules = PracticeRules::default();
    for keep in Keep::ALL {
        let mut request = to_lot(&from, with(low(), LotNumber::Density, 742.0));
        request
            .to
            .lot
            .numbers
            .set(LotNumber::Altitude, Some(measured(1900.0)));
        request.keep = keep;
        request.practice = Some(&rules);
        let found = carried(&request);
        let points = found.plan.curve.points();
        assert_eq!(points[3].temp_c, 132.0, "{keep:?}");
        assert_eq!(
            (points[5].time_s, points[5].temp_c),
            (240.0, 171.0),
            "{keep:?}"
        );
    }
}

#[test]
fn the_measurement_that_narrows_most_is_named_until_it_is_taken() {
    let from = plan(low());
    let by_altitude = carried(&to_lot(&from, lot(&[(LotNumber::Altitude, 1900.0)])));
    let widest = by_altitude.narrowing().unwrap();
    assert_eq!(widest.guess.number, LotNumber::ScreenSize, "widest");
    let width = |found: &CarryOver| greatest(found.band()[2..].iter().map(|band| band.temp_k));
    let measured = carried(&to_lot(
        &from,
        lot(&[
            (LotNumber::Altitude, 1900.0),
            (LotNumber::HundredBeans, 14.5),
        ]),
    ));
    assert!(
        width(&measured) < 0.75 * width(&by_altitude),
        "{} {}",
        width(&measured),
        width(&by_altitude)
    );
    assert_ne!(
        measured.narrowing().unwrap().guess.number,
        LotNumber::ScreenSize,
        "taken"
    );
    let density = by_altitude
        .plan
        .lot
        .numbers
        .entered(LotNumber::Density)
        .unwrap();
    assert_eq!(density.knowledge, Knowledge::Estimated, "marked");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn any_plan_is_carried_or_refused_with_a_reason(
        plan in arbitrary::plan(),
        other in arbitrary::plan(),
        keep in prop::sample::select(Keep::ALL.to_vec()),
        percent in 0.0..=100.0,
    ) {
        let rules = PracticeRules::default();
        let mut request = CarryRequest::new(&plan, Target::of(&other));
        request.keep = keep;
        request.percent = percent;
        request.practice = Some(&rules);
        for physics in [true, false] {
            request.physics = physics;
            match carry(&request, &AtomicBool::new(false), &|_| ()) {
                Ok(found) => {
                    prop_assert_eq!(&plan.edited(&found.edit).unwrap(), &found.plan);
                    for line in found.lines(TempUnit::Fahrenheit) {
                        prop_assert!(!line.contains("NaN") && !line.contains("inf "), "{}", line);
                    }
                }
                Err(error) => prop_assert!(!error.to_string().is_empty()),
            }
        }
    }
}
