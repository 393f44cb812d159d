//! Reading with limits and saving whole or not at all.

use crate::{
    carried_over::CarriedOver,
    error::ShelfError,
    kept_older::keep_older,
    neutral::{carry_over_neutral, plan_to_neutral},
    ron_plan::{carry_over_ron, plan_to_ron},
    samples_csv::samples_csv,
    stamp::FileStamp,
    text_error::{Place, TextError},
};
use atomic_write_file::AtomicWriteFile;
use chaffinch_craft::Plan;
use std::{
    fs::{self, File},
    io::{self, Read, Write},
    path::{Path, PathBuf},
};

/// Largest document that is read, in bytes (4 MiB). A plan with the longest notes and an hour of samples takes less than
/// 1.5 MiB; a reader's message about a hostile file can take several times the file's size, and 64 MB must do.
pub const MAX_DOCUMENT_BYTES: u64 = 4 * 1024 * 1024;

/// Reads a plan file or a neutral JSON file, told apart by how the text begins.
///
/// # Errors
/// [`ShelfError`]: not readable, more than 4 MiB, or no plan.
pub fn read_plan(path: &Path) -> Result<Plan, ShelfError> {
    open_plan(path).map(|(plan, _)| plan)
}

/// As [`read_plan`], with the stamp of the very bytes that were read, to tell later whether the file has changed.
///
/// # Errors
/// As [`read_plan`].
pub fn open_plan(path: &Path) -> Result<(Plan, FileStamp), ShelfError> {
    open(path).map(|opened| (opened.plan, opened.stamp))
}

/// A plan as it came from its file.
#[derive(Clone, Debug, PartialEq)]
pub struct Opened {
    /// The plan.
    pub plan: Plan,
    /// The stamp of the very bytes that were read.
    pub stamp: FileStamp,
    /// What had to be changed for the plan to be one today; to be told to whoever opened the file. Mostly empty.
    pub carried_over: Vec<CarriedOver>,
}

/// As [`open_plan`], with what was changed because the file is older.
///
/// # Errors
/// As [`read_plan`].
pub fn open(path: &Path) -> Result<Opened, ShelfError> {
    let text = read_text(path)?;
    match plan_from_text(&text, path) {
        Ok((plan, carried_over)) => Ok(Opened {
            plan,
            stamp: FileStamp::of(text.as_bytes()),
            carried_over,
        }),
        Err(source) => Err(ShelfError::Text {
            path: path.to_owned(),
            source,
        }),
    }
}

/// Reads a text file of at most 4 MiB as UTF-8, with or without a byte order mark.
///
/// # Errors
/// [`ShelfError`]: not readable, too large, or not UTF-8 (with the place of the first bad byte).
pub fn read_text(path: &Path) -> Result<String, ShelfError> {
    let failed = |source| ShelfError::Read {
        path: path.to_owned(),
        source,
    };
    let too_large = |found_bytes| ShelfError::TooLarge {
        path: path.to_owned(),
        found_bytes,
        limit_bytes: MAX_DOCUMENT_BYTES,
    };
    let file = File::open(path).map_err(failed)?;
    let size = file.metadata().map_err(failed)?.len();
    if size > MAX_DOCUMENT_BYTES {
        return Err(too_large(size));
    }
    // Pipes and devices tell no size, and a file may grow: the reader stops by itself, too.
    let mut bytes = Vec::with_capacity(size as usize + 1);
    file.take(MAX_DOCUMENT_BYTES + 1)
        .read_to_end(&mut bytes)
        .map_err(failed)?;
    if bytes.len() as u64 > MAX_DOCUMENT_BYTES {
        return Err(too_large(bytes.len() as u64));
    }
    String::from_utf8(bytes).map_err(|error| {
        let valid = error.utf8_error().valid_up_to();
        let place = Place::after(&String::from_utf8_lossy(&error.as_bytes()[..valid]));
        let source = TextError::NotUtf8 {
            place,
            byte: error.as_bytes()[valid],
        };
        ShelfError::Text {
            path: path.to_owned(),
            source,
        }
    })
}

/// Reads a plan from text of either kind.
pub(crate) fn plan_from_text(
    text: &str,
    path: &Path,
) -> Result<(Plan, Vec<CarriedOver>), TextError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if is_neutral(text, path) {
        carry_over_neutral(text)
    } else {
        carry_over_ron(text)
    }
}

/// Only neutral JSON begins with a bracket or is called `.json`.
pub(crate) fn is_neutral(text: &str, path: &Path) -> bool {
    text.trim_start().starts_with(['{', '[']) || extension(path) == "json"
}

/// Saves a plan as a plan file. A plan file of an older version that lies there is kept beside it first, as
/// `NAME.v1.ron`; that name is never written over.
///
/// # Errors
/// [`ShelfError::Keep`] if the older file can't be kept, else as [`save_text`]; nothing is written then.
pub fn save_plan(plan: &Plan, path: &Path) -> Result<FileStamp, ShelfError> {
    keep_older(path)?;
    save_text(path, &plan_to_ron(plan))
}

/// Writes a plan for other programs: `.json` is the neutral format, `.csv` the samples.
///
/// # Errors
/// [`ShelfError::Extension`] for another extension, else as [`save_text`].
pub fn export(plan: &Plan, path: &Path) -> Result<FileStamp, ShelfError> {
    let text = match extension(path).as_str() {
        "json" => plan_to_neutral(plan),
        "csv" => samples_csv(plan),
        _ => {
            let found = extension(path);
            return Err(ShelfError::Extension {
                path: path.to_owned(),
                found,
            });
        }
    };
    save_text(path, &text)
}

/// Writes `text` whole or not at all: temporary file in the same folder, fsync, rename, fsync of the folder.
///
/// A symbolic link stays and its target is replaced; permissions stay.
///
/// # Errors
/// [`ShelfError::ReadOnly`] if the file there may not be written, [`ShelfError::Write`] if any step fails.
pub fn save_text(path: &Path, text: &str) -> Result<FileStamp, ShelfError> {
    let failed = |source| ShelfError::Write {
        path: path.to_owned(),
        source,
    };
    let target = resolved(path).map_err(failed)?;
    // A rename would replace a read-only file without asking.
    if fs::metadata(&target).is_ok_and(|found| found.permissions().readonly()) {
        return Err(ShelfError::ReadOnly {
            path: path.to_owned(),
        });
    }
    write_atomically(&target, text.as_bytes()).map_err(failed)?;
    Ok(FileStamp::of(text.as_bytes()))
}

/// The file behind a symbolic link; any other path as it is.
pub(crate) fn resolved(path: &Path) -> io::Result<PathBuf> {
    match fs::symlink_metadata(path) {
        Ok(found) if found.is_symlink() => match fs::canonicalize(path) {
            // A link to nothing yet: its target is made where the link points to.
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                let target = fs::read_link(path)?;
                Ok(path
                    .parent()
                    .map_or(target.clone(), |folder| folder.join(target)))
            }
            result => result,
        },
        _ => Ok(path.to_owned()),
    }
}

fn write_atomically(path: &Path, bytes: &[u8]) -> io::Result<()> {
    if path.is_dir() {
        return Err(io::Error::from(io::ErrorKind::IsADirectory));
    }
    let mut file = AtomicWriteFile::open(path)?;
    file.write_all(bytes)?;
    // `commit` flushes, too, but leaves its temporary file behind if that fails; failing before it, the file is removed.
    file.sync_all()?;
    file.commit()
}

fn extension(path: &Path) -> String {
    path.extension()
        .map_or_else(String::new, |found| found.to_string_lossy().to_lowercase())
}
