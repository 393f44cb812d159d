//! The readings of roast colour as they lie in a notebook: one line a reading, easy to edit by hand.
//!
//! Each reading is judged while it is read, so that a broken one carries its place.

use crate::{
    checked_list::read_list,
    disk::{read_text, save_text},
    error::ShelfError,
    ron_document::{Document, document_from_ron, pretty_text},
    sheet_document::refused,
    stamp::FileStamp,
    text_error::{TextError, TextFormat},
    version::COLOURS_FILE_VERSION,
};
use chaffinch_craft::{
    CalendarDay, ColourReading, ColourReadings, ColourSample, Lab, MAX_READINGS, ReadingError,
    RoastColour,
};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};
use std::path::Path;

const FIRST_LINE: &str = "// Chaffinch colour readings: drop in °C, dry_loss the share of dry matter that was forecast to be gone, colour L*a*b* or a disc of 25 to 95.";
/// Readings stand at this depth, so each takes one line.
const DEPTH_OF_READINGS: usize = 2;

#[derive(Serialize, Deserialize)]
#[serde(rename = "colours", deny_unknown_fields)]
struct ColoursFile {
    version: u32,
    #[serde(serialize_with = "write_readings", deserialize_with = "read_readings")]
    readings: Vec<ColourReading>,
}

impl Document for ColoursFile {
    const FORMAT: TextFormat = TextFormat::Colours;
    const VERSION: u32 = COLOURS_FILE_VERSION;
}

#[derive(Serialize, Deserialize)]
#[serde(rename = "reading", deny_unknown_fields)]
struct ReadingFile {
    #[serde(
        default,
        skip_serializing_if = "Option::is_none",
        serialize_with = "write_day",
        deserialize_with = "read_day"
    )]
    day: Option<CalendarDay>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    coffee: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    finish: String,
    drop_c: f64,
    dry_loss: f64,
    #[serde(with = "SampleWord")]
    sample: ColourSample,
    colour: ColourWord,
}

#[derive(Serialize, Deserialize)]
#[serde(remote = "ColourSample", rename = "sample", rename_all = "snake_case")]
enum SampleWord {
    WholeBean,
    Ground,
}

#[derive(Serialize, Deserialize)]
#[serde(rename = "colour", rename_all = "snake_case", deny_unknown_fields)]
enum ColourWord {
    Lab { lightness: f64, a: f64, b: f64 },
    Disc(f64),
}

impl From<RoastColour> for ColourWord {
    fn from(colour: RoastColour) -> Self {
        match colour {
            RoastColour::Lab(Lab { lightness, a, b }) => Self::Lab { lightness, a, b },
            RoastColour::Disc(disc) => Self::Disc(disc),
        }
    }
}

impl From<ColourWord> for RoastColour {
    fn from(word: ColourWord) -> Self {
        match word {
            ColourWord::Lab { lightness, a, b } => Self::Lab(Lab { lightness, a, b }),
            ColourWord::Disc(disc) => Self::Disc(disc),
        }
    }
}

/// Reads a notebook's readings of roast colour.
///
/// # Errors
/// [`ShelfError`]: not readable, more than 4 MiB, no readings of roast colour, or a value out of its range (with line and column).
pub fn read_colours(path: &Path) -> Result<ColourReadings, ShelfError> {
    let text = read_text(path)?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
    let readings = document_from_ron::<ColoursFile>(text)
        .and_then(|file| Ok::<_, TextError>(ColourReadings::new(file.readings)?));
    readings.map_err(|source| refused(path, source))
}

/// Saves a notebook's readings of roast colour. The same readings give the same bytes.
///
/// # Errors
/// As [`save_text`].
pub fn save_colours(path: &Path, readings: &ColourReadings) -> Result<FileStamp, ShelfError> {
    let file = ColoursFile {
        version: COLOURS_FILE_VERSION,
        readings: readings.all().to_vec(),
    };
    let text = pretty_text(FIRST_LINE, TextFormat::Colours, &file, DEPTH_OF_READINGS);
    save_text(path, &text)
}

fn write_readings<S: Serializer>(
    readings: &[ColourReading],
    serializer: S,
) -> Result<S::Ok, S::Error> {
    serializer.collect_seq(readings.iter().map(|reading| ReadingFile {
        day: reading.day,
        coffee: reading.coffee.clone(),
        finish: reading.finish.clone(),
        drop_c: reading.drop_c,
        dry_loss: reading.dry_loss,
        sample: reading.sample,
        colour: reading.colour.into(),
    }))
}

fn read_readings<'de, D: Deserializer<'de>>(
    deserializer: D,
) -> Result<Vec<ColourReading>, D::Error> {
    let convert = |_, file: ReadingFile| ColourReading {
        day: file.day,
        coffee: file.coffee,
        finish: file.finish,
        drop_c: file.drop_c,
        dry_loss: file.dry_loss,
        sample: file.sample,
        colour: file.colour.into(),
    };
    read_list(deserializer, convert, check_last)
}

/// Whether the list may have its last reading; those before it were judged before.
fn check_last(so_far: &[ColourReading]) -> Result<(), ReadingError> {
    if MAX_READINGS < so_far.len() {
        let found = so_far.len();
        return Err(ReadingError::TooMany { found });
    }
    so_far.last().map_or(Ok(()), ColourReading::check)
}

#[expect(
    clippy::ref_option,
    clippy::trivially_copy_pass_by_ref,
    reason = "serde hands it over like this"
)]
fn write_day<S: Serializer>(day: &Option<CalendarDay>, serializer: S) -> Result<S::Ok, S::Error> {
    day.map(|day| day.to_string()).serialize(serializer)
}

fn read_day<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<CalendarDay>, D::Error> {
    let text = Option::<String>::deserialize(deserializer)?;
    text.map(|text| text.parse().map_err(D::Error::custom))
        .transpose()
}
