//! What a plan is carried to: what its sheets are compared with, and what a coffee's altitude tells.

mod carried;
mod grade_menu;
mod growth_card;
mod head_card;

pub(super) use carried::Completed;
pub use carried::{Before, Carried};
pub(in crate::desk) use grade_menu::grade_menu;
pub(super) use growth_card::growth_card;
pub(super) use head_card::head_card;
