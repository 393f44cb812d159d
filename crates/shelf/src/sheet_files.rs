//! The sheets of lot, machine and room, in a plan file and in files of their own.

use crate::{
    checked_value, number_fields, text_error::TextError, version::SHEET_FILE_VERSION,
    words::FeedForwardWord,
};
use chaffinch_craft::{
    Lot, LotNumber, Machine, MachineNumber, Numbers, RatioRange, Room, RoomNumber,
};
use chaffinch_twin::FeedForward;
use serde::{Deserialize, Serialize};

/// A sheet in two forms of the same fields: inside a plan file, and alone in a file of its own, there with a version.
macro_rules! sheet {
    ($name:literal, $sheet:ident, $alone:ident { $($(#[$meta:meta])* $field:ident: $kind:ty,)+ }) => {
        #[derive(Serialize, Deserialize)]
        #[serde(rename = $name, deny_unknown_fields)]
        pub(crate) struct $sheet { $($(#[$meta])* $field: $kind,)+ }

        #[derive(Serialize, Deserialize)]
        #[serde(rename = $name, deny_unknown_fields)]
        pub(crate) struct $alone { version: u32, $($(#[$meta])* $field: $kind,)+ }

        impl From<$alone> for $sheet {
            fn from(alone: $alone) -> Self {
                Self { $($field: alone.$field,)+ }
            }
        }

        impl From<$sheet> for $alone {
            fn from(sheet: $sheet) -> Self {
                Self { version: SHEET_FILE_VERSION, $($field: sheet.$field,)+ }
            }
        }
    };
}

sheet!("lot", LotFile, LotDocument {
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
    #[serde(default, with = "number_fields", skip_serializing_if = "number_fields::is_blank")]
    numbers: Numbers<LotNumber>,
    wished_development_ratio: (f64, f64),
});

sheet!("machine", MachineFile, MachineDocument {
    #[serde(deserialize_with = "checked_value::machine_name")]
    name: String,
    #[serde(deserialize_with = "checked_value::machine_ceiling")]
    ceiling_c: f64,
    #[serde(with = "FeedForwardWord")]
    feed_forward: FeedForward,
    #[serde(default, with = "number_fields", skip_serializing_if = "number_fields::is_blank")]
    numbers: Numbers<MachineNumber>,
});

sheet!("room", RoomFile, RoomDocument {
    #[serde(deserialize_with = "checked_value::room_name")]
    name: String,
    #[serde(default, with = "number_fields", skip_serializing_if = "number_fields::is_blank")]
    numbers: Numbers<RoomNumber>,
});

impl LotFile {
    pub(crate) fn of(lot: &Lot) -> Self {
        Self {
            name: lot.name.clone(),
            origin: lot.origin.clone(),
            process: lot.process.clone(),
            harvest: lot.harvest.clone(),
            notes: lot.notes.clone(),
            numbers: lot.numbers.clone(),
            wished_development_ratio: (
                lot.wished_development.least(),
                lot.wished_development.most(),
            ),
        }
    }

    pub(crate) fn into_lot(self) -> Result<Lot, TextError> {
        let (least, most) = self.wished_development_ratio;
        Ok(Lot {
            name: self.name,
            origin: self.origin,
            process: self.process,
            harvest: self.harvest,
            notes: self.notes,
            numbers: self.numbers,
            wished_development: RatioRange::new(least, most)?,
        })
    }
}

impl MachineFile {
    pub(crate) fn of(machine: &Machine) -> Self {
        Self {
            name: machine.name.clone(),
            ceiling_c: machine.ceiling_c,
            feed_forward: machine.feed_forward,
            numbers: machine.numbers.clone(),
        }
    }

    pub(crate) fn into_machine(self) -> Machine {
        Machine {
            name: self.name,
            ceiling_c: self.ceiling_c,
            feed_forward: self.feed_forward,
            numbers: self.numbers,
        }
    }
}

impl RoomFile {
    pub(crate) fn of(room: &Room) -> Self {
        Self {
            name: room.name.clone(),
            numbers: room.numbers.clone(),
        }
    }

    pub(crate) fn into_room(self) -> Room {
        Room {
            name: self.name,
            numbers: self.numbers,
        }
    }
}
