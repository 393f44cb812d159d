//! How long one roast and one forecast take.
#![allow(missing_docs, clippy::unwrap_used, reason = "a benchmark")]

use criterion::{Criterion, criterion_group, criterion_main};

use chaffinch_twin::{
    Forecast, LotParams, MachineParams, RoastParams, RoomParams, Setpoint, roast,
};

/// The invented demo curve of 9 min, stretched to 600 s, in straight lines.
fn setpoint() -> Setpoint {
    let points = [
        (0.0, 20.0),
        (30.0, 70.0),
        (60.0, 100.0),
        (120.0, 132.0),
        (200.0, 157.0),
        (330.0, 185.0),
        (600.0, 214.0),
    ];
    let temp_c = (0..=600).map(|s| {
        let s = f64::from(s);
        let i = points
            .iter()
            .rposition(|p: &(f64, f64)| p.0 <= s)
            .unwrap()
            .min(points.len() - 2);
        let (a, b) = (points[i], points[i + 1]);
        a.1 + (b.1 - a.1) * (s - a.0) / (b.0 - a.0)
    });
    Setpoint::new(temp_c.collect(), vec![1.0; 601]).unwrap()
}

fn bench(c: &mut Criterion) {
    let (machine, lot, room) = (
        MachineParams::default(),
        LotParams::default(),
        RoomParams::default(),
    );
    let params = RoastParams::new(
        &MachineParams::default(),
        &LotParams::default(),
        &RoomParams::default(),
    )
    .unwrap();
    let setpoint = setpoint();
    c.bench_function("roast_600_s", |b| b.iter(|| roast(&params, &setpoint)));
    c.bench_function("forecast_600_s_with_reach_and_cooling", |b| {
        b.iter(|| Forecast::of(&machine, &lot, &room, &setpoint).unwrap());
    });
}

criterion_group!(benches, bench);
criterion_main!(benches);
