//! Rules of the house that no compiler checks: crate edges, the map in DEVELOPERS.md, size and head of files, words, and
//! numbers without a source.
//!
//! The rules are this project's own (DEVELOPERS.md, conventions); there is no outside reference for them.
#![allow(
    clippy::unwrap_used,
    missing_docs,
    reason = "a test may stop at the first surprise; the names say what is checked"
)]

use std::{
    collections::{BTreeMap, BTreeSet},
    env, fs,
    io::{self, Write},
    path::{Path, PathBuf},
    process::Command,
};

/// Our crates, each of which may use only those before it.
const ORDER: [&str; 6] = [
    "chaffinch-curve",
    "chaffinch-twin",
    "chaffinch-craft",
    "chaffinch-shelf",
    "chaffinch",
    "chaffinch-tests",
];
/// How many of them, from the first, are pure.
const PURE: usize = 3;
/// What the pure crates must never build on.
const IMPURE: [&str; 8] = [
    "eframe",
    "egui",
    "egui_extras",
    "egui_plot",
    "env_logger",
    "log",
    "rfd",
    "serde",
];
/// Most lines of code in one file, tests and comments not counted.
const MAX_CODE_LINES: usize = 600;
/// Names that say nothing about what a file holds.
const EMPTY_NAMES: [&str; 4] = ["common", "helpers", "misc", "utils"];
/// Short names that everybody may use: of open standards, file formats and units.
const KNOWN_SHORT_NAMES: [&str; 7] = ["CSV", "ISO", "OK", "RFC", "RON", "TSV", "UTF"];

fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("..")
        .canonicalize()
        .unwrap()
}

fn read(path: &str) -> String {
    fs::read_to_string(top().join(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// Files under `folder` with this ending, as paths from the top folder, sorted.
fn files(folder: &str, ending: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut open = vec![top().join(folder)];
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else if path.to_str().unwrap().ends_with(ending) {
                found.push(
                    path.strip_prefix(top())
                        .unwrap()
                        .to_str()
                        .unwrap()
                        .to_owned(),
                );
            }
        }
    }
    found.sort();
    found
}

/// All Rust files with their text.
fn rust_files() -> Vec<(String, String)> {
    let all = [files("crates", ".rs"), files("tests", ".rs")].concat();
    assert!(all.len() > 50, "the walk finds the sources");
    all.into_iter()
        .map(|path| (path.clone(), read(&path)))
        .collect()
}

/// Files that end up in the program, without their test modules.
fn program_files() -> Vec<(String, String)> {
    let is_program = |path: &str| {
        path.contains("/src/") && !path.starts_with("tests/") && !path.ends_with("tests.rs")
    };
    rust_files()
        .into_iter()
        .filter(|(path, _)| is_program(path))
        .map(|(path, text)| (path, before_tests(&text).to_owned()))
        .collect()
}

fn before_tests(text: &str) -> &str {
    text.split_once("\n#[cfg(test)]\nmod tests {")
        .map_or(text, |(before, _)| before)
}

fn is_comment(line: &str) -> bool {
    line.trim_start().starts_with("//")
}

/// The words of a line in lower case, one blank between two.
fn spoken(line: &str) -> String {
    let words = line
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join(" ").to_lowercase()
}

/// Name → (folder, names of what it builds on; development dependencies too if `with_dev`).
fn workspace(with_dev: bool) -> BTreeMap<String, (String, BTreeSet<String>)> {
    let said = Command::new(env!("CARGO"))
        .args([
            "metadata",
            "--no-deps",
            "--offline",
            "--format-version",
            "1",
        ])
        .current_dir(top())
        .output()
        .unwrap();
    let metadata: serde_json::Value = serde_json::from_slice(&said.stdout).unwrap();
    let package = |package: &serde_json::Value| {
        let folder = Path::new(package["manifest_path"].as_str().unwrap())
            .parent()
            .unwrap();
        let folder = folder
            .strip_prefix(top())
            .unwrap()
            .to_str()
            .unwrap()
            .to_owned();
        let uses = package["dependencies"].as_array().unwrap().iter();
        let uses = uses
            .filter(|used| with_dev || used["kind"] != "dev")
            .map(|used| used["name"].as_str().unwrap().to_owned())
            .collect();
        (package["name"].as_str().unwrap().to_owned(), (folder, uses))
    };
    metadata["packages"]
        .as_array()
        .unwrap()
        .iter()
        .map(package)
        .collect()
}

/// Fails with all `faults`, one a line.
fn assert_none(faults: &[String], rule: &str) {
    assert!(faults.is_empty(), "{rule}:\n{}", faults.join("\n"));
}

#[test]
fn crates_build_only_on_those_below_them() {
    let rank = |name: &str| ORDER.iter().position(|known| *known == name);
    for (name, (_, uses)) in workspace(true) {
        let Some(own) = rank(&name) else {
            panic!("{name}: a crate that the order doesn't know");
        };
        for used in uses.iter().filter(|used| used.starts_with("chaffinch")) {
            assert!(
                rank(used).is_some_and(|lower| lower < own),
                "{name} must not build on {used}"
            );
        }
    }
}

#[test]
fn no_crate_is_a_stub() {
    for (name, (folder, _)) in workspace(false) {
        let own = rust_files()
            .into_iter()
            .filter(|(path, _)| path.starts_with(&format!("{folder}/")));
        let lines = own.flat_map(|(_, text)| text.lines().map(str::to_owned).collect::<Vec<_>>());
        let code = lines
            .filter(|line| !line.trim().is_empty() && !is_comment(line))
            .count();
        assert!(code > 0, "{name} holds no code: it comes with its own work");
    }
}

#[test]
fn pure_crates_build_on_no_window_no_log_and_no_file_format() {
    for (name, (_, uses)) in workspace(false) {
        if ORDER[..PURE].contains(&name.as_str()) {
            let impure: Vec<String> = uses
                .into_iter()
                .filter(|used| IMPURE.contains(&used.as_str()))
                .collect();
            assert_none(&impure, &format!("{name} must not build on"));
        }
    }
}

#[test]
fn map_in_developers_md_matches_the_workspace() {
    let text = read("DEVELOPERS.md");
    let cells = |row: &str| {
        let mut cells = row
            .split('|')
            .skip(1)
            .map(|cell| cell.trim().trim_matches('`').to_owned());
        Some((cells.next()?, cells.next()?))
    };
    let listed: BTreeMap<String, String> = text
        .lines()
        .skip_while(|line| !line.starts_with("| crate | folder |"))
        .skip(2)
        .take_while(|line| line.starts_with('|'))
        .filter_map(cells)
        .collect();
    let present = workspace(false)
        .into_iter()
        .map(|(name, (folder, _))| (name, folder))
        .collect();
    assert_eq!(
        listed, present,
        "the table `| crate | folder | …` of DEVELOPERS.md lists every crate"
    );
}

#[test]
fn every_file_says_first_what_it_is_for() {
    let silent = |(path, text): (String, String)| (!text.starts_with("//! ")).then_some(path);
    let faults: Vec<String> = rust_files().into_iter().filter_map(silent).collect();
    assert_none(&faults, "these files don't open with `//! `");
}

#[test]
fn files_stay_small_and_are_named_after_what_they_hold() {
    let mut faults = Vec::new();
    for (path, text) in rust_files() {
        let stem = Path::new(&path).file_stem().unwrap().to_str().unwrap();
        if EMPTY_NAMES.contains(&stem) {
            faults.push(format!("{path}: the name says nothing"));
        }
        let is_test = path.contains("/tests/") || stem == "tests";
        let is_code = |line: &&str| !line.trim().is_empty() && !is_comment(line);
        let lines = before_tests(&text).lines().filter(is_code).count();
        if !is_test && lines > MAX_CODE_LINES {
            faults.push(format!(
                "{path}: {lines} lines of code, at most {MAX_CODE_LINES}"
            ));
        }
    }
    assert_none(&faults, "split or rename");
}

#[test]
fn no_test_is_switched_off_or_expects_a_panic() {
    let refused = ["#[ignore", "#[should_panic"];
    let mut faults = Vec::new();
    for (path, text) in rust_files() {
        for (number, line) in text.lines().enumerate() {
            if refused
                .iter()
                .any(|word| line.trim_start().starts_with(word))
            {
                faults.push(format!("{path}:{}", number + 1));
            }
        }
    }
    assert_none(&faults, "pin today's wrong result instead");
}

/// Also prints them; `.ci/run` shows the list.
#[test]
fn numbers_without_a_source_are_marked_in_the_same_words() {
    let (mut list, mut faults) = (Vec::new(), Vec::new());
    for (path, text) in program_files() {
        let lines: Vec<&str> = text.lines().collect();
        for (index, line) in lines
            .iter()
            .enumerate()
            .filter(|(_, line)| is_comment(line))
        {
            let place = |about: &str| format!("{path}:{}: {}", index + 1, about.trim());
            let is_practice = spoken(line).contains("common practice");
            let is_head = line.starts_with("//!");
            if is_practice || spoken(line).split(' ').any(|word| word == "assumed") {
                let named = lines[index..]
                    .iter()
                    .find(|line| !is_comment(line) && !line.trim().starts_with("#["));
                list.push(place(if is_head { line } else { named.unwrap_or(line) }));
            }
            // The head of a file may explain the mark; that of a number may be broken over two lines.
            let with_next = spoken(&lines[index..lines.len().min(index + 2)].join(" "));
            if is_practice && !is_head && !with_next.contains("common practice no published source")
            {
                faults.push(place(line));
            }
        }
    }
    println!(
        "Numbers without a published source ({}):\n{}",
        list.len(),
        list.join("\n")
    );
    assert!(!list.is_empty(), "the walk finds the marks");
    assert_none(&faults, "write `common practice, no published source`");
}

#[test]
fn colours_are_written_in_the_theme_only() {
    // Not colours: "as the text is" and "nothing".
    let without_hue = ["PLACEHOLDER", "TRANSPARENT"];
    let mut faults = Vec::new();
    for (path, text) in program_files()
        .into_iter()
        .filter(|(path, _)| !path.ends_with("/theme.rs"))
    {
        for (number, line) in text
            .lines()
            .enumerate()
            .filter(|(_, line)| !is_comment(line))
        {
            let names = line.split("Color32::").skip(1);
            let is_literal = |name: &str| {
                name.starts_with("from_")
                    || name.starts_with(char::is_uppercase)
                        && !without_hue.iter().any(|plain| name.starts_with(plain))
            };
            if names.clone().any(is_literal)
                || line.contains("hex_color!")
                || line.contains("Rgba::from")
            {
                faults.push(format!("{path}:{}: {}", number + 1, line.trim()));
            }
        }
    }
    assert_none(&faults, "colours belong into theme.rs");
}

#[test]
fn words_are_written_out() {
    let is_code = |word: &str| {
        let capitals = word.chars().filter(char::is_ascii_uppercase).count();
        (2..=3).contains(&word.len())
            && capitals >= 2
            && word.chars().all(|c| c.is_ascii_alphabetic())
    };
    let mut faults = Vec::new();
    for (path, text) in program_files() {
        for (number, line) in text
            .lines()
            .enumerate()
            .filter(|(_, line)| !is_comment(line))
        {
            let literals = line.split('"').skip(1).step_by(2);
            for word in literals
                .flat_map(|literal| literal.split(|c: char| !c.is_alphanumeric() && c != '_'))
            {
                if is_code(word) && !KNOWN_SHORT_NAMES.contains(&word) {
                    faults.push(format!("{path}:{}: {word}", number + 1));
                }
            }
        }
    }
    assert_none(
        &faults,
        "no codes of two or three letters in what people read",
    );
}

#[test]
fn reference_data_says_where_it_comes_from() {
    let folders = fs::read_dir(top().join("tests/reference")).unwrap();
    let folders: Vec<PathBuf> = folders.map(|entry| entry.unwrap().path()).collect();
    assert!(!folders.is_empty(), "the walk finds the reference folders");
    for folder in folders {
        let readme = fs::read_to_string(folder.join("README.md"))
            .unwrap_or_default()
            .to_lowercase();
        let says = ["source", "computed"]
            .iter()
            .any(|word| readme.contains(word));
        assert!(
            says,
            "{}: a README.md that names the source, or says how it was computed",
            folder.display()
        );
    }
}

/// What needs a display, a graphics driver or Python is no Rust test; without the gate this says so, past the capture.
#[test]
fn gate_runs_every_script_and_says_what_is_skipped_without_it() {
    let gate = read(".ci/run");
    let scripts: Vec<String> = ["second_validator", "licences", "window", "peers"]
        .iter()
        .flat_map(|folder| {
            [
                files(&format!("tests/{folder}"), ".sh"),
                files(&format!("tests/{folder}"), ".py"),
            ]
            .concat()
        })
        .collect();
    let is_part = |script: &String| {
        let name = Path::new(script).file_name().unwrap().to_str().unwrap();
        scripts
            .iter()
            .any(|other| other != script && read(other).contains(name))
    };
    let mut skipped = Vec::new();
    for script in scripts.iter().filter(|script| !is_part(script)) {
        assert!(
            gate.contains(script.as_str()),
            ".ci/run doesn't run {script}"
        );
        skipped.push(script.as_str());
    }
    if env::var("CHAFFINCH_GATE").is_ok_and(|gate| gate == "full") {
        return;
    }
    let notice = format!("skipped here, run by .ci/run: {}", skipped.join(", "));
    writeln!(io::stdout(), "{notice}").unwrap();
}
