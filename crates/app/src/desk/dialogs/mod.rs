//! Windows over the window: cautions, keys, unsaved work, trouble, a typed path, a paste.
//!
//! Each is a modal that says what it is about and can be left with Esc.

mod cautions;
mod changed_on_disk;
mod colour_form;
mod colours;
mod description;
mod keys;
mod modal;
mod paste;
mod paste_form;
mod path;
mod trouble;
mod unsaved;

pub use colour_form::ColourForm;
pub use paste_form::PasteForm;

use std::path::{Path, PathBuf};

use eframe::egui::{Id, Memory, Ui};

use super::{
    ask::{Ask, SheetKind},
    model::Model,
    prefs::Prefs,
    view_state::ViewState,
};

/// What a typed path is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PathPurpose {
    /// Open the file as the plan.
    Open,
    /// Save the plan there.
    Save,
    /// Export there; the ending says the format.
    Export,
    /// Lay the plan behind the curve.
    Pin,
    /// Take a sheet out of it as the one to carry to.
    Sheet(SheetKind),
    /// Take the targets to shape by out of it.
    TakeTargets,
    /// Write the targets to shape by there.
    KeepTargets,
}

impl PathPurpose {
    /// Whether a file is written, not read.
    pub fn is_written(self) -> bool {
        matches!(self, Self::Save | Self::Export | Self::KeepTargets)
    }
}

/// What goes on once unsaved work is safe.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum GoOn {
    /// Start a new plan.
    New,
    /// Choose a file to open.
    Open,
    /// Open this file.
    OpenFile(PathBuf),
    /// Close the window.
    Quit,
}

/// Something went wrong outside the program; the plan is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trouble {
    /// What happened, in a few words.
    pub heading: String,
    /// What was found, what was expected and what to do; can be copied.
    pub text: String,
    /// Whether saving elsewhere would help.
    pub offers_save_as: bool,
}

impl Trouble {
    /// Something that can't be done with a file; the error names it.
    pub fn of_file(heading: &str, error: &dyn std::error::Error) -> Self {
        Self {
            heading: heading.to_owned(),
            text: error.to_string(),
            offers_save_as: false,
        }
    }

    /// A sheet that can't be taken out of a file.
    pub fn sheet(path: &Path, reason: &str) -> Self {
        Self {
            heading: "This sheet can't be taken".to_owned(),
            text: format!("{}: {reason}", path.display()),
            offers_save_as: false,
        }
    }
}

/// The dialog that is open.
#[derive(Clone, Debug, PartialEq)]
pub enum Dialog {
    /// The cautions.
    Cautions,
    /// The keys.
    Keys,
    /// The curve in words.
    Description,
    /// There is unsaved work; what was asked before it goes on after it.
    Unsaved(GoOn),
    /// The plan's file was changed by somebody else since it was opened or saved.
    ChangedOnDisk(PathBuf),
    /// Something went wrong.
    Trouble(Trouble),
    /// A path typed by hand, for systems without a file chooser.
    Path {
        /// What the path is for.
        purpose: PathPurpose,
        /// What was typed so far.
        typed: String,
    },
    /// Points from the clipboard, to be looked at before they are used.
    Paste(PasteForm),
    /// A roast colour that was measured, and those that were before.
    Colours(Box<ColourForm>),
}

/// Shows the dialog that is open, if any. When it closes, the keyboard focus goes back to where it was.
pub fn ui(
    model: &Model<'_>,
    view: &mut ViewState,
    prefs: &Prefs,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    keep_focus(view.dialog.is_some(), ui);
    // Taken out, so that a dialog may change its own state while it reads the rest.
    let Some(mut dialog) = view.dialog.take() else {
        return;
    };
    match &mut dialog {
        Dialog::Cautions => cautions::ui(prefs, asks, ui),
        Dialog::Keys => keys::ui(asks, ui),
        Dialog::Description => description::ui(model, asks, ui),
        Dialog::Unsaved(go_on) => unsaved::ui(model, go_on, asks, ui),
        Dialog::ChangedOnDisk(path) => changed_on_disk::ui(path, asks, ui),
        Dialog::Trouble(trouble) => trouble::ui(trouble, asks, ui),
        Dialog::Path { purpose, typed } => path::ui(*purpose, typed, asks, ui),
        Dialog::Paste(form) => paste::ui(model, form, asks, ui),
        Dialog::Colours(form) => colours::ui(model, form, asks, ui),
    }
    view.dialog = Some(dialog);
}

/// Remembers what had the focus before a dialog opened, and gives it back afterwards.
fn keep_focus(is_open: bool, ui: &Ui) {
    let id = Id::unique("focus before the dialog");
    let before = ui.data(|data| data.get_temp::<Option<Id>>(id));
    match (is_open, before) {
        (true, None) => {
            let focused = ui.memory(Memory::focused);
            ui.data_mut(|data| data.insert_temp(id, focused));
        }
        (false, Some(focused)) => {
            ui.data_mut(|data| data.remove_temp::<Option<Id>>(id).map_or((), drop));
            if let Some(focused) = focused {
                ui.memory_mut(|memory| memory.request_focus(focused));
            }
        }
        _ => {}
    }
}
