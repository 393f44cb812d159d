//! What only the inside of shaping can show: contradictions are found where they are, and as small as they are.
#![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use super::{
    ground::Ground,
    problem::Problem,
    programme::Row,
    targets::{TargetError, TargetName, Targets, Wish},
};
use crate::edit::Boundary::Drop;

const TIME: Ground = Ground::Wish(TargetName::Time(Drop));
const RISE: Ground = Ground::Wish(TargetName::Rise(Drop));
const START: Ground = Ground::Wish(TargetName::StartTemp);

/// x least near 0, with rows on it and on an idle y.
fn problem(rows: Vec<(Ground, Row, f64)>) -> Problem {
    let mut problem = Problem::new(2);
    problem.square(&[(0, 1.0)], 0.0, 1.0);
    problem.square(&[(1, 1.0)], 3.0, 1.0);
    for (ground, row, give) in rows {
        problem.want(ground, row, give);
    }
    problem
}

#[test]
fn rows_that_agree_are_obeyed_and_nothing_clashes() {
    let rows = vec![
        (TIME, Row::at_least(vec![(0, 1.0)], 2.0), 1.0),
        (START, Row::at_most(vec![(1, 1.0)], 1.0), 1.0),
    ];
    let problem = problem(rows);
    let found = problem.solved().unwrap();
    assert!(
        (found.x[0] - 2.0).abs() < 1e-6 && (found.x[1] - 1.0).abs() < 1e-6,
        "{:?}",
        found.x
    );
    assert_eq!(found.slack, 0.0, "nothing gives way");
    assert!(problem.clashes().is_empty(), "{:?}", problem.clashes());
}

#[test]
fn the_cheaper_of_two_gives_way_and_the_third_is_left_out() {
    // x at least 10 s and at most 4 units of 1/60: a step of time is 1, one of rise 0.1/60, so the time, which needs 10 − 4/60 of its
    // steps, gives way, not the rise, which would need thousands.
    let rows = vec![
        (TIME, Row::at_least(vec![(0, 1.0)], 10.0), 1.0),
        (RISE, Row::at_most(vec![(0, 1.0)], 4.0 / 60.0), 1.0 / 60.0),
        (START, Row::at_most(vec![(1, 1.0)], 1.0), 1.0),
    ];
    let problem = problem(rows);
    let found = problem.solved().unwrap();
    assert!((found.x[0] - 4.0 / 60.0).abs() < 1e-4, "{:?}", found.x);
    assert!(
        (found.slack - (10.0 - 4.0 / 60.0)).abs() < 1e-3,
        "{}",
        found.slack
    );
    let clashes = problem.clashes();
    assert_eq!(clashes.len(), 1, "{clashes:?}");
    assert_eq!(
        (clashes[0].gives_way, clashes[0].against.as_slice()),
        (TIME, &[RISE][..]),
        "who against whom"
    );
}

#[test]
fn a_locked_point_never_gives_way() {
    let rows = vec![
        (Ground::Locked(3), Row::equal(vec![(0, 1.0)], 0.0), 1.0),
        (TIME, Row::at_least(vec![(0, 1.0)], 500.0), 1.0),
    ];
    let problem = problem(rows);
    let found = problem.solved().unwrap();
    assert!(found.x[0].abs() < 1e-6, "{:?}", found.x);
    let clashes = problem.clashes();
    assert_eq!(clashes[0].against, [Ground::Locked(3)], "{clashes:?}");
}

#[test]
fn keys_are_unique_and_lead_back_to_their_target() {
    for name in TargetName::ALL {
        let facts = name.facts();
        assert_eq!(TargetName::of_key(facts.key), Some(name), "{}", facts.key);
        assert!(
            facts.least <= facts.most && facts.label.len() < 40,
            "{facts:?}"
        );
        assert!(facts.explanation.ends_with('.'), "{facts:?}");
    }
    assert_eq!(TargetName::of_key("no such key"), None, "unknown");
    assert!(
        TargetName::ALL.is_sorted(),
        "lists and targets have one order"
    );
}

#[test]
fn wishes_out_of_range_crossed_or_empty_are_refused() {
    let with = |name, wish| Targets::default().with(name, wish);
    let drop = TargetName::Time(Drop);
    let refused = with(drop, Wish::exactly(5.0));
    assert!(
        matches!(refused, Err(TargetError::OutOfRange { found: 5.0, .. })),
        "{refused:?}"
    );
    let refused = with(drop, Wish::exactly(f64::NAN));
    assert!(
        matches!(refused, Err(TargetError::OutOfRange { .. })),
        "{refused:?}"
    );
    let refused = with(drop, Wish::between(600.0, 500.0));
    assert!(
        matches!(refused, Err(TargetError::Crossed { .. })),
        "{refused:?}"
    );
    let refused = with(drop, Wish::HOLDS);
    assert!(
        matches!(refused, Err(TargetError::Empty { .. })),
        "{refused:?}"
    );
    let holds = with(TargetName::FallingRise, Wish::exactly(4.0)).unwrap();
    assert_eq!(
        holds.wish(TargetName::FallingRise),
        Some(Wish::HOLDS),
        "takes no value"
    );
    assert_eq!(
        holds.without(TargetName::FallingRise),
        Targets::default(),
        "taken back"
    );
}

#[test]
fn distance_from_the_curve_is_only_ever_at_most_something() {
    let name = TargetName::NearCurve;
    let at_most = |most| Wish {
        least: None,
        most: Some(most),
    };
    let at_least = Wish {
        least: Some(3.0),
        most: None,
    };
    for wish in [
        Wish::exactly(3.0),
        Wish::between(1.0, 3.0),
        at_most(3.0),
        at_least,
    ] {
        let targets = Targets::default().with(name, wish).unwrap();
        assert_eq!(targets.wish(name), Some(at_most(3.0)), "{wish:?}");
    }
    let rise = Targets::default().with(TargetName::Rise(Drop), at_least);
    let kept = rise.unwrap().wish(TargetName::Rise(Drop));
    assert_eq!(kept, Some(at_least), "others keep their lower end");
}

#[test]
fn wish_opens_no_farther_than_what_was_found() {
    let mut targets = Targets::default()
        .with(TargetName::Time(Drop), Wish::between(500.0, 520.0))
        .unwrap();
    targets.open_to(TargetName::Time(Drop), 510.0, 1.0);
    assert_eq!(
        targets.wish(TargetName::Time(Drop)),
        Some(Wish::between(500.0, 520.0)),
        "met"
    );
    targets.open_to(TargetName::Time(Drop), 530.0, 1.0);
    assert_eq!(
        targets.wish(TargetName::Time(Drop)),
        Some(Wish::between(500.0, 531.0)),
        "opened"
    );
}

#[test]
fn a_wish_is_missed_by_its_distance() {
    let wish = Wish::between(2.0, 5.0);
    for (found, miss) in [(1.5, 0.5), (2.0, 0.0), (3.0, 0.0), (5.0, 0.0), (7.0, 2.0)] {
        assert_eq!(wish.miss(found), miss, "{found}");
    }
    assert_eq!(Wish::HOLDS.miss(1e9), 0.0, "nothing to miss");
}
