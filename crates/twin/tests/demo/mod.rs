//! The invented demo curve and lots of the design notes.
#![allow(dead_code, reason = "each test file uses its own share")]

use chaffinch_twin::{LotParams, Setpoint};

/// Demo curve in straight lines, in s and °C.
pub(crate) const POINTS: [(f64, f64); 10] = [
    (0.0, 20.0),
    (30.0, 70.0),
    (60.0, 100.0),
    (120.0, 132.0),
    (180.0, 154.0),
    (240.0, 171.0),
    (330.0, 189.0),
    (420.0, 202.0),
    (480.0, 208.5),
    (540.0, 214.0),
];

/// Straight lines through `points`, sampled each second, with a steady fan.
pub(crate) fn lines(points: &[(f64, f64)], setting: f64) -> Setpoint {
    let end = points.last().unwrap().0 as usize;
    let temp_c: Vec<f64> = (0..=end)
        .map(|s| {
            let s = s as f64;
            let i = points
                .iter()
                .rposition(|p| p.0 <= s)
                .unwrap()
                .min(points.len() - 2);
            let (a, b) = (points[i], points[i + 1]);
            a.1 + (b.1 - a.1) * (s - a.0) / (b.0 - a.0)
        })
        .collect();
    let air = vec![setting; temp_c.len()];
    Setpoint::new(temp_c, air).unwrap()
}

/// The demo curve, stretched so that it ends at `end_c`.
pub(crate) fn demo_to(end_c: f64) -> Setpoint {
    let stretched = POINTS.map(|(s, c)| (s, 20.0 + (c - 20.0) * (end_c - 20.0) / (214.0 - 20.0)));
    lines(&stretched, 1.0)
}

/// The demo curve.
pub(crate) fn demo() -> Setpoint {
    lines(&POINTS, 1.0)
}

/// The three invented lots: soft low-grown natural, mid-grown washed, hard high-grown washed.
pub(crate) fn lots() -> [LotParams; 3] {
    [
        (0.108, 1130.0, 6.4e-3),
        (0.112, 1200.0, 6.3e-3),
        (0.115, 1280.0, 6.0e-3),
    ]
    .map(
        |(moisture_wb, bean_density_kg_per_m3, bean_diameter_m)| LotParams {
            moisture_wb,
            bean_density_kg_per_m3,
            bean_diameter_m,
            ..LotParams::default()
        },
    )
}
