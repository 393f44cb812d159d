//! What a view may ask for. Views draw a [`super::model::Model`] and push asks; the workbench carries them out
//! after the frame is laid out, so nothing changes under a view's feet.

use super::{
    commands::Command, dialogs::Dialog, hints::Hint, prefs::ThemeChoice, rework::ReworkKind,
};
use chaffinch_craft::{ColourReading, Edit, carry::PracticeRules, units::TempUnit};
use std::path::PathBuf;

/// A sheet that can be taken out of a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SheetKind {
    /// The coffee.
    Lot,
    /// The machine.
    Machine,
    /// The room.
    Room,
}

impl SheetKind {
    /// The heading over the choice of its file.
    pub fn heading(self) -> &'static str {
        match self {
            Self::Lot => "Carry over to this coffee",
            Self::Machine => "Carry over to this machine",
            Self::Room => "Carry over to this room",
        }
    }
}

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
    /// Open a rework of the plan; what another one had is left.
    BeginRework(ReworkKind),
    /// Make the plan what the rework shows.
    AcceptRework,
    /// Leave the rework; the plan is as before.
    LeaveRework,
    /// Stop working out the preview.
    StopRework,
    /// Go on working out the preview.
    GoOnRework,
    /// Take the sheet out of this file as the one to carry to.
    TakeSheet(SheetKind, PathBuf),
    /// Ask for the file of a sheet to carry to.
    AskForSheet(SheetKind),
    /// Take the targets in this file as those to shape by.
    TakeTargets(PathBuf),
    /// Write the targets to shape by to this file.
    KeepTargets(PathBuf),
    /// Ask for the file of targets to take.
    AskForTargets,
    /// Ask where to write the targets.
    AskWhereToKeepTargets,
    /// Take these rules of practice into the notebook.
    SetPractice(PracticeRules),
    /// Write this reading of a roast's colour into the notebook.
    RecordColour(ColourReading),
    /// Take the reading of this number out of the notebook.
    ForgetColour(usize),
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
