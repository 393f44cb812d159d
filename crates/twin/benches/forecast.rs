//! How long one forecast takes, beside the roast alone; fails when it takes more than [`MOST_OVER_ROAST`] times as long, which is how
//! a slow reach, lift or cooling shows on a busy machine too.
//!
//! `cargo bench -p chaffinch-twin --bench forecast`
#![allow(
    clippy::disallowed_types,
    clippy::unwrap_used,
    clippy::print_stdout,
    missing_docs,
    reason = "a benchmark needs a clock, prints its table and may stop at the first surprise"
)]

use std::hint::black_box;
use std::process::ExitCode;
use std::time::Instant;

use chaffinch_twin::{
    Forecast, LotParams, MachineParams, RoastParams, RoomParams, Setpoint, roast,
};

/// Rounds, each measuring both once, so that a slow stretch of the machine hits both alike.
const ROUNDS: usize = 2001;
/// Most time of a forecast over that of the roast in it.
const MOST_OVER_ROAST: f64 = 1.5;

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

/// Time of one call, in µs.
fn once_us<T>(call: impl Fn() -> T) -> f64 {
    let begin = Instant::now();
    black_box(call());
    begin.elapsed().as_secs_f64() * 1e6
}

fn main() -> ExitCode {
    let (machine, lot, room) = (
        MachineParams::default(),
        LotParams::default(),
        RoomParams::default(),
    );
    let params = RoastParams::new(&machine, &lot, &room).unwrap();
    let setpoint = setpoint();
    let (mut roast_us, mut forecast_us) = (Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        roast_us.push(once_us(|| roast(black_box(&params), &setpoint)));
        forecast_us.push(once_us(|| {
            Forecast::of(black_box(&machine), &lot, &room, &setpoint).unwrap()
        }));
    }
    println!("{ROUNDS} rounds of 600 s, one thread | µs, median | least");
    for (name, all_us) in [
        ("roast alone", &mut roast_us),
        (
            "forecast with lift, reach, cooling and figures",
            &mut forecast_us,
        ),
    ] {
        all_us.sort_by(f64::total_cmp);
        println!("{name} | {:.1} | {:.1}", all_us[ROUNDS / 2], all_us[0]);
    }
    let over_roast = forecast_us[ROUNDS / 2] / roast_us[ROUNDS / 2];
    println!("forecast over roast: {over_roast:.2}, at most {MOST_OVER_ROAST} expected");
    if over_roast < MOST_OVER_ROAST {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}
