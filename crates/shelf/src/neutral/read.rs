//! Reading a plan out of neutral JSON. Unknown keys and everything computed are ignored.

use super::{
    drawing::{AirflowObject, CurveObject},
    number_list,
    sheets::{LotObject, MachineObject, RoomObject},
    units::Units,
};
use crate::{
    carried_over::CarriedOver,
    checked_list::{check_finishes, read_list},
    checked_value,
    text_error::{Place, TextError, TextFormat, printable},
    version::{NEUTRAL_FORMAT, NEUTRAL_MAJOR},
};
use chaffinch_craft::{Finish, FinishId, FinishLadder, Plan, PlanParts, Variation};
use chaffinch_curve::Marks;
use serde::{Deserialize, Deserializer, de::DeserializeOwned};
use serde_json::error::Category;

/// Read first, so that a newer file is called newer and not broken.
#[derive(Deserialize)]
struct Head {
    format: String,
    version: String,
}

/// Most marks that are read: ours and room for others', but no endless list.
const MAX_MARKS: usize = 100;

/// The parts that make the plan.
#[derive(Deserialize)]
struct Body {
    #[serde(deserialize_with = "checked_value::title")]
    title: String,
    #[serde(deserialize_with = "checked_value::notes")]
    notes: String,
    units: Units<Option<String>>,
    curve: CurveObject,
    airflow: AirflowObject,
    #[serde(deserialize_with = "read_marks")]
    marks: Vec<MarkObject>,
    finishes: Ladder,
    lot: LotObject,
    machine: MachineObject,
    room: RoomObject,
    #[serde(default, with = "number_list")]
    variation: Variation,
}

#[derive(Deserialize)]
struct MarkObject {
    name: String,
    temperature: f64,
}

#[derive(Deserialize)]
struct FinishObject {
    name: String,
    temperature: f64,
    chosen: bool,
}

/// The finishes with the ids of the chosen ones.
struct Ladder {
    finishes: Vec<Finish>,
    chosen: Vec<FinishId>,
}

/// Reads the neutral JSON of any version 1.x. Ids are numbered from 1 in file order.
///
/// # Errors
/// [`TextError`]: nothing in it, another format, a higher major version, other units, not well-formed (with line and
/// column), or a broken rule.
pub fn plan_from_neutral(text: &str) -> Result<Plan, TextError> {
    carry_over_neutral(text).map(|(plan, _)| plan)
}

/// As [`plan_from_neutral`], with what had to be changed because a plan may no longer have it.
pub(crate) fn carry_over_neutral(text: &str) -> Result<(Plan, Vec<CarriedOver>), TextError> {
    if text.trim().is_empty() {
        return Err(TextError::Empty);
    }
    let rest = text.trim_start();
    if !rest.starts_with('{') {
        return Err(TextError::not_a_plan(text, rest));
    }
    check_head(&parse::<Head>(text)?)?;
    let body = parse::<Body>(text)?;
    body.units.check()?;
    let [chosen] = body.finishes.chosen[..] else {
        return Err(TextError::ChosenCount {
            found: body.finishes.chosen.len(),
        });
    };
    let (machine, told) = body.machine.into_machine();
    let parts = PlanParts {
        title: body.title,
        notes: body.notes,
        curve: body.curve.into_curve()?,
        airflow: body.airflow.into_airflow()?,
        marks: Marks {
            colour_change_c: mark(&body.marks, "colour_change")?,
            first_crack_c: mark(&body.marks, "first_crack")?,
        },
        finishes: FinishLadder::new(body.finishes.finishes, chosen)?,
        lot: body.lot.into_lot()?,
        machine,
        room: body.room.into_room(),
        variation: body.variation,
    };
    Ok((Plan::new(parts)?, told.into_iter().collect()))
}

fn check_head(head: &Head) -> Result<(), TextError> {
    if head.format != NEUTRAL_FORMAT {
        return Err(TextError::OtherFormat {
            found: printable(&head.format),
            expected: NEUTRAL_FORMAT,
        });
    }
    let major = head
        .version
        .split('.')
        .next()
        .and_then(|major| major.parse::<u32>().ok());
    let (format, found, known) = (TextFormat::Neutral, printable(&head.version), NEUTRAL_MAJOR);
    match major {
        Some(NEUTRAL_MAJOR) => Ok(()),
        Some(major) if major > NEUTRAL_MAJOR => Err(TextError::NewerVersion {
            format,
            found,
            known,
        }),
        _ => Err(TextError::UnknownVersion {
            format,
            found,
            known,
        }),
    }
}

fn mark(marks: &[MarkObject], name: &'static str) -> Result<f64, TextError> {
    let found: Vec<f64> = marks
        .iter()
        .filter(|mark| mark.name == name)
        .map(|mark| mark.temperature)
        .collect();
    match found[..] {
        [temp_c] => Ok(temp_c),
        _ => Err(TextError::MarkCount {
            name,
            found: found.len(),
        }),
    }
}

fn read_marks<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<MarkObject>, D::Error> {
    let check = |so_far: &[MarkObject]| match so_far.len() {
        0..=MAX_MARKS => Ok(()),
        found => Err(format!(
            "{found} marks found, at most {MAX_MARKS} expected: remove some"
        )),
    };
    read_list(deserializer, |_, mark: MarkObject| mark, check)
}

impl<'de> Deserialize<'de> for Ladder {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let convert = |number, object: FinishObject| {
            let finish = Finish {
                id: FinishId(number),
                name: object.name,
                temp_c: object.temperature,
            };
            (finish, object.chosen)
        };
        let check = |so_far: &[(Finish, bool)]| {
            let finishes: Vec<Finish> = so_far.iter().map(|(finish, _)| finish.clone()).collect();
            check_finishes(&finishes)
        };
        let list = read_list(deserializer, convert, check)?;
        let chosen = list
            .iter()
            .filter(|(_, is_chosen)| *is_chosen)
            .map(|(finish, _)| finish.id);
        Ok(Self {
            chosen: chosen.collect(),
            finishes: list.into_iter().map(|(finish, _)| finish).collect(),
        })
    }
}

fn parse<T: DeserializeOwned>(text: &str) -> Result<T, TextError> {
    serde_json::from_str(text).map_err(|error| {
        let message = printable(&error);
        let at = format!(" at line {} column {}", error.line(), error.column());
        TextError::Unreadable {
            format: TextFormat::Neutral,
            place: place(text, &error),
            found: message.strip_suffix(&at).unwrap_or(&message).to_owned(),
        }
    })
}

/// Where the reader stopped; for a value against a rule, the end of that value.
///
/// The reader counts bytes in a line, people count characters. It notices a broken rule only after it has looked for what
/// comes next, which may stand some lines below.
fn place(text: &str, error: &serde_json::Error) -> Place {
    let lines_before: usize = text
        .split_inclusive('\n')
        .take(error.line().saturating_sub(1))
        .map(str::len)
        .sum();
    let mut end = (lines_before + error.column().saturating_sub(1)).min(text.len());
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let before = &text[..end];
    let value = before.trim_end();
    let last = value.char_indices().next_back();
    match (error.classify(), last) {
        (Category::Data, Some((start, _))) => Place::after(&value[..start]),
        _ => Place::after(before),
    }
}
