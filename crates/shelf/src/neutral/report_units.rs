//! The units of reports that tell changes: those of the neutral format, and those of differences.

use super::units::{OURS, Units};
use serde::Serialize;

/// UCUM codes of each quantity. Differences are in K: a difference of two temperatures in °C is no temperature in °C.
#[derive(Serialize)]
pub(super) struct ReportUnits {
    #[serde(flatten)]
    plain: Units<&'static str>,
    difference_of_temperature: &'static str,
    difference_of_rise: &'static str,
}

pub(super) const CHANGES: ReportUnits = ReportUnits {
    plain: OURS,
    difference_of_temperature: "K",
    difference_of_rise: "K/min",
};
