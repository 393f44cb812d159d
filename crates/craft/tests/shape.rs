//! Shaping by targets as a roaster would use it: wishes are met, contradictions are named, what wasn't wished stays.
//!
//! There is no outside reference for what a roaster wants; each expectation follows from the wishes by arithmetic that stands beside it.
//! The quadratic programme itself is compared with another solver in `shape_programmes.rs`.
#![allow(
    missing_docs,
    unused_crate_dependencies,
    clippy::unwrap_used,
    reason = "a test may stop at the first surprise"
)]

mod shape_plans;

use chaffinch_craft::{
    AirEdit, AirId,
    Boundary::{Drop, Mark},
    Edit, Given, History, Knowledge, LotNumber, MachineNumber,
    MarkName::{ColourChange, FirstCrack},
    NumberName, Plan,
    shape::{Ground, ShapeError, Shaped, TargetName, Targets, Wish, shape},
    units::TempUnit,
};
use chaffinch_curve::{
    ControlPoint, Lock, PhaseName, PointEdit, PointId, Segment, SetpointCurve, Shape,
};
use shape_plans::{plan, shaped, targets};
use std::{cell::RefCell, sync::atomic::AtomicBool};

const fn least(least: f64) -> Wish {
    Wish {
        least: Some(least),
        most: None,
    }
}

const fn most(most: f64) -> Wish {
    Wish {
        least: None,
        most: Some(most),
    }
}

const FALLING: (TargetName, Wish) = (TargetName::FallingRise, Wish::HOLDS);
const WITHIN: (TargetName, Wish) = (TargetName::WithinReach, Wish::HOLDS);

fn drop_at(time_s: f64) -> (TargetName, Wish) {
    (TargetName::Time(Drop), Wish::exactly(time_s))
}

fn met(shaped: &Shaped, name: TargetName) -> f64 {
    let met = shaped.met.iter().find(|met| met.name == name).unwrap();
    met.found.unwrap()
}

/// The exact second derivative on both sides of every point behind `from_s`, and so everywhere: it is straight between.
fn bends_behind(plan: &Plan, from_s: f64) -> impl Iterator<Item = f64> {
    let interpolant = plan.curve.interpolant();
    let pieces = plan
        .curve
        .points()
        .windows(2)
        .filter(move |pair| from_s <= pair[0].time_s);
    pieces.flat_map(|pair| {
        let width_s = pair[1].time_s - pair[0].time_s;
        // Two places inside tell the line, and the line its ends.
        let at = |share: f64| interpolant.bend(pair[0].time_s + share * width_s);
        let (a, b) = (at(0.25), at(0.75));
        [1.5 * a - 0.5 * b, 1.5 * b - 0.5 * a]
    })
}

#[test]
fn times_shares_temperatures_and_rises_come_out_as_wished() {
    for shape in [Shape::Smooth, Shape::Monotone] {
        let wishes = [
            (TargetName::StartTemp, Wish::exactly(70.0)),
            (TargetName::Time(Mark(ColourChange)), Wish::exactly(205.0)),
            drop_at(570.0),
            (TargetName::Temp(Mark(FirstCrack)), Wish::exactly(196.0)),
            (TargetName::Temp(Drop), Wish::exactly(213.0)),
            (
                TargetName::Share(PhaseName::Development),
                Wish::exactly(24.0),
            ),
            (TargetName::Rise(Mark(FirstCrack)), Wish::exactly(8.5)),
            (TargetName::Rise(Drop), Wish::exactly(5.0)),
        ];
        let shaped = shaped(&plan(shape), &wishes);
        assert!(
            shaped.is_all_met() && shaped.conflicts.is_empty(),
            "{:?}",
            shaped.met
        );
        // Much nearer than what is shown: there is nothing between the programme and the curve.
        for (name, wish) in wishes {
            let off = (met(&shaped, name) - wish.least.unwrap()).abs();
            assert!(off < 1e-4, "{name:?} is {off} off");
        }
        // 24 % of 570 s: 136.8 s before the drop.
        let crack = shaped
            .after
            .derived
            .phases
            .first_crack
            .reached()
            .unwrap()
            .time_s;
        assert!((crack - 433.2).abs() < 1e-3, "{crack}");
        assert_eq!(
            shaped.plan.curve.shape(),
            Shape::Smooth,
            "the spline says how it runs"
        );
    }
}

#[test]
fn falling_rise_falls_everywhere_behind_its_peak() {
    for wishes in [
        vec![FALLING],
        vec![FALLING, drop_at(570.0)],
        vec![
            FALLING,
            drop_at(420.0),
            (TargetName::PeakTime, Wish::between(20.0, 60.0)),
        ],
    ] {
        let shaped = shaped(&plan(Shape::Monotone), &wishes);
        assert!(shaped.is_all_met(), "{:?}", shaped.met);
        let drop_s = shaped
            .after
            .derived
            .phases
            .total_s
            .reached()
            .copied()
            .unwrap();
        let peak = shaped
            .plan
            .curve
            .interpolant()
            .slope_extrema(0.0, drop_s)
            .highest;
        let steepest = bends_behind(&shaped.plan, peak.x).fold(f64::NEG_INFINITY, f64::max);
        assert!(steepest < 1e-12, "bends up by {steepest} °C/s²");
        let [before, after] = shaped.wobble_c_per_min2;
        assert!(after < before, "{before} {after}");
    }
}

#[test]
fn peak_is_where_and_as_high_as_wished() {
    let wishes = [
        (TargetName::PeakTime, Wish::exactly(90.0)),
        (TargetName::PeakRise, Wish::exactly(35.0)),
        FALLING,
    ];
    let falling = shaped(&plan(Shape::Smooth), &wishes);
    assert!(falling.is_all_met(), "{:?}", falling.met);
    let alone = shaped(&plan(Shape::Smooth), &wishes[..2]);
    assert!(alone.is_all_met(), "{:?}", alone.met);
    for shaped in [falling, alone] {
        let off_s = (met(&shaped, TargetName::PeakTime) - 90.0).abs();
        assert!(off_s < 0.5, "{off_s} s");
    }
    let capped = shaped(&plan(Shape::Smooth), &[(TargetName::PeakRise, most(38.0))]);
    assert!(
        capped.is_all_met() && met(&capped, TargetName::PeakRise) <= 38.02,
        "{:?}",
        capped.met
    );
}

#[test]
fn times_that_contradict_each_other_are_named_together() {
    // First crack at 6:40 and 20 % development leave 400 s for 80 %: a drop at 8:20, not 9:30.
    let wishes = [
        (TargetName::Time(Mark(FirstCrack)), Wish::exactly(400.0)),
        drop_at(570.0),
        (
            TargetName::Share(PhaseName::Development),
            Wish::exactly(20.0),
        ),
        (TargetName::StartTemp, Wish::exactly(60.0)),
    ];
    let shaped = shaped(&plan(Shape::Smooth), &wishes);
    assert_eq!(shaped.conflicts.len(), 1, "{:?}", shaped.conflicts);
    let conflict = &shaped.conflicts[0];
    let mut named = vec![Ground::Wish(conflict.gives_way)];
    named.extend(&conflict.against);
    named.sort();
    let expected: Vec<Ground> = wishes[..3]
        .iter()
        .map(|(name, _)| Ground::Wish(*name))
        .collect();
    let mut expected = expected;
    expected.sort();
    assert_eq!(named, expected, "all three and nothing else");
    assert!(0.0 < conflict.by, "{conflict:?}");
    let others = shaped
        .met
        .iter()
        .filter(|met| met.name != conflict.gives_way);
    assert!(
        others.into_iter().all(|met| met.miss == 0.0),
        "{:?}",
        shaped.met
    );
    let line = shaped
        .lines(TempUnit::Celsius)
        .into_iter()
        .find(|line| line.contains("gives way"));
    let line = line.unwrap();
    assert!(
        line.contains("9:30") && line.contains("20.0 %") && line.contains("6:40"),
        "{line}"
    );
}

#[test]
fn rise_that_the_phase_cannot_hold_gives_way_by_the_least() {
    // 14 °C in 100 s are 8.4 °C/min; a rise that only falls can't end above its mean.
    let wishes = [
        FALLING,
        (
            TargetName::Length(PhaseName::Development),
            Wish::exactly(100.0),
        ),
        (TargetName::Rise(Drop), least(12.0)),
    ];
    let shaped = shaped(&plan(Shape::Smooth), &wishes);
    let conflict = shaped
        .conflicts
        .iter()
        .find(|conflict| conflict.gives_way == TargetName::Rise(Drop));
    let conflict = conflict.unwrap();
    assert!((conflict.by - 3.6).abs() < 0.02, "{conflict:?}");
    for name in [
        TargetName::FallingRise,
        TargetName::Length(PhaseName::Development),
    ] {
        assert!(
            conflict.against.contains(&Ground::Wish(name)),
            "{conflict:?}"
        );
    }
}

#[test]
fn finish_below_first_crack_and_a_development_contradict_each_other() {
    let wishes = [
        (TargetName::Temp(Mark(FirstCrack)), Wish::exactly(195.0)),
        (TargetName::Temp(Drop), Wish::exactly(190.0)),
        (
            TargetName::Length(PhaseName::Development),
            Wish::exactly(100.0),
        ),
    ];
    let both = shaped(&plan(Shape::Smooth), &wishes);
    assert!(
        both.conflicts
            .iter()
            .any(|conflict| conflict.gives_way == TargetName::Temp(Drop)),
        "{:?}",
        both.conflicts
    );
    // Without the development, nobody minds a drop before first crack.
    let early = shaped(&plan(Shape::Smooth), &wishes[..2]);
    assert!(early.is_all_met(), "{:?}", early.met);
    assert!(
        !early.after.derived.phases.first_crack.is_reached(),
        "dropped before"
    );
}

#[test]
fn what_is_not_wished_stays() {
    let from = plan(Shape::Smooth);
    let shaped = shaped(&from, &[drop_at(540.0)]);
    assert_eq!(shaped.plan.marks, from.marks, "marks");
    assert_eq!(shaped.plan.finishes, from.finishes, "finishes");
    assert_eq!(shaped.plan.airflow, from.airflow, "airflow");
    assert_eq!(shaped.start_c[0], shaped.start_c[1], "start");
    let ids = |plan: &Plan| {
        plan.curve
            .points()
            .iter()
            .map(|point| point.id)
            .collect::<Vec<_>>()
    };
    assert_eq!(ids(&shaped.plan), ids(&from), "the same points, moved");
    let again = self::shaped(&shaped.plan, &[drop_at(540.0)]);
    let seconds = (0..=540).map(f64::from);
    let off_c = seconds
        .map(|time_s| (again.plan.curve.temp_c(time_s) - shaped.plan.curve.temp_c(time_s)).abs());
    let off_c = off_c.fold(0.0, f64::max);
    assert!(off_c < 0.1, "shaping again moves it by {off_c} °C");
}

#[test]
fn accepting_is_one_step_of_undo() {
    let from = plan(Shape::Monotone);
    let wishes = [
        FALLING,
        (TargetName::Temp(Drop), Wish::exactly(210.0)),
        (TargetName::Airflow, most(70.0)),
    ];
    let shaped = shaped(&from, &wishes);
    let mut history = History::of_saved(from.clone());
    history.apply(&shaped.edit).unwrap();
    assert_eq!(**history.plan(), shaped.plan, "the edit makes the plan");
    assert_eq!(history.past().len(), 1, "one step");
    assert!(history.undo(), "undone");
    assert_eq!(**history.plan(), from, "as before");
}

#[test]
fn airflow_is_clamped_into_its_wish_and_nothing_more() {
    let steps = [
        AirEdit::Insert {
            time_s: 200.0,
            percent: 70.0,
        },
        AirEdit::Insert {
            time_s: 400.0,
            percent: 50.0,
        },
    ];
    let steps = steps.map(Edit::Air).to_vec();
    let from = plan(Shape::Smooth)
        .edited(&Edit::Together("", steps))
        .unwrap();
    let shaped = shaped(&from, &[(TargetName::Airflow, Wish::between(60.0, 75.0))]);
    let percents: Vec<f64> = shaped
        .plan
        .airflow
        .points()
        .iter()
        .map(|point| point.percent)
        .collect();
    assert_eq!(percents, [75.0, 70.0, 60.0], "80, 70 and 50 % before");
    assert!(shaped.is_all_met(), "{:?}", shaped.met);
    assert_eq!(
        shaped.plan.airflow.points()[0].id,
        AirId(1),
        "the same points"
    );
}

#[test]
fn locked_points_stay_and_are_named_where_they_stand_in_the_way() {
    let lock = PointEdit::SetLock {
        ids: vec![PointId(5)],
        lock: Lock::Both,
    };
    let from = plan(Shape::Smooth).edited(&Edit::Points(lock)).unwrap();
    let free = shaped(&from, &[FALLING, drop_at(540.0)]);
    assert!(free.is_all_met(), "{:?}", free.met);
    assert_eq!(
        free.plan.curve.point(PointId(5)),
        from.curve.point(PointId(5)),
        "locked"
    );
    // 154 °C at 3:00 is locked: 160 °C can't have been at 2:30.
    let held = shaped(
        &from,
        &[(TargetName::Time(Mark(ColourChange)), Wish::exactly(150.0))],
    );
    let conflict = &held.conflicts[0];
    assert!(
        conflict.against.contains(&Ground::Locked(5)),
        "{conflict:?}"
    );
    assert_eq!(
        held.plan.curve.point(PointId(5)),
        from.curve.point(PointId(5)),
        "still locked"
    );
    let lines = held.lines(TempUnit::Celsius).concat();
    assert!(lines.contains("the locked point 5"), "{lines}");
}

#[test]
fn near_the_curve_means_near_everywhere() {
    let from = plan(Shape::Smooth);
    let shaped = shaped(&from, &[FALLING, (TargetName::NearCurve, most(0.4))]);
    let drop_s = shaped
        .after
        .derived
        .phases
        .total_s
        .reached()
        .copied()
        .unwrap();
    let steps = (0..(drop_s * 10.0) as u32).map(|step| f64::from(step) / 10.0);
    let off_c =
        steps.map(|time_s| (shaped.plan.curve.temp_c(time_s) - from.curve.temp_c(time_s)).abs());
    let off_c = off_c.fold(0.0, f64::max);
    let said = met(&shaped, TargetName::NearCurve);
    assert!(
        0.1 < off_c && (off_c - said).abs() < 0.01,
        "{off_c} °C, said {said} °C"
    );
    assert!(off_c < 0.45, "{off_c} °C");
}

fn with_numbers(plan: &Plan, numbers: [(NumberName, f64); 2]) -> Plan {
    let edits = numbers.map(|(name, value)| {
        let knowledge = Knowledge::Measured;
        Edit::Number(name, Some(Given { value, knowledge }))
    });
    plan.edited(&Edit::Together("", edits.to_vec())).unwrap()
}

/// A heater of so many watts under 250 g.
fn heated(power_w: f64) -> Plan {
    let numbers = [
        (NumberName::Machine(MachineNumber::HeaterPower), power_w),
        (NumberName::Lot(LotNumber::Dose), 250.0),
    ];
    with_numbers(&plan(Shape::Smooth), numbers)
}

#[test]
fn curve_beyond_reach_is_bent_until_the_machine_can_follow() {
    let weak = heated(1200.0);
    let wishes = [FALLING, drop_at(360.0), WITHIN];
    let beyond = shaped(&weak, &wishes[..2]);
    let excess = |shaped: &Shaped| {
        let outlook = &shaped.after.outlook;
        let reach = outlook.reach.as_ref().unwrap();
        let over = (0..360).map(|second| {
            shaped.plan.curve.rise_c_per_s(second as f64) - reach.fastest[second].rise_c_per_s
        });
        over.fold(f64::NEG_INFINITY, f64::max) * 60.0
    };
    assert!(
        0.3 < excess(&beyond),
        "{} °C/min beyond reach without the wish",
        excess(&beyond)
    );
    let within = shaped(&weak, &wishes);
    assert!(within.is_all_met(), "{:?}", within.met);
    // The finding has a margin of 0.1 °C/min.
    assert!(excess(&within) < 0.15, "{} °C/min", excess(&within));
}

#[test]
fn what_no_machine_of_this_power_can_do_is_said() {
    let within = shaped(&heated(900.0), &[FALLING, drop_at(480.0), WITHIN]);
    let reach = within
        .met
        .iter()
        .find(|met| met.name == TargetName::WithinReach)
        .unwrap();
    assert!(0.0 < reach.miss, "{reach:?}");
    assert!(
        within.conflicts.iter().any(|conflict| {
            conflict.gives_way == TargetName::WithinReach
                || conflict
                    .against
                    .contains(&Ground::Wish(TargetName::WithinReach))
        }),
        "{:?}",
        within.conflicts
    );
    let lines = within.lines(TempUnit::Celsius);
    assert!(
        lines
            .iter()
            .any(|line| line.starts_with("Within reach: no")),
        "{lines:?}"
    );
}

#[test]
fn pins_lines_and_holds_give_way_to_the_spline() {
    let mut parts = plan(Shape::Monotone).into_parts();
    let mut points = parts.curve.points().to_vec();
    points[3].segment = Segment::Straight;
    points[6].pinned_rise_c_per_s = Some(0.2);
    parts.curve = SetpointCurve::new(Shape::Monotone, points).unwrap();
    let from = Plan::new(parts).unwrap();
    let shaped = shaped(&from, &[FALLING]);
    assert!(shaped.is_all_met(), "{:?}", shaped.met);
    let plain = |point: &ControlPoint| {
        point.pinned_rise_c_per_s.is_none() && point.segment == Segment::Curved
    };
    assert!(
        shaped.plan.curve.points().iter().all(plain),
        "all curved and free"
    );
}

#[test]
fn a_curve_of_two_points_gets_the_points_that_it_needs() {
    let wishes = [
        (TargetName::StartTemp, Wish::exactly(60.0)),
        drop_at(570.0),
        (
            TargetName::Share(PhaseName::Development),
            Wish::exactly(18.0),
        ),
        (TargetName::Rise(Drop), Wish::exactly(4.0)),
        FALLING,
    ];
    let shaped = shaped(&Plan::fresh(), &wishes);
    assert!(shaped.is_all_met(), "{:?}", shaped.met);
    let count = shaped.plan.curve.points().len();
    assert!((8..=24).contains(&count), "{count} points");
}

#[test]
fn little_more_or_less_changes_little() {
    let wishes = [
        FALLING,
        drop_at(570.0),
        (TargetName::Rise(Drop), Wish::exactly(5.0)),
    ];
    let from = plan(Shape::Smooth);
    let one = shaped(&from, &wishes);
    let mut parts = from.into_parts();
    let points = parts
        .curve
        .points()
        .iter()
        .zip([1e-5, -1e-5].into_iter().cycle());
    let points = points.map(|(point, off)| ControlPoint {
        temp_c: point.temp_c + off,
        ..*point
    });
    parts.curve = SetpointCurve::new(Shape::Smooth, points.collect()).unwrap();
    let other = shaped(&Plan::new(parts).unwrap(), &wishes);
    for second in 0..=570 {
        let time_s = f64::from(second);
        let off_c = (one.plan.curve.temp_c(time_s) - other.plan.curve.temp_c(time_s)).abs();
        assert!(off_c < 0.02, "{off_c} °C at {time_s} s");
    }
    assert_eq!(
        shaped(&plan(Shape::Smooth), &wishes).plan,
        one.plan,
        "the same again, bit for bit"
    );
}

#[test]
fn shaping_can_be_stopped_tells_how_far_it_is_and_wants_a_wish() {
    let from = plan(Shape::Smooth);
    let stopped = shape(&from, &targets(&[FALLING]), &AtomicBool::new(true), &|_| ());
    assert!(matches!(stopped, Err(ShapeError::Cancelled)), "stopped");
    let nothing = shape(&from, &Targets::default(), &AtomicBool::new(false), &|_| ());
    assert!(
        matches!(nothing, Err(ShapeError::NothingWished)),
        "nothing wished"
    );
    let shares = RefCell::new(Vec::new());
    let told = |share| shares.borrow_mut().push(share);
    shape(
        &heated(1200.0),
        &targets(&[FALLING, drop_at(360.0), WITHIN]),
        &AtomicBool::new(false),
        &told,
    )
    .unwrap();
    let shares = shares.into_inner();
    assert!(
        1 < shares.len() && shares.is_sorted() && shares.last() == Some(&1.0),
        "{shares:?}"
    );
}
