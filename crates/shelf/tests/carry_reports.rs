//! Reports of carried and shaped plans: what they say is what the engine found, in the units they name, and their schemas hold.
//!
//! The schemas are judged by the crate `jsonschema`, which knows nothing of our code.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

use chaffinch_craft::{
    Plan,
    carry::{CarryOver, CarryRequest, Keep, Practice, PracticeRules, Target, carry},
    shape::{Shaped, TargetName, Targets, Wish, shape},
    units::TempUnit,
};
use chaffinch_shelf::{
    CARRY_SCHEMA, CarryReport, PRACTICE_FILE, RulesUsed, SHAPE_SCHEMA, ShapeReport, read_lot,
    read_machine, read_plan, read_practice, read_room,
};
use jsonschema::Validator;
use serde_json::{Value, json};
use std::{
    path::{Path, PathBuf},
    sync::atomic::AtomicBool,
};

fn notebook() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/notebook")
}

fn plan(name: &str) -> Plan {
    read_plan(&notebook().join("plans").join(name)).unwrap()
}

/// The schema must be one itself.
fn validator(schema: &str) -> Validator {
    let schema: Value = serde_json::from_str(schema).unwrap();
    let draft = "https://json-schema.org/draft/2020-12/schema";
    assert_eq!(schema["$schema"], draft);
    assert!(jsonschema::draft202012::meta::is_valid(&schema));
    jsonschema::draft202012::new(&schema).unwrap()
}

fn assert_valid(validator: &Validator, document: &Value) {
    let errors = validator.iter_errors(document);
    let errors: Vec<String> = errors
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    assert!(errors.is_empty(), "{errors:?}");
}

fn run(request: &CarryRequest<'_>) -> CarryOver {
    carry(request, &AtomicBool::new(false), &|_| {}).unwrap()
}

/// To the lot of a file, by all that is known of it; the dose stays.
fn to_lot<'a>(from: &'a Plan, name: &str, rules: Option<&'a PracticeRules>) -> CarryRequest<'a> {
    let lot = read_lot(&notebook().join("lots").join(name)).unwrap();
    CarryRequest {
        practice: rules,
        ..CarryRequest::new(from, Target::of(from).with_lot(lot))
    }
}

fn report(from: &Plan, carried: &CarryOver, rules: Option<&PracticeRules>) -> Value {
    let rules = rules.map(|rules| RulesUsed {
        rules,
        found: "practice.ron of the notebook",
    });
    let report = CarryReport::of(from, carried, rules);
    let json: Value = serde_json::from_str(&report.to_json()).unwrap();
    assert_eq!(json, serde_json::to_value(&report).unwrap(), "both ways");
    json
}

fn close(found: &Value, expected: f64) -> bool {
    (found.as_f64().unwrap() - expected).abs() <= 1e-6
}

#[test]
fn report_says_what_the_engine_found() {
    let from = plan("low-meadow-espresso.ron");
    let rules = read_practice(&notebook().join(PRACTICE_FILE)).unwrap();
    let request = to_lot(&from, "ember-ridge-by-altitude.ron", Some(&rules));
    let carried = run(&request);
    let json = report(&from, &carried, Some(&rules));
    assert_valid(&validator(CARRY_SCHEMA), &json);
    assert_eq!(json["keep"]["name"], "core");
    assert_eq!(json["keep"]["sentence"], Keep::CoreHistory.sentence());
    assert_eq!(json["percent"], 100.0);
    assert_eq!(json["from"]["lot"], "Low Meadow 12");
    assert_eq!(json["to"]["lot"], "Ember Ridge 5");
    assert_eq!(json["lines"], json!(carried.lines(TempUnit::Celsius)));
    let points = json["drawn"]["points"].as_array().unwrap();
    assert_eq!(points.len(), from.curve.points().len());
    let bands = carried.band();
    for (index, point) in points.iter().enumerate() {
        let (old, new) = (
            &from.curve.points()[index],
            &carried.plan.curve.points()[index],
        );
        assert!(close(&point["temperature_before"], old.temp_c), "{point}");
        assert!(close(&point["temperature_after"], new.temp_c), "{point}");
        assert!(close(&point["time_after"], new.time_s), "{point}");
        let [physics, practice, total] =
            ["physics", "practice", "total"].map(|layer| point[layer]["temperature"].as_f64());
        let sum = physics.unwrap() + practice.unwrap();
        assert!((sum - total.unwrap()).abs() < 1e-5, "{point}");
        assert!(close(&point["band"]["temperature"], bands[index].temp_k));
    }
    // Growing high moves a curve by both layers, and nobody measured this coffee.
    for layer in ["physics", "practice"] {
        let ends = &json["layers"][layer]["size"]["temperature"];
        let of_points = points
            .iter()
            .map(|point| point[layer]["temperature"].as_f64().unwrap());
        assert!(close(
            &ends["least"],
            of_points.clone().fold(f64::INFINITY, f64::min)
        ));
        assert!(close(
            &ends["most"],
            of_points.fold(f64::NEG_INFINITY, f64::max)
        ));
        assert!(ends["least"] != ends["most"], "{layer}: {ends}");
    }
    let Practice::Applied { from_m, to_m } = carried.practice else {
        panic!("{:?}", carried.practice);
    };
    assert!(close(
        &json["layers"]["practice"]["altitude_before"],
        from_m
    ));
    assert!(close(&json["layers"]["practice"]["altitude_after"], to_m));
    let guesses = json["why"]["guesses"].as_array().unwrap();
    assert_eq!(guesses.len(), carried.sensitivities.len());
    let density = guesses
        .iter()
        .find(|guess| guess["name"] == "density_g_per_l")
        .unwrap();
    assert_eq!(density["unit"], "g/L");
    assert_eq!(density["knowledge"], "estimated");
    assert_eq!(density["source"], "common practice, no published source");
    assert_eq!(json["layers"]["your_roasts"]["missing_after"], 5);
    let reasons = json["why"]["reasons"].as_array().unwrap();
    assert_eq!(reasons.len(), carried.reasons.len());
    assert!(!reasons.is_empty(), "something differs");
    assert!(close(
        &json["history"]["greatest"],
        carried.left.unwrap().greatest_k.value
    ));
    assert_eq!(json["before"]["title"], from.title.as_str());
    assert!(close(
        &json["after"]["marks"][1]["temperature"],
        carried.plan.marks.first_crack_c
    ));
    for side in ["before", "after"] {
        let figures = json[side]["forecast"]["figures"].as_array().unwrap();
        let has = |name: &str| figures.iter().any(|figure| figure["name"] == name);
        assert!(has("greatest_effort") && has("least_lift"), "{side}");
        assert!(has("heater_energy"), "{side}");
    }
}

#[test]
fn difference_is_new_less_old_each_second() {
    let from = plan("low-meadow-espresso.ron");
    let request = to_lot(&from, "ember-ridge-measured.ron", None);
    let carried = run(&request);
    let json = report(&from, &carried, None);
    let column = |name: &str| json["difference"][name].as_array().unwrap().clone();
    let (time, temperature, rise) = (
        column("time"),
        column("temperature"),
        column("rate_of_rise"),
    );
    assert_eq!(time.len(), temperature.len());
    assert_eq!(time.len(), rise.len());
    let (old, new) = (&from.curve, &carried.plan.curve);
    let mut largest: f64 = 0.0;
    for (index, time_s) in time.iter().enumerate() {
        let time_s = time_s.as_f64().unwrap();
        assert_eq!(time_s, index as f64);
        let change_k = new.temp_c(time_s) - old.temp_c(time_s);
        assert!(close(&temperature[index], change_k), "{time_s} s");
        // By the slope over a tenth of a second, in K/min.
        let ahead_k = new.temp_c(time_s + 0.1) - old.temp_c(time_s + 0.1);
        let slope = (ahead_k - change_k) / 0.1 * 60.0;
        let found = rise[index].as_f64().unwrap();
        assert!((found - slope).abs() < 0.1, "{time_s} s: {found} {slope}");
        largest = largest.max(change_k.abs());
    }
    assert!(0.1 < largest, "the curve moved: {largest} K");
}

#[test]
fn switched_off_layers_and_a_shortfall_are_told() {
    let validator = validator(CARRY_SCHEMA);
    let from = plan("ember-ridge-espresso.ron");
    let same = Target::of(&from);
    let off = CarryRequest {
        physics: false,
        percent: 40.0,
        ..CarryRequest::new(&from, same)
    };
    let json = report(&from, &run(&off), None);
    assert_valid(&validator, &json);
    assert_eq!(json["percent"], 40.0);
    for layer in ["physics", "practice"] {
        assert_eq!(json["layers"][layer]["on"], false);
        assert_eq!(json["layers"][layer]["size"], Value::Null);
    }
    assert_eq!(json["layers"]["practice"]["rules"], Value::Null);
    assert_eq!(json["history"], Value::Null);
    assert_eq!(json["shortfall"], Value::Null);
    // A machine with hardly any heat can't keep any history.
    let mut weak = CarryRequest::new(&from, Target::of(&from));
    let power = chaffinch_craft::MachineNumber::HeaterPower;
    let mut given = weak.to.machine.numbers.entered(power).unwrap();
    given.value *= 0.55;
    weak.to.machine.numbers.set(power, Some(given));
    let carried = run(&weak);
    let json = report(&from, &carried, None);
    assert_valid(&validator, &json);
    let shortfall = carried.shortfall.unwrap();
    assert!(close(
        &json["shortfall"]["core_at_drop"],
        shortfall.drop_core_k
    ));
    assert_eq!(json["shortfall"]["cause"], shortfall.cause.words());
    assert!(0.0 < json["shortfall"]["longer"].as_f64().unwrap());
}

#[test]
fn every_kept_history_and_a_move_of_machine_and_room_are_valid() {
    let validator = validator(CARRY_SCHEMA);
    let from = plan("ember-ridge-filter.ron");
    let mut names = Vec::new();
    for keep in Keep::ALL {
        let mut to = Target::of(&from);
        to.lot = read_lot(&notebook().join("lots/ember-ridge-small-batch.ron")).unwrap();
        to.machine = read_machine(&notebook().join("machines/small-120-v.ron")).unwrap();
        to.room = read_room(&notebook().join("rooms/upland-room.ron")).unwrap();
        let request = CarryRequest {
            keep,
            ..CarryRequest::new(&from, to)
        };
        let json = report(&from, &run(&request), None);
        assert_valid(&validator, &json);
        names.push(json["keep"]["name"].clone());
        let reasons = json["why"]["reasons"].as_array().unwrap();
        let machine = reasons.iter().find(|reason| reason["name"] == "machine");
        let nouns = machine.unwrap()["numbers"].as_array().unwrap().clone();
        assert!(nouns.contains(&json!("heater power")), "{nouns:?}");
        let room = reasons.iter().find(|reason| reason["name"] == "altitude_m");
        assert_eq!(room.unwrap()["to"], 2400.0);
    }
    assert_eq!(names, ["core", "spread", "clock", "browning"]);
}

/// Whether the schema notices what is missing or wrong, and lets additions pass.
fn assert_strict(schema: &str, sound: &Value, mutations: &[(&str, Value)]) {
    let validator = validator(schema);
    assert_valid(&validator, sound);
    for key in sound.as_object().unwrap().keys() {
        let mut document = sound.clone();
        document.as_object_mut().unwrap().remove(key);
        assert!(!validator.is_valid(&document), "without {key}");
    }
    for (pointer, value) in mutations {
        let mut document = sound.clone();
        *document.pointer_mut(pointer).unwrap() = value.clone();
        assert!(!validator.is_valid(&document), "{pointer} = {value} passes");
    }
    let mut document = sound.clone();
    document["mood"] = json!({ "of": "the day" });
    document["units"]["mood"] = json!("1");
    document["version"] = json!("1.7");
    assert_valid(&validator, &document);
}

#[test]
fn schema_of_the_carry_report_is_strict() {
    let from = plan("low-meadow-espresso.ron");
    let rules = PracticeRules::default();
    let request = to_lot(&from, "ember-ridge-by-altitude.ron", Some(&rules));
    let sound = report(&from, &run(&request), Some(&rules));
    let mutations = [
        ("/format", json!("chaffinch-plan")),
        ("/version", json!("2.0")),
        ("/units/temperature", json!("[degF]")),
        ("/units/difference_of_temperature", json!("Cel")),
        ("/keep/name", json!("nothing")),
        ("/percent", json!(101)),
        ("/layers/physics/size/temperature/least", json!(null)),
        ("/layers/physics/trust", json!("seven")),
        ("/layers/practice/on", json!("yes")),
        ("/layers/practice/rules/table/2/unit", json!("Cel")),
        ("/layers/practice/rules/table", json!([])),
        ("/layers/your_roasts/missing_before", json!(-1)),
        ("/lines/0", json!("")),
        ("/drawn/points", json!([])),
        ("/drawn/points/1/time_before", json!(-5)),
        ("/drawn/points/1/practice", json!(null)),
        ("/drawn/marks/0/name", json!("second_crack")),
        ("/drawn/finishes/0/after", json!("hot")),
        ("/why/reasons/0/sentence", json!(null)),
        ("/why/guesses/0/spread", json!(-1)),
        ("/why/guesses/0/knowledge", json!("guessed")),
        ("/history/root_mean_square", json!(-1)),
        ("/shortfall", json!({})),
        ("/difference/temperature/3", json!(null)),
        ("/before/phases/0/name", json!("browning")),
        ("/after/forecast/figures/0/unit", json!("")),
        ("/after/finishes", json!([])),
    ];
    assert_strict(CARRY_SCHEMA, &sound, &mutations);
}

/// Targets by their keys.
fn targets(wishes: &[(&str, Wish)]) -> Targets {
    wishes
        .iter()
        .fold(Targets::default(), |targets, (key, wish)| {
            targets
                .with(TargetName::of_key(key).unwrap(), *wish)
                .unwrap()
        })
}

fn shaped(from: &Plan, targets: &Targets) -> (Shaped, Value) {
    let shaped = shape(from, targets, &AtomicBool::new(false), &|_| {}).unwrap();
    let report = ShapeReport::of(from, &shaped);
    let json: Value = serde_json::from_str(&report.to_json()).unwrap();
    assert_eq!(json, serde_json::to_value(&report).unwrap(), "both ways");
    assert_valid(&validator(SHAPE_SCHEMA), &json);
    (shaped, json)
}

#[test]
fn shape_report_says_what_the_engine_found() {
    let from = plan("ember-ridge-filter.ron");
    let wished = targets(&[
        ("start_temp_c", Wish::exactly(110.0)),
        ("drop_time_s", Wish::between(470.0, 480.0)),
        ("falling_rise", Wish::HOLDS),
    ]);
    let (shaped, json) = shaped(&from, &wished);
    assert!(shaped.is_all_met(), "{:?}", shaped.met);
    assert_eq!(json["all_met"], true);
    assert_eq!(json["targets"]["contradictions"], json!([]));
    assert_eq!(json["lines"], json!(shaped.lines(TempUnit::Celsius)));
    let wishes = json["targets"]["wishes"].as_array().unwrap();
    let names: Vec<&Value> = wishes.iter().map(|wish| &wish["name"]).collect();
    assert_eq!(names, ["start_temp_c", "drop_time_s", "falling_rise"]);
    assert_eq!(wishes[0]["unit"], "Cel");
    assert_eq!(wishes[0]["miss_unit"], "K");
    assert_eq!(wishes[1]["least"], 470.0);
    assert_eq!(wishes[2]["unit"], Value::Null);
    for (wish, met) in wishes.iter().zip(&shaped.met) {
        match met.found {
            Some(found) => assert!(close(&wish["found"], found), "{wish}"),
            None => assert_eq!(wish["found"], Value::Null),
        }
        assert!(close(&wish["miss"], met.miss), "{wish}");
    }
    let points = json["curve"]["points"].as_array().unwrap();
    assert_eq!(points.len(), shaped.plan.curve.points().len());
    assert!(close(&points[0]["temperature"], shaped.start_c[1]));
    assert!(close(&json["drawn"]["start"]["after"], shaped.start_c[1]));
    assert!(close(
        &json["drawn"]["wobble"]["before"],
        shaped.wobble_c_per_min2[0]
    ));
    let drop_s = shaped.after.derived.phases.drop.reached().unwrap().time_s;
    assert!(close(&json["after"]["drop"]["reached"]["time"], drop_s));
}

/// Drop so early that development can't last as long as is wished.
fn contradicting() -> Targets {
    targets(&[
        ("first_crack_time_s", Wish::exactly(400.0)),
        ("drop_time_s", Wish::exactly(450.0)),
        ("development_length_s", Wish::exactly(90.0)),
        ("within_reach", Wish::HOLDS),
    ])
}

#[test]
fn contradictions_of_targets_are_told_with_their_size() {
    let (shaped, json) = shaped(&plan("ember-ridge-filter.ron"), &contradicting());
    assert_eq!(json["all_met"], false);
    let found = json["targets"]["contradictions"].as_array().unwrap();
    assert_eq!(found.len(), shaped.conflicts.len());
    assert!(!found.is_empty(), "{:?}", shaped.met);
    for (entry, conflict) in found.iter().zip(&shaped.conflicts) {
        assert_eq!(entry["gives_way"], conflict.gives_way.facts().key);
        assert!(close(&entry["by"], conflict.by), "{entry}");
        assert_eq!(
            entry["sentence"],
            shaped.conflict_line(conflict, TempUnit::Celsius)
        );
        let against = entry["against"].as_array().unwrap();
        assert_eq!(against.len(), conflict.against.len());
    }
}

#[test]
fn schema_of_the_shape_report_is_strict() {
    let (_, sound) = shaped(&plan("ember-ridge-filter.ron"), &contradicting());
    let mutations = [
        ("/format", json!("chaffinch-carry")),
        ("/version", json!(1.0)),
        ("/units/difference_of_rise", json!("Cel/min")),
        ("/all_met", json!(null)),
        ("/lines/0", json!(7)),
        ("/targets/wishes", json!([])),
        ("/targets/wishes/0/name", json!("Drop")),
        ("/targets/wishes/0/unit", json!("min")),
        ("/targets/wishes/0/miss", json!(-1)),
        ("/targets/contradictions/0/by", json!(null)),
        ("/targets/contradictions/0/unit", json!("Cel")),
        ("/targets/contradictions/0/against/0/words", json!("")),
        ("/drawn/wobble/unit", json!("K")),
        ("/drawn/start/after", json!("warm")),
        ("/curve/points/0/time", json!(5)),
        ("/airflow/points/0/percent", json!(101)),
        ("/before/drop/temperature", json!(null)),
        ("/after/marks", json!([])),
    ];
    assert_strict(SHAPE_SCHEMA, &sound, &mutations);
}
