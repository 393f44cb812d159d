//! The forecast as JSON and CSV: what it says agrees with the model's own values.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

use chaffinch_craft::{
    ColourCalibration, Derived, Edit, Given, Knowledge, LotNumber, NumberName, Outlook, Plan,
    SpreadRequest, all_findings,
};
use chaffinch_shelf::{ForecastReport, PlanReport, forecast_csv, read_plan};
use chaffinch_twin::trust;
use serde_json::Value;
use std::{path::Path, sync::atomic::AtomicBool};

fn example(name: &str) -> Plan {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/notebook/plans");
    read_plan(&folder.join(name)).unwrap()
}

fn report(plan: &Plan, outlook: &Outlook, with_spread: bool) -> Value {
    let spread = with_spread.then(|| {
        let request = SpreadRequest::of(plan, outlook).unwrap();
        request.run(&AtomicBool::new(false)).unwrap().unwrap()
    });
    let derived = Derived::of(plan);
    let report = ForecastReport::of(
        (plan, &derived, outlook),
        spread.as_ref(),
        &ColourCalibration::default(),
    );
    let json: Value = serde_json::from_str(&report.to_json()).unwrap();
    assert_eq!(json, serde_json::to_value(&report).unwrap(), "both ways");
    json
}

fn figure<'a>(json: &'a Value, name: &str) -> &'a Value {
    let figures = json["forecast"]["figures"].as_array().unwrap();
    figures
        .iter()
        .find(|figure| figure["name"] == name)
        .unwrap()
}

fn close(found: &Value, expected: f64) -> bool {
    (found.as_f64().unwrap() - expected).abs() <= 1e-6
}

#[test]
fn report_says_what_the_model_says_with_unit_and_trust() {
    let plan = example("ember-ridge-first-attempt.ron");
    let outlook = Outlook::of(&plan);
    let found = outlook.foreseen().unwrap();
    let json = report(&plan, &outlook, true);
    assert_eq!(json["forecast"]["caution"], trust::CAUTION);
    assert_eq!(json["forecast"]["limits"], Value::Array(Vec::new()));
    assert!(close(
        &json["forecast"]["meets_curve"],
        found.met_s.unwrap() as f64
    ));
    let seen = &found.figures;
    for (name, unit, value, trusted) in [
        ("weight_loss", "%", seen.weight_loss * 100.0, Some(3.0)),
        (
            "roasted_weight",
            "g",
            seen.roasted_kg * 1e3,
            Some(0.03 * 240.0),
        ),
        ("heater_energy", "kW.h", seen.heater_kwh, None),
        ("greatest_miss", "K", found.greatest_miss_k.value, None),
        ("probe_at_drop", "Cel", seen.drop_probe_c, None),
        (
            "core_at_drop",
            "Cel",
            *found.trace.core_c.last().unwrap(),
            Some(7.0),
        ),
    ] {
        let entry = figure(&json, name);
        assert_eq!(entry["unit"], unit, "{entry}");
        assert!(close(&entry["value"], value), "{entry}");
        match trusted {
            Some(plus_minus) => assert!(close(&entry["trust"], plus_minus), "{entry}"),
            None => assert!(entry.get("trust").is_none(), "{entry}"),
        }
        let spread = &entry["spread"];
        let band = ["p01", "p10", "p50", "p90", "p99"].map(|p| spread[p].as_f64().unwrap());
        assert!(band.is_sorted() && band[0] < band[4], "{entry}");
    }
    let lift = figure(&json, "least_lift");
    assert!(
        close(&lift["trust"], 0.25 * seen.least_lift.value),
        "{lift}"
    );
    let last_s = found.trace.len() - 1;
    assert_eq!(json["forecast"]["figures_at"], last_s as f64);
    let drop = &json["forecast"]["moments"][2];
    assert_eq!(drop["name"], "drop");
    assert!(close(&drop["forecast"], found.moments.drop_s.unwrap()));
    let drawn_s = Derived::of(&plan).phases.drop.reached().unwrap().time_s;
    assert!(close(&drop["drawn"], drawn_s));
    assert!(drop["spread"]["reached"].as_f64().unwrap() < 1.0, "{drop}");
    let findings = all_findings(&Derived::of(&plan), &outlook);
    assert_eq!(json["findings"].as_array().unwrap().len(), findings.len());
    assert!(!outlook.findings.is_empty());
}

#[test]
fn lists_of_the_trace_have_one_length_and_the_models_values() {
    let plan = example("ember-ridge-filter.ron");
    let outlook = Outlook::of(&plan);
    let found = outlook.foreseen().unwrap();
    let json = report(&plan, &outlook, true);
    let seconds = found.trace.len();
    let trace = json["trace"].as_object().unwrap();
    let units = trace["units"].as_object().unwrap();
    assert_eq!(units.len() + 1, trace.len(), "each list has a unit");
    for name in units.keys() {
        assert_eq!(trace[name].as_array().unwrap().len(), seconds, "{name}");
    }
    let at = 200;
    let reach = outlook.reach.as_ref().unwrap();
    for (name, expected) in [
        ("time", 200.0),
        ("probe", found.trace.probe_c[at]),
        ("setpoint", found.setpoint_c[at]),
        ("rate_of_rise", found.rise_c_per_s[at] * 60.0),
        ("heater_power", found.trace.heater_w[at]),
        ("effort", found.trace.effort[at] * 100.0),
        ("airflow", plan.airflow.percent(200.0)),
        ("least_airflow", outlook.least_air_percent[at]),
        ("fastest", reach.fastest[at].rise_c_per_s * 60.0),
        ("slowest", reach.slowest[at].rise_c_per_s * 60.0),
        ("moisture", found.trace.moisture_wb[at] * 100.0),
        ("weight_loss", found.trace.weight_loss[at] * 100.0),
    ] {
        assert!(
            close(&trace[name][at], expected),
            "{name}: {}",
            trace[name][at]
        );
    }
    let median = json["spread_of_probe"]["p50"].as_array().unwrap();
    assert_eq!(median.len(), seconds);
}

#[test]
fn causes_of_reach_are_stretches_without_a_gap() {
    let plan = example("ember-ridge-first-attempt.ron");
    let outlook = Outlook::of(&plan);
    let reach = outlook.reach.as_ref().unwrap();
    let json = report(&plan, &outlook, false);
    for (name, bounds) in [
        ("causes_of_fastest", &reach.fastest),
        ("causes_of_slowest", &reach.slowest),
    ] {
        let mut next = 0;
        for entry in json["reach"][name].as_array().unwrap() {
            let second = |key: &str| entry[key].as_f64().unwrap() as usize;
            assert_eq!(second("from"), next, "{entry}");
            for bound in &bounds[second("from")..=second("to")] {
                assert_eq!(entry["cause"], bound.cause.words(), "{entry}");
            }
            next = second("to") + 1;
        }
        assert_eq!(next, bounds.len(), "{name}");
    }
    assert!(json.get("spread_of_probe").is_none());
    assert!(figure(&json, "weight_loss").get("spread").is_none());
}

#[test]
fn without_a_forecast_the_report_says_why() {
    let wet = Given {
        value: 20.0,
        knowledge: Knowledge::Measured,
    };
    let edit = Edit::Number(NumberName::Lot(LotNumber::Moisture), Some(wet));
    let plan = example("ember-ridge-filter.ron").edited(&edit).unwrap();
    let outlook = Outlook::of(&plan);
    assert!(outlook.foreseen().is_none());
    let json = report(&plan, &outlook, false);
    let limits = json["forecast"]["limits"].as_array().unwrap();
    assert_eq!(limits.len(), outlook.limits().len());
    let words = limits[0]["sentence"].as_str().unwrap();
    assert!(words.contains("20.0 % water"), "{words}");
    assert_eq!(json["forecast"]["figures"], Value::Array(Vec::new()));
    assert!(json.get("trace").is_none());
    assert!(json.get("reach").is_some(), "it needs no forecast");
    assert_eq!(forecast_csv(&outlook), None);
}

#[test]
fn ladder_says_what_the_model_says_of_each_finish() {
    let plan = example("ember-ridge-filter.ron");
    let outlook = Outlook::of(&plan);
    let json = report(&plan, &outlook, true);
    let entries = json["forecast"]["finishes"].as_array().unwrap();
    assert_eq!(entries.len(), plan.finishes.finishes().len());
    let mut dropped = 0;
    for ((finish, forecast), entry) in plan
        .finishes
        .finishes()
        .iter()
        .zip(&outlook.finishes)
        .zip(entries)
    {
        assert_eq!(entry["name"], finish.name);
        assert_eq!(entry["is_chosen"], finish.id == plan.finish().id);
        let Some(drop) = forecast.dropped() else {
            assert!(entry["time"].is_null() && entry["weight_loss"].is_null());
            continue;
        };
        assert!(close(&entry["time"], drop.time_s), "{entry}");
        assert!(close(&entry["development"], drop.development_s.unwrap()));
        let loss = &entry["weight_loss"];
        assert!(close(&loss["value"], 100.0 * drop.weight_loss), "{entry}");
        assert!(close(&loss["trust"], 100.0 * trust::WEIGHT_LOSS), "{entry}");
        let is_inside = loss["spread"]["p01"].as_f64() < loss["value"].as_f64()
            && loss["value"].as_f64() < loss["spread"]["p99"].as_f64();
        assert!(is_inside, "{entry}");
        assert!(
            entry["colour"]["foreseen"].is_null(),
            "no readings: {entry}"
        );
        assert!(entry["colour"]["lightest"].is_string(), "{entry}");
        dropped += 1;
    }
    assert!(2 <= dropped, "{entries:?}");
}

#[test]
fn summary_has_the_same_figures_as_the_forecast() {
    let plan = example("low-meadow-dark.ron");
    let (derived, outlook) = (Derived::of(&plan), Outlook::of(&plan));
    let summary = serde_json::to_value(PlanReport::of(&plan, &derived, &outlook)).unwrap();
    let mut forecast = report(&plan, &outlook, false);
    // The summary looks at no colour readings.
    let finishes = forecast["forecast"]["finishes"].as_array_mut().unwrap();
    assert!(!finishes.is_empty());
    for finish in finishes {
        let is_dropped = finish["time"].is_f64();
        let colour = finish.as_object_mut().unwrap().remove("colour");
        assert_eq!(colour.is_some(), is_dropped, "{finish}");
    }
    assert_eq!(summary["forecast"], forecast["forecast"]);
    assert_eq!(summary["findings"], forecast["findings"]);
}

#[test]
fn csv_of_the_forecast_follows_rfc_4180() {
    // Source: RFC 4180, section 2: lines end in CRLF, each has the same number of fields.
    let plan = example("ember-ridge-filter.ron");
    let outlook = Outlook::of(&plan);
    let found = outlook.foreseen().unwrap();
    let text = forecast_csv(&outlook).unwrap();
    assert_eq!(text.matches('\n').count(), text.matches("\r\n").count());
    let mut lines = text.trim_end().split("\r\n");
    let header: Vec<&str> = lines.next().unwrap().split(',').collect();
    assert!(header.iter().all(|name| name.ends_with(')')), "units");
    let rows: Vec<Vec<f64>> = lines
        .map(|line| {
            line.split(',')
                .map(|field| field.parse().unwrap())
                .collect()
        })
        .collect();
    assert_eq!(rows.len(), found.trace.len());
    assert!(rows.iter().all(|row| row.len() == header.len()));
    let column = |name: &str| header.iter().position(|found| *found == name).unwrap();
    let close = |found: f64, expected: f64| (found - expected).abs() <= 1e-6;
    for (second, row) in rows.iter().enumerate() {
        assert_eq!(row[0], second as f64);
        assert!(close(
            row[column("Probe (°C)")],
            found.trace.probe_c[second]
        ));
        let effort = found.trace.effort[second] * 100.0;
        assert!(close(row[column("Heater effort (%)")], effort));
    }
}

#[test]
fn every_example_has_a_forecast_and_only_the_faulty_one_more_than_notes() {
    use chaffinch_craft::Severity;
    for (name, is_faulty) in [
        ("ember-ridge-filter.ron", false),
        ("ember-ridge-espresso.ron", false),
        ("ember-ridge-first-attempt.ron", true),
        ("willow-terrace-filter.ron", false),
        ("willow-terrace-omni.ron", false),
        ("low-meadow-espresso.ron", false),
        ("low-meadow-dark.ron", false),
    ] {
        let plan = example(name);
        let outlook = Outlook::of(&plan);
        assert!(
            outlook.foreseen().is_some(),
            "{name}: {:?}",
            outlook.limits()
        );
        let counts = |finding: &chaffinch_craft::Finding| finding.severity() >= Severity::Caution;
        assert_eq!(outlook.findings.iter().any(counts), is_faulty, "{name}");
        let drawn = Derived::of(&plan).findings;
        assert_eq!(drawn.iter().any(counts), is_faulty, "{name}: {drawn:?}");
    }
}
