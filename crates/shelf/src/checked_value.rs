//! Single values that are judged while they are read, so that a broken rule carries the place of the value.
//!
//! The rules live in the model: each value is put into an otherwise sound plan, and the model says what it thinks.
//! For `#[serde(deserialize_with)]`, in plan files and neutral JSON alike.

use chaffinch_craft::{Given, Plan, PlanParts};
use serde::{Deserialize, Deserializer, de::Error};

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

macro_rules! figures {
    ($($name:ident => $field:ident;)+) => { $(
        /// A figure of the lot that may be unknown; `Item` is how the format writes it.
        pub(crate) fn $name<'de, D, Item>(deserializer: D) -> Result<Option<Item>, D::Error>
        where
            D: Deserializer<'de>,
            Item: Deserialize<'de> + Copy + Into<Given>,
        {
            judged(Option::<Item>::deserialize(deserializer)?, |parts, item| {
                parts.lot.$field = item.map(Into::into);
            })
        }
    )+ };
}

figures! {
    altitude => altitude_m;
    density => density_g_per_l;
    moisture => moisture_percent;
    screen_size => screen_size;
}
