//! The binary under test, and the files it is given.
#![allow(dead_code, reason = "each test program uses a part")]

use std::{path::Path, process::Command};
use tempfile::TempDir;

/// The binary, without a display.
pub(crate) fn chaffinch() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_chaffinch"));
    command
        .env("NO_COLOR", "1")
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY");
    command
}

/// What a run gave: exit code, standard output, standard error.
pub(crate) struct Ran {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

pub(crate) fn run<A: AsRef<std::ffi::OsStr>>(arguments: impl IntoIterator<Item = A>) -> Ran {
    let output = chaffinch().args(arguments).output().unwrap();
    Ran {
        code: output.status.code().unwrap(),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

pub(crate) fn example(name: &str) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/notebook/plans");
    folder.join(name).to_str().unwrap().to_owned()
}

pub(crate) fn in_folder(folder: &TempDir, name: &str) -> String {
    folder.path().join(name).to_str().unwrap().to_owned()
}

pub(crate) fn filter() -> String {
    example("ember-ridge-filter.ron")
}
