//! What can go wrong between the program and the disk.

use crate::text_error::TextError;
use std::{io, path::PathBuf};
use thiserror::Error;

/// Why a file was not read or written. The path comes last in every message.
#[derive(Debug, Error)]
pub enum ShelfError {
    /// Reading failed.
    #[error("the file can't be read: {source}; check that it is there and that you may read it: {}", .path.display())]
    Read {
        /// Which file.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// Larger than any plan.
    #[error("the file has {found_bytes} bytes or more; a plan has at most {limit_bytes}, so this is probably another kind of file: {}", .path.display())]
    TooLarge {
        /// Which file.
        path: PathBuf,
        /// Bytes found before reading stopped.
        found_bytes: u64,
        /// Bytes allowed.
        limit_bytes: u64,
    },
    /// Read, but no plan.
    #[error("{source}: {}", .path.display())]
    Text {
        /// Which file.
        path: PathBuf,
        /// What is wrong.
        source: TextError,
    },
    /// Writing failed. What was there before is untouched; only if the very last step failed, the flushing of the folder,
    /// the new file is there already, whole but perhaps not yet safe from a power cut.
    #[error("the file can't be written: {source}; nothing half-written took its place, so free space, check your rights or save elsewhere: {}", .path.display())]
    Write {
        /// Which file.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// A plan file of an older version lies there, and no copy of it could be put beside it.
    #[error("the file is of an older version and couldn't be kept beside the new one: {source}; nothing was written, so free space, check your rights or save elsewhere: {}", .path.display())]
    Keep {
        /// The copy that was to be made.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// Marked read-only.
    #[error("the file is read-only and was left as it is; allow writing to it or save under another name: {}", .path.display())]
    ReadOnly {
        /// Which file.
        path: PathBuf,
    },
    /// No format belongs to the extension.
    #[error("no export belongs to the extension “{found}”; expected .json (neutral plan) or .csv (samples): {}", .path.display())]
    Extension {
        /// Which file.
        path: PathBuf,
        /// The extension found; may be empty.
        found: String,
    },
}
