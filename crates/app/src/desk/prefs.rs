//! What the program keeps between runs besides the window's size: units, theme, recent files, what was read.

use super::document::is_same_file;
use chaffinch_craft::units::TempUnit;
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// Most files kept in the list of recent ones.
pub const MAX_RECENT: usize = 12;

/// The theme that the user asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum ThemeChoice {
    /// As the system wishes.
    #[default]
    System,
    /// Always light.
    Light,
    /// Always dark.
    Dark,
}

/// Preferences. Unknown or missing fields fall back to defaults, so an old or damaged store never stops the start.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Prefs {
    /// Show temperatures in °F.
    pub fahrenheit: bool,
    /// The theme.
    pub theme: ThemeChoice,
    /// Files used lately, latest first.
    pub recent: Vec<PathBuf>,
    /// The cautions were read once.
    pub cautions_read: bool,
    /// How many of the first-start hints were dismissed, one bit a hint.
    pub hints_done: u8,
}

impl Prefs {
    /// The unit that temperatures are shown in.
    pub fn unit(&self) -> TempUnit {
        if self.fahrenheit {
            TempUnit::Fahrenheit
        } else {
            TempUnit::Celsius
        }
    }

    /// Puts a file at the head of the recent ones; however it was spelt before, it is there once.
    pub fn remember(&mut self, file: &Path) {
        self.recent.retain(|known| !is_same_file(known, file));
        self.recent.insert(0, file.to_owned());
        self.recent.truncate(MAX_RECENT);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn remembered_file_comes_first_once_and_the_list_is_bounded() {
        let mut prefs = Prefs::default();
        for number in 0..20 {
            prefs.remember(Path::new(&format!("plan-{number}.ron")));
        }
        prefs.remember(Path::new("plan-15.ron"));
        assert_eq!(prefs.recent.len(), MAX_RECENT, "bounded");
        assert_eq!(prefs.recent[0], Path::new("plan-15.ron"), "latest first");
        let again = prefs
            .recent
            .iter()
            .filter(|file| file.ends_with("plan-15.ron"));
        assert_eq!(again.count(), 1, "once");
    }
}
