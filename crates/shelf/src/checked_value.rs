//! Single values that are judged while they are read, so that a broken rule carries the place of the value.
//!
//! The rules live in the model: each value is put into an otherwise sound plan, and the model says what it thinks.
//! For `#[serde(deserialize_with)]`, in plan files and neutral JSON alike.

use crate::plan_sheet::PlanSheet;
use chaffinch_craft::{Numbers, Plan, PlanParts, limits};
use serde::{Deserialize, Deserializer, de::Error};

/// Greatest ceiling of a machine, in °C, in plan files of version 1 and in neutral JSON of version 1.0.
const OLD_MOST_CEILING_C: f64 = 320.0;

/// The value, if the model takes a plan that has it.
fn judged<T: Clone, E: Error>(value: T, put: impl FnOnce(&mut PlanParts, T)) -> Result<T, E> {
    let mut parts = Plan::fresh().into_parts();
    put(&mut parts, value.clone());
    Plan::new(parts).map_err(E::custom)?;
    Ok(value)
}

macro_rules! values {
    ($($name:ident: $kind:ty => $part:ident $(. $field:ident)?;)+) => { $(
        pub(crate) fn $name<'de, D: Deserializer<'de>>(deserializer: D) -> Result<$kind, D::Error> {
            judged(<$kind>::deserialize(deserializer)?, |parts, value| parts.$part$(.$field)? = value)
        }
    )+ };
}

values! {
    title: String => title;
    notes: String => notes;
    lot_name: String => lot.name;
    lot_origin: String => lot.origin;
    lot_process: String => lot.process;
    lot_harvest: String => lot.harvest;
    lot_notes: String => lot.notes;
    machine_name: String => machine.name;
    machine_ceiling: f64 => machine.ceiling_c;
    room_name: String => room.name;
}

/// A ceiling as older files may hold it: up to [`OLD_MOST_CEILING_C`].
pub(crate) fn old_ceiling<'de, D: Deserializer<'de>>(deserializer: D) -> Result<f64, D::Error> {
    let ceiling_c = f64::deserialize(deserializer)?;
    let least_c = limits::CEILING_RANGE_C.0;
    if (least_c..=OLD_MOST_CEILING_C).contains(&ceiling_c) {
        return Ok(ceiling_c);
    }
    Err(D::Error::custom(format_args!(
        "the machine's ceiling is {ceiling_c} °C; expected {least_c} to {OLD_MOST_CEILING_C} °C"
    )))
}

/// The numbers of a sheet, if the model takes a plan that has them.
pub(crate) fn judged_numbers<K: PlanSheet, E: Error>(numbers: Numbers<K>) -> Result<Numbers<K>, E> {
    judged(numbers, K::put)
}
