//! A curve shaped by targets as a plain-text report: what came of every wish, what gives way to what, and the phases before
//! and after.

use crate::{
    carry::Picture,
    findings::all_findings,
    plan::Plan,
    shape::Shaped,
    summary::write_findings,
    units::{TempUnit, format_share, format_time},
};
use chaffinch_curve::{Phase, Reach};
use chaffinch_twin::trust;
use std::fmt::{Result, Write};

/// What is written where there is nothing to write.
const NONE: &str = "–";

/// The report of `shaped`, which came of `from`, temperatures in `unit`; ends with a line break.
pub fn shape_text(from: &Plan, shaped: &Shaped, unit: TempUnit) -> String {
    let mut text = String::new();
    // Writing to a String can't fail.
    let _ = write_report(&mut text, from, shaped, unit);
    text
}

fn write_report(out: &mut String, from: &Plan, shaped: &Shaped, unit: TempUnit) -> Result {
    writeln!(out, "{}", from.title)?;
    let count = shaped.met.iter().filter(|met| met.miss == 0.0).count();
    writeln!(out, "{count} of {} wishes are met.\n", shaped.met.len())?;
    for line in shaped.lines(unit) {
        writeln!(out, "- {line}")?;
    }
    writeln!(out, "\n{:<13} {:<12} after", "Phase", "before")?;
    let [before, after] = [&shaped.before, &shaped.after].map(lengths);
    let names = [
        "Drying",
        "Browning",
        "Development",
        "… ratio",
        "Whole roast",
    ];
    for ((name, before), after) in names.into_iter().zip(before).zip(after) {
        writeln!(out, "{name:<13} {before:<12} {after}")?;
    }
    let after = &shaped.after;
    write_findings(out, &all_findings(&after.derived, &after.outlook), unit)?;
    writeln!(out, "\n{}", trust::CAUTION)
}

/// Drawn lengths: drying, browning, development, its ratio, the whole roast.
fn lengths(picture: &Picture) -> [String; 5] {
    let text =
        |value: Option<f64>, words: fn(f64) -> String| value.map_or_else(|| NONE.to_owned(), words);
    let phases = &picture.derived.phases;
    let length = |phase: &Reach<Phase>| phase.reached().map(|phase| phase.duration_s);
    [
        text(length(&phases.drying), format_time),
        text(length(&phases.browning), format_time),
        text(phases.development_s.reached().copied(), format_time),
        text(phases.development_ratio.reached().copied(), format_share),
        text(phases.drop.reached().map(|drop| drop.time_s), format_time),
    ]
}
