//! Reading plans, with a word on standard error where an older file had to be changed.

use chaffinch_craft::{ColourCalibration, Plan};
use chaffinch_shelf::{COLOURS_FILE, ShelfError, notebook_of, open, read_colours};
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

/// What the colour readings say of the notebook that the plan at `path` belongs to. Without readings, or with some that can't be read,
/// which is told on standard error, they say nothing.
pub(super) fn colours(path: &Path) -> ColourCalibration {
    let readings = notebook_of(path).join(COLOURS_FILE);
    if !readings.exists() {
        return ColourCalibration::default();
    }
    read_colours(&readings).map_or_else(
        |error| {
            // Nobody is left to tell if standard error is closed.
            let _ = writeln!(std::io::stderr(), "colours are left out: {error}");
            ColourCalibration::default()
        },
        |readings| ColourCalibration::of(&readings),
    )
}
