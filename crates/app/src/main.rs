//! The one binary: with a verb the headless command, without one the window.

use chaffinch::command::{Cli, run};
use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    run(Cli::parse())
}
