//! Exported examples against the schema of the neutral format, with a validator that knows nothing of our code.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

use chaffinch_craft::{
    LotNumber, MachineNumber, NumberFacts, Plan, RoomNumber, SheetNumber, VariationNumber,
};
use chaffinch_shelf::{SCHEMA, plan_from_neutral, plan_to_neutral, read_plan};
use jsonschema::Validator;
use serde_json::{Value, json};
use std::{fs, path::Path};

fn validator() -> Validator {
    let schema: Value = serde_json::from_str(SCHEMA).unwrap();
    assert_eq!(
        schema["$schema"],
        "https://json-schema.org/draft/2020-12/schema"
    );
    assert!(jsonschema::draft202012::meta::is_valid(&schema));
    jsonschema::draft202012::new(&schema).unwrap()
}

/// The neutral JSON of every plan under `folder`, at any depth.
fn exported(folder: &Path) -> Vec<(String, Value)> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(exported(&path));
        } else if is_plan(&path) {
            let text = plan_to_neutral(&read_plan(&path).unwrap());
            found.push((
                path.display().to_string(),
                serde_json::from_str(&text).unwrap(),
            ));
        }
    }
    found
}

/// Lots, machines, rooms and tables lie beside the plans.
fn is_plan(path: &Path) -> bool {
    path.extension().is_some_and(|extension| extension == "ron")
        && fs::read_to_string(path).unwrap().contains("\nPlan(")
}

fn examples() -> Vec<(String, Value)> {
    exported(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples"))
}

#[test]
fn every_example_is_valid() {
    let (validator, examples) = (validator(), examples());
    assert!(examples.len() >= 6);
    for (path, document) in examples {
        let errors: Vec<String> = validator
            .iter_errors(&document)
            .map(|error| error.to_string())
            .collect();
        assert!(errors.is_empty(), "{path}: {errors:?}");
    }
}

#[test]
fn documents_of_older_versions_are_still_valid() {
    let saved = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates/shelf/tests/saved");
    for name in ["neutral-1.0.json", "neutral-1.1.json", "neutral-1.2.json"] {
        let document = serde_json::from_str(&fs::read_to_string(saved.join(name)).unwrap());
        assert!(validator().is_valid(&document.unwrap()), "{name}");
    }
}

/// Names of the numbers of a sheet with their facts.
fn facts<K: SheetNumber>() -> Vec<&'static NumberFacts> {
    K::ALL.iter().map(|number| number.facts()).collect()
}

#[test]
fn schema_has_the_range_and_unit_of_every_number() {
    let validator = validator();
    let (_, sound) = examples().swap_remove(0);
    // These four have their own keys, with ranges of their own.
    let own = [
        "altitude_m",
        "density_g_per_l",
        "moisture_percent",
        "screen_size_64ths_inch",
    ];
    let mut lot = facts::<LotNumber>();
    lot.retain(|facts| !own.contains(&facts.key));
    for (pointer, sheet) in [
        ("/lot/numbers", lot),
        ("/machine/numbers", facts::<MachineNumber>()),
        ("/room/numbers", facts::<RoomNumber>()),
        ("/variation", facts::<VariationNumber>()),
    ] {
        for facts in sheet {
            let is_valid = |value: f64, unit: &str| {
                let mut document = sound.clone();
                *document.pointer_mut(pointer).unwrap() = json!([
                    { "name": facts.key, "unit": unit, "value": value, "knowledge": "measured" }
                ]);
                // Our own reader is asked, too; only the order of least and greatest dose is beyond a schema.
                let is_read = plan_from_neutral(&document.to_string()).is_ok();
                let is_dose_range = ["least_dose_g", "greatest_dose_g"].contains(&facts.key);
                let is_valid = validator.is_valid(&document);
                assert!(
                    is_read == is_valid || is_dose_range,
                    "{pointer} {} {value} {unit}",
                    facts.key
                );
                is_valid
            };
            let units = [
                "1", "%", "%/K", "J/K", "L/s", "V", "W", "W/(m.K)", "W/K", "cm2", "g", "g/L", "m",
                "mm", "s", "Cel", "K", "deg",
            ];
            let middle = f64::midpoint(facts.least, facts.most);
            let fitting: Vec<&str> = units
                .into_iter()
                .filter(|unit| is_valid(middle, unit))
                .collect();
            let [unit] = fitting[..] else {
                panic!("{pointer} {} has the units {fitting:?}", facts.key);
            };
            let beyond = (facts.most - facts.least) * 1e-3;
            assert!(
                is_valid(facts.least, unit) && is_valid(facts.most, unit),
                "{}",
                facts.key
            );
            assert!(!is_valid(facts.least - beyond, unit), "{} below", facts.key);
            assert!(!is_valid(facts.most + beyond, unit), "{} above", facts.key);
        }
    }
}

#[test]
fn plan_that_reaches_nothing_is_valid() {
    let mut parts = Plan::fresh().into_parts();
    parts.marks.colour_change_c = 300.0;
    parts.marks.first_crack_c = 310.0;
    let document = serde_json::from_str(&plan_to_neutral(&Plan::new(parts).unwrap())).unwrap();
    assert!(validator().is_valid(&document));
}

#[test]
fn mutated_documents_are_invalid() {
    let validator = validator();
    let (_, sound) = examples().swap_remove(0);
    let mutations: [(&str, Value); 39] = [
        ("/format", json!("another")),
        ("/version", json!("2.0")),
        ("/version", json!(1.0)),
        ("/units/temperature", json!("[degF]")),
        ("/units/rate_of_rise", json!("Cel/s")),
        ("/title", json!("two\nlines")),
        ("/title", json!(null)),
        ("/curve/shape", json!("round")),
        ("/curve/points", json!([])),
        ("/curve/points/0/time", json!(5)),
        ("/curve/points/1/time", json!(-1)),
        ("/curve/points/1/time", json!("1:00")),
        ("/curve/points/1/temperature", json!(321)),
        ("/curve/points/1/segment", json!("bent")),
        ("/curve/points/1/lock", json!(true)),
        ("/curve/points/1/pinned_slope", json!("steep")),
        ("/airflow/points/0/percent", json!(101)),
        ("/airflow/points/0/time", json!(1)),
        ("/marks", json!([])),
        ("/marks/0/name", json!("first_crack")),
        ("/finishes", json!([])),
        ("/finishes/0/name", json!("")),
        ("/finishes/0/chosen", json!("yes")),
        ("/phases/0/name", json!("browning")),
        ("/drop/development_ratio", json!(17.6)),
        ("/lot/moisture", json!(11)),
        ("/lot/altitude/knowledge", json!("guessed")),
        ("/machine/ceiling", json!(400)),
        ("/lot/numbers", json!({"dose_g": 200})),
        ("/machine/feed_forward", json!("always")),
        ("/machine/numbers/0/unit", json!(null)),
        ("/machine/numbers/0/value", json!("1600 W")),
        ("/machine/numbers/0/value", json!(1)),
        ("/machine/numbers/0/knowledge", json!("guessed")),
        ("/machine/numbers/0/name", json!(1600)),
        ("/room/numbers/0/unit", json!("[ft_i]")),
        ("/variation/0/value", json!(-1)),
        ("/samples/airflow/3", json!(-1)),
        ("/samples/temperature/3", json!(null)),
    ];
    for (pointer, value) in mutations {
        let mut document = sound.clone();
        *document.pointer_mut(pointer).unwrap() = value.clone();
        assert!(!validator.is_valid(&document), "{pointer} = {value} passes");
    }
    let mut none_chosen = sound.clone();
    for finish in none_chosen["finishes"].as_array_mut().unwrap() {
        finish["chosen"] = json!(false);
    }
    assert!(!validator.is_valid(&none_chosen), "no finish is chosen");
}

#[test]
fn every_required_key_is_missed_and_unknown_keys_are_not() {
    let validator = validator();
    let (_, sound) = examples().swap_remove(0);
    for key in sound.as_object().unwrap().keys() {
        let mut document = sound.clone();
        document.as_object_mut().unwrap().remove(key);
        // What came after version 1.0 may be missing.
        let may_be_missing = key == "variation";
        assert_eq!(
            validator.is_valid(&document),
            may_be_missing,
            "without {key}"
        );
    }
    let mut document = sound.clone();
    document["curve"]["points"][0]["colour"] = json!("green");
    document["mood"] = json!({ "of": "the day" });
    document["room"]["numbers"]
        .as_array_mut()
        .unwrap()
        .push(json!({ "name": "noise_db", "unit": "dB", "value": 60, "knowledge": "estimated" }));
    document["marks"]
        .as_array_mut()
        .unwrap()
        .push(json!({ "name": "second_crack", "temperature": 224 }));
    assert!(validator.is_valid(&document), "additions pass");
    assert_eq!(
        plan_from_neutral(&document.to_string()).unwrap(),
        plan_from_neutral(&sound.to_string()).unwrap(),
        "additions are ignored when it is read"
    );
}
