//! What the numbers of all sheets have in common: a name, a unit, a range, a usual value, an explanation.
//!
//! A sheet keeps only what somebody entered. What nobody entered has its usual value and counts as assumed.

use crate::{
    knowledge::{Given, Knowledge},
    units::TempUnit,
};
use std::{collections::BTreeMap, fmt::Debug};
use thiserror::Error;

/// The unit that a number of a sheet is kept in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SheetUnit {
    /// A unit that stays as it is; empty for a plain number.
    Plain(&'static str),
    /// A temperature, kept in °C and shown in the unit of the window.
    Temperature,
    /// A difference of temperatures, kept in °C and shown in the unit of the window.
    TemperatureDifference,
}

impl SheetUnit {
    /// The symbol of the unit that is kept.
    pub fn kept_symbol(self) -> &'static str {
        self.symbol(TempUnit::Celsius)
    }

    /// The symbol that is shown where temperatures are shown in `unit`.
    pub fn symbol(self, unit: TempUnit) -> &'static str {
        match self {
            Self::Plain(symbol) => symbol,
            Self::Temperature | Self::TemperatureDifference => unit.symbol(),
        }
    }
}

/// All that is known beforehand of one number of a sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NumberFacts {
    /// Its name with its unit, as files and reports write it.
    pub key: &'static str,
    /// Its label on the sheet.
    pub label: &'static str,
    /// What it is, for use in a sentence.
    pub noun: &'static str,
    /// The unit that it is kept in.
    pub unit: SheetUnit,
    /// Least value that the sheet takes.
    pub least: f64,
    /// Greatest value that the sheet takes.
    pub most: f64,
    /// What is taken while nobody knows; none where nothing can be.
    pub usual: Option<f64>,
    /// What it is and how to get it, in plain words.
    pub explanation: &'static str,
}

impl NumberFacts {
    /// “5 kg”, or “5” where there is no unit.
    fn with_unit(&self, value: f64) -> String {
        match self.unit.kept_symbol() {
            "" => value.to_string(),
            symbol => format!("{value} {symbol}"),
        }
    }
}

/// The numbers of one sheet.
pub trait SheetNumber: Copy + Ord + Debug + 'static {
    /// All numbers, in the order of the sheet.
    const ALL: &'static [Self];
    /// The sheet's name, for use in a sentence: “of the machine”.
    const SHEET: &'static str;

    /// What is known of the number beforehand.
    fn facts(self) -> &'static NumberFacts;
}

/// A number outside its range.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
#[error("{} of the {sheet} is {}; expected {} to {}", .facts.noun, .facts.with_unit(*.found), .facts.least, .facts.with_unit(.facts.most))]
pub struct NumberError {
    /// Which sheet.
    pub sheet: &'static str,
    /// Which number.
    pub facts: &'static NumberFacts,
    /// What was found.
    pub found: f64,
}

/// What somebody entered in one sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Numbers<K>(BTreeMap<K, Given>);

impl<K> Default for Numbers<K> {
    fn default() -> Self {
        Self(BTreeMap::new())
    }
}

impl<K: SheetNumber> Numbers<K> {
    /// What was entered for `number`; nothing if nobody did.
    pub fn entered(&self, number: K) -> Option<Given> {
        self.0.get(&number).copied()
    }

    /// What is reckoned with: what was entered, or else the usual value as assumed; nothing where there is none.
    pub fn known(&self, number: K) -> Option<Given> {
        let usual = || {
            number.facts().usual.map(|value| Given {
                value,
                knowledge: Knowledge::Assumed,
            })
        };
        self.entered(number).or_else(usual)
    }

    /// Enters a value, or clears it; unchecked until the plan is.
    pub fn set(&mut self, number: K, given: Option<Given>) {
        match given {
            Some(given) => {
                self.0.insert(number, given);
            }
            None => {
                self.0.remove(&number);
            }
        }
    }

    /// All that was entered, in the order of the sheet.
    pub fn all_entered(&self) -> impl Iterator<Item = (K, Given)> + '_ {
        self.0.iter().map(|(&number, &given)| (number, given))
    }

    /// Checks every number that was entered against its range.
    ///
    /// # Errors
    /// [`NumberError`] for the first that isn't finite or leaves its range.
    pub fn check(&self) -> Result<(), NumberError> {
        for (number, given) in self.all_entered() {
            let facts = number.facts();
            if !(facts.least..=facts.most).contains(&given.value) {
                return Err(NumberError {
                    sheet: K::SHEET,
                    facts,
                    found: given.value,
                });
            }
        }
        Ok(())
    }
}

impl<K: SheetNumber> FromIterator<(K, Given)> for Numbers<K> {
    fn from_iter<I: IntoIterator<Item = (K, Given)>>(entries: I) -> Self {
        Self(entries.into_iter().collect())
    }
}

/// An enum of numbers and the table of their facts, one row a number:
/// `Variant: key, label, noun, unit, least to most, usual, explanation`.
macro_rules! sheet_numbers {
    (
        $(#[$meta:meta])*
        $name:ident of $sheet:literal
        { $($(#[$row_meta:meta])* $variant:ident: $key:literal, $label:literal, $noun:literal, $unit:expr,
            $least:literal to $most:literal, $usual:expr, $explanation:literal;)+ }
    ) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name {
            $(#[doc = $explanation] $(#[$row_meta])* $variant,)+
        }

        impl $crate::sheet::SheetNumber for $name {
            const ALL: &'static [Self] = &[$(Self::$variant),+];
            const SHEET: &'static str = $sheet;

            fn facts(self) -> &'static $crate::sheet::NumberFacts {
                match self {
                    $(Self::$variant => &$crate::sheet::NumberFacts {
                        key: $key,
                        label: $label,
                        noun: $noun,
                        unit: $unit,
                        least: $least,
                        most: $most,
                        usual: $usual,
                        explanation: $explanation,
                    },)+
                }
            }
        }
    };
}
pub(crate) use sheet_numbers;
