//! Invented lots and plans to carry over.
#![allow(dead_code, reason = "not every test needs every one")]

use chaffinch_craft::{
    Given, Knowledge, Lot, LotNumber, Plan,
    carry::{CarryOver, CarryRequest, Target, carry},
};
use chaffinch_curve::{ControlPoint, PointId, SetpointCurve, Shape};
use std::sync::atomic::AtomicBool;

/// Invented: a curve that a cold machine follows from its first half minute on.
pub(crate) const KNOTS: [(f64, f64); 10] = [
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

pub(crate) fn measured(value: f64) -> Given {
    Given {
        value,
        knowledge: Knowledge::Measured,
    }
}

pub(crate) fn lot(numbers: &[(LotNumber, f64)]) -> Lot {
    let mut lot = Lot::default();
    for &(number, value) in numbers {
        lot.numbers.set(number, Some(measured(value)));
    }
    lot
}

pub(crate) fn screen(diameter_mm: f64) -> f64 {
    diameter_mm / (0.96 * 25.4 / 64.0)
}

/// The design notes' lots, invented: low-grown natural, high-grown washed.
pub(crate) fn low() -> Lot {
    lot(&[
        (LotNumber::Altitude, 900.0),
        (LotNumber::Density, 1130.0 * 0.58),
        (LotNumber::ScreenSize, screen(6.4)),
        (LotNumber::Moisture, 10.8),
        (LotNumber::Conductivity, 0.15),
    ])
}

pub(crate) fn high() -> Lot {
    lot(&[
        (LotNumber::Altitude, 1900.0),
        (LotNumber::Density, 1280.0 * 0.58),
        (LotNumber::ScreenSize, screen(6.0)),
        (LotNumber::Moisture, 11.5),
        (LotNumber::Conductivity, 0.15),
    ])
}

pub(crate) fn with(mut lot: Lot, number: LotNumber, value: f64) -> Lot {
    lot.numbers.set(number, Some(measured(value)));
    lot
}

pub(crate) fn plan(lot: Lot) -> Plan {
    plan_through(&KNOTS, lot)
}

pub(crate) fn plan_through(knots: &[(f64, f64)], lot: Lot) -> Plan {
    let points = (1..)
        .zip(knots)
        .map(|(id, &(time_s, temp_c))| ControlPoint::new(PointId(id), time_s, temp_c));
    let mut parts = Plan::fresh().into_parts();
    parts.curve = SetpointCurve::new(Shape::Smooth, points.collect()).unwrap();
    parts.lot = lot;
    Plan::new(parts).unwrap()
}

pub(crate) fn to_lot(from: &Plan, lot: Lot) -> CarryRequest<'_> {
    CarryRequest::new(
        from,
        Target {
            lot,
            ..Target::of(from)
        },
    )
}

pub(crate) fn carried(request: &CarryRequest<'_>) -> CarryOver {
    carry(request, &AtomicBool::new(false), &|_| ()).unwrap()
}

pub(crate) fn temps_k(carried: &CarryOver) -> Vec<f64> {
    carried
        .points
        .iter()
        .map(|point| point.total.temp_k)
        .collect()
}

pub(crate) fn greatest(values: impl IntoIterator<Item = f64>) -> f64 {
    values
        .into_iter()
        .fold(0.0, |most: f64, value| most.max(value.abs()))
}
