//! `completions`: a script that completes the command's words in a shell.

use super::{Cli, CommandError, Outcome, output::print};
use clap::CommandFactory;
use clap_complete::Shell;

pub(super) fn run(shell: Shell) -> Result<Outcome, CommandError> {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "chaffinch", &mut script);
    print(&String::from_utf8_lossy(&script))?;
    Ok(Outcome::Fine)
}
