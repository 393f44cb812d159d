//! `export`: a plan for other programs, and its summary for the person at the keyboard.

use super::{CommandError, Outcome, output::print};
use chaffinch_craft::{Derived, summary_text, units::TempUnit};
use std::{fs, path::Path};

pub(super) fn run(path: &Path, output: &Path, unit: TempUnit) -> Result<Outcome, CommandError> {
    let plan = chaffinch_shelf::read_plan(path)?;
    if is_same_file(path, output) {
        return Err(CommandError::OwnInput(output.to_owned()));
    }
    chaffinch_shelf::export(&plan, output)?;
    let summary = summary_text(&plan, &Derived::of(&plan), unit);
    print(&format!("{summary}\nWritten to {}\n", output.display()))?;
    Ok(Outcome::Fine)
}

/// Whether both paths lead to one file; an output that isn't there yet is another file.
fn is_same_file(input: &Path, output: &Path) -> bool {
    match (fs::canonicalize(input), fs::canonicalize(output)) {
        (Ok(input), Ok(output)) => input == output,
        _ => false,
    }
}
