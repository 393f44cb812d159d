//! 1,000 samples of value and derivative of a curve of 12 points, for the comparison in `tests/peers/compare-sampling.sh`,
//! and what else one edit of it asks for.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    reason = "a benchmark, not an interface"
)]

use std::hint::black_box;

use chaffinch_curve::{
    ControlPoint, Marks, Phases, PlateauRule, PointId, SetpointCurve, Shape, SteepFall, coolings,
    overshoots, plateaus, rise_turns, steep_falls,
};
use criterion::{Criterion, criterion_group, criterion_main};

/// Invented; `tests/peers/pchip.py` has the same.
const KNOTS: [(f64, f64); 12] = [
    (0.0, 24.0),
    (30.0, 70.0),
    (75.0, 110.0),
    (130.0, 138.0),
    (200.0, 160.0),
    (260.0, 174.0),
    (320.0, 185.0),
    (380.0, 194.0),
    (440.0, 202.0),
    (500.0, 209.0),
    (560.0, 215.0),
    (630.0, 220.5),
];

fn curve(shape: Shape) -> SetpointCurve {
    let points = (0..)
        .zip(KNOTS)
        .map(|(id, (t, c))| ControlPoint::new(PointId(id), t, c))
        .collect();
    SetpointCurve::new(shape, points).unwrap()
}

fn sampling(criterion: &mut Criterion) {
    let monotone = curve(Shape::Monotone);
    let step_s = monotone.end_s() / 999.0;
    assert_eq!(
        monotone.sample(step_s, monotone.end_s()).time_s.len(),
        1000,
        "the name says 1,000"
    );
    criterion.bench_function("sample_1000_value_and_rise", |bench| {
        bench.iter(|| black_box(&monotone).sample(black_box(step_s), black_box(630.0)));
    });
    criterion.bench_function("phases_to_one_drop", |bench| {
        bench.iter(|| Phases::of(black_box(&monotone), &Marks::default(), black_box(215.0)));
    });
    criterion.bench_function("shape_events", |bench| {
        let limit = SteepFall {
            window_s: 30.0,
            drop_c_per_s: 0.1,
        };
        let rule = PlateauRule {
            max_rise_c_per_s: 0.02,
            min_duration_s: 20.0,
        };
        bench.iter(|| {
            let curve = black_box(&monotone);
            let turns = rise_turns(curve, 600.0, 0.02);
            let falls = steep_falls(curve, 600.0, limit);
            (
                turns,
                falls,
                coolings(curve, 600.0),
                plateaus(curve, 600.0, rule),
                overshoots(curve, 0.1),
            )
        });
    });
    for shape in [Shape::Monotone, Shape::Smooth] {
        criterion.bench_function(&format!("build_12_points_{shape:?}"), |bench| {
            let points = monotone.points().to_vec();
            bench.iter(|| SetpointCurve::new(shape, black_box(points.clone())).unwrap());
        });
    }
}

criterion_group!(benches, sampling);
criterion_main!(benches);
