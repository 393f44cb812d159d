//! The roast ends when the display reads the drop temperature, in every kernel that shows a roast.
#![allow(
    missing_docs,
    clippy::missing_assert_message,
    clippy::unwrap_used,
    reason = "tests"
)]

mod demo;

use chaffinch_twin::{
    Forecast, Ledger, Limit, LotParams, MachineParams, Off, RoastParams, RoomParams, Setpoint,
    reference_roast,
};

fn forecast(setpoint: &Setpoint) -> Result<Forecast, Box<Off>> {
    let (machine, lot) = (MachineParams::default(), LotParams::default());
    Forecast::of(&machine, &lot, &RoomParams::default(), setpoint)
}

#[test]
fn the_roast_ends_when_the_probe_reads_the_drop() {
    // A setpoint that waits at its end for a slow machine.
    let mut points = demo::POINTS.to_vec();
    points.push((640.0, 222.0));
    let whole = demo::lines(&points, 1.0);
    let dropping = whole.clone().dropping_at(205.0).unwrap();
    let full = forecast(&whole).unwrap();
    let found = forecast(&dropping).unwrap();
    let last = found.trace.len() - 1;
    assert!(found.trace.probe_c[last - 1] < 205.0 && 205.0 <= found.trace.probe_c[last]);
    // The same roast until then, and the lists all end with it.
    assert_eq!(found.trace.probe_c[..], full.trace.probe_c[..=last]);
    assert_eq!(found.trace.dry_loss[..], full.trace.dry_loss[..=last]);
    assert_eq!(found.lift[..], full.lift[..=last]);
    assert_eq!(found.reach.fastest.len(), last + 1);
    assert_eq!(found.reach.slowest.len(), last + 1);
    let drop_s = found.drop_s.unwrap();
    assert!(
        (last as f64 - 1.0..=last as f64).contains(&drop_s),
        "{drop_s}"
    );
    assert_eq!(full.drop_s, None);
    assert_eq!(found.figures.drop_probe_c, found.trace.probe_c[last]);
    assert_eq!(found.figures.weight_loss, full.trace.weight_loss[last]);
    assert!(found.figures.heater_kwh < full.figures.heater_kwh);
    // Reference and books drop in the same second.
    let params = RoastParams::new(
        &MachineParams::default(),
        &LotParams::default(),
        &RoomParams::default(),
    )
    .unwrap();
    assert_eq!(reference_roast::<8>(&params, &dropping).len(), last + 1);
    let books = Ledger::of(&params, &dropping);
    assert_eq!(books.roasted_kg, found.figures.roasted_kg);
    assert!(books.machine_residual().abs() < 1e-6 && books.bean_residual().abs() < 1e-6);
}

#[test]
fn a_drop_that_is_never_reached_or_never_risen_to_leaves_the_setpoints_end() {
    for drop_c in [290.0, 10.0] {
        // The probe starts above 10 °C and has not risen to it.
        let setpoint = demo::demo().dropping_at(drop_c).unwrap();
        let found = forecast(&setpoint).unwrap();
        assert_eq!(
            (found.trace.len(), found.drop_s),
            (541, None),
            "{drop_c} °C"
        );
    }
}

#[test]
fn the_length_that_is_judged_is_that_of_the_roast() {
    let setpoint = demo::demo().dropping_at(150.0).unwrap();
    let found = forecast(&setpoint).unwrap_err().limits;
    let [Limit::Duration { found_s }] = found[..] else {
        panic!("{found:?}")
    };
    assert!((150..220).contains(&found_s), "{found_s}");
}

#[test]
fn a_drop_out_of_range_is_refused() {
    assert!(demo::demo().dropping_at(f64::NAN).is_err());
    assert!(demo::demo().dropping_at(301.0).is_err());
}
