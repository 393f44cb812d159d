//! The quadratic programmes of shaping beside another solver: quadprog's active-set method, in `tests/reference/16_shape/`.
//!
//! The stored problems are those that shaping makes, which is checked too. Where shaping changes on purpose, write them anew with
//! `CHAFFINCH_WRITE_SHAPE=1 cargo test -p chaffinch-craft --test shape_programmes` and solve them with `tests/peers/shape.py`.
#![allow(
    missing_docs,
    unused_crate_dependencies,
    clippy::unwrap_used,
    reason = "a test may stop at the first surprise"
)]

use chaffinch_craft::{
    Boundary::{Drop, Mark},
    MarkName::{ColourChange, FirstCrack},
    Plan,
    shape::{Programme, Row, TargetName, Targets, Wish, shape},
};
use chaffinch_curve::{ControlPoint, PhaseName, PointId, SetpointCurve, Shape};
use std::{fmt::Write, sync::atomic::AtomicBool};

/// Relative, of the objective: the issue's.
const OBJECTIVE: f64 = 1e-6;
/// Of the constraints, in °C, s and °C/s: the issue's.
const CONSTRAINTS: f64 = 1e-6;
/// Of the variables, temperatures in °C among them. Ours: a hundredth of what is shown.
const VARIABLES: f64 = 1e-3;
/// Relative, of the numbers of a problem made anew: another processor may round its way to it otherwise.
const SAME: f64 = 1e-5;

/// Name, problem and solution.
const STORED: [(&str, &str, &str); 7] = [
    stored(
        "falling",
        include_str!("../../../tests/reference/16_shape/falling.csv"),
        include_str!("../../../tests/reference/16_shape/falling-solution.csv"),
    ),
    stored(
        "times",
        include_str!("../../../tests/reference/16_shape/times.csv"),
        include_str!("../../../tests/reference/16_shape/times-solution.csv"),
    ),
    stored(
        "rises",
        include_str!("../../../tests/reference/16_shape/rises.csv"),
        include_str!("../../../tests/reference/16_shape/rises-solution.csv"),
    ),
    stored(
        "peak",
        include_str!("../../../tests/reference/16_shape/peak.csv"),
        include_str!("../../../tests/reference/16_shape/peak-solution.csv"),
    ),
    stored(
        "near",
        include_str!("../../../tests/reference/16_shape/near.csv"),
        include_str!("../../../tests/reference/16_shape/near-solution.csv"),
    ),
    stored(
        "fresh",
        include_str!("../../../tests/reference/16_shape/fresh.csv"),
        include_str!("../../../tests/reference/16_shape/fresh-solution.csv"),
    ),
    stored(
        "contradiction",
        include_str!("../../../tests/reference/16_shape/contradiction.csv"),
        include_str!("../../../tests/reference/16_shape/contradiction-solution.csv"),
    ),
];

const fn stored(
    name: &'static str,
    problem: &'static str,
    solution: &'static str,
) -> (&'static str, &'static str, &'static str) {
    (name, problem, solution)
}

/// Ten points whose rise falls, with a flick of it before the drop.
fn plan() -> Plan {
    let knots = [
        (0.0, 60.0),
        (30.0, 80.0),
        (60.0, 100.0),
        (120.0, 132.0),
        (180.0, 154.0),
        (240.0, 171.0),
        (330.0, 189.0),
        (420.0, 202.0),
        (480.0, 208.5),
        (540.0, 215.0),
    ];
    let points = (1..)
        .zip(knots)
        .map(|(id, (time_s, temp_c))| ControlPoint::new(PointId(id), time_s, temp_c));
    let mut parts = Plan::fresh().into_parts();
    parts.curve = SetpointCurve::new(Shape::Smooth, points.collect()).unwrap();
    Plan::new(parts).unwrap()
}

/// The last programme of shaping, for each stored name.
fn made(name: &str) -> Programme {
    let falling = (TargetName::FallingRise, Wish::HOLDS);
    let most = |most| Wish {
        least: None,
        most: Some(most),
    };
    let exactly = Wish::exactly;
    let development = TargetName::Share(PhaseName::Development);
    let wishes = match name {
        "falling" => vec![falling],
        "times" => vec![
            (TargetName::Time(Drop), exactly(570.0)),
            (development, Wish::between(18.0, 22.0)),
            (TargetName::Length(PhaseName::Drying), exactly(200.0)),
        ],
        "rises" => vec![
            falling,
            (
                TargetName::Rise(Mark(ColourChange)),
                Wish::between(14.0, 17.0),
            ),
            (TargetName::Rise(Mark(FirstCrack)), exactly(8.0)),
            (TargetName::Rise(Drop), most(5.0)),
        ],
        "peak" => vec![
            falling,
            (TargetName::PeakTime, exactly(80.0)),
            (TargetName::PeakRise, exactly(34.0)),
        ],
        "near" => vec![falling, (TargetName::NearCurve, most(0.8))],
        "fresh" => vec![
            falling,
            (TargetName::StartTemp, exactly(60.0)),
            (TargetName::Time(Drop), exactly(570.0)),
            (development, exactly(18.0)),
            (TargetName::Rise(Drop), exactly(4.0)),
        ],
        _ => vec![
            falling,
            (TargetName::Length(PhaseName::Development), exactly(100.0)),
            (TargetName::Rise(Drop), exactly(12.0)),
        ],
    };
    let with = |targets: Targets, (name, wish): &(TargetName, Wish)| targets.with(*name, *wish);
    let targets = wishes.iter().try_fold(Targets::default(), with).unwrap();
    let from = if name == "fresh" {
        Plan::fresh()
    } else {
        plan()
    };
    let shaped = shape(&from, &targets, &AtomicBool::new(false), &|_| ()).unwrap();
    shaped.programme().clone()
}

/// As lines of part, row, column and value.
fn text(programme: &Programme) -> String {
    let mut squares = std::collections::BTreeMap::new();
    for &(row, column, value) in &programme.squares {
        *squares.entry((row, column)).or_insert(0.0) += value;
    }
    let mut text = "part,row,column,value\n".to_owned();
    writeln!(text, "variables,,,{}", programme.variables).unwrap();
    for ((row, column), value) in squares {
        writeln!(text, "p,{row},{column},{value:e}").unwrap();
    }
    for (row, value) in programme.linear.iter().enumerate() {
        writeln!(text, "q,{row},,{value:e}").unwrap();
    }
    for (number, row) in programme.rows.iter().enumerate() {
        for (column, value) in &row.entries {
            writeln!(text, "a,{number},{column},{value:e}").unwrap();
        }
        for (part, bound) in [("least", row.least), ("most", row.most)] {
            if bound.is_finite() {
                writeln!(text, "{part},{number},,{bound:e}").unwrap();
            }
        }
    }
    text
}

/// Lines behind the heading: part, row, column, value.
fn lines(text: &str) -> impl Iterator<Item = (&str, usize, usize, f64)> {
    text.lines().skip(1).map(|line| {
        let mut parts = line.split(',');
        let part = parts.next().unwrap();
        let mut index = || parts.next().unwrap().parse().unwrap_or_default();
        let (row, column) = (index(), index());
        (part, row, column, parts.next().unwrap().parse().unwrap())
    })
}

fn read(text: &str) -> Programme {
    let mut programme = Programme::default();
    for (part, row, column, value) in lines(text) {
        while matches!(part, "a" | "least" | "most") && programme.rows.len() <= row {
            programme.rows.push(Row {
                entries: Vec::new(),
                least: f64::NEG_INFINITY,
                most: f64::INFINITY,
            });
        }
        match part {
            "variables" => programme.variables = value as usize,
            "p" => programme.squares.push((row, column, value)),
            "q" => programme.linear.push(value),
            "a" => programme.rows[row].entries.push((column, value)),
            "least" => programme.rows[row].least = value,
            _ => programme.rows[row].most = value,
        }
    }
    programme
}

#[test]
fn another_solver_finds_the_same() {
    for (name, problem, solution) in STORED {
        let programme = read(problem);
        let found = programme.solved().unwrap();
        let numbers = |wanted: &'static str| {
            lines(solution)
                .filter(move |line| line.0 == wanted)
                .map(|line| line.3)
        };
        let objective = numbers("objective").next().unwrap();
        let off = (found.objective - objective).abs() / objective.abs().max(1.0);
        assert!(
            off < OBJECTIVE,
            "{name}: objective {} beside {objective}",
            found.objective
        );
        let x: Vec<f64> = numbers("x").collect();
        for (solver, x) in [("ours", &found.x), ("theirs", &x)] {
            let broken = programme.violation(x);
            assert!(
                broken < CONSTRAINTS,
                "{name}: {solver} breaks a row by {broken}"
            );
        }
        let farthest = found
            .x
            .iter()
            .zip(&x)
            .map(|(a, b)| (a - b).abs())
            .fold(0.0, f64::max);
        assert!(
            x.len() == found.x.len() && farthest < VARIABLES,
            "{name}: variables {farthest} apart"
        );
    }
}

#[test]
#[allow(
    clippy::disallowed_methods,
    reason = "writes the reference problems, if told to"
)]
fn stored_problems_are_those_that_shaping_makes() {
    let folder = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../tests/reference/16_shape"
    );
    for (name, problem, _) in STORED {
        let programme = made(name);
        let text = text(&programme);
        if std::env::var_os("CHAFFINCH_WRITE_SHAPE").is_some() {
            std::fs::write(format!("{folder}/{name}.csv"), &text).unwrap();
            continue;
        }
        assert_eq!(
            lines(&text).count(),
            lines(problem).count(),
            "{name}: other numbers"
        );
        for (new, old) in lines(&text).zip(lines(problem)) {
            let places = (new.0, new.1, new.2) == (old.0, old.1, old.2);
            let near = (new.3 - old.3).abs() <= SAME * old.3.abs().max(1.0);
            assert!(places && near, "{name}: {new:?} instead of {old:?}");
        }
    }
}
