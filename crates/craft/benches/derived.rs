//! One edit to all derived values: 12 points, 900 samples. The goal is 20 µs at the median.
#![allow(
    missing_docs,
    unused_crate_dependencies,
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a benchmark may stop at the first surprise"
)]

use chaffinch_craft::{Derived, Edit, Plan};
use chaffinch_curve::{ControlPoint, CurvePoint, PointEdit, PointId, SetpointCurve, Shape};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

/// Twelve points over 900 s whose rise falls all the way.
fn plan() -> Plan {
    let points = (0..12).map(|number| {
        let share = f64::from(number) / 11.0;
        let temp_c = 100.0 + 122.0 * (1.0 - (1.0 - share).powf(1.8));
        ControlPoint::new(PointId(number + 1), (share * 899.0).round(), temp_c)
    });
    let mut parts = Plan::fresh().into_parts();
    parts.curve = SetpointCurve::new(Shape::Monotone, points.collect()).unwrap();
    Plan::new(parts).unwrap()
}

fn edit_to_derived(criterion: &mut Criterion) {
    let plan = plan();
    let point = plan.curve.points()[6];
    let mut flip = 0.0;
    criterion.bench_function(
        "one edit to all derived values, 12 points, 900 samples",
        |bencher| {
            bencher.iter(|| {
                flip = 0.5 - flip;
                let to = CurvePoint {
                    time_s: point.time_s,
                    temp_c: point.temp_c + flip,
                };
                let edit = Edit::Points(PointEdit::Move { id: point.id, to });
                let plan = plan.edited(black_box(&edit)).unwrap();
                let derived = Derived::of(&plan);
                assert_eq!(derived.samples.time_s.len(), 900, "900 samples");
                black_box(derived)
            });
        },
    );
}

criterion_group!(benches, edit_to_derived);
criterion_main!(benches);
