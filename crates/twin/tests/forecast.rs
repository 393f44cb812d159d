//! The forecast: its figures, its limits, and that reach means what it says.
#![allow(
    missing_docs,
    clippy::missing_assert_message,
    clippy::unwrap_used,
    reason = "tests"
)]

mod demo;

use chaffinch_twin::{
    Cause, ControllerGains, FeedForward, Forecast, Limit, LotParams, MachineParams, Off,
    RoastParams, RoomParams, Setpoint, roast,
};

fn forecast_with(
    machine: &MachineParams,
    lot: &LotParams,
    setpoint: &Setpoint,
) -> Result<Forecast, Box<Off>> {
    Forecast::of(machine, lot, &RoomParams::default(), setpoint)
}

fn limits(machine: &MachineParams, lot: &LotParams, setpoint: &Setpoint) -> Vec<Limit> {
    forecast_with(machine, lot, setpoint).unwrap_err().limits
}

#[test]
fn figures_are_those_of_the_trace() {
    let setpoint = demo::demo();
    let forecast =
        forecast_with(&MachineParams::default(), &LotParams::default(), &setpoint).unwrap();
    let (trace, figures) = (&forecast.trace, &forecast.figures);
    let misses: Vec<f64> = trace
        .probe_c
        .iter()
        .zip(setpoint.temp_c())
        .map(|(p, s)| p - s)
        .collect();
    let worst = misses.iter().map(|k| k.abs()).fold(0.0, f64::max);
    assert_eq!(figures.greatest_miss_k.value.abs(), worst);
    assert_eq!(
        misses[figures.greatest_miss_k.time_s],
        figures.greatest_miss_k.value
    );
    let square = misses.iter().map(|k| k * k).sum::<f64>() / 541.0;
    assert!((figures.rms_miss_k - square.sqrt()).abs() < 1e-12);
    assert_eq!(trace.len(), 541);
    assert_eq!(figures.roasted_kg, 0.2 * (1.0 - trace.weight_loss[540]));
    // 1.6 kW for 9 min would be 0.24 kWh; the element's own heat, by trapezia, is what was drawn less what it still holds.
    let given_kwh: f64 = trace
        .heater_w
        .windows(2)
        .map(|w| f64::midpoint(w[0], w[1]))
        .sum::<f64>()
        / 3.6e6;
    let held_kwh = 4.0 * trace.heater_w[540] / 3.6e6;
    assert!(
        (figures.heater_kwh - given_kwh - held_kwh).abs() < 1e-5,
        "{} {given_kwh}",
        figures.heater_kwh
    );
    assert_eq!(trace.probe_passes_s(500.0), None);
    let passes_s = trace.probe_passes_s(200.0).unwrap();
    assert!(
        trace.probe_c[passes_s as usize] < 200.0 && 200.0 <= trace.probe_c[passes_s as usize + 1]
    );
}

#[test]
fn low_mains_cannot_finish_and_reach_says_why() {
    // Design notes, section 6: 207 V ends near 204 °C instead of 214 °C.
    let room = RoomParams {
        mains_v: 207.0,
        ..RoomParams::default()
    };
    let forecast = Forecast::of(
        &MachineParams::default(),
        &demo::lots()[2],
        &room,
        &demo::demo(),
    )
    .unwrap();
    assert!(
        (203.0..206.0).contains(&forecast.figures.drop_probe_c),
        "{:?}",
        forecast.figures
    );
    assert!(
        (220..245).contains(&forecast.figures.limited_s),
        "{:?}",
        forecast.figures
    );
    let late = &forecast.reach.fastest[400];
    assert_eq!(late.cause, Cause::HeaterCeiling);
    // The curve asks 13 °C in 90 s there.
    assert!(late.rise_c_per_s < 13.0 / 90.0, "{late:?}");
}

#[test]
fn slopes_inside_reach_are_followed_and_slopes_outside_are_not() {
    // A controller that knows its air, so that the heater and not the controller decides.
    let gains = ControllerGains {
        feed_forward: FeedForward::AirToSetpoint,
        ..ControllerGains::default()
    };
    let machine = MachineParams {
        gains,
        ..MachineParams::default()
    };
    let params = RoastParams::new(&machine, &LotParams::default(), &RoomParams::default()).unwrap();
    let forecast = forecast_with(&machine, &LotParams::default(), &demo::demo()).unwrap();
    let fastest = forecast.reach.fastest[240];
    assert_eq!(fastest.cause, Cause::HeaterCeiling, "{fastest:?}");
    // The demo curve to 240 s and 171 °C, then 40 s of a steeper line.
    let miss_k = |rise_c_per_s: f64| {
        let mut points = demo::POINTS[..6].to_vec();
        points.push((280.0, 171.0 + 40.0 * rise_c_per_s));
        let setpoint = demo::lines(&points, 1.0);
        roast(&params, &setpoint).probe_c[280] - setpoint.temp_c()[280]
    };
    let (gentle_k, steep_k) = (
        miss_k(0.6 * fastest.rise_c_per_s),
        miss_k(1.4 * fastest.rise_c_per_s),
    );
    assert!(
        gentle_k.abs() < 4.0 && steep_k < -15.0,
        "{fastest:?}: {gentle_k} {steep_k}"
    );
}

#[test]
fn corridor_is_the_rise_that_full_and_no_heat_settle_at() {
    // Reach from the steady balance against what the roast does when the setpoint jumps out of reach at 240 s.
    let machine = MachineParams::default();
    let forecast = forecast_with(&machine, &LotParams::default(), &demo::demo()).unwrap();
    for (target_c, bounds) in [
        (290.0, &forecast.reach.fastest),
        (0.0, &forecast.reach.slowest),
    ] {
        let mut temp_c = demo::demo().temp_c()[..300].to_vec();
        temp_c[240..].fill(target_c);
        let setpoint = Setpoint::new(temp_c, vec![1.0; 300]).unwrap();
        let params =
            RoastParams::new(&machine, &LotParams::default(), &RoomParams::default()).unwrap();
        let trace = roast(&params, &setpoint);
        // Some 20 s later element, probe and bed have settled; the corridor there, at the temperature reached by then.
        let rise = (trace.probe_c[264] - trace.probe_c[260]) / 4.0;
        let reached_s = forecast
            .trace
            .probe_passes_s(trace.probe_c[262])
            .unwrap_or(0.0) as usize;
        let bound = bounds[reached_s].rise_c_per_s;
        assert!(
            (rise / bound - 1.0).abs() < 0.15,
            "{target_c} °C: {rise} against {bound}"
        );
    }
}

#[test]
fn controller_lag_is_told_from_lack_of_heat() {
    let forecast = forecast_with(
        &MachineParams::default(),
        &LotParams::default(),
        &demo::demo(),
    )
    .unwrap();
    assert_eq!(forecast.reach.fastest[30].cause, Cause::ControllerLag);
    assert!(forecast.trace.effort[30] < 1.0);
    let gains = ControllerGains {
        feed_forward: FeedForward::AirToSetpoint,
        ..ControllerGains::default()
    };
    let ahead = MachineParams {
        gains,
        ..MachineParams::default()
    };
    let better = forecast_with(&ahead, &LotParams::default(), &demo::demo()).unwrap();
    let (with_k, without_k) = (better.figures.rms_miss_k, forecast.figures.rms_miss_k);
    assert!(with_k < 0.8 * without_k, "{with_k} {without_k}");
}

#[test]
fn reach_closes_at_the_temperature_ceiling() {
    let machine = MachineParams {
        temp_ceiling_c: 214.0,
        ..MachineParams::default()
    };
    let forecast = forecast_with(&machine, &LotParams::default(), &demo::demo()).unwrap();
    let fastest = forecast.reach.fastest.last().unwrap();
    assert_eq!(fastest.cause, Cause::TemperatureCeiling);
    assert_eq!(fastest.rise_c_per_s, 0.0);
    for (fast, slow) in forecast.reach.fastest.iter().zip(&forecast.reach.slowest) {
        assert!(slow.rise_c_per_s <= fast.rise_c_per_s);
    }
}

#[test]
fn inlet_ceiling_is_named() {
    let machine = MachineParams {
        inlet_ceiling_c: 215.0,
        ..MachineParams::default()
    };
    let forecast = forecast_with(&machine, &LotParams::default(), &demo::demo()).unwrap();
    assert_eq!(forecast.reach.fastest[500].cause, Cause::InletCeiling);
    let hottest_c = forecast.trace.inlet_c.iter().copied().fold(0.0, f64::max);
    assert!(
        214.0 < hottest_c && hottest_c <= 215.0 + 1e-9,
        "{hottest_c}"
    );
}

#[test]
fn a_bed_that_rests_has_no_forecast() {
    // Design notes, section 6: a fan at 0.75 gives 0.90 times the lifting airflow for lot 2.
    let off = forecast_with(
        &MachineParams::default(),
        &demo::lots()[2],
        &demo::lines(&demo::POINTS, 0.75),
    )
    .unwrap_err();
    let Limit::BedRests { time_s: 0, lift } = off.limits[0] else {
        panic!("{:?}", off.limits)
    };
    assert!((lift - 0.90).abs() < 0.01, "{lift}");
    let reach = off.reach.unwrap();
    assert_eq!(reach.fastest[0].cause, Cause::AirflowTooLow);
    assert!(
        off.limits[0]
            .to_string()
            .contains("0.90 times the least that lifts the bed"),
        "{}",
        off.limits[0]
    );
}

#[test]
fn air_that_carries_beans_out_has_no_forecast() {
    // A single bean hangs at some 14 m/s.
    let machine = MachineParams {
        fan_flow_m3_per_s: 0.05,
        heater_power_w: 15_000.0,
        ..MachineParams::default()
    };
    let off = forecast_with(&machine, &LotParams::default(), &demo::demo()).unwrap_err();
    let found = off.limits.iter().find_map(|limit| match limit {
        Limit::BeansCarriedOut {
            speed_m_per_s,
            terminal_m_per_s,
            time_s,
        } => Some((*speed_m_per_s, *terminal_m_per_s, *time_s)),
        _ => None,
    });
    let (speed, terminal, time_s) = found.unwrap();
    assert!((10.0..20.0).contains(&terminal) && terminal <= speed);
    assert_eq!(
        off.reach.unwrap().slowest[time_s].cause,
        Cause::AirflowTooHigh
    );
}

#[test]
fn each_other_limit_turns_the_forecast_off() {
    let (machine, lot, setpoint) = (MachineParams::default(), LotParams::default(), demo::demo());
    let wet = LotParams {
        moisture_wb: 0.14,
        ..lot.clone()
    };
    assert!(matches!(
        limits(&machine, &wet, &setpoint)[..],
        [Limit::Moisture { found_wb: 0.14 }]
    ));
    let heavy = LotParams {
        dose_kg: 0.3,
        ..lot.clone()
    };
    assert!(matches!(
        limits(&machine, &heavy, &setpoint)[..],
        [Limit::Dose { found_kg: 0.3, .. }]
    ));
    let tiny = LotParams {
        bean_diameter_m: 0.0045,
        ..lot.clone()
    };
    assert!(matches!(
        limits(&machine, &tiny, &setpoint)[..],
        [Limit::BeanSize { .. }]
    ));
    let short = demo::lines(&[(0.0, 20.0), (299.0, 180.0)], 1.0);
    assert!(matches!(
        limits(&machine, &lot, &short)[..],
        [Limit::Duration { found_s: 299 }]
    ));
    assert_eq!(
        limits(&machine, &lot, &short)[0].to_string(),
        "the roast takes 4:59; expected 5:00 to 12:00 (min:s). Move the drop"
    );
    let strong = MachineParams {
        heater_power_w: 2500.0,
        ..machine.clone()
    };
    let hot = limits(&strong, &lot, &demo::demo_to(245.0));
    let [Limit::BeansTooHot { time_s, hottest_c }] = hot[..] else {
        panic!("{hot:?}")
    };
    assert!(400 < time_s && 232.0 < hottest_c, "{hot:?}");
    let wrong = LotParams {
        dose_kg: f64::NAN,
        ..lot
    };
    let off = forecast_with(&machine, &wrong, &setpoint).unwrap_err();
    assert!(matches!(off.limits[..], [Limit::Input(_)]) && off.reach.is_none());
}

#[test]
fn the_demo_machine_does_not_hunt_and_a_hasty_one_does() {
    for lot in demo::lots() {
        let calm = forecast_with(&MachineParams::default(), &lot, &demo::demo()).unwrap();
        assert_eq!(calm.figures.hunting, None);
    }
    let mut hasty = MachineParams::default();
    hasty.gains.proportional_per_k *= 8.0;
    hasty.probe.lag_s = 1.0;
    hasty.probe.surface_share = 0.2;
    hasty.probe.depth = 0.1;
    let found = forecast_with(&hasty, &LotParams::default(), &demo::demo()).unwrap();
    let hunting = found.figures.hunting.unwrap();
    assert!(0.2 < hunting.swing && hunting.from_s < 200, "{hunting:?}");
    assert!((2.0..40.0).contains(&hunting.period_s), "{hunting:?}");
}

#[test]
fn a_low_temperature_ceiling_is_allowed() {
    let machine = |temp_ceiling_c| MachineParams {
        temp_ceiling_c,
        ..MachineParams::default()
    };
    assert!(machine(100.0).check().is_ok() && machine(260.0).check().is_ok());
    assert!(machine(99.0).check().is_err() && machine(261.0).check().is_err());
}

#[test]
fn a_setpoint_refuses_what_cannot_be_run() {
    assert!(Setpoint::new(vec![20.0; 10], vec![1.0; 9]).is_err());
    assert!(Setpoint::new(vec![20.0], vec![1.0]).is_err());
    assert!(Setpoint::new(vec![20.0, f64::NAN], vec![1.0; 2]).is_err());
    assert!(Setpoint::new(vec![20.0, 30.0], vec![1.0, 0.0]).is_err());
}

#[test]
fn a_warm_room_does_not_cool_beans() {
    let room = RoomParams {
        ambient_c: 41.0,
        ..RoomParams::default()
    };
    let forecast = Forecast::of(
        &MachineParams::default(),
        &LotParams::default(),
        &room,
        &demo::demo(),
    );
    assert_eq!(forecast.unwrap().figures.cooling, None);
}
