//! What can be wrong with the numbers that a twin is made from.

use std::ops::RangeInclusive;

/// A number that the model cannot work with.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TwinError {
    /// A parameter lies outside the range that the model is written for, or is not a finite number.
    #[error(
        "{name} is {}; expected {min} to {}. Enter a value inside this range",
        with_unit(*.found, .unit),
        with_unit(*.max, .unit)
    )]
    OutOfRange {
        /// The quantity in plain words.
        name: &'static str,
        /// Its unit; empty for a plain number.
        unit: &'static str,
        /// The value found.
        found: f64,
        /// Least allowed value.
        min: f64,
        /// Greatest allowed value.
        max: f64,
    },
    /// Temperatures and airflow of a setpoint differ in length.
    #[error(
        "the setpoint has {temps} temperatures and {airs} airflow settings; expected the same number, one a second. Sample both over the same time"
    )]
    UnequalLengths {
        /// Number of temperatures.
        temps: usize,
        /// Number of airflow settings.
        airs: usize,
    },
    /// A setpoint is too short or too long to be run.
    #[error(
        "the setpoint has {found} samples; expected {min} to {max}, one a second. Draw a curve of another length"
    )]
    SampleCount {
        /// Number of samples.
        found: usize,
        /// Least number.
        min: usize,
        /// Greatest number.
        max: usize,
    },
}

/// “5 kg”, or “5” where there is no unit.
fn with_unit(value: f64, unit: &str) -> String {
    if unit.is_empty() {
        value.to_string()
    } else {
        format!("{value} {unit}")
    }
}

/// Says that `found` is finite and inside `range`.
///
/// # Errors
/// [`TwinError::OutOfRange`] with the name and the unit otherwise.
pub(crate) fn in_range(
    name: &'static str,
    unit: &'static str,
    found: f64,
    range: RangeInclusive<f64>,
) -> Result<(), TwinError> {
    if range.contains(&found) {
        return Ok(());
    }
    Err(TwinError::OutOfRange {
        name,
        unit,
        found,
        min: *range.start(),
        max: *range.end(),
    })
}
