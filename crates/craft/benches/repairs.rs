//! All repairs of a plan with as many findings as are repaired, or more: at most 5 ms for 12 points, 30 ms for 200.
//!
//! The waves are the slowest of those tried: with 1 °C on 200 points nearly every search fails. Six steep falls on 200 points
//! that nothing mends would take twice as long; none of the curves tried had them.
#![allow(
    missing_docs,
    unused_crate_dependencies,
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a benchmark may stop at the first surprise"
)]

use chaffinch_craft::{
    Derived, Plan, limits::MAX_REPAIRED_FINDINGS, suggest_repairs, units::TempUnit,
};
use chaffinch_curve::{ControlPoint, PointId, SetpointCurve, Shape};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

/// Points over 900 s with `wave_c`, in °C, added to every other one, so that the rise goes up and down all the time.
fn plan(points: u32, wave_c: f64) -> Plan {
    let points = (0..points).map(|number| {
        let share = f64::from(number) / f64::from(points - 1);
        let wave_c = wave_c * f64::from(number % 2);
        let temp_c = 100.0 + 118.0 * (1.0 - (1.0 - share).powf(1.8)) + wave_c;
        ControlPoint::new(PointId(number + 1), (share * 899.0).round(), temp_c)
    });
    let mut parts = Plan::fresh().into_parts();
    parts.curve = SetpointCurve::new(Shape::Monotone, points.collect()).unwrap();
    Plan::new(parts).unwrap()
}

fn all_repairs(criterion: &mut Criterion) {
    for (points, wave_c) in [(12, 12.0), (200, 1.0)] {
        let plan = plan(points, wave_c);
        let derived = Derived::of(&plan);
        assert!(
            MAX_REPAIRED_FINDINGS <= derived.findings.len(),
            "as many as are repaired"
        );
        let name = format!("all repairs, {points} points");
        criterion.bench_function(&name, |bencher| {
            bencher.iter(|| suggest_repairs(black_box(&plan), &derived, TempUnit::Celsius));
        });
    }
}

criterion_group!(benches, all_repairs);
criterion_main!(benches);
