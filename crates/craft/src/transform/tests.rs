//! Transforms against hand calculation, locks and limits.

#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    reason = "a test may stop at the first surprise"
)]
use super::*;
use chaffinch_curve::{Lock, SetpointCurve, Shape};

fn plan() -> Plan {
    let places = [
        (0.0, 105.3),
        (90.0, 140.1),
        (200.0, 171.7),
        (330.0, 196.4),
        (480.0, 214.6),
    ];
    let points = places
        .iter()
        .zip(1..)
        .map(|(&(time_s, temp_c), id)| ControlPoint::new(PointId(id), time_s, temp_c));
    let mut parts = Plan::fresh().into_parts();
    parts.curve = SetpointCurve::new(Shape::Monotone, points.collect()).unwrap();
    Plan::new(parts).unwrap()
}

fn scope<'a>(plan: &'a Plan, selected: &[u32]) -> TransformScope<'a> {
    TransformScope::of(plan, |id| selected.contains(&id.0))
}

fn edited(plan: &Plan, selected: &[u32], form: &TransformForm) -> Plan {
    let edit = form.edit(&scope(plan, selected)).unwrap().unwrap();
    plan.edited(&edit).unwrap()
}

fn places_after(plan: &Plan, selected: &[u32], form: &TransformForm) -> Vec<(f64, f64)> {
    let after = edited(plan, selected, form);
    let points = after.curve.points().iter();
    points.map(|point| (point.time_s, point.temp_c)).collect()
}

fn reason(plan: &Plan, selected: &[u32], form: &TransformForm) -> String {
    form.edit(&scope(plan, selected)).unwrap_err().to_string()
}

#[test]
fn untouched_form_asks_for_nothing() {
    for kind in TransformKind::ALL {
        for stretch_by in StretchBy::ALL {
            let form = TransformForm {
                kind,
                stretch_by,
                ..TransformForm::default()
            };
            assert_eq!(
                form.edit(&scope(&plan(), &[])),
                Ok(None),
                "{kind:?} {stretch_by:?}"
            );
        }
    }
}

// Expected numbers of the next four tests: reckoned by hand in decimals.
#[test]
fn shift_equals_hand_calculation_to_the_last_digit() {
    let shift = Offset {
        time_s: 0.1,
        temp_c: 0.2,
    };
    let form = TransformForm {
        shift,
        ..TransformForm::default()
    };
    let expected = [
        (0.0, 105.3),
        (90.1, 140.3),
        (200.1, 171.9),
        (330.0, 196.4),
        (480.0, 214.6),
    ];
    assert_eq!(places_after(&plan(), &[2, 3], &form), expected);
}

#[test]
fn stretch_by_a_factor_about_the_start_equals_hand_calculation() {
    let form = TransformForm {
        kind: TransformKind::Stretch,
        time_factor: 1.1,
        ..TransformForm::default()
    };
    let expected = [
        (0.0, 105.3),
        (99.0, 140.1),
        (220.0, 171.7),
        (363.0, 196.4),
        (528.0, 214.6),
    ];
    assert_eq!(places_after(&plan(), &[], &form), expected);
}

#[test]
fn stretch_to_a_new_end_puts_the_last_point_exactly_there() {
    let form = TransformForm {
        kind: TransformKind::Stretch,
        stretch_by: StretchBy::NewEnd,
        new_end_s: Some(500.0),
        pivot: Pivot::Typed,
        typed_pivot_s: 180.0,
        ..TransformForm::default()
    };
    // Factor 320 / 300; 200 -> 180 + 20 * 16/15 = 201.333…, 330 -> 340, 480 -> 500.
    let expected = [
        (0.0, 105.3),
        (90.0, 140.1),
        (201.333_333_333, 171.7),
        (340.0, 196.4),
        (500.0, 214.6),
    ];
    assert_eq!(places_after(&plan(), &[3, 4, 5], &form), expected);
}

#[test]
fn scale_leaves_a_point_at_the_pivot_where_it_is() {
    let form = TransformForm {
        kind: TransformKind::Scale,
        temp_factor: 0.9,
        pivot_c: Some(171.7),
        ..TransformForm::default()
    };
    let expected = [
        (0.0, 111.94),
        (90.0, 143.26),
        (200.0, 171.7),
        (330.0, 193.93),
        (480.0, 210.31),
    ];
    assert_eq!(places_after(&plan(), &[], &form), expected);
}

#[test]
fn scale_takes_the_first_selected_point_as_pivot_unless_one_is_typed() {
    let form = TransformForm {
        kind: TransformKind::Scale,
        temp_factor: 2.0,
        ..TransformForm::default()
    };
    assert_eq!(form.pivot_c(&scope(&plan(), &[3, 4])), 171.7);
    assert_eq!(
        places_after(&plan(), &[3, 4], &form)[2..4],
        [(200.0, 171.7), (330.0, 221.1)]
    );
}

#[test]
fn stretch_and_its_inverse_return_every_time() {
    let stretched = |plan: &Plan, time_factor| {
        let form = TransformForm {
            kind: TransformKind::Stretch,
            time_factor,
            ..TransformForm::default()
        };
        edited(plan, &[], &form)
    };
    let back = stretched(&stretched(&plan(), 1.3), 1.0 / 1.3);
    for (there, here) in back.curve.points().iter().zip(plan().curve.points()) {
        assert!(
            (there.time_s - here.time_s).abs() <= 2e-9,
            "{there:?} {here:?}"
        );
    }
}

#[test]
fn locked_point_is_named_as_the_reason() {
    let lock = PointEdit::SetLock {
        ids: vec![PointId(3)],
        lock: Lock::Time,
    };
    let plan = plan().edited(&Edit::Points(lock)).unwrap();
    let form = TransformForm {
        kind: TransformKind::Stretch,
        time_factor: 1.1,
        ..TransformForm::default()
    };
    let reason = reason(&plan, &[], &form);
    assert!(reason.contains("time of point 3 is locked"), "{reason}");
}

#[test]
fn locked_point_at_the_pivot_does_not_stand_in_the_way() {
    let lock = PointEdit::SetLock {
        ids: vec![PointId(3)],
        lock: Lock::Both,
    };
    let plan = plan().edited(&Edit::Points(lock)).unwrap();
    let form = TransformForm {
        kind: TransformKind::Stretch,
        time_factor: 1.1,
        ..TransformForm::default()
    };
    assert_eq!(
        places_after(&plan, &[3, 4, 5], &form)[2..4],
        [(200.0, 171.7), (343.0, 196.4)]
    );
}

#[test]
fn nothing_is_ever_mirrored() {
    for factor in [0.0, -1.0, f64::NAN] {
        for kind in [TransformKind::Stretch, TransformKind::Scale] {
            let form = TransformForm {
                kind,
                time_factor: factor,
                temp_factor: factor,
                ..TransformForm::default()
            };
            assert!(
                form.edit(&scope(&plan(), &[])).is_err(),
                "{kind:?} {factor}"
            );
        }
    }
    let form = TransformForm {
        kind: TransformKind::Stretch,
        stretch_by: StretchBy::NewEnd,
        new_end_s: Some(150.0),
        ..TransformForm::default()
    };
    let reason = reason(&plan(), &[3, 4, 5], &form);
    assert!(
        reason.contains("8:00") && reason.contains("2:30") && reason.contains("3:20"),
        "{reason}"
    );
}

#[test]
fn new_end_about_the_last_point_is_refused_with_a_reason() {
    let form = TransformForm {
        kind: TransformKind::Stretch,
        stretch_by: StretchBy::NewEnd,
        new_end_s: Some(500.0),
        pivot: Pivot::Last,
        ..TransformForm::default()
    };
    let reason = reason(&plan(), &[], &form);
    assert!(reason.contains("something else that stays"), "{reason}");
}

#[test]
fn pivot_that_is_not_there_is_refused_with_what_to_do() {
    for (pivot, word) in [
        (Pivot::MeasureA, "measuring line A"),
        (Pivot::Current, "current point"),
    ] {
        let form = TransformForm {
            kind: TransformKind::Stretch,
            time_factor: 1.1,
            pivot,
            ..TransformForm::default()
        };
        let reason = reason(&plan(), &[], &form);
        assert!(reason.contains(word), "{reason}");
    }
}

#[test]
fn pivots_follow_measuring_line_and_current_point() {
    let form = |pivot| TransformForm {
        pivot,
        ..TransformForm::default()
    };
    let plan = plan();
    let scope = scope(&plan, &[3, 4]).with_pivots(Some(PointId(4)), Some(123.4));
    for (pivot, expected_s) in [
        (Pivot::MeasureA, 123.4),
        (Pivot::Current, 330.0),
        (Pivot::First, 200.0),
        (Pivot::Last, 330.0),
    ] {
        assert_eq!(form(pivot).pivot_s(&scope), Ok(expected_s), "{pivot:?}");
    }
}
