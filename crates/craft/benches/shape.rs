//! Shaping a curve of twelve points by targets. The goals are 20 ms without reach and 250 ms with it.
#![allow(
    missing_docs,
    unused_crate_dependencies,
    clippy::unwrap_used,
    reason = "a benchmark may stop at the first surprise"
)]

use chaffinch_craft::{
    Boundary::{Drop, Mark},
    Given, Knowledge, LotNumber, MachineNumber,
    MarkName::{ColourChange, FirstCrack},
    Plan,
    shape::{TargetName, Targets, Wish, shape},
};
use chaffinch_curve::{ControlPoint, PhaseName, PointId, SetpointCurve, Shape};
use criterion::{Criterion, criterion_group, criterion_main};
use std::{hint::black_box, sync::atomic::AtomicBool};

/// Twelve points over 600 s whose rise falls all the way.
fn plan() -> Plan {
    let points = (0..12).map(|number| {
        let share = f64::from(number) / 11.0;
        let temp_c = 60.0 + 156.0 * (1.0 - (1.0 - share).powf(1.8));
        ControlPoint::new(PointId(number + 1), share * 600.0, temp_c)
    });
    let mut parts = Plan::fresh().into_parts();
    parts.curve = SetpointCurve::new(Shape::Smooth, points.collect()).unwrap();
    let knowledge = Knowledge::Measured;
    // Weak enough that a drop at 6:00 needs rounds within reach.
    let (power, dose) = (1200.0, 250.0);
    let given = |value| Some(Given { value, knowledge });
    parts
        .machine
        .numbers
        .set(MachineNumber::HeaterPower, given(power));
    parts.lot.numbers.set(LotNumber::Dose, given(dose));
    Plan::new(parts).unwrap()
}

fn targets(wishes: &[(TargetName, Wish)]) -> Targets {
    let with = |targets: Targets, (name, wish): &(TargetName, Wish)| targets.with(*name, *wish);
    wishes.iter().try_fold(Targets::default(), with).unwrap()
}

const fn most(most: f64) -> Wish {
    Wish {
        least: None,
        most: Some(most),
    }
}

const fn least(least: f64) -> Wish {
    Wish {
        least: Some(least),
        most: None,
    }
}

/// Every target at once, so that all can be met.
fn everything() -> Vec<(TargetName, Wish)> {
    vec![
        (TargetName::StartTemp, Wish::exactly(60.0)),
        (
            TargetName::Time(Mark(ColourChange)),
            Wish::between(205.0, 235.0),
        ),
        (
            TargetName::Time(Mark(FirstCrack)),
            Wish::between(380.0, 440.0),
        ),
        (TargetName::Time(Drop), Wish::exactly(545.0)),
        (TargetName::Temp(Mark(ColourChange)), Wish::exactly(158.0)),
        (TargetName::Temp(Mark(FirstCrack)), Wish::exactly(197.0)),
        (TargetName::Temp(Drop), Wish::exactly(213.0)),
        (TargetName::Length(PhaseName::Drying), least(200.0)),
        (TargetName::Length(PhaseName::Browning), most(230.0)),
        (
            TargetName::Length(PhaseName::Development),
            Wish::between(100.0, 150.0),
        ),
        (TargetName::Share(PhaseName::Drying), most(45.0)),
        (TargetName::Share(PhaseName::Browning), most(45.0)),
        (
            TargetName::Share(PhaseName::Development),
            Wish::exactly(24.0),
        ),
        (
            TargetName::Rise(Mark(ColourChange)),
            Wish::between(12.0, 22.0),
        ),
        (TargetName::Rise(Mark(FirstCrack)), Wish::between(6.0, 12.0)),
        (TargetName::Rise(Drop), Wish::between(3.0, 7.0)),
        (TargetName::PeakRise, most(42.0)),
        (TargetName::PeakTime, most(60.0)),
        (TargetName::FallingRise, Wish::HOLDS),
        (TargetName::Airflow, Wish::between(60.0, 90.0)),
        (TargetName::NearCurve, most(30.0)),
    ]
}

fn shaping(criterion: &mut Criterion) {
    let plan = plan();
    let all = everything();
    let mut reached = all.clone();
    reached.push((TargetName::WithinReach, Wish::HOLDS));
    let mut against = all.clone();
    against.retain(|(name, _)| *name != TargetName::Rise(Drop));
    against.push((TargetName::Rise(Drop), least(14.0)));
    let steep = vec![
        (TargetName::Time(Drop), Wish::exactly(360.0)),
        (TargetName::FallingRise, Wish::HOLDS),
        (TargetName::WithinReach, Wish::HOLDS),
    ];
    let mut against_reached = against.clone();
    against_reached.push((TargetName::WithinReach, Wish::HOLDS));
    let mut group = criterion.benchmark_group("shape");
    group.sample_size(10);
    for (name, wishes) in [
        (
            "a falling rise and a time of drop",
            all[3..4].iter().chain(&all[18..19]).copied().collect(),
        ),
        ("every target but reach", all),
        ("every target", reached),
        ("a contradiction", against),
        ("a contradiction and reach", against_reached),
        ("steeper than the machine", steep),
    ] {
        let targets = targets(&wishes);
        group.bench_function(name, |bencher| {
            let never = AtomicBool::new(false);
            bencher.iter(|| shape(black_box(&plan), &targets, &never, &|_| ()).unwrap());
        });
    }
    group.finish();
}

criterion_group!(benches, shaping);
criterion_main!(benches);
