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
    airflow::{AirId, AirPoint, AirShape, AirflowSchedule},
    lot::Lot,
    outlook::Outlook,
    plan::{Plan, PlanParts},
};
use carry_plans::{high, low, plan, to_lot};
use std::{
    cell::{Cell, RefCell},
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

/// The plan with a fan that is turned down in steps, which move with the curve's times.
fn stepped(from: &Plan) -> Plan {
    let points = [(0.0, 85.0), (95.0, 78.0), (210.0, 70.0), (375.0, 62.0)];
    let points = points.iter().zip(1..).map(|(&(time_s, percent), id)| {
        let id = AirId(id);
        AirPoint {
            id,
            time_s,
            percent,
        }
    });
    let mut parts = from.clone().into_parts();
    parts.airflow = AirflowSchedule::new(AirShape::Steps, points.collect()).unwrap();
    Plan::new(parts).unwrap()
}

#[test]
fn the_curve_does_not_hang_on_the_starting_guess() {
    let even = plan(low());
    let stepped = stepped(&even);
    for (from, keep, guesses, within_s) in [
        (&even, Keep::CoreHistory, [-8.0, 8.0], 0.2),
        (&even, Keep::BrowningWork, [-8.0, 8.0], 0.2),
        (&even, Keep::SurfaceToCore, [-0.15, 0.15], 0.2),
        // Steps of the fan bend the residuals from second to second.
        (&stepped, Keep::SurfaceToCore, [-0.15, 0.15], 1.0),
    ] {
        let straight = searched(keep, from, high(), 0.0);
        for guess in guesses {
            let other = searched(keep, from, high(), guess);
            let pairs = straight
                .drawn
                .curve
                .points()
                .iter()
                .zip(other.drawn.curve.points());
            for (one, other) in pairs {
                assert!(
                    (one.temp_c - other.temp_c).abs() < 0.05
                        && (one.time_s - other.time_s).abs() < within_s,
                    "{keep:?} from {guess}: {one:?} {other:?}"
                );
            }
        }
    }
}

/// A fan that jumps by a whole second as times stretch made the search run on without end.
#[test]
fn steps_of_the_fan_cost_few_more_roasts_than_an_even_fan() {
    let even = plan(low());
    let roasts = |from: &Plan| {
        let count = Cell::new(0);
        let mut request = to_lot(from, high());
        request.keep = Keep::SurfaceToCore;
        let told = |_| count.set(count.get() + 1);
        let found = carry(&request, &AtomicBool::new(false), &told).unwrap();
        let missed_k = found.left.unwrap().greatest_k.value.abs();
        assert!(missed_k < 0.5, "the history is missed by {missed_k} K");
        count.get()
    };
    let (even, stepped) = (roasts(&even), roasts(&stepped(&even)));
    assert!(stepped < even * 5, "{stepped} roasts, {even} evenly");
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
