//! `new`: a plan to start drawing from.

use super::{CommandError, Outcome, error::check_plan_output, output::print};
use chaffinch_craft::Plan;
use std::path::Path;

pub(super) fn run(output: &Path, may_replace: bool) -> Result<Outcome, CommandError> {
    check_plan_output(output, may_replace)?;
    chaffinch_shelf::save_plan(&Plan::fresh(), output)?;
    print(&format!("Written to {}\n", output.display()))?;
    Ok(Outcome::Fine)
}
