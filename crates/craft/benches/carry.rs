//! Carrying a plan over with everything that comes with it. The goal is 250 ms.
#![allow(
    missing_docs,
    unused_crate_dependencies,
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a benchmark may stop at the first surprise"
)]

use chaffinch_craft::{
    Given, Knowledge, LotNumber, Plan,
    carry::{CarryRequest, Keep, PracticeRules, Target, carry},
};
use chaffinch_curve::{ControlPoint, PointId, SetpointCurve, Shape};
use criterion::{Criterion, criterion_group, criterion_main};
use std::{hint::black_box, sync::atomic::AtomicBool};

/// `count` points over 600 s whose rise falls all the way; of the coffee only the altitude is known.
fn plan(count: u32) -> Plan {
    let last = f64::from(count - 1);
    let points = (0..count).map(|number| {
        let share = f64::from(number) / last;
        let temp_c = 100.0 + 118.0 * (1.0 - (1.0 - share).powf(1.8));
        ControlPoint::new(PointId(number + 1), share * 600.0, temp_c)
    });
    let mut parts = Plan::fresh().into_parts();
    parts.curve = SetpointCurve::new(Shape::Smooth, points.collect()).unwrap();
    parts
        .lot
        .numbers
        .set(LotNumber::Altitude, Some(altitude(900.0)));
    Plan::new(parts).unwrap()
}

fn altitude(value: f64) -> Given {
    Given {
        value,
        knowledge: Knowledge::Measured,
    }
}

fn carry_over(criterion: &mut Criterion) {
    let rules = PracticeRules::default();
    let mut group = criterion.benchmark_group("carry over by altitude alone");
    group.sample_size(10);
    for (count, keep) in [
        (12, Keep::CoreHistory),
        (12, Keep::SurfaceToCore),
        (12, Keep::BrowningWork),
        (40, Keep::CoreHistory),
        (200, Keep::CoreHistory),
    ] {
        let from = plan(count);
        let mut to = Target::of(&from);
        to.lot
            .numbers
            .set(LotNumber::Altitude, Some(altitude(1900.0)));
        let mut request = CarryRequest::new(&from, to);
        request.keep = keep;
        request.practice = Some(&rules);
        group.bench_function(format!("{count} points, {}", keep.key()), |bencher| {
            let never = AtomicBool::new(false);
            bencher.iter(|| carry(black_box(&request), &never, &|_| ()).unwrap());
        });
    }
    group.finish();
}

criterion_group!(benches, carry_over);
criterion_main!(benches);
