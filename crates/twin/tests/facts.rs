//! What is published or common practice about roasting in hot air, and how near the model comes. The table in the crate's
//! README says the same in words; these bounds keep it from getting worse.
#![allow(
    missing_docs,
    clippy::missing_assert_message,
    clippy::unwrap_used,
    reason = "tests"
)]

mod demo;

use chaffinch_twin::{
    Forecast, LotParams, MachineParams, RoastParams, RoomParams, SHELLS, Setpoint, Trace,
    empty_run_s, reference_roast, roast,
};

/// Beans in a steady stream of hot air for 10 min: a machine with heat to spare that holds its inlet air at `air_c`, with
/// `airflow` times the air of the demo machine.
fn ten_minutes_in_air(air_c: f64, airflow: f64, exotherm: f64) -> Trace {
    let plain = MachineParams::default();
    let machine = MachineParams {
        heater_power_w: 15_000.0,
        inlet_ceiling_c: air_c,
        heater_lag_s: 0.5,
        fan_flow_m3_per_s: airflow * plain.fan_flow_m3_per_s,
        ..plain
    };
    let lot = LotParams {
        moisture_wb: 0.105 / 1.105,
        exotherm,
        ..LotParams::default()
    };
    let params = RoastParams::new(&machine, &lot, &RoomParams::default()).unwrap();
    // A setpoint that is never reached keeps the heater at the inlet ceiling.
    let setpoint = Setpoint::new(vec![300.0; 601], vec![1.0; 601]).unwrap();
    reference_roast::<SHELLS>(&params, &setpoint)
}

fn last(list: &[f64]) -> f64 {
    *list.last().unwrap()
}

#[test]
fn moisture_after_ten_minutes_is_in_the_published_range() {
    // Hernández, Heyd, Irles, Valdovinos, Trystram, J. Food Eng. 78 (2007) 1141, abstract: air of 190-300 °C, 10 min,
    // 10.5 % dry basis falls to 0-7 %. Flow and which end belongs to which temperature were not seen.
    let wet = |air_c: f64| {
        let trace = ten_minutes_in_air(air_c, 1.0, 1.0);
        let share = last(&trace.moisture_wb);
        let dry = 1.0 - last(&trace.dry_loss);
        share / (1.0 - share) * dry
    };
    let found = [190.0, 220.0, 250.0, 300.0].map(wet);
    assert!(found.iter().all(|y| (0.0..=0.07).contains(y)), "{found:?}");
    assert!(found.windows(2).all(|pair| pair[1] < pair[0]), "{found:?}");
}

#[test]
fn exotherm_in_constant_air_depends_on_the_airflow() {
    // Abdul Ghani et al. 2019, as quoted in a later paper: less than 5 K in their model; their airflow was not seen.
    let gain_k = |air_c: f64, airflow: f64| {
        let mean_c = |exotherm| last(&ten_minutes_in_air(air_c, airflow, exotherm).mean_c);
        mean_c(1.0) - mean_c(0.0)
    };
    for air_c in [190.0, 220.0] {
        assert!((1.0..5.0).contains(&gain_k(air_c, 3.0)), "{air_c} °C");
        // Known disagreement: with the little air of the demo machine it is twice that.
        assert!((8.0..11.0).contains(&gain_k(air_c, 1.0)), "{air_c} °C");
    }
}

#[test]
fn known_disagreement_of_the_exotherm_stays_as_it_is() {
    // Calorimetry puts its onset at 140-190 °C (Schenker 2000, as quoted) and 165 °C with a peak at 210 °C (Abdul Ghani et al.
    // 2015, as quoted). The law has no onset: W per kg of dry matter at 100, 150, 180 and 200 °C, nothing released yet.
    let expected = [
        (100.0, 46.0),
        (150.0, 263.0),
        (180.0, 622.0),
        (200.0, 1040.0),
    ];
    for (temp_c, w_per_kg) in expected {
        let found = 116.2e6 * (-5500.0_f64 / (temp_c + 273.15)).exp();
        assert!(
            (found / w_per_kg - 1.0).abs() < 0.01,
            "{temp_c} °C: {found}"
        );
    }
    // So the model's own heat is above 0 at 120 s of the demo, far below any published onset (mean 116 °C).
    let params = RoastParams::new(
        &MachineParams::default(),
        &LotParams::default(),
        &RoomParams::default(),
    )
    .unwrap();
    let trace = roast(&params, &demo::demo());
    assert!(trace.mean_c[120] < 125.0);
    assert!(
        (5.0..12.0).contains(&trace.own_heat_w[120]),
        "{}",
        trace.own_heat_w[120]
    );
}

#[test]
fn weight_loss_by_degree_is_near_common_practice() {
    // Common practice, no published source: 11-22 % from light to dark. Known disagreement: the demo curve stretched to 205 °C
    // loses a point too little, and at 232 °C the loss hangs on how long the beans stay hot, so the dark end is not tied down.
    let params = RoastParams::new(
        &MachineParams::default(),
        &demo::lots()[1],
        &RoomParams::default(),
    )
    .unwrap();
    let losses = [205.0, 214.0, 225.0, 232.0]
        .map(|end_c| last(&roast(&params, &demo::demo_to(end_c)).weight_loss));
    assert!((0.09..0.11).contains(&losses[0]), "{losses:?}");
    assert!(
        losses[1..].iter().all(|loss| (0.11..0.22).contains(loss)),
        "{losses:?}"
    );
    assert!(
        losses.windows(2).all(|pair| pair[0] < pair[1]),
        "{losses:?}"
    );
    let mut late = demo::POINTS;
    late[9].1 = 232.0;
    let hurried = last(&roast(&params, &demo::lines(&late, 1.0)).weight_loss);
    assert!(0.05 < losses[3] - hurried, "{hurried} {losses:?}");
}

#[test]
fn demo_roasts_equal_the_prototype() {
    // Design notes, section 6: weight loss, dry loss, spread at the drop, drop reading; another program, other step, N = 8.
    let expected = [
        (0.123, 0.0505, 4.2),
        (0.125, 0.0492, 4.5),
        (0.130, 0.0494, 4.2),
    ];
    for (lot, (weight_loss, dry_loss, spread_k)) in demo::lots().iter().zip(expected) {
        let forecast = Forecast::of(
            &MachineParams::default(),
            lot,
            &RoomParams::default(),
            &demo::demo(),
        )
        .unwrap();
        let figures = &forecast.figures;
        assert!(
            (figures.weight_loss - weight_loss).abs() < 6e-4,
            "{figures:?}"
        );
        assert!((figures.dry_loss - dry_loss).abs() < 2e-4, "{figures:?}");
        assert!(
            (figures.drop_spread_k - spread_k).abs() < 0.1,
            "{figures:?}"
        );
        assert!(
            (figures.greatest_miss_k.value + 11.9).abs() < 0.2,
            "{figures:?}"
        );
        assert_eq!(figures.greatest_miss_k.time_s, 30, "{figures:?}");
    }
}

#[test]
fn common_practice_of_small_machines_holds() {
    // Common practice, no published source: 100-150 g in about 1.5 kW of hot air reaches 215 °C in 8-9 min with heater to
    // spare; forced air then cools it to about 40 °C in 3-5 min.
    let machine = MachineParams {
        heater_power_w: 1500.0,
        ..MachineParams::default()
    };
    for dose_kg in [0.1, 0.125, 0.15] {
        let lot = LotParams {
            dose_kg,
            ..LotParams::default()
        };
        let forecast = Forecast::of(
            &machine,
            &lot,
            &RoomParams::default(),
            &demo::demo_to(215.5),
        )
        .unwrap();
        let reached_s = forecast.trace.probe_passes_s(215.0).unwrap();
        assert!((480.0..=540.0).contains(&reached_s), "{reached_s}");
        assert!(
            forecast.figures.greatest_effort.value < 0.97,
            "{:?}",
            forecast.figures
        );
        assert_eq!(forecast.figures.limited_s, 0);
        // Known disagreement: the model cools faster, in 2 to 2.5 min for these doses, because nothing but the beans is hot
        // in it and the fan is full on at once.
        let cooling = forecast.figures.cooling.unwrap();
        assert!(
            (120..=160).contains(&cooling.core_s),
            "{dose_kg} kg: {cooling:?}"
        );
    }
}

#[test]
fn an_empty_run_takes_ten_to_twenty_seconds() {
    // Common practice, no published source; the default lag in bare air was chosen for it, so this guards the default only.
    let machine = MachineParams::default();
    let params =
        |room: &RoomParams| RoastParams::new(&machine, &LotParams::default(), room).unwrap();
    let usual_s = empty_run_s(&machine, &params(&RoomParams::default())).unwrap();
    assert!((10.0..20.0).contains(&usual_s), "{usual_s}");
    let weak = RoomParams {
        mains_v: 207.0,
        ..RoomParams::default()
    };
    let cold = RoomParams {
        ambient_c: 5.0,
        ..RoomParams::default()
    };
    assert!(usual_s < empty_run_s(&machine, &params(&weak)).unwrap());
    assert!(usual_s < empty_run_s(&machine, &params(&cold)).unwrap());
    let dead = RoomParams {
        mains_v: 90.0,
        ..RoomParams::default()
    };
    assert_eq!(empty_run_s(&machine, &params(&dead)), None);
}
