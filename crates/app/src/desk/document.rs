//! The plan on the desk and its file: opening, saving, exporting, and what has to be asked before work is lost.

use super::{
    dialogs::{Dialog, GoOn, Trouble},
    files,
    prefs::Prefs,
    top_bar::SavedState,
    view_state::Status,
};
use chaffinch_craft::{History, Plan};
use chaffinch_shelf::{CarriedOver, FileStamp, Opened, plan_from_ron};
use std::path::{Path, PathBuf};

/// The plan that the program opens on: part of the invented notebook in `examples/`.
const EXAMPLE: &str = include_str!("../../../../examples/notebook/plans/ember-ridge-filter.ron");

/// A plan with its history and its file.
#[derive(Debug)]
pub struct Document {
    /// The plan's past, present and future.
    pub history: History,
    is_example: bool,
    file: Option<PathBuf>,
    stamp: Option<FileStamp>,
    saved_at: String,
    carried_over: Vec<CarriedOver>,
}

impl Document {
    /// The example plan; it has no file, so saving asks where to.
    pub fn example() -> Self {
        // A test opens every example, so the fallback is never seen.
        let plan = plan_from_ron(EXAMPLE).unwrap_or_else(|_| Plan::fresh());
        Self {
            is_example: true,
            ..Self::untitled(plan)
        }
    }

    /// A new plan to draw from.
    pub fn fresh() -> Self {
        Self::untitled(Plan::fresh())
    }

    fn untitled(plan: Plan) -> Self {
        Self {
            history: History::of_saved(plan),
            is_example: false,
            file: None,
            stamp: None,
            saved_at: String::new(),
            carried_over: Vec::new(),
        }
    }

    /// Opens a plan file or a neutral JSON file.
    ///
    /// # Errors
    /// [`Trouble`] to be shown: the file can't be read or holds no plan.
    pub fn open(path: &Path) -> Result<Self, Trouble> {
        let Opened {
            plan,
            stamp,
            carried_over,
        } = files::open_plan(path)?;
        Ok(Self {
            history: History::of_saved(plan),
            is_example: false,
            // A neutral file that was opened is a source, not the plan's home; saving asks where to.
            file: files::plan_file(path).map(Path::to_owned),
            stamp: Some(stamp),
            saved_at: String::new(),
            carried_over,
        })
    }

    /// Whether this is the example that the program opens on.
    pub fn is_example(&self) -> bool {
        self.is_example
    }

    /// What is to be told of a file of an older version, of which something had to be changed; mostly nothing.
    pub fn told(&self) -> Option<Status> {
        let change = self.carried_over.first()?;
        Some(Status::Done(change.to_string()))
    }

    /// The plan's file, if it has one.
    pub fn file(&self) -> Option<&Path> {
        self.file.as_deref()
    }

    /// Saves the plan; unless `overwrites`, a file that somebody else changed is left alone.
    ///
    /// # Errors
    /// The dialog to open; the plan and the file are as they were.
    pub fn save_to(&mut self, path: &Path, overwrite: Overwrite) -> Result<(), Dialog> {
        let is_home = self
            .file
            .as_deref()
            .is_some_and(|file| is_same_file(file, path));
        let known = self
            .stamp
            .as_ref()
            .filter(|_| is_home && overwrite == Overwrite::IfUnchanged);
        let stamp = files::save(self.history.plan(), path, known)?;
        self.stamp = Some(stamp);
        self.file = Some(path.to_owned());
        self.history.mark_saved();
        self.saved_at = jiff::Zoned::now().strftime("%H:%M").to_string();
        Ok(())
    }

    /// What the top bar says about saving.
    pub fn saved_state(&self) -> SavedState {
        if self.history.is_modified() {
            SavedState::Changed
        } else if self.file.is_none() {
            SavedState::NotSavedYet
        } else {
            SavedState::Saved {
                at: self.saved_at.clone(),
            }
        }
    }

    /// The window's title.
    pub fn window_title(&self) -> String {
        let changed = if self.history.is_modified() {
            " (changed)"
        } else {
            ""
        };
        format!("{}{changed} – Chaffinch", self.history.plan().title)
    }

    /// The dialog that has to be answered before `go_on`, if there is unsaved work.
    pub fn guard(&self, go_on: GoOn) -> Option<Dialog> {
        self.history.is_modified().then_some(Dialog::Unsaved(go_on))
    }

    /// Puts the file at the head of the recent ones.
    pub fn remember_in(&self, prefs: &mut Prefs) {
        if let Some(file) = &self.file {
            remember(prefs, file);
        }
    }
}

/// Whether two paths lead to one file, through links and `..` as well. Files that aren't there yet are told apart by name.
pub fn is_same_file(one: &Path, other: &Path) -> bool {
    let place = |path: &Path| {
        path.canonicalize()
            .or_else(|_| std::path::absolute(path))
            .ok()
    };
    one == other || place(one).is_some_and(|place_of_one| place(other) == Some(place_of_one))
}

/// Puts a file at the head of the recent ones; a relative path would mean nothing in the next run.
pub(super) fn remember(prefs: &mut Prefs, file: &Path) {
    prefs.remember(&std::path::absolute(file).unwrap_or_else(|_| file.to_owned()));
}

/// What a save does to a file that was changed by somebody else.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Overwrite {
    /// Leaves it alone and asks.
    IfUnchanged,
    /// Writes over it: the user said so.
    Always,
}
