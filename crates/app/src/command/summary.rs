//! `summary`: what follows from a plan, drawn and forecast.

use super::{CommandError, Outcome, arguments::Format, input::read, output::print};
use chaffinch_craft::{Derived, Outlook, summary_text, units::TempUnit};
use chaffinch_shelf::PlanReport;
use std::path::Path;

pub(super) fn run(path: &Path, format: Format, unit: TempUnit) -> Result<Outcome, CommandError> {
    let plan = read(path)?;
    let (derived, outlook) = (Derived::of(&plan), Outlook::of(&plan));
    let text = match format {
        Format::Text => summary_text(&plan, &derived, &outlook, unit),
        Format::Json => {
            let report = PlanReport::of(&plan, &derived, &outlook);
            serde_json::to_string_pretty(&report)? + "\n"
        }
    };
    print(&text)?;
    Ok(Outcome::Fine)
}
