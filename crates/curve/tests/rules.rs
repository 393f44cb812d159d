//! What a curve, an edit and a shift refuse, and what they say.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

use chaffinch_curve::{
    ControlPoint, Coordinate, CurveError, CurvePoint, EditRefusal, Lock, Offset, PointEdit,
    PointId, Segment, SetpointCurve, Shape, ShiftLimit,
};

fn points(places: &[(f64, f64)]) -> Vec<ControlPoint> {
    (1..)
        .zip(places)
        .map(|(id, &(t, c))| ControlPoint::new(PointId(id), t, c))
        .collect()
}

/// Ids 1 to 5; a hold from 3 to 4.
fn roast() -> SetpointCurve {
    let mut points = points(&[
        (0.0, 25.0),
        (100.0, 110.0),
        (200.0, 160.0),
        (260.0, 160.0),
        (600.0, 215.0),
    ]);
    points[2].segment = Segment::Hold;
    SetpointCurve::new(Shape::Monotone, points).unwrap()
}

fn locked(id: u32, lock: Lock) -> SetpointCurve {
    roast()
        .edited(&PointEdit::SetLock {
            ids: vec![PointId(id)],
            lock,
        })
        .unwrap()
}

fn move_to(id: u32, time_s: f64, temp_c: f64) -> PointEdit {
    PointEdit::Move {
        id: PointId(id),
        to: CurvePoint { time_s, temp_c },
    }
}

fn temps(curve: &SetpointCurve) -> Vec<f64> {
    curve.points().iter().map(|point| point.temp_c).collect()
}

#[track_caller]
fn assert_invalid(points: Vec<ControlPoint>, expected: CurveError, says: &str) {
    let found = SetpointCurve::new(Shape::Smooth, points).unwrap_err();
    assert_eq!(found, expected);
    assert_eq!(found.to_string(), says);
}

#[test]
#[expect(clippy::too_many_lines, reason = "a table of cases")]
fn an_invalid_curve_names_point_value_and_rule() {
    assert_invalid(
        points(&[(0.0, 20.0)]),
        CurveError::TooFewPoints { found: 1 },
        "1 points found, at least 2 expected: add a point",
    );
    let many: Vec<(f64, f64)> = (0..201).map(|i| (f64::from(i) * 10.0, 20.0)).collect();
    assert_invalid(
        points(&many),
        CurveError::TooManyPoints { found: 201 },
        "201 points found, at most 200 expected: remove some",
    );
    assert!(SetpointCurve::new(Shape::Smooth, points(&many[..200])).is_ok());
    assert_invalid(
        points(&[(1.0, 20.0), (9.0, 30.0)]),
        CurveError::StartNotZero { found: 1.0 },
        "point 1 is at 1 s, expected 0 s: move it to the start",
    );
    assert_invalid(
        points(&[(0.0, 20.0), (50.0, 30.0), (50.5, 40.0)]),
        CurveError::TooClose {
            number: 3,
            found: 50.5,
            previous: 50.0,
        },
        "point 3 is at 50.5 s, expected at least 1 s after the point before at 50 s: move one of them",
    );
    assert_invalid(
        points(&[(0.0, 20.0), (3600.5, 30.0)]),
        CurveError::TimeOutside {
            number: 2,
            found: 3600.5,
        },
        "point 2 is at 3600.5 s, expected 0 to 3600 s: move it earlier",
    );
    assert_invalid(
        points(&[(0.0, -0.5), (60.0, 30.0)]),
        CurveError::TempOutside {
            number: 1,
            found: -0.5,
        },
        "point 1 is at -0.5 °C, expected 0 to 320 °C: move it inside",
    );
    assert_invalid(
        points(&[(0.0, 20.0), (60.0, f64::INFINITY)]),
        CurveError::NotFinite {
            number: 2,
            quantity: "temperature",
            found: f64::INFINITY,
        },
        "point 2: temperature is inf, expected a finite number: give it one",
    );
    let mut pinned = points(&[(0.0, 20.0), (60.0, 30.0)]);
    pinned[1].pinned_rise_c_per_s = Some(1000.5);
    assert_invalid(
        pinned,
        CurveError::RiseOutside {
            number: 2,
            found: 1000.5,
        },
        "point 2 has its rise pinned at 1000.5 °C/s, expected at most 1000 °C/s either way: pin a smaller one",
    );
    let mut doubled = points(&[(0.0, 20.0), (60.0, 30.0)]);
    doubled[1].id = doubled[0].id;
    assert_invalid(
        doubled,
        CurveError::DoubleId {
            number: 2,
            id: PointId(1),
        },
        "point 2 has the id 1 that an earlier point has: give each point its own",
    );
    let mut hold = points(&[(0.0, 20.0), (60.0, 30.0)]);
    hold[0].segment = Segment::Hold;
    assert_invalid(
        hold,
        CurveError::UnevenHold {
            number: 1,
            found: 20.0,
            next: 30.0,
        },
        "point 1 holds 20 °C but the next point is at 30 °C, expected the same: level the points or make the segment curved or straight",
    );
}

#[test]
fn the_last_segment_is_always_curved() {
    let mut points = points(&[(0.0, 20.0), (60.0, 30.0)]);
    points[1].segment = Segment::Straight;
    assert_eq!(
        SetpointCurve::new(Shape::Smooth, points)
            .unwrap()
            .last()
            .segment,
        Segment::Curved
    );
    let refused = roast().edited(&PointEdit::SetSegment {
        id: PointId(5),
        segment: Segment::Straight,
    });
    assert_eq!(refused, Err(EditRefusal::NoSegment { number: 5 }));
}

#[test]
fn moving_a_held_point_carries_the_others() {
    let moved = roast().edited(&move_to(4, 300.0, 170.0)).unwrap();
    assert_eq!(temps(&moved), [25.0, 110.0, 170.0, 170.0, 215.0]);
    assert_eq!(moved.point(PointId(3)).unwrap().time_s, 200.0);
    assert_eq!(moved.temp_c(250.0), 170.0);
    let refused = locked(3, Lock::Temp).edited(&move_to(4, 260.0, 170.0));
    assert_eq!(
        refused,
        Err(EditRefusal::Locked {
            id: PointId(3),
            number: 3,
            coordinate: Coordinate::Temp
        })
    );
    assert!(
        locked(3, Lock::Temp)
            .edited(&move_to(4, 300.0, 160.0))
            .is_ok()
    );
}

#[test]
fn setting_a_hold_levels_the_later_points() {
    let hold = |id| PointEdit::SetSegment {
        id: PointId(id),
        segment: Segment::Hold,
    };
    assert_eq!(
        temps(&roast().edited(&hold(2)).unwrap()),
        [25.0, 110.0, 110.0, 110.0, 215.0]
    );
    assert!(locked(4, Lock::Temp).edited(&hold(2)).is_err());
}

#[test]
fn locked_points_stay_in_every_edit() {
    let refusal = |coordinate| {
        Err(EditRefusal::Locked {
            id: PointId(2),
            number: 2,
            coordinate,
        })
    };
    let curve = locked(2, Lock::Time);
    assert_eq!(
        curve.edited(&move_to(2, 101.0, 110.0)),
        refusal(Coordinate::Time)
    );
    assert!(curve.edited(&move_to(2, 100.0, 120.0)).is_ok());
    assert_eq!(
        curve.edited(&PointEdit::Remove {
            ids: vec![PointId(2)]
        }),
        refusal(Coordinate::Time)
    );
    let others = points(&[(0.0, 25.0), (99.0, 110.0), (600.0, 215.0)]);
    assert_eq!(
        curve.edited(&PointEdit::Replace(others)),
        refusal(Coordinate::Time)
    );
    let others = points(&[(0.0, 25.0), (100.0, 90.0), (600.0, 215.0)]);
    let replaced = curve.edited(&PointEdit::Replace(others)).unwrap();
    assert_eq!(
        replaced.point(PointId(2)).map(|point| point.lock),
        Some(Lock::Time)
    );
}

#[test]
fn refused_edits_say_why() {
    let all = || (1..=5).map(PointId).collect::<Vec<_>>();
    let by = Offset {
        time_s: 5.0,
        temp_c: 0.0,
    };
    let cases = [
        (
            move_to(9, 1.0, 1.0),
            "the curve has no point with the id 9: choose one of its points",
        ),
        (
            PointEdit::Shift { ids: all(), by },
            "the first point stays at 0 s, the charge, and would move to 5 s: select only points after it",
        ),
        (
            PointEdit::Remove {
                ids: vec![PointId(2), PointId(5)],
            },
            "point 5 is the first or last one, expected a point between them: move it instead",
        ),
        (
            PointEdit::StretchTime {
                ids: all(),
                pivot_s: 0.0,
                factor: -1.0,
            },
            "the factor is -1, expected a number above 0: choose another",
        ),
        (
            PointEdit::InsertOnCurve { time_s: 600.0 },
            "there is no curve at 600 s, expected a time between 0 and 600 s: choose one",
        ),
        (
            PointEdit::InsertAt {
                at: CurvePoint {
                    time_s: 99.5,
                    temp_c: 100.0,
                },
            },
            "99.5 s is too near to point 2 at 100 s, expected at least 1 s between them: choose another time",
        ),
        (
            move_to(2, 300.0, 100.0),
            "5:00 is past point 3 at 3:20; a point stays between its neighbours",
        ),
        (
            move_to(3, 42.5, 150.0),
            "0:42.5 is past point 2 at 1:40; a point stays between its neighbours",
        ),
        (
            move_to(2, 199.5, 100.0),
            "point 3 is at 200 s, expected at least 1 s after the point before at 199.5 s: move one of them",
        ),
        (
            move_to(2, 50.0, 400.0),
            "point 2 is at 400 °C, expected 0 to 320 °C: move it inside",
        ),
    ];
    for (edit, says) in cases {
        assert_eq!(roast().edited(&edit).unwrap_err().to_string(), says);
    }
}

#[test]
fn removing_joins_segments_of_one_kind() {
    let segment = |curve: &SetpointCurve, id| curve.point(PointId(id)).unwrap().segment;
    let remove = |curve: &SetpointCurve, id| {
        curve
            .edited(&PointEdit::Remove {
                ids: vec![PointId(id)],
            })
            .unwrap()
    };
    assert_eq!(segment(&remove(&roast(), 4), 3), Segment::Curved);
    let inside = roast()
        .edited(&PointEdit::InsertOnCurve { time_s: 230.0 })
        .unwrap();
    assert_eq!(segment(&inside, 6), Segment::Hold);
    assert_eq!(remove(&inside, 6), roast());
}

#[test]
fn a_point_off_a_hold_ends_it() {
    let at = CurvePoint {
        time_s: 230.0,
        temp_c: 165.0,
    };
    let curve = roast().edited(&PointEdit::InsertAt { at }).unwrap();
    let holds = curve
        .points()
        .iter()
        .filter(|point| point.segment == Segment::Hold)
        .count();
    assert_eq!((holds, curve.temp_c(230.0)), (0, 165.0));
}

#[test]
fn a_shift_stops_at_what_is_in_its_way() {
    let shift = |curve: &SetpointCurve, id: u32, time_s, temp_c| {
        let limited = curve.limit_shift(&[PointId(id)], Offset { time_s, temp_c });
        (limited.by.time_s, limited.by.temp_c, limited.stopped_by)
    };
    let curve = roast();
    assert_eq!(
        shift(&curve, 2, 500.0, 1.0),
        (99.0, 1.0, vec![ShiftLimit::Neighbour(PointId(3))])
    );
    assert_eq!(
        shift(&curve, 2, -500.0, 0.0),
        (-99.0, 0.0, vec![ShiftLimit::Neighbour(PointId(1))])
    );
    assert_eq!(
        shift(&curve, 1, 3.0, 0.0),
        (0.0, 0.0, vec![ShiftLimit::FirstPointStays])
    );
    assert_eq!(
        shift(&curve, 5, 9000.0, 0.0),
        (3000.0, 0.0, vec![ShiftLimit::Length])
    );
    assert_eq!(
        shift(&curve, 4, 0.0, 900.0),
        (0.0, 160.0, vec![ShiftLimit::Ceiling])
    );
    assert_eq!(
        shift(&curve, 4, 0.0, -900.0),
        (0.0, -160.0, vec![ShiftLimit::Floor])
    );
    let locked_hold = locked(3, Lock::Both);
    let stops = vec![
        ShiftLimit::Neighbour(PointId(3)),
        ShiftLimit::LockedTemp(PointId(3)),
    ];
    assert_eq!(shift(&locked_hold, 4, -99.0, 5.0), (-59.0, 0.0, stops));
    assert_eq!(
        shift(&locked_hold, 3, 5.0, 0.0),
        (0.0, 0.0, vec![ShiftLimit::LockedTime(PointId(3))])
    );
    assert_eq!(
        ShiftLimit::Ceiling.to_string(),
        "no point goes above 320 °C"
    );
}
