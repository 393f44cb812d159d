//! How two plans differ, as JSON for programs.

use super::units::{OURS, Units};
use crate::samples::rounded;
use chaffinch_craft::{Alignment, Comparison, DifferenceFigures, Plan, limits::COMPARISON_BAND_C};
use serde::Serialize;

/// The figures of another plan minus this one, in the units of the neutral format.
#[derive(Serialize)]
pub struct ComparisonReport<'a> {
    plan: &'a str,
    other: &'a str,
    units: Units<&'static str>,
    lined_up_at: &'static str,
    /// Missing if one of the two never reaches what is lined up: then they are lined up at charge.
    #[serde(skip_serializing_if = "Option::is_none")]
    shift: Option<f64>,
    /// Missing if the two share no moment.
    #[serde(skip_serializing_if = "Option::is_none")]
    difference: Option<DifferenceReport>,
}

/// Differences of temperature, other minus this plan; times in s.
#[derive(Serialize)]
struct DifferenceReport {
    mean: f64,
    root_mean_square: f64,
    largest: f64,
    largest_at: f64,
    band: f64,
    duration_outside_band: f64,
}

impl<'a> ComparisonReport<'a> {
    /// The figures of `comparison`, which is of these two plans with [`COMPARISON_BAND_C`].
    pub fn of(
        plan: &'a Plan,
        other: &'a Plan,
        alignment: Alignment,
        comparison: &Comparison,
    ) -> Self {
        Self {
            plan: &plan.title,
            other: &other.title,
            units: OURS,
            lined_up_at: alignment.label(),
            shift: comparison.shift_s.map(rounded),
            difference: comparison.figures.as_ref().map(DifferenceReport::of),
        }
    }
}

impl DifferenceReport {
    fn of(figures: &DifferenceFigures) -> Self {
        Self {
            mean: rounded(figures.mean_c),
            root_mean_square: rounded(figures.rms_c),
            largest: rounded(figures.largest_c),
            largest_at: rounded(figures.largest_at_s),
            band: COMPARISON_BAND_C,
            duration_outside_band: rounded(figures.outside_s),
        }
    }
}
