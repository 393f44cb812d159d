//! Refusing a file takes less than 64 MB, whatever is in it.
//!
//! The limit is the kernel's: the binary runs with `ulimit -d`, which since Linux 4.7 counts all private writable memory
//! (getrlimit(2), `RLIMIT_DATA`). What needs more can't end with the ordinary exit code 1.
#![cfg(target_os = "linux")]
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

use std::{
    fs::{self, File},
    path::Path,
    process::{Command, Output},
};

/// 64 MB in the unit of `ulimit`, 1,024 bytes.
const LIMIT_KIB: u32 = 62_500;
/// The largest file that is read at all, in bytes.
const LARGEST_BYTES: usize = 4 * 1024 * 1024;

fn check_within(limit_kib: u32, path: &Path) -> Output {
    Command::new("sh")
        .args(["-c", "ulimit -d \"$0\" && exec \"$1\" check \"$2\""])
        .arg(limit_kib.to_string())
        .arg(env!("CARGO_BIN_EXE_chaffinch"))
        .arg(path)
        .output()
        .unwrap()
}

/// Runs `check` on a file and sees that it is refused in the ordinary way, with `word` in the message.
fn assert_refused(path: &Path, word: &str) {
    let output = check_within(LIMIT_KIB, path);
    let err = String::from_utf8_lossy(&output.stderr);
    let beginning: String = err.chars().take(2000).collect();
    assert_eq!(
        output.status.code(),
        Some(1),
        "{word}: {:?} {beginning}",
        output.status
    );
    assert!(err.contains(word), "{word}: {beginning}");
}

/// A text of the largest size that is read: `begin`, then `middle` as often as it fits, then `end`.
fn filled(begin: &str, middle: &str, end: &str) -> String {
    let times = (LARGEST_BYTES - begin.len() - end.len()) / middle.len();
    [begin, &middle.repeat(times), end].concat()
}

#[test]
fn hundred_megabytes_are_refused_by_their_size() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["large.ron", "large.json"] {
        let path = folder.path().join(name);
        File::create(&path).unwrap().set_len(100_000_000).unwrap();
        assert_refused(&path, "100000000 bytes");
    }
}

/// Plan files of the largest size, each hostile in its own way, with a word of the refusal.
fn hostile_plan_files() -> Vec<(String, &'static str)> {
    let title = "Plan(version: 1, title: \"";
    let parts = "Plan(version: 1, title: \"\", notes: \"\", ";
    let shape = format!("{parts}curve: (shape: ");
    let points = format!("{parts}curve: (shape: monotone, points: [");
    vec![
        (filled("\0", "\0", ""), "line 1"),
        (filled("\n", "\n", "x"), "line"),
        (filled(parts, "x", ""), "line 1"),
        (filled(title, "x", "\")"), "one line of at most"),
        (filled(title, "\\n", "\")"), "one line of at most"),
        (filled(&shape, "x", ""), "line 1"),
        (filled(&points, "(time_s:0.0,temp_c:1.0),", ""), "line 1"),
    ]
}

/// The same for neutral JSON.
fn hostile_neutral_files() -> Vec<(String, &'static str)> {
    let after_head = |begin: &str, middle: &str, end: &str| {
        let head = "{\"format\": \"chaffinch-plan\", \"version\": \"1.0\", ";
        filled(&(head.to_owned() + begin), middle, end)
    };
    let (time, end) = ("\"curve\": {\"points\": [{\"time\": \"", "\"}]}}");
    vec![
        (
            filled("{\"format\": \"", "x", "\", \"version\": \"1.0\"}"),
            "format",
        ),
        (
            filled("{\"format\": \"", "\\n", "\", \"version\": \"1.0\"}"),
            "format",
        ),
        (
            after_head("", "\"a\":1,", "\"title\": 1}"),
            "expected a string",
        ),
        (
            after_head("\"title\": \"", "\\u0041", "\"}"),
            "one line of at most",
        ),
        (
            after_head("\"curve\": {\"shape\": \"", "\\n", "\"}}"),
            "unknown variant",
        ),
        (after_head(time, "x", end), "invalid type"),
        // Spelled out as six characters each in the reader's message.
        (after_head(time, "\u{7f}", end), "invalid type"),
        (
            after_head("\"marks\": [", "{\"name\":\"\",\"temperature\":0},", "0]}"),
            "marks found",
        ),
        (
            after_head("\"units\": {", "\"a\":\"\",", "\"b\":\"\"}}"),
            "missing",
        ),
        (after_head("\"samples\": ", "[", ""), "line 1"),
    ]
}

#[test]
fn largest_files_of_any_kind_are_refused_within_the_limit() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("full");
    for (text, word) in hostile_plan_files()
        .into_iter()
        .chain(hostile_neutral_files())
    {
        assert!(text.len() <= LARGEST_BYTES);
        fs::write(&path, &text).unwrap();
        assert_refused(&path, word);
    }
}

#[test]
fn too_low_a_limit_is_noticed() {
    // The control: reading 4 MiB within 4 MB can't end well, so the limit really binds.
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("full.ron");
    fs::write(&path, filled("x", "x", "")).unwrap();
    assert_ne!(check_within(4_000, &path).status.code(), Some(1));
}
