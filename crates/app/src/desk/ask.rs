//! What a view may ask for. Views draw a [`super::model::Model`] and push asks; the workbench carries them out
//! after the frame is laid out, so nothing changes under a view's feet.

use super::{commands::Command, dialogs::Dialog, hints::Hint, prefs::ThemeChoice};
use chaffinch_craft::{Edit, units::TempUnit};
use std::path::PathBuf;

/// One wish of a view.
#[derive(Debug)]
pub enum Ask {
    /// Change the plan, as one step of the history.
    Apply(Edit),
    /// Change the plan as part of the drag (or held key) that is going on; all of it becomes one step.
    Drag(Edit),
    /// The drag is over.
    Release,
    /// The drag is given up; the plan is as before it.
    Cancel,
    /// Carry out a command of the table.
    Do(Command),
    /// Bring a stretch of time into view and light it up, in s.
    Show {
        /// Where it begins, in s.
        from_s: f64,
        /// Where it ends, in s.
        to_s: f64,
    },
    /// Go to the state after so many steps of the history.
    JumpTo(usize),
    /// Open this dialog.
    Open(Dialog),
    /// Close the dialog that is open.
    CloseDialog,
    /// Close the window; asks first if unsaved work would be lost.
    Quit,
    /// Open this file as the plan.
    OpenFile(PathBuf),
    /// Save the plan to this file.
    SaveTo(PathBuf),
    /// Save the plan to this file although somebody else has changed it.
    Overwrite(PathBuf),
    /// Open this file again and let the changes made here go.
    Reload(PathBuf),
    /// Export to this file; its ending says the format.
    ExportTo(PathBuf),
    /// Lay the plan in this file behind the curve.
    PinFile(PathBuf),
    /// Take a plan from behind the curve.
    Unpin(usize),
    /// Throw the unsaved changes away and go on with what was asked before.
    DiscardAndGoOn,
    /// Save, then go on with what was asked before.
    SaveAndGoOn,
    /// The file chooser was left without a choice: what waited for it is given up.
    NothingChosen,
    /// The cautions were read.
    CautionsRead,
    /// A first-start note has done its work, or was closed.
    HintDone(Hint),
    /// Show this theme.
    SetTheme(ThemeChoice),
    /// Show temperatures in this unit.
    SetUnit(TempUnit),
    /// Forget the files used lately.
    ClearRecent,
    /// Say something in the status line.
    Say(String),
}
