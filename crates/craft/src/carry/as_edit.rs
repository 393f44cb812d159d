//! A carry-over as one edit, so that accepting it is one step of undo.

use crate::{
    airflow::{AirEdit, AirflowSchedule},
    edit::{Edit, MarkName, NumberName},
    finishes::FinishEdit,
    lot::{Lot, LotNumber, LotText},
    machine::{Machine, MachineNumber},
    plan::PlanParts,
    room::{Room, RoomNumber},
    sheet::{Numbers, SheetNumber},
};
use chaffinch_curve::PointEdit;

/// The name of the step in the history.
pub(super) const LABEL: &str = "Carried over";

/// The edit that makes `to` out of `from`; both have the same points and finishes, moved.
pub(super) fn edit_between(from: &PlanParts, to: &PlanParts) -> Edit {
    let mut edits = Vec::new();
    if from.curve != to.curve {
        edits.push(Edit::Points(PointEdit::Replace(to.curve.points().to_vec())));
    }
    air_edits(&from.airflow, &to.airflow, &mut edits);
    for mark in MarkName::ALL {
        let temp_c = mark.temp_c(&to.marks);
        if mark.temp_c(&from.marks) != temp_c {
            edits.push(Edit::SetMark { mark, temp_c });
        }
    }
    for finish in from.finishes.finishes() {
        if let Some(moved) = to.finishes.get(finish.id).filter(|moved| *moved != finish) {
            let (id, temp_c) = (moved.id, moved.temp_c);
            edits.push(Edit::Finish(FinishEdit::Move { id, temp_c }));
        }
    }
    lot_edits(&from.lot, &to.lot, &mut edits);
    machine_edits(&from.machine, &to.machine, &mut edits);
    room_edits(&from.room, &to.room, &mut edits);
    if from.title != to.title {
        edits.push(Edit::SetTitle(to.title.clone()));
    }
    if from.notes != to.notes {
        edits.push(Edit::SetNotes(to.notes.clone()));
    }
    Edit::Together(LABEL, edits)
}

fn air_edits(from: &AirflowSchedule, to: &AirflowSchedule, edits: &mut Vec<Edit>) {
    let moved = |point: &crate::AirPoint| {
        Edit::Air(AirEdit::Move {
            id: point.id,
            time_s: point.time_s,
            percent: point.percent,
        })
    };
    let pairs = || from.points().iter().zip(to.points());
    // Points that move later go first from the last on, those that move earlier then from the first on: so no two ever cross.
    let later = pairs().rev().filter(|(from, to)| from.time_s < to.time_s);
    edits.extend(later.map(|(_, to)| moved(to)));
    let rest = pairs().filter(|(from, to)| to.time_s <= from.time_s && from != to);
    edits.extend(rest.map(|(_, to)| moved(to)));
}

fn lot_edits(from: &Lot, to: &Lot, edits: &mut Vec<Edit>) {
    for field in LotText::ALL {
        if from.text(field) != to.text(field) {
            edits.push(Edit::LotText(field, to.text(field).to_owned()));
        }
    }
    number_edits::<LotNumber>(&from.numbers, &to.numbers, NumberName::Lot, edits);
    if from.wished_development != to.wished_development {
        edits.push(Edit::WishedDevelopment(to.wished_development));
    }
}

fn machine_edits(from: &Machine, to: &Machine, edits: &mut Vec<Edit>) {
    if from.name != to.name {
        edits.push(Edit::MachineName(to.name.clone()));
    }
    if from.ceiling_c != to.ceiling_c {
        edits.push(Edit::MachineCeiling(to.ceiling_c));
    }
    if from.feed_forward != to.feed_forward {
        edits.push(Edit::FeedForward(to.feed_forward));
    }
    number_edits::<MachineNumber>(&from.numbers, &to.numbers, NumberName::Machine, edits);
}

fn room_edits(from: &Room, to: &Room, edits: &mut Vec<Edit>) {
    if from.name != to.name {
        edits.push(Edit::RoomName(to.name.clone()));
    }
    number_edits::<RoomNumber>(&from.numbers, &to.numbers, NumberName::Room, edits);
}

fn number_edits<K: SheetNumber>(
    from: &Numbers<K>,
    to: &Numbers<K>,
    name: fn(K) -> NumberName,
    edits: &mut Vec<Edit>,
) {
    for &number in K::ALL {
        let entered = to.entered(number);
        if from.entered(number) != entered {
            edits.push(Edit::Number(name(number), entered));
        }
    }
}
