//! Crossings, phases and shape events against closed forms worked out beside each check.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

use chaffinch_curve::{
    ControlPoint, Crossing, Interpolant, Knot, KnotError, Marks, Phases, PlateauRule, PointId,
    Reach, Segment, SetpointCurve, Shape, SteepFall, coolings, overshoots, plateaus, rise_turns,
    steep_falls,
};

#[track_caller]
fn assert_near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "found {found}, expected {expected}"
    );
}

fn curve(shape: Shape, points: &[(f64, f64, Segment, Option<f64>)]) -> SetpointCurve {
    let point =
        |(id, &(t, c, segment, pinned)): (u32, &(f64, f64, Segment, Option<f64>))| ControlPoint {
            segment,
            pinned_rise_c_per_s: pinned,
            ..ControlPoint::new(PointId(id), t, c)
        };
    SetpointCurve::new(shape, (0..).zip(points).map(point).collect()).unwrap()
}

/// One cubic from (0 s, 100 °C) to (100 s, 200 °C) with the given rises at its ends. Its mean rise is 1 °C/s, so with
/// both ends at m the rise is m - 6 (m - 1) s/100 (1 - s/100).
fn cubic(first: f64, last: f64) -> SetpointCurve {
    let ends = [
        (0.0, 100.0, Segment::Curved, Some(first)),
        (100.0, 200.0, Segment::Curved, Some(last)),
    ];
    curve(Shape::Smooth, &ends)
}

/// 20 °C to 220 °C in 600 s at 1/3 °C/s.
fn line() -> SetpointCurve {
    curve(
        Shape::Monotone,
        &[
            (0.0, 20.0, Segment::Curved, None),
            (600.0, 220.0, Segment::Curved, None),
        ],
    )
}

#[test]
fn a_parabola_meets_levels_from_both_sides_and_touches_one() {
    // y = 100 - (x - 10)², as two Hermite pieces with slopes of the parabola.
    let knot = |x: f64| Knot {
        x,
        y: 100.0 - (x - 10.0).powi(2),
        slope_in: 20.0 - 2.0 * x,
        slope_out: 20.0 - 2.0 * x,
    };
    let parabola = Interpolant::hermite(&[knot(0.0), knot(7.0), knot(20.0)]).unwrap();
    assert_eq!(parabola.crossings(100.5, 1e-9), []);
    let [Crossing::Touch { x }] = parabola.crossings(100.0, 1e-9)[..] else {
        panic!("one touch expected")
    };
    assert_near(x, 10.0, 1e-6);
    let [Crossing::Rising { x: up }, Crossing::Falling { x: down }] =
        parabola.crossings(84.0, 1e-9)[..]
    else {
        panic!("up and down expected")
    };
    assert_near(up, 6.0, 1e-9);
    assert_near(down, 14.0, 1e-9);
    // On the level at both ends: it starts rising and ends falling.
    assert_eq!(
        parabola.crossings(0.0, 1e-9),
        [Crossing::Rising { x: 0.0 }, Crossing::Falling { x: 20.0 }]
    );
    // Nearly on the level at a knot is still crossed where it is exactly on it.
    let [Crossing::Rising { x }, _] = parabola.crossings(91.0 + 5e-10, 1e-9)[..] else {
        panic!("two expected")
    };
    assert_near(x, 7.0 + 5e-10 / 6.0, 1e-14);
    let [Crossing::Rising { x }, _] = parabola.crossings(91.0 - 5e-10, 1e-9)[..] else {
        panic!("two expected")
    };
    assert_near(x, 7.0 - 5e-10 / 6.0, 1e-14);
}

#[test]
fn one_piece_may_meet_a_level_three_times() {
    // With rises of 4 the cubic turns at 33.3 and 66.7 s, symmetric about (50 s, 150 °C).
    let found = cubic(4.0, 4.0).crossings(150.0);
    let [
        Crossing::Rising { x: first },
        Crossing::Falling { x: middle },
        Crossing::Rising { x: last },
    ] = found[..]
    else {
        panic!("three expected, found {found:?}")
    };
    assert_near(middle, 50.0, 1e-9);
    assert_near(first + last, 100.0, 1e-9);
    // y - 150 = u (6e-4 u² - 1/2) with u = s - 50: the rise at u = 0 is 4 - 4.5 = -1/2.
    assert_near(last, 50.0 + (0.5_f64 / 6e-4).sqrt(), 1e-9);
}

#[test]
fn a_plateau_on_the_level_is_one_crossing() {
    let knots = [
        (0.0, 20.0),
        (90.0, 120.0),
        (180.0, 160.0),
        (240.0, 160.0),
        (360.0, 160.0),
        (480.0, 205.0),
    ];
    let plateau = [Crossing::Plateau {
        from: 180.0,
        to: 360.0,
    }];
    assert_eq!(
        Interpolant::monotone(&knots)
            .unwrap()
            .crossings(160.0, 1e-9),
        plateau
    );
    assert_eq!(
        Interpolant::straight(&knots)
            .unwrap()
            .crossings(160.0, 1e-9),
        plateau
    );
    let falling = [(0.0, 200.0), (50.0, 160.0), (90.0, 160.0), (120.0, 100.0)];
    let falling = Interpolant::straight(&falling).unwrap();
    assert_eq!(
        falling.crossings(160.0, 1e-9),
        [Crossing::Plateau {
            from: 50.0,
            to: 90.0
        }]
    );
    assert_eq!(
        falling.crossings(130.0, 1e-9),
        [Crossing::Falling { x: 105.0 }]
    );
}

#[test]
fn knots_are_checked_and_ends_hold() {
    let error = |knots: &[(f64, f64)]| Interpolant::smooth(knots).unwrap_err();
    assert_eq!(error(&[(0.0, 1.0)]), KnotError::TooFew { found: 1 });
    assert_eq!(
        error(&[(0.0, 1.0), (1.0, f64::NAN)]),
        KnotError::NotFinite { number: 2 }
    );
    let doubled = KnotError::NotIncreasing {
        number: 2,
        found: 0.0,
        previous: 0.0,
    };
    assert_eq!(error(&[(0.0, 1.0), (0.0, 2.0)]), doubled);
    let line = line();
    assert_eq!((line.temp_c(-5.0), line.temp_c(900.0)), (20.0, 220.0));
    assert_eq!(
        (line.rise_c_per_s(-5.0), line.rise_c_per_s(900.0)),
        (0.0, 0.0)
    );
    assert!(line.temp_c(f64::NAN).is_nan());
    // 10 s at 20 °C before, 10 s at 220 °C after.
    assert_near(line.area_c_s(-10.0, 0.0), 200.0, 1e-9);
    assert_near(line.area_c_s(600.0, 610.0), 2200.0, 1e-6);
}

#[test]
fn samples_are_bounded_whatever_is_asked() {
    let count = |step_s, until_s| line().sample(step_s, until_s).time_s.len();
    assert_eq!(count(1.0, 600.0), 601);
    assert_eq!(count(400.0, 600.0), 3);
    assert_eq!(count(1.0, f64::INFINITY), 3601);
    assert_eq!(count(f64::NAN, 1.0), 101);
    assert_eq!(line().sample(f64::INFINITY, 600.0).time_s, [0.0, 600.0]);
    assert_eq!(line().sample(1.0, f64::NAN).temp_c, [20.0]);
}

#[test]
fn phases_of_a_straight_line() {
    let phases = Phases::of(&line(), &Marks::default(), 215.0);
    // (160 - 20) 3 = 420 s, (198 - 20) 3 = 534 s, (215 - 20) 3 = 585 s.
    let times = [&phases.colour_change, &phases.first_crack, &phases.drop]
        .map(|p| p.reached().unwrap().time_s);
    for (found, expected) in times.into_iter().zip([420.0, 534.0, 585.0]) {
        assert_near(found, expected, 1e-9);
    }
    assert_near(*phases.development_s.reached().unwrap(), 51.0, 1e-9);
    assert_near(
        *phases.development_ratio.reached().unwrap(),
        51.0 / 585.0,
        1e-12,
    );
    assert_near(*phases.total_s.reached().unwrap(), 585.0, 1e-9);
    let shares: f64 = phases
        .reached()
        .map(|phase| phase.share.reached().unwrap())
        .sum();
    assert_near(shares, 1.0, 1e-12);
    for phase in phases.reached() {
        assert_near(phase.mean_rise_c_per_s, 1.0 / 3.0, 1e-12);
        assert_near(phase.peak_rise_c_per_s, 1.0 / 3.0, 1e-12);
    }
}

#[test]
fn what_is_not_reached_says_so() {
    let beyond = Phases::of(&line(), &Marks::default(), 230.0);
    assert_eq!(beyond.drop, Reach::NotReached);
    assert!(beyond.first_crack.is_reached() && beyond.browning.is_reached());
    assert_eq!(beyond.development, Reach::NotReached);
    assert_eq!(beyond.browning.reached().unwrap().share, Reach::NotReached);
    assert_eq!(
        (beyond.development_ratio, beyond.total_s),
        (Reach::NotReached, Reach::NotReached)
    );
    // Dropped before first crack: browning ends with the drop.
    let early = Phases::of(&line(), &Marks::default(), 190.0);
    assert_eq!(
        (early.first_crack, early.development),
        (Reach::NotReached, Reach::NotReached)
    );
    assert_near(early.browning.reached().unwrap().end_s, 510.0, 1e-9);
    // Dropped before colour change: drying is the whole roast.
    let raw = Phases::of(&line(), &Marks::default(), 120.0);
    assert_eq!(
        (raw.colour_change, raw.browning),
        (Reach::NotReached, Reach::NotReached)
    );
    assert_near(
        *raw.drying.reached().unwrap().share.reached().unwrap(),
        1.0,
        1e-12,
    );
    // Started above everything: all at 0 s, nothing is NaN.
    let hot = Phases::of(
        &cubic(1.0, 1.0),
        &Marks {
            colour_change_c: 50.0,
            first_crack_c: 60.0,
        },
        90.0,
    );
    assert_eq!(hot.drop.reached().unwrap().time_s, 0.0);
    assert_eq!(hot.development_ratio, Reach::NotReached);
    assert_near(hot.drying.reached().unwrap().mean_rise_c_per_s, 1.0, 1e-12);
}

#[test]
fn the_peak_rise_of_a_phase_is_exact() {
    // With both ends at 0 the rise is 6 s/100 (1 - s/100), at most 1.5 at 50 s.
    let phases = Phases::of(&cubic(0.0, 0.0), &Marks::default(), 200.0);
    let drying = phases.drying.reached().unwrap();
    assert_near(drying.peak_rise_c_per_s, 1.5, 1e-12);
    assert_near(drying.peak_at_s, 50.0, 1e-9);
}

#[test]
fn a_renewed_climb_is_found_with_its_gain() {
    // Rise 2 - 6 s/100 (1 - s/100): 2, down to 0.5 at 50 s, up to 2.
    let turns = rise_turns(&cubic(2.0, 2.0), 1000.0, 0.1);
    assert_eq!(turns.len(), 1);
    assert_near(turns[0].from_s, 50.0, 1e-9);
    assert_near(turns[0].to_s, 100.0, 1e-9);
    assert_near(turns[0].gain_c_per_s, 1.5, 1e-12);
    assert_eq!(rise_turns(&cubic(2.0, 2.0), 1000.0, 1.6), []);
    assert_eq!(rise_turns(&cubic(2.0, 2.0), 50.0, 0.1), []);
    // Up to a peak and down again is no renewed climb.
    assert_eq!(rise_turns(&cubic(0.0, 0.0), 1000.0, 0.1), []);
}

#[test]
fn a_steep_fall_is_found_with_its_loss() {
    // The rise of the cubic above loses 0.54 - 0.012 t from t to t + 10: more than 0.3 before 20 s.
    let falls = steep_falls(
        &cubic(2.0, 2.0),
        1000.0,
        SteepFall {
            window_s: 10.0,
            drop_c_per_s: 0.3,
        },
    );
    assert_eq!(falls.len(), 1);
    assert_near(falls[0].from_s, 0.0, 1e-9);
    assert_near(falls[0].to_s, 30.0, 1e-6);
    assert_near(falls[0].loss_c_per_s, 0.54, 1e-12);
    let gentle = SteepFall {
        window_s: 10.0,
        drop_c_per_s: 0.55,
    };
    assert_eq!(steep_falls(&cubic(2.0, 2.0), 1000.0, gentle), []);
}

#[test]
fn a_fall_that_recovers_within_the_window_is_found() {
    // The same rise ends as it began; it is down by more than 1 at its low of 0.5 at 50 s.
    let limit = SteepFall {
        window_s: 100.0,
        drop_c_per_s: 1.0,
    };
    let falls = steep_falls(&cubic(2.0, 2.0), 1000.0, limit);
    assert_eq!(falls.len(), 1);
    assert_near(falls[0].from_s, 0.0, 1e-9);
    assert_near(falls[0].to_s, 50.0, 1e-9);
    assert_near(falls[0].loss_c_per_s, 1.5, 1e-12);
}

#[test]
fn a_jump_of_the_rise_at_a_corner_is_a_steep_fall() {
    let straight = Segment::Straight;
    let corner = curve(
        Shape::Monotone,
        &[
            (0.0, 20.0, straight, None),
            (100.0, 120.0, straight, None),
            (300.0, 160.0, straight, None),
        ],
    );
    // 1 °C/s, then 0.2 °C/s.
    let falls = steep_falls(
        &corner,
        300.0,
        SteepFall {
            window_s: 30.0,
            drop_c_per_s: 0.5,
        },
    );
    assert_eq!(falls.len(), 1);
    assert_near(falls[0].from_s, 70.0, 1e-9);
    assert_near(falls[0].to_s, 130.0, 1e-9);
    assert_near(falls[0].loss_c_per_s, 0.8, 1e-12);
}

#[test]
fn cooling_is_found_with_its_size() {
    // Rise 4 - 18 s/100 (1 - s/100) is negative from 100/3 to 200/3 s; a parabola of leading 1.8e-3 over w = 100/3 s has
    // the integral -1.8e-3 w³/6 = -100/9.
    let found = coolings(&cubic(4.0, 4.0), 1000.0);
    assert_eq!(found.len(), 1);
    assert_near(found[0].from_s, 100.0 / 3.0, 1e-6);
    assert_near(found[0].to_s, 200.0 / 3.0, 1e-6);
    assert_near(found[0].size_c, 100.0 / 9.0, 1e-9);
    assert_eq!(coolings(&cubic(2.0, 2.0), 1000.0), []);
}

#[test]
fn a_plateau_is_found_if_long_enough() {
    let rule = |min_duration_s| PlateauRule {
        max_rise_c_per_s: 0.0,
        min_duration_s,
    };
    let held = curve(
        Shape::Monotone,
        &[
            (0.0, 100.0, Segment::Curved, None),
            (60.0, 160.0, Segment::Hold, None),
            (90.0, 160.0, Segment::Hold, None),
            (120.0, 160.0, Segment::Curved, None),
            (200.0, 200.0, Segment::Curved, None),
        ],
    );
    let found = plateaus(&held, 1000.0, rule(30.0));
    assert_eq!(found.len(), 1);
    assert_near(found[0].from_s, 60.0, 1e-5);
    assert_near(found[0].to_s, 120.0, 1e-5);
    assert_eq!(plateaus(&held, 1000.0, rule(61.0)), []);
    // Rise 3/2 - 3 s/100 (1 - s/100) is at most 0.78 where |s - 50| <= 10.
    let found = plateaus(
        &cubic(1.5, 1.5),
        1000.0,
        PlateauRule {
            max_rise_c_per_s: 0.762,
            min_duration_s: 5.0,
        },
    );
    assert_near(found[0].from_s, 50.0 - (0.012_f64 / 3e-4).sqrt(), 1e-4);
}

#[test]
fn an_overshoot_is_found_with_its_size() {
    // Rise -1 at the start and 1 at the end: -1 + 8 s/100 - 6 (s/100)², zero at s/100 = (4 - √10)/6.
    let dip = cubic(-1.0, 1.0);
    let z = (4.0 - 10.0_f64.sqrt()) / 6.0;
    let found = overshoots(&dip, 0.5);
    assert_eq!(found.len(), 1);
    assert_near(found[0].at_s, 100.0 * z, 1e-9);
    assert_near(
        found[0].by_c,
        100.0 * (-z + 4.0 * z * z - 2.0 * z * z * z),
        1e-9,
    );
    assert_eq!(found[0].between, (PointId(0), PointId(1)));
    assert_eq!(overshoots(&dip, 7.0), []);
}

#[test]
fn curved_runs_join_straight_segments() {
    let points = [
        (0.0, 20.0, Segment::Straight, None),
        (100.0, 120.0, Segment::Curved, None),
        (200.0, 160.0, Segment::Curved, Some(0.3)),
        (300.0, 170.0, Segment::Curved, None),
        (400.0, 172.0, Segment::Straight, None),
        (500.0, 222.0, Segment::Curved, None),
    ];
    let rise_after = |curve: &SetpointCurve, t| curve.rise_c_per_s(t);
    let rise_before = |curve: &SetpointCurve, t: f64| curve.rise_c_per_s(t - 1e-9);
    let smooth = curve(Shape::Smooth, &points);
    for t in [100.0, 200.0, 300.0, 400.0] {
        assert_near(rise_before(&smooth, t), rise_after(&smooth, t), 1e-9);
    }
    let monotone = curve(Shape::Monotone, &points);
    assert_near(rise_after(&monotone, 100.0), 1.0, 1e-12);
    assert_near(rise_after(&monotone, 200.0), 0.3, 1e-12);
    // The straight segment's 0.5 °C/s is cut to three times the secant of 0.02 °C/s.
    assert_near(rise_before(&monotone, 400.0), 0.06, 1e-9);
    assert_near(rise_after(&monotone, 400.0), 0.5, 1e-12);
    // Inside a smooth run the second derivative is continuous where nothing is pinned.
    assert_near(
        smooth.bend_c_per_s2(300.0 - 1e-9),
        smooth.bend_c_per_s2(300.0),
        1e-9,
    );
}
