//! Suggested file names are safe on every system.
#![allow(
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

use chaffinch_shelf::suggested_file_name;
use proptest::prelude::{ProptestConfig, prop_oneof, proptest};

/// Source: "Naming Files, Paths, and Namespaces" (Microsoft Learn) as collected in the project's reliability notes.
fn is_safe(name: &str) -> bool {
    let stem = name.split('.').next().unwrap_or_default();
    let reserved = ["con", "prn", "aux", "nul"].contains(&stem)
        || (stem.len() == 4
            && (stem.starts_with("com") || stem.starts_with("lpt"))
            && stem.ends_with(|digit: char| digit.is_ascii_digit()));
    let chars = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || "-_.".contains(c);
    !stem.is_empty()
        && name.len() <= 64
        && name.chars().all(chars)
        && !name.ends_with('.')
        && !reserved
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(10_000))]

    #[test]
    fn any_title_gives_a_safe_name(title in prop_oneof!["(?s).{0,100}", "[A-Za-z0-9 .]{0,100}", "(?i)(con|aux|com1|lpt9)[. ]?"]) {
        let name = suggested_file_name(&title, "json");
        assert!(is_safe(&name), "{title:?} gave {name:?}");
    }
}

#[test]
fn names_follow_the_title() {
    assert_eq!(
        suggested_file_name("Ember Ridge 3: filter", "ron"),
        "ember-ridge-3-filter.ron"
    );
    assert_eq!(suggested_file_name("  “…”  ", "ron"), "plan.ron");
    assert_eq!(suggested_file_name("CON", "csv"), "con-plan.csv");
    assert_eq!(suggested_file_name(&"a".repeat(99), "json").len(), 64);
}
