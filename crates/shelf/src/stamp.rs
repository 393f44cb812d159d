//! Knowing whether a file is still what was read or saved.

use crate::{disk::MAX_DOCUMENT_BYTES, error::ShelfError};
use std::{
    fs::File,
    hash::{DefaultHasher, Hasher},
    io::{self, Read},
    path::Path,
};

/// Size and hash of a file's content.
///
/// The time of change is left out on purpose: removable drives keep it to 2 s only, and a file that was written again
/// with the same content hasn't changed for anybody.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FileStamp {
    bytes: u64,
    hash: u64,
}

impl FileStamp {
    /// The stamp of a content.
    pub fn of(content: &[u8]) -> Self {
        let mut hasher = DefaultHasher::new();
        hasher.write(content);
        Self {
            bytes: content.len() as u64,
            hash: hasher.finish(),
        }
    }
}

/// Whether the file at `path` holds something else than when `stamp` was taken. A file that is gone has changed.
///
/// # Errors
/// [`ShelfError::Read`] if the file is there and can't be read.
pub fn has_changed(path: &Path, stamp: &FileStamp) -> Result<bool, ShelfError> {
    match stamp_of_file(path) {
        Ok(now) => Ok(now != Some(*stamp)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(true),
        Err(source) => Err(ShelfError::Read {
            path: path.to_owned(),
            source,
        }),
    }
}

/// `None` for a file larger than any document.
fn stamp_of_file(path: &Path) -> io::Result<Option<FileStamp>> {
    let mut content = Vec::new();
    File::open(path)?
        .take(MAX_DOCUMENT_BYTES + 1)
        .read_to_end(&mut content)?;
    Ok((content.len() as u64 <= MAX_DOCUMENT_BYTES).then(|| FileStamp::of(&content)))
}
