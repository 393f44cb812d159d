//! Where things lie in a notebook: a folder with a folder for each kind of file, and tables beside them.

use std::{
    ffi::OsStr,
    fs,
    path::{Path, PathBuf},
};

/// The table of rules of practice.
pub const PRACTICE_FILE: &str = "practice.ron";
/// The readings of roast colour.
pub const COLOURS_FILE: &str = "colours.ron";
/// The folder of plans.
pub const PLANS_FOLDER: &str = "plans";
/// The folder of lots.
pub const LOTS_FOLDER: &str = "lots";
/// The folder of machines.
pub const MACHINES_FOLDER: &str = "machines";
/// The folder of rooms.
pub const ROOMS_FOLDER: &str = "rooms";

/// The notebook that a plan belongs to: the folder above one called `plans`, else the plan's own folder.
///
/// Nothing needs to be there. Only where the path names no folder is the disk asked what the folder is called.
///
/// # Example: a plan in a notebook and one anywhere
/// ```
/// use std::path::Path;
/// let of = |path: &str| chaffinch_shelf::notebook_of(Path::new(path));
/// assert_eq!(of("mine/plans/filter.ron"), Path::new("mine"));
/// assert_eq!(of("mine/filter.ron"), Path::new("mine"));
/// assert_eq!(of("plans/filter.ron"), Path::new("."));
/// ```
pub fn notebook_of(plan_path: &Path) -> PathBuf {
    let is_plans = |name: &OsStr| name == PLANS_FOLDER;
    let folder = or_here(plan_path.parent().unwrap_or(Path::new("")));
    match folder.file_name() {
        Some(name) if is_plans(name) => or_here(folder.parent().unwrap_or(Path::new(""))),
        Some(_) => folder,
        // “.” and “..” don't tell their names.
        None => match fs::canonicalize(&folder) {
            Ok(real) if real.file_name().is_some_and(is_plans) => folder.join(".."),
            _ => folder,
        },
    }
}

/// The folder, or “.” for none.
fn or_here(folder: &Path) -> PathBuf {
    if folder.as_os_str().is_empty() {
        PathBuf::from(".")
    } else {
        folder.to_owned()
    }
}
