//! The bands: order, size against a closed form and a plain estimate, seeds, cancelling.
#![allow(
    clippy::missing_assert_message,
    clippy::unwrap_used,
    missing_docs,
    reason = "a test may stop at the first surprise, and the values say it"
)]

mod cases;

use std::sync::atomic::AtomicBool;

use chaffinch_twin::bands::{Band, Bands, BandsRequest, Variation, bands};
use chaffinch_twin::{LotParams, MachineParams, RoastParams, RoomParams, roast};

const NONE: Variation = Variation {
    dose_kg: 0.0,
    moisture_wb: 0.0,
    bean_density_kg_per_m3: 0.0,
    bean_diameter_m: 0.0,
    mains_v: 0.0,
    ambient_k: 0.0,
    probe_offset_k: 0.0,
    exotherm: 0.0,
};

fn run(request: &BandsRequest) -> Bands {
    let (machine, lot, room) = (
        MachineParams::default(),
        LotParams::default(),
        RoomParams::default(),
    );
    bands(
        (&machine, &lot, &room),
        &cases::setpoint(),
        request,
        &AtomicBool::new(false),
    )
    .unwrap()
    .unwrap()
}

fn is_in_order(band: &Band) -> bool {
    band.p01 <= band.p10 && band.p10 <= band.p50 && band.p50 <= band.p90 && band.p90 <= band.p99
}

#[test]
fn without_variation_the_band_is_the_roast() {
    let found = run(&BandsRequest {
        variation: NONE,
        roasts: 64,
        marks_c: vec![150.0, 300.0],
        ..BandsRequest::default()
    });
    let params = RoastParams::new(
        &MachineParams::default(),
        &LotParams::default(),
        &RoomParams::default(),
    )
    .unwrap();
    let trace = roast(&params, &cases::setpoint());
    for (second, band) in found.reading_c.iter().enumerate() {
        assert_eq!(band.p01, band.p99);
        // The shown roast has eight equal shells, whose own error in the first minute is the greater part of this.
        assert!(
            (band.p50 - trace.probe_c[second]).abs() < 0.25,
            "{second} s: {} {}",
            band.p50,
            trace.probe_c[second]
        );
    }
    let [low, high] = *found.marks else {
        panic!("two marks were asked for")
    };
    assert_eq!(low.reached_share, 1.0);
    let at_s = low.time_s.unwrap().p50;
    let crossing = trace.probe_c.iter().position(|c| 150.0 <= *c).unwrap() as f64;
    assert!(
        (crossing - 1.0..=crossing + 0.5).contains(&at_s),
        "{at_s} and {crossing}"
    );
    assert_eq!((high.reached_share, high.time_s), (0.0, None));
}

#[test]
fn dose_alone_spreads_the_roasted_weight_in_proportion() {
    // Loss hardly depends on the dose, so the roasted weight is normal with the dose's own relative spread. Between 10 and 90 of
    // 100 lie 2 x 1.281552 standard deviations (NIST/SEMATECH e-Handbook, table of the normal distribution, from memory).
    let found = run(&BandsRequest {
        variation: Variation {
            dose_kg: 0.01,
            ..NONE
        },
        ..BandsRequest::default()
    });
    let weight = found.figures.roasted_kg;
    let relative = (weight.p90 - weight.p10) / weight.p50;
    let expected = 2.0 * 1.281_552 / 1.959_964 * 0.01 / 0.2;
    assert!(
        (relative / expected - 1.0).abs() < 0.03,
        "{relative} and {expected}"
    );
}

#[test]
fn bands_are_in_order_and_repeat_themselves() {
    let request = BandsRequest {
        marks_c: vec![150.0, 200.0],
        ..BandsRequest::default()
    };
    let found = run(&request);
    assert_eq!(found, run(&request));
    assert!(found.reading_c.iter().all(is_in_order));
    for band in [
        found.figures.energy_j,
        found.figures.weight_loss,
        found.figures.drop_core_c,
    ] {
        assert!(is_in_order(&band) && band.p01 < band.p99);
    }
    // Another seed is another sample of the same spread.
    let other = run(&BandsRequest { seed: 2, ..request });
    let (a, b) = (found.figures.drop_core_c, other.figures.drop_core_c);
    assert_ne!(a, b);
    assert!(
        ((b.p90 - b.p10) / (a.p90 - a.p10) - 1.0).abs() < 0.05,
        "{a:?} {b:?}"
    );
}

#[test]
fn cancelled_bands_are_none() {
    let (machine, lot, room) = (
        MachineParams::default(),
        LotParams::default(),
        RoomParams::default(),
    );
    let found = bands(
        (&machine, &lot, &room),
        &cases::setpoint(),
        &BandsRequest::default(),
        &AtomicBool::new(true),
    );
    assert_eq!(found, Ok(None));
}

#[test]
fn numbers_outside_their_range_are_refused() {
    let (machine, room) = (MachineParams::default(), RoomParams::default());
    let lot = LotParams {
        dose_kg: 9.0,
        ..LotParams::default()
    };
    assert!(
        bands(
            (&machine, &lot, &room),
            &cases::setpoint(),
            &BandsRequest::default(),
            &AtomicBool::new(false)
        )
        .is_err()
    );
}

/// Against the shown roast, which another code computes: times between marks, figures of an earlier moment, and the greatest miss of a stretch.
#[test]
fn spans_figures_and_misses_are_those_that_were_asked_for() {
    let found = run(&BandsRequest {
        variation: NONE,
        roasts: 16,
        // 214 °C is passed at about 540 s, after the figures.
        marks_c: vec![214.0],
        spans_c: vec![(150.0, 200.0), (200.0, 300.0)],
        figures_at_s: Some(500),
        miss_between_s: Some((100, 300)),
        ..BandsRequest::default()
    });
    let params = RoastParams::new(
        &MachineParams::default(),
        &LotParams::default(),
        &RoomParams::default(),
    )
    .unwrap();
    let setpoint = cases::setpoint();
    let trace = roast(&params, &setpoint);
    let [span, never] = *found.spans else {
        panic!("two spans were asked for")
    };
    let (from_s, to_s) = (
        trace.probe_passes_s(150.0).unwrap(),
        trace.probe_passes_s(200.0).unwrap(),
    );
    let duration_s = span.duration_s.unwrap().p50;
    assert!(
        (duration_s - (to_s - from_s)).abs() < 0.3,
        "{duration_s} and {from_s} to {to_s}"
    );
    let share = span.share.unwrap().p50;
    assert!(
        (share - (to_s - from_s) / to_s).abs() < 1e-3,
        "{share} of {to_s}"
    );
    assert_eq!((never.duration_s, never.share), (None, None));
    let late_s = found.marks[0].time_s.unwrap().p50;
    let expected_s = trace.probe_passes_s(214.0).unwrap();
    assert!(
        500.0 < late_s && (late_s - expected_s).abs() < 0.5,
        "{late_s} and {expected_s}"
    );
    let loss = found.figures.weight_loss.p50;
    assert!(
        (loss - trace.weight_loss[500]).abs() < 1e-3,
        "{loss} and {} at 500 s",
        trace.weight_loss[500]
    );
    assert_eq!(found.reading_c.len(), 501, "readings until the figures");
    let miss_k = (100..=300)
        .map(|second| trace.probe_c[second] - setpoint.temp_c()[second])
        .fold(
            0.0,
            |best: f64, k| if best.abs() < k.abs() { k } else { best },
        );
    assert!(
        (found.miss_k.p50 - miss_k).abs() < 0.1,
        "{} and {miss_k}",
        found.miss_k.p50
    );
}
