//! Everything a person can change in a plan, as values.
//!
//! An edit says what is meant (`move this point there`), is checked in one place, and is applied whole or refused
//! with a reason. Locks, ranges and order are kept by the types underneath.

use crate::{
    airflow::{AirEdit, AirError},
    finishes::{FinishEdit, FinishError, FinishId},
    handwork::{self, HandEdit, HandError},
    knowledge::{Given, Knowledge},
    limits::LEAST_MARK_GAP_C,
    lot::{LotNumber, LotText, RatioRange},
    machine::MachineNumber,
    plan::{Plan, PlanError, PlanParts},
    room::RoomNumber,
    sheet::{NumberFacts, SheetNumber},
    units::round_to_billionth,
    variation::VariationNumber,
    warp::{self, WarpError},
};
use chaffinch_curve::{EditRefusal, MAX_TEMP_C, MIN_TEMP_C, Marks, PointEdit};
use chaffinch_twin::FeedForward;
use thiserror::Error;

/// A mark on the temperature axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum MarkName {
    /// Green turns yellow-brown: drying ends.
    ColourChange,
    /// First crack: browning ends.
    FirstCrack,
}

impl MarkName {
    /// Both marks, lower first.
    pub const ALL: [Self; 2] = [Self::ColourChange, Self::FirstCrack];

    /// The mark's temperature among `marks`, in °C.
    pub fn temp_c(self, marks: &Marks) -> f64 {
        match self {
            Self::ColourChange => marks.colour_change_c,
            Self::FirstCrack => marks.first_crack_c,
        }
    }

    /// The mark's name as the window shows it.
    pub fn label(self) -> &'static str {
        match self {
            Self::ColourChange => "Colour change",
            Self::FirstCrack => "First crack",
        }
    }
}

/// Lowest and highest temperature, in °C, that `mark` of `plan` may be moved to: the curve's range, and
/// [`LEAST_MARK_GAP_C`] clear of the other mark. A mark that already stands nearer may stay where it is.
pub fn mark_limits_c(plan: &Plan, mark: MarkName) -> (f64, f64) {
    let marks = &plan.marks;
    match mark {
        MarkName::ColourChange => {
            let most_c = round_to_billionth(marks.first_crack_c - LEAST_MARK_GAP_C);
            (MIN_TEMP_C, most_c.max(marks.colour_change_c))
        }
        MarkName::FirstCrack => {
            let least_c = round_to_billionth(marks.colour_change_c + LEAST_MARK_GAP_C);
            (least_c.min(marks.first_crack_c), MAX_TEMP_C)
        }
    }
}

/// A border between two phases, or the end of the last one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Boundary {
    /// Where the curve passes a mark.
    Mark(MarkName),
    /// Where the curve reaches the chosen finish.
    Drop,
}

impl Boundary {
    /// All three, earliest first.
    pub const ALL: [Self; 3] = [
        Self::Mark(MarkName::ColourChange),
        Self::Mark(MarkName::FirstCrack),
        Self::Drop,
    ];

    /// The boundary's name as the window shows it.
    pub fn label(self) -> &'static str {
        match self {
            Self::Mark(mark) => mark.label(),
            Self::Drop => "Drop",
        }
    }
}

/// A number of one of the sheets.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum NumberName {
    /// Of the coffee.
    Lot(LotNumber),
    /// Of the machine.
    Machine(MachineNumber),
    /// Of the room.
    Room(RoomNumber),
    /// Of the everyday variation.
    Variation(VariationNumber),
}

impl NumberName {
    /// What is known of the number beforehand.
    pub fn facts(self) -> &'static NumberFacts {
        match self {
            Self::Lot(number) => number.facts(),
            Self::Machine(number) => number.facts(),
            Self::Room(number) => number.facts(),
            Self::Variation(number) => number.facts(),
        }
    }

    /// Its sheet's name, for use in a sentence.
    pub fn sheet(self) -> &'static str {
        match self {
            Self::Lot(_) => LotNumber::SHEET,
            Self::Machine(_) => MachineNumber::SHEET,
            Self::Room(_) => RoomNumber::SHEET,
            Self::Variation(_) => VariationNumber::SHEET,
        }
    }

    /// What was entered for it in a plan.
    pub fn entered(self, plan: &PlanParts) -> Option<Given> {
        match self {
            Self::Lot(number) => plan.lot.numbers.entered(number),
            Self::Machine(number) => plan.machine.numbers.entered(number),
            Self::Room(number) => plan.room.numbers.entered(number),
            Self::Variation(number) => plan.variation.entered(number),
        }
    }

    /// What is taken in a plan while nobody knows. For the mains that is the machine's rated voltage: 120 V on the rating plate and
    /// 230 V at the socket would make nearly four times the heat.
    pub fn usual(self, plan: &PlanParts) -> Option<f64> {
        match self {
            Self::Room(RoomNumber::Mains) => {
                let rated = plan.machine.numbers.known(MachineNumber::RatedVoltage)?;
                Some(rated.value)
            }
            _ => self.facts().usual,
        }
    }

    /// What is reckoned with in a plan: what was entered, or else the usual value as assumed.
    pub fn known(self, plan: &PlanParts) -> Option<Given> {
        let usual = || {
            self.usual(plan).map(|value| Given {
                value,
                knowledge: Knowledge::Assumed,
            })
        };
        self.entered(plan).or_else(usual)
    }

    fn set(self, parts: &mut PlanParts, given: Option<Given>) {
        match self {
            Self::Lot(number) => parts.lot.numbers.set(number, given),
            Self::Machine(number) => parts.machine.numbers.set(number, given),
            Self::Room(number) => parts.room.numbers.set(number, given),
            Self::Variation(number) => parts.variation.set(number, given),
        }
    }
}

/// A change that somebody wants to make.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// Change the curve's points.
    Points(PointEdit),
    /// Shape the curve by its rate of rise.
    Hand(HandEdit),
    /// Move a phase boundary in time: the curve between the boundaries beside it flexes smoothly, temperatures stay.
    MoveBoundary {
        /// Which boundary.
        boundary: Boundary,
        /// Where it should be, in s.
        to_s: f64,
    },
    /// Give a mark another temperature, in °C.
    SetMark {
        /// Which mark.
        mark: MarkName,
        /// Its new temperature in °C.
        temp_c: f64,
    },
    /// Change the ladder of finishes.
    Finish(FinishEdit),
    /// Change the airflow schedule.
    Air(AirEdit),
    /// Give the plan another title.
    SetTitle(String),
    /// Give the plan other notes.
    SetNotes(String),
    /// Fill in a text of the lot sheet.
    LotText(LotText, String),
    /// Fill in or clear a number of a sheet.
    Number(NumberName, Option<Given>),
    /// Set the wished range of development ratio.
    WishedDevelopment(RatioRange),
    /// Name the machine.
    MachineName(String),
    /// Set the machine's temperature ceiling, in °C.
    MachineCeiling(f64),
    /// Say what the machine's controller adds before any error is seen.
    FeedForward(FeedForward),
    /// Name the room.
    RoomName(String),
    /// Several edits as one, under one name in the history.
    Together(&'static str, Vec<Edit>),
}

/// Why an edit was not applied. The plan is as it was.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum Refusal {
    /// The curve refused.
    #[error(transparent)]
    Points(#[from] EditRefusal),
    /// The airflow schedule refused.
    #[error(transparent)]
    Air(#[from] AirError),
    /// The ladder refused.
    #[error(transparent)]
    Finish(#[from] FinishError),
    /// The curve can't be shaped so.
    #[error(transparent)]
    Hand(#[from] HandError),
    /// A boundary can't be moved there.
    #[error(transparent)]
    Warp(#[from] WarpError),
    /// The plan as a whole refused.
    #[error(transparent)]
    Plan(#[from] PlanError),
}

impl Plan {
    /// The plan after `edit`.
    ///
    /// # Errors
    /// [`Refusal`] when the result would break a rule; nothing is applied then.
    pub fn edited(&self, edit: &Edit) -> Result<Self, Refusal> {
        let mut parts = self.clone().into_parts();
        apply(&mut parts, edit)?;
        Ok(Self::new(parts)?)
    }
}

fn apply(parts: &mut PlanParts, edit: &Edit) -> Result<(), Refusal> {
    match edit {
        Edit::Points(edit) => parts.curve = parts.curve.edited(edit)?,
        Edit::Hand(edit) => parts.curve = handwork::shaped(parts, *edit)?,
        Edit::MoveBoundary { boundary, to_s } => {
            parts.curve = warp::move_boundary(parts, *boundary, *to_s)?;
        }
        Edit::SetMark { mark, temp_c } => match mark {
            MarkName::ColourChange => parts.marks.colour_change_c = round_to_billionth(*temp_c),
            MarkName::FirstCrack => parts.marks.first_crack_c = round_to_billionth(*temp_c),
        },
        Edit::Finish(edit) => parts.finishes = parts.finishes.edited(edit)?,
        Edit::Air(edit) => parts.airflow = parts.airflow.edited(edit)?,
        Edit::SetTitle(text) => parts.title.clone_from(text),
        Edit::SetNotes(text) => parts.notes.clone_from(text),
        Edit::LotText(field, text) => {
            parts.lot = std::mem::take(&mut parts.lot).with_text(*field, text.clone());
        }
        Edit::Number(number, given) => number.set(parts, *given),
        Edit::WishedDevelopment(range) => parts.lot.wished_development = *range,
        Edit::MachineName(text) => parts.machine.name.clone_from(text),
        Edit::MachineCeiling(ceiling_c) => parts.machine.ceiling_c = *ceiling_c,
        Edit::FeedForward(feed_forward) => parts.machine.feed_forward = *feed_forward,
        Edit::RoomName(text) => parts.room.name.clone_from(text),
        Edit::Together(_, edits) => {
            for edit in edits {
                apply(parts, edit)?;
            }
        }
    }
    Ok(())
}

impl Edit {
    /// What the edit does to `plan`, as a line of the history: “Moved point 4”.
    pub fn label(&self, plan: &Plan) -> String {
        match self {
            Self::Points(edit) => points_label(edit, plan),
            Self::Hand(edit) => edit.label(&plan.curve),
            Self::MoveBoundary { boundary, .. } => {
                format!("Moved {} in time", lower(boundary.label()))
            }
            Self::SetMark { mark, .. } => format!("Moved {}", lower(mark.label())),
            Self::Finish(edit) => finish_label(edit, plan),
            Self::Air(edit) => match edit {
                AirEdit::Move { .. } => "Changed airflow".to_owned(),
                AirEdit::Insert { .. } => "Added airflow point".to_owned(),
                AirEdit::Remove(_) => "Removed airflow point".to_owned(),
                AirEdit::SetShape(_) => "Changed kind of airflow".to_owned(),
            },
            Self::SetTitle(_) => "Changed title".to_owned(),
            Self::SetNotes(_) => "Changed notes".to_owned(),
            Self::LotText(field, _) => format!("Changed {} of the coffee", lower(field.label())),
            Self::Number(number, _) => {
                format!("Changed {} of the {}", number.facts().noun, number.sheet())
            }
            Self::WishedDevelopment(_) => "Changed wished development".to_owned(),
            Self::MachineName(_) => "Changed machine".to_owned(),
            Self::MachineCeiling(_) => "Changed the machine's ceiling".to_owned(),
            Self::FeedForward(_) => "Changed the machine's controller".to_owned(),
            Self::RoomName(_) => "Changed room".to_owned(),
            Self::Together(label, _) => (*label).to_owned(),
        }
    }
}

fn points_label(edit: &PointEdit, plan: &Plan) -> String {
    let number = |id| plan.curve.index_of(id).map_or(0, |index| index + 1);
    let points = |ids: &[_]| match ids {
        [id] => format!("point {}", number(*id)),
        _ => format!("{} points", ids.len()),
    };
    match edit {
        PointEdit::Move { id, .. } => format!("Moved point {}", number(*id)),
        PointEdit::InsertOnCurve { .. } | PointEdit::InsertAt { .. } => "Added point".to_owned(),
        PointEdit::Remove { ids } => format!("Removed {}", points(ids)),
        PointEdit::Shift { ids, .. } => format!("Moved {}", points(ids)),
        PointEdit::StretchTime { ids, .. } => format!("Stretched {}", points(ids)),
        PointEdit::ScaleTemp { ids, .. } => format!("Scaled {}", points(ids)),
        PointEdit::PinRise {
            id,
            rise_c_per_s: Some(_),
        } => {
            format!("Set rise at point {}", number(*id))
        }
        PointEdit::PinRise { id, .. } => format!("Freed rise at point {}", number(*id)),
        PointEdit::SetSegment { id, .. } => {
            format!("Changed the curve after point {}", number(*id))
        }
        PointEdit::SetLock { ids, .. } => format!("Changed lock of {}", points(ids)),
        PointEdit::SetShape(_) => "Changed shape of the curve".to_owned(),
        PointEdit::Replace(_) => "Replaced points".to_owned(),
    }
}

fn finish_label(edit: &FinishEdit, plan: &Plan) -> String {
    let name = |id: FinishId| {
        let finish = plan.finishes.get(id);
        finish.map_or_else(
            || "finish".to_owned(),
            |found| format!("finish “{}”", found.name),
        )
    };
    match edit {
        FinishEdit::Add { name, .. } => format!("Added finish “{name}”"),
        FinishEdit::Rename { id, .. } => format!("Renamed {}", name(*id)),
        FinishEdit::Move { id, .. } => format!("Moved {}", name(*id)),
        FinishEdit::Remove(id) => format!("Removed {}", name(*id)),
        FinishEdit::Choose(id) => format!("Chose {}", name(*id)),
    }
}

fn lower(label: &str) -> String {
    label.to_lowercase()
}
