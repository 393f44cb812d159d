//! Reading plans, with a word on standard error where an older file had to be changed.

use chaffinch_craft::Plan;
use chaffinch_shelf::{ShelfError, open};
use std::{io::Write, path::Path};

/// Reads a plan file or a neutral JSON file.
///
/// # Errors
/// As [`open`].
pub(super) fn read(path: &Path) -> Result<Plan, ShelfError> {
    let opened = open(path)?;
    for change in &opened.carried_over {
        // Nobody is left to tell if standard error is closed.
        let _ = writeln!(std::io::stderr(), "{}: {change}", path.display());
    }
    Ok(opened.plan)
}
