//! What the command makes of a notebook's colour readings.
#![allow(
    clippy::unwrap_used,
    missing_docs,
    unused_crate_dependencies,
    reason = "a test may stop at the first surprise"
)]

use std::{
    fs,
    path::Path,
    process::{Command, Output},
};
use tempfile::TempDir;

const PLAN: &str = include_str!("../../../examples/notebook/plans/ember-ridge-filter.ron");

/// A notebook with the example plan and these colour readings.
fn notebook(readings: &str) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    let plans = folder.path().join("plans");
    fs::create_dir(&plans).unwrap();
    fs::write(plans.join("mine.ron"), PLAN).unwrap();
    let text = format!("colours(version: 1, readings: [{readings}])");
    fs::write(folder.path().join("colours.ron"), text).unwrap();
    folder
}

fn forecast(folder: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_chaffinch"))
        .arg("forecast")
        .arg(folder.join("plans/mine.ron"))
        .output()
        .unwrap()
}

#[test]
fn readings_of_the_notebook_make_a_number_of_the_colour() {
    let losses = [0.02, 0.03, 0.04, 0.05, 0.06];
    let readings = losses.map(|loss| {
        let disc = 80.0 - 500.0 * loss;
        format!("(drop_c: 210, dry_loss: {loss}, sample: ground, colour: disc({disc})),")
    });
    let folder = notebook(&readings.concat());
    let said = String::from_utf8(forecast(folder.path()).stdout).unwrap();
    assert!(said.contains("disc 63 ± "), "{said}");
    assert!(
        said.contains("From 5 readings of your own (ground)"),
        "{said}"
    );
}

#[test]
fn readings_that_cannot_be_read_are_left_out_and_told() {
    let folder = notebook("(drop_c: 210, dry_loss: 0.03, sample: ground, colour: disc(99))");
    let found = forecast(folder.path());
    let said = String::from_utf8(found.stdout).unwrap();
    assert!(said.contains("5 more colour readings"), "{said}");
    let told = String::from_utf8(found.stderr).unwrap();
    assert!(told.contains("disc is 99; expected 25 to 95"), "{told}");
}
