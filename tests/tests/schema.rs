//! Exported examples against the schema of the neutral format, with a validator that knows nothing of our code.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

use chaffinch_craft::Plan;
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
        } else if path.extension().is_some_and(|extension| extension == "ron") {
            let text = plan_to_neutral(&read_plan(&path).unwrap());
            found.push((
                path.display().to_string(),
                serde_json::from_str(&text).unwrap(),
            ));
        }
    }
    found
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
    let mutations: [(&str, Value); 30] = [
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
        assert!(!validator.is_valid(&document), "without {key} it passes");
    }
    let mut document = sound.clone();
    document["curve"]["points"][0]["colour"] = json!("green");
    document["mood"] = json!({ "of": "the day" });
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
