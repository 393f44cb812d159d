//! The program's own plan format: RON text with a version, stable in order, one line a point.

use crate::{
    carried_over::CarriedOver,
    plan_file::{PlanFile, VersionOnly},
    plan_file_1::PlanFile1,
    ron_document::{
        self, after_comments, first_word, may_begin, options, pretty_text, version_error,
    },
    text_error::{TextError, TextFormat},
    version::PLAN_FILE_VERSION,
};
use chaffinch_craft::Plan;
use ron::error::SpannedError;
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
        _ => Err(version_error(TextFormat::Plan, found, PLAN_FILE_VERSION)),
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
pub fn plan_to_ron(plan: &Plan) -> String {
    pretty_text(
        FIRST_LINE,
        TextFormat::Plan,
        &PlanFile::of(plan),
        DEPTH_OF_POINTS,
    )
}

/// The refusal of a text that is no plan at all: a plan's begins, after blanks and comments, with its name, a bracket or
/// an attribute.
fn other_kind(text: &str) -> Option<TextError> {
    let rest = after_comments(text);
    if let Some(found) = TextFormat::of_opening(first_word(rest))
        && found != TextFormat::Plan
    {
        let expected = TextFormat::Plan;
        return Some(TextError::OtherDocument { found, expected });
    }
    (!may_begin(rest, "Plan")).then(|| TextError::not_a_plan(text, rest))
}

fn unreadable(error: &SpannedError) -> TextError {
    ron_document::unreadable(TextFormat::Plan, error)
}
