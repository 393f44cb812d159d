//! Phase boundaries moved in time: the curve flexes without a corner, the other boundaries stay.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise; its name says what is checked"
)]

use chaffinch_craft::{Boundary, Edit, MarkName, Plan, Refusal, WarpError};
use chaffinch_curve::{ControlPoint, CurvePoint, PointEdit, PointId, SetpointCurve, Shape};

const KNOTS: [(f64, f64); 8] = [
    (0.0, 105.0),
    (60.0, 131.0),
    (130.0, 155.0),
    (210.0, 177.0),
    (290.0, 193.0),
    (350.0, 202.0),
    (420.0, 209.5),
    (500.0, 216.0),
];

/// A roast through [`KNOTS`]; marks at 160 and 198 °C, drop at 212 °C.
fn plan(shape: Shape) -> Plan {
    through(shape, &KNOTS)
}

fn through(shape: Shape, knots: &[(f64, f64)]) -> Plan {
    let points = knots
        .iter()
        .zip(1..)
        .map(|(&(time_s, temp_c), id)| ControlPoint::new(PointId(id), time_s, temp_c))
        .collect();
    let mut parts = Plan::fresh().into_parts();
    parts.curve = SetpointCurve::new(shape, points).unwrap();
    Plan::new(parts).unwrap()
}

/// When the curve reaches a boundary, in s; marks behind the drop don't count.
fn reach_s(plan: &Plan, boundary: Boundary) -> Option<f64> {
    let drop_s = plan.curve.first_reach(plan.finish().temp_c);
    let Boundary::Mark(mark) = boundary else {
        return drop_s;
    };
    let time_s = plan.curve.first_reach(mark.temp_c(&plan.marks))?;
    drop_s
        .is_none_or(|drop_s| time_s <= drop_s)
        .then_some(time_s)
}

/// Points every 10 s on a curve whose rise has no corner anywhere.
fn dense() -> Plan {
    let temp_c = |time_s: f64| 105.0 + 145.0 * (1.0 - (-time_s / 420.0).exp());
    let knots: Vec<(f64, f64)> = (0..60)
        .map(|step| f64::from(step) * 10.0)
        .map(|time_s| (time_s, temp_c(time_s)))
        .collect();
    through(Shape::Smooth, &knots)
}

/// The largest change of the mean rise from one 10 s stretch to the next.
fn largest_jump(places: &[(f64, f64)]) -> f64 {
    let secants: Vec<f64> = places
        .windows(2)
        .map(|pair| (pair[1].1 - pair[0].1) / (pair[1].0 - pair[0].0))
        .collect();
    let jumps = secants.windows(2).map(|pair| (pair[1] - pair[0]).abs());
    jumps.fold(0.0, f64::max)
}

#[test]
fn moved_boundary_leaves_no_corner_in_the_rise() {
    let before = dense();
    let places = |plan: &Plan| -> Vec<(f64, f64)> {
        let points = plan.curve.points().iter();
        points.map(|point| (point.time_s, point.temp_c)).collect()
    };
    let [colour_s, crack_s, drop_s] = Boundary::ALL.map(|one| reach_s(&before, one).unwrap());
    let to_s = crack_s + 40.0;
    let after = before
        .edited(&Edit::MoveBoundary {
            boundary: Boundary::Mark(MarkName::FirstCrack),
            to_s,
        })
        .unwrap();
    // Control: an even stretch on both sides, which is what the drag did before it was made smooth.
    let evenly = |time_s: f64| {
        if time_s <= colour_s || drop_s <= time_s {
            time_s
        } else if time_s <= crack_s {
            colour_s + (time_s - colour_s) * (to_s - colour_s) / (crack_s - colour_s)
        } else {
            drop_s - (drop_s - time_s) * (drop_s - to_s) / (drop_s - crack_s)
        }
    };
    let even: Vec<(f64, f64)> = places(&before)
        .iter()
        .map(|&(time_s, temp_c)| (evenly(time_s), temp_c))
        .collect();
    let (smooth, even) = (largest_jump(&places(&after)), largest_jump(&even));
    assert!(
        smooth < 0.4 * even,
        "{smooth} with a smooth flex, {even} without"
    );
}

#[test]
fn development_bar_moves_the_drop_alone() {
    for shape in [Shape::Monotone, Shape::Smooth] {
        let before = plan(shape);
        for to_s in [400.0, 430.0, 520.0] {
            let boundary = Boundary::Drop;
            let after = before
                .edited(&Edit::MoveBoundary { boundary, to_s })
                .unwrap();
            assert!((reach_s(&after, boundary).unwrap() - to_s).abs() <= 0.1);
            for mark in MarkName::ALL.map(Boundary::Mark) {
                let [old_s, new_s] = [&before, &after].map(|plan| reach_s(plan, mark).unwrap());
                assert!((old_s - new_s).abs() <= 0.1, "{shape:?} {to_s} {mark:?}");
            }
        }
    }
}

#[test]
fn boundary_between_two_points_that_can_not_move_is_refused() {
    let two = through(Shape::Monotone, &[(0.0, 105.0), (500.0, 212.0)]);
    let boundary = Boundary::Mark(MarkName::ColourChange);
    let refusal = two.edited(&Edit::MoveBoundary {
        boundary,
        to_s: 280.0,
    });
    let is_named = matches!(refusal, Err(Refusal::Warp(WarpError::NoSolution { .. })));
    assert!(is_named, "{refusal:?}");
    // A point moved there by hand is the way out that the refusal names.
    let at = CurvePoint {
        time_s: 280.0,
        temp_c: 160.0,
    };
    assert!(
        two.edited(&Edit::Points(PointEdit::InsertAt { at }))
            .is_ok()
    );
}
