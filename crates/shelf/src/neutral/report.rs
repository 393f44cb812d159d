//! What follows from a plan, as JSON for programs: the computed parts of the neutral format, the forecast in
//! figures, and the findings.

use super::{
    document::{Drop, Finish, Mark, Phase},
    forecast_figures::ForecastFigures,
    units::{OURS, Units},
    write,
};
use crate::samples::rounded;
use chaffinch_craft::{
    Derived, Finding as CraftFinding, Outlook, Plan, all_findings, units::TempUnit,
};
use serde::Serialize;

/// The figures of one plan; part of a larger report or the whole of it.
#[derive(Serialize)]
pub struct PlanReport<'a> {
    title: &'a str,
    units: Units<&'static str>,
    marks: Vec<Mark>,
    finishes: Vec<Finish<'a>>,
    phases: Vec<Phase>,
    drop: Drop<'a>,
    forecast: ForecastFigures<'a>,
    findings: Vec<FindingReport>,
}

/// One finding: words in °C, times in s.
#[derive(Serialize)]
pub struct FindingReport {
    severity: &'static str,
    heading: &'static str,
    sentence: String,
    start: f64,
    end: f64,
}

impl<'a> PlanReport<'a> {
    /// The figures of `plan`, drawn and forecast, in the units of the neutral format.
    pub fn of(plan: &'a Plan, derived: &Derived, outlook: &Outlook) -> Self {
        let findings = all_findings(derived, outlook);
        Self {
            title: &plan.title,
            units: OURS,
            marks: write::marks(plan, &derived.phases),
            finishes: write::finishes(plan, &derived.finishes),
            phases: write::phases(&derived.phases),
            drop: write::drop_of(plan, &derived.phases),
            forecast: ForecastFigures::of((plan, derived, outlook), None, None),
            findings: findings.iter().map(FindingReport::of).collect(),
        }
    }
}

impl FindingReport {
    /// One finding.
    pub fn of(finding: &CraftFinding) -> Self {
        Self {
            severity: finding.severity().word(),
            heading: finding.heading(),
            sentence: finding.sentence(TempUnit::Celsius),
            start: rounded(finding.from_s),
            end: rounded(finding.to_s),
        }
    }
}
