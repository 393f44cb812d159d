//! The document: a curve, its airflow, its marks and finishes, and the lot, machine and room that it was drawn for.
//!
//! Fields can be read by all and changed by nobody: a new plan comes out of [`crate::Edit`]s through
//! [`crate::History`], or whole out of [`PlanParts`] (reading a file, building an example).

use crate::{
    airflow::AirflowSchedule,
    finishes::{Finish, FinishLadder},
    limits,
    lot::{Lot, LotError, LotText},
    machine::{Machine, MachineNumber},
    room::Room,
    sheet::NumberError,
    variation::Variation,
};
use chaffinch_curve::{ControlPoint, MAX_TEMP_C, MIN_TEMP_C, Marks, PointId, SetpointCurve, Shape};
use std::ops::Deref;
use thiserror::Error;

/// Everything a plan is made of, open for building and taking apart.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanParts {
    /// The plan's title, one line.
    pub title: String,
    /// Free notes.
    pub notes: String,
    /// The setpoint curve.
    pub curve: SetpointCurve,
    /// The fan setting over time.
    pub airflow: AirflowSchedule,
    /// Temperatures at which colour change and first crack are expected in this lot.
    pub marks: Marks,
    /// The ladder of drop temperatures.
    pub finishes: FinishLadder,
    /// The green coffee.
    pub lot: Lot,
    /// The machine.
    pub machine: Machine,
    /// The room.
    pub room: Room,
    /// How much things differ from day to day.
    pub variation: Variation,
}

/// A plan that obeys all rules. Reads as its [`PlanParts`].
#[derive(Clone, Debug, PartialEq)]
pub struct Plan(PlanParts);

/// Why a plan can't be as wished.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum PlanError {
    /// A mark is out of range.
    #[error("{mark} is at {found_c} °C; expected {MIN_TEMP_C} to {MAX_TEMP_C} °C")]
    MarkOutOfRange {
        /// Which mark.
        mark: &'static str,
        /// Its temperature in °C.
        found_c: f64,
    },
    /// The marks are in the wrong order.
    #[error(
        "colour change at {colour_change_c} °C is not below first crack at {first_crack_c} °C; lower the one or raise the other"
    )]
    MarksOutOfOrder {
        /// Colour change in °C.
        colour_change_c: f64,
        /// First crack in °C.
        first_crack_c: f64,
    },
    /// The machine's ceiling is out of range.
    #[error(
        "the machine's ceiling is {found_c} °C; expected {} to {} °C",
        limits::CEILING_RANGE_C.0,
        limits::CEILING_RANGE_C.1
    )]
    Ceiling {
        /// The ceiling in °C.
        found_c: f64,
    },
    /// The wished development is at fault.
    #[error(transparent)]
    Lot(#[from] LotError),
    /// A number of a sheet is out of its range.
    #[error(transparent)]
    Number(#[from] NumberError),
    /// The machine's batch range is upside down.
    #[error(
        "the machine's least dose of {least_g} g is above its greatest of {greatest_g} g; lower the one or raise the other"
    )]
    BatchRange {
        /// Least dose in g.
        least_g: f64,
        /// Greatest dose in g.
        greatest_g: f64,
    },
    /// A one-line text is too long or holds a line break or another control character.
    #[error(
        "{field} has {found_chars} characters or a control character such as a line break; expected one line of at most {} characters",
        limits::MAX_LINE_CHARS
    )]
    Line {
        /// Which text.
        field: &'static str,
        /// Its length in characters.
        found_chars: usize,
    },
    /// The notes are too long.
    #[error(
        "{field} take {found_bytes} bytes; at most {} are kept, so shorten them",
        limits::MAX_NOTES_BYTES
    )]
    Notes {
        /// Which notes.
        field: &'static str,
        /// Their length in bytes.
        found_bytes: usize,
    },
}

impl Plan {
    /// Checks the parts and makes a plan of them.
    ///
    /// # Errors
    /// [`PlanError`] for the first part that breaks a rule: marks out of range or order, ceiling, lot numbers, texts.
    pub fn new(parts: PlanParts) -> Result<Self, PlanError> {
        check_marks(&parts.marks)?;
        let (least_c, most_c) = limits::CEILING_RANGE_C;
        if !(least_c..=most_c).contains(&parts.machine.ceiling_c) {
            return Err(PlanError::Ceiling {
                found_c: parts.machine.ceiling_c,
            });
        }
        check_numbers(&parts)?;
        check_texts(&parts)?;
        Ok(Self(parts))
    }

    /// A valid plan to start drawing from: a two-point curve and the default marks, finishes and airflow.
    ///
    /// # Panics
    /// Never: the built-in curve obeys the curve's rules, which a test holds.
    #[expect(
        clippy::expect_used,
        reason = "the built-in curve is valid; a test holds it"
    )]
    pub fn fresh() -> Self {
        let points = limits::NEW_CURVE
            .iter()
            .zip(1..)
            .map(|(&(time_s, temp_c), id)| ControlPoint::new(PointId(id), time_s, temp_c))
            .collect();
        Self(PlanParts {
            title: "New plan".to_owned(),
            notes: String::new(),
            curve: SetpointCurve::new(Shape::Monotone, points)
                .expect("the built-in curve is valid"),
            airflow: AirflowSchedule::constant(limits::NEW_AIR_PERCENT),
            marks: Marks::default(),
            finishes: FinishLadder::default(),
            lot: Lot::default(),
            machine: Machine::default(),
            room: Room::default(),
            variation: Variation::default(),
        })
    }

    /// The parts, to build another plan from.
    pub fn into_parts(self) -> PlanParts {
        self.0
    }

    /// The plan with other notes on itself and on the lot, which must be empty or those of a plan, and the notes it had.
    pub(crate) fn with_notes(mut self, [notes, lot_notes]: [String; 2]) -> (Self, [String; 2]) {
        let had = [
            std::mem::replace(&mut self.0.notes, notes),
            std::mem::replace(&mut self.0.lot.notes, lot_notes),
        ];
        (self, had)
    }

    /// The finish at which this plan drops.
    pub fn finish(&self) -> &Finish {
        self.0.finishes.chosen()
    }
}

impl Deref for Plan {
    type Target = PlanParts;

    fn deref(&self) -> &PlanParts {
        &self.0
    }
}

fn check_marks(marks: &Marks) -> Result<(), PlanError> {
    for (mark, found_c) in [
        ("colour change", marks.colour_change_c),
        ("first crack", marks.first_crack_c),
    ] {
        if !(MIN_TEMP_C..=MAX_TEMP_C).contains(&found_c) {
            return Err(PlanError::MarkOutOfRange { mark, found_c });
        }
    }
    if marks.colour_change_c >= marks.first_crack_c {
        return Err(PlanError::MarksOutOfOrder {
            colour_change_c: marks.colour_change_c,
            first_crack_c: marks.first_crack_c,
        });
    }
    Ok(())
}

fn check_numbers(parts: &PlanParts) -> Result<(), PlanError> {
    parts.lot.numbers.check()?;
    parts.machine.numbers.check()?;
    parts.room.numbers.check()?;
    parts.variation.check()?;
    let dose_g = |number| parts.machine.numbers.known(number).map(|given| given.value);
    match (
        dose_g(MachineNumber::LeastDose),
        dose_g(MachineNumber::GreatestDose),
    ) {
        (Some(least_g), Some(greatest_g)) if greatest_g < least_g => Err(PlanError::BatchRange {
            least_g,
            greatest_g,
        }),
        _ => Ok(()),
    }
}

fn check_texts(parts: &PlanParts) -> Result<(), PlanError> {
    let lines = [
        ("the title", &parts.title),
        ("the machine's name", &parts.machine.name),
        ("the room's name", &parts.room.name),
    ];
    for (field, text) in lines {
        check_line(field, text)?;
    }
    for field in LotText::ALL {
        if field != LotText::Notes {
            check_line(field.label(), parts.lot.text(field))?;
        }
    }
    for finish in parts.finishes.finishes() {
        check_line("a finish's name", &finish.name)?;
    }
    for (field, text) in [
        ("the plan's notes", &parts.notes),
        ("the lot's notes", &parts.lot.notes),
    ] {
        if text.len() > limits::MAX_NOTES_BYTES {
            return Err(PlanError::Notes {
                field,
                found_bytes: text.len(),
            });
        }
    }
    Ok(())
}

fn check_line(field: &'static str, text: &str) -> Result<(), PlanError> {
    let found_chars = text.chars().count();
    if found_chars > limits::MAX_LINE_CHARS || text.chars().any(char::is_control) {
        return Err(PlanError::Line { field, found_chars });
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]
    use super::*;

    #[test]
    fn fresh_plan_obeys_every_rule() {
        let plan = Plan::fresh();
        assert_eq!(Plan::new(plan.clone().into_parts()).unwrap(), plan, "fresh");
    }

    #[test]
    fn marks_out_of_order_are_refused_with_both_values() {
        let mut parts = Plan::fresh().into_parts();
        parts.marks.colour_change_c = 200.0;
        let error = Plan::new(parts).unwrap_err().to_string();
        assert!(error.contains("200") && error.contains("198"), "{error}");
    }

    #[test]
    fn line_breaks_in_a_title_are_refused() {
        let mut parts = Plan::fresh().into_parts();
        parts.title = "two\nlines".to_owned();
        assert!(
            matches!(Plan::new(parts), Err(PlanError::Line { .. })),
            "title"
        );
    }
}
