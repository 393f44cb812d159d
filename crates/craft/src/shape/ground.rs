//! What a row of the programme stands for: a wish, a locked point, or a rule that every drawn curve keeps.

use super::targets::{TargetName, TargetUnit};

/// Something that a wish can contradict.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Ground {
    /// A wish.
    Wish(TargetName),
    /// A locked point, by its number from 1.
    Locked(usize),
    /// The start where it was, though nobody wished it.
    Start,
    /// Colour change, first crack and drop follow each other, with a least length of each phase.
    Order,
    /// The curve passes marks and finish at their temperatures.
    Marks,
    /// The curve never cools.
    Rising,
    /// Behind the drop the curve stays below the machine's ceiling.
    Ceiling,
}

/// How much more than a wish a rule weighs.
const RULE_WEIGHT: f64 = 300.0;
/// How much less than a wish the start weighs that nobody wished.
const START_WEIGHT: f64 = 0.02;
/// By how much the first of all targets weighs more than the last.
const FIRST_MORE: f64 = 0.2;

impl Ground {
    /// Whether it may give way.
    pub(super) fn gives(self) -> bool {
        !matches!(self, Self::Locked(_))
    }

    /// The wish, if it is one.
    pub(super) fn wish(self) -> Option<TargetName> {
        match self {
            Self::Wish(name) => Some(name),
            _ => None,
        }
    }

    /// The last digit shown, in the unit of its slack.
    pub(super) fn unit(self) -> f64 {
        match self {
            Self::Wish(name) => name.shown_step(),
            _ => 0.1,
        }
    }

    /// What a unit of its slack weighs.
    pub(super) fn weight(self) -> f64 {
        let relative = match self {
            Self::Wish(name) => {
                let all = TargetName::ALL.len();
                let place = TargetName::ALL.iter().position(|&other| other == name);
                let behind = all - place.unwrap_or(all);
                1.0 + FIRST_MORE * behind as f64 / all as f64
            }
            Self::Start => START_WEIGHT,
            _ => RULE_WEIGHT,
        };
        relative / self.unit()
    }

    /// It in the middle of a sentence.
    pub fn words(self) -> String {
        match self {
            Self::Wish(name) => format!("the wish for “{}”", name.facts().label),
            Self::Locked(number) => format!("the locked point {number}"),
            Self::Start => "the start as it is".to_owned(),
            Self::Order => "the order and least length of the phases".to_owned(),
            Self::Marks => "the temperatures of marks and finish".to_owned(),
            Self::Rising => "a curve that never cools".to_owned(),
            Self::Ceiling => "the machine's ceiling".to_owned(),
        }
    }
}

impl TargetName {
    /// The last digit that the target is shown with, in its unit: 1 s, 0.1 °C, 0.1 °C/min, 0.1 %. A wish is met within half of it.
    pub fn shown_step(self) -> f64 {
        match self.facts().unit {
            TargetUnit::Time => 1.0,
            TargetUnit::Temperature
            | TargetUnit::TemperatureDifference
            | TargetUnit::Percent
            | TargetUnit::Rise
            | TargetUnit::Nothing => 0.1,
        }
    }
}
