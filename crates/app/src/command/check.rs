//! `check`: what is wrong with files, or stands against their curves as drawn and as forecast.
//!
//! Notes are good to know and no reason to fail; stops and cautions are.

use super::{CommandError, Outcome, arguments::Format, input::read, output::print, tell};
use chaffinch_craft::{Derived, Finding, Outlook, Plan, Severity, all_findings, units::TempUnit};
use chaffinch_shelf::{FindingReport, ShelfError};
use serde_json::json;
use std::path::{Path, PathBuf};

pub(super) fn run(
    files: &[PathBuf],
    format: Format,
    unit: TempUnit,
) -> Result<Outcome, CommandError> {
    let mut outcome = Outcome::Fine;
    let mut entries = Vec::new();
    for path in files {
        let findings = read(path).map(|plan| findings_of(&plan));
        let is_fine = findings
            .as_ref()
            .is_ok_and(|found| !found.iter().any(counts));
        if !is_fine {
            outcome = Outcome::Findings;
        }
        match (format, findings) {
            (Format::Text, Ok(findings)) => print(&text(path, &findings, unit))?,
            (Format::Text, Err(error)) => tell(error.into()),
            (Format::Json, findings) => entries.push(entry(path, findings)?),
        }
    }
    if format == Format::Json {
        print(&(serde_json::to_string_pretty(&entries)? + "\n"))?;
    }
    Ok(outcome)
}

/// Of the curve as drawn, and of what the model foresees.
fn findings_of(plan: &Plan) -> Vec<Finding> {
    all_findings(&Derived::of(plan), &Outlook::of(plan))
}

fn counts(finding: &Finding) -> bool {
    finding.severity() >= Severity::Caution
}

fn text(path: &Path, findings: &[Finding], unit: TempUnit) -> String {
    let path = path.display();
    if findings.is_empty() {
        return format!("{path}: nothing stands against this curve\n");
    }
    let line = |finding: &Finding| {
        let (severity, heading) = (finding.severity().word(), finding.heading());
        format!(
            "{path}: {severity}: {heading}: {}\n",
            finding.sentence(unit)
        )
    };
    findings.iter().map(line).collect()
}

fn entry(
    path: &Path,
    findings: Result<Vec<Finding>, ShelfError>,
) -> Result<serde_json::Value, CommandError> {
    let file = path.display().to_string();
    Ok(match findings {
        Ok(findings) => {
            let findings: Vec<FindingReport> = findings.iter().map(FindingReport::of).collect();
            json!({ "file": file, "readable": true, "findings": serde_json::to_value(findings)? })
        }
        Err(error) => json!({ "file": file, "readable": false, "error": error.to_string() }),
    })
}
