//! What each kind of field knows: its units, and what a number in them means.

use crate::units::{Celsius, CelsiusDifference, CelsiusPerSecond, TempUnit};

/// A kind of field, with the unit in which it is shown.
#[derive(Clone, Copy, Debug)]
pub(super) enum Quantity<'a> {
    Time,
    Temp(TempUnit),
    TempShift(TempUnit),
    Rise(TempUnit),
    /// A number that has this unit, or none if the text is empty; the unit may be left out.
    Number(&'a str),
}

/// A unit that was typed or meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unit {
    Second,
    Minute,
    Hour,
    Degree(TempUnit),
    PerMinute(TempUnit),
    PerSecond(TempUnit),
    Own,
}

/// Whether a number stands for a place on a scale or for a distance on it; they differ only for temperatures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sense {
    Place,
    Distance,
}

impl Quantity<'_> {
    /// What to type, for messages.
    pub(super) fn expected(self) -> String {
        match self {
            Self::Time => "a time such as 9:30, 570 s or 9.5 min".to_owned(),
            Self::Temp(_) => "a temperature such as 205, 205 °C or 401 °F".to_owned(),
            Self::TempShift(_) => "a difference such as 5, −2.5 °C or 9 °F".to_owned(),
            Self::Rise(_) => "a rate of rise such as 9, 0.15/s or 16.2 °F/min".to_owned(),
            Self::Number("") => "a number such as 12 or 0.5".to_owned(),
            Self::Number(unit) => format!("a number such as 12 or 12 {unit}"),
        }
    }

    /// The unit of a number without one.
    pub(super) fn bare_unit(self) -> Unit {
        match self {
            Self::Time => Unit::Second,
            Self::Temp(shown) | Self::TempShift(shown) => Unit::Degree(shown),
            Self::Rise(shown) => Unit::PerMinute(shown),
            Self::Number(_) => Unit::Own,
        }
    }

    /// The unit that `text` names; `None` if it isn't one of this quantity.
    pub(super) fn unit(self, text: &str) -> Option<Unit> {
        match self {
            Self::Time => match text {
                "s" => Some(Unit::Second),
                "min" => Some(Unit::Minute),
                "h" => Some(Unit::Hour),
                _ => None,
            },
            Self::Temp(_) | Self::TempShift(_) => temp_unit(text).map(Unit::Degree),
            Self::Rise(shown) => {
                let (degree, per) = text.split_once('/')?;
                let degree = if degree.is_empty() {
                    shown
                } else {
                    temp_unit(degree)?
                };
                match per {
                    "min" => Some(Unit::PerMinute(degree)),
                    "s" => Some(Unit::PerSecond(degree)),
                    _ => None,
                }
            }
            Self::Number(unit) => (text == unit).then_some(Unit::Own),
        }
    }

    /// A number in `unit` as the document stores it.
    pub(super) fn stored(self, number: f64, unit: Unit, sense: Sense) -> f64 {
        match (unit, sense) {
            (Unit::Second | Unit::Own, _) => number,
            (Unit::Minute, _) => number * 60.0,
            (Unit::Hour, _) => number * 3600.0,
            (Unit::Degree(unit), Sense::Place) if self.has_zero_point() => {
                Celsius::from_shown(number, unit).0
            }
            (Unit::Degree(unit) | Unit::PerSecond(unit), _) => {
                CelsiusDifference::from_shown(number, unit).0
            }
            (Unit::PerMinute(unit), _) => CelsiusPerSecond::from_shown_per_min(number, unit).0,
        }
    }

    /// A stored value as the number that the person sees, in [`Self::bare_unit`].
    pub(super) fn seen(self, stored: f64, sense: Sense) -> f64 {
        match (self, sense) {
            (Self::Time | Self::Number(_), _) => stored,
            (Self::Temp(unit), Sense::Place) => Celsius(stored).shown(unit),
            (Self::Temp(unit) | Self::TempShift(unit), _) => CelsiusDifference(stored).shown(unit),
            (Self::Rise(unit), _) => CelsiusPerSecond(stored).shown_per_min(unit),
        }
    }

    fn has_zero_point(self) -> bool {
        matches!(self, Self::Temp(_))
    }
}

fn temp_unit(text: &str) -> Option<TempUnit> {
    match text.trim_start_matches(['°', 'º']) {
        "C" | "c" | "℃" => Some(TempUnit::Celsius),
        "F" | "f" | "℉" => Some(TempUnit::Fahrenheit),
        _ => None,
    }
}
