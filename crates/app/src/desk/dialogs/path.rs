//! A path typed by hand, for systems that offer no file chooser.

use std::path::{Path, PathBuf};

use eframe::egui::{Id, Label, TextEdit, Ui};

use super::{
    PathPurpose,
    modal::{ASKING_PX, buttons, modal, paragraph},
};
use crate::desk::{
    ask::Ask,
    files::{FileKind, ask_for, has_extension, with_extension},
    theme::{Palette, Step},
    widgets::buttons::{ButtonLook, button},
};

/// What is thought of a typed path.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Verdict {
    /// It can be used.
    Usable(PathBuf),
    /// It can be used, and a file that is there will be replaced.
    Replaces(PathBuf),
    /// It can't be used, and why.
    Unusable(String),
}

/// Lets the user edit `typed` and use it.
pub(super) fn ui(purpose: PathPurpose, typed: &mut String, asks: &mut Vec<Ask>, ui: &Ui) {
    modal(
        ui,
        heading(purpose),
        ASKING_PX,
        asks,
        |ui, opening, asks| {
            paragraph(
                ui,
                "Where the system shows no file chooser, the path is typed here. ~ is your home folder.",
            );
            let field = ui.add(TextEdit::singleline(typed).desired_width(f32::INFINITY));
            let field = field.accessible_name("Path");
            opening.focus(&field);
            let is_entered =
                field.lost_focus() && ui.input(|input| input.key_pressed(eframe::egui::Key::Enter));
            let verdict = remembered_verdict(ui, purpose, typed);
            let (label, path) = match &verdict {
                Verdict::Usable(path) => (verb(purpose), Some(path)),
                Verdict::Replaces(path) => ("Replace", Some(path)),
                Verdict::Unusable(_) => (verb(purpose), None),
            };
            verdict_line(ui, &verdict);
            buttons(ui, |ui| {
                let go = ui
                    .add_enabled_ui(path.is_some(), |ui| button(ui, ButtonLook::Primary, label))
                    .inner;
                // Enter alone doesn't replace a file.
                let is_meant = go.clicked() || is_entered && matches!(verdict, Verdict::Usable(_));
                if let (true, Some(path)) = (is_meant, path) {
                    asks.push(ask_for(purpose, path.clone()));
                }
                if button(ui, ButtonLook::Plain, "Cancel").clicked() {
                    asks.extend([Ask::NothingChosen, Ask::CloseDialog]);
                }
            });
        },
    );
}

fn heading(purpose: PathPurpose) -> &'static str {
    match purpose {
        PathPurpose::Open => "Open a plan",
        PathPurpose::Save => "Save the plan",
        PathPurpose::Export => "Export the plan",
        PathPurpose::Pin => "Lay a plan behind",
        PathPurpose::Sheet(kind) => kind.heading(),
        PathPurpose::TakeTargets => "Take targets from a file",
        PathPurpose::KeepTargets => "Save the targets",
    }
}

fn verb(purpose: PathPurpose) -> &'static str {
    match purpose {
        PathPurpose::Open => "Open",
        PathPurpose::Save | PathPurpose::KeepTargets => "Save",
        PathPurpose::Export => "Export",
        PathPurpose::Pin => "Lay behind",
        PathPurpose::Sheet(_) | PathPurpose::TakeTargets => "Take",
    }
}

fn verdict_line(ui: &mut Ui, verdict: &Verdict) {
    let palette = Palette::of(ui);
    let (text, ink) = match verdict {
        Verdict::Usable(path) => (path.display().to_string(), palette.text2),
        Verdict::Replaces(path) => (
            format!(
                "There is a file already; it will be replaced: {}",
                path.display()
            ),
            palette.caution_text,
        ),
        Verdict::Unusable(reason) => (reason.clone(), palette.stop_text),
    };
    ui.add(Label::new(Step::Small.text(text).color(ink)).wrap());
}

/// The verdict on `typed`, reckoned only when the text has changed, because it asks the disk.
fn remembered_verdict(ui: &Ui, purpose: PathPurpose, typed: &str) -> Verdict {
    let id = Id::unique("verdict on a typed path");
    let before = ui.data(|data| data.get_temp::<(PathPurpose, String, Verdict)>(id));
    if let Some((for_purpose, text, verdict)) = before
        && for_purpose == purpose
        && text == typed
    {
        return verdict;
    }
    let verdict = judged(purpose, &absolute(typed));
    ui.data_mut(|data| data.insert_temp(id, (purpose, typed.to_owned(), verdict.clone())));
    verdict
}

/// The typed path from the root, with the home folder in place of `~`.
fn absolute(typed: &str) -> PathBuf {
    let typed = typed.trim();
    let path = match (typed.strip_prefix('~'), std::env::home_dir()) {
        (Some(rest), Some(home)) => home.join(rest.trim_start_matches(['/', '\\'])),
        _ => PathBuf::from(typed),
    };
    std::path::absolute(&path).unwrap_or(path)
}

fn judged(purpose: PathPurpose, path: &Path) -> Verdict {
    let unusable = |reason: String| Verdict::Unusable(reason);
    if path.as_os_str().is_empty() || path.is_dir() {
        return unusable("Add the name of a file.".to_owned());
    }
    match purpose {
        purpose if !purpose.is_written() && path.is_file() => Verdict::Usable(path.to_owned()),
        purpose if !purpose.is_written() => {
            unusable(format!("There is no file {}", path.display()))
        }
        PathPurpose::Export if !has_extension(path, &["json", "csv"]) => unusable(
            "End the name in .json for the neutral JSON or in .csv for samples.".to_owned(),
        ),
        PathPurpose::Export => judged_target(path.to_owned()),
        // The plan's ending is that of all our documents.
        _ => judged_target(with_extension(path, FileKind::Plan)),
    }
}

fn judged_target(path: PathBuf) -> Verdict {
    let folder = path.parent().unwrap_or(Path::new("/"));
    if !folder.is_dir() {
        Verdict::Unusable(format!("There is no folder {}", folder.display()))
    } else if path.exists() {
        Verdict::Replaces(path)
    } else {
        Verdict::Usable(path)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::missing_assert_message, clippy::unwrap_used, reason = "tests")]
    use super::*;

    #[test]
    fn typed_path_is_judged_before_it_is_used() {
        let folder = tempfile::tempdir().unwrap();
        let there = folder.path().join("there.ron");
        std::fs::write(&there, "").unwrap();
        let fresh = folder.path().join("fresh");
        let nowhere = folder.path().join("nowhere").join("plan.ron");
        let is_unusable =
            |purpose, path: &Path| matches!(judged(purpose, path), Verdict::Unusable(_));
        assert_eq!(
            judged(PathPurpose::Save, &fresh),
            Verdict::Usable(folder.path().join("fresh.ron"))
        );
        assert_eq!(
            judged(PathPurpose::Save, &there),
            Verdict::Replaces(there.clone())
        );
        assert_eq!(judged(PathPurpose::Open, &there), Verdict::Usable(there));
        assert!(is_unusable(PathPurpose::Save, &nowhere));
        assert!(is_unusable(PathPurpose::Save, folder.path()));
        assert!(is_unusable(PathPurpose::Open, &fresh));
        assert!(is_unusable(PathPurpose::Export, &fresh));
        assert!(is_unusable(PathPurpose::Export, Path::new("")));
    }

    #[test]
    fn tilde_is_the_home_folder() {
        let home = std::env::home_dir().unwrap();
        assert_eq!(absolute("~/plans/a.ron"), home.join("plans").join("a.ron"));
        assert_eq!(absolute(" /tmp/a.ron "), Path::new("/tmp/a.ron"));
        assert_eq!(absolute(""), PathBuf::new());
    }
}
