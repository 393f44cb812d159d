//! The desktop program and, in the same binary, the headless command.

pub mod command;
#[cfg(feature = "desktop")]
pub mod desk;

use std::{path::PathBuf, process::ExitCode};

/// Opens the window; the command calls it when no verb is given, so that the two needn't know each other.
#[cfg(feature = "desktop")]
fn open_window(file: Option<PathBuf>) -> ExitCode {
    desk::start::start(file)
}

/// This build has no window: says so in one line and names what does the same job.
#[cfg(not(feature = "desktop"))]
fn open_window(_: Option<PathBuf>) -> ExitCode {
    use std::io::Write;
    // Nobody is left to tell if standard error is closed.
    let _ = writeln!(
        std::io::stderr(),
        "this build of chaffinch has no window; use `chaffinch export PLAN -o FILE.json`, or see `chaffinch --help`"
    );
    ExitCode::from(2)
}
