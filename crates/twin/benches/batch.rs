//! How many roasts fit in one frame, for each set of instructions, beside their error; fails when the lanes fall below three times
//! the scalar fallback in the release build, which is how a lost instruction set shows.
//!
//! `cargo bench -p chaffinch-twin --bench batch`. The comparison with other solvers (`tests/peers/compare-roasts.sh`) calls the binary
//! with `--roasts`, which prints roasts for them to solve, or with `--time`, which measures the widest lanes on those.
#![allow(
    clippy::disallowed_types,
    clippy::unwrap_used,
    clippy::print_stdout,
    missing_docs,
    reason = "a benchmark needs a clock, prints its table and may stop at the first surprise"
)]

#[path = "../tests/cases/mod.rs"]
mod cases;
#[path = "batch/peers.rs"]
mod peers;

use std::hint::black_box;
use std::process::ExitCode;
use std::sync::atomic::AtomicBool;
use std::time::Instant;

use chaffinch_twin::bands::{BandsRequest, bands};
use chaffinch_twin::batch::{Batch, Precision};
use chaffinch_twin::{
    LotParams, MachineParams, RoastParams, RoomParams, Setpoint, reference_roast,
};

/// Roasts in a run.
const ROASTS: usize = 1024;
/// Rounds, each measuring every kernel once, so that a slow stretch of the machine hits all alike.
const ROUNDS: usize = 31;
/// One picture at 60 Hz, in s.
const FRAME_S: f64 = 1.0 / 60.0;
/// Least speed of the widest lanes over the scalar fallback, one core.
const LEAST_GAIN: f64 = 3.0;
/// Roasts whose error is looked at.
const CHECKED: usize = 64;

/// One kernel and what was measured of it.
struct Entry {
    name: String,
    batch: Batch,
    precision: Precision,
    one_core_s: Vec<f64>,
    all_cores_s: Vec<f64>,
}

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match arguments
        .iter()
        .map(String::as_str)
        .collect::<Vec<_>>()
        .as_slice()
    {
        ["--roasts"] => peers::print_roasts(),
        ["--time"] => peers::time(),
        _ => return measure(),
    }
    ExitCode::SUCCESS
}

/// Every kernel in turns, and whether the lanes are worth it.
fn measure() -> ExitCode {
    let setpoint = cases::setpoint();
    let roasts = cases::roasts(ROASTS);
    let one = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .unwrap();
    let mut entries: Vec<Entry> = [Precision::Double, Precision::Single]
        .into_iter()
        .flat_map(|precision| {
            Batch::every(precision)
                .into_iter()
                .map(move |(name, batch)| (precision, name, batch))
        })
        .map(|(precision, name, batch)| Entry {
            name: format!("{precision:?}, {name}"),
            batch,
            precision,
            one_core_s: Vec::new(),
            all_cores_s: Vec::new(),
        })
        .collect();
    for _ in 0..ROUNDS {
        for entry in &mut entries {
            entry
                .one_core_s
                .push(one.install(|| seconds(entry.batch, &roasts, &setpoint)));
            entry
                .all_cores_s
                .push(seconds(entry.batch, &roasts, &setpoint));
        }
    }
    println!(
        "{ROASTS} roasts of 600 s, medians of {ROUNDS}, {} threads",
        rayon::current_num_threads()
    );
    println!(
        "kernel | µs a roast, one core | µs, least | roasts a frame, all cores | greatest error of the reading, K"
    );
    for entry in &mut entries {
        entry.one_core_s.sort_by(f64::total_cmp);
        entry.all_cores_s.sort_by(f64::total_cmp);
        let per_roast_us = |s: f64| s / ROASTS as f64 * 1e6;
        println!(
            "{} | {:.2} | {:.2} | {:.0} | {:.3}",
            entry.name,
            per_roast_us(entry.one_core_s[ROUNDS / 2]),
            per_roast_us(entry.one_core_s[0]),
            FRAME_S / entry.all_cores_s[ROUNDS / 2] * ROASTS as f64,
            error_k(entry.batch, &roasts[..CHECKED], &setpoint),
        );
    }
    println!(
        "bands of {ROASTS} roasts with two marks, all cores: {:.1} ms",
        bands_s(&setpoint) * 1e3
    );
    verdict(&entries)
}

fn seconds(batch: Batch, roasts: &[RoastParams], setpoint: &Setpoint) -> f64 {
    let begin = Instant::now();
    black_box(batch.run(black_box(roasts), setpoint));
    begin.elapsed().as_secs_f64()
}

/// Median time of the bands around the demo roast.
fn bands_s(setpoint: &Setpoint) -> f64 {
    let (machine, lot, room) = (
        MachineParams::default(),
        LotParams::default(),
        RoomParams::default(),
    );
    let request = BandsRequest {
        marks_c: vec![150.0, 200.0],
        ..BandsRequest::default()
    };
    let mut all_s: Vec<f64> = (0..ROUNDS)
        .map(|_| {
            let begin = Instant::now();
            black_box(
                bands(
                    (&machine, &lot, &room),
                    setpoint,
                    &request,
                    &AtomicBool::new(false),
                )
                .unwrap(),
            );
            begin.elapsed().as_secs_f64()
        })
        .collect();
    all_s.sort_by(f64::total_cmp);
    all_s[ROUNDS / 2]
}

fn error_k(batch: Batch, roasts: &[RoastParams], setpoint: &Setpoint) -> f64 {
    let result = batch.run(roasts, setpoint);
    let mut worst_k = 0.0_f64;
    for (i, params) in roasts.iter().enumerate() {
        for (second, reading_c) in reference_roast::<32>(params, setpoint)
            .probe_c
            .iter()
            .enumerate()
        {
            worst_k = worst_k.max((result.reading_c(i, second) - reading_c).abs());
        }
    }
    worst_k
}

fn verdict(entries: &[Entry]) -> ExitCode {
    let mut code = ExitCode::SUCCESS;
    for precision in [Precision::Double, Precision::Single] {
        let of = |entry: &&Entry| entry.precision == precision;
        let scalar = entries.iter().find(of).unwrap();
        let widest = entries.iter().rfind(of).unwrap();
        let gain = scalar.one_core_s[ROUNDS / 2] / widest.one_core_s[ROUNDS / 2];
        println!(
            "{precision:?}: widest lanes {gain:.1} times the scalar fallback, at least {LEAST_GAIN} expected"
        );
        if gain < LEAST_GAIN {
            code = ExitCode::FAILURE;
        }
    }
    code
}
