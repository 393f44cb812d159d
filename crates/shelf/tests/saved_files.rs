//! One saved file of each format version is kept for ever, and opens with the same content.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

use chaffinch_craft::{
    AirId, AirPoint, AirShape, AirflowSchedule, Finish, FinishId, FinishLadder, Given, Knowledge,
    Lot, LotNumber, Machine, Numbers, Plan, PlanParts, RatioRange, Room, SheetNumber, Variation,
};
use chaffinch_curve::{ControlPoint, Lock, Marks, PointId, Segment, SetpointCurve, Shape};
use chaffinch_shelf::{plan_to_neutral, plan_to_ron, read_plan};
use chaffinch_twin::FeedForward;
use serde_json::Value;
use std::{fs, path::PathBuf};

fn saved(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/saved")
        .join(name)
}

fn lot_1() -> Lot {
    let given = |value, knowledge| Given { value, knowledge };
    Lot {
        name: "Lot".to_owned(),
        origin: "an invented place".to_owned(),
        process: "washed".to_owned(),
        harvest: "invented".to_owned(),
        notes: String::new(),
        numbers: [
            (LotNumber::Altitude, given(1500.0, Knowledge::Measured)),
            (LotNumber::Density, given(700.5, Knowledge::Estimated)),
            (LotNumber::Moisture, given(11.0, Knowledge::Assumed)),
        ]
        .into_iter()
        .collect(),
        wished_development: RatioRange::new(0.15, 0.2).unwrap(),
    }
}

/// A plan that uses every word of version 1 of the plan file and of version 1.0 of neutral JSON.
fn plan_1() -> Plan {
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
        lot: lot_1(),
        machine: Machine {
            name: "Machine".to_owned(),
            ceiling_c: 230.0,
            ..Machine::default()
        },
        room: Room {
            name: "Room".to_owned(),
            ..Room::default()
        },
        variation: Variation::default(),
    })
    .unwrap()
}

/// The same with every number of every sheet, each in the middle of its range or at its usual value, but for what came later.
fn plan_2() -> Plan {
    fn every<K: SheetNumber>() -> Numbers<K> {
        let is_older = |number: &&K| number.facts().key != "latitude_deg";
        let given = |(index, &number): (usize, &K)| {
            let facts = number.facts();
            let value = facts
                .usual
                .unwrap_or(f64::midpoint(facts.least, facts.most));
            let knowledge = Knowledge::ALL[index % 3];
            (number, Given { value, knowledge })
        };
        let older = K::ALL.iter().filter(is_older);
        older.enumerate().map(given).collect()
    }
    let mut parts = plan_1().into_parts();
    parts.lot.numbers = every();
    parts.machine.numbers = every();
    parts.machine.feed_forward = FeedForward::AirToSetpoint;
    parts.room.numbers = every();
    parts.variation = every();
    Plan::new(parts).unwrap()
}

/// The same with the number that version 1.2 of neutral JSON added.
fn plan_2_with_latitude() -> Plan {
    let mut parts = plan_2().into_parts();
    let given = Given {
        value: -3.25,
        knowledge: Knowledge::Estimated,
    };
    parts.lot.numbers.set(LotNumber::Latitude, Some(given));
    Plan::new(parts).unwrap()
}

/// What is saved names the version of the program that wrote it; everything else must be the same.
fn generated_now(neutral: &str) -> String {
    let same = format!("\"version\": \"{}\"", env!("CARGO_PKG_VERSION"));
    neutral.replace("\"version\": \"0.1.0\"", &same)
}

#[test]
fn plan_file_of_version_1_opens() {
    assert_eq!(read_plan(&saved("plan-1.ron")).unwrap(), plan_1());
}

#[test]
fn plan_files_of_version_2_open_and_are_still_what_is_written() {
    for (name, plan) in [
        ("plan-2.ron", plan_2()),
        ("plan-2-latitude.ron", plan_2_with_latitude()),
    ] {
        let path = saved(name);
        assert_eq!(read_plan(&path).unwrap(), plan, "{name}");
        assert_eq!(fs::read_to_string(path).unwrap(), plan_to_ron(&plan));
    }
}

#[test]
fn neutral_json_of_version_1_0_opens() {
    assert_eq!(read_plan(&saved("neutral-1.0.json")).unwrap(), plan_1());
}

#[test]
fn neutral_json_of_version_1_1_opens() {
    assert_eq!(read_plan(&saved("neutral-1.1.json")).unwrap(), plan_2());
}

#[test]
fn neutral_json_of_version_1_2_opens_and_is_still_what_is_written() {
    let path = saved("neutral-1.2.json");
    let plan = plan_2_with_latitude();
    assert_eq!(read_plan(&path).unwrap(), plan);
    let text = fs::read_to_string(path).unwrap();
    assert_eq!(generated_now(&text), plan_to_neutral(&plan));
}

#[test]
fn readers_of_older_versions_find_all_that_they_know_in_newer_ones() {
    // Everything of the old file stands in the new one, at the same place and with the same value.
    fn assert_within(old: &Value, new: &Value, place: &str) {
        match (old, new) {
            (Value::Object(old), Value::Object(new)) => {
                for (key, value) in old {
                    assert_within(value, &new[key], &format!("{place}/{key}"));
                }
            }
            (Value::Array(old), Value::Array(new)) => {
                for (index, value) in old.iter().enumerate() {
                    assert_within(value, &new[index], &format!("{place}/{index}"));
                }
            }
            _ if place == "/version" || place == "/generator/version" => {}
            _ => assert_eq!(old, new, "{place}"),
        }
    }
    for (name, plan) in [
        ("neutral-1.0.json", plan_1()),
        ("neutral-1.1.json", plan_2()),
    ] {
        let old = fs::read_to_string(saved(name)).unwrap();
        let old: Value = serde_json::from_str(&old).unwrap();
        let new: Value = serde_json::from_str(&plan_to_neutral(&plan)).unwrap();
        assert_within(&old, &new, "");
    }
}
