//! What holds for every edit.

use std::cell::Cell;

use chaffinch_curve::{
    ControlPoint, CurvePoint, Lock, Offset, PointEdit, PointId, SetpointCurve, Shape,
};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

use crate::random::{Variety, curve, edit, offset, shape};

fn any_curve(variety: Variety) -> impl Strategy<Value = SetpointCurve> {
    shape().prop_flat_map(move |shape| curve(shape, variety))
}

fn locked_coordinates(curve: &SetpointCurve) -> Vec<(PointId, Option<u64>, Option<u64>)> {
    let locked = |point: &ControlPoint| {
        let time = point.lock.holds_time().then(|| point.time_s.to_bits());
        (
            point.id,
            time,
            point.lock.holds_temp().then(|| point.temp_c.to_bits()),
        )
    };
    let points = curve
        .points()
        .iter()
        .filter(|point| point.lock != Lock::Free);
    let mut locked: Vec<_> = points.map(locked).collect();
    locked.sort();
    locked
}

fn runner(cases: u32) -> TestRunner {
    TestRunner::new(ProptestConfig::with_cases(cases))
}

#[test]
fn locked_coordinates_never_move() {
    let (tried, accepted) = (Cell::new(0), Cell::new(0));
    let input = (any_curve(Variety::Everything), vec(edit(), 100));
    let outcome = runner(150).run(&input, |(mut curve, edits)| {
        for edit in &edits {
            tried.set(tried.get() + 1);
            let Ok(edited) = curve.edited(edit) else {
                continue;
            };
            accepted.set(accepted.get() + 1);
            if !matches!(edit, PointEdit::SetLock { .. }) {
                prop_assert_eq!(
                    locked_coordinates(&curve),
                    locked_coordinates(&edited),
                    "{:?}",
                    edit
                );
            }
            curve = edited;
        }
        Ok(())
    });
    outcome.unwrap();
    assert!(tried.get() >= 10_000);
    assert!(
        accepted.get() >= 1_500,
        "only {} edits were accepted",
        accepted.get()
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn edits_are_the_same_bit_for_bit_each_time(start in any_curve(Variety::Everything), edits in vec(edit(), 20)) {
        let run = || edits.iter().fold(start.clone(), |curve, edit| curve.edited(edit).unwrap_or(curve));
        let bits = |curve: &SetpointCurve| -> Vec<u64> {
            curve.sample(1.0, curve.end_s()).temp_c.iter().map(|temp_c| temp_c.to_bits()).collect()
        };
        let (first, second) = (run(), run());
        prop_assert_eq!(&first, &second);
        prop_assert_eq!(bits(&first), bits(&second));
        // A curve rebuilt from its points alone, as undo and a saved file do it, is the same too.
        let rebuilt = SetpointCurve::new(first.shape(), first.points().to_vec()).unwrap();
        prop_assert_eq!(bits(&first), bits(&rebuilt));
    }

    #[test]
    fn stretching_back_gives_back_the_curve(start in any_curve(Variety::Plain), factor in 0.5..2.0, pivot_c in 50.0..250.0) {
        let ids: Vec<PointId> = start.points().iter().map(|point| point.id).collect();
        let there = PointEdit::StretchTime { ids: ids.clone(), pivot_s: 0.0, factor };
        let back = PointEdit::StretchTime { ids: ids.clone(), pivot_s: 0.0, factor: 1.0 / factor };
        if let Ok(stretched) = start.edited(&there) {
            let again = stretched.edited(&back).unwrap();
            prop_assert!(are_near(&start, &again));
        }
        let there = PointEdit::ScaleTemp { ids: ids.clone(), pivot_c, factor };
        let back = PointEdit::ScaleTemp { ids, pivot_c, factor: 1.0 / factor };
        if let Ok(scaled) = start.edited(&there) {
            // Rounding may carry a point on the very fence past it; then the way back is refused.
            prop_assert!(scaled.edited(&back).is_ok_and(|again| are_near(&start, &again)));
        }
    }
}

fn are_near(a: &SetpointCurve, b: &SetpointCurve) -> bool {
    a.points().len() == b.points().len()
        && a.points().iter().zip(b.points()).all(|(a, b)| {
            (a.time_s - b.time_s).abs() <= 1e-9 && (a.temp_c - b.temp_c).abs() <= 1e-9
        })
}

#[test]
fn a_point_inserted_on_the_curve_leaves_it() {
    let inserted = Cell::new(0);
    let input = (any_curve(Variety::Everything), 0.0..1.0);
    let outcome = runner(1000).run(&input, |(curve, part)| {
        let time_s = part * curve.end_s();
        let Ok(edited) = curve.edited(&PointEdit::InsertOnCurve { time_s }) else {
            return Ok(());
        };
        inserted.set(inserted.get() + 1);
        prop_assert_eq!(edited.points().len(), curve.points().len() + 1);
        prop_assert_eq!(
            edited.point(curve.next_id()).map(|point| point.time_s),
            Some(time_s)
        );
        let moved = |old: &&ControlPoint| {
            edited.point(old.id).map(ControlPoint::place) != Some(old.place())
        };
        prop_assert!(curve.points().iter().find(moved).is_none());
        for i in 0..=1000 {
            let t = curve.end_s() * f64::from(i) / 1000.0;
            // Our target is 0.05 °C; what is left comes from setting the new point on a hundredth of a degree.
            let off = (edited.temp_c(t) - curve.temp_c(t)).abs();
            prop_assert!(off <= 0.02, "{off} °C at {t} s");
        }
        Ok(())
    });
    outcome.unwrap();
    assert!(
        inserted.get() >= 500,
        "only {} points were inserted",
        inserted.get()
    );
}

#[test]
fn limited_shifts_are_accepted_and_the_largest() {
    let (moved, stopped) = (Cell::new(0), Cell::new(0));
    let drag = (vec(0usize..12, 1..5), offset());
    let input = (any_curve(Variety::Everything), vec(drag, 30));
    let outcome = runner(300).run(&input, |(mut curve, drags)| {
        for (indices, asked) in drags {
            let count = curve.points().len();
            let ids: Vec<PointId> = indices
                .iter()
                .map(|i| curve.points()[i % count].id)
                .collect();
            let limited = curve.limit_shift(&ids, asked);
            let by = limited.by;
            prop_assert!(by.time_s * asked.time_s >= 0.0 && by.time_s.abs() <= asked.time_s.abs());
            prop_assert!(by.temp_c * asked.temp_c >= 0.0 && by.temp_c.abs() <= asked.temp_c.abs());
            prop_assert_eq!(by != asked, !limited.stopped_by.is_empty());
            let mut farther = by;
            if by.time_s != asked.time_s {
                farther.time_s += 1e-6_f64.copysign(asked.time_s);
            } else if by.temp_c != asked.temp_c {
                farther.temp_c += 1e-6_f64.copysign(asked.temp_c);
            }
            if farther != by {
                stopped.set(stopped.get() + 1);
                let shift = PointEdit::Shift {
                    ids: ids.clone(),
                    by: farther,
                };
                prop_assert!(
                    curve.edited(&shift).is_err(),
                    "{farther:?} beyond {limited:?}"
                );
            }
            let shifted = curve.edited(&PointEdit::Shift { ids, by });
            prop_assert!(shifted.is_ok(), "{by:?}: {shifted:?}");
            curve = shifted.unwrap();
            prop_assert!(
                curve
                    .points()
                    .windows(2)
                    .all(|pair| pair[0].time_s < pair[1].time_s)
            );
            moved.set(moved.get() + i32::from(by.time_s != 0.0));
        }
        Ok(())
    });
    outcome.unwrap();
    assert!(
        moved.get() > 500 && stopped.get() > 1000,
        "{} moved, {} stopped",
        moved.get(),
        stopped.get()
    );
}

#[test]
fn a_smooth_curve_needs_no_pin_for_a_point_on_it() {
    let points = [(0.0, 20.0), (60.0, 95.0), (150.0, 140.0), (600.0, 215.0)];
    let points = (0..)
        .zip(points)
        .map(|(id, (t, c))| ControlPoint::new(PointId(id), t, c))
        .collect();
    let smooth = SetpointCurve::new(Shape::Smooth, points).unwrap();
    let edited = smooth
        .edited(&PointEdit::InsertOnCurve { time_s: 100.0 })
        .unwrap();
    assert!(
        edited
            .points()
            .iter()
            .all(|point| point.pinned_rise_c_per_s.is_none())
    );
    let monotone = smooth
        .edited(&PointEdit::SetShape(Shape::Monotone))
        .unwrap();
    let edited = monotone
        .edited(&PointEdit::InsertOnCurve { time_s: 400.0 })
        .unwrap();
    let is_pinned: Vec<bool> = edited
        .points()
        .iter()
        .map(|point| point.pinned_rise_c_per_s.is_some())
        .collect();
    assert_eq!(is_pinned, [false, false, true, true, true]);
    let at = CurvePoint {
        time_s: 700.0,
        temp_c: 220.0,
    };
    let longer = edited.edited(&PointEdit::InsertAt { at }).unwrap();
    assert_eq!((longer.end_s(), longer.last().id), (700.0, PointId(5)));
}

#[test]
fn a_monotone_curve_stays_between_its_points_after_inserting_and_moving() {
    let input = (
        any_curve(Variety::Plain),
        0.05..0.95,
        -40.0..40.0_f64,
        -30.0..30.0_f64,
    );
    let tried = Cell::new(0);
    let outcome = runner(2000).run(&input, |(curve, part, by_s, by_c)| {
        let curve = SetpointCurve::new(Shape::Monotone, curve.points().to_vec()).unwrap();
        let time_s = part * curve.end_s();
        let Ok(inserted) = curve.edited(&PointEdit::InsertOnCurve { time_s }) else {
            return Ok(());
        };
        let ids = vec![curve.next_id()];
        let by = inserted
            .limit_shift(
                &ids,
                Offset {
                    time_s: by_s,
                    temp_c: by_c,
                },
            )
            .by;
        let Ok(moved) = inserted.edited(&PointEdit::Shift { ids, by }) else {
            return Ok(());
        };
        tried.set(tried.get() + 1);
        // A point on a hundredth of a degree beside kept rises may leave a few thousandths.
        let over = chaffinch_curve::overshoots(&moved, 0.02);
        prop_assert!(over.is_empty(), "{over:?}");
        Ok(())
    });
    outcome.unwrap();
    assert!(
        tried.get() >= 1000,
        "only {} points were moved",
        tried.get()
    );
}

#[test]
fn stretching_and_scaling_all_points_stretches_and_scales_the_curve_with_its_pins() {
    let outcome = runner(500).run(
        &(any_curve(Variety::Plain), 0.6..1.6_f64),
        |(curve, factor)| {
            let ids: Vec<_> = curve.points().iter().map(|point| point.id).collect();
            let pinned = PointEdit::PinRise {
                id: ids[ids.len() / 2],
                rise_c_per_s: Some(0.2),
            };
            let curve = curve.edited(&pinned).unwrap();
            let stretch = PointEdit::StretchTime {
                ids: ids.clone(),
                pivot_s: 0.0,
                factor,
            };
            let Ok(stretched) = curve.edited(&stretch) else {
                return Ok(());
            };
            let pivot_c = 100.0;
            let scaled = curve.edited(&PointEdit::ScaleTemp {
                ids,
                pivot_c,
                factor,
            });
            for i in 0..=50 {
                let t = curve.end_s() * f64::from(i) / 50.0;
                let off = stretched.temp_c(t * factor) - curve.temp_c(t);
                prop_assert!(off.abs() < 1e-6, "stretched: {off} °C at {t} s");
                if let Ok(scaled) = &scaled {
                    let wished = pivot_c + factor * (curve.temp_c(t) - pivot_c);
                    let off = scaled.temp_c(t) - wished;
                    prop_assert!(off.abs() < 1e-6, "scaled: {off} °C at {t} s");
                }
            }
            Ok(())
        },
    );
    outcome.unwrap();
}
