//! All repairs of a plan, with every forecast that is tried for them: the goal is at most 40 ms. Last measured,
//! beside other work: 12 points 4 to 12 ms, 200 points 50 to 58 ms.
//!
//! The waves have as many findings as are repaired, or more, and are the slowest of those tried: with 1 °C on 200 points nearly every
//! search fails. On a weak mains most findings are the forecast's, and most of their repairs fail
//! after as many forecasts as are allowed.
#![allow(
    missing_docs,
    unused_crate_dependencies,
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a benchmark may stop at the first surprise"
)]

use chaffinch_craft::{
    Derived, Edit, Given, Knowledge, NumberName, Outlook, Plan, RoomNumber, all_findings,
    limits::MAX_REPAIRED_FINDINGS, suggest_repairs, units::TempUnit,
};
use chaffinch_curve::{ControlPoint, PointId, SetpointCurve, Shape};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

/// Points over `length_s` with `wave_c`, in °C, added to every other one, so that the rise goes up and down all the time.
fn plan(points: u32, length_s: f64, wave_c: f64) -> Plan {
    let points = (0..points).map(|number| {
        let share = f64::from(number) / f64::from(points - 1);
        let wave_c = wave_c * f64::from(number % 2);
        let temp_c = 100.0 + 118.0 * (1.0 - (1.0 - share).powf(1.8)) + wave_c;
        ControlPoint::new(PointId(number + 1), (share * length_s).round(), temp_c)
    });
    let mut parts = Plan::fresh().into_parts();
    parts.curve = SetpointCurve::new(Shape::Monotone, points.collect()).unwrap();
    Plan::new(parts).unwrap()
}

/// The same plan on a mains voltage that is too low for it.
fn on_weak_mains(plan: &Plan) -> Plan {
    let given = Given {
        value: 160.0,
        knowledge: Knowledge::Measured,
    };
    let edit = Edit::Number(NumberName::Room(RoomNumber::Mains), Some(given));
    plan.edited(&edit).unwrap()
}

fn all_repairs(criterion: &mut Criterion) {
    for (name, plan, is_weak) in [
        ("12 points", plan(12, 899.0, 12.0), false),
        ("200 points", plan(200, 899.0, 1.0), false),
        (
            "weak mains, 12 points",
            on_weak_mains(&plan(12, 560.0, 0.0)),
            true,
        ),
        (
            "weak mains, 12 wavy points",
            on_weak_mains(&plan(12, 560.0, 6.0)),
            true,
        ),
    ] {
        let (derived, outlook) = (Derived::of(&plan), Outlook::of(&plan));
        let findings = all_findings(&derived, &outlook);
        assert!(
            MAX_REPAIRED_FINDINGS <= findings.len() || is_weak,
            "{name}: as many as are repaired"
        );
        // Both the stop and its cause, or there is little to try.
        let foreseen = outlook.findings.len();
        assert!(
            !is_weak || 2 <= foreseen && outlook.foreseen().is_some(),
            "{name}: {foreseen}"
        );
        criterion.bench_function(&format!("all repairs, {name}"), |bencher| {
            bencher.iter(|| {
                let celsius = TempUnit::Celsius;
                suggest_repairs(black_box(&plan), &derived, &outlook, &findings, celsius)
            });
        });
    }
}

criterion_group!(benches, all_repairs);
criterion_main!(benches);
