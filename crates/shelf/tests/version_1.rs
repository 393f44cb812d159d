//! Plan files of version 1: read, told about, kept beside when they are saved over.
//!
//! `tests/version_1/` holds the example files as version 1 wrote them.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

use chaffinch_craft::{LotNumber, Plan, limits};
use chaffinch_shelf::{
    CarriedOver, ShelfError, TextError, open, plan_from_neutral, plan_from_ron, plan_to_neutral,
    plan_to_ron, read_plan, save_plan,
};
use std::{
    fs,
    path::{Path, PathBuf},
};

fn old_files() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/version_1");
    let entries = fs::read_dir(folder).unwrap();
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    assert_eq!(paths.len(), 7);
    paths
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// An old file with another ceiling.
fn with_ceiling(ceiling_c: &str) -> String {
    let text = fs::read_to_string(&old_files()[0]).unwrap();
    let old = "ceiling_c: 235.0";
    assert!(text.contains(old));
    text.replace(old, &format!("ceiling_c: {ceiling_c}"))
}

#[test]
fn every_old_file_opens_with_all_that_was_in_it_and_nothing_to_tell() {
    for path in old_files() {
        let opened = open(&path).unwrap();
        assert_eq!(opened.carried_over, [], "{}", path.display());
        let text = fs::read_to_string(&path).unwrap();
        // Each line of the old file but the version stands in the new one; the lot's numbers moved one level down.
        let new = plan_to_ron(&opened.plan);
        for line in text.lines().filter(|line| !line.contains("version: 1")) {
            assert!(
                new.lines().any(|found| found.trim() == line.trim()),
                "{}: {line}",
                path.display()
            );
        }
        assert_eq!(plan_from_ron(&new).unwrap(), opened.plan);
        assert_eq!(opened.plan.lot.numbers.all_entered().count(), 4);
        assert!(
            opened
                .plan
                .lot
                .numbers
                .entered(LotNumber::Altitude)
                .is_some()
        );
        assert_eq!(opened.plan.machine.numbers.all_entered().count(), 0);
    }
}

#[test]
fn rules_of_version_1_still_hold_with_line_and_column() {
    let text = fs::read_to_string(&old_files()[0]).unwrap();
    for (from, to, words) in [
        (
            "ceiling_c: 235.0",
            "ceiling_c: 321.0",
            "expected 100 to 320",
        ),
        ("ceiling_c: 235.0", "ceiling_c: NaN", "NaN"),
        (
            "(1960.0, measured)",
            "(9999.0, measured)",
            "altitude of growth",
        ),
        ("ceiling_c: 235.0", "feed_forward: none", "feed_forward"),
        ("    altitude_m:", "    numbers:", "numbers"),
    ] {
        assert!(text.contains(from), "{from}");
        let bad = text.replacen(from, to, 1);
        let error = plan_from_ron(&bad).unwrap_err();
        let line = 1 + bad.lines().position(|line| line.contains(to)).unwrap();
        assert_eq!(error.place().unwrap().line, line, "{error}");
        assert!(error.to_string().contains(words), "{error}");
    }
    // A file of version 2 is not read by the rules of version 1.
    let newer = text.replacen("version: 1", "version: 2", 1);
    assert!(matches!(
        plan_from_ron(&newer),
        Err(TextError::Unreadable { .. })
    ));
}

#[test]
fn ceiling_above_the_greatest_is_lowered_and_told_and_lost_nowhere() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("hot.ron");
    fs::write(&path, with_ceiling("300.0")).unwrap();
    let opened = open(&path).unwrap();
    let to_c = limits::CEILING_RANGE_C.1;
    let told = CarriedOver::CeilingLowered {
        from_c: 300.0,
        to_c,
    };
    assert_eq!(opened.carried_over, [told]);
    assert!(told.to_string().contains("300 °C") && told.to_string().contains("260 °C"));
    assert_eq!(opened.plan.machine.ceiling_c, to_c);
    assert_eq!(fs::read_to_string(&path).unwrap(), with_ceiling("300.0"));
    save_plan(&opened.plan, &path).unwrap();
    let kept = fs::read_to_string(folder.path().join("hot.v1.ron")).unwrap();
    assert_eq!(kept, with_ceiling("300.0"));
    // Neutral JSON of version 1.0 may hold such a ceiling, too.
    let neutral = plan_to_neutral(&opened.plan).replace("\"ceiling\": 260.0", "\"ceiling\": 300.0");
    assert_eq!(plan_from_neutral(&neutral).unwrap(), opened.plan);
    let path = folder.path().join("hot.json");
    fs::write(&path, neutral).unwrap();
    assert_eq!(open(&path).unwrap().carried_over, [told]);
}

#[test]
fn saving_over_an_old_file_keeps_it_beside_once() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.ron");
    let old = fs::read(&old_files()[0]).unwrap();
    fs::write(&path, &old).unwrap();
    let plan = read_plan(&path).unwrap();
    assert_eq!(names(folder.path()), ["plan.ron"], "reading keeps nothing");
    for _ in 0..2 {
        save_plan(&plan, &path).unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), plan_to_ron(&plan));
        assert_eq!(names(folder.path()), ["plan.ron", "plan.v1.ron"]);
        assert_eq!(fs::read(folder.path().join("plan.v1.ron")).unwrap(), old);
    }
}

#[test]
fn kept_files_are_never_written_over() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let [first, second] = [0, 1].map(|index| fs::read(&old_files()[index]).unwrap());
    fs::write(at("plan.v1.ron"), "somebody's own").unwrap();
    for (old, copies) in [(&first, 1), (&second, 2), (&first, 2)] {
        fs::write(at("plan.ron"), old).unwrap();
        save_plan(&Plan::fresh(), &at("plan.ron")).unwrap();
        assert_eq!(names(folder.path()).len(), 2 + copies);
    }
    assert_eq!(fs::read(at("plan.v1.ron")).unwrap(), b"somebody's own");
    assert_eq!(fs::read(at("plan.v1-2.ron")).unwrap(), first);
    assert_eq!(fs::read(at("plan.v1-3.ron")).unwrap(), second);
}

#[test]
fn files_that_are_no_old_plans_are_saved_over_without_a_copy() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.ron");
    for content in [
        plan_to_ron(&Plan::fresh()),
        "no plan at all".to_owned(),
        String::new(),
        "Plan(version: 3)".to_owned(),
    ] {
        fs::write(&path, content).unwrap();
        save_plan(&Plan::fresh(), &path).unwrap();
        assert_eq!(names(folder.path()), ["plan.ron"]);
    }
}

#[cfg(unix)]
#[test]
fn save_is_refused_where_the_old_file_cannot_be_kept() {
    // A folder in the place of every copy can't be read as the same content, and names run out.
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.ron");
    let old = fs::read(&old_files()[0]).unwrap();
    fs::write(&path, &old).unwrap();
    fs::create_dir(folder.path().join("plan.v1.ron")).unwrap();
    for number in 2..=100 {
        fs::create_dir(folder.path().join(format!("plan.v1-{number}.ron"))).unwrap();
    }
    let error = save_plan(&Plan::fresh(), &path).unwrap_err();
    assert!(matches!(error, ShelfError::Keep { .. }), "{error}");
    assert_eq!(fs::read(&path).unwrap(), old, "nothing was written");
}

#[cfg(unix)]
#[test]
fn old_file_behind_a_link_is_kept_beside_the_file_itself() {
    let folder = tempfile::tempdir().unwrap();
    let real = folder.path().join("real");
    fs::create_dir(&real).unwrap();
    let old = fs::read(&old_files()[0]).unwrap();
    fs::write(real.join("plan.ron"), &old).unwrap();
    let link = folder.path().join("link.ron");
    std::os::unix::fs::symlink(real.join("plan.ron"), &link).unwrap();
    save_plan(&Plan::fresh(), &link).unwrap();
    assert_eq!(fs::read(real.join("plan.v1.ron")).unwrap(), old);
    assert_eq!(names(folder.path()), ["link.ron", "real"]);
}
