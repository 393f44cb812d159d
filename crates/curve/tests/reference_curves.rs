//! Interpolants against `SciPy` 1.17.1; see `tests/reference/01_interp/README.md` for origin and tolerances.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

use std::collections::HashMap;
use std::path::PathBuf;

use chaffinch_curve::{Crossing, Interpolant};

type Row = HashMap<String, String>;

fn rows(file: &str) -> Vec<Row> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/reference/01_interp");
    let rows = csv::Reader::from_path(folder.join(file))
        .unwrap()
        .into_deserialize();
    rows.map(Result::unwrap).collect()
}

fn number(row: &Row, column: &str) -> f64 {
    row[column].parse().unwrap()
}

/// The interpolant of a case and kind; `None` for a kind that we don't have.
fn interpolant(case: &str, kind: &str) -> Interpolant {
    let rows = rows(&format!("knots_{case}.csv"));
    let knots: Vec<(f64, f64)> = rows
        .iter()
        .map(|row| (number(row, "t_s"), number(row, "temp_C")))
        .collect();
    match kind {
        "pchip" => Interpolant::monotone(&knots),
        "cubic_natural" => Interpolant::smooth(&knots),
        "linear" => Interpolant::straight(&knots),
        other => panic!("no such kind: {other}"),
    }
    .unwrap()
}

#[track_caller]
fn assert_near(found: f64, expected: f64, largest: f64, what: &str) {
    // The last term is for the straight case, whose second derivative is 0 throughout.
    let tolerance = 1e-9 * expected.abs() + 1e-12 * largest + 1e-15;
    assert!(
        (found - expected).abs() <= tolerance,
        "{what}: found {found:e}, expected {expected:e}"
    );
}

/// Every value, both derivatives and the antiderivative of one kind.
fn check_values(kind: &str) {
    type Quantity = fn(&Interpolant, f64) -> f64;
    let columns: [(&str, Quantity); 4] = [
        ("value_C", |curve, t| curve.value(t)),
        ("d1_C_per_s", |curve, t| curve.slope(t)),
        ("d2_C_per_s2", |curve, t| curve.bend(t)),
        ("antiderivative_from_start_C_s", |curve, t| {
            curve.area(curve.start_x(), t)
        }),
    ];
    let rows = rows(&format!("values_{kind}.csv"));
    assert_eq!(rows.len(), 192);
    for (column, quantity) in columns {
        for row in &rows {
            let case = &row["case"];
            let in_case = rows.iter().filter(|other| &other["case"] == case);
            let largest = in_case
                .map(|row| number(row, column).abs())
                .fold(0.0, f64::max);
            let t = number(row, "t_s");
            let found = quantity(&interpolant(case, kind), t);
            assert_near(
                found,
                number(row, column),
                largest,
                &format!("{kind} {case} {column} at {t} s"),
            );
        }
    }
}

#[test]
fn monotone_agrees_with_scipy_pchip() {
    check_values("pchip");
}

#[test]
fn smooth_agrees_with_scipy_natural_spline() {
    check_values("cubic_natural");
}

#[test]
fn straight_agrees_with_scipy_linear() {
    check_values("linear");
}

#[test]
fn crossings_agree_with_scipy_roots() {
    let rows = rows("roots.csv");
    assert!(rows.len() > 100);
    for row in &rows {
        let (case, kind, level) = (&row["case"], &row["kind"], number(row, "level_C"));
        let crossings = interpolant(case, kind).crossings(level, 1e-9);
        let is_plateau = |crossing: &Crossing| matches!(crossing, Crossing::Plateau { .. });
        assert!(!crossings.iter().any(is_plateau), "{kind} {case} {level}");
        let found: Vec<f64> = crossings.iter().map(|crossing| crossing.start()).collect();
        let times = row["t_s_semicolon_separated"]
            .split(';')
            .filter(|time| !time.is_empty());
        let expected: Vec<f64> = times.map(|time| time.parse().unwrap()).collect();
        let what = format!("{kind} {case} {level} °C: found {found:?}, expected {expected:?}");
        let is_among =
            |t: &f64, others: &[f64]| others.iter().any(|other| (t - other).abs() <= 1e-6);
        assert!(found.iter().all(|t| is_among(t, &expected)), "{what}");
        assert!(expected.iter().all(|t| is_among(t, &found)), "{what}");
        if row["level_is_a_knot_value"] == "0" {
            assert_eq!(found.len(), expected.len(), "{what}");
        }
    }
}

#[test]
fn extrema_agree_with_scipy() {
    let rows = rows("extrema.csv");
    assert_eq!(rows.len(), 30);
    for row in &rows {
        let curve = interpolant(&row["case"], &row["kind"]);
        let values = curve.extrema(curve.start_x(), curve.end_x());
        let slopes = curve.slope_extrema(curve.start_x(), curve.end_x());
        let pairs = [
            (values.lowest, "min_C", values.highest),
            (values.highest, "max_C", values.highest),
            (slopes.lowest, "min_slope_C_per_s", slopes.highest),
            (slopes.highest, "max_slope_C_per_s", slopes.highest),
        ];
        for (found, column, largest) in pairs {
            let what = format!("{} {} {column}", row["case"], row["kind"]);
            assert_near(
                found.y,
                number(row, column),
                largest.y.abs().max(found.y.abs()),
                &what,
            );
        }
    }
}
