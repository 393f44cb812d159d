//! The machine and the room that a plan was drawn for, as far as a drawn curve needs them.

use crate::limits;

/// The machine sheet. What a forecast needs of it comes with the physical model.
#[derive(Clone, Debug, PartialEq)]
pub struct Machine {
    /// What the roastery calls the machine; may be empty.
    pub name: String,
    /// Highest temperature that a drop may be planned at, in °C, 100–320. The machine's manual decides.
    pub ceiling_c: f64,
}

impl Default for Machine {
    fn default() -> Self {
        Self {
            name: String::new(),
            ceiling_c: limits::DEFAULT_CEILING_C,
        }
    }
}

/// The room sheet. What a forecast needs of it comes with the physical model.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Room {
    /// What the roastery calls the room; may be empty.
    pub name: String,
}
