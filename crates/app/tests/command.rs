//! The binary end to end, without a window: every verb, what it writes, how it exits.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

mod binary;

use binary::{chaffinch, example, filter, in_folder, run};
use std::{
    fs,
    path::{Path, PathBuf},
};
use tempfile::TempDir;

/// The example with one point at the time of the one before it.
fn broken(folder: &TempDir) -> String {
    let path = in_folder(folder, "broken.ron");
    let text = fs::read_to_string(filter()).unwrap();
    let broken = text.replace("time_s: 95.0, temp", "time_s: 45.0, temp");
    assert_ne!(text, broken);
    fs::write(&path, broken).unwrap();
    path
}

#[test]
fn summary_prints_the_figures() {
    let ran = run(["summary", &filter()]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    insta::assert_snapshot!(ran.out);
}

#[test]
fn summary_in_fahrenheit_and_with_findings() {
    let ran = run([
        "summary",
        &example("ember-ridge-first-attempt.ron"),
        "--unit",
        "fahrenheit",
    ]);
    assert_eq!(
        (ran.code, ran.err.as_str()),
        (0, ""),
        "summary tells, check judges"
    );
    insta::assert_snapshot!(ran.out);
}

#[test]
fn summary_as_json_agrees_with_the_export() {
    let folder = TempDir::new().unwrap();
    let json = in_folder(&folder, "curve.json");
    let summary = run(["summary", &filter(), "--format", "json"]);
    assert_eq!(run(["export", &filter(), "-o", &json]).code, 0);
    let summary: serde_json::Value = serde_json::from_str(&summary.out).unwrap();
    let export: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(json).unwrap()).unwrap();
    for part in ["title", "units", "marks", "finishes", "phases", "drop"] {
        assert_eq!(summary[part], export[part], "{part}");
    }
    let severities = summary["findings"].as_array().unwrap().iter();
    for finding in severities {
        assert_eq!(finding["severity"], "note", "{finding}");
    }
    assert!(summary["forecast"]["figures"].as_array().unwrap().len() > 5);
}

/// The example with other points: each line of them goes through `change`.
fn with_points(folder: &TempDir, change: impl Fn(f64, f64) -> String) -> String {
    let path = in_folder(folder, "other.ron");
    let text = fs::read_to_string(filter()).unwrap();
    let (head, rest) = text.split_once("points: [\n").unwrap();
    let (points, tail) = rest.split_once(']').unwrap();
    let number = |line: &str, name| {
        let (_, rest) = line.split_once(name).unwrap();
        let number = rest.split([',', ')']).next().unwrap();
        number.parse::<f64>().unwrap()
    };
    let lines = points.lines().filter(|line| line.contains("time_s"));
    let changed: String = lines
        .map(|line| change(number(line, "time_s: "), number(line, "temp_c: ")))
        .collect();
    fs::write(&path, format!("{head}points: [\n{changed}]{tail}")).unwrap();
    path
}

fn compared(other: &str, align: &str) -> serde_json::Value {
    let ran = run([
        "compare",
        &filter(),
        other,
        "--align",
        align,
        "--format",
        "json",
    ]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    serde_json::from_str(&ran.out).unwrap()
}

/// By definition: a curve that is 3 °C hotter everywhere differs by 3 °C in each figure, and is always outside ±2 °C.
#[test]
fn compare_of_a_plan_that_is_hotter_throughout() {
    let folder = TempDir::new().unwrap();
    let hotter = with_points(&folder, |time_s, temp_c| {
        format!("(time_s: {time_s:?}, temp_c: {:?}),\n", temp_c + 3.0)
    });
    let report = compared(&hotter, "charge");
    assert_eq!(report["shift"], 0.0);
    let difference = |name: &str| report["difference"][name].as_f64().unwrap();
    for name in ["mean", "root_mean_square", "largest"] {
        assert!((difference(name) - 3.0).abs() < 1e-6, "{report}");
    }
    assert!(difference("duration_outside_band") > 300.0, "{report}");
}

/// A curve that waits a minute and then is the same reaches everything 60 s later.
#[test]
fn compare_finds_the_shift_of_a_plan_that_comes_later() {
    let folder = TempDir::new().unwrap();
    let later = with_points(&folder, |time_s, temp_c| {
        let wait = if time_s == 0.0 {
            format!("(time_s: 0.0, temp_c: {temp_c:?}),\n")
        } else {
            String::new()
        };
        format!("{wait}(time_s: {:?}, temp_c: {temp_c:?}),\n", time_s + 60.0)
    });
    let rms = |align| {
        let report = compared(&later, align);
        report["difference"]["root_mean_square"].as_f64().unwrap()
    };
    for align in ["colour-change", "first-crack", "drop"] {
        assert!(rms("best-fit") <= rms(align), "best means least: {align}");
        let shift = compared(&later, align)["shift"].as_f64().unwrap();
        assert!((shift + 60.0).abs() < 0.5, "{align}: {shift}");
    }
    let report = compared(&later, "charge");
    assert!(
        report["difference"]["mean"].as_f64().unwrap() < -5.0,
        "a minute behind is colder: {report}"
    );
}

#[test]
fn compare_prints_what_the_window_shows() {
    let espresso = example("ember-ridge-espresso.ron");
    let ran = run(["compare", &filter(), &espresso, "--unit", "fahrenheit"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    insta::assert_snapshot!(ran.out);
    assert_eq!(run(["compare", &filter()]).code, 2, "two plans are needed");
}

#[test]
fn export_and_import_give_back_the_plan_file() {
    let folder = TempDir::new().unwrap();
    let (json, ron) = (
        in_folder(&folder, "curve.json"),
        in_folder(&folder, "back.ron"),
    );
    let export = run(["export", &filter(), "-o", &json]);
    assert_eq!(export.code, 0);
    assert!(
        export.out.starts_with(&run(["summary", &filter()]).out),
        "the summary comes first"
    );
    assert_eq!(run(["import", &json, "-o", &ron]).code, 0);
    assert_eq!(fs::read(&ron).unwrap(), fs::read(filter()).unwrap());
}

#[test]
fn export_to_csv_and_over_an_older_export() {
    let folder = TempDir::new().unwrap();
    let csv = in_folder(&folder, "samples.csv");
    fs::write(&csv, "old").unwrap();
    assert_eq!(run(["export", &filter(), "-o", &csv]).code, 0);
    let text = fs::read_to_string(&csv).unwrap();
    assert!(
        text.starts_with("Time (s),Temperature (°C),Rate of rise (°C/min),Airflow (%)\r\n0,108,")
    );
    // The curve ends at 490 s: a header and 491 samples.
    assert_eq!(text.lines().count(), 492);
}

#[test]
fn wrong_outputs_are_wrong_use_and_change_nothing() {
    let folder = TempDir::new().unwrap();
    let plan = in_folder(&folder, "plan.ron");
    let json = in_folder(&folder, "plan.json");
    assert_eq!(run(["new", "-o", &plan]).code, 0);
    assert_eq!(run(["export", &plan, "-o", &json]).code, 0);
    let before = (fs::read(&plan).unwrap(), fs::read(&json).unwrap());
    for (arguments, word) in [
        (vec!["new", "-o", &plan], "--force"),
        (vec!["import", &json, "-o", &plan], "--force"),
        (vec!["import", &json, "-o", &json], ".ron"),
        (vec!["new", "-o", "plan"], ".ron"),
        (vec!["export", &plan, "-o", &plan], "another file"),
        (vec!["export", &json, "-o", &json], "another file"),
        (vec!["export", &plan, "-o", "curve.txt"], ".csv"),
        (vec!["export", &plan], "--output"),
        (vec!["check"], "FILE"),
        (vec!["summary", &plan, "--unit", "kelvin"], "celsius"),
        (vec!["forecast", &plan, "-o", &plan], ".txt"),
        (vec!["forecast", &json, "-o", &json], "another file"),
        (
            vec!["forecast", &plan, "--format", "csv", "-o", "course.json"],
            ".csv",
        ),
        (vec!["forecast", &plan, "--format", "xml"], "json"),
    ] {
        let ran = run(&arguments);
        assert_eq!(ran.code, 2, "{arguments:?}: {}", ran.err);
        assert!(
            ran.err.contains(word) && ran.out.is_empty(),
            "{arguments:?}: {}",
            ran.err
        );
    }
    assert_eq!((fs::read(&plan).unwrap(), fs::read(&json).unwrap()), before);
    assert_eq!(run(["new", "-o", &plan, "--force"]).code, 0);
}

#[test]
fn broken_file_is_told_with_its_line() {
    let folder = TempDir::new().unwrap();
    let ran = run(["summary", &broken(&folder)]);
    assert_eq!((ran.code, ran.out.as_str()), (1, ""));
    let line = fs::read_to_string(broken(&folder)).unwrap();
    let number = 1 + line
        .lines()
        .position(|line| line.contains("temp_c: 146.0"))
        .unwrap();
    for part in [
        "chaffinch::content",
        "point 3",
        "45 s",
        &format!("line {number}, "),
        "temp_c: 146.0",
        "help:",
    ] {
        assert!(ran.err.contains(part), "{part} is not in\n{}", ran.err);
    }
}

#[test]
fn missing_file_is_told_by_name() {
    let ran = run(["summary", "no-such-plan.ron"]);
    assert_eq!(ran.code, 1);
    assert!(
        ran.err.contains("chaffinch::read") && ran.err.contains("no-such-plan.ron"),
        "{}",
        ran.err
    );
}

#[test]
fn control_characters_of_a_file_never_reach_the_terminal() {
    let folder = TempDir::new().unwrap();
    let path = in_folder(&folder, "odd.json");
    for text in [
        "{\"format\": \"\\u001b[31m\", \"version\": \"1.0\"}",
        "{\x1b[31m",
        "\x1b[31m",
    ] {
        fs::write(&path, text).unwrap();
        let ran = run(["check", &path]);
        assert_eq!(ran.code, 1);
        assert!(!ran.err.contains('\x1b'), "{}", ran.err.escape_debug());
    }
}

#[test]
fn check_judges_every_file() {
    let folder = TempDir::new().unwrap();
    let (broken, faulty) = (broken(&folder), example("ember-ridge-first-attempt.ron"));
    assert_eq!(run(["check", &filter()]).code, 0);
    let ran = run(["check", &faulty]);
    assert_eq!((ran.code, ran.err.as_str()), (1, ""), "a caution counts");
    for found in [
        "caution: Rise turns up again",
        "caution: Steeper than the machine",
    ] {
        assert!(ran.out.contains(found), "drawn and forecast: {}", ran.out);
    }
    let ran = run(["check", &broken, &filter()]);
    assert_eq!(ran.code, 1);
    assert!(
        ran.err.contains("broken.ron") && ran.out.contains("ember-ridge-filter.ron"),
        "goes on"
    );
    let ran = run(["check", "--format", "json", &broken, &faulty]);
    assert_eq!((ran.code, ran.err.as_str()), (1, ""));
    let report: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(report[0]["readable"], false);
    assert_eq!(report[1]["findings"][0]["severity"], "caution");
}

#[test]
fn note_alone_is_no_reason_to_fail() {
    let folder = TempDir::new().unwrap();
    let path = in_folder(&folder, "plan.ron");
    let text = fs::read_to_string(filter()).unwrap();
    let wish = "wished_development_ratio: (0.12, 0.2)";
    assert!(text.contains(wish));
    fs::write(
        &path,
        text.replace(wish, "wished_development_ratio: (0.9, 0.95)"),
    )
    .unwrap();
    let ran = run(["check", &path]);
    assert!(ran.out.contains("note: Short development"), "{}", ran.out);
    assert_eq!(ran.code, 0);
}

/// The example with the fan so low that the bed rests.
fn without_lift(folder: &TempDir) -> String {
    let path = in_folder(folder, "resting.ron");
    let text = fs::read_to_string(filter()).unwrap();
    let (head, rest) = text.split_once("airflow: (").unwrap();
    let (air, tail) = rest.split_once("marks: (").unwrap();
    let air: String = air
        .split("percent: ")
        .enumerate()
        .map(|(part, text)| match (part, text.split_once(')')) {
            (1.., Some((_, rest))) => format!("percent: 10.0){rest}"),
            _ => text.to_owned(),
        })
        .collect();
    fs::write(&path, format!("{head}airflow: ({air}marks: ({tail}")).unwrap();
    path
}

/// Rows of a CSV text without quotes, each a list of numbers; the header comes apart.
fn rows(csv: &str) -> (Vec<&str>, Vec<Vec<f64>>) {
    let mut lines = csv.split("\r\n").filter(|line| !line.is_empty());
    let header = lines.next().unwrap().split(',').collect();
    let row = |line: &str| line.split(',').map(|cell| cell.parse().unwrap()).collect();
    (header, lines.map(row).collect())
}

#[test]
fn forecast_is_told_with_its_spread_its_trust_and_its_caution() {
    let ran = run(["forecast", &filter()]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{}", ran.err);
    for part in [
        "Forecast",
        "80 of 100",
        "Weight loss",
        "± 3 points before calibration",
        "± 7 °C",
        "not a safety device",
        "90 °C after",
    ] {
        assert!(ran.out.contains(part), "{part} is not in\n{}", ran.out);
    }
    let single = run(["forecast", &filter(), "--no-spread"]);
    assert_eq!((single.code, single.err.as_str()), (0, ""));
    assert!(!single.out.contains("80 of 100"), "{}", single.out);
    let fahrenheit = run(["forecast", &filter(), "--unit", "fahrenheit"]);
    assert!(
        fahrenheit.out.contains("410 °F") && !fahrenheit.out.contains("°C"),
        "210 °C are 410 °F: {}",
        fahrenheit.out
    );
    assert_eq!(
        run(["forecast", &filter()]).out,
        ran.out,
        "the same each time"
    );
}

/// Text, JSON and CSV are one forecast; the CSV is the course, so its own numbers say when the probe reads the finish.
#[test]
fn forecasts_in_all_formats_agree() {
    let text = run(["forecast", &filter()]).out;
    let json = run(["forecast", &filter(), "--format", "json"]);
    assert_eq!((json.code, json.err.as_str()), (0, ""));
    let json: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    let csv = run(["forecast", &filter(), "--format", "csv"]);
    assert_eq!((csv.code, csv.err.as_str()), (0, ""));
    let (header, rows) = rows(&csv.out);
    let column = |name: &str| header.iter().position(|found| *found == name).unwrap();
    let (time, probe) = (column("Time (s)"), column("Probe (°C)"));
    let (second, last) = (rows.len() - 2, rows.len() - 1);
    let [from_c, to_c] = [rows[second][probe], rows[last][probe]];
    assert!(from_c < 210.0 && 210.0 <= to_c, "{from_c} to {to_c}");
    let drop_s = rows[second][time] + (210.0 - from_c) / (to_c - from_c);
    let moments = json["forecast"]["moments"].as_array().unwrap();
    let drop = moments
        .iter()
        .find(|moment| moment["name"] == "drop")
        .unwrap();
    let found_s = drop["forecast"].as_f64().unwrap();
    assert!((found_s - drop_s).abs() < 0.01, "{found_s} {drop_s}");
    let clock = format!(
        "{}:{:02.0}",
        (drop_s / 60.0) as u32,
        (drop_s % 60.0).round()
    );
    assert!(
        text.contains(&format!("210 °C at {clock}")),
        "{clock}: {text}"
    );
    assert_eq!(json["trace"]["probe"].as_array().unwrap().len(), rows.len());
    let caution = json["forecast"]["caution"].as_str().unwrap();
    assert!(text.contains(caution), "{caution}");
    let upper = json["spread_of_probe"]["p90"].as_array().unwrap();
    assert_eq!(upper.len(), rows.len());
    let single = run(["forecast", &filter(), "--format", "json", "--no-spread"]);
    let single: serde_json::Value = serde_json::from_str(&single.out).unwrap();
    assert!(single["spread_of_probe"].is_null());
    let losses = |report: &serde_json::Value| {
        let figures = report["forecast"]["figures"].as_array().unwrap();
        let loss = figures
            .iter()
            .find(|figure| figure["name"] == "weight_loss");
        loss.unwrap()["value"].clone()
    };
    assert_eq!(
        losses(&single),
        losses(&json),
        "the spread changes no forecast"
    );
    let summary = run(["summary", &filter(), "--format", "json"]).out;
    let summary: serde_json::Value = serde_json::from_str(&summary).unwrap();
    assert_eq!(
        losses(&summary),
        losses(&json),
        "the summary shows the same"
    );
}

#[test]
fn forecast_goes_into_a_file_whose_extension_says_the_format() {
    let folder = TempDir::new().unwrap();
    for (name, format) in [("f.txt", "text"), ("f.JSON", "json"), ("f.csv", "csv")] {
        let path = in_folder(&folder, name);
        fs::write(&path, "old").unwrap();
        let ran = run(["forecast", &filter(), "-o", &path]);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{name}");
        assert!(
            ran.out.contains(&path) && ran.out.lines().count() == 1,
            "{}",
            ran.out
        );
        let printed = run(["forecast", &filter(), "--format", format]).out;
        assert_eq!(fs::read_to_string(&path).unwrap(), printed, "{name}");
    }
}

#[test]
fn without_a_forecast_the_reasons_are_told() {
    let folder = TempDir::new().unwrap();
    let resting = without_lift(&folder);
    let ran = run(["forecast", &resting]);
    assert_eq!((ran.code, ran.err.as_str()), (1, ""), "{}", ran.err);
    assert!(ran.out.contains("doesn't lift the beans"), "{}", ran.out);
    let json = run(["forecast", &resting, "--format", "json"]);
    assert_eq!(json.code, 1);
    let json: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    assert!(!json["forecast"]["limits"].as_array().unwrap().is_empty());
    assert!(json["forecast"]["figures"].as_array().unwrap().is_empty());
    assert!(json["trace"].is_null());
    // A course has no place for reasons: nothing is written, and a file that is there stays.
    let csv = in_folder(&folder, "course.csv");
    fs::write(&csv, "old").unwrap();
    let ran = run(["forecast", &resting, "-o", &csv]);
    assert_eq!((ran.code, ran.out.as_str()), (1, ""));
    for part in ["chaffinch::no_forecast", "doesn't lift the beans", "check"] {
        assert!(ran.err.contains(part), "{part}: {}", ran.err);
    }
    assert_eq!(fs::read_to_string(&csv).unwrap(), "old");
    let summary = run(["summary", &resting]);
    assert_eq!(summary.code, 0, "summary tells, check judges");
    assert!(
        summary.out.contains("doesn't lift the beans"),
        "{}",
        summary.out
    );
    let check = run(["check", &resting]);
    assert_eq!(check.code, 1);
    assert!(check.out.contains("stop: "), "{}", check.out);
}

/// An older file that had to be changed is told on standard error; what was asked for is printed all the same.
#[test]
fn older_file_that_is_changed_is_told() {
    let older = Path::new(env!("CARGO_MANIFEST_DIR")).join("../shelf/tests/version_1");
    let mut told = 0;
    for entry in fs::read_dir(older).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|found| found != "ron") {
            continue;
        }
        let folder = TempDir::new().unwrap();
        let hot = in_folder(&folder, "hot.ron");
        let text = fs::read_to_string(&path).unwrap();
        let (head, rest) = text.split_once("ceiling_c: ").unwrap();
        let (_, tail) = rest.split_once([',', ')']).unwrap();
        let end = &rest[rest.len() - tail.len() - 1..];
        fs::write(&hot, format!("{head}ceiling_c: 290.0{end}")).unwrap();
        let ran = run(["summary", &hot]);
        assert_eq!(ran.code, 0, "{}", ran.err);
        assert!(ran.err.contains("lowered to 260 °C"), "{}", ran.err);
        assert_eq!(run(["summary", path.to_str().unwrap()]).err, "");
        told += 1;
    }
    assert!(told > 0, "there are older files");
}

#[test]
fn schema_is_json_with_its_name() {
    let ran = run(["schema"]);
    let schema: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(schema["$id"], "urn:chaffinch:schema:chaffinch-plan:1");
    for of in ["plan", "carry", "shape"] {
        let ran = run(["schema", of]);
        let schema: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
        assert_eq!(
            schema["$id"],
            format!("urn:chaffinch:schema:chaffinch-{of}:1")
        );
    }
}

#[test]
fn completions_and_manual_name_every_verb() {
    let verbs = [
        "summary",
        "forecast",
        "compare",
        "carry",
        "shape",
        "export",
        "import",
        "check",
        "new",
        "schema",
        "completions",
        "manual",
    ];
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let ran = run(["completions", shell]);
        assert_eq!(ran.code, 0);
        assert!(verbs.iter().all(|verb| ran.out.contains(verb)), "{shell}");
    }
    let folder = TempDir::new().unwrap();
    let pages = folder.path().join("new").join("manual");
    assert_eq!(run([Path::new("manual"), Path::new("-o"), &pages]).code, 0);
    let page = |name: &str| fs::read_to_string(pages.join(name)).unwrap();
    assert!(page("chaffinch.1").contains("Exit codes"));
    assert!(
        verbs
            .iter()
            .all(|verb| page(&format!("chaffinch-{verb}.1")).contains(verb))
    );
}

#[test]
fn help_tells_the_exit_codes() {
    let ran = run(["--help"]);
    assert_eq!(ran.code, 0);
    assert!(
        ran.out.contains("Exit codes:") && ran.out.contains("wrong use"),
        "{}",
        ran.out
    );
}

#[test]
fn closed_pipe_is_no_fault() {
    // The reader is gone before the writer begins, so that every write fails.
    let (reader, writer) = std::io::pipe().unwrap();
    drop(reader);
    let output = chaffinch().arg("schema").stdout(writer).output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(String::from_utf8(output.stderr).unwrap(), "");
}

#[cfg(target_os = "linux")]
#[test]
fn full_disk_behind_standard_output_is_a_fault() {
    let full = fs::File::options().write(true).open("/dev/full").unwrap();
    let output = chaffinch().arg("schema").stdout(full).output().unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(
        String::from_utf8(output.stderr)
            .unwrap()
            .contains("chaffinch::output")
    );
}

#[test]
fn examples_are_canonical_and_only_the_faulty_one_has_cautions() {
    let mut names: Vec<PathBuf> = fs::read_dir(example(""))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    names.sort();
    assert!(names.len() >= 6);
    let folder = TempDir::new().unwrap();
    for path in names {
        let again = in_folder(&folder, "again.ron");
        assert_eq!(
            run([
                Path::new("import"),
                &path,
                Path::new("--force"),
                Path::new("-o"),
                Path::new(&again)
            ])
            .code,
            0
        );
        assert_eq!(
            fs::read(&again).unwrap(),
            fs::read(&path).unwrap(),
            "{}",
            path.display()
        );
        let ran = run([Path::new("check"), &path]);
        let is_faulty = path.ends_with("ember-ridge-first-attempt.ron");
        assert_eq!(ran.code, i32::from(is_faulty), "{}", ran.out);
        assert_eq!(ran.out.contains(": caution: "), is_faulty, "{}", ran.out);
        assert!(!ran.out.contains(": stop: "), "{}", ran.out);
    }
}
