//! The grammar of a field: what was written, before anything is known of its quantity.
//!
//! ```text
//! field   = "=" sign? operand step* | operation "=" operand step* | sign operand step* (signed fields)
//!         | step step* (relative to the current value) | operand step*
//! step    = ("+" | "-" | "*" | "/") operand
//! operand = (digits unit?)+                     "9:30", "205 °C", "9 min 30 s"
//! unit    = word ("/" word)? | "/" word         "/s" is a unit, "/2" a step
//! ```

use winnow::{
    Parser, Result,
    combinator::{alt, delimited, dispatch, empty, fail, opt, preceded, repeat},
    token::{any, take_while},
};

/// What an entry begins with.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Start<'a> {
    /// The value that the field holds.
    Current,
    /// A typed operand, negated or not.
    Typed {
        is_negative: bool,
        operand: Operand<'a>,
    },
}

/// One of the four operations.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Operation {
    Add,
    Subtract,
    Multiply,
    Divide,
}

/// A number with its unit as written; several only for "9 min 30 s".
pub(super) type Operand<'a> = Vec<Part<'a>>;

/// Digits with marks ("9:30", "1,5") and the unit behind them (may be empty).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Part<'a> {
    pub(super) digits: &'a str,
    pub(super) unit: &'a str,
}

/// A whole entry, in the order in which it was written.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Entry<'a> {
    pub(super) start: Start<'a>,
    pub(super) steps: Vec<(Operation, Operand<'a>)>,
}

/// What a sign in front of the first number means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum LeadingSign {
    /// "+5" is 5 more than the current value.
    Relative,
    /// "+5" is the number 5; only "+=5" is relative.
    Signed,
}

/// Reads an entry. Fails with the byte offset of the first character that doesn't fit.
pub(super) fn read(text: &str, leading_sign: LeadingSign) -> std::result::Result<Entry<'_>, usize> {
    let field = match leading_sign {
        LeadingSign::Relative => unsigned_field,
        LeadingSign::Signed => signed_field,
    };
    delimited(blank, field, blank)
        .parse(text)
        .map_err(|error| error.offset())
}

fn unsigned_field<'a>(input: &mut &'a str) -> Result<Entry<'a>> {
    alt((absolute, changed, relative, plain)).parse_next(input)
}

fn signed_field<'a>(input: &mut &'a str) -> Result<Entry<'a>> {
    alt((signed, unsigned_field)).parse_next(input)
}

/// "=5", "=-5".
fn absolute<'a>(input: &mut &'a str) -> Result<Entry<'a>> {
    preceded((equals, blank), alt((signed, plain))).parse_next(input)
}

/// "+=5": relative whatever a leading sign means.
fn changed<'a>(input: &mut &'a str) -> Result<Entry<'a>> {
    let first = (operation, preceded((equals, blank), operand));
    (first, steps)
        .map(|(first, rest)| from_current(first, rest))
        .parse_next(input)
}

/// "+5", "*1.05".
fn relative<'a>(input: &mut &'a str) -> Result<Entry<'a>> {
    (step, steps)
        .map(|(first, rest)| from_current(first, rest))
        .parse_next(input)
}

/// "-5" as a number.
fn signed<'a>(input: &mut &'a str) -> Result<Entry<'a>> {
    let sign = operation.verify_map(|operation| match operation {
        Operation::Add => Some(false),
        Operation::Subtract => Some(true),
        Operation::Multiply | Operation::Divide => None,
    });
    (sign, preceded(blank, operand), steps)
        .map(|(is_negative, operand, steps)| Entry {
            start: Start::Typed {
                is_negative,
                operand,
            },
            steps,
        })
        .parse_next(input)
}

fn plain<'a>(input: &mut &'a str) -> Result<Entry<'a>> {
    (operand, steps)
        .map(|(operand, steps)| Entry {
            start: Start::Typed {
                is_negative: false,
                operand,
            },
            steps,
        })
        .parse_next(input)
}

fn from_current<'a>(
    first: (Operation, Operand<'a>),
    mut rest: Vec<(Operation, Operand<'a>)>,
) -> Entry<'a> {
    rest.insert(0, first);
    Entry {
        start: Start::Current,
        steps: rest,
    }
}

fn steps<'a>(input: &mut &'a str) -> Result<Vec<(Operation, Operand<'a>)>> {
    repeat(0.., preceded(blank, step)).parse_next(input)
}

fn step<'a>(input: &mut &'a str) -> Result<(Operation, Operand<'a>)> {
    (operation, preceded(blank, operand)).parse_next(input)
}

fn operation(input: &mut &str) -> Result<Operation> {
    dispatch! { any;
        '+' => empty.value(Operation::Add),
        // The hyphen of a keyboard and the true minus sign.
        '-' | '−' => empty.value(Operation::Subtract),
        '*' | '×' => empty.value(Operation::Multiply),
        '/' | '÷' => empty.value(Operation::Divide),
        _ => fail,
    }
    .parse_next(input)
}

fn operand<'a>(input: &mut &'a str) -> Result<Operand<'a>> {
    (part, repeat(0.., preceded(blank, part)))
        .map(|(first, mut rest): (_, Vec<_>)| {
            rest.insert(0, first);
            rest
        })
        .parse_next(input)
}

fn part<'a>(input: &mut &'a str) -> Result<Part<'a>> {
    let digits = take_while(1.., ('0'..='9', '.', ',', ':'));
    let unit = opt(preceded(blank, unit)).map(Option::unwrap_or_default);
    (digits, unit)
        .map(|(digits, unit)| Part { digits, unit })
        .parse_next(input)
}

fn unit<'a>(input: &mut &'a str) -> Result<&'a str> {
    alt(((word, opt(per)).take(), per.take())).parse_next(input)
}

fn per<'a>(input: &mut &'a str) -> Result<&'a str> {
    preceded('/', word).take().parse_next(input)
}

/// Letters and the signs that belong to units; "º" is what some keyboards give for a degree sign.
fn word<'a>(input: &mut &'a str) -> Result<&'a str> {
    take_while(1.., |sign: char| {
        sign.is_alphabetic() || matches!(sign, '°' | 'º' | '℃' | '℉' | '%')
    })
    .parse_next(input)
}

fn equals(input: &mut &str) -> Result<char> {
    '='.parse_next(input)
}

fn blank<'a>(input: &mut &'a str) -> Result<&'a str> {
    take_while(0.., char::is_whitespace).parse_next(input)
}
