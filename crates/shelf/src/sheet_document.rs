//! A lot, a machine or a room in a file of its own, so that a plan can be carried over to it.
//!
//! Wherever such a file is read, a plan file does as well, RON or neutral JSON: then its sheet is taken.

use crate::{
    disk::{is_neutral, plan_from_text, read_text, save_text},
    error::ShelfError,
    ron_document::{Document, after_comments, document_from_ron, first_word, pretty_text},
    sheet_files::{LotDocument, LotFile, MachineDocument, MachineFile, RoomDocument, RoomFile},
    stamp::FileStamp,
    text_error::{TextError, TextFormat},
    version::SHEET_FILE_VERSION,
};
use chaffinch_craft::{Lot, Machine, Plan, PlanParts, Room};
use serde::Serialize;
use std::path::Path;

/// Numbers stand at this depth, so each takes one line.
const DEPTH_OF_NUMBERS: usize = 2;

const LOT_LINE: &str = "// A Chaffinch lot: green coffee, each number with how it is known.";
const MACHINE_LINE: &str = "// A Chaffinch machine: each number with how it is known.";
const ROOM_LINE: &str = "// A Chaffinch room and its mains: each number with how it is known.";

macro_rules! documents {
    ($($kind:ident => $format:ident;)+) => { $(
        impl Document for $kind {
            const FORMAT: TextFormat = TextFormat::$format;
            const VERSION: u32 = SHEET_FILE_VERSION;
        }
    )+ };
}

documents! {
    LotDocument => Lot;
    MachineDocument => Machine;
    RoomDocument => Room;
}

/// Reads the lot of a lot file or of a plan file.
///
/// # Errors
/// [`ShelfError`]: not readable, more than 4 MiB, or neither a lot nor a plan.
pub fn read_lot(path: &Path) -> Result<Lot, ShelfError> {
    let alone = |document: LotDocument| LotFile::from(document).into_lot();
    read_sheet(path, alone, |plan| plan.lot)
}

/// Reads the machine of a machine file or of a plan file. The ceiling of an older plan file is lowered to what a plan may have.
///
/// # Errors
/// [`ShelfError`]: not readable, more than 4 MiB, or neither a machine nor a plan.
pub fn read_machine(path: &Path) -> Result<Machine, ShelfError> {
    let alone = |document: MachineDocument| Ok(MachineFile::from(document).into_machine());
    read_sheet(path, alone, |plan| plan.machine)
}

/// Reads the room of a room file or of a plan file.
///
/// # Errors
/// [`ShelfError`]: not readable, more than 4 MiB, or neither a room nor a plan.
pub fn read_room(path: &Path) -> Result<Room, ShelfError> {
    let alone = |document: RoomDocument| Ok(RoomFile::from(document).into_room());
    read_sheet(path, alone, |plan| plan.room)
}

/// Saves a lot file. The same lot gives the same bytes.
///
/// # Errors
/// [`ShelfError::Text`] for a lot that no plan takes, else as [`save_text`]; nothing is written then.
pub fn save_lot(path: &Path, lot: &Lot) -> Result<FileStamp, ShelfError> {
    let put = |parts: &mut PlanParts| parts.lot = lot.clone();
    let document = LotDocument::from(LotFile::of(lot));
    save_sheet(path, put, LOT_LINE, &document)
}

/// Saves a machine file. The same machine gives the same bytes.
///
/// # Errors
/// [`ShelfError::Text`] for a machine that no plan takes, else as [`save_text`]; nothing is written then.
pub fn save_machine(path: &Path, machine: &Machine) -> Result<FileStamp, ShelfError> {
    let put = |parts: &mut PlanParts| parts.machine = machine.clone();
    let document = MachineDocument::from(MachineFile::of(machine));
    save_sheet(path, put, MACHINE_LINE, &document)
}

/// Saves a room file. The same room gives the same bytes.
///
/// # Errors
/// [`ShelfError::Text`] for a room that no plan takes, else as [`save_text`]; nothing is written then.
pub fn save_room(path: &Path, room: &Room) -> Result<FileStamp, ShelfError> {
    let put = |parts: &mut PlanParts| parts.room = room.clone();
    let document = RoomDocument::from(RoomFile::of(room));
    save_sheet(path, put, ROOM_LINE, &document)
}

fn read_sheet<D: Document, S>(
    path: &Path,
    alone: fn(D) -> Result<S, TextError>,
    of_plan: fn(PlanParts) -> S,
) -> Result<S, ShelfError> {
    let text = read_text(path)?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
    let opening = TextFormat::of_opening(first_word(after_comments(text)));
    let sheet = if is_neutral(text, path) || opening == Some(TextFormat::Plan) {
        plan_from_text(text, path).map(|(plan, _)| of_plan(plan.into_parts()))
    } else {
        document_from_ron(text).and_then(alone)
    };
    sheet.map_err(|source| refused(path, source))
}

/// Saves what can be read again, and nothing else.
fn save_sheet<D: Document + Serialize>(
    path: &Path,
    put: impl FnOnce(&mut PlanParts),
    first_line: &str,
    document: &D,
) -> Result<FileStamp, ShelfError> {
    let mut parts = Plan::fresh().into_parts();
    put(&mut parts);
    Plan::new(parts).map_err(|error| refused(path, error.into()))?;
    let text = pretty_text(first_line, D::FORMAT, document, DEPTH_OF_NUMBERS);
    save_text(path, &text)
}

pub(crate) fn refused(path: &Path, source: TextError) -> ShelfError {
    ShelfError::Text {
        path: path.to_owned(),
        source,
    }
}
