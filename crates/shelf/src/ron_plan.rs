//! The program's own plan format: RON text with a version, stable in order, one line a point.

use crate::{
    carried_over::CarriedOver,
    plan_file::{PlanFile, VersionOnly},
    plan_file_1::PlanFile1,
    text_error::{Place, TextError, TextFormat, printable},
    version::PLAN_FILE_VERSION,
};
use chaffinch_craft::Plan;
use ron::{Options, error::SpannedError, extensions::Extensions, ser::PrettyConfig};
use serde::de::DeserializeOwned;

/// The first line of every plan file, for people who open it in an editor.
const FIRST_LINE: &str = "// A Chaffinch plan: times in s after charge, temperatures in °C, fan in % of its full setting.";
/// Lists of points stand at this depth, so each point takes one line.
const DEPTH_OF_POINTS: usize = 3;

/// Reads a plan file's text, of version 1 or 2. Ids are numbered from 1 in file order.
///
/// # Errors
/// [`TextError`]: nothing in it, a newer or unknown version, not well-formed (with line and column), or a broken rule.
pub fn plan_from_ron(text: &str) -> Result<Plan, TextError> {
    carry_over_ron(text).map(|(plan, _)| plan)
}

/// As [`plan_from_ron`], with what had to be changed because the file is older.
pub(crate) fn carry_over_ron(text: &str) -> Result<(Plan, Vec<CarriedOver>), TextError> {
    if text.trim().is_empty() {
        return Err(TextError::Empty);
    }
    let found = options()
        .from_str::<VersionOnly>(text)
        .map_err(|error| other_kind(text).unwrap_or_else(|| unreadable(&error)))?
        .version;
    match found {
        PLAN_FILE_VERSION => {
            let plan = parse::<PlanFile>(text)?.into_plan()?;
            Ok((plan, Vec::new()))
        }
        1 => parse::<PlanFile1>(text)?.into_plan(),
        _ => {
            let (format, known) = (TextFormat::Plan, PLAN_FILE_VERSION);
            let is_newer = found > known;
            let found = found.to_string();
            Err(if is_newer {
                TextError::NewerVersion {
                    format,
                    found,
                    known,
                }
            } else {
                TextError::UnknownVersion {
                    format,
                    found,
                    known,
                }
            })
        }
    }
}

/// The version that a plan file says it has; nothing if it isn't one.
pub(crate) fn version_of_ron(text: &str) -> Option<u32> {
    let head = options().from_str::<VersionOnly>(text).ok()?;
    Some(head.version)
}

fn parse<T: DeserializeOwned>(text: &str) -> Result<T, TextError> {
    options().from_str(text).map_err(|error| unreadable(&error))
}

/// The text of a plan file. The same plan gives the same bytes; numbers are the shortest that read back the same.
///
/// # Panics
/// Never: every value of a plan can be written as RON, and writing to a string doesn't fail.
#[expect(
    clippy::expect_used,
    reason = "plain structs of numbers and texts always serialise into a string"
)]
pub fn plan_to_ron(plan: &Plan) -> String {
    let config = PrettyConfig::new()
        .depth_limit(DEPTH_OF_POINTS)
        .new_line("\n")
        .indentor("  ")
        .escape_strings(false);
    let body = options()
        .to_string_pretty(&PlanFile::of(plan), config)
        .expect("a plan file is made of numbers and texts only");
    format!("{FIRST_LINE}\nPlan{body}\n")
}

/// The refusal of a text that is no plan at all: a plan's begins, after blanks and comments, with its name, a bracket or
/// an attribute.
fn other_kind(text: &str) -> Option<TextError> {
    let mut rest = text.trim_start();
    while let Some((opening, closing)) = [("//", "\n"), ("/*", "*/")]
        .into_iter()
        .find(|(opening, _)| rest.starts_with(opening))
    {
        let comment = &rest[opening.len()..];
        rest = comment
            .find(closing)
            .map_or("", |end| &comment[end + closing.len()..])
            .trim_start();
    }
    let begins_as_plan = ["Plan", "(", "#"]
        .iter()
        .any(|start| rest.starts_with(start) || start.starts_with(rest));
    (!begins_as_plan).then(|| TextError::not_a_plan(text, rest))
}

fn options() -> Options {
    Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}

fn unreadable(error: &SpannedError) -> TextError {
    TextError::Unreadable {
        format: TextFormat::Plan,
        place: Place {
            line: error.span.start.line,
            column: error.span.start.col,
        },
        found: lower_first(&printable(&error.code)),
    }
}

/// The reader's messages begin with a capital; ours go on after a colon.
fn lower_first(message: &str) -> String {
    let mut chars = message.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(chars).collect()
    })
}
