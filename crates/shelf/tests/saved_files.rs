//! One saved file of each format version is kept for ever, and opens with the same content.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

use chaffinch_craft::{
    AirId, AirPoint, AirShape, AirflowSchedule, Finish, FinishId, FinishLadder, Given, Knowledge,
    Lot, Machine, Plan, PlanParts, RatioRange, Room,
};
use chaffinch_curve::{ControlPoint, Lock, Marks, PointId, Segment, SetpointCurve, Shape};
use chaffinch_shelf::{plan_to_neutral, plan_to_ron, read_plan};
use std::{fs, path::PathBuf};

fn saved(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/saved")
        .join(name)
}

/// A plan that uses every word of the formats.
fn plan() -> Plan {
    let point = |number, time_s, temp_c| ControlPoint::new(PointId(number), time_s, temp_c);
    let points = vec![
        ControlPoint {
            lock: Lock::Both,
            ..point(1, 0.0, 104.5)
        },
        ControlPoint {
            pinned_rise_c_per_s: Some(0.1 + 0.2),
            lock: Lock::Time,
            ..point(2, 90.25, 150.0)
        },
        ControlPoint {
            segment: Segment::Straight,
            lock: Lock::Temp,
            ..point(3, 200.0, 175.0)
        },
        ControlPoint {
            segment: Segment::Hold,
            ..point(4, 400.0, 205.0)
        },
        point(5, 430.0, 205.0),
        point(6, 500.0, 1000.0 / 4.5),
    ];
    let air = [(0.0, 90.0), (120.0, 65.5)];
    let finishes = [("light", 206.0), ("“full”", 214.0)];
    let given = |value, knowledge| Some(Given { value, knowledge });
    Plan::new(PlanParts {
        title: "Every word of the format, “quoted” and \"quoted\"".to_owned(),
        notes: "Invented.\nTwo lines, a tab\t, a backslash \\ and a sign #.".to_owned(),
        curve: SetpointCurve::new(Shape::Smooth, points).unwrap(),
        airflow: AirflowSchedule::new(
            AirShape::Ramps,
            (1..)
                .zip(air)
                .map(|(n, (time_s, percent))| AirPoint {
                    id: AirId(n),
                    time_s,
                    percent,
                })
                .collect(),
        )
        .unwrap(),
        marks: Marks {
            colour_change_c: 158.5,
            first_crack_c: 199.0,
        },
        finishes: FinishLadder::new(
            (1..)
                .zip(finishes)
                .map(|(n, (name, temp_c))| Finish {
                    id: FinishId(n),
                    name: name.to_owned(),
                    temp_c,
                })
                .collect(),
            FinishId(2),
        )
        .unwrap(),
        lot: Lot {
            name: "Lot".to_owned(),
            origin: "an invented place".to_owned(),
            process: "washed".to_owned(),
            harvest: "invented".to_owned(),
            notes: String::new(),
            altitude_m: given(1500.0, Knowledge::Measured),
            density_g_per_l: given(700.5, Knowledge::Estimated),
            moisture_percent: given(11.0, Knowledge::Assumed),
            screen_size: None,
            wished_development: RatioRange::new(0.15, 0.2).unwrap(),
        },
        machine: Machine {
            name: "Machine".to_owned(),
            ceiling_c: 230.0,
        },
        room: Room {
            name: "Room".to_owned(),
        },
    })
    .unwrap()
}

#[test]
fn plan_file_of_version_1_opens() {
    let path = saved("plan-1.ron");
    assert_eq!(read_plan(&path).unwrap(), plan());
    assert_eq!(
        fs::read_to_string(path).unwrap(),
        plan_to_ron(&plan()),
        "still the version that is written"
    );
}

#[test]
fn neutral_json_of_version_1_0_opens() {
    let path = saved("neutral-1.0.json");
    assert_eq!(read_plan(&path).unwrap(), plan());
    let written = plan_to_neutral(&plan());
    let same = format!("\"version\": \"{}\"", env!("CARGO_PKG_VERSION"));
    assert!(written.contains(&same), "the generator names itself");
    let old = fs::read_to_string(path)
        .unwrap()
        .replace("\"version\": \"0.1.0\"", &same);
    assert_eq!(old, written, "still the version that is written");
}
