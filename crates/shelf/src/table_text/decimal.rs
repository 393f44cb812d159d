//! Numbers in cells, and the decimal mark that all cells of a text share.

use super::{Cell, DecimalMark, PasteError};

/// A number as it is written, cut into its parts.
struct Written<'a> {
    is_negative: bool,
    /// Digits with marks; of a clock what stands behind its last colon.
    digits: &'a str,
    /// "E+02", or nothing.
    exponent: &'a str,
    is_clock: bool,
}

/// Takes the sign off: a plus, a hyphen or a true minus sign.
pub(super) fn split_sign(text: &str) -> (bool, &str) {
    match text.strip_prefix(['-', '−']) {
        Some(size) => (true, size),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    }
}

impl<'a> Written<'a> {
    fn of(text: &'a str) -> Self {
        let (is_negative, size) = split_sign(text);
        let (clock, size) = size.rsplit_once(':').unwrap_or(("", size));
        let (digits, exponent) = size.split_at(size.find(['e', 'E']).unwrap_or(size.len()));
        Self {
            is_negative,
            digits,
            exponent,
            is_clock: !clock.is_empty(),
        }
    }

    /// The mark, if there is just one.
    fn mark(&self) -> Option<DecimalMark> {
        match self.digits.matches(['.', ',']).collect::<Vec<_>>()[..] {
            ["."] => Some(DecimalMark::Dot),
            [","] => Some(DecimalMark::Comma),
            _ => None,
        }
    }

    /// What stands before and behind the mark.
    fn halves(&self) -> (&'a str, &'a str) {
        self.digits
            .split_once(['.', ','])
            .unwrap_or((self.digits, ""))
    }

    /// Whether the mark could group thousands: one to three digits before it, not led by a zero, and three behind.
    ///
    /// Seconds of a clock and numbers with an exponent are never grouped.
    fn could_be_grouped(&self) -> bool {
        let (whole, fraction) = self.halves();
        let is_plain = !self.is_clock && self.exponent.is_empty();
        is_plain && (1..=3).contains(&whole.len()) && !whole.starts_with('0') && fraction.len() == 3
    }
}

/// The decimal mark that the cells share; `None` if no cell has one.
///
/// A cell such as 183,5 tells; one such as 1,234 doesn't, and is only read if another cell tells.
/// `is_dot_known`: the header is this program's own, which writes a dot.
pub(super) fn find_decimal_mark<'a>(
    cells: impl Iterator<Item = &'a Cell>,
    is_dot_known: bool,
) -> Result<Option<DecimalMark>, PasteError> {
    let mut known = is_dot_known.then_some(DecimalMark::Dot);
    let mut doubtful = None;
    let mut has_mark = false;
    for cell in cells {
        let written = Written::of(&cell.text);
        let Some(mark) = written.mark() else { continue };
        has_mark = true;
        if written.could_be_grouped() {
            doubtful = doubtful.or(Some((cell, written.halves())));
            continue;
        }
        match known {
            Some(known) if known != mark => return Err(other_mark(cell, known)),
            _ => known = Some(mark),
        }
    }
    match (known, doubtful) {
        (None, Some((cell, (whole, fraction)))) => Err(PasteError::AmbiguousMark {
            cell: cell.clone(),
            as_decimal: format!("{whole}.{fraction}"),
            as_grouped: format!("{whole}{fraction}"),
        }),
        (known, _) => Ok(known.filter(|_| has_mark)),
    }
}

/// Reads a cell with the decimal mark of its text.
pub(super) fn read_decimal(cell: &Cell, mark: Option<DecimalMark>) -> Result<f64, PasteError> {
    let not_a_number = || PasteError::NotANumber { cell: cell.clone() };
    let written = Written::of(&cell.text);
    match (written.mark(), mark) {
        (Some(found), Some(expected)) if found != expected => {
            return Err(other_mark(cell, expected));
        }
        _ => {}
    }
    let (whole, fraction) = written.halves();
    let is_digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    // "5." and ".5" are read, "." is not; a second mark is in `fraction` and no digit. `parse` checks the exponent.
    if written.is_clock
        || !is_digits(whole)
        || !is_digits(fraction)
        || (whole.is_empty() && fraction.is_empty())
    {
        return Err(not_a_number());
    }
    let size: f64 = format!("{whole}.{fraction}{}", written.exponent)
        .parse()
        .map_err(|_| not_a_number())?;
    if !size.is_finite() {
        return Err(not_a_number());
    }
    Ok(if written.is_negative { -size } else { size })
}

fn other_mark(cell: &Cell, expected: DecimalMark) -> PasteError {
    PasteError::OtherMark {
        cell: cell.clone(),
        expected: expected.name(),
    }
}
