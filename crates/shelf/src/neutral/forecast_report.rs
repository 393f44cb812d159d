//! What machine and beans will do with a plan, as JSON for programs: figures, reach, findings, and everything at 1 Hz.

use super::{
    forecast_figures::ForecastFigures,
    layout,
    report::FindingReport,
    units::{OURS, Units},
};
use crate::{
    forecast_columns::ForecastColumns,
    samples::{rise_per_min, rounded},
};
use chaffinch_craft::{ColourCalibration, Derived, Outlook, Plan, Spread, all_findings};
use chaffinch_twin::{Bound, Reach, bands::Band};
use serde::Serialize;

/// The forecast of one plan.
#[derive(Serialize)]
pub struct ForecastReport<'a> {
    title: &'a str,
    units: Units<&'static str>,
    forecast: ForecastFigures<'a>,
    /// Missing where the numbers of the sheets allow none; it may be there without a forecast.
    #[serde(skip_serializing_if = "Option::is_none")]
    reach: Option<ReachReport>,
    findings: Vec<FindingReport>,
    /// Missing without a forecast.
    #[serde(skip_serializing_if = "Option::is_none")]
    trace: Option<ForecastColumns>,
    /// Of the probe's reading, at the same seconds as the trace; missing if no spread was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    spread_of_probe: Option<QuantileColumns>,
}

/// Temperatures in °C below which 1, 10, 50, 90 and 99 of 100 roasts lie, at 0, 1, 2, … s.
#[derive(Serialize)]
struct QuantileColumns {
    p01: Vec<f64>,
    p10: Vec<f64>,
    p50: Vec<f64>,
    p90: Vec<f64>,
    p99: Vec<f64>,
}

/// The corridor at 0, 1, 2, … s: rises in °C/min, temperatures in °C, and what binds the rises.
#[derive(Serialize)]
struct ReachReport {
    fastest: Vec<f64>,
    slowest: Vec<f64>,
    highest_temperature: Vec<f64>,
    lowest_temperature: Vec<f64>,
    /// Stretches without a gap, each to its last second.
    causes_of_fastest: Vec<CauseEntry>,
    causes_of_slowest: Vec<CauseEntry>,
}

#[derive(Serialize)]
struct CauseEntry {
    from: f64,
    to: f64,
    cause: &'static str,
}

impl<'a> ForecastReport<'a> {
    /// The forecast `outlook` of `plan`, with its spread if that was computed, and with what the notebook's colour readings say.
    pub fn of(
        (plan, derived, outlook): (&'a Plan, &Derived, &Outlook),
        spread: Option<&Spread>,
        colours: &ColourCalibration,
    ) -> Self {
        let findings = all_findings(derived, outlook);
        Self {
            title: &plan.title,
            units: OURS,
            forecast: ForecastFigures::of((plan, derived, outlook), spread, Some(colours)),
            reach: outlook
                .reach
                .as_ref()
                .map(|reach| ReachReport::of(reach, outlook)),
            findings: findings.iter().map(FindingReport::of).collect(),
            trace: ForecastColumns::of(outlook),
            spread_of_probe: spread.map(|spread| QuantileColumns::of(&spread.reading_c)),
        }
    }

    /// The report as JSON text, laid out for people, too: one line a figure, ten numbers a row.
    pub fn to_json(&self) -> String {
        layout::json_text(self)
    }
}

impl QuantileColumns {
    fn of(bands: &[Band]) -> Self {
        let column =
            |value: fn(&Band) -> f64| bands.iter().map(|band| rounded(value(band))).collect();
        Self {
            p01: column(|band| band.p01),
            p10: column(|band| band.p10),
            p50: column(|band| band.p50),
            p90: column(|band| band.p90),
            p99: column(|band| band.p99),
        }
    }
}

impl ReachReport {
    fn of(reach: &Reach, outlook: &Outlook) -> Self {
        let rises = |bounds: &[Bound]| {
            let bounds = bounds.iter();
            bounds
                .map(|bound| rise_per_min(bound.rise_c_per_s))
                .collect()
        };
        let plain = |list: &[f64]| list.iter().copied().map(rounded).collect();
        Self {
            fastest: rises(&reach.fastest),
            slowest: rises(&reach.slowest),
            highest_temperature: plain(&outlook.corridor.highest_c),
            lowest_temperature: plain(&outlook.corridor.lowest_c),
            causes_of_fastest: causes(&reach.fastest),
            causes_of_slowest: causes(&reach.slowest),
        }
    }
}

/// The stretches over which one cause binds.
fn causes(bounds: &[Bound]) -> Vec<CauseEntry> {
    let mut second = 0;
    bounds
        .chunk_by(|one, next| one.cause == next.cause)
        .map(|stretch| {
            let from = second as f64;
            second += stretch.len();
            CauseEntry {
                from,
                to: (second - 1) as f64,
                cause: stretch[0].cause.words(),
            }
        })
        .collect()
}
