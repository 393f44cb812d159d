//! Curves shaped by hand: what is asked for is met, what is kept stays, undo brings all back.
//!
//! Expected values come from the definitions (the integral of a raised cosine, a parabola, a cubic), reckoned here again.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise; its name says what is checked"
)]

use chaffinch_craft::{
    Boundary, Edit, FinishEdit, HandEdit, HandError, History, KeptEnd, Plan, Refusal, RiseAtDrop,
};
use chaffinch_curve::{
    ControlPoint, EditRefusal, Lock, PointEdit, PointId, Segment, SetpointCurve, Shape,
};

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

fn edited(plan: &Plan, edits: &[PointEdit]) -> Plan {
    let edits = edits.iter().cloned().map(Edit::Points);
    edits.fold(plan.clone(), |plan, edit| plan.edited(&edit).unwrap())
}

fn locked(plan: &Plan, id: u32, lock: Lock) -> Plan {
    let ids = vec![PointId(id)];
    edited(plan, &[PointEdit::SetLock { ids, lock }])
}

fn bend(id: u32, to_c_per_s: f64, keep: KeptEnd) -> Edit {
    Edit::Hand(HandEdit::BendRise {
        id: PointId(id),
        to_c_per_s,
        keep,
    })
}

fn straighten(from: u32, to: u32) -> Edit {
    let (from, to) = (PointId(from), PointId(to));
    Edit::Hand(HandEdit::StraightenRise { from, to })
}

fn ease(from: Option<u32>, rise: RiseAtDrop) -> Edit {
    let from = from.map(PointId);
    Edit::Hand(HandEdit::EaseIntoDrop { from, rise })
}

fn refused(plan: &Plan, edit: &Edit) -> HandError {
    match plan.edited(edit) {
        Err(Refusal::Hand(error)) => error,
        other => panic!("{edit:?} should be refused, gave {other:?}"),
    }
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

fn rise(plan: &Plan, id: u32) -> f64 {
    let point = plan.curve.point(PointId(id)).unwrap();
    plan.curve.rise_c_per_s(point.time_s)
}

// ---- bending

#[test]
fn bent_rise_is_met_and_start_stays() {
    for shape in [Shape::Monotone, Shape::Smooth] {
        let before = plan(shape);
        for (id, to) in [(1, 0.5), (1, 0.3), (4, 0.4), (4, 0.1), (7, 0.15), (8, 0.02)] {
            let after = before.edited(&bend(id, to, KeptEnd::Start)).unwrap();
            assert!((rise(&after, id) - to).abs() < 1e-6, "{shape:?} {id} {to}");
            let index = id as usize - 1;
            let pairs = before.curve.points().iter().zip(after.curve.points());
            for (old, new) in pairs.clone().take(index) {
                assert_eq!(old, new, "{shape:?} {id} {to}: before the bend");
            }
            let by_c: Vec<f64> = pairs
                .skip(index + 1)
                .map(|(old, new)| new.temp_c - old.temp_c)
                .collect();
            for shift_c in &by_c {
                assert!((shift_c - by_c[0]).abs() < 1e-8, "all later ones alike");
            }
        }
    }
}

/// A pinned rise is bent by exactly the bump, whose integral to either side is half its reach.
#[test]
fn bump_at_a_pinned_point_adds_its_integral() {
    let pin = PointEdit::PinRise {
        id: PointId(4),
        rise_c_per_s: Some(0.25),
    };
    let before = edited(&plan(Shape::Monotone), &[pin]);
    let after = before.edited(&bend(4, 0.35, KeptEnd::Start)).unwrap();
    let by_c = |id| {
        let temp_c = |plan: &Plan| plan.curve.point(PointId(id)).unwrap().temp_c;
        temp_c(&after) - temp_c(&before)
    };
    // Neighbours lie 80 s to both sides.
    assert!((by_c(4) - 0.1 * 40.0).abs() < 1e-8, "{}", by_c(4));
    assert!((by_c(5) - 0.1 * 80.0).abs() < 1e-8, "{}", by_c(5));
    assert_eq!(by_c(3), 0.0);
    assert_eq!(rise(&after, 4), 0.35);
    assert_eq!(
        after
            .curve
            .point(PointId(4))
            .unwrap()
            .rise_by_hand_c_per_s(),
        Some(0.35)
    );
}

#[test]
fn bent_rise_is_met_and_start_and_drop_stay() {
    for shape in [Shape::Monotone, Shape::Smooth] {
        let before = plan(shape);
        let drop_s = reach_s(&before, Boundary::Drop).unwrap();
        for (id, to) in [
            (1, 0.5),
            (3, 0.35),
            (4, 0.28),
            (4, 0.22),
            (5, 0.22),
            (7, 0.12),
        ] {
            let after = before.edited(&bend(id, to, KeptEnd::Drop)).unwrap();
            assert!((rise(&after, id) - to).abs() < 1e-6, "{shape:?} {id} {to}");
            assert_eq!(after.curve.points()[0], before.curve.points()[0]);
            let found_s = reach_s(&after, Boundary::Drop).unwrap();
            assert!(
                (found_s - drop_s).abs() < 1e-4,
                "{shape:?} {id} {to} {found_s}"
            );
        }
    }
}

/// Outside the bump every stretch before the drop loses the same share of its rise.
#[test]
fn rest_of_the_roast_gives_way_by_one_share() {
    let before = plan(Shape::Monotone);
    let after = before.edited(&bend(4, 0.33, KeptEnd::Drop)).unwrap();
    let secants = |plan: &Plan| -> Vec<f64> {
        let pairs = plan.curve.points().windows(2);
        pairs
            .map(|pair| (pair[1].temp_c - pair[0].temp_c) / (pair[1].time_s - pair[0].time_s))
            .collect()
    };
    let shares: Vec<f64> = secants(&after)
        .iter()
        .zip(secants(&before))
        .map(|(after, before)| after / before)
        .collect();
    // Point 4's neighbours bound the bump; the drop lies in the last stretch.
    for index in [1, 4, 5] {
        assert!((shares[index] - shares[0]).abs() < 1e-6, "{shares:?}");
    }
    assert!(shares[0] < 1.0 && 1.0 < shares[2], "{shares:?}");
}

#[test]
fn bending_there_and_back_returns_the_curve() {
    let before = plan(Shape::Smooth);
    let there = before.edited(&bend(4, 0.3, KeptEnd::Start)).unwrap();
    let back = there
        .edited(&bend(4, rise(&before, 4), KeptEnd::Start))
        .unwrap();
    for (old, new) in before.curve.points().iter().zip(back.curve.points()) {
        assert!((old.temp_c - new.temp_c).abs() < 1e-4, "{old:?} {new:?}");
    }
}

#[test]
fn locked_temperatures_stay_or_refuse_the_bend() {
    let free = plan(Shape::Monotone);
    let plan = locked(&free, 6, Lock::Temp);
    let error = refused(&plan, &bend(4, 0.4, KeptEnd::Start));
    let is_lock = matches!(
        error,
        HandError::Refused(EditRefusal::Locked { number: 6, .. })
    );
    assert!(is_lock, "{error:?}");
    // With the drop kept, what is taken back is taken back before the lock.
    let after = plan.edited(&bend(4, 0.28, KeptEnd::Drop)).unwrap();
    for id in 6..=8 {
        let id = PointId(id);
        assert_eq!(after.curve.point(id), plan.curve.point(id));
    }
    assert!((rise(&after, 4) - 0.28).abs() < 1e-6);
    let error = refused(&locked(&free, 4, Lock::Both), &bend(4, 0.4, KeptEnd::Drop));
    let is_lock = matches!(
        error,
        HandError::Refused(EditRefusal::Locked { number: 4, .. })
    );
    assert!(is_lock, "{error:?}");
}

#[test]
fn bends_that_can_not_be_are_refused_by_name() {
    let plan = plan(Shape::Monotone);
    let outside = refused(&plan, &bend(4, 3.0, KeptEnd::Start));
    assert!(matches!(outside, HandError::RiseOutside { .. }));
    assert_eq!(
        outside.to_string(),
        "180.0 °C/min is beyond any roast; expected −30.0 °C/min to 120.0 °C/min"
    );
    let too_much = refused(&plan, &bend(4, 1.5, KeptEnd::Drop));
    assert!(
        matches!(too_much, HandError::TooMuchTaken { number: 4, .. }),
        "{too_much}"
    );
    let behind = refused(&plan, &bend(8, 0.2, KeptEnd::Drop));
    assert_eq!(behind, HandError::BehindDrop { number: 8 });
    let hot = refused(&plan, &bend(4, 1.9, KeptEnd::Start));
    assert!(
        matches!(hot, HandError::Refused(EditRefusal::Breaks(_))),
        "{hot}"
    );
    let unknown = refused(&plan, &bend(77, 0.2, KeptEnd::Start));
    assert!(matches!(
        unknown,
        HandError::Refused(EditRefusal::UnknownPoint { .. })
    ));
    let two = through(Shape::Monotone, &[(0.0, 105.0), (500.0, 212.0)]);
    let error = refused(&two, &bend(1, 0.4, KeptEnd::Drop));
    assert_eq!(error, HandError::NothingGivesWay { number: 1 });
    let hold = PointEdit::SetSegment {
        id: PointId(4),
        segment: Segment::Hold,
    };
    let held = edited(&plan, &[hold]);
    for keep in KeptEnd::ALL {
        assert_eq!(
            refused(&held, &bend(4, 0.2, keep)),
            HandError::Held { number: 4 }
        );
    }
    // Farther away a hold just moves along, level as before.
    let after = held.edited(&bend(2, 0.45, KeptEnd::Drop)).unwrap();
    assert_eq!(
        after.curve.points()[3].temp_c,
        after.curve.points()[4].temp_c
    );
}

// ---- straightening

#[test]
fn straight_rise_is_a_line_and_its_ends_stay() {
    for shape in [Shape::Monotone, Shape::Smooth] {
        let before = plan(shape);
        let after = before.edited(&straighten(6, 2)).unwrap();
        let start = rise(&before, 2);
        // The parabola through both points with this rise at the first.
        let end = 2.0 * (202.0 - 131.0) / 290.0 - start;
        for second in 0..=290 {
            let s = f64::from(second);
            let line = start + (end - start) * s / 290.0;
            let found = after.curve.rise_c_per_s(60.0 + s);
            // At the last point the rise of the next stretch is read.
            assert!((found - line).abs() < 1e-7, "{shape:?} {s} {found} {line}");
        }
        for (time_s, temp_c) in [(60.0, 131.0), (350.0, 202.0)] {
            assert_eq!(after.curve.temp_c(time_s), temp_c);
        }
        for time_s in [0.0, 20.0, 59.0] {
            let by_c = after.curve.temp_c(time_s) - before.curve.temp_c(time_s);
            assert!(
                by_c.abs() < 1e-9,
                "{shape:?}: before the stretch at {time_s}"
            );
        }
        assert_eq!(
            after.edited(&straighten(2, 6)).unwrap(),
            after,
            "twice is once"
        );
    }
}

#[test]
fn straightening_follows_pins_and_makes_stretches_curved() {
    let straight = PointEdit::SetSegment {
        id: PointId(4),
        segment: Segment::Straight,
    };
    let pins = [(3, 0.36), (5, 0.05)].map(|(id, rise)| PointEdit::PinRise {
        id: PointId(id),
        rise_c_per_s: Some(rise),
    });
    let before = edited(&edited(&plan(Shape::Monotone), &[straight]), &pins);
    let after = before.edited(&straighten(3, 6)).unwrap();
    assert!(
        (rise(&after, 3) - 0.36).abs() < 1e-9,
        "the pin at the first point holds"
    );
    let point = |id| *after.curve.point(PointId(id)).unwrap();
    assert_eq!(point(4).segment, Segment::Curved);
    let by_hand = [3, 4, 5, 6].map(|id| point(id).rise_by_hand_c_per_s().is_some());
    assert_eq!(by_hand, [true, false, true, false]);
}

#[test]
fn straightening_that_can_not_be_is_refused_by_name() {
    let plan = plan(Shape::Monotone);
    assert_eq!(refused(&plan, &straighten(3, 3)), HandError::OnePoint);
    let steep = PointEdit::PinRise {
        id: PointId(2),
        rise_c_per_s: Some(0.9),
    };
    let error = refused(&edited(&plan, &[steep]), &straighten(2, 8));
    assert!(
        matches!(
            error,
            HandError::TurnsOver {
                number: 2,
                last: 8,
                ..
            }
        ),
        "{error:?}"
    );
    let error = refused(&locked(&plan, 4, Lock::Temp), &straighten(2, 6));
    assert!(
        matches!(error, HandError::Refused(EditRefusal::Locked { .. })),
        "{error:?}"
    );
    // Locked ends and locked times are no hindrance: those stay.
    let plan = locked(&locked(&plan, 2, Lock::Both), 4, Lock::Time);
    assert!(plan.edited(&straighten(2, 6)).is_ok());
}

// ---- easing into the drop

/// The rises every second from `from_s` to the drop.
fn rises(plan: &Plan, from_s: f64) -> Vec<f64> {
    let drop_s = reach_s(plan, Boundary::Drop).unwrap();
    let seconds = (drop_s - from_s).floor() as u32;
    (0..=seconds)
        .map(|second| plan.curve.rise_c_per_s(from_s + f64::from(second)))
        .collect()
}

#[test]
fn eased_rise_falls_without_a_turn_and_the_drop_stays() {
    for shape in [Shape::Monotone, Shape::Smooth] {
        let before = plan(shape);
        let [_, crack_s, drop_s] = Boundary::ALL.map(|one| reach_s(&before, one).unwrap());
        let start = before.curve.rise_c_per_s(crack_s);
        let after = before.edited(&ease(None, RiseAtDrop::Share(0.5))).unwrap();
        let [colour_s, new_crack_s, new_drop_s] =
            Boundary::ALL.map(|one| reach_s(&after, one).unwrap());
        assert!(
            (new_crack_s - crack_s).abs() < 0.1,
            "{shape:?} {new_crack_s}"
        );
        let old_colour_s = reach_s(&before, Boundary::ALL[0]).unwrap();
        assert!((colour_s - old_colour_s).abs() < 0.01, "{shape:?}");
        assert!((new_drop_s - drop_s).abs() < 0.1, "{shape:?} {new_drop_s}");
        let at_drop = after.curve.rise_c_per_s(new_drop_s - 1e-6);
        assert!(
            (at_drop / start - 0.5).abs() < 0.01,
            "{shape:?} {at_drop} {start}"
        );
        let rises = rises(&after, new_crack_s + 0.1);
        assert!(
            rises.windows(2).all(|pair| pair[1] <= pair[0] + 1e-9),
            "{shape:?}"
        );
        let again = after.edited(&ease(None, RiseAtDrop::Share(0.5))).unwrap();
        for (once, twice) in after.curve.points().iter().zip(again.curve.points()) {
            assert_eq!(once.time_s, twice.time_s, "{shape:?}");
            assert!((once.temp_c - twice.temp_c).abs() < 1e-6, "{shape:?}");
        }
    }
}

/// 0.2 to 0.02 °C/s can fall without a turn at means from 0.08 to 0.14 °C/s; 10 °C then take 125 to 71.4 s.
#[test]
fn drop_moves_no_further_than_a_fall_without_a_turn_asks_for() {
    for (width_s, expected_s) in [(100.0, 100.0), (60.0, 71.5), (140.0, 125.0)] {
        let knots = [
            (0.0, 100.0),
            (400.0, 202.0),
            (400.0 + width_s, 212.0),
            (460.0 + width_s, 216.0),
        ];
        let pin = PointEdit::PinRise {
            id: PointId(2),
            rise_c_per_s: Some(0.2),
        };
        let before = edited(&through(Shape::Monotone, &knots), &[pin]);
        let after = before
            .edited(&ease(Some(2), RiseAtDrop::Rise(0.02)))
            .unwrap();
        let points = after.curve.points();
        assert!(
            (points[2].time_s - 400.0 - expected_s).abs() < 1e-9,
            "{width_s}"
        );
        assert_eq!(points[2].temp_c, 212.0, "{width_s}");
        assert!(
            (points[3].time_s - points[2].time_s - 60.0).abs() < 1e-9,
            "what follows comes along"
        );
        let rises = rises(&after, 400.0);
        assert!(
            rises.windows(2).all(|pair| pair[1] <= pair[0] + 1e-9),
            "{width_s} {rises:?}"
        );
        assert!((after.curve.rise_c_per_s(points[2].time_s) - 0.02).abs() < 1e-9);
    }
}

#[test]
fn easing_that_can_not_be_is_refused_by_name() {
    let half = RiseAtDrop::Share(0.5);
    let plan = plan(Shape::Monotone);
    assert_eq!(
        refused(&plan, &ease(Some(3), half)),
        HandError::BeforeFirstCrack { number: 3 }
    );
    assert_eq!(refused(&plan, &ease(Some(8), half)), HandError::TooShort);
    for rise in [
        RiseAtDrop::Share(1.2),
        RiseAtDrop::Share(f64::NAN),
        RiseAtDrop::Rise(-0.1),
    ] {
        assert_eq!(refused(&plan, &ease(None, rise)), HandError::EndOutside);
    }
    let error = refused(&plan, &ease(None, RiseAtDrop::Rise(0.5)));
    assert!(
        matches!(error, HandError::NothingToEase { .. }),
        "{error:?}"
    );
    let error = refused(&locked(&plan, 7, Lock::Temp), &ease(None, half));
    assert!(
        matches!(
            error,
            HandError::Refused(EditRefusal::Locked { number: 8, .. })
        ),
        "{error:?}"
    );
    let finish = |temp_c| {
        let id = plan.finish().id;
        plan.edited(&Edit::Finish(FinishEdit::Move { id, temp_c }))
            .unwrap()
    };
    let what = "the drop";
    assert_eq!(
        refused(&finish(230.0), &ease(None, half)),
        HandError::NotReached { what }
    );
    let what = "first crack before the drop";
    assert_eq!(
        refused(&finish(190.0), &ease(None, half)),
        HandError::NotReached { what }
    );
}

#[test]
fn history_names_what_was_done_and_takes_it_back() {
    let before = plan(Shape::Monotone);
    let mut history = History::of_saved(before.clone());
    for edit in [
        bend(4, 0.26, KeptEnd::Drop),
        straighten(6, 2),
        ease(None, RiseAtDrop::Share(0.5)),
    ] {
        history.apply(&edit).unwrap();
    }
    assert_eq!(
        history.past().collect::<Vec<_>>(),
        [
            "Bent the rise at point 4",
            "Straightened the rise from point 2 to 6",
            "Eased into the drop"
        ]
    );
    while history.undo() {}
    assert_eq!(**history.plan(), before);
}

/// A drag is reckoned from where it began, so its way doesn't matter.
#[test]
fn bend_by_a_drag_depends_only_on_where_it_ends() {
    let straight_there = plan(Shape::Monotone)
        .edited(&bend(4, 0.28, KeptEnd::Drop))
        .unwrap();
    let mut history = History::of_saved(plan(Shape::Monotone));
    for to in [0.2, 0.35, 0.15, 0.28] {
        history
            .drag(chaffinch_craft::GestureId(1), &bend(4, to, KeptEnd::Drop))
            .unwrap();
    }
    history.release();
    assert_eq!(**history.plan(), straight_there);
    assert_eq!(history.past().len(), 1);
}
