//! What only the inside of the search can show: that its answer does not hang on where it starts, and that it can be stopped.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test may stop at the first surprise"
)]

use super::{
    CarryError, CarryRequest, Keep, Target, carry,
    physics::{Physics, Sides, carried_from},
    progress::Progress,
};
use crate::{
    knowledge::{Given, Knowledge},
    lot::{Lot, LotNumber},
    outlook::Outlook,
    plan::{Plan, PlanParts},
};
use chaffinch_curve::{ControlPoint, PointId, SetpointCurve, Shape};
use std::{
    cell::RefCell,
    sync::atomic::{AtomicBool, Ordering},
};

/// The curve of the twin's demo (design notes, section 5) with an invented lot.
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
        (540.0, 214.0),
    ];
    let points = (1..)
        .zip(knots)
        .map(|(id, (time_s, temp_c))| ControlPoint::new(PointId(id), time_s, temp_c));
    let mut parts = Plan::fresh().into_parts();
    parts.curve = SetpointCurve::new(Shape::Smooth, points.collect()).unwrap();
    parts.lot = lot(655.0, 6.4, 10.8);
    Plan::new(parts).unwrap()
}

/// A measured lot: density in g/L, diameter in mm (as a screen), moisture in %.
fn lot(density_g_per_l: f64, diameter_mm: f64, moisture_percent: f64) -> Lot {
    let mut lot = Lot::default();
    let screen = diameter_mm / (0.96 * 25.4 / 64.0);
    for (number, value) in [
        (LotNumber::Density, density_g_per_l),
        (LotNumber::ScreenSize, screen),
        (LotNumber::Moisture, moisture_percent),
        (LotNumber::Conductivity, 0.15),
    ] {
        let knowledge = Knowledge::Measured;
        lot.numbers.set(number, Some(Given { value, knowledge }));
    }
    lot
}

fn searched(keep: Keep, from: &Plan, lot: Lot, guess: f64) -> Physics {
    let outlook = Outlook::of(from);
    let to = PlanParts {
        lot,
        ..from.clone().into_parts()
    };
    let sides = Sides {
        keep,
        from,
        from_outlook: &outlook,
        to: &to,
    };
    let never = AtomicBool::new(false);
    carried_from(&sides, Some(guess), &Progress::new(&never, &|_| ())).unwrap()
}

#[test]
fn the_curve_does_not_hang_on_the_starting_guess() {
    let from = plan();
    for (keep, guesses) in [
        (Keep::CoreHistory, [-8.0, 8.0]),
        (Keep::BrowningWork, [-8.0, 8.0]),
        (Keep::SurfaceToCore, [-0.15, 0.15]),
    ] {
        let straight = searched(keep, &from, lot(742.0, 6.0, 11.5), 0.0);
        for guess in guesses {
            let other = searched(keep, &from, lot(742.0, 6.0, 11.5), guess);
            let pairs = straight
                .drawn
                .curve
                .points()
                .iter()
                .zip(other.drawn.curve.points());
            for (one, other) in pairs {
                assert!(
                    (one.temp_c - other.temp_c).abs() < 0.05
                        && (one.time_s - other.time_s).abs() < 0.2,
                    "{keep:?} from {guess}: {one:?} {other:?}"
                );
            }
        }
    }
}

#[test]
fn the_search_can_be_stopped_and_tells_how_far_it_is() {
    let from = plan();
    let mut to = Target::of(&from);
    to.lot = lot(742.0, 6.0, 11.5);
    let request = CarryRequest::new(&from, to);
    let (stop, shares) = (AtomicBool::new(false), RefCell::new(Vec::new()));
    let told = |share: f64| {
        shares.borrow_mut().push(share);
        stop.store(0.3 < share, Ordering::Relaxed);
    };
    let stopped = carry(&request, &stop, &told);
    assert_eq!(stopped.err(), Some(CarryError::Cancelled), "stopped");
    let all_the_way = carry(&request, &AtomicBool::new(false), &|share| {
        shares.borrow_mut().push(share);
    });
    assert!(all_the_way.is_ok(), "not stopped");
    let told = shares.into_inner();
    let last = told.len() - 1;
    assert_eq!(told[last], 1.0, "the end");
    let second_run = told.iter().rposition(|share| *share < 0.02).unwrap();
    assert!(
        told[second_run..].is_sorted() && told[..last].iter().all(|share| *share < 1.0),
        "{told:?}"
    );
}
