//! A plan to shape, and shaping it with nobody who stops it.
#![allow(dead_code, reason = "not every test needs every one")]

use chaffinch_craft::{
    Plan,
    shape::{Shaped, TargetName, Targets, Wish, shape},
};
use chaffinch_curve::{ControlPoint, PointId, SetpointCurve, Shape};
use std::sync::atomic::AtomicBool;

/// The curve of the twin's demo (design notes, section 5).
pub(crate) fn plan(shape: Shape) -> Plan {
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
        (540.0, 214.0),
    ];
    let points = (1..)
        .zip(knots)
        .map(|(id, (time_s, temp_c))| ControlPoint::new(PointId(id), time_s, temp_c));
    let mut parts = Plan::fresh().into_parts();
    parts.curve = SetpointCurve::new(shape, points.collect()).unwrap();
    Plan::new(parts).unwrap()
}

pub(crate) fn targets(wishes: &[(TargetName, Wish)]) -> Targets {
    let with = |targets: Targets, (name, wish): &(TargetName, Wish)| targets.with(*name, *wish);
    wishes.iter().try_fold(Targets::default(), with).unwrap()
}

pub(crate) fn shaped(plan: &Plan, wishes: &[(TargetName, Wish)]) -> Shaped {
    shape(plan, &targets(wishes), &AtomicBool::new(false), &|_| ()).unwrap()
}
