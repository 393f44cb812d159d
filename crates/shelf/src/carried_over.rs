//! What is changed when an older file is read, so that nobody finds out by surprise.

use chaffinch_craft::limits::CEILING_RANGE_C;
use std::fmt;

/// A change that reading an older file made. Its text is for the person who opened the file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CarriedOver {
    /// The machine's ceiling was above what a plan may have now.
    CeilingLowered {
        /// The ceiling in the file, in °C.
        from_c: f64,
        /// The ceiling in the plan, in °C.
        to_c: f64,
    },
}

impl fmt::Display for CarriedOver {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self::CeilingLowered { from_c, to_c } = self;
        write!(
            f,
            "the file has a machine's ceiling of {from_c} °C; it was lowered to {to_c} °C, the highest that a plan may have now \
             (no ceiling keeps chaff from catching fire). The file is as it was; what was in it is kept beside when you save over it"
        )
    }
}

/// A ceiling as a plan may have it, and what there is to tell of it.
pub(crate) fn lowered_ceiling(from_c: f64) -> (f64, Option<CarriedOver>) {
    let to_c = from_c.min(CEILING_RANGE_C.1);
    let told = (to_c < from_c).then_some(CarriedOver::CeilingLowered { from_c, to_c });
    (to_c, told)
}
