//! `import`: a plan file from a neutral JSON file.

use super::{CommandError, Outcome, error::check_plan_output, input::read, output::print};
use chaffinch_shelf::save_plan;
use std::path::Path;

pub(super) fn run(file: &Path, output: &Path, may_replace: bool) -> Result<Outcome, CommandError> {
    check_plan_output(output, may_replace)?;
    save_plan(&read(file)?, output)?;
    print(&format!("Written to {}\n", output.display()))?;
    Ok(Outcome::Fine)
}
