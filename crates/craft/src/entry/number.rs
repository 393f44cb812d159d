//! Digits as a person writes them: a dot or a comma as decimal mark, never as a grouping mark, never guessed.

use super::EntryError;

/// Reads digits with at most one decimal mark ("9.5", "9,5", ".5"); the result is not negative, and infinite if there are very many digits.
///
/// A dot is always the decimal mark, as in everything the program writes.
/// A comma is one unless it could as well group thousands: one to three digits before it, not led by a zero, and three behind.
pub(super) fn read_number(digits: &str) -> Result<f64, EntryError> {
    let found = || digits.to_owned();
    let marks = digits.matches(['.', ',']).count();
    if marks > 1 {
        return Err(EntryError::ManyMarks { found: found() });
    }
    let (whole, fraction) = digits.split_once(['.', ',']).unwrap_or((digits, ""));
    if marks == 1 && fraction.is_empty() {
        return Err(EntryError::NothingBehindMark { found: found() });
    }
    if digits.contains(',') && could_group(whole, fraction) {
        return Err(EntryError::AmbiguousComma {
            found: found(),
            as_decimal: format!("{whole}.{fraction}"),
            as_grouped: format!("{whole}{fraction}"),
        });
    }
    digits
        .replace(',', ".")
        .parse()
        .map_err(|_| EntryError::NotANumber { found: found() })
}

/// Whether the mark between the two could group thousands ("1,234"; not "0,435", not "1234,567").
fn could_group(whole: &str, fraction: &str) -> bool {
    (1..=3).contains(&whole.len()) && !whole.starts_with('0') && fraction.len() == 3
}

/// Reads "m:ss" or "h:mm:ss" with an optional fraction of a second as hours, minutes and seconds.
pub(super) fn read_clock(digits: &str) -> Result<[f64; 3], EntryError> {
    let bad = || EntryError::BadClock {
        found: digits.to_owned(),
    };
    let fields: Vec<&str> = digits.split(':').collect();
    let (hours, minutes, seconds) = match fields[..] {
        [minutes, seconds] => ("0", minutes, seconds),
        [hours, minutes, seconds] if minutes.len() == 2 => (hours, minutes, seconds),
        _ => return Err(bad()),
    };
    let is_whole =
        |field: &str| !field.is_empty() && field.bytes().all(|byte| byte.is_ascii_digit());
    let has_two_digits = seconds.find(['.', ',']).unwrap_or(seconds.len()) == 2;
    if !has_two_digits || !is_whole(hours) || !is_whole(minutes) {
        return Err(bad());
    }
    // Two digits before a comma in a clock can't be thousands, so a comma is a decimal mark here.
    let seconds = read_number(&seconds.replace(',', "."))?;
    let [hours, minutes] = [read_number(hours)?, read_number(minutes)?];
    if seconds >= 60.0 || (fields.len() == 3 && minutes >= 60.0) {
        return Err(bad());
    }
    Ok([hours, minutes, seconds])
}
