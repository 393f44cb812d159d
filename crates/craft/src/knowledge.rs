//! How well a figure is known: measured, estimated or assumed.

/// How a figure came to be known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Knowledge {
    /// Somebody measured it here.
    #[default]
    Measured,
    /// Reckoned from something else, or told by the seller.
    Estimated,
    /// A usual value, because nobody knows.
    Assumed,
}

impl Knowledge {
    /// All kinds, best first.
    pub const ALL: [Self; 3] = [Self::Measured, Self::Estimated, Self::Assumed];

    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Estimated => "estimated",
            Self::Assumed => "assumed",
        }
    }
}

/// A figure and how it came to be known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Given {
    /// The value, in the unit of its field.
    pub value: f64,
    /// Where it came from.
    pub knowledge: Knowledge,
}
