//! What is written is read back: plan files and neutral JSON, over any plans.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

mod arbitrary;

use chaffinch_craft::limits;
use chaffinch_curve::{ControlPoint, Lock, PointId, Segment, SetpointCurve, Shape};
use chaffinch_shelf::{
    MAX_DOCUMENT_BYTES, open_plan, plan_from_neutral, plan_from_ron, plan_to_neutral, plan_to_ron,
    samples_csv, save_plan,
};
use proptest::prelude::{ProptestConfig, proptest};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn plan_file_gives_back_the_plan_and_the_same_bytes(plan in arbitrary::plan()) {
        let text = plan_to_ron(&plan);
        let read = plan_from_ron(&text).map_err(|error| format!("{error}\n{text}")).unwrap();
        assert_eq!(read, plan);
        assert_eq!(plan_to_ron(&read), text);
    }

    #[test]
    fn neutral_json_gives_back_the_plan(plan in arbitrary::plan()) {
        let text = plan_to_neutral(&plan);
        let read = plan_from_neutral(&text).map_err(|error| format!("{error}\n{text}")).unwrap();
        assert_eq!(read, plan);
        assert_eq!(plan_to_neutral(&read), text);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn neutral_samples_agree_with_the_curve(plan in arbitrary::plan()) {
        // Source: the curve itself; samples are rounded to 1e-6 (°C and °C/min).
        let json: serde_json::Value = serde_json::from_str(&plan_to_neutral(&plan)).unwrap();
        let list = |name: &str| -> Vec<f64> {
            json["samples"][name].as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect()
        };
        let times = list("time");
        assert_eq!(times[0], 0.0);
        assert_eq!(*times.last().unwrap(), plan.curve.end_s());
        for (index, pair) in times.windows(2).enumerate() {
            let step_s = pair[1] - pair[0];
            assert!(if index + 2 < times.len() { step_s == 1.0 } else { 0.0 < step_s && step_s <= 1.0 });
        }
        for (((time_s, temp_c), rise), percent) in
            times.iter().zip(list("temperature")).zip(list("rate_of_rise")).zip(list("airflow"))
        {
            // Relative terms for pinned curves of thousands of degrees: the sampler and the evaluator may round apart.
            let close = |found: f64, exact: f64| (found - exact).abs() <= 1e-6 + 1e-9 * exact.abs();
            assert!(close(temp_c, plan.curve.temp_c(*time_s)), "{time_s} s: {temp_c} °C");
            assert!(close(rise, plan.curve.rise_c_per_s(*time_s) * 60.0), "{time_s} s: {rise} °C/min");
            assert!(close(percent, plan.airflow.percent(*time_s)), "{time_s} s: {percent} %");
        }
    }

    #[test]
    fn csv_follows_rfc_4180(plan in arbitrary::plan()) {
        // Source: RFC 4180, section 2: lines end in CRLF, each has the same number of fields.
        let text = samples_csv(&plan);
        assert!(text.ends_with("\r\n"));
        assert_eq!(text.matches('\n').count(), text.matches("\r\n").count());
        let mut lines = text.trim_end().split("\r\n");
        let header = "Time (s),Temperature (°C),Rate of rise (°C/min),Airflow (%)";
        assert_eq!(lines.next().unwrap(), header);
        assert!(lines.clone().all(|line| line.split(',').filter(|x| x.parse::<f64>().is_ok()).count() == 4));
        assert_eq!(lines.clone().count(), plan.curve.end_s().ceil() as usize + 1);
    }
}

#[test]
fn open_and_save_leaves_the_file_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.ron");
    save_plan(&chaffinch_craft::Plan::fresh(), &path).unwrap();
    let before = std::fs::read(&path).unwrap();
    let (plan, stamp) = open_plan(&path).unwrap();
    assert_eq!(save_plan(&plan, &path).unwrap(), stamp);
    assert_eq!(std::fs::read(&path).unwrap(), before);
}

#[test]
fn largest_plan_is_far_from_the_limit_on_documents() {
    let mut parts = chaffinch_craft::Plan::fresh().into_parts();
    let points = (0..200_u32).map(|n| ControlPoint {
        pinned_rise_c_per_s: Some(1.0 / 3.0),
        segment: Segment::Straight,
        lock: Lock::Temp,
        ..ControlPoint::new(
            PointId(n + 1),
            f64::from(n) * 3599.9 / 199.0,
            100.0 + f64::from(n) / 3.0,
        )
    });
    parts.curve = SetpointCurve::new(Shape::Smooth, points.collect()).unwrap();
    // JSON spells this character out in six.
    parts.notes = "\u{1}".repeat(limits::MAX_NOTES_BYTES);
    parts.lot.notes.clone_from(&parts.notes);
    let plan = chaffinch_craft::Plan::new(parts).unwrap();
    for text in [plan_to_ron(&plan), plan_to_neutral(&plan)] {
        assert!(
            (text.len() as u64) < MAX_DOCUMENT_BYTES / 2,
            "{} bytes",
            text.len()
        );
    }
}
