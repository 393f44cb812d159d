//! The batch kernel against the reference integrator, against its own scalar fallback, and in both precisions.
#![allow(
    clippy::missing_assert_message,
    clippy::unwrap_used,
    missing_docs,
    reason = "a test may stop at the first surprise, and the values say it"
)]

mod cases;

use chaffinch_twin::batch::{Batch, BatchResult, BatchSeconds, Precision};
use chaffinch_twin::{RoastParams, Setpoint, Trace, reference_roast};
use rayon::prelude::*;

/// Sets of parameters in the comparison.
const SETS: usize = 256;
/// Shells of the reference, whose own error is below 0.02 K from the first second on.
const SHELLS: usize = 32;

/// Greatest differences from the reference: in K, the last one in share of the green weight.
#[derive(Debug, Default)]
struct Worst {
    reading_k: f64,
    surface_k: f64,
    mean_k: f64,
    core_k: f64,
    miss_k: f64,
    weight_loss: f64,
}

fn worst(batch: &BatchResult, traces: &[Trace], setpoint: &Setpoint) -> Worst {
    let mut worst = Worst::default();
    let over = |worst: &mut f64, a: f64, b: f64| *worst = worst.max((a - b).abs());
    for (i, (trace, figures)) in traces.iter().zip(&batch.figures).enumerate() {
        let last = trace.len() - 1;
        for second in 0..=last {
            over(
                &mut worst.reading_k,
                batch.reading_c(i, second),
                trace.probe_c[second],
            );
        }
        over(
            &mut worst.surface_k,
            figures.drop_surface_c,
            trace.surface_c[last],
        );
        over(&mut worst.mean_k, figures.drop_mean_c, trace.mean_c[last]);
        over(&mut worst.core_k, figures.drop_core_c, trace.core_c[last]);
        over(
            &mut worst.weight_loss,
            figures.weight_loss,
            trace.weight_loss[last],
        );
        let misses = trace
            .probe_c
            .iter()
            .zip(setpoint.temp_c())
            .map(|(reading, target)| (reading - target).abs());
        over(
            &mut worst.miss_k,
            figures.worst_miss_k.abs(),
            misses.fold(0.0, f64::max),
        );
    }
    worst
}

/// Issue 3, section 4: each roast within 0.05 °C of the reference, here at every second.
#[test]
fn every_lane_follows_the_reference() {
    let setpoint = cases::setpoint();
    let roasts = cases::roasts(SETS);
    let traces: Vec<Trace> = roasts
        .par_iter()
        .map(|params| reference_roast::<SHELLS>(params, &setpoint))
        .collect();
    for precision in [Precision::Double, Precision::Single] {
        for (name, batch) in Batch::every(precision) {
            let found = worst(&batch.run(&roasts, &setpoint), &traces, &setpoint);
            assert!(found.reading_k < 0.05, "{precision:?} {name}: {found:?}");
            assert!(found.miss_k < 0.05, "{precision:?} {name}: {found:?}");
            assert!(
                found.surface_k < 0.01 && found.mean_k < 0.01 && found.core_k < 0.01,
                "{precision:?} {name}: {found:?}"
            );
            assert!(found.weight_loss < 2e-5, "{precision:?} {name}: {found:?}");
        }
    }
}

fn numbers(batch: &BatchResult, roast: usize) -> [f64; 15] {
    let f = &batch.figures[roast];
    [
        f.worst_miss_k,
        f.worst_miss_at_s,
        f.rms_miss_k,
        f.energy_j,
        f.peak_effort,
        f.limited_s,
        f.widest_gap_k,
        f.drop_reading_c,
        f.drop_surface_c,
        f.drop_core_c,
        f.drop_mean_c,
        f.moisture_wb,
        f.weight_loss,
        f.dry_loss,
        f.roasted_kg,
    ]
}

/// 77 roasts: two full groups and a ragged one.
fn odd_lot() -> (Vec<RoastParams>, Setpoint) {
    (cases::roasts(77), cases::setpoint())
}

#[test]
fn lanes_give_what_the_scalar_fallback_gives() {
    let (roasts, setpoint) = odd_lot();
    let fallback = Batch::scalar(Precision::Double).run(&roasts, &setpoint);
    for (name, batch) in Batch::every(Precision::Double) {
        let lanes = batch.run(&roasts, &setpoint);
        for roast in 0..roasts.len() {
            for (a, b) in numbers(&lanes, roast)
                .into_iter()
                .zip(numbers(&fallback, roast))
            {
                assert!(
                    (a - b).abs() <= 1e-9 * b.abs().max(1e-3),
                    "{name}, roast {roast}: {a} and {b}"
                );
            }
        }
    }
}

#[test]
fn a_roast_does_not_depend_on_its_neighbours() {
    let (roasts, setpoint) = odd_lot();
    let batch = Batch::new(Precision::Double);
    let together = batch.run(&roasts, &setpoint);
    for roast in [0, 15, 31, 32, 76] {
        let alone = batch.run(&roasts[roast..=roast], &setpoint);
        assert_eq!(numbers(&together, roast), numbers(&alone, 0));
        assert_eq!(together.reading_c(roast, 300), alone.reading_c(0, 300));
    }
}

/// What the doc of [`Precision::Single`] says.
#[test]
fn single_precision_reads_within_0_01_k_of_double() {
    let (roasts, setpoint) = odd_lot();
    let double = Batch::new(Precision::Double).run(&roasts, &setpoint);
    let single = Batch::new(Precision::Single).run(&roasts, &setpoint);
    for roast in 0..roasts.len() {
        for second in 0..double.samples() {
            let apart_k = single.reading_c(roast, second) - double.reading_c(roast, second);
            assert!(apart_k.abs() < 0.01, "roast {roast}, {second} s: {apart_k}");
        }
    }
}

#[test]
fn outside_there_is_no_number() {
    let (roasts, setpoint) = odd_lot();
    let result = Batch::new(Precision::Single).run(&roasts, &setpoint);
    assert!(result.reading_c(77, 0).is_nan());
    assert!(result.reading_c(0, 601).is_nan());
    assert!(
        Batch::new(Precision::Single)
            .run(&[], &setpoint)
            .figures
            .is_empty()
    );
}

#[test]
fn cancelled_batch_begins_no_roast() {
    let (roasts, setpoint) = odd_lot();
    let is_cancelled = std::sync::atomic::AtomicBool::new(true);
    let result = Batch::new(Precision::Double).run_unless(
        &roasts,
        &setpoint,
        &BatchSeconds {
            figures_s: setpoint.duration_s(),
            losses_s: &[],
        },
        &is_cancelled,
    );
    assert!(
        result
            .figures
            .iter()
            .all(|figures| figures.drop_reading_c.is_nan())
    );
}

/// What is gone at a second is told the same on the way as at the end, in every set of instructions and also where a group isn't full.
#[test]
fn losses_on_the_way_are_the_figures_of_their_second() {
    let (roasts, setpoint) = odd_lot();
    let last_s = setpoint.duration_s();
    let seconds = [0, last_s / 2, last_s - 1, last_s];
    for (name, batch) in Batch::every(Precision::Double) {
        let run = |figures_s, losses_s: &[usize]| {
            let seconds = BatchSeconds {
                figures_s,
                losses_s,
            };
            let is_cancelled = std::sync::atomic::AtomicBool::new(false);
            batch.run_unless(&roasts, &setpoint, &seconds, &is_cancelled)
        };
        let on_the_way = run(last_s, &seconds);
        for (place, &second) in seconds.iter().enumerate() {
            let alone = run(second, &[]);
            for (roast, figures) in alone.figures.iter().enumerate() {
                let found = on_the_way.losses(roast, place).unwrap();
                assert_eq!(found.weight, figures.weight_loss, "{name}, {second} s");
                assert_eq!(found.dry, figures.dry_loss, "{name}, {second} s");
            }
            assert_eq!(alone.losses(0, 0), None, "{name}: none was asked for");
        }
        assert_eq!(on_the_way.losses(roasts.len(), 0), None, "{name}");
        assert_eq!(on_the_way.losses(0, seconds.len()), None, "{name}");
    }
}
