//! The notebook's files beside plans: lots, machines, rooms, rules of practice, targets. They come back as they went out, the same
//! content gives the same bytes, and a bad file is refused with what was found and where, and left alone.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

mod arbitrary;
mod arbitrary_tables;

use chaffinch_craft::{
    Given, Knowledge, Lot, LotNumber, Machine, MachineNumber, Plan, Room,
    carry::{PracticeRules, Rule, RuleName},
    shape::{TargetName, Targets, Wish},
};
use chaffinch_shelf::{
    FileStamp, MAX_DOCUMENT_BYTES, PRACTICE_FILE, ShelfError, TargetsFile, TextError, TextFormat,
    notebook_of, plan_to_neutral, read_lot, read_machine, read_plan, read_practice, read_room,
    read_targets, save_lot, save_machine, save_plan, save_practice, save_room, save_targets,
};
use proptest::proptest;
use std::{
    fs,
    path::{Path, PathBuf},
};
use tempfile::TempDir;

fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/notebook")
}

fn ron_files(folder: &Path) -> Vec<PathBuf> {
    let found = fs::read_dir(folder).unwrap();
    let mut found: Vec<PathBuf> = found.map(|entry| entry.unwrap().path()).collect();
    found.sort();
    assert!(2 <= found.len(), "{}", folder.display());
    found
}

/// A folder of its own with one file.
fn written(text: &str) -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("document.ron");
    fs::write(&path, text).unwrap();
    (folder, path)
}

/// What `read` says of a bad text, whose file must stay as it is.
fn error_of<T: std::fmt::Debug>(
    read: impl Fn(&Path) -> Result<T, ShelfError>,
    text: &str,
) -> TextError {
    let (_folder, path) = written(text);
    let error = read(&path).unwrap_err();
    assert!(error.to_string().ends_with("document.ron"), "{error}");
    assert_eq!(fs::read_to_string(&path).unwrap(), text, "left alone");
    match error {
        ShelfError::Text { source, .. } => source,
        other => panic!("{other}"),
    }
}

/// The text with `from` replaced, which must be in it.
fn with(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "{from} is not in\n{text}");
    text.replacen(from, to, 1)
}

fn line_of(text: &str, part: &str) -> usize {
    1 + text.lines().position(|line| line.contains(part)).unwrap()
}

fn lot_text() -> String {
    fs::read_to_string(examples().join("lots/ember-ridge-measured.ron")).unwrap()
}

fn machine_text() -> String {
    fs::read_to_string(examples().join("machines/small-120-v.ron")).unwrap()
}

fn practice_text() -> String {
    fs::read_to_string(examples().join(PRACTICE_FILE)).unwrap()
}

const TARGETS: &str = "\
targets(
  version: 1,
  from: \"plans/filter.ron\",
  start_temp_c: 105,
  drop_time_s: (least: 540, most: 560.5),
  drop_rise_c_per_min: (least: 4),
  peak_rise_c_per_min: (most: 25),
  first_crack_rise_c_per_min: -2.5, // falling there, for a joke
  falling_rise: yes,
)
";

fn targets() -> Targets {
    [
        ("start_temp_c", Wish::exactly(105.0)),
        ("drop_time_s", Wish::between(540.0, 560.5)),
        (
            "drop_rise_c_per_min",
            Wish {
                least: Some(4.0),
                most: None,
            },
        ),
        (
            "peak_rise_c_per_min",
            Wish {
                least: None,
                most: Some(25.0),
            },
        ),
        ("first_crack_rise_c_per_min", Wish::exactly(-2.5)),
        ("falling_rise", Wish::HOLDS),
    ]
    .into_iter()
    .fold(Targets::default(), |targets, (key, wish)| {
        targets
            .with(TargetName::of_key(key).unwrap(), wish)
            .unwrap()
    })
}

fn assert_sheets_of(path: &Path, plan: &Plan) {
    assert_eq!(read_lot(path).unwrap(), plan.lot, "{}", path.display());
    assert_eq!(read_machine(path).unwrap(), plan.machine);
    assert_eq!(read_room(path).unwrap(), plan.room);
}

proptest! {
    #![proptest_config(proptest::test_runner::Config::with_cases(64))]

    #[test]
    fn lots_machines_and_rooms_come_back(
        lot in arbitrary::lot(), machine in arbitrary::machine(), room in arbitrary::room(),
    ) {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        save_lot(&at("lot.ron"), &lot).unwrap();
        save_machine(&at("machine.ron"), &machine).unwrap();
        save_room(&at("room.ron"), &room).unwrap();
        assert_eq!(read_lot(&at("lot.ron")).unwrap(), lot);
        assert_eq!(read_machine(&at("machine.ron")).unwrap(), machine);
        assert_eq!(read_room(&at("room.ron")).unwrap(), room);
    }

    #[test]
    fn any_plan_does_for_its_sheets(plan in arbitrary::plan()) {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        save_plan(&plan, &at("plan.ron")).unwrap();
        fs::write(at("plan.json"), plan_to_neutral(&plan)).unwrap();
        for name in ["plan.ron", "plan.json"] {
            assert_sheets_of(&at(name), &plan);
        }
    }

    #[test]
    fn rules_and_targets_come_back(rules in arbitrary_tables::rules(), targets in arbitrary_tables::targets(), name in "[a-z \"\\\\éß']{1,20}") {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        save_practice(&at(PRACTICE_FILE), &rules).unwrap();
        assert_eq!(read_practice(&at(PRACTICE_FILE)).unwrap(), rules);
        let from = Some(folder.path().join("plans").join(name));
        let file = TargetsFile { from, targets };
        save_targets(&at("targets.ron"), &file).unwrap();
        assert_eq!(read_targets(&at("targets.ron")).unwrap(), file);
    }
}

#[test]
fn the_example_notebook_is_what_the_program_would_write() {
    let folder = tempfile::tempdir().unwrap();
    let copy = folder.path().join("copy.ron");
    let same = |path: &Path, stamp: FileStamp| {
        let found = FileStamp::of(&fs::read(path).unwrap());
        assert_eq!(found, stamp, "{}", path.display());
    };
    for path in ron_files(&examples().join("lots")) {
        let lot = read_lot(&path).unwrap();
        assert!(lot.notes.contains("Invented"), "{}", path.display());
        same(&path, save_lot(&copy, &lot).unwrap());
    }
    for path in ron_files(&examples().join("machines")) {
        let machine = read_machine(&path).unwrap();
        assert!(machine.name.contains("invented"), "{}", path.display());
        same(&path, save_machine(&copy, &machine).unwrap());
    }
    for path in ron_files(&examples().join("rooms")) {
        let room = read_room(&path).unwrap();
        assert!(room.name.contains("invented"), "{}", path.display());
        same(&path, save_room(&copy, &room).unwrap());
    }
    let path = examples().join(PRACTICE_FILE);
    let rules = read_practice(&path).unwrap();
    assert_eq!(rules, PracticeRules::default(), "the usual rules");
    same(&path, save_practice(&copy, &rules).unwrap());
}

#[test]
fn a_plan_of_any_kind_does_for_its_sheets() {
    let older = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/saved");
    let plans = ron_files(&examples().join("plans"));
    let saved = ["plan-1.ron", "neutral-1.0.json"].map(|name| older.join(name));
    for path in plans.iter().chain(&saved) {
        assert_sheets_of(path, &read_plan(path).unwrap());
    }
}

#[test]
fn files_of_another_kind_are_called_what_they_are() {
    let error = error_of(read_lot, &machine_text());
    let (found, expected) = (TextFormat::Machine, TextFormat::Lot);
    assert_eq!(error, TextError::OtherDocument { found, expected });
    assert_eq!(
        error.to_string(),
        "this is a machine file; expected a lot file, so choose another file"
    );
    let error = error_of(read_plan, &lot_text());
    let (found, expected) = (TextFormat::Lot, TextFormat::Plan);
    assert_eq!(error, TextError::OtherDocument { found, expected });
    let plan = fs::read_to_string(&ron_files(&examples().join("plans"))[0]).unwrap();
    for error in [
        error_of(read_practice, &plan),
        error_of(read_targets, &plan),
    ] {
        let is_plan = |found| found == TextFormat::Plan;
        assert!(matches!(error, TextError::OtherDocument { found, .. } if is_plan(found)));
    }
    let error = error_of(read_room, "// a list\nbeans, 200 g\n");
    let words = "this isn't a room file: at line 2, column 1 stands “beans, 200 g”; expected “room(”, so choose another file";
    assert_eq!(error.to_string(), words);
    let format = TextFormat::Targets;
    assert_eq!(error_of(read_targets, " \n"), TextError::Nothing { format });
    assert!(matches!(
        error_of(read_lot, "{\"format\": \"another\", \"version\": \"1.0\"}"),
        TextError::OtherFormat { .. }
    ));
}

#[test]
fn newer_and_unknown_versions_are_told_apart_before_anything_else() {
    type Read = fn(&Path) -> Result<(), ShelfError>;
    let readers: [(Read, String); 4] = [
        (|path| read_lot(path).map(drop), lot_text()),
        (|path| read_machine(path).map(drop), machine_text()),
        (|path| read_practice(path).map(drop), practice_text()),
        (|path| read_targets(path).map(drop), TARGETS.to_owned()),
    ];
    for (read, text) in readers {
        let newer = with(&text, "version: 1,", "version: 2, smell: \"of plums\",");
        let error = error_of(read, &newer);
        assert!(matches!(error, TextError::NewerVersion { .. }), "{error}");
        let unknown = with(&text, "version: 1,", "version: 0,");
        let error = error_of(read, &unknown);
        assert!(matches!(error, TextError::UnknownVersion { .. }), "{error}");
        let none = with(&text, "version: 1,", "");
        let error = error_of(read, &none);
        assert!(error.to_string().contains("version"), "{error}");
        // Its name may be left out, as in every document of this form, and a mark of the byte order may lead.
        let end = text.find("(\n").unwrap();
        let start = text[..end].rfind('\n').map_or(0, |before| before + 1);
        let nameless = format!("\u{feff}{}{}", &text[..start], &text[end..]);
        let (_folder, path) = written(&nameless);
        assert!(read(&path).is_ok(), "{nameless}");
    }
}

#[test]
fn unknown_fields_and_broken_values_name_the_line_and_what_was_expected() {
    for (from, to, words) in [
        ("harvest:", "smell: \"of plums\",\n  harvest:", "smell"),
        (
            "density_g_per_l: (731.0, measured)",
            "densty_g_per_l: (731.0, measured)",
            "the coffee has no number “densty_g_per_l”; expected (nearest first) density_g_per_l,",
        ),
        (
            "density_g_per_l: (731.0, measured)",
            "density_g_per_l: (7310.0, measured)",
            "expected 400 to 1000 g/L",
        ),
        (
            "density_g_per_l: (731.0, measured)",
            "density_g_per_l: (NaN, measured)",
            "NaN",
        ),
        ("process: \"washed\"", "process: \"two\\nlines\"", "process"),
    ] {
        let text = with(&lot_text(), from, to);
        let error = error_of(read_lot, &text);
        let part = to.lines().next().unwrap();
        assert_eq!(error.place().unwrap().line, line_of(&text, part), "{error}");
        assert!(error.to_string().contains(words), "{to}: {error}");
    }
    let text = with(&machine_text(), "ceiling_c: 250.0", "ceiling_c: 300.0");
    let error = error_of(read_machine, &text);
    assert_eq!(
        error.place().unwrap().line,
        line_of(&text, "ceiling_c: 300.0")
    );
    // Each dose is in its range, but not the two together.
    let text = with(
        &machine_text(),
        "least_dose_g: (50.0",
        "least_dose_g: (150.0",
    );
    let error = error_of(read_machine, &text).to_string();
    assert!(error.contains("150") && error.contains("110"), "{error}");
}

#[test]
fn sheets_that_could_not_be_read_again_are_not_written() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("sheet.ron");
    let given = |value| {
        Some(Given {
            value,
            knowledge: Knowledge::Measured,
        })
    };
    let mut lot = Lot::default();
    lot.numbers.set(LotNumber::Density, given(f64::NAN));
    assert!(matches!(
        save_lot(&path, &lot),
        Err(ShelfError::Text { .. })
    ));
    let mut machine = Machine::default();
    machine.numbers.set(MachineNumber::LeastDose, given(400.0));
    assert!(matches!(
        save_machine(&path, &machine),
        Err(ShelfError::Text { .. })
    ));
    let room = Room {
        name: "two\nlines".to_owned(),
        ..Room::default()
    };
    assert!(matches!(
        save_room(&path, &room),
        Err(ShelfError::Text { .. })
    ));
    assert!(!path.exists());
}

#[test]
fn rules_that_are_missing_are_the_usual_ones_and_broken_ones_name_the_line() {
    let (_folder, path) = written("practice(version: 1, drop_c: (per_100_m: -0.25, most: 2))");
    let drop = Rule {
        per_100_m: -0.25,
        most: 2.0,
    };
    let expected = PracticeRules::default().with(RuleName::Drop, drop).unwrap();
    assert_eq!(read_practice(&path).unwrap(), expected);
    for (from, to, words) in [
        (
            "(per_100_m: 0.5, most: 5.0)",
            "(per_100_m: 7.5, most: 5.0)",
            "changes by 7.5 % for each 100 m; expected at most 5 %",
        ),
        (
            "(per_100_m: 0.4, most: 4.0)",
            "(per_100_m: 0.4, most: NaN)",
            "NaN",
        ),
        ("(per_100_m: 0.4, most: 4.0)", "(per_100_m: 0.4)", "most"),
        (
            "reference_altitude_m: 1400.0",
            "reference_altitude_m: 14000.0",
            "expected 0 to 3500 m",
        ),
        ("drying_rise_percent", "drying_rise", "drying_rise_percent"),
    ] {
        let text = with(&practice_text(), from, to);
        let error = error_of(read_practice, &text);
        assert_eq!(error.place().unwrap().line, line_of(&text, to), "{error}");
        assert!(error.to_string().contains(words), "{to}: {error}");
    }
}

#[test]
fn saved_rules_explain_themselves() {
    let text = practice_text();
    for name in RuleName::ALL {
        assert!(text.contains(name.facts().explanation), "{name:?}");
    }
    assert!(text.contains("values are common practice, no published source"));
}

#[test]
fn targets_read_as_they_are_written_by_hand() {
    let (folder, path) = written(TARGETS);
    let found = read_targets(&path).unwrap();
    assert_eq!(found.targets, targets());
    assert_eq!(found.from, Some(folder.path().join("plans/filter.ron")));
    let copy = folder.path().join("copy.ron");
    save_targets(&copy, &found).unwrap();
    let text = fs::read_to_string(&copy).unwrap();
    for part in [
        "  from: \"plans/filter.ron\",\n  start_temp_c: 105.0,\n",
        "  drop_time_s: (least: 540.0, most: 560.5),\n",
        "  drop_rise_c_per_min: (least: 4.0),\n",
        "  falling_rise: yes,\n",
    ] {
        assert!(text.contains(part), "{part} is not in\n{text}");
    }
    assert_eq!(read_targets(&copy).unwrap(), found);
    let (_folder, path) = written("(version: 1)");
    assert_eq!(read_targets(&path).unwrap(), TargetsFile::default());
}

#[test]
fn plans_elsewhere_are_named_by_their_whole_path() {
    let folder = tempfile::tempdir().unwrap();
    let elsewhere = folder.path().join("elsewhere/plan.ron");
    let path = folder.path().join("here/targets.ron");
    fs::create_dir(path.parent().unwrap()).unwrap();
    let file = TargetsFile {
        from: Some(elsewhere.clone()),
        targets: Targets::default(),
    };
    save_targets(&path, &file).unwrap();
    assert_eq!(read_targets(&path).unwrap().from, Some(elsewhere));
}

#[test]
fn broken_targets_name_the_line_and_what_was_expected() {
    for (from, to, words) in [
        (
            "drop_time_s: (least: 540, most: 560.5)",
            "drop_tim_s: 540",
            "there is no target “drop_tim_s”; expected (nearest first) drop_time_s,",
        ),
        ("start_temp_c: 105", "drop_time_s: 500", "drop_time_s"),
        (
            "falling_rise: yes",
            "falling_rise: no",
            "“falling_rise: yes” is all that it takes; leave the line out",
        ),
        (
            "falling_rise: yes",
            "falling_rise: 1",
            "is all that it takes",
        ),
        (
            "start_temp_c: 105",
            "start_temp_c: yes",
            "a number for “start_temp_c”",
        ),
        (
            "start_temp_c: 105",
            "start_temp_c: 500",
            "expected 20 to 200",
        ),
        ("start_temp_c: 105", "start_temp_c: NaN", "NaN"),
        ("start_temp_c: 105", "start_temp_c: (from: 100)", "from"),
        (
            "start_temp_c: 105",
            "start_temp_c: (least: 120, most: 110)",
            "expected the smaller first",
        ),
        ("start_temp_c: 105", "start_temp_c: (105, 110)", "least"),
        ("from: \"plans/filter.ron\"", "from: \"\"", "names no plan"),
        (
            "falling_rise: yes",
            "falling_rise: yes,\n  start_temp_c: 99",
            "“start_temp_c” is given twice",
        ),
    ] {
        let text = with(TARGETS, from, to);
        let error = error_of(read_targets, &text);
        assert!(error.to_string().contains(words), "{to}: {error}");
        // What comes twice is found at its second place.
        let line = match to {
            "drop_time_s: 500" => line_of(&text, "drop_time_s: (least"),
            twice if twice.contains('\n') => line_of(&text, "start_temp_c: 99"),
            _ => line_of(&text, to),
        };
        assert_eq!(error.place().unwrap().line, line, "{to}: {error}");
    }
    let error = error_of(
        read_targets,
        &with(TARGETS, "start_temp_c: 105", "start_temp_c: ()"),
    );
    assert!(error.to_string().len() > 40, "{error}");
}

#[test]
fn documents_cut_anywhere_or_nested_deep_are_refused_without_panic() {
    type Read = fn(&Path) -> bool;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("cut.ron");
    let readers: [(Read, String); 4] = [
        (|path| read_lot(path).is_ok(), lot_text()),
        (|path| read_machine(path).is_ok(), machine_text()),
        (|path| read_practice(path).is_ok(), practice_text()),
        (|path| read_targets(path).is_ok(), TARGETS.to_owned()),
    ];
    for (reads, text) in readers {
        let complete = text.trim_end().len();
        for end in (0..complete).filter(|&end| text.is_char_boundary(end)) {
            fs::write(&path, &text[..end]).unwrap();
            assert!(!reads(&path), "cut at byte {end} of {complete}");
        }
        for (open, close) in [("(", ")"), ("[", "]"), ("(a:", ")")] {
            let deep = open.repeat(100_000) + "0" + &close.repeat(100_000);
            for text in [
                deep.clone(),
                with(&text, "version: 1", &format!("version: {deep}")),
            ] {
                fs::write(&path, text).unwrap();
                assert!(!reads(&path), "{open}");
            }
        }
    }
}

#[test]
fn hostile_names_stay_short_in_messages_and_too_large_files_are_not_read() {
    let name = "x".repeat(100_000);
    let text = with(TARGETS, "start_temp_c", &name);
    let words = error_of(read_targets, &text).to_string();
    assert!(words.len() < 1000, "{} bytes", words.len());
    let (_folder, path) = written(&lot_text());
    let file = fs::OpenOptions::new().write(true).open(&path).unwrap();
    file.set_len(MAX_DOCUMENT_BYTES + 1).unwrap();
    assert!(matches!(read_lot(&path), Err(ShelfError::TooLarge { .. })));
}

#[test]
fn a_notebook_is_the_folder_above_its_plans() {
    let folder = tempfile::tempdir().unwrap();
    let plans = folder.path().join("plans");
    fs::create_dir_all(plans.join("old")).unwrap();
    assert_eq!(notebook_of(&plans.join("filter.ron")), folder.path());
    // Nothing needs to be there.
    assert_eq!(
        notebook_of(Path::new("nowhere/plans/filter.ron")),
        Path::new("nowhere")
    );
    assert_eq!(
        notebook_of(&folder.path().join("filter.ron")),
        folder.path()
    );
    assert_eq!(
        notebook_of(&plans.join("old/filter.ron")),
        plans.join("old")
    );
    assert_eq!(notebook_of(Path::new("filter.ron")), Path::new("."));
    let around = notebook_of(&plans.join("old/../filter.ron"));
    assert_eq!(
        fs::canonicalize(around).unwrap(),
        fs::canonicalize(folder.path()).unwrap()
    );
}

#[test]
fn a_plan_saved_over_a_lot_is_a_plan() {
    // Whoever names the file says what becomes of it; nothing of the old one is taken for an older plan.
    let (folder, path) = written(&lot_text());
    let plan = Plan::fresh();
    save_plan(&plan, &path).unwrap();
    assert_eq!(read_plan(&path).unwrap(), plan);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}
