//! Boundaries moved in time: they land, temperatures stay, refusals are named.
#![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]
use super::*;
use crate::{Edit, MarkName, Plan, edit::Refusal};
use chaffinch_curve::{CurvePoint, Lock, PointId, Shape};

fn plan(shape: Shape) -> Plan {
    let knots = [
        (0.0, 105.0),
        (60.0, 135.0),
        (150.0, 162.0),
        (300.0, 192.0),
        (420.0, 208.0),
        (500.0, 220.0),
    ];
    let points = knots
        .iter()
        .zip(1..)
        .map(|(&(time_s, temp_c), id)| ControlPoint::new(PointId(id), time_s, temp_c))
        .collect();
    let mut parts = Plan::fresh().into_parts();
    parts.curve = SetpointCurve::new(shape, points).unwrap();
    Plan::new(parts).unwrap()
}

#[test]
fn boundary_lands_where_it_was_sent() {
    for shape in [Shape::Monotone, Shape::Smooth] {
        let plan = plan(shape);
        for (boundary, to_s) in [
            (Boundary::Mark(MarkName::ColourChange), 120.0),
            (Boundary::Mark(MarkName::ColourChange), 170.0),
            (Boundary::Mark(MarkName::FirstCrack), 310.0),
            (Boundary::Drop, 520.0),
            (Boundary::Drop, 400.0),
        ] {
            let edit = Edit::MoveBoundary { boundary, to_s };
            let moved = plan.edited(&edit).unwrap();
            let found_s = reach_s(&moved, &moved.curve, boundary).unwrap();
            assert!(
                (found_s - to_s).abs() <= BOUNDARY_TOLERANCE_S,
                "{boundary:?} {to_s} {found_s}"
            );
        }
    }
}

#[test]
fn temperatures_stay_and_points_before_stay() {
    // With points on both marks nothing straddles a boundary, so nothing has to give way before first crack.
    let mut plan = plan(Shape::Monotone);
    for at in [(145.0, 160.0), (340.0, 198.0)] {
        let (time_s, temp_c) = at;
        let at = CurvePoint { time_s, temp_c };
        let edit = Edit::Points(PointEdit::InsertAt { at });
        plan = plan.edited(&edit).unwrap();
    }
    let edit = Edit::MoveBoundary {
        boundary: Boundary::Drop,
        to_s: 480.0,
    };
    let moved = plan.edited(&edit).unwrap();
    for (old, new) in plan.curve.points().iter().zip(moved.curve.points()) {
        assert_eq!(old.temp_c, new.temp_c, "temperature");
        if old.time_s <= 340.0 {
            assert_eq!(old, new, "before first crack");
        } else {
            assert!(old.time_s < new.time_s, "behind it");
        }
    }
}

#[test]
fn locked_time_refuses_the_stretch() {
    let plan = plan(Shape::Monotone);
    let lock = PointEdit::SetLock {
        ids: vec![PointId(5)],
        lock: Lock::Time,
    };
    let plan = plan.edited(&Edit::Points(lock)).unwrap();
    let refusal = plan.edited(&Edit::MoveBoundary {
        boundary: Boundary::Drop,
        to_s: 500.0,
    });
    assert!(
        matches!(refusal, Err(Refusal::Warp(WarpError::Refused(_)))),
        "{refusal:?}"
    );
}

#[test]
fn neighbouring_boundary_stops_the_move() {
    let plan = plan(Shape::Monotone);
    let refusal = plan.edited(&Edit::MoveBoundary {
        boundary: Boundary::Mark(MarkName::FirstCrack),
        to_s: 100.0,
    });
    assert!(
        matches!(refusal, Err(Refusal::Warp(WarpError::TooClose { .. }))),
        "{refusal:?}"
    );
}
