//! `compare`: how another plan differs from a plan.

use super::{CommandError, Outcome, arguments::Format, input::read, output::print};
use chaffinch_craft::{
    Alignment, Comparison, comparison_text, limits::COMPARISON_BAND_C, units::TempUnit,
};
use chaffinch_shelf::ComparisonReport;
use std::path::Path;

pub(super) fn run(
    [plan, other]: [&Path; 2],
    alignment: Alignment,
    format: Format,
    unit: TempUnit,
) -> Result<Outcome, CommandError> {
    let (plan, other) = (read(plan)?, read(other)?);
    let comparison = Comparison::of(&plan, &other, alignment, COMPARISON_BAND_C);
    let text = match format {
        Format::Text => comparison_text(&plan, &other, (alignment, &comparison), unit),
        Format::Json => {
            let report = ComparisonReport::of(&plan, &other, alignment, &comparison);
            serde_json::to_string_pretty(&report)? + "\n"
        }
    };
    print(&text)?;
    Ok(Outcome::Fine)
}
