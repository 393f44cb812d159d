//! Files of the window: save, export, open, and what happens when they fail.
//!
//! What is right comes from issue 2 (sections 4 and 5) and the rows H6, I4, I7 and G3 of `features.md`. The schema is checked by
//! the `jsonschema` crate, which knows nothing of our code.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise; its name says what is checked"
)]

mod desk;

use chaffinch::desk::{
    dialogs::{Dialog, GoOn, PathPurpose, Trouble},
    files::FileKind,
};
use chaffinch_craft::Plan;
use chaffinch_shelf::{SCHEMA, open_plan, plan_from_neutral, plan_to_ron};
use desk::{Desk, WINDOW, example_path, settled_prefs};
use eframe::egui::{Key, Modifiers};
use serde_json::Value;
use std::{
    fs,
    path::{Path, PathBuf},
};
use tempfile::TempDir;

/// A desk whose plan was changed by one step.
fn changed() -> Desk {
    let mut desk = Desk::example();
    desk.tab_to("Point 5 of 9");
    desk.key(Key::ArrowUp);
    assert!(desk.is_modified());
    desk
}

fn folder() -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().to_owned();
    (folder, path)
}

fn trouble(desk: &Desk) -> Trouble {
    match &desk.state().view().dialog {
        Some(Dialog::Trouble(trouble)) => trouble.clone(),
        other => panic!("no trouble is shown but {other:?}"),
    }
}

#[test]
fn saved_file_holds_the_plan_and_the_mark_goes() {
    let (_keep, folder) = folder();
    let path = folder.join("mine.ron");
    let mut desk = changed();
    assert!(
        desk.says("changed"),
        "the top bar says that there are changes"
    );
    desk.chooser.answer(&path);
    desk.click("Save");
    let request = &desk.chooser.requests()[0];
    assert_eq!(
        (request.purpose, request.kind),
        (PathPurpose::Save, FileKind::Plan)
    );
    assert!(
        request.name.strip_suffix(".ron").is_some(),
        "{}",
        request.name
    );
    let (plan, _) = open_plan(&path).unwrap();
    assert_eq!(plan_to_ron(&plan), plan_to_ron(&desk.plan()));
    assert_eq!(
        fs::read_to_string(&path).unwrap(),
        plan_to_ron(&desk.plan())
    );
    assert!(!desk.is_modified());
    assert!(desk.says("Saved"));
    assert_eq!(desk.state().prefs().recent.first(), Some(&path));
    // The file is known now: saving again asks nothing.
    desk.key(Key::ArrowUp);
    desk.ctrl(Key::S);
    assert_eq!(desk.chooser.requests().len(), 1);
    assert_eq!(
        fs::read_to_string(&path).unwrap(),
        plan_to_ron(&desk.plan())
    );
}

/// H6: undo back to the saved state clears the modified mark.
#[test]
fn undo_to_the_saved_state_clears_the_mark() {
    let (_keep, folder) = folder();
    let mut desk = changed();
    desk.chooser.answer(&folder.join("mine.ron"));
    desk.ctrl(Key::S);
    assert!(!desk.is_modified());
    desk.key(Key::ArrowUp);
    desk.key(Key::ArrowUp);
    assert!(desk.is_modified());
    desk.ctrl(Key::Z);
    desk.ctrl(Key::Z);
    assert!(!desk.is_modified());
    desk.ctrl(Key::Z);
    assert!(desk.is_modified(), "before the save is not as saved");
    desk.ctrl(Key::Y);
    assert!(!desk.is_modified());
}

/// A failed save shows what happened, and keeps the plan and its mark.
#[test]
fn failed_save_keeps_plan_and_mark_and_offers_another_place() {
    let (_keep, folder) = folder();
    let directory = folder.join("a-folder.ron");
    fs::create_dir(&directory).unwrap();
    for path in [directory, folder.join("not-there").join("mine.ron")] {
        let mut desk = changed();
        let before = desk.plan();
        desk.chooser.answer(&path);
        desk.ctrl(Key::S);
        let shown = trouble(&desk);
        assert!(
            shown
                .text
                .contains(path.file_name().unwrap().to_str().unwrap()),
            "{}",
            shown.text
        );
        assert!(desk.says(&shown.heading) && desk.says(&shown.text));
        assert_eq!(desk.plan(), before);
        assert!(desk.is_modified());
        assert!(desk.state().document().file().is_none());
        let elsewhere = folder.join("elsewhere.ron");
        desk.chooser.answer(&elsewhere);
        desk.click("Save elsewhere…");
        assert!(desk.state().view().dialog.is_none());
        assert!(!desk.is_modified());
        fs::remove_file(elsewhere).unwrap();
    }
}

/// I4: every export is valid against the schema, and gives back the same plan.
#[test]
fn exported_json_is_valid_and_gives_the_plan_back() {
    let (_keep, folder) = folder();
    let path = folder.join("curve.json");
    let mut desk = changed();
    let before = desk.plan();
    desk.chooser.answer(&path);
    desk.click("Export…");
    desk.click_beginning("Neutral JSON…");
    let text = fs::read_to_string(&path).unwrap();
    let document: Value = serde_json::from_str(&text).unwrap();
    let schema: Value = serde_json::from_str(SCHEMA).unwrap();
    let validator = jsonschema::draft202012::new(&schema).unwrap();
    let errors: Vec<String> = validator
        .iter_errors(&document)
        .map(|error| error.to_string())
        .collect();
    assert!(errors.is_empty(), "{errors:?}");
    assert_eq!(
        plan_to_ron(&plan_from_neutral(&text).unwrap()),
        plan_to_ron(&before)
    );
    assert_eq!(desk.plan(), before);
    assert!(desk.is_modified(), "an export is no save");
    assert!(desk.says("Exported"));
}

/// RFC 4180 by the `csv` crate: one row a second, units in the header.
#[test]
fn exported_csv_holds_a_row_a_second() {
    let (_keep, folder) = folder();
    let path = folder.join("curve.csv");
    let mut desk = Desk::example();
    desk.chooser.answer(&path);
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::E);
    let mut reader = csv::Reader::from_path(&path).unwrap();
    let header = reader.headers().unwrap().clone();
    assert_eq!(
        header.iter().take(2).collect::<Vec<_>>(),
        ["Time (s)", "Temperature (°C)"]
    );
    let rows: Vec<_> = reader.records().map(Result::unwrap).collect();
    // The last point stands at 490 s: 491 rows from 0.
    assert_eq!(rows.len(), 491);
    // 290 s is the point at 188 °C.
    assert_eq!(rows[290][0].parse::<f64>().unwrap(), 290.0);
    assert_eq!(rows[290][1].parse::<f64>().unwrap(), 188.0);
}

/// G3: what happened, where, what was found and expected; the plan stays.
#[test]
fn bad_file_is_not_opened_and_says_where_it_fails() {
    let (_keep, folder) = folder();
    let whole = fs::read_to_string(example_path("ember-ridge-filter.ron")).unwrap();
    let cases = [
        ("empty.ron", String::new()),
        ("cut.ron", whole[..whole.len() / 2].to_owned()),
        (
            "order.ron",
            whole.replace("time_s: 95.0, temp_c", "time_s: 9.0, temp_c"),
        ),
        ("newer.ron", whole.replace("version: 2", "version: 99")),
        ("noise.json", "{\"a\": ".to_owned()),
    ];
    for (name, text) in cases {
        let path = folder.join(name);
        fs::write(&path, text).unwrap();
        let mut desk = Desk::example();
        let before = desk.plan();
        desk.chooser.answer(&path);
        desk.ctrl(Key::O);
        let shown = trouble(&desk);
        assert_eq!(shown.heading, "The file was not opened", "{name}");
        assert!(shown.text.contains(name), "{name}: {}", shown.text);
        assert!(desk.says(&shown.text), "{name}");
        assert_eq!(desk.plan(), before, "{name}");
        desk.key(Key::Escape);
        assert!(desk.state().view().dialog.is_none());
    }
}

/// The same when the file is an argument of the program.
#[test]
fn bad_file_as_argument_opens_the_example_with_the_trouble() {
    let (_keep, folder) = folder();
    let path = folder.join("cut.ron");
    fs::write(&path, "Plan(version: 1, title: ").unwrap();
    let desk = Desk::open(Some(&path), settled_prefs(), WINDOW);
    assert!(trouble(&desk).text.contains("cut.ron"));
    assert!(desk.plan().title.starts_with("Ember Ridge"));
}

/// Unsaved work is asked for before it is lost.
#[test]
fn new_plan_asks_before_unsaved_work_is_lost() {
    let mut desk = changed();
    let before = desk.plan();
    desk.ctrl(Key::N);
    assert_eq!(desk.state().view().dialog, Some(Dialog::Unsaved(GoOn::New)));
    desk.click("Keep editing");
    assert_eq!(desk.plan(), before);
    desk.ctrl(Key::N);
    desk.click("Discard");
    assert_eq!(*desk.plan(), Plan::fresh());
    assert!(desk.state().view().dialog.is_none());
}

#[test]
fn save_in_the_question_saves_and_then_goes_on() {
    let (_keep, folder) = folder();
    let path = folder.join("kept.ron");
    let mut desk = changed();
    let before = desk.plan();
    desk.ctrl(Key::N);
    desk.chooser.answer(&path);
    desk.click_in_dialog("Save");
    assert_eq!(
        plan_to_ron(&open_plan(&path).unwrap().0),
        plan_to_ron(&before)
    );
    assert_eq!(*desk.plan(), Plan::fresh(), "then the new plan");
}

/// Neither a chooser that was cancelled nor a save that failed lets the work go; a later save doesn't go on with it either.
#[test]
fn save_that_is_given_up_in_the_question_keeps_the_work() {
    let (_keep, folder) = folder();
    let mut desk = changed();
    let before = desk.plan();
    desk.ctrl(Key::N);
    desk.chooser.cancel();
    desk.click_in_dialog("Save");
    assert_eq!(desk.plan(), before);
    desk.chooser.answer(&folder.join("later.ron"));
    desk.ctrl(Key::S);
    assert_eq!(desk.plan(), before, "a save of its own starts no new plan");
    assert!(!desk.is_modified());
}

/// I7: a file dropped on the window is opened; unsaved work is asked for first.
#[test]
fn dropped_file_is_opened() {
    let path = example_path("low-meadow-dark.ron");
    let wished = plan_to_ron(&open_plan(&path).unwrap().0);
    let mut desk = Desk::example();
    desk.drop_file(&path);
    assert_eq!(plan_to_ron(&desk.plan()), wished);
    assert_eq!(desk.state().document().file(), Some(path.as_path()));
    let mut desk = changed();
    let before = desk.plan();
    desk.drop_file(&path);
    assert_eq!(
        desk.state().view().dialog,
        Some(Dialog::Unsaved(GoOn::OpenFile(path)))
    );
    assert_eq!(desk.plan(), before);
    desk.click("Discard");
    assert_eq!(plan_to_ron(&desk.plan()), wished);
}

/// A neutral file that is opened is not written over: saving asks for a place.
#[test]
fn opened_neutral_file_is_no_home_for_the_plan() {
    let (_keep, folder) = folder();
    let json = folder.join("theirs.json");
    let mut desk = Desk::example();
    desk.chooser.answer(&json);
    desk.ctrl(Key::E);
    let bytes = fs::read(&json).unwrap();
    let mut desk = Desk::open(Some(&json), settled_prefs(), WINDOW);
    desk.tab_to("Point 5 of 9");
    desk.key(Key::ArrowUp);
    desk.chooser.answer(&folder.join("mine.ron"));
    desk.ctrl(Key::S);
    assert_eq!(desk.chooser.requests().len(), 1);
    assert_eq!(fs::read(&json).unwrap(), bytes);
    assert!(folder.join("mine.ron").exists());
}

/// Without a file chooser the path is typed (`notes/egui.md`, section 1).
#[test]
fn path_is_typed_where_the_system_has_no_chooser() {
    let (_keep, folder) = folder();
    let path = folder.join("typed.ron");
    let mut desk = changed();
    desk.ctrl(Key::S);
    assert!(matches!(
        desk.state().view().dialog,
        Some(Dialog::Path {
            purpose: PathPurpose::Save,
            ..
        })
    ));
    assert_eq!(desk.focused(), "Path");
    desk.type_over(folder.join("no-such-folder/x.ron").to_str().unwrap());
    assert!(desk.says("There is no folder"));
    desk.key(Key::Enter);
    assert!(desk.is_modified(), "a path that can't be used is not used");
    desk.enter("Path", path.to_str().unwrap());
    assert!(path.exists());
    assert!(!desk.is_modified());
    assert!(desk.state().view().dialog.is_none());
    // A file that is there is not replaced by Enter alone.
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    desk.type_over(path.to_str().unwrap());
    let before = fs::metadata(&path).unwrap().modified().unwrap();
    desk.key(Key::Enter);
    assert!(desk.says("There is a file already"));
    assert_eq!(fs::metadata(&path).unwrap().modified().unwrap(), before);
}

/// `features.md`, section 1: the file changed on disk meanwhile; nothing is written over unasked.
#[test]
fn file_changed_by_somebody_else_is_not_written_over() {
    let (_keep, folder) = folder();
    let path = folder.join("shared.ron");
    fs::copy(example_path("ember-ridge-filter.ron"), &path).unwrap();
    let mut desk = Desk::open(Some(&path), settled_prefs(), WINDOW);
    desk.tab_to("Point 5 of 9");
    desk.key(Key::ArrowUp);
    let theirs = fs::read_to_string(example_path("low-meadow-dark.ron")).unwrap();
    fs::write(&path, &theirs).unwrap();
    desk.ctrl(Key::S);
    assert_eq!(
        desk.state().view().dialog,
        Some(Dialog::ChangedOnDisk(path.clone()))
    );
    assert_eq!(fs::read_to_string(&path).unwrap(), theirs);
    assert!(desk.is_modified());
    desk.click("Overwrite");
    assert_eq!(
        fs::read_to_string(&path).unwrap(),
        plan_to_ron(&desk.plan())
    );
    assert!(!desk.is_modified());
}

/// N6: open and save without an edit leaves the same bytes.
#[test]
fn open_and_save_without_an_edit_gives_the_same_bytes() {
    let (_keep, folder) = folder();
    let plans = fs::read_dir(example_path(""))
        .unwrap()
        .map(|entry| entry.unwrap().path());
    let plans: Vec<PathBuf> = plans
        .filter(|path| path.extension().is_some_and(|ending| ending == "ron"))
        .collect();
    assert!(plans.len() >= 6, "the notebook has at least six plans");
    for plan in plans {
        let path = folder.join(plan.file_name().unwrap());
        fs::copy(&plan, &path).unwrap();
        let mut desk = Desk::open(Some(&path), settled_prefs(), WINDOW);
        assert!(
            desk.state().view().dialog.is_none(),
            "{} opens",
            plan.display()
        );
        desk.ctrl(Key::S);
        assert_eq!(
            fs::read(&path).unwrap(),
            fs::read(&plan).unwrap(),
            "{}",
            plan.display()
        );
    }
}

/// Closing the window over unsaved work asks first.
#[test]
fn closing_asks_before_unsaved_work_is_lost() {
    let mut desk = changed();
    assert!(desk.close_window(), "the window stays open");
    assert_eq!(
        desk.state().view().dialog,
        Some(Dialog::Unsaved(GoOn::Quit))
    );
    desk.click("Discard");
    assert!(!desk.close_window(), "now it may close");
    let mut desk = Desk::example();
    assert!(!desk.close_window(), "nothing is lost");
    assert!(desk.state().view().dialog.is_none());
}

/// A plan laid behind by file, compared, and taken away.
#[test]
fn plan_is_laid_behind_and_taken_away() {
    let mut desk = Desk::example();
    desk.chooser
        .answer(&example_path("ember-ridge-espresso.ron"));
    desk.click("Lay a plan behind…");
    let behind = &desk.state().computed().behind()[0];
    assert!(desk.says(&behind.name));
    // At 290 s, with charge laid on charge: other minus this plan.
    let other = open_plan(&example_path("ember-ridge-espresso.ron"))
        .unwrap()
        .0;
    let wished_c = other.curve.temp_c(290.0) - 188.0;
    let found = behind
        .comparison
        .time_s
        .iter()
        .position(|&time_s| time_s == 290.0)
        .unwrap();
    assert!((behind.comparison.temp_difference_c[found] - wished_c).abs() < 1e-9);
    let before = desk.plan();
    desk.click_beginning(&format!("Take {} away", other.title));
    assert!(desk.state().computed().behind().is_empty());
    assert_eq!(desk.plan(), before);
}

/// A file of version 1 may have a ceiling that no plan may have now: that is told, and saving keeps the old file beside.
#[test]
fn an_older_file_that_had_to_be_changed_is_told_of_and_kept() {
    let (_keep, folder) = folder();
    let path = folder.join("older.ron");
    let old = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../crates/shelf/tests/version_1/ember-ridge-filter.ron");
    let text = fs::read_to_string(old).unwrap();
    let text = text.replace("ceiling_c: 235.0", "ceiling_c: 300.0");
    fs::write(&path, &text).unwrap();
    let mut desk = Desk::open(Some(&path), settled_prefs(), WINDOW);
    assert!(desk.says("lowered to 260"), "{:?}", desk.words());
    assert_eq!(desk.plan().machine.ceiling_c, 260.0, "ceiling");
    desk.ctrl(Key::S);
    let kept = fs::read_to_string(folder.join("older.v1.ron")).unwrap();
    assert_eq!(kept, text, "the old file");
    assert_eq!(
        fs::read_to_string(&path).unwrap(),
        plan_to_ron(&desk.plan())
    );
}
