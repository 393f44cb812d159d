//! The commands of the window: one table that the buttons, the keys and the help page read.

use eframe::egui::{Key, KeyboardShortcut, Modifiers};

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

const CTRL: Modifiers = Modifiers::COMMAND;
const CTRL_SHIFT: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);
const NONE: Modifiers = Modifiers::NONE;

const fn row(
    command: Command,
    group: Group,
    label: &'static str,
    hint: &'static str,
    modifiers: Modifiers,
    key: Key,
) -> Entry {
    Entry {
        command,
        label,
        hint,
        group,
        key: Some(KeyboardShortcut::new(modifiers, key)),
    }
}

/// The table. A key with more modifiers stands before the same key with fewer, because keys are matched in this order.
pub const TABLE: &[Entry] = &[
    row(
        Command::New,
        Group::Files,
        "New plan",
        "Start from a two-point curve",
        CTRL,
        Key::N,
    ),
    row(
        Command::Open,
        Group::Files,
        "Open…",
        "Open a plan or a neutral JSON file",
        CTRL,
        Key::O,
    ),
    row(
        Command::SaveAs,
        Group::Files,
        "Save as…",
        "Save the plan under another name",
        CTRL_SHIFT,
        Key::S,
    ),
    row(
        Command::Save,
        Group::Files,
        "Save",
        "Save the plan to its file",
        CTRL,
        Key::S,
    ),
    row(
        Command::ExportCsv,
        Group::Files,
        "Export samples as CSV…",
        "One row a second, for a spreadsheet",
        CTRL_SHIFT,
        Key::E,
    ),
    row(
        Command::ExportJson,
        Group::Files,
        "Export…",
        "Write the neutral JSON file for any machine or program",
        CTRL,
        Key::E,
    ),
    row(
        Command::Pin,
        Group::Files,
        "Lay a plan behind…",
        "Show another plan behind the curve to compare",
        CTRL,
        Key::L,
    ),
    row(
        Command::Redo,
        Group::Points,
        "Redo",
        "Make the last undone step again",
        CTRL_SHIFT,
        Key::Z,
    ),
    row(
        Command::Undo,
        Group::Points,
        "Undo",
        "Take the last step back",
        CTRL,
        Key::Z,
    ),
    row(
        Command::Redo,
        Group::Points,
        "Redo",
        "Make the last undone step again",
        CTRL,
        Key::Y,
    ),
    row(
        Command::SelectNone,
        Group::Points,
        "Select none",
        "Select no point",
        CTRL_SHIFT,
        Key::A,
    ),
    row(
        Command::SelectAll,
        Group::Points,
        "Select all",
        "Select all points",
        CTRL,
        Key::A,
    ),
    row(
        Command::InvertSelection,
        Group::Points,
        "Invert selection",
        "Select what isn't selected",
        CTRL,
        Key::I,
    ),
    row(
        Command::SelectFromHere,
        Group::Points,
        "Select from here on",
        "Select this point and all after it",
        CTRL,
        Key::End,
    ),
    row(
        Command::AddPoint,
        Group::Points,
        "Add point",
        "Add a point on the curve, at the pointer or behind the selected one",
        NONE,
        Key::Insert,
    ),
    row(
        Command::Remove,
        Group::Points,
        "Remove",
        "Remove the selected points",
        NONE,
        Key::Delete,
    ),
    row(
        Command::ToggleLock,
        Group::Points,
        "Lock or unlock",
        "Hold the selected points in time and temperature",
        CTRL,
        Key::K,
    ),
    row(
        Command::FitSelection,
        Group::View,
        "Show selection",
        "Zoom to the selected points",
        CTRL_SHIFT,
        Key::Num0,
    ),
    row(
        Command::FitAll,
        Group::View,
        "Show all",
        "Zoom to the whole roast",
        CTRL,
        Key::Num0,
    ),
    row(
        Command::ZoomIn,
        Group::View,
        "Zoom in",
        "Look closer",
        CTRL,
        Key::Plus,
    ),
    row(
        Command::ZoomIn,
        Group::View,
        "Zoom in",
        "Look closer",
        CTRL,
        Key::Equals,
    ),
    row(
        Command::ZoomOut,
        Group::View,
        "Zoom out",
        "Look from further away",
        CTRL,
        Key::Minus,
    ),
    row(
        Command::PanEarlier,
        Group::View,
        "Earlier",
        "Move the view to the left",
        CTRL,
        Key::ArrowLeft,
    ),
    row(
        Command::PanLater,
        Group::View,
        "Later",
        "Move the view to the right",
        CTRL,
        Key::ArrowRight,
    ),
    row(
        Command::ZoomValuesIn,
        Group::View,
        "Zoom in on values",
        "Stretch the lane under the pointer, else temperatures",
        Modifiers::ALT,
        Key::Plus,
    ),
    row(
        Command::ZoomValuesIn,
        Group::View,
        "Zoom in on values",
        "Stretch the lane under the pointer, else temperatures",
        Modifiers::ALT,
        Key::Equals,
    ),
    row(
        Command::ZoomValuesOut,
        Group::View,
        "Zoom out of values",
        "Show more values in the lane under the pointer, else temperatures",
        Modifiers::ALT,
        Key::Minus,
    ),
    row(
        Command::PanUp,
        Group::View,
        "Higher values",
        "Move the lane under the pointer, else temperatures, up",
        CTRL,
        Key::ArrowUp,
    ),
    row(
        Command::PanDown,
        Group::View,
        "Lower values",
        "Move the lane under the pointer, else temperatures, down",
        CTRL,
        Key::ArrowDown,
    ),
    // Alt with an arrow moves a handle while one has the focus; the brackets work there as well.
    row(
        Command::ZoomBack,
        Group::View,
        "View before",
        "Back to the view before the last zoom; at a handle use the bracket",
        Modifiers::ALT,
        Key::ArrowLeft,
    ),
    row(
        Command::ZoomBack,
        Group::View,
        "View before",
        "Back to the view before the last zoom; at a handle use the bracket",
        CTRL,
        Key::OpenBracket,
    ),
    row(
        Command::ZoomForward,
        Group::View,
        "View after",
        "Forward again; at a handle use the bracket",
        Modifiers::ALT,
        Key::ArrowRight,
    ),
    row(
        Command::ZoomForward,
        Group::View,
        "View after",
        "Forward again; at a handle use the bracket",
        CTRL,
        Key::CloseBracket,
    ),
    row(
        Command::MeasureFrom,
        Group::View,
        "Measure from here",
        "Put measuring line A at the pointer or the selected point",
        CTRL,
        Key::Num1,
    ),
    row(
        Command::MeasureTo,
        Group::View,
        "Measure to here",
        "Put measuring line B at the pointer or the selected point",
        CTRL,
        Key::Num2,
    ),
    row(
        Command::MeasureOff,
        Group::View,
        "Stop measuring",
        "Take both measuring lines away",
        CTRL,
        Key::Num3,
    ),
    row(
        Command::ToggleUnit,
        Group::View,
        "°C or °F",
        "Show temperatures in the other unit; files stay in °C",
        CTRL,
        Key::U,
    ),
    row(
        Command::FollowTheme,
        Group::View,
        "Theme of the system",
        "Light or dark as the system is",
        CTRL_SHIFT,
        Key::T,
    ),
    row(
        Command::ToggleTheme,
        Group::View,
        "Light or dark",
        "Change the theme",
        CTRL,
        Key::T,
    ),
    row(
        Command::FocusCurve,
        Group::Points,
        "Go to the curve",
        "Put the keyboard on the point touched last, or on the first",
        NONE,
        Key::F6,
    ),
    row(
        Command::ToggleDrawer,
        Group::View,
        "Points table",
        "Open or fold the table of points",
        CTRL,
        Key::P,
    ),
    row(
        Command::Describe,
        Group::Help,
        "Describe the curve",
        "The curve in words, for reading or speaking",
        CTRL,
        Key::D,
    ),
    row(
        Command::Keys,
        Group::Help,
        "Keys",
        "List all keys",
        NONE,
        Key::F1,
    ),
    row(
        Command::Cautions,
        Group::Help,
        "Cautions",
        "What can go wrong when roasting",
        NONE,
        Key::F2,
    ),
    // egui turns the usual keys into events of their own, so these rows only inform the help page.
    Entry {
        command: Command::Copy,
        label: "Copy points",
        hint: "Copy the selected points, or all, for a spreadsheet",
        group: Group::Points,
        key: Some(KeyboardShortcut::new(CTRL, Key::C)),
    },
    Entry {
        command: Command::Paste,
        label: "Paste points…",
        hint: "Paste points from a spreadsheet",
        group: Group::Points,
        key: Some(KeyboardShortcut::new(CTRL, Key::V)),
    },
];

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
