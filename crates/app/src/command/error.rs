//! What stops a verb, told with a code, help, and the place in the file where there is one.

use chaffinch_craft::{carry::CarryError, shape::ShapeError};
use chaffinch_shelf::{Place, ShelfError, TextError, TextFormat};
use chaffinch_twin::TwinError;
use miette::{Diagnostic, LabeledSpan, NamedSource, SourceCode, SourceOffset, SourceSpan};
use std::{
    fmt::Display,
    fs, io,
    path::{Path, PathBuf},
    process::ExitCode,
};
use thiserror::Error;

/// Longest line that is shown as part of an error, in bytes; a longer one would bury the message.
const MAX_SHOWN_LINE_BYTES: usize = 200;

/// A file's text and a place in it.
#[derive(Debug)]
pub(super) struct Shown {
    text: NamedSource<String>,
    place: SourceSpan,
}

/// Why a verb didn't do its work.
#[derive(Debug, Error)]
pub(super) enum CommandError {
    /// A file was not read or written.
    #[error("{error}")]
    Shelf {
        /// What happened.
        error: ShelfError,
        /// The text and the place in it, if it is worth showing.
        shown: Option<Box<Shown>>,
    },
    /// The file is there already.
    #[error("a file is there already and was left as it is: {}", .0.display())]
    Exists(PathBuf),
    /// The output is the input.
    #[error("the output would replace a file that it is made from; name another file: {}", .0.display())]
    OwnInput(PathBuf),
    /// A plan file needs its extension.
    #[error("a plan file ends in .ron; found the extension “{found}”: {}", .path.display())]
    NoPlanName {
        /// Which file.
        path: PathBuf,
        /// Its extension; may be empty.
        found: String,
    },
    /// A report needs the extension of its format.
    #[error("this output ends in .{expected}; found the extension “{found}”: {}", .path.display())]
    NoReportName {
        /// Which file.
        path: PathBuf,
        /// Its extension; may be empty.
        found: String,
        /// What fits.
        expected: &'static str,
    },
    /// The model can't answer for the plan, and what was asked for has no place for the reasons.
    #[error("there is no course to write, and nothing was written. {reasons}")]
    NoForecast {
        /// Every reason, as sentences.
        reasons: String,
    },
    /// Nothing came of carrying over.
    #[error("nothing was carried over and nothing written: {0}")]
    Carry(#[from] CarryError),
    /// Nothing came of the targets.
    #[error("no curve was drawn and nothing written: {0}")]
    Shape(#[from] ShapeError),
    /// The model can't take a number of the plan.
    #[error("the spread can't be worked out: {0}")]
    Spread(#[from] TwinError),
    /// Standard output or a folder of manual pages could not be written.
    #[error(
        "the output can't be written: {0}; check that there is space and that you may write there"
    )]
    Output(#[from] io::Error),
    /// The report could not be put in words for programs.
    #[error(
        "the report can't be written as JSON: {0}; use the text format and report this as a fault"
    )]
    Report(#[from] serde_json::Error),
}

impl CommandError {
    /// 2 for wrong use, 1 for all that lies in files.
    pub(super) fn exit_code(&self) -> ExitCode {
        match self {
            Self::Shelf {
                error: ShelfError::Extension { .. },
                ..
            }
            | Self::Exists(_)
            | Self::OwnInput(_)
            | Self::NoPlanName { .. }
            | Self::NoReportName { .. } => ExitCode::from(2),
            Self::Shelf { .. }
            | Self::NoForecast { .. }
            | Self::Carry(_)
            | Self::Shape(_)
            | Self::Spread(_)
            | Self::Output(_)
            | Self::Report(_) => ExitCode::from(1),
        }
    }
}

impl From<ShelfError> for CommandError {
    fn from(error: ShelfError) -> Self {
        let shown = match &error {
            ShelfError::Text { path, source } => {
                source.place().and_then(|place| excerpt(path, place))
            }
            _ => None,
        };
        Self::Shelf { error, shown }
    }
}

/// The text of `path` with the place in it; `None` if the lines there are too long or would steer the terminal, or if it
/// can't be read again.
fn excerpt(path: &Path, place: Place) -> Option<Box<Shown>> {
    let text = chaffinch_shelf::read_text(path).ok()?;
    let near = text.lines().skip(place.line.saturating_sub(2)).take(3);
    let is_plain = |line: &str| !line.contains(|found: char| found.is_control() && found != '\t');
    if near
        .into_iter()
        .any(|line| line.len() > MAX_SHOWN_LINE_BYTES || !is_plain(line))
    {
        return None;
    }
    let start = SourceOffset::from_location(&text, place.line, place.column);
    Some(Box::new(Shown {
        text: NamedSource::new(path.display().to_string(), text),
        place: SourceSpan::new(start, 1),
    }))
}

impl Diagnostic for CommandError {
    fn code<'a>(&'a self) -> Option<Box<dyn Display + 'a>> {
        let code = match self {
            Self::Shelf { error, .. } => match error {
                ShelfError::Read { .. } => "read",
                ShelfError::TooLarge { .. } => "too_large",
                ShelfError::Text { .. } => "content",
                ShelfError::Write { .. } => "write",
                ShelfError::Keep { .. } => "keep",
                ShelfError::ReadOnly { .. } => "read_only",
                ShelfError::Extension { .. } => "extension",
            },
            Self::Exists(_) => "exists",
            Self::OwnInput(_) => "own_input",
            Self::NoPlanName { .. } | Self::NoReportName { .. } => "extension",
            Self::NoForecast { .. } => "no_forecast",
            Self::Carry(_) => "carry",
            Self::Shape(_) => "shape",
            Self::Spread(_) => "spread",
            Self::Output(_) => "output",
            Self::Report(_) => "report",
        };
        Some(Box::new(format!("chaffinch::{code}")))
    }

    fn help<'a>(&'a self) -> Option<Box<dyn Display + 'a>> {
        let help = match self {
            Self::Exists(_) => "add --force to replace it, or name another file",
            Self::NoPlanName { .. } => "name a .ron file; export writes .json and .csv",
            Self::NoReportName { .. } => {
                "the extension says the format: .txt text, .json for programs, .csv the course second by second"
            }
            Self::Carry(CarryError::NoHistory { .. }) => {
                "mend the plan (`chaffinch check PLAN` says where), or carry it over --without physics"
            }
            Self::Carry(CarryError::NoForecast { .. }) => {
                "look at the sheets carried to: dose, moisture, size of the beans, fan and chamber of the machine; or carry it over --without physics"
            }
            Self::NoForecast { .. } => "mend what is named; `chaffinch check PLAN` says where",
            Self::Shelf {
                error: ShelfError::Text { source, .. },
                ..
            } => match source {
                TextError::Unreadable {
                    format: TextFormat::Plan,
                    ..
                } => "`chaffinch new -o FILE.ron` writes a sound plan to compare with",
                TextError::Unreadable {
                    format: TextFormat::Practice,
                    ..
                } => {
                    "one line a rule, such as `first_crack_c: (per_100_m: 0.1, most: 1.0)`; a rule that isn't there is its usual one"
                }
                TextError::Unreadable {
                    format: TextFormat::Targets,
                    ..
                } => {
                    "one line a target, such as `drop_time_s: 540`, `drop_time_s: (least: 540, most: 560)` or `falling_rise: yes`"
                }
                TextError::Unreadable {
                    format: TextFormat::Lot | TextFormat::Machine | TextFormat::Room,
                    ..
                } => "a plan file does as well: then its coffee, machine or room is taken",
                TextError::Unreadable { .. }
                | TextError::OtherFormat { .. }
                | TextError::OtherUnit { .. } => {
                    "`chaffinch schema` prints what a neutral JSON file must look like"
                }
                _ => return None,
            },
            _ => return None,
        };
        Some(Box::new(help))
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        match self {
            Self::Shelf {
                shown: Some(shown), ..
            } => Some(&shown.text),
            _ => None,
        }
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        match self {
            Self::Shelf {
                shown: Some(shown), ..
            } => {
                let label = LabeledSpan::new_with_span(Some("here".to_owned()), shown.place);
                Some(Box::new(std::iter::once(label)))
            }
            _ => None,
        }
    }
}

/// Refuses to write a plan to anything but a `.ron` file, or over a file that is there, unless `may_replace`.
pub(super) fn check_plan_output(path: &Path, may_replace: bool) -> Result<(), CommandError> {
    let found = extension(path);
    if !found.eq_ignore_ascii_case("ron") {
        return Err(CommandError::NoPlanName {
            path: path.to_owned(),
            found,
        });
    }
    if path.exists() && !may_replace {
        return Err(CommandError::Exists(path.to_owned()));
    }
    Ok(())
}

/// Refuses an output that is the plan it is made from. An output that isn't there yet is another file.
pub(super) fn check_not_input(input: &Path, output: &Path) -> Result<(), CommandError> {
    match (fs::canonicalize(input), fs::canonicalize(output)) {
        (Ok(input), Ok(found)) if input == found => Err(CommandError::OwnInput(output.to_owned())),
        _ => Ok(()),
    }
}

/// The extension as it is written; empty if there is none.
pub(super) fn extension(path: &Path) -> String {
    path.extension()
        .map_or_else(String::new, |found| found.to_string_lossy().into_owned())
}
