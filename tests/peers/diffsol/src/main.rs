//! The smooth roasts by the `diffsol` crate: BDF and TR-BDF2, with the Jacobian's product by forward differentiation.
//!
//! `cargo run --release -- PROBLEM`, where PROBLEM is written by `../roasts/compare.py`. Prints a line a way of solving:
//! name | kind | µs a roast | greatest error of the reading, K. Building the problem and its solver's memory isn't counted.

mod dual;
mod equations;

use std::time::Instant;

use diffsol::{
    DiffsolError, NalgebraLU, NalgebraMat, OdeBuilder, OdeEquationsImplicit, OdeSolverMethod,
    OdeSolverProblem,
};
use equations::{Problem, STATES, TIP, rates};

type Matrix = NalgebraMat<f64>;
type Solver = NalgebraLU<f64>;

/// Ways of solving: name, relative tolerance, whether it is TR-BDF2.
const WAYS: [(&str, f64, bool); 5] = [
    ("diffsol BDF rtol 3e-5", 3e-5, false),
    ("diffsol BDF rtol 1e-4", 1e-4, false),
    ("diffsol BDF rtol 1e-5", 1e-5, false),
    ("diffsol TR-BDF2 rtol 1e-3", 1e-3, true),
    ("diffsol TR-BDF2 rtol 1e-4", 1e-4, true),
];

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let path = std::env::args().nth(1).ok_or("usage: PROBLEM")?;
    let problem = Problem::read(&std::fs::read_to_string(path)?)?;
    for (name, relative, is_tr) in WAYS {
        let (mut took_s, mut worst_k) = (0.0, 0.0_f64);
        for roast in &problem.roasts {
            let absolute = problem.scales.map(|scale| relative * scale);
            let ode = OdeBuilder::<Matrix>::new()
                .rtol(relative)
                .atol(absolute)
                .rhs_implicit(
                    |y: &[f64], _: &[f64], t, out: &mut [f64]| {
                        rates(&problem, roast, t, |i| y[i], |i, rate| out[i] = rate);
                    },
                    |y: &[f64], _: &[f64], t, v: &[f64], out: &mut [f64]| {
                        let dual = |i| dual::Dual {
                            value: y[i],
                            slope: v[i],
                        };
                        rates(&problem, roast, t, dual, |i, rate| out[i] = rate.slope);
                    },
                )
                .init(|_: &[f64], _, y: &mut [f64]| roast.start(y), STATES)
                .build()?;
            let (readings, second_s) = solve(&ode, is_tr, &problem.seconds)?;
            took_s += second_s;
            for (reading, want) in readings.iter().zip(&roast.want) {
                worst_k = worst_k.max((reading + roast.numbers[17] - want).abs());
            }
        }
        let us = took_s / problem.roasts.len() as f64 * 1e6;
        println!("{name} | smooth | {us:.2} | {worst_k:.5}");
    }
    Ok(())
}

/// Temperatures of the probe's tip at `seconds`, and the time that took, in s.
fn solve<E>(
    ode: &OdeSolverProblem<E>,
    is_tr: bool,
    seconds: &[f64],
) -> Result<(Vec<f64>, f64), DiffsolError>
where
    E: OdeEquationsImplicit<
            M = Matrix,
            V = diffsol::NalgebraVec<f64>,
            T = f64,
            C = diffsol::NalgebraContext,
        >,
{
    let begin;
    let states = if is_tr {
        let mut solver = ode.tr_bdf2::<Solver>()?;
        begin = Instant::now();
        solver.solve_dense(seconds)?.0
    } else {
        let mut solver = ode.bdf::<Solver>()?;
        begin = Instant::now();
        solver.solve_dense(seconds)?.0
    };
    let took_s = begin.elapsed().as_secs_f64();
    Ok((
        (0..seconds.len()).map(|i| states[(TIP, i)]).collect(),
        took_s,
    ))
}
