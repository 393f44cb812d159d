//! What only the inside of the search can show: that its answer does not hang on where it starts, and that it can be stopped.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test may stop at the first surprise"
)]

#[path = "../../tests/carry_plans/mod.rs"]
mod carry_plans;

use super::{
    CarryError, Keep, carry,
    physics::{Physics, Sides, carried_from},
    progress::Progress,
};
use crate::{
    lot::Lot,
    outlook::Outlook,
    plan::{Plan, PlanParts},
};
use carry_plans::{high, low, plan, to_lot};
use std::{
    cell::RefCell,
    sync::atomic::{AtomicBool, Ordering},
};

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
    let from = plan(low());
    for (keep, guesses) in [
        (Keep::CoreHistory, [-8.0, 8.0]),
        (Keep::BrowningWork, [-8.0, 8.0]),
        (Keep::SurfaceToCore, [-0.15, 0.15]),
    ] {
        let straight = searched(keep, &from, high(), 0.0);
        for guess in guesses {
            let other = searched(keep, &from, high(), guess);
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
    let from = plan(low());
    let request = to_lot(&from, high());
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
