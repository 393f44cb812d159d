//! The table of rules of practice as it lies in a notebook: one line a rule, easy to edit by hand.
//!
//! A rule that isn't there has its usual value. Each rule is judged while it is read, so that a broken one carries its place. Every
//! usual value is common practice, no published source, and the file says so.

use crate::{
    disk::{read_text, save_text},
    error::ShelfError,
    ron_document::{Document, document_from_ron},
    sheet_document::refused,
    stamp::FileStamp,
    text_error::TextFormat,
    version::PRACTICE_FILE_VERSION,
};
use chaffinch_craft::carry::{PracticeRules, Rule, RuleName};
use serde::{Deserialize, Deserializer, de::Error};
use std::{fmt::Write, path::Path};

const FIRST_LINES: &str = "\
// Chaffinch rules of practice: what roasters do with coffee grown higher or lower, beyond physics.
// Each rule: change for each 100 m above the reference altitude, and the most that it may come to either way.
// The usual values are common practice, no published source: put your own in their place.";

#[derive(Deserialize)]
#[serde(rename = "practice", deny_unknown_fields)]
struct PracticeFile {
    #[serde(rename = "version")]
    _version: u32,
    #[serde(default, deserialize_with = "reference")]
    reference_altitude_m: Option<f64>,
    #[serde(default, deserialize_with = "drying_rise")]
    drying_rise_percent: Option<Rule>,
    #[serde(default, deserialize_with = "browning_length")]
    browning_length_percent: Option<Rule>,
    #[serde(default, deserialize_with = "first_crack")]
    first_crack_c: Option<Rule>,
    #[serde(default, deserialize_with = "drop_temp")]
    drop_c: Option<Rule>,
    #[serde(default, deserialize_with = "development_length")]
    development_length_percent: Option<Rule>,
}

impl Document for PracticeFile {
    const FORMAT: TextFormat = TextFormat::Practice;
    const VERSION: u32 = PRACTICE_FILE_VERSION;
}

#[derive(Deserialize)]
#[serde(rename = "rule", deny_unknown_fields)]
struct RuleFile {
    per_100_m: f64,
    most: f64,
}

macro_rules! rules {
    ($($read:ident => $name:ident;)+) => { $(
        fn $read<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<Rule>, D::Error> {
            let RuleFile { per_100_m, most } = RuleFile::deserialize(deserializer)?;
            let rule = Rule { per_100_m, most };
            let judged = PracticeRules::default().with(RuleName::$name, rule);
            judged.map(|_| Some(rule)).map_err(D::Error::custom)
        }
    )+ };
}

rules! {
    drying_rise => DryingRise;
    browning_length => BrowningLength;
    first_crack => FirstCrack;
    drop_temp => Drop;
    development_length => DevelopmentLength;
}

fn reference<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<f64>, D::Error> {
    let reference_m = f64::deserialize(deserializer)?;
    let judged = PracticeRules::default().from_altitude(reference_m);
    judged.map(|_| Some(reference_m)).map_err(D::Error::custom)
}

/// What files call a rule, with its unit.
pub(crate) fn rule_key(name: RuleName) -> &'static str {
    match name {
        RuleName::DryingRise => "drying_rise_percent",
        RuleName::BrowningLength => "browning_length_percent",
        RuleName::FirstCrack => "first_crack_c",
        RuleName::Drop => "drop_c",
        RuleName::DevelopmentLength => "development_length_percent",
    }
}

impl PracticeFile {
    fn rule(&self, name: RuleName) -> Option<Rule> {
        match name {
            RuleName::DryingRise => self.drying_rise_percent,
            RuleName::BrowningLength => self.browning_length_percent,
            RuleName::FirstCrack => self.first_crack_c,
            RuleName::Drop => self.drop_c,
            RuleName::DevelopmentLength => self.development_length_percent,
        }
    }

    /// The table; every value of it was judged before.
    fn into_rules(self) -> PracticeRules {
        let usual = PracticeRules::default();
        let start = self
            .reference_altitude_m
            .map_or_else(|| Ok(usual.clone()), |m| usual.clone().from_altitude(m))
            .unwrap_or(usual);
        RuleName::ALL.into_iter().fold(start, |rules, name| {
            let Some(rule) = self.rule(name) else {
                return rules;
            };
            rules.clone().with(name, rule).unwrap_or(rules)
        })
    }
}

/// The rules that a plan was carried over by, and where they were found, for a report.
#[derive(Clone, Copy, Debug)]
pub struct RulesUsed<'a> {
    /// The table.
    pub rules: &'a PracticeRules,
    /// Where it was found, in words: a path, or that these are the usual ones.
    pub found: &'a str,
}

/// Reads a table of rules; a rule that isn't there is its usual one.
///
/// # Errors
/// [`ShelfError`]: not readable, more than 4 MiB, no table of rules, or a rule out of its range (with line and column).
pub fn read_practice(path: &Path) -> Result<PracticeRules, ShelfError> {
    let text = read_text(path)?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
    document_from_ron(text)
        .map(PracticeFile::into_rules)
        .map_err(|source| refused(path, source))
}

/// Saves a table of rules, each explained by a comment. The same rules give the same bytes; comments that somebody wrote into the
/// file that lies there go.
///
/// # Errors
/// As [`save_text`].
pub fn save_practice(path: &Path, rules: &PracticeRules) -> Result<FileStamp, ShelfError> {
    save_text(path, &practice_text(rules))
}

/// Written by hand, because a serialiser writes no comments.
fn practice_text(rules: &PracticeRules) -> String {
    let mut text = format!(
        "{FIRST_LINES}\npractice(\n  version: {PRACTICE_FILE_VERSION},\n  reference_altitude_m: {:?},\n",
        rules.reference_m()
    );
    for name in RuleName::ALL {
        let Rule { per_100_m, most } = rules.rule(name);
        let explanation = name.facts().explanation;
        // Writing to a string doesn't fail.
        let _ = writeln!(
            text,
            "  // {explanation}\n  {}: (per_100_m: {per_100_m:?}, most: {most:?}),",
            rule_key(name)
        );
    }
    text.push_str(")\n");
    text
}
