//! The sheets of lot, machine and room: written and read through the same structs.
//!
//! The lot's four numbers of version 1.0 keep their fields; every other number stands in a list of entries that explain
//! themselves. What version 1.0 didn't have may be missing.

use super::number_list;
use crate::{
    carried_over::{CarriedOver, lowered_ceiling},
    checked_value,
    plan_sheet::in_range,
    text_error::TextError,
    words::{FeedForwardWord, KnowledgeWord},
};
use chaffinch_craft::{
    Given, Knowledge, Lot, LotNumber, Machine, MachineNumber, Numbers, RatioRange, Room, RoomNumber,
};
use chaffinch_twin::FeedForward;
use serde::{Deserialize, Deserializer, Serialize};

#[derive(Serialize, Deserialize)]
pub(super) struct LotObject {
    #[serde(deserialize_with = "checked_value::lot_name")]
    name: String,
    #[serde(deserialize_with = "checked_value::lot_origin")]
    origin: String,
    #[serde(deserialize_with = "checked_value::lot_process")]
    process: String,
    #[serde(deserialize_with = "checked_value::lot_harvest")]
    harvest: String,
    #[serde(deserialize_with = "checked_value::lot_notes")]
    notes: String,
    #[serde(deserialize_with = "altitude")]
    altitude: Option<GivenObject>,
    #[serde(deserialize_with = "density")]
    density: Option<GivenObject>,
    #[serde(deserialize_with = "moisture")]
    moisture: Option<GivenObject>,
    #[serde(deserialize_with = "screen_size")]
    screen_size: Option<GivenObject>,
    wished_development_ratio: RangeObject,
    /// Those beside the four above.
    #[serde(default, with = "number_list")]
    numbers: Numbers<LotNumber>,
}

/// The lot's numbers that have fields of their own.
pub(super) const LOT_FIELDS: [LotNumber; 4] = [
    LotNumber::Altitude,
    LotNumber::Density,
    LotNumber::Moisture,
    LotNumber::ScreenSize,
];

#[derive(Clone, Copy, Serialize, Deserialize)]
struct GivenObject {
    value: f64,
    #[serde(with = "KnowledgeWord")]
    knowledge: Knowledge,
}

impl From<GivenObject> for Given {
    fn from(GivenObject { value, knowledge }: GivenObject) -> Self {
        Self { value, knowledge }
    }
}

macro_rules! lot_fields {
    ($($name:ident => $number:ident;)+) => { $(
        fn $name<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<GivenObject>, D::Error> {
            let object = Option::<GivenObject>::deserialize(deserializer)?;
            if let Some(object) = object {
                in_range(LotNumber::$number, object.into())?;
            }
            Ok(object)
        }
    )+ };
}

lot_fields! {
    altitude => Altitude;
    density => Density;
    moisture => Moisture;
    screen_size => ScreenSize;
}

#[derive(Serialize, Deserialize)]
struct RangeObject {
    least: f64,
    most: f64,
}

#[derive(Serialize, Deserialize)]
pub(super) struct MachineObject {
    #[serde(deserialize_with = "checked_value::machine_name")]
    name: String,
    /// Version 1.0 allowed more than a plan may have now.
    #[serde(deserialize_with = "checked_value::old_ceiling")]
    ceiling: f64,
    #[serde(default, with = "FeedForwardWord")]
    feed_forward: FeedForward,
    #[serde(default, with = "number_list")]
    numbers: Numbers<MachineNumber>,
}

#[derive(Serialize, Deserialize)]
pub(super) struct RoomObject {
    #[serde(deserialize_with = "checked_value::room_name")]
    name: String,
    #[serde(default, with = "number_list")]
    numbers: Numbers<RoomNumber>,
}

impl LotObject {
    pub(super) fn of(lot: &Lot) -> Self {
        let field = |number| {
            let given = lot.numbers.entered(number);
            given.map(|Given { value, knowledge }| GivenObject { value, knowledge })
        };
        let others = lot.numbers.all_entered();
        let [altitude, density, moisture, screen_size] = LOT_FIELDS.map(field);
        Self {
            name: lot.name.clone(),
            origin: lot.origin.clone(),
            process: lot.process.clone(),
            harvest: lot.harvest.clone(),
            notes: lot.notes.clone(),
            altitude,
            density,
            moisture,
            screen_size,
            wished_development_ratio: RangeObject {
                least: lot.wished_development.least(),
                most: lot.wished_development.most(),
            },
            numbers: others
                .filter(|(number, _)| !LOT_FIELDS.contains(number))
                .collect(),
        }
    }

    pub(super) fn into_lot(self) -> Result<Lot, TextError> {
        let mut numbers = self.numbers;
        let fields = [self.altitude, self.density, self.moisture, self.screen_size];
        for (number, object) in LOT_FIELDS.into_iter().zip(fields) {
            // The field is the number's place; another program's entry in the list doesn't count.
            numbers.set(number, object.map(Given::from));
        }
        let RangeObject { least, most } = self.wished_development_ratio;
        Ok(Lot {
            name: self.name,
            origin: self.origin,
            process: self.process,
            harvest: self.harvest,
            notes: self.notes,
            numbers,
            wished_development: RatioRange::new(least, most)?,
        })
    }
}

impl MachineObject {
    pub(super) fn of(machine: &Machine) -> Self {
        Self {
            name: machine.name.clone(),
            ceiling: machine.ceiling_c,
            feed_forward: machine.feed_forward,
            numbers: machine.numbers.clone(),
        }
    }

    /// The machine, and what had to be changed for it.
    pub(super) fn into_machine(self) -> (Machine, Option<CarriedOver>) {
        let (ceiling_c, told) = lowered_ceiling(self.ceiling);
        let machine = Machine {
            name: self.name,
            ceiling_c,
            feed_forward: self.feed_forward,
            numbers: self.numbers,
        };
        (machine, told)
    }
}

impl RoomObject {
    pub(super) fn of(room: &Room) -> Self {
        Self {
            name: room.name.clone(),
            numbers: room.numbers.clone(),
        }
    }

    pub(super) fn into_room(self) -> Room {
        Room {
            name: self.name,
            numbers: self.numbers,
        }
    }
}
