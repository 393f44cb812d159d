//! The green lot: what is known of the coffee before it is roasted, and how well.

use crate::{
    limits,
    sheet::{Numbers, SheetUnit::Plain, sheet_numbers},
};
use thiserror::Error;

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

sheet_numbers! {
    /// A number of the lot sheet.
    LotNumber of "coffee" {
        Altitude: "altitude_m", "Grown at", "altitude of growth", Plain("m"), 0.0 to 3500.0, None,
            "Altitude of growth above sea level. Coffee grown higher is often denser; nearer the equator the same altitude is warmer.";
        Latitude: "latitude_deg", "Latitude", "latitude of growth", Plain("°"), -60.0 to 60.0, None,
            "Degrees from the equator, north or south alike: the same altitude nearer the equator is warmer. Carrying over goes by it.";
        Density: "density_g_per_l", "Density", "density", Plain("g/L"), 400.0 to 1000.0, Some(696.0),
            "Mass of green coffee that flows freely into one litre (ISO 6669). Kitchen scales and a measuring jug come close.";
        Moisture: "moisture_percent", "Moisture", "moisture", Plain("%"), 3.0 to 25.0, Some(11.2),
            "Water as a share of the green mass (ISO 6673 is the reference method). Specialty green is usually traded at 10 to 12 %.";
        ScreenSize: "screen_size_64ths_inch", "Screen size", "screen size", Plain("1/64 in"), 6.0 to 26.0, None,
            "The round hole, in 64ths of an inch, that holds most of the beans back.";
        HundredBeans: "hundred_beans_g", "100 beans", "weight of 100 beans", Plain("g"), 4.0 to 40.0, None,
            "Weight of 100 whole green beans. With the density it tells the bean's size better than a screen does.";
        Dose: "dose_g", "Dose", "dose", Plain("g"), 10.0 to 5000.0, Some(200.0),
            "Green beans that you charge.";
        Conductivity: "conductivity_w_per_m_k", "Conductivity", "heat conductivity of a bean", Plain("W/(m·K)"), 0.05 to 0.5, Some(0.15),
            "How well a bean conducts heat. Nobody measures it on a lot; published values differ by a factor of two.";
        Drying: "drying_factor", "Drying", "drying factor", Plain(""), 0.0 to 5.0, Some(1.0),
            "Factor on the drying law; 1 as published. Your own weighed roasts would tell.";
        Exotherm: "exotherm_factor", "Own heat", "factor on the beans' own heat", Plain(""), 0.0 to 2.0, Some(1.0),
            "Factor on the heat that roasting sets free; 1 as published. The least certain number of the model.";
        DryLoss: "dry_loss_factor", "Dry loss", "factor on the loss of dry matter", Plain(""), 0.0 to 3.0, Some(1.0),
            "Factor on the dry matter that roasting drives off. Your own weighed roasts would tell.";
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
    /// What somebody entered of its numbers.
    pub numbers: Numbers<LotNumber>,
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

    /// The sheet in one line: what matters when it is folded.
    pub fn headline(&self) -> String {
        let mut parts: Vec<String> = Vec::new();
        for text in [&self.name, &self.process] {
            if !text.is_empty() {
                parts.push(text.clone());
            }
        }
        for (number, unit) in [(LotNumber::Altitude, "m"), (LotNumber::Moisture, "%")] {
            if let Some(entered) = self.numbers.entered(number) {
                parts.push(format!("{} {unit}", entered.value));
            }
        }
        if parts.is_empty() {
            return "Nothing entered yet".to_owned();
        }
        parts.join(", ")
    }
}
