//! Saving: whole or not at all, links and permissions kept, changes noticed.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

use chaffinch_craft::Plan;
use chaffinch_shelf::{
    FileStamp, ShelfError, export, has_changed, plan_to_neutral, plan_to_ron, samples_csv,
    save_plan, save_text,
};
use std::{fs, path::Path};

fn names(folder: &Path) -> Vec<String> {
    fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect()
}

#[test]
fn save_replaces_and_leaves_nothing_else_behind() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.ron");
    fs::write(&path, "old").unwrap();
    save_plan(&Plan::fresh(), &path).unwrap();
    assert_eq!(
        fs::read_to_string(&path).unwrap(),
        plan_to_ron(&Plan::fresh())
    );
    assert_eq!(names(folder.path()), ["plan.ron"]);
}

#[test]
fn export_goes_by_extension() {
    let folder = tempfile::tempdir().unwrap();
    let plan = Plan::fresh();
    let at = |name: &str| folder.path().join(name);
    export(&plan, &at("a.json")).unwrap();
    export(&plan, &at("b.CSV")).unwrap();
    assert_eq!(
        fs::read_to_string(at("a.json")).unwrap(),
        plan_to_neutral(&plan)
    );
    assert_eq!(fs::read_to_string(at("b.CSV")).unwrap(), samples_csv(&plan));
    let error = export(&plan, &at("c.txt")).unwrap_err();
    assert!(matches!(&error, ShelfError::Extension { found, .. } if found == "txt"));
    assert!(error.to_string().contains(".json") && error.to_string().contains(".csv"));
    assert!(!at("c.txt").exists());
}

#[test]
fn failing_save_names_the_cause_and_keeps_the_old_file() {
    let folder = tempfile::tempdir().unwrap();
    let missing = folder.path().join("nowhere").join("plan.ron");
    assert!(matches!(
        save_text(&missing, "new"),
        Err(ShelfError::Write { .. })
    ));
    assert!(
        matches!(
            save_text(folder.path(), "new"),
            Err(ShelfError::Write { .. })
        ),
        "a folder"
    );
    assert!(names(folder.path()).is_empty());
}

#[test]
fn read_only_file_is_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.ron");
    fs::write(&path, "old").unwrap();
    let mut permissions = fs::metadata(&path).unwrap().permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&path, permissions).unwrap();
    assert!(matches!(
        save_text(&path, "new"),
        Err(ShelfError::ReadOnly { .. })
    ));
    assert_eq!(fs::read_to_string(&path).unwrap(), "old");
}

#[cfg(unix)]
#[test]
fn link_stays_its_target_changes_and_permissions_stay() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let folder = tempfile::tempdir().unwrap();
    let (target, link) = (
        folder.path().join("target.ron"),
        folder.path().join("link.ron"),
    );
    fs::write(&target, "old").unwrap();
    fs::set_permissions(&target, fs::Permissions::from_mode(0o640)).unwrap();
    symlink("target.ron", &link).unwrap();
    save_text(&link, "new").unwrap();
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(fs::read_to_string(&target).unwrap(), "new");
    assert_eq!(
        fs::metadata(&target).unwrap().permissions().mode() & 0o777,
        0o640
    );
}

#[cfg(unix)]
#[test]
fn link_to_nothing_makes_its_target() {
    let folder = tempfile::tempdir().unwrap();
    let link = folder.path().join("link.ron");
    std::os::unix::fs::symlink("target.ron", &link).unwrap();
    save_text(&link, "new").unwrap();
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(
        fs::read_to_string(folder.path().join("target.ron")).unwrap(),
        "new"
    );
}

#[test]
fn changes_on_disk_are_noticed_by_content() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.ron");
    let stamp = save_text(&path, "one").unwrap();
    assert!(!has_changed(&path, &stamp).unwrap());
    fs::write(&path, "one").unwrap();
    assert!(
        !has_changed(&path, &stamp).unwrap(),
        "the same content again"
    );
    fs::write(&path, "two").unwrap();
    assert!(has_changed(&path, &stamp).unwrap(), "the same size");
    assert_eq!(FileStamp::of(b"one"), stamp);
    fs::remove_file(&path).unwrap();
    assert!(has_changed(&path, &stamp).unwrap(), "gone");
}
