//! What a full history takes in memory, as the operating system counts it: 27 MiB when this was written.
//!
//! Alone in its file, so that no other test takes memory beside it.
#![cfg(target_os = "linux")]
#![allow(
    missing_docs,
    unused_crate_dependencies,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::missing_assert_message,
    reason = "a test may stop at the first surprise"
)]

use chaffinch_craft::{Edit, History, LotText, MAX_STEPS, Plan, limits::MAX_NOTES_BYTES};
use chaffinch_curve::{
    ControlPoint, CurvePoint, MAX_POINTS, PointEdit, PointId, SetpointCurve, Shape,
};

/// Our own goal, for the largest plan there can be.
const MOST_MIB: f64 = 64.0;

/// Memory of this process that isn't swapped out, in MiB. From `proc_pid_status(5)`: `VmRSS` is in KiB.
#[expect(clippy::disallowed_methods, reason = "the test measures the process")]
fn resident_mib() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap();
    let line = status.lines().find(|line| line.starts_with("VmRSS:"));
    let kib: f64 = line
        .unwrap()
        .split_whitespace()
        .nth(1)
        .unwrap()
        .parse()
        .unwrap();
    kib / 1024.0
}

/// As many points as a curve may have, and the longest notes on plan and coffee.
fn largest_plan() -> Plan {
    let points = (0..MAX_POINTS as u32)
        .map(|number| (number + 1, f64::from(number) * 5.0))
        .map(|(id, time_s)| ControlPoint::new(PointId(id), time_s, 100.0 + time_s / 8.0));
    let mut parts = Plan::fresh().into_parts();
    parts.curve = SetpointCurve::new(Shape::Monotone, points.collect()).unwrap();
    let notes = || "n".repeat(MAX_NOTES_BYTES);
    let edits = vec![
        Edit::SetNotes(notes()),
        Edit::LotText(LotText::Notes, notes()),
    ];
    let plan = Plan::new(parts).unwrap();
    plan.edited(&Edit::Together("Wrote notes", edits)).unwrap()
}

#[test]
fn a_full_history_of_the_largest_plan_stays_small() {
    let mut history = History::of_unsaved(largest_plan());
    let before_mib = resident_mib();
    for step in 0..MAX_STEPS {
        let point = history.plan().curve.points()[1 + step % (MAX_POINTS - 1)];
        let to = CurvePoint {
            temp_c: point.temp_c + 0.5,
            ..point.place()
        };
        let edit = PointEdit::Move { id: point.id, to };
        history.apply(&Edit::Points(edit)).unwrap();
    }
    assert_eq!(history.past().len(), MAX_STEPS);
    let taken_mib = resident_mib() - before_mib;
    assert!(
        1.0 < taken_mib && taken_mib <= MOST_MIB,
        "{taken_mib:.1} MiB for {MAX_STEPS} steps; at most {MOST_MIB} MiB"
    );
}
