//! Keeping a plan file of an older version when it is saved over for the first time.

use crate::{
    disk::{MAX_DOCUMENT_BYTES, resolved},
    error::ShelfError,
    ron_plan::version_of_ron,
    version::PLAN_FILE_VERSION,
};
use std::{
    ffi::OsString,
    fs::{self, File},
    io::{self, ErrorKind, Read, Write},
    path::{Path, PathBuf},
};

/// Names that are tried before giving up.
const MAX_NAMES: u32 = 100;

/// Puts a copy of the plan file at `path` beside it if it is of an older version: `plan.ron` of version 1 as
/// `plan.v1.ron`, or `plan.v1-2.ron`, `plan.v1-3.ron`, … where that name is taken by something else.
///
/// # Errors
/// [`ShelfError::Keep`] if the copy can't be made.
pub(crate) fn keep_older(path: &Path) -> Result<(), ShelfError> {
    let Ok(target) = resolved(path) else {
        // The save that follows meets the same trouble and says so.
        return Ok(());
    };
    let Some((version, content)) = older_plan(&target) else {
        return Ok(());
    };
    for number in 1..=MAX_NAMES {
        let copy = copy_path(&target, version, number);
        match write_new(&copy, &content) {
            Ok(()) => return Ok(()),
            Err(error) if error.kind() == ErrorKind::AlreadyExists => {
                // Kept before; another file of that name stays as it is.
                if fs::read(&copy).is_ok_and(|found| found == content) {
                    return Ok(());
                }
            }
            Err(source) => return Err(ShelfError::Keep { path: copy, source }),
        }
    }
    Err(ShelfError::Keep {
        path: copy_path(&target, version, 1),
        source: io::Error::from(ErrorKind::AlreadyExists),
    })
}

/// Version and bytes of the file, if it is a plan file of an older version. Anything else is for the save to judge.
fn older_plan(path: &Path) -> Option<(u32, Vec<u8>)> {
    let mut content = Vec::new();
    let limit = MAX_DOCUMENT_BYTES + 1;
    let file = File::open(path).ok()?;
    file.take(limit).read_to_end(&mut content).ok()?;
    let text = std::str::from_utf8(&content).ok()?;
    let version = version_of_ron(text.strip_prefix('\u{feff}').unwrap_or(text))?;
    let is_whole = (content.len() as u64) < limit;
    (is_whole && version < PLAN_FILE_VERSION).then_some((version, content))
}

/// `plan.ron` → `plan.v1.ron`, then `plan.v1-2.ron`, …
fn copy_path(path: &Path, version: u32, number: u32) -> PathBuf {
    let mut name = OsString::from(path.file_stem().unwrap_or_default());
    name.push(format!(".v{version}"));
    if 1 < number {
        name.push(format!("-{number}"));
    }
    if let Some(extension) = path.extension() {
        name.push(".");
        name.push(extension);
    }
    path.with_file_name(name)
}

/// Writes a file that isn't there yet and flushes it; a half-written one is removed.
fn write_new(path: &Path, content: &[u8]) -> io::Result<()> {
    let mut file = File::create_new(path)?;
    let written = file.write_all(content).and_then(|()| file.sync_all());
    if written.is_err() {
        // The first error is the one to tell; the removal is a courtesy.
        let _ = fs::remove_file(path);
    }
    written
}
