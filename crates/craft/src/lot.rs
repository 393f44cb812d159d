//! The green lot: what is known of the coffee before it is roasted, and how well.

use crate::limits;
use thiserror::Error;

/// How a figure came to be known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Knowledge {
    /// Somebody measured it on this lot.
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

/// A text field of the lot sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LotText {
    /// What the roastery calls the lot.
    Name,
    /// Country, region, producer: as told.
    Origin,
    /// How the cherry became green coffee: washed, natural, honey, …
    Process,
    /// When it was picked.
    Harvest,
    /// Anything else.
    Notes,
}

/// A number of the lot sheet, each with its own unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LotNumber {
    /// Altitude of growth in m above sea level.
    Altitude,
    /// Free-flow bulk density of the green coffee in g/L (ISO 6669).
    Density,
    /// Moisture in % of the green mass (ISO 6673).
    Moisture,
    /// Screen size in 1/64 inch.
    ScreenSize,
}

impl LotText {
    /// All text fields in the order of the sheet.
    pub const ALL: [Self; 5] = [
        Self::Name,
        Self::Origin,
        Self::Process,
        Self::Harvest,
        Self::Notes,
    ];

    /// The field's label.
    pub fn label(self) -> &'static str {
        match self {
            Self::Name => "Name",
            Self::Origin => "Origin",
            Self::Process => "Process",
            Self::Harvest => "Harvest",
            Self::Notes => "Notes",
        }
    }
}

impl LotNumber {
    /// All numbers in the order of the sheet.
    pub const ALL: [Self; 4] = [
        Self::Altitude,
        Self::Density,
        Self::Moisture,
        Self::ScreenSize,
    ];

    /// The field's label.
    pub fn label(self) -> &'static str {
        match self {
            Self::Altitude => "Grown at",
            Self::Density => "Density",
            Self::Moisture => "Moisture",
            Self::ScreenSize => "Screen size",
        }
    }

    /// What the number is, for use in a sentence.
    pub fn noun(self) -> &'static str {
        match self {
            Self::Altitude => "altitude of growth",
            Self::Density => "density",
            Self::Moisture => "moisture",
            Self::ScreenSize => "screen size",
        }
    }

    /// The unit the value is kept in.
    pub fn unit(self) -> &'static str {
        match self {
            Self::Altitude => "m",
            Self::Density => "g/L",
            Self::Moisture => "%",
            Self::ScreenSize => "1/64 in",
        }
    }

    /// Least and greatest value that the sheet takes; wide, so that it stops typing errors and nothing else.
    pub fn range(self) -> (f64, f64) {
        match self {
            Self::Altitude => limits::ALTITUDE_RANGE_M,
            Self::Density => limits::DENSITY_RANGE_G_PER_L,
            Self::Moisture => limits::MOISTURE_RANGE_PERCENT,
            Self::ScreenSize => limits::SCREEN_RANGE_64THS,
        }
    }

    /// What the figure is and how to get it, in plain words.
    pub fn explanation(self) -> &'static str {
        match self {
            Self::Altitude => {
                "Altitude of growth above sea level. Coffee grown higher is often denser; nearer the equator the same altitude is warmer."
            }
            Self::Density => {
                "Mass of green coffee that flows freely into one litre (ISO 6669). Kitchen scales and a measuring jug come close."
            }
            Self::Moisture => {
                "Water as a share of the green mass (ISO 6673 is the reference method). Specialty green is usually traded at 10 to 12 %."
            }
            Self::ScreenSize => {
                "The round hole, in 64ths of an inch, that holds most of the beans back."
            }
        }
    }
}

/// A range of development ratios, each 0–1, least first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RatioRange {
    least: f64,
    most: f64,
}

impl RatioRange {
    /// A checked range.
    ///
    /// # Errors
    /// [`LotError::RatioRange`] unless 0 ≤ `least` < `most` ≤ 1, both finite.
    pub fn new(least: f64, most: f64) -> Result<Self, LotError> {
        if 0.0 <= least && least < most && most <= 1.0 {
            Ok(Self { least, most })
        } else {
            Err(LotError::RatioRange {
                least_percent: least * 100.0,
                most_percent: most * 100.0,
            })
        }
    }

    /// The least ratio.
    pub fn least(self) -> f64 {
        self.least
    }

    /// The greatest ratio.
    pub fn most(self) -> f64 {
        self.most
    }
}

impl Default for RatioRange {
    fn default() -> Self {
        Self {
            least: limits::DEVELOPMENT_RATIO_RANGE.0,
            most: limits::DEVELOPMENT_RATIO_RANGE.1,
        }
    }
}

/// Why a lot can't be as wished.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum LotError {
    /// A number is out of its range.
    #[error("{} of the coffee is {found} {}; expected {least} to {most} {}", .number.noun(), .number.unit(), .number.unit())]
    OutOfRange {
        /// Which number.
        number: LotNumber,
        /// What was found.
        found: f64,
        /// Least value allowed.
        least: f64,
        /// Greatest value allowed.
        most: f64,
    },
    /// The wished development is not a range.
    #[error(
        "wished development of {least_percent} % to {most_percent} % is not a range; expected 0 % to 100 % with the smaller first"
    )]
    RatioRange {
        /// The lower end in per cent.
        least_percent: f64,
        /// The upper end in per cent.
        most_percent: f64,
    },
}

/// The lot sheet. Texts may be empty; a number that nobody knows is `None`.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Lot {
    /// What the roastery calls the lot.
    pub name: String,
    /// Country, region, producer.
    pub origin: String,
    /// How the cherry became green coffee.
    pub process: String,
    /// When it was picked.
    pub harvest: String,
    /// Anything else.
    pub notes: String,
    /// Altitude of growth in m.
    pub altitude_m: Option<Given>,
    /// Free-flow bulk density in g/L.
    pub density_g_per_l: Option<Given>,
    /// Moisture in % of the green mass.
    pub moisture_percent: Option<Given>,
    /// Screen size in 1/64 inch.
    pub screen_size: Option<Given>,
    /// The development ratios that the roaster wishes for this lot.
    pub wished_development: RatioRange,
}

impl Lot {
    /// A text field.
    pub fn text(&self, field: LotText) -> &str {
        match field {
            LotText::Name => &self.name,
            LotText::Origin => &self.origin,
            LotText::Process => &self.process,
            LotText::Harvest => &self.harvest,
            LotText::Notes => &self.notes,
        }
    }

    /// A number field.
    pub fn number(&self, field: LotNumber) -> Option<Given> {
        match field {
            LotNumber::Altitude => self.altitude_m,
            LotNumber::Density => self.density_g_per_l,
            LotNumber::Moisture => self.moisture_percent,
            LotNumber::ScreenSize => self.screen_size,
        }
    }

    pub(crate) fn with_text(mut self, field: LotText, text: String) -> Self {
        match field {
            LotText::Name => self.name = text,
            LotText::Origin => self.origin = text,
            LotText::Process => self.process = text,
            LotText::Harvest => self.harvest = text,
            LotText::Notes => self.notes = text,
        }
        self
    }

    pub(crate) fn with_number(mut self, field: LotNumber, given: Option<Given>) -> Self {
        match field {
            LotNumber::Altitude => self.altitude_m = given,
            LotNumber::Density => self.density_g_per_l = given,
            LotNumber::Moisture => self.moisture_percent = given,
            LotNumber::ScreenSize => self.screen_size = given,
        }
        self
    }

    /// Checks every number against its range.
    ///
    /// # Errors
    /// [`LotError::OutOfRange`] for the first number that isn't finite or leaves its range.
    pub fn check(&self) -> Result<(), LotError> {
        for number in LotNumber::ALL {
            let (least, most) = number.range();
            if let Some(given) = self.number(number)
                && !(least..=most).contains(&given.value)
            {
                return Err(LotError::OutOfRange {
                    number,
                    found: given.value,
                    least,
                    most,
                });
            }
        }
        Ok(())
    }

    /// The sheet in one line: what matters when it is folded.
    pub fn headline(&self) -> String {
        let mut parts: Vec<String> = Vec::new();
        for text in [&self.name, &self.process] {
            if !text.is_empty() {
                parts.push(text.clone());
            }
        }
        if let Some(altitude) = self.altitude_m {
            parts.push(format!("{} m", altitude.value));
        }
        if let Some(moisture) = self.moisture_percent {
            parts.push(format!("{} %", moisture.value));
        }
        if parts.is_empty() {
            return "Nothing entered yet".to_owned();
        }
        parts.join(", ")
    }
}
