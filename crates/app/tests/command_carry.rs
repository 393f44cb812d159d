//! The binary end to end, without a window: carrying a plan over, and shaping one by targets.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

mod binary;

use binary::{example, filter, in_folder, run};
use chaffinch_craft::{LotNumber, Plan};
use std::{
    fs,
    path::{Path, PathBuf},
};
use tempfile::TempDir;

fn low_meadow() -> String {
    example("low-meadow-espresso.ron")
}

fn plan(path: &str) -> Plan {
    chaffinch_shelf::open(Path::new(path)).unwrap().plan
}

/// The example with one text in place of another.
fn changed(folder: &TempDir, name: &str, old: &str, new: &str) -> String {
    let path = in_folder(folder, name);
    let text = fs::read_to_string(filter()).unwrap();
    let changed = text.replace(old, new);
    assert_ne!(text, changed, "{old}");
    fs::write(&path, changed).unwrap();
    path
}

/// The example with the fan so low that the bed rests, so that nothing can be foreseen of it.
fn without_lift(folder: &TempDir) -> String {
    changed(
        folder,
        "resting.ron",
        "fan_flow_l_per_s: (5.3",
        "fan_flow_l_per_s: (2.1",
    )
}

#[test]
fn a_plan_is_carried_to_another_coffee_and_says_what_changed() {
    let folder = TempDir::new().unwrap();
    let new = in_folder(&folder, "new.ron");
    let ran = run(["carry", &low_meadow(), "--to", &filter(), "-o", &new]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{}", ran.out);
    for part in [
        "From          “Low Meadow 12”",
        "To            “Ember Ridge 3”",
        "Kept          Core history.",
        "Physics",
        "Practice",
        "forecast after",
        "Heater, most",
        "What changed and why",
        "Denser by",
        "common practice, no published source",
        "not a safety device",
        "Rules of practice: ",
        "Written to",
    ] {
        assert!(ran.out.contains(part), "{part} is not in\n{}", ran.out);
    }
    let (old, carried) = (plan(&low_meadow()), plan(&new));
    assert_eq!(carried.lot.name, "Ember Ridge 3");
    assert_eq!(carried.machine, old.machine, "the machine stays");
    assert!(
        carried.notes.starts_with("Carried over from"),
        "{}",
        carried.notes
    );
    assert_ne!(carried.curve, old.curve);
    let titled = run([
        "carry",
        &low_meadow(),
        "--to",
        &filter(),
        "--title",
        "Another evening",
        "-o",
        &new,
        "--force",
    ]);
    assert_eq!(
        (titled.code, plan(&new).title.as_str()),
        (0, "Another evening")
    );
    let fahrenheit = run([
        "carry",
        &low_meadow(),
        "--to",
        &filter(),
        "-o",
        &new,
        "--force",
        "--unit",
        "fahrenheit",
    ]);
    assert!(!fahrenheit.out.contains("°C"), "{}", fahrenheit.out);
}

#[test]
fn carried_to_its_own_coffee_a_plan_stays_as_it_is() {
    let folder = TempDir::new().unwrap();
    let new = in_folder(&folder, "new.ron");
    for keep in ["core", "spread", "clock", "browning"] {
        let ran = run([
            "carry",
            &filter(),
            "--to",
            &filter(),
            "--keep",
            keep,
            "-o",
            &new,
            "--force",
        ]);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{keep}: {}", ran.out);
        assert_eq!(
            fs::read(&new).unwrap(),
            fs::read(filter()).unwrap(),
            "{keep}"
        );
    }
}

#[test]
fn layers_can_be_switched_off_and_the_way_gone_in_part() {
    let folder = TempDir::new().unwrap();
    let curve = |more: &[&str]| {
        let new = in_folder(&folder, "new.ron");
        let (low, high) = (low_meadow(), filter());
        let mut arguments = vec!["carry", &low, "--to", &high, "-o", &new, "--force"];
        arguments.extend(more);
        let ran = run(&arguments);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{}", ran.out);
        plan(&new).curve.clone()
    };
    let old = plan(&low_meadow());
    assert_eq!(curve(&["--by", "0"]), old.curve, "no way at all");
    let neither = curve(&["--without", "physics", "--without", "practice"]);
    assert_eq!(neither, old.curve, "no layer");
    let (physics, practice) = (
        curve(&["--without", "practice"]),
        curve(&["--without", "physics"]),
    );
    let both = curve(&[]);
    assert!(physics != practice && physics != both && practice != both);
    let half = curve(&["--by", "50"]);
    for ((old, half), new) in old
        .curve
        .points()
        .iter()
        .zip(half.points())
        .zip(both.points())
    {
        let middle = f64::midpoint(old.temp_c, new.temp_c);
        assert!((middle - half.temp_c).abs() < 1e-6, "{half:?}");
    }
}

#[test]
fn the_report_for_programs_says_the_same() {
    let folder = TempDir::new().unwrap();
    let new = in_folder(&folder, "new.ron");
    let ran = run([
        "carry",
        &low_meadow(),
        "--to",
        &filter(),
        "-o",
        &new,
        "--format",
        "json",
    ]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    let report: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(report["keep"]["name"], "core", "{report}");
    assert_eq!(report["percent"], 100.0, "{report}");
    let said = report["layers"]["practice"]["rules"]["found"]
        .as_str()
        .unwrap();
    assert!(
        said.contains("usual") || said.ends_with("practice.ron"),
        "{said}"
    );
    let points = report["drawn"]["points"].as_array().unwrap();
    let carried = plan(&new);
    assert_eq!(points.len(), carried.curve.points().len());
}

#[test]
fn rules_of_practice_come_from_the_file_named_or_the_notebook_or_are_the_usual_ones() {
    let folder = TempDir::new().unwrap();
    fs::create_dir(folder.path().join("plans")).unwrap();
    let from = in_folder(&folder, "plans/low.ron");
    fs::copy(low_meadow(), &from).unwrap();
    let new = in_folder(&folder, "new.ron");
    let carried = |more: &[&str]| {
        let high = filter();
        let mut arguments = vec!["carry", &from, "--to", &high, "-o", &new, "--force"];
        arguments.extend(more);
        run(&arguments)
    };
    let usual = carried(&[]);
    assert!(
        usual.out.contains("Rules of practice: the usual ones"),
        "{}",
        usual.out
    );
    let crack_c = || plan(&new).marks.first_crack_c;
    let usual_c = crack_c();
    let practice = in_folder(&folder, "practice.ron");
    let rules = |per_100_m: &str| {
        format!("practice(version: 1, first_crack_c: (per_100_m: {per_100_m}, most: 5.0))")
    };
    fs::write(&practice, rules("0.3")).unwrap();
    let of_notebook = carried(&[]);
    assert!(
        of_notebook.out.contains("practice.ron"),
        "{}",
        of_notebook.out
    );
    // 0.2 °C more for each of the 10.6 hundreds of metres between the two coffees.
    assert!(
        (crack_c() - usual_c - 2.12).abs() < 0.01,
        "{} {usual_c}",
        crack_c()
    );
    let named = in_folder(&folder, "other.ron");
    fs::write(&named, rules("0.0")).unwrap();
    assert_eq!(carried(&["--practice", &named]).code, 0);
    assert!(
        (crack_c() - usual_c + 1.06).abs() < 0.01,
        "{} {usual_c}",
        crack_c()
    );
    let over = run([
        "carry",
        &from,
        "--to",
        &filter(),
        "-o",
        &practice,
        "--force",
    ]);
    assert_eq!(over.code, 2, "the notebook's rules stay: {}", over.out);
    fs::write(&practice, rules("40.0")).unwrap();
    let refused = carried(&[]);
    assert_eq!(refused.code, 1);
    assert!(
        refused.err.contains("first crack") && refused.err.contains("one line a rule"),
        "{}",
        refused.err
    );
}

#[test]
fn the_dose_is_the_plans_where_the_coffee_names_none() {
    let folder = TempDir::new().unwrap();
    let new = in_folder(&folder, "new.ron");
    let other = changed(
        &folder,
        "other.ron",
        "      dose_g: (",
        "      // dose_g: (",
    );
    assert_eq!(
        run(["carry", &low_meadow(), "--to", &other, "-o", &new]).code,
        0
    );
    let dose = |path: &str| plan(path).lot.numbers.entered(LotNumber::Dose);
    assert_eq!(dose(&new), dose(&low_meadow()));
    assert_ne!(dose(&new), None);
}

#[test]
fn what_the_machine_can_not_deliver_is_written_as_near_as_it_can_and_told() {
    let folder = TempDir::new().unwrap();
    let room = changed(&folder, "weak.ron", "mains_v: (228.0", "mains_v: (172.0");
    let new = in_folder(&folder, "new.ron");
    let ran = run(["carry", &filter(), "--room", &room, "-o", &new]);
    assert_eq!((ran.code, ran.err.as_str()), (1, ""), "{}", ran.out);
    assert!(
        ran.out.contains("This machine can't deliver it") && ran.out.contains("nearest curve"),
        "{}",
        ran.out
    );
    assert!(
        ran.out.contains("Caution: the machine is rated for 230 V"),
        "{}",
        ran.out
    );
    assert_ne!(plan(&new).curve, plan(&filter()).curve);
    let kept = run([
        "carry",
        &filter(),
        "--room",
        &room,
        "--keep",
        "clock",
        "-o",
        &new,
        "--force",
    ]);
    assert_eq!(
        kept.code, 1,
        "the curve is kept and can't be followed: {}",
        kept.out
    );
    assert_eq!(plan(&new).curve, plan(&filter()).curve);
}

#[test]
fn without_a_history_nothing_is_written() {
    let folder = TempDir::new().unwrap();
    let (resting, new) = (without_lift(&folder), in_folder(&folder, "new.ron"));
    let ran = run(["carry", &resting, "--to", &low_meadow(), "-o", &new]);
    assert_eq!((ran.code, ran.out.as_str()), (1, ""));
    for part in [
        "chaffinch::carry",
        "no history to keep",
        "--without physics",
    ] {
        assert!(ran.err.contains(part), "{part} is not in\n{}", ran.err);
    }
    let ran = run(["carry", &filter(), "--machine", &resting, "-o", &new]);
    assert_eq!(
        (ran.code, ran.out.as_str()),
        (1, ""),
        "nor without a forecast there"
    );
    assert!(ran.err.contains("carry over to"), "{}", ran.err);
    assert!(!PathBuf::from(new).exists(), "nothing is written");
}

/// Writes a file of targets.
fn targets(folder: &TempDir, wishes: &str) -> String {
    let path = in_folder(folder, "targets.ron");
    fs::write(&path, format!("targets(version: 1, {wishes})")).unwrap();
    path
}

#[test]
fn a_curve_is_shaped_by_targets_from_the_plan_that_they_name() {
    let folder = TempDir::new().unwrap();
    fs::copy(filter(), in_folder(&folder, "start.ron")).unwrap();
    let wished = targets(
        &folder,
        "from: \"start.ron\", drop_time_s: 510, development_length_s: 90, falling_rise: yes",
    );
    let new = in_folder(&folder, "new.ron");
    let ran = run(["shape", &wished, "-o", &new]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{}", ran.out);
    for part in [
        "3 of 3 wishes are met",
        "Time of drop: 8:30, as wished",
        "Length of development: 1:30, as wished",
        "Whole roast   7:35         8:30",
        "not a safety device",
        "Written to",
    ] {
        assert!(ran.out.contains(part), "{part} is not in\n{}", ran.out);
    }
    let shaped = plan(&new);
    let reach_s = |temp_c: f64| shaped.curve.first_reach(temp_c).unwrap();
    let drop_s = reach_s(shaped.finish().temp_c);
    let crack_s = reach_s(shaped.marks.first_crack_c);
    assert!((drop_s - 510.0).abs() < 0.5, "{drop_s}");
    assert!((drop_s - crack_s - 90.0).abs() < 0.5, "{crack_s}");
    assert_eq!(shaped.lot, plan(&filter()).lot, "the sheets stay");
    let json = run(["shape", &wished, "-o", &new, "--force", "--format", "json"]);
    let report: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    assert_eq!(report["all_met"], true, "{report}");
    assert_eq!(report["targets"]["wishes"].as_array().unwrap().len(), 3);
    let other = run([
        "shape",
        &wished,
        "--from",
        &low_meadow(),
        "-o",
        &new,
        "--force",
    ]);
    assert!(
        other.out.starts_with("Low Meadow 12"),
        "{}{}",
        other.out,
        other.err
    );
}

#[test]
fn without_a_plan_the_fresh_one_is_shaped() {
    let folder = TempDir::new().unwrap();
    let (wished, new) = (
        targets(&folder, "drop_time_s: 480"),
        in_folder(&folder, "new.ron"),
    );
    let ran = run(["shape", &wished, "-o", &new]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{}", ran.out);
    assert!(ran.out.starts_with(&Plan::fresh().title), "{}", ran.out);
}

#[test]
fn targets_that_contradict_each_other_give_way_and_the_nearest_curve_is_written() {
    let folder = TempDir::new().unwrap();
    let wished = targets(
        &folder,
        "drop_time_s: 480, drying_length_s: 240, browning_length_s: 240, development_length_s: 120",
    );
    let new = in_folder(&folder, "new.ron");
    let ran = run(["shape", &wished, "--from", &filter(), "-o", &new]);
    assert_eq!((ran.code, ran.err.as_str()), (1, ""), "{}", ran.out);
    assert!(
        ran.out.contains("gives way by") && ran.out.contains("Written to"),
        "{}",
        ran.out
    );
    assert_ne!(plan(&new).curve, plan(&filter()).curve);
}

#[test]
fn targets_that_can_not_be_read_are_told_with_their_place() {
    let folder = TempDir::new().unwrap();
    let new = in_folder(&folder, "new.ron");
    for (wishes, parts) in [
        ("drop_tyme_s: 480", ["drop_tyme_s", "drop_time_s"]),
        ("drop_time_s: 4", ["Time of drop", "10 to 3600"]),
        ("falling_rise: no", ["falling_rise", "leave the line out"]),
        ("", ["no targets are set", "chaffinch::shape"]),
    ] {
        let ran = run(["shape", &targets(&folder, wishes), "-o", &new]);
        assert_eq!((ran.code, ran.out.as_str()), (1, ""), "{wishes}");
        for part in parts {
            let (said, part) = (ran.err.to_lowercase(), part.to_lowercase());
            assert!(said.contains(&part), "{wishes}: {part} is not in\n{said}");
        }
    }
    assert!(!PathBuf::from(new).exists(), "nothing is written");
}

#[test]
fn wrong_use_is_told_and_changes_nothing() {
    let folder = TempDir::new().unwrap();
    let (there, new) = (
        in_folder(&folder, "there.ron"),
        in_folder(&folder, "new.ron"),
    );
    let targets = in_folder(&folder, "targets.ron");
    fs::copy(filter(), &there).unwrap();
    fs::write(&targets, "targets(version: 1, falling_rise: yes)").unwrap();
    let (from, before) = (filter(), fs::read(&there).unwrap());
    for (arguments, word) in [
        (vec!["carry", &from, "-o", &new], "--to"),
        (vec!["carry", &from, "--to", &there], "--output"),
        (
            vec!["carry", &from, "--to", &there, "-o", &there],
            "--force",
        ),
        (
            vec!["carry", &from, "--to", &there, "-o", &there, "--force"],
            "another file",
        ),
        (
            vec!["carry", &there, "--to", &from, "-o", &there, "--force"],
            "another file",
        ),
        (
            vec!["carry", &from, "--to", &there, "-o", "new.json"],
            ".ron",
        ),
        (
            vec!["carry", &from, "--to", &there, "--by", "120", "-o", &new],
            "0 to 100",
        ),
        (
            vec!["carry", &from, "--to", &there, "--keep", "all", "-o", &new],
            "browning",
        ),
        (
            vec![
                "carry",
                &from,
                "--to",
                &there,
                "--without",
                "taste",
                "-o",
                &new,
            ],
            "practice",
        ),
        (vec!["shape", &targets], "--output"),
        (vec!["shape", &targets, "-o", &there], "--force"),
        (
            vec!["shape", &targets, "-o", &targets, "--force"],
            "another file",
        ),
        (
            vec!["shape", &targets, "--from", &there, "-o", &there, "--force"],
            "another file",
        ),
        (vec!["shape", &targets, "-o", "new.json"], ".ron"),
    ] {
        let ran = run(&arguments);
        assert_eq!(ran.code, 2, "{arguments:?}: {}", ran.err);
        assert!(
            ran.err.contains(word) && ran.out.is_empty(),
            "{arguments:?}: {}",
            ran.err
        );
    }
    assert_eq!(fs::read(&there).unwrap(), before);
    assert!(!PathBuf::from(new).exists());
    let ran = run(["carry", &from, "--to", "no-such-lot.ron", "-o", "new.ron"]);
    assert_eq!(ran.code, 1, "a file that isn't there is no wrong use");
    assert!(ran.err.contains("no-such-lot.ron"), "{}", ran.err);
}

/// The words of a shell command, with quoted ones whole.
fn words(command: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (index, part) in command.split('"').enumerate() {
        if index % 2 == 1 {
            words.push(part.to_owned());
        } else {
            words.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    words
}

/// The commands that the stories show give the plans and reports that lie beside them.
#[test]
fn stories_are_what_their_commands_print() {
    let top = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    for story in ["by-altitude-alone", "measured", "up-the-mountain"] {
        let folder = TempDir::new().unwrap();
        let here = top.join("examples/stories").join(story);
        let readme = fs::read_to_string(here.join("README.md")).unwrap();
        let (_, rest) = readme.split_once("```sh\n").unwrap();
        let (shown, _) = rest.split_once("```").unwrap();
        let command = words(&shown.replace("\\\n", " "));
        let (name, arguments) = command.split_first().unwrap();
        assert_eq!(name, "chaffinch");
        let new = in_folder(&folder, "carried.ron");
        let arguments = arguments.iter().map(|word| match word.as_str() {
            "carried.ron" => new.clone(),
            word if word.starts_with("examples/") => top.join(word).to_str().unwrap().to_owned(),
            word => word.to_owned(),
        });
        let ran = run(arguments);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{story}");
        let report = fs::read_to_string(here.join("report.txt")).unwrap();
        assert!(
            ran.out.starts_with(&report),
            "{story}: report.txt is another"
        );
        let (found, stored) = (plan(&new), plan(here.join("carried.ron").to_str().unwrap()));
        assert_eq!(
            (&found.title, &found.lot),
            (&stored.title, &stored.lot),
            "{story}"
        );
        for (found, stored) in found.curve.points().iter().zip(stored.curve.points()) {
            assert!(
                (found.temp_c - stored.temp_c).abs() < 1e-3
                    && (found.time_s - stored.time_s).abs() < 1e-3,
                "{story}: {found:?} {stored:?}"
            );
        }
    }
}

#[test]
fn help_and_manual_tell_of_both() {
    let folder = TempDir::new().unwrap();
    for (verb, words) in [
        (
            "carry",
            [
                "--keep",
                "--without",
                "common practice, no published source",
            ],
        ),
        (
            "shape",
            ["--from", "falling_rise", "nearest curve is written"],
        ),
    ] {
        let help = run([verb, "--help"])
            .out
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ");
        for word in words {
            assert!(help.contains(word), "{verb}: {word} is not in\n{help}");
        }
    }
    assert_eq!(run(["manual", "-o", &in_folder(&folder, "man")]).code, 0);
    for page in ["chaffinch-carry.1", "chaffinch-shape.1"] {
        assert!(folder.path().join("man").join(page).exists(), "{page}");
    }
}
