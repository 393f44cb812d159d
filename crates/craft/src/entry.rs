//! What a person may type into a field: numbers with units, clocks, changes of the current value, and sums.
//!
//! | typed | means |
//! | --- | --- |
//! | `9:30`, `570`, `570 s`, `9.5 min`, `9 min 30 s`, `1:02:03` | a time |
//! | `205`, `205 °C`, `401F` | a temperature; without a unit in the one that is shown |
//! | `9`, `9 °C/min`, `0.15/s`, `16.2 °F/min` | a rate of rise; without a unit per minute |
//! | `+5`, `-0:15`, `*1.05`, `/2` | a change of the current value, as it is shown |
//! | `205-3`, `9:30+15*2` | a sum; products first; a later term is a difference, so °F there counts without 32 |
//! | `=-5`, `+=5` | a value below zero; a change, whatever a leading sign means |
//!
//! Rates and shifts may be below zero, so there a leading sign belongs to the number and only `+=`, `-=` are changes.
//! What could be read in two ways is refused with both readings named; nothing is guessed.
//! Ranges are not checked here: an edit refuses what the document can't hold.

mod grammar;
mod number;
mod quantity;

use grammar::{LeadingSign, Operand, Operation, Part, Start};
use number::{read_clock, read_number};
use quantity::{Quantity, Sense, Unit};

use crate::units::{TempUnit, round_to_billionth, seconds_from_clock};

/// Why a typed text is no value; the field keeps what it had.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EntryError {
    /// Nothing but blanks.
    #[error("the field is empty; expected {expected}")]
    Empty {
        /// What to type.
        expected: String,
    },
    /// The text stops making sense at `found`.
    #[error("can't read “{found}”; expected {expected}, a change such as +5 or *1.05, or a sum")]
    NotUnderstood {
        /// The rest of the text.
        found: String,
        /// What to type.
        expected: String,
    },
    /// A unit that this field doesn't have.
    #[error("the unit “{found}” doesn't fit here; expected {expected}")]
    WrongUnit {
        /// The unit as typed.
        found: String,
        /// What to type.
        expected: String,
    },
    /// One number has a unit other than the field's, another has none.
    #[error(
        "“{found}” has no unit beside numbers in another one; write the unit behind each number"
    )]
    MixedUnits {
        /// The number without a unit.
        found: String,
    },
    /// A comma that is either a decimal mark or groups thousands.
    #[error("“{found}” could mean {as_decimal} or {as_grouped}; write one of these")]
    AmbiguousComma {
        /// The digits as typed.
        found: String,
        /// Read as a decimal mark.
        as_decimal: String,
        /// Read as a grouping mark.
        as_grouped: String,
    },
    /// More than one dot or comma in a number.
    #[error(
        "“{found}” has more than one mark; expected one decimal mark and no grouping, as in 1234.5"
    )]
    ManyMarks {
        /// The digits as typed.
        found: String,
    },
    /// A number that ends with its decimal mark.
    #[error("no digit follows the mark in “{found}”; expected a number such as 9.5")]
    NothingBehindMark {
        /// The digits as typed.
        found: String,
    },
    /// Digits that are no number.
    #[error("“{found}” is no number; expected one such as 9.5")]
    NotANumber {
        /// The digits as typed.
        found: String,
    },
    /// A clock reading out of form.
    #[error(
        "“{found}” is no time; expected m:ss or h:mm:ss with two digits below 60 behind each colon, as in 9:05"
    )]
    BadClock {
        /// The digits as typed.
        found: String,
    },
    /// Multiplied or divided by something that has a unit.
    #[error("can't multiply or divide by “{found}”; expected a plain number behind * and /")]
    FactorWithUnit {
        /// The factor as typed.
        found: String,
    },
    /// Divided by zero.
    #[error("can't divide by zero; expected another number behind /")]
    DivisionByZero,
    /// A change, but the field holds nothing yet.
    #[error("there is no value yet that could be changed; expected {expected}")]
    NoCurrentValue {
        /// What to type.
        expected: String,
    },
    /// The result is beyond what a number can hold.
    #[error("the number is too large; expected {expected}")]
    TooLarge {
        /// What to type.
        expected: String,
    },
}

/// Reads a time in s. `current_s` is the field's value; without one a change is refused.
///
/// # Errors
/// The text is empty, not understood, ambiguous, or not finite.
pub fn parse_time(text: &str, current_s: impl Into<Option<f64>>) -> Result<f64, EntryError> {
    evaluate(
        text,
        current_s.into(),
        Quantity::Time,
        LeadingSign::Relative,
    )
}

/// Reads by how much to move in time, in s: "10", "-0:15". A leading sign belongs to the number.
///
/// # Errors
/// As [`parse_time`].
pub fn parse_time_shift(text: &str) -> Result<f64, EntryError> {
    evaluate(text, None, Quantity::Time, LeadingSign::Signed)
}

/// Reads a temperature in °C; a number without a unit is in `shown`, and `*` and `/` act on the shown number.
///
/// # Errors
/// As [`parse_time`].
pub fn parse_temp(
    text: &str,
    current_c: impl Into<Option<f64>>,
    shown: TempUnit,
) -> Result<f64, EntryError> {
    evaluate(
        text,
        current_c.into(),
        Quantity::Temp(shown),
        LeadingSign::Relative,
    )
}

/// Reads by how much to move in temperature, in °C: "5", "-9 °F". A leading sign belongs to the number.
///
/// # Errors
/// As [`parse_time`].
pub fn parse_temp_shift(text: &str, shown: TempUnit) -> Result<f64, EntryError> {
    evaluate(text, None, Quantity::TempShift(shown), LeadingSign::Signed)
}

/// Reads a rate of rise in °C/s; a number without a unit is in `shown` per minute. A leading sign belongs to the number.
///
/// # Errors
/// As [`parse_time`].
pub fn parse_rise(
    text: &str,
    current_c_per_s: impl Into<Option<f64>>,
    shown: TempUnit,
) -> Result<f64, EntryError> {
    evaluate(
        text,
        current_c_per_s.into(),
        Quantity::Rise(shown),
        LeadingSign::Signed,
    )
}

/// Reads a number of per cent: "45" and "45 %" are both 45.
///
/// # Errors
/// As [`parse_time`].
pub fn parse_percent(
    text: &str,
    current_percent: impl Into<Option<f64>>,
) -> Result<f64, EntryError> {
    parse_number(text, current_percent, "%")
}

/// Reads a number that may carry `unit` as written here ("m", "g/L"); an empty `unit` allows none.
///
/// # Errors
/// As [`parse_time`].
pub fn parse_number(
    text: &str,
    current: impl Into<Option<f64>>,
    unit: &str,
) -> Result<f64, EntryError> {
    evaluate(
        text,
        current.into(),
        Quantity::Number(unit),
        LeadingSign::Relative,
    )
}

/// Reads a size that may be negative, with `unit` as [`parse_number`] does: "-0.5 %". A leading sign belongs to the number.
///
/// # Errors
/// As [`parse_time`].
pub fn parse_signed_number(text: &str, unit: &str) -> Result<f64, EntryError> {
    evaluate(text, None, Quantity::Number(unit), LeadingSign::Signed)
}

/// A number with its unit, and whether the unit was written.
#[derive(Clone, Copy)]
struct Measured<'a> {
    number: f64,
    unit: Unit,
    /// The digits of a number without a unit.
    bare: Option<&'a str>,
}

fn evaluate(
    text: &str,
    current: Option<f64>,
    quantity: Quantity,
    leading_sign: LeadingSign,
) -> Result<f64, EntryError> {
    let expected = || quantity.expected();
    if text.trim().is_empty() {
        return Err(EntryError::Empty {
            expected: expected(),
        });
    }
    let entry = grammar::read(text, leading_sign).map_err(|at| EntryError::NotUnderstood {
        found: shortened(text.get(at..).unwrap_or(text)),
        expected: expected(),
    })?;
    let first = match &entry.start {
        Start::Current => {
            let stored = current.ok_or_else(|| EntryError::NoCurrentValue {
                expected: expected(),
            })?;
            Measured {
                number: quantity.seen(stored, Sense::Place),
                unit: quantity.bare_unit(),
                bare: None,
            }
        }
        Start::Typed {
            is_negative,
            operand,
        } => {
            let typed = measure(operand, quantity)?;
            Measured {
                number: if *is_negative {
                    -typed.number
                } else {
                    typed.number
                },
                ..typed
            }
        }
    };
    let terms = multiply_out(first, &entry.steps, quantity)?;
    refuse_mixed_units(&terms, quantity.bare_unit())?;
    let value = match terms[..] {
        [only] if entry.steps.is_empty() => quantity.stored(only.number, only.unit, Sense::Place),
        _ => add_up(&terms, quantity),
    };
    if value.is_finite() {
        Ok(value)
    } else {
        Err(EntryError::TooLarge {
            expected: expected(),
        })
    }
}

/// Reads an operand's digits and units.
fn measure<'a>(operand: &Operand<'a>, quantity: Quantity) -> Result<Measured<'a>, EntryError> {
    if let [part] = operand[..] {
        return measure_part(part, quantity);
    }
    // "9 min 30 s": only times are written in parts, and each with its unit.
    let mut time_s = 0.0;
    for &part in operand {
        let measured = measure_part(part, quantity)?;
        if !matches!(quantity, Quantity::Time) || part.unit.is_empty() {
            return Err(EntryError::NotUnderstood {
                found: part.digits.to_owned(),
                expected: quantity.expected(),
            });
        }
        time_s += quantity.stored(measured.number, measured.unit, Sense::Distance);
    }
    Ok(Measured {
        number: round_to_billionth(time_s),
        unit: Unit::Second,
        bare: None,
    })
}

fn measure_part<'a>(part: Part<'a>, quantity: Quantity) -> Result<Measured<'a>, EntryError> {
    let wrong_unit = || EntryError::WrongUnit {
        found: part.unit.to_owned(),
        expected: quantity.expected(),
    };
    if part.digits.contains(':') && matches!(quantity, Quantity::Time) {
        if !part.unit.is_empty() {
            return Err(wrong_unit());
        }
        let [hours, minutes, seconds] = read_clock(part.digits)?;
        return Ok(Measured {
            number: seconds_from_clock(hours, minutes, seconds),
            unit: Unit::Second,
            bare: None,
        });
    }
    let number = read_number(part.digits)?;
    if part.unit.is_empty() {
        return Ok(Measured {
            number,
            unit: quantity.bare_unit(),
            bare: Some(part.digits),
        });
    }
    let unit = quantity.unit(part.unit).ok_or_else(wrong_unit)?;
    Ok(Measured {
        number,
        unit,
        bare: None,
    })
}

/// Applies `*` and `/` to the term before them; what is left are terms to add.
fn multiply_out<'a>(
    first: Measured<'a>,
    steps: &[(Operation, Operand<'a>)],
    quantity: Quantity,
) -> Result<Vec<Measured<'a>>, EntryError> {
    let mut done = Vec::new();
    let mut term = first;
    for (operation, operand) in steps {
        match operation {
            Operation::Multiply => term.number *= read_factor(operand)?,
            Operation::Divide => match read_factor(operand)? {
                0.0 => return Err(EntryError::DivisionByZero),
                divisor => term.number /= divisor,
            },
            Operation::Add | Operation::Subtract => {
                done.push(term);
                term = measure(operand, quantity)?;
                if *operation == Operation::Subtract {
                    term.number = -term.number;
                }
            }
        }
    }
    done.push(term);
    Ok(done)
}

fn read_factor(operand: &Operand) -> Result<f64, EntryError> {
    match operand[..] {
        [Part { digits, unit: "" }] if !digits.contains(':') => read_number(digits),
        _ => {
            let found: Vec<_> = operand
                .iter()
                .map(|part| format!("{}{}", part.digits, part.unit))
                .collect();
            Err(EntryError::FactorWithUnit {
                found: found.join(" "),
            })
        }
    }
}

/// "205 °C - 3" in a field that shows °F: three of which?
fn refuse_mixed_units(terms: &[Measured], bare_unit: Unit) -> Result<(), EntryError> {
    let has_other_unit = terms.iter().any(|term| term.unit != bare_unit);
    match terms.iter().find_map(|term| term.bare) {
        Some(found) if has_other_unit => Err(EntryError::MixedUnits {
            found: found.to_owned(),
        }),
        _ => Ok(()),
    }
}

/// Adds in the unit that is shown, where typed numbers are short decimals, and takes the binary noise out there.
fn add_up(terms: &[Measured], quantity: Quantity) -> f64 {
    let bare_unit = quantity.bare_unit();
    let senses = std::iter::once(Sense::Place).chain(std::iter::repeat(Sense::Distance));
    let sum = terms.iter().zip(senses).map(|(term, sense)| {
        if term.unit == bare_unit {
            term.number
        } else {
            quantity.seen(quantity.stored(term.number, term.unit, sense), sense)
        }
    });
    quantity.stored(round_to_billionth(sum.sum()), bare_unit, Sense::Place)
}

/// Enough of a wrong text to recognise it.
fn shortened(text: &str) -> String {
    const MOST_CHARS: usize = 24;
    let text = text.trim();
    match text.char_indices().nth(MOST_CHARS) {
        Some((at, _)) => format!("{}…", &text[..at]),
        None => text.to_owned(),
    }
}

#[cfg(test)]
mod tests;
