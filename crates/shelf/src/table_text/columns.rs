//! Which column is which: the header's names and units.

use chaffinch_craft::units::TempUnit;
use csv::StringRecord;

use super::{Cell, PasteError, TEMP_HEADER, TIME_HEADER, TimeFormat};

/// Where time and temperature stand, from 0, and what the header says of them.
#[derive(Debug, PartialEq)]
pub(super) struct Columns {
    pub(super) count: usize,
    /// What the other columns are called.
    pub(super) left_out: Vec<String>,
    pub(super) has_header: bool,
    /// The header is the one that this program writes.
    pub(super) is_own_header: bool,
    pub(super) time: usize,
    pub(super) temp: usize,
    /// As the header states it.
    pub(super) time_format: Option<TimeFormat>,
    /// As the header states it.
    pub(super) temp_unit: Option<TempUnit>,
}

/// Names of the two columns in messages.
const TIME: &str = "time";
const TEMPERATURE: &str = "temperature";

/// Reads the first row: a header, or the first point, whose first two columns are then time and temperature.
pub(super) fn find_columns(first: &StringRecord, row: u64) -> Result<Columns, PasteError> {
    if first.len() < 2 {
        let text = first.get(0).unwrap_or_default().to_owned();
        return Err(PasteError::OneColumn {
            cell: Cell {
                row,
                column: 1,
                text,
            },
        });
    }
    let count = first.len();
    if !is_header(first) {
        return Ok(Columns {
            count,
            left_out: (3..=count)
                .map(|number| format!("column {number}"))
                .collect(),
            has_header: false,
            is_own_header: false,
            time: 0,
            temp: 1,
            time_format: None,
            temp_unit: None,
        });
    }
    let names: Vec<String> = first.iter().map(str::to_lowercase).collect();
    let temp = only(first, TEMPERATURE, |column| is_temp(&names[column]))?.ok_or(
        PasteError::ColumnMissing {
            wanted: TEMPERATURE,
        },
    )?;
    let time = match only(first, TIME, |column| {
        column != temp && names[column].contains("time")
    })? {
        Some(time) => time,
        None if count == 2 && !is_rate(&names[1 - temp]) => 1 - temp,
        None => return Err(PasteError::ColumnMissing { wanted: TIME }),
    };
    let cell = |column: usize| Cell {
        row,
        column: column + 1,
        text: first[column].to_owned(),
    };
    let is_left_out = |column: &usize| *column != time && *column != temp;
    Ok(Columns {
        count,
        left_out: (0..count)
            .filter(is_left_out)
            .map(|column| match first[column].trim() {
                "" => format!("column {}", column + 1),
                name => format!("“{name}”"),
            })
            .collect(),
        has_header: true,
        is_own_header: &first[time] == TIME_HEADER && &first[temp] == TEMP_HEADER,
        time,
        temp,
        time_format: stated(&cell(time), TIME, "s, min, m:ss or h:mm:ss", time_format)?,
        temp_unit: stated(&cell(temp), TEMPERATURE, "°C or °F", temp_unit)?,
    })
}

/// A header holds no cell that begins like a number.
fn is_header(first: &StringRecord) -> bool {
    let begins_like_a_number = |cell: &str| {
        cell.starts_with(|sign: char| {
            sign.is_ascii_digit() || matches!(sign, '-' | '−' | '+' | '.' | ',')
        })
    };
    !first.iter().any(begins_like_a_number)
}

fn is_temp(name: &str) -> bool {
    name.contains("temp") && !is_rate(name)
}

fn is_rate(name: &str) -> bool {
    ["rise", "rate", "/min", "/s", "per min", "per s"]
        .iter()
        .any(|word| name.contains(word))
}

/// The only column that fits.
fn only(
    header: &StringRecord,
    wanted: &'static str,
    fits: impl Fn(usize) -> bool,
) -> Result<Option<usize>, PasteError> {
    let found: Vec<usize> = (0..header.len()).filter(|&column| fits(column)).collect();
    match found[..] {
        [first, second, ..] => Err(PasteError::AmbiguousColumns {
            wanted,
            first: header[first].to_owned(),
            second: header[second].to_owned(),
        }),
        _ => Ok(found.first().copied()),
    }
}

/// What a word of a header says about a unit.
enum Said<T> {
    /// A unit that can be read.
    Unit(T),
    /// A unit that can't be read.
    OtherUnit,
    /// Nothing.
    Nothing,
}

/// The unit in a header cell. In brackets must stand a known one; two that differ, or a foreign one, are refused.
fn stated<T: Copy + PartialEq>(
    cell: &Cell,
    wanted: &'static str,
    expected: &'static str,
    say: impl Fn(&str) -> Said<T>,
) -> Result<Option<T>, PasteError> {
    let unknown = || PasteError::UnknownUnit {
        wanted,
        cell: cell.clone(),
        expected,
    };
    let mut unit = None;
    for word in words(&cell.text) {
        match say(&word) {
            Said::Unit(found) if unit.is_none_or(|unit| unit == found) => unit = Some(found),
            Said::Unit(_) | Said::OtherUnit => return Err(unknown()),
            Said::Nothing => {}
        }
    }
    if unit.is_none() && cell.text.contains(['(', '[']) {
        Err(unknown())
    } else {
        Ok(unit)
    }
}

/// Words of a header: `BeanTemp_°F (raw)` is bean, temp, °f, raw. A colon is part of a word: `m:ss`.
fn words(header: &str) -> Vec<String> {
    let mut spaced = String::new();
    let mut before = ' ';
    for sign in header.chars() {
        if sign == '°' || (before.is_lowercase() && sign.is_uppercase()) {
            spaced.push(' ');
        }
        // A blank between the degree sign and its letter is left out.
        if !(before == '°' && sign.is_whitespace()) {
            spaced.push(sign);
            before = sign;
        }
    }
    spaced
        .to_lowercase()
        .split(|sign: char| !(sign.is_alphanumeric() || matches!(sign, '°' | ':' | '℃' | '℉')))
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

fn temp_unit(word: &str) -> Said<TempUnit> {
    match word {
        "c" | "°c" | "℃" | "degc" | "celsius" | "centigrade" => Said::Unit(TempUnit::Celsius),
        "f" | "°f" | "℉" | "degf" | "fahrenheit" => Said::Unit(TempUnit::Fahrenheit),
        "k" | "°k" | "kelvin" | "r" | "°r" | "rankine" => Said::OtherUnit,
        _ => Said::Nothing,
    }
}

fn time_format(word: &str) -> Said<TimeFormat> {
    match word {
        "s" | "sec" | "secs" | "second" | "seconds" => Said::Unit(TimeFormat::Seconds),
        "min" | "mins" | "minute" | "minutes" => Said::Unit(TimeFormat::Minutes),
        "m:ss" | "mm:ss" | "min:s" | "min:ss" | "h:mm:ss" | "hh:mm:ss" => {
            Said::Unit(TimeFormat::Clock)
        }
        "m" | "h" | "hr" | "hrs" | "hour" | "hours" | "ms" | "millisecond" | "milliseconds"
        | "d" | "days" => Said::OtherUnit,
        _ if word.contains(':') && word != ":" => Said::OtherUnit,
        _ => Said::Nothing,
    }
}
