//! Invented roasts for the tests and benchmarks of the batch kernel: every number of machine, lot and room varied.
#![allow(
    dead_code,
    clippy::unwrap_used,
    reason = "not every test needs all of it, and a test may stop at the first surprise"
)]

use chaffinch_twin::{FeedForward, LotParams, MachineParams, RoastParams, RoomParams, Setpoint};

/// The curve of the demo plan (invented), with airflow that falls twice.
pub(crate) fn setpoint() -> Setpoint {
    const KNOTS: [(f64, f64); 10] = [
        (0.0, 20.0),
        (30.0, 70.0),
        (60.0, 100.0),
        (120.0, 132.0),
        (180.0, 154.0),
        (240.0, 171.0),
        (330.0, 189.0),
        (420.0, 202.0),
        (540.0, 214.0),
        (600.0, 219.0),
    ];
    let mut temp_c = Vec::new();
    let mut air_share = Vec::new();
    for second in 0..=600 {
        let t = f64::from(second);
        let piece = KNOTS.windows(2).find(|pair| t <= pair[1].0).unwrap();
        let along = (t - piece[0].0) / (piece[1].0 - piece[0].0);
        temp_c.push(piece[0].1 + along * (piece[1].1 - piece[0].1));
        air_share.push(if second < 200 {
            1.0
        } else if second < 400 {
            0.95
        } else {
            0.9
        });
    }
    Setpoint::new(temp_c, air_share).unwrap()
}

/// `count` roasts with numbers from a fixed sequence.
pub(crate) fn roasts(count: usize) -> Vec<RoastParams> {
    let mut state = 1_u64;
    let mut between = |low: f64, high: f64| {
        // Steele, Lea and Flood 2014, SplitMix64.
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        let share = ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64;
        low + share * (high - low)
    };
    (0..count)
        .map(|i| {
            let mut machine = MachineParams::default();
            machine.heater_power_w *= between(0.9, 1.25);
            machine.heater_lag_s = between(2.0, 8.0);
            machine.fan_flow_m3_per_s *= between(0.9, 1.1);
            machine.fan_exponent = if i % 3 == 0 { between(0.7, 1.4) } else { 1.0 };
            machine.contact = between(0.6, 1.6);
            machine.probe.lag_s = between(2.0, 8.0);
            machine.probe.surface_share = between(0.5, 0.9);
            machine.probe.depth = between(0.2, 0.8);
            machine.probe.offset_k = between(-2.0, 2.0);
            machine.gains.feed_forward = if i % 2 == 0 {
                FeedForward::None
            } else {
                FeedForward::AirToSetpoint
            };
            let lot = LotParams {
                dose_kg: between(0.14, 0.24),
                moisture_wb: between(0.08, 0.13),
                bean_density_kg_per_m3: between(1100.0, 1300.0),
                bean_diameter_m: between(5.6e-3, 6.8e-3),
                conductivity_w_per_m_k: between(0.11, 0.2),
                drying: between(0.6, 1.6),
                exotherm: between(0.0, 1.5),
                dry_loss: between(0.5, 1.5),
            };
            let room = RoomParams {
                altitude_m: between(0.0, 1800.0),
                ambient_c: between(5.0, 32.0),
                humidity_percent: between(20.0, 90.0),
                mains_v: between(205.0, 245.0),
            };
            RoastParams::new(&machine, &lot, &room).unwrap()
        })
        .collect()
}
