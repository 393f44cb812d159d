//! The notebook that the plan on the desk belongs to: what holds for all its plans.
//!
//! The plan's folder says which notebook it is; a plan without a file uses the one of the user's data folder. A file of the notebook
//! that can't be read is left alone: the usual values hold, the status line says why, and nothing is written over it.

use chaffinch_craft::{ColourReadings, carry::PracticeRules};
use chaffinch_shelf::{
    COLOURS_FILE, FileStamp, PRACTICE_FILE, ShelfError, has_changed, notebook_of, read_colours,
    read_practice, save_colours, save_practice,
};
use std::{
    path::{Path, PathBuf},
    sync::LazyLock,
};

/// The notebook.
#[derive(Debug, Default)]
pub struct Notebook {
    /// Its folder; without one nothing is kept beyond the session.
    folder: Option<PathBuf>,
    practice: Kept<PracticeRules>,
    colours: Kept<ColourReadings>,
}

/// What is kept in one file of the notebook.
#[derive(Debug, Default)]
struct Kept<T> {
    value: T,
    /// Why the file can't be read; it isn't written over then.
    trouble: Option<String>,
    /// What the file held when it was read or written here; nothing where there was none.
    stamp: Option<FileStamp>,
}

impl<T: Default> Kept<T> {
    fn read(folder: Option<&Path>, name: &str, read: fn(&Path) -> Result<T, ShelfError>) -> Self {
        let path = folder.map(|folder| folder.join(name));
        let Some(path) = path.filter(|path| path.exists()) else {
            return Self::default();
        };
        match read(&path) {
            Ok(value) => Self {
                value,
                trouble: None,
                stamp: std::fs::read(&path).ok().map(|text| FileStamp::of(&text)),
            },
            Err(error) => Self {
                value: T::default(),
                trouble: Some(error.to_string()),
                stamp: None,
            },
        }
    }

    fn set(
        &mut self,
        value: T,
        folder: Option<&Path>,
        name: &str,
        save: fn(&Path, &T) -> Result<FileStamp, ShelfError>,
    ) -> Result<(), String> {
        self.value = value;
        if let Some(trouble) = &self.trouble {
            return Err(format!("this holds for the session only: {trouble}"));
        }
        let Some(folder) = folder else {
            return Ok(());
        };
        std::fs::create_dir_all(folder)
            .map_err(|error| format!("the folder {} can't be made: {error}", folder.display()))?;
        let path = folder.join(name);
        // What somebody else wrote meanwhile is never written over.
        let is_foreign = match &self.stamp {
            Some(stamp) => path.exists() && has_changed(&path, stamp).unwrap_or(true),
            None => path.exists(),
        };
        if is_foreign {
            return Err(format!(
                "this holds for the session only: {} was changed elsewhere since it was read; open the plan again to take that over",
                path.display()
            ));
        }
        let stamp = save(&path, &self.value).map_err(|error| error.to_string())?;
        self.stamp = Some(stamp);
        Ok(())
    }
}

impl Notebook {
    /// A notebook without a folder, with all as usual.
    pub fn blank() -> &'static Self {
        static BLANK: LazyLock<Notebook> = LazyLock::new(Notebook::default);
        &BLANK
    }

    /// The notebook of the plan in `file`, or else the one in `fallback`.
    pub fn open(file: Option<&Path>, fallback: Option<&Path>) -> Self {
        let folder = file
            .map(notebook_of)
            .or_else(|| fallback.map(Path::to_owned));
        let place = folder.as_deref();
        Self {
            practice: Kept::read(place, PRACTICE_FILE, read_practice),
            colours: Kept::read(place, COLOURS_FILE, read_colours),
            folder,
        }
    }

    /// Its folder, if it has one.
    pub fn folder(&self) -> Option<&Path> {
        self.folder.as_deref()
    }

    /// The rules of practice.
    pub fn practice(&self) -> &PracticeRules {
        &self.practice.value
    }

    /// The roast colours that were measured.
    pub fn colours(&self) -> &ColourReadings {
        &self.colours.value
    }

    /// What can't be read of it, in words.
    pub fn trouble(&self) -> Option<&str> {
        let troubles = [&self.practice.trouble, &self.colours.trouble];
        troubles.into_iter().find_map(Option::as_deref)
    }

    /// Takes other rules of practice and writes them down.
    ///
    /// # Errors
    /// Why they can't be written, in words; they hold for the session all the same.
    pub fn set_practice(&mut self, rules: PracticeRules) -> Result<(), String> {
        let folder = self.folder.as_deref();
        self.practice
            .set(rules, folder, PRACTICE_FILE, save_practice)
    }

    /// Takes other readings of colour and writes them down.
    ///
    /// # Errors
    /// As [`Self::set_practice`].
    pub fn set_colours(&mut self, readings: ColourReadings) -> Result<(), String> {
        let folder = self.folder.as_deref();
        self.colours
            .set(readings, folder, COLOURS_FILE, save_colours)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]
    use super::*;
    use chaffinch_craft::carry::{Rule, RuleName};

    fn rules(per_100_m: f64) -> PracticeRules {
        let rule = Rule {
            per_100_m,
            most: 3.0,
        };
        PracticeRules::default().with(RuleName::Drop, rule).unwrap()
    }

    #[test]
    fn rules_are_kept_in_the_plan_s_notebook_and_found_again() {
        let folder = tempfile::tempdir().unwrap();
        let plan = folder.path().join("plans").join("a.ron");
        let mut notebook = Notebook::open(Some(&plan), None);
        notebook.set_practice(rules(0.3)).unwrap();
        notebook.set_practice(rules(0.4)).unwrap();
        let again = Notebook::open(Some(&plan), None);
        assert_eq!(again.practice(), &rules(0.4), "found again");
    }

    #[test]
    fn what_somebody_else_wrote_is_not_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let plan = folder.path().join("a.ron");
        let mut one = Notebook::open(Some(&plan), None);
        let mut other = Notebook::open(Some(&plan), None);
        one.set_practice(rules(0.3)).unwrap();
        let reason = other.set_practice(rules(0.4)).unwrap_err();
        assert!(reason.contains("changed elsewhere"), "{reason}");
        assert_eq!(other.practice(), &rules(0.4), "holds for the session");
        let kept = Notebook::open(Some(&plan), None);
        assert_eq!(kept.practice(), &rules(0.3), "the file is as it was");
    }
}
