//! `export`: a plan for other programs, and its summary for the person at the keyboard.

use super::{CommandError, Outcome, error::check_not_input, input::read, output::print};
use chaffinch_craft::{Derived, Outlook, summary_text, units::TempUnit};
use std::path::Path;

pub(super) fn run(path: &Path, output: &Path, unit: TempUnit) -> Result<Outcome, CommandError> {
    let plan = read(path)?;
    check_not_input(path, output)?;
    chaffinch_shelf::export(&plan, output)?;
    let summary = summary_text(&plan, &Derived::of(&plan), &Outlook::of(&plan), unit);
    print(&format!("{summary}\nWritten to {}\n", output.display()))?;
    Ok(Outcome::Fine)
}
