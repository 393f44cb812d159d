//! What all RON documents have in common: how they begin, their version, how they are laid out, and how a bad one is refused.
//!
//! A document begins with a comment for people and the word for its kind, and its first field is its version, which is read before
//! all else, so that a newer file is called newer and not broken.

use crate::text_error::{Place, TextError, TextFormat, printable};
use ron::{Options, error::SpannedError, extensions::Extensions, ser::PrettyConfig};
use serde::{
    Deserialize, Deserializer, Serialize,
    de::{DeserializeOwned, MapAccess, Visitor, value::MapAccessDeserializer},
};
use std::fmt;

/// A document that isn't a plan.
pub(crate) trait Document: DeserializeOwned {
    /// Its kind.
    const FORMAT: TextFormat;
    /// The version that is read and written.
    const VERSION: u32;
}

/// Reads a document's text.
///
/// # Errors
/// [`TextError`]: nothing in it, another kind of document, a newer or unknown version, not well-formed, or a broken rule.
pub(crate) fn document_from_ron<D: Document>(text: &str) -> Result<D, TextError> {
    let format = D::FORMAT;
    if text.trim().is_empty() {
        return Err(TextError::Nothing { format });
    }
    let rest = after_comments(text);
    match TextFormat::of_opening(first_word(rest)) {
        Some(found) if found != format => {
            let expected = format;
            return Err(TextError::OtherDocument { found, expected });
        }
        Some(_) => {}
        None if may_begin(rest, format.opening().unwrap_or_default()) => {}
        None => return Err(TextError::not_a_document(format, text, rest)),
    }
    let failed = |error| unreadable(format, &error);
    let Head { version } = options().from_str(text).map_err(failed)?;
    if version != D::VERSION {
        return Err(version_error(format, version, D::VERSION));
    }
    options().from_str(text).map_err(failed)
}

/// The text of a document: a line for people, the word for its kind, and its fields, broken into lines down to `depth`.
///
/// # Panics
/// Never: the documents are made of numbers and texts, which can be written as RON, and writing to a string doesn't fail.
#[expect(
    clippy::expect_used,
    reason = "plain structs of numbers and texts always serialise into a string"
)]
pub(crate) fn pretty_text(
    first_line: &str,
    format: TextFormat,
    document: &impl Serialize,
    depth: usize,
) -> String {
    let config = PrettyConfig::new()
        .depth_limit(depth)
        .new_line("\n")
        .indentor("  ")
        .escape_strings(false);
    let body = options()
        .to_string_pretty(document, config)
        .expect("a document is made of numbers and texts only");
    let opening = format.opening().unwrap_or_default();
    format!("{first_line}\n{opening}{body}\n")
}

/// The text from its first word that is no comment on.
pub(crate) fn after_comments(text: &str) -> &str {
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
    rest
}

/// The word that `rest` begins with; may be empty.
pub(crate) fn first_word(rest: &str) -> &str {
    let end = rest.find(|found: char| !found.is_ascii_alphanumeric() && found != '_');
    &rest[..end.unwrap_or(rest.len())]
}

/// Whether `rest` may be the begin of a document called `name`, which may be left out; it may be cut short.
pub(crate) fn may_begin(rest: &str, name: &str) -> bool {
    let begins = |start: &str| rest.starts_with(start) || start.starts_with(rest);
    [name, "(", "#"].into_iter().any(begins)
}

/// The refusal of another version than the one that is known.
pub(crate) fn version_error(format: TextFormat, found: u32, known: u32) -> TextError {
    let is_newer = found > known;
    let found = found.to_string();
    if is_newer {
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
    }
}

pub(crate) fn options() -> Options {
    Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}

/// The refusal of a text that the reader gave up on.
pub(crate) fn unreadable(format: TextFormat, error: &SpannedError) -> TextError {
    TextError::Unreadable {
        format,
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

/// Only the version of a document of any kind.
struct Head {
    version: u32,
}

impl<'de> Deserialize<'de> for Head {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        // Whatever its name: that was judged before.
        deserializer.deserialize_any(HeadVisitor)
    }
}

struct HeadVisitor;

impl<'de> Visitor<'de> for HeadVisitor {
    type Value = Head;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("fields in brackets, the first of them `version`")
    }

    fn visit_map<A: MapAccess<'de>>(self, fields: A) -> Result<Head, A::Error> {
        #[derive(Deserialize)]
        struct Fields {
            version: u32,
        }
        let Fields { version } = Fields::deserialize(MapAccessDeserializer::new(fields))?;
        Ok(Head { version })
    }
}
