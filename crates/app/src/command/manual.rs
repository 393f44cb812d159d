//! `manual`: the manual pages, one for the command and one a verb.

use super::{Cli, CommandError, Outcome, output::print};
use clap::CommandFactory;
use std::{fs, path::Path};

pub(super) fn run(folder: &Path) -> Result<Outcome, CommandError> {
    fs::create_dir_all(folder)?;
    clap_mangen::generate_to(Cli::command(), folder)?;
    print(&format!("Written to {}\n", folder.display()))?;
    Ok(Outcome::Fine)
}
