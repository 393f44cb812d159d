//! The commands of the window: one table that the buttons, the keys and the help page read.

mod table;

use eframe::egui::KeyboardShortcut;

pub use table::TABLE;

/// Everything that can be done by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Command {
    /// Start a new plan.
    New,
    /// Open a plan or a neutral file.
    Open,
    /// Save the plan.
    Save,
    /// Save the plan under another name.
    SaveAs,
    /// Export to the neutral JSON.
    ExportJson,
    /// Export samples as CSV.
    ExportCsv,
    /// Lay another plan behind the curve.
    Pin,
    /// Carry the plan over to another coffee, machine or room.
    CarryOver,
    /// Shape the curve by targets.
    ShapeByTargets,
    /// Undo the last step.
    Undo,
    /// Redo the step undone last.
    Redo,
    /// Copy points to the clipboard.
    Copy,
    /// Paste points from the clipboard.
    Paste,
    /// Add a point on the curve.
    AddPoint,
    /// Remove the selected points.
    Remove,
    /// Lock or unlock the selected points.
    ToggleLock,
    /// Make the rise straight between the first and the last selected point.
    StraightenRise,
    /// Let the rise fall evenly into the drop.
    EaseIntoDrop,
    /// What stays while the rise is bent: start and drop, or the start alone.
    ToggleKeptEnd,
    /// Select all points.
    SelectAll,
    /// Select this point and all after it.
    SelectFromHere,
    /// Select what isn't selected.
    InvertSelection,
    /// Select nothing.
    SelectNone,
    /// Show the whole roast.
    FitAll,
    /// Show the selected points.
    FitSelection,
    /// Look closer.
    ZoomIn,
    /// Look from further away.
    ZoomOut,
    /// Look at what comes earlier.
    PanEarlier,
    /// Look at what comes later.
    PanLater,
    /// Stretch the values of the lane under the pointer.
    ZoomValuesIn,
    /// Show more values in the lane under the pointer.
    ZoomValuesOut,
    /// Look at higher values.
    PanUp,
    /// Look at lower values.
    PanDown,
    /// Back to the view before.
    ZoomBack,
    /// Forward to the view after.
    ZoomForward,
    /// Put measuring line A at the pointer.
    MeasureFrom,
    /// Put measuring line B at the pointer.
    MeasureTo,
    /// Take both measuring lines away.
    MeasureOff,
    /// Between °C and °F.
    ToggleUnit,
    /// Between light and dark.
    ToggleTheme,
    /// Light or dark as the system is.
    FollowTheme,
    /// Put the keyboard on the curve's points.
    FocusCurve,
    /// Open or fold the points drawer.
    ToggleDrawer,
    /// Speak the curve: its summary in words.
    Describe,
    /// The keys.
    Keys,
    /// The cautions.
    Cautions,
}

/// Where the help page lists a command.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Group {
    /// Files.
    Files,
    /// Points.
    Points,
    /// View.
    View,
    /// Help.
    Help,
}

impl Group {
    /// All groups in the order of the help page.
    pub const ALL: [Self; 4] = [Self::Files, Self::Points, Self::View, Self::Help];

    /// The group's heading.
    pub fn label(self) -> &'static str {
        match self {
            Self::Files => "Files",
            Self::Points => "Points",
            Self::View => "View",
            Self::Help => "Help",
        }
    }
}

/// One row of the table.
#[derive(Clone, Copy, Debug)]
pub struct Entry {
    /// What is done.
    pub command: Command,
    /// Its name on buttons and in the help page.
    pub label: &'static str,
    /// One sentence on what it does.
    pub hint: &'static str,
    /// Where the help page lists it.
    pub group: Group,
    /// The key for it.
    pub key: Option<KeyboardShortcut>,
}

impl Command {
    /// The command's first row in the table.
    pub fn entry(self) -> &'static Entry {
        // Every command has a row (a test holds it); the first row is a safe answer all the same.
        TABLE
            .iter()
            .find(|entry| entry.command == self)
            .unwrap_or(&TABLE[0])
    }

    /// Name, hint and key in one line for a tooltip.
    pub fn tip(self, ctx: &eframe::egui::Context) -> String {
        let entry = self.entry();
        match &entry.key {
            Some(key) => format!("{} ({})", entry.hint, ctx.format_shortcut(key)),
            None => entry.hint.to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_with_more_modifiers_stand_before_the_same_key_with_fewer() {
        for (index, entry) in TABLE.iter().enumerate() {
            let Some(key) = entry.key else { continue };
            for earlier in TABLE[..index].iter().filter_map(|earlier| earlier.key) {
                let same = earlier.logical_key == key.logical_key;
                let hides = same && key.modifiers.contains(earlier.modifiers);
                assert!(!hides, "{:?} is hidden by an earlier row", entry.command);
            }
        }
    }

    #[test]
    fn no_plain_letter_is_a_key() {
        for entry in TABLE {
            let Some(key) = entry.key else { continue };
            let letter = key.logical_key.name().chars().count() == 1;
            assert!(!letter || key.modifiers.any(), "{:?}", entry.command);
        }
    }
}
