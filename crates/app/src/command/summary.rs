//! `summary`: what follows from a plan.

use super::{CommandError, Outcome, arguments::Format, output::print};
use chaffinch_craft::{Derived, summary_text, units::TempUnit};
use chaffinch_shelf::{PlanReport, read_plan};
use std::path::Path;

pub(super) fn run(path: &Path, format: Format, unit: TempUnit) -> Result<Outcome, CommandError> {
    let plan = read_plan(path)?;
    let derived = Derived::of(&plan);
    let text = match format {
        Format::Text => summary_text(&plan, &derived, unit),
        Format::Json => serde_json::to_string_pretty(&PlanReport::of(&plan, &derived))? + "\n",
    };
    print(&text)?;
    Ok(Outcome::Fine)
}
