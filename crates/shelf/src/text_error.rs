//! What can be wrong with the text of a plan or another document of the notebook.

use chaffinch_craft::{AirError, FinishError, LotError, PlanError, ReadingError};
use chaffinch_curve::CurveError;
use std::fmt::{self, Write};
use thiserror::Error;

/// A place in a text, both counted from 1; columns are characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// The line.
    pub line: usize,
    /// The character in the line.
    pub column: usize,
}

impl Place {
    /// The place right behind `before`, the text that leads up to it.
    pub(crate) fn after(before: &str) -> Self {
        let last_line = before.rsplit('\n').next().unwrap_or_default();
        Self {
            line: before.matches('\n').count() + 1,
            column: last_line.chars().count() + 1,
        }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}, column {}", self.line, self.column)
    }
}

/// Longest piece of a file that a message repeats, in characters.
const MAX_REPEATED_CHARS: usize = 300;

/// What a message may show of a file: control characters (which could steer a terminal) are spelled out, and what is
/// long is cut while it is written, so that it is never in memory as a whole.
pub(crate) fn printable(piece: &dyn fmt::Display) -> String {
    let mut shown = Printable::default();
    // The only error is that enough was written.
    let _ = write!(shown, "{piece}");
    shown.text
}

#[derive(Default)]
struct Printable {
    text: String,
    chars: usize,
}

impl fmt::Write for Printable {
    fn write_str(&mut self, piece: &str) -> fmt::Result {
        for found in piece.chars() {
            if self.chars == MAX_REPEATED_CHARS {
                self.text.push('…');
                return Err(fmt::Error);
            }
            self.chars += 1;
            if found.is_control() {
                self.text.extend(found.escape_default());
            } else {
                self.text.push(found);
            }
        }
        Ok(())
    }
}

/// Which kind of text was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TextFormat {
    /// The program's own plan file.
    Plan,
    /// The neutral JSON.
    Neutral,
    /// A lot by itself.
    Lot,
    /// A machine by itself.
    Machine,
    /// A room by itself.
    Room,
    /// The table of rules of practice.
    Practice,
    /// What is wished of a curve.
    Targets,
    /// Readings of roast colour.
    Colours,
}

impl TextFormat {
    /// The kinds that are RON documents.
    const RON: [Self; 7] = [
        Self::Plan,
        Self::Lot,
        Self::Machine,
        Self::Room,
        Self::Practice,
        Self::Targets,
        Self::Colours,
    ];

    /// The word that a document of this kind begins with; nothing for JSON.
    pub(crate) fn opening(self) -> Option<&'static str> {
        match self {
            Self::Plan => Some("Plan"),
            Self::Neutral => None,
            Self::Lot => Some("lot"),
            Self::Machine => Some("machine"),
            Self::Room => Some("room"),
            Self::Practice => Some("practice"),
            Self::Targets => Some("targets"),
            Self::Colours => Some("colours"),
        }
    }

    /// The kind whose document begins with `word`.
    pub(crate) fn of_opening(word: &str) -> Option<Self> {
        Self::RON
            .into_iter()
            .find(|format| format.opening() == Some(word))
    }
}

impl fmt::Display for TextFormat {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Plan => "plan file",
            Self::Neutral => "neutral JSON file",
            Self::Lot => "lot file",
            Self::Machine => "machine file",
            Self::Room => "room file",
            Self::Practice => "practice file",
            Self::Targets => "targets file",
            Self::Colours => "colours file",
        })
    }
}

/// Why a text is no plan, or not the document that was looked for.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum TextError {
    /// Nothing in it.
    #[error(
        "the file is empty; expected a plan file or a neutral JSON file, so look for a backup or another copy"
    )]
    Empty,
    /// Some other kind of file.
    #[error(
        "this isn't a Chaffinch plan: at {place} stands “{found}”; expected “Plan(” of a plan file or “{{” of a neutral JSON file, so choose another file"
    )]
    NotAPlan {
        /// Where its first words stand.
        place: Place,
        /// The first words.
        found: String,
    },
    /// Nothing in a file that should hold another document than a plan.
    #[error("the file is empty; expected a {format}, so look for a backup or another copy")]
    Nothing {
        /// What was looked for.
        format: TextFormat,
    },
    /// A document of ours, but of another kind.
    #[error("this is a {found}; expected a {expected}, so choose another file")]
    OtherDocument {
        /// What it is.
        found: TextFormat,
        /// What was looked for.
        expected: TextFormat,
    },
    /// No document of ours where one was looked for that isn't a plan.
    #[error(
        "this isn't a {format}: at {place} stands “{found}”; expected “{opening}(”, so choose another file"
    )]
    NotADocument {
        /// What was looked for.
        format: TextFormat,
        /// Where its first words stand.
        place: Place,
        /// The first words.
        found: String,
        /// What such a document begins with.
        opening: &'static str,
    },
    /// The path to a plan can't be written into a file.
    #[error("the path “{found}” isn't UTF-8 text and can't be written into a file; rename it")]
    PathNotText {
        /// The path, as well as it can be shown.
        found: String,
    },
    /// Not UTF-8.
    #[error(
        "this isn't a file of Chaffinch: at {place} stands the byte 0x{byte:02X}, which is not UTF-8 text; choose another file, or save it again in UTF-8"
    )]
    NotUtf8 {
        /// The first bad byte's place.
        place: Place,
        /// The byte.
        byte: u8,
    },
    /// Not well-formed, cut short, an unknown or missing field, a value of the wrong type, or a list item against a rule.
    #[error("this {format} can't be read at {place}: {found}; mend it there or use another copy")]
    Unreadable {
        /// Which kind of text it was taken for.
        format: TextFormat,
        /// Where reading stopped.
        place: Place,
        /// What was found and what was expected.
        found: String,
    },
    /// Written by a newer program.
    #[error(
        "this {format} has version {found}, and this program reads version {known}; open it with a newer Chaffinch (the file was left as it is)"
    )]
    NewerVersion {
        /// Which kind of text.
        format: TextFormat,
        /// The version found.
        found: String,
        /// The version this program reads.
        known: u32,
    },
    /// A version that never was.
    #[error(
        "this {format} has version “{found}”, which doesn't exist; expected version {known}, so correct it or use another copy"
    )]
    UnknownVersion {
        /// Which kind of text.
        format: TextFormat,
        /// The version found.
        found: String,
        /// The version this program reads.
        known: u32,
    },
    /// JSON of something else.
    #[error(
        "this JSON file is of the format “{found}”; expected “{expected}”, so export the plan in that format"
    )]
    OtherFormat {
        /// The format found.
        found: String,
        /// The format expected.
        expected: &'static str,
    },
    /// Another unit than the format's.
    #[error(
        "the unit of {quantity} is “{found}”; expected “{expected}”, so convert the numbers and name that unit"
    )]
    OtherUnit {
        /// Which quantity.
        quantity: &'static str,
        /// The unit found.
        found: String,
        /// The unit expected.
        expected: &'static str,
    },
    /// A mark is missing or given twice.
    #[error(
        "the mark “{name}” is given {found} times; expected once, so add or remove it under `marks`"
    )]
    MarkCount {
        /// Which mark.
        name: &'static str,
        /// How often it was found.
        found: usize,
    },
    /// Not exactly one finish is chosen.
    #[error("{found} finishes are chosen; expected one, so mark the one at which the roast drops")]
    ChosenCount {
        /// How many were found.
        found: usize,
    },
    /// The chosen finish isn't in the ladder.
    #[error("the chosen finish “{found}” is not in the ladder; expected one of the names there")]
    ChosenUnknown {
        /// The name found.
        found: String,
    },
    /// The curve breaks a rule.
    #[error(transparent)]
    Curve(#[from] CurveError),
    /// The airflow breaks a rule.
    #[error(transparent)]
    Air(#[from] AirError),
    /// The ladder breaks a rule.
    #[error(transparent)]
    Finish(#[from] FinishError),
    /// The lot breaks a rule.
    #[error(transparent)]
    Lot(#[from] LotError),
    /// The plan breaks a rule.
    #[error(transparent)]
    Plan(#[from] PlanError),
    /// A reading of roast colour breaks a rule.
    #[error(transparent)]
    Reading(#[from] ReadingError),
}

/// How much a message shows of a file that is no plan, in characters.
const MAX_FIRST_CHARS: usize = 24;

impl TextError {
    /// The refusal of `text`, whose first words are at the start of `rest`, its end.
    pub(crate) fn not_a_plan(text: &str, rest: &str) -> Self {
        let (place, found) = first_words(text, rest);
        Self::NotAPlan { place, found }
    }

    /// The refusal of `text` where a document of `format` was looked for; as [`Self::not_a_plan`].
    pub(crate) fn not_a_document(format: TextFormat, text: &str, rest: &str) -> Self {
        let (place, found) = first_words(text, rest);
        Self::NotADocument {
            format,
            place,
            found,
            opening: format.opening().unwrap_or("{"),
        }
    }

    /// Where in the text, if it is known.
    pub fn place(&self) -> Option<Place> {
        match self {
            Self::NotAPlan { place, .. }
            | Self::NotADocument { place, .. }
            | Self::NotUtf8 { place, .. }
            | Self::Unreadable { place, .. } => Some(*place),
            _ => None,
        }
    }
}

/// Where the first words of a text stand, and as many of them as a message shows.
fn first_words(text: &str, rest: &str) -> (Place, String) {
    let words = rest.lines().next().unwrap_or_default();
    let shown: String = words.chars().take(MAX_FIRST_CHARS).collect();
    let place = Place::after(&text[..text.len() - rest.len()]);
    (place, printable(&shown))
}
