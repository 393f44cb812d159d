//! The roaster's own colour readings: what the forecast of the roast colour is calibrated with.

use crate::{
    calendar_day::CalendarDay,
    finishes::FinishId,
    limits,
    outlook::Outlook,
    plan::PlanParts,
    roast_colour::{ColourError, ColourSample, RoastColour},
    units::{TempUnit, format_temp_with_unit},
};
use chaffinch_curve::{MAX_TEMP_C, MIN_TEMP_C};
use thiserror::Error;

/// Most readings of a notebook. Ours: ten roasts a week for ten years.
pub const MAX_READINGS: usize = 5_000;
/// Greatest share of the dry matter that a forecast can have gone, 0–1: the ceiling of the model's law.
const MOST_DRY_LOSS: f64 = 0.25;

/// One colour that was measured, and what the forecast had said of the roast.
#[derive(Clone, Debug, PartialEq)]
pub struct ColourReading {
    /// When it was measured, if that is known.
    pub day: Option<CalendarDay>,
    /// The coffee, one line; may be empty.
    pub coffee: String,
    /// The finish, one line; may be empty.
    pub finish: String,
    /// Temperature of the drop on the bean probe, in °C.
    pub drop_c: f64,
    /// Share of the green dry matter that the forecast said would be gone at the drop, 0–0.25.
    pub dry_loss: f64,
    /// What was measured.
    pub sample: ColourSample,
    /// Its colour.
    pub colour: RoastColour,
}

/// Why a reading can't be kept.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum ReadingError {
    /// The colour is out of range.
    #[error(transparent)]
    Colour(#[from] ColourError),
    /// The drop is out of range.
    #[error("the drop is at {found_c} °C; expected {MIN_TEMP_C} to {MAX_TEMP_C} °C")]
    Drop {
        /// Its temperature in °C.
        found_c: f64,
    },
    /// The loss is out of range.
    #[error("the dry-matter loss is {found}; expected 0 to {MOST_DRY_LOSS}")]
    DryLoss {
        /// The loss, as a share.
        found: f64,
    },
    /// A name has more than one line, or is too long.
    #[error(
        "the name of the {what} has more than one line or more than {} characters; shorten it",
        limits::MAX_LINE_CHARS
    )]
    Name {
        /// Whose name.
        what: &'static str,
    },
    /// Too many readings.
    #[error(
        "there are {found} colour readings; at most {MAX_READINGS} are kept, so remove old ones"
    )]
    TooMany {
        /// How many were found.
        found: usize,
    },
}

impl ColourReading {
    /// A reading of coffee that was dropped at a finish of `plan`, with what `outlook`, which must be of the same plan, foresees
    /// there; nothing if it foresees no drop.
    pub fn at_finish(
        (plan, outlook): (&PlanParts, &Outlook),
        id: FinishId,
        (sample, colour): (ColourSample, RoastColour),
        day: Option<CalendarDay>,
    ) -> Option<Self> {
        let finish = plan.finishes.get(id)?;
        let forecast = outlook.finishes.iter().find(|forecast| forecast.id == id)?;
        Some(Self {
            day,
            coffee: plan.lot.name.clone(),
            finish: finish.name.clone(),
            drop_c: finish.temp_c,
            dry_loss: forecast.dropped()?.dry_loss,
            sample,
            colour,
        })
    }

    /// “2026-11-26, Made-up lot, medium 212 °C, ground: disc 57”.
    pub fn words(&self, unit: TempUnit) -> String {
        let drop = format_temp_with_unit(self.drop_c, unit);
        let drop = format!("{} {drop}", self.finish);
        let day = self.day.map(|day| day.to_string()).unwrap_or_default();
        let parts = [
            day.as_str(),
            &self.coffee,
            drop.trim_start(),
            self.sample.words(),
        ];
        let parts: Vec<&str> = parts.into_iter().filter(|part| !part.is_empty()).collect();
        format!("{}: {}", parts.join(", "), self.colour.words())
    }

    /// Checks every value.
    ///
    /// # Errors
    /// [`ReadingError`]: the first value that is out of range
    pub fn check(&self) -> Result<(), ReadingError> {
        self.colour.check()?;
        if !(MIN_TEMP_C..=MAX_TEMP_C).contains(&self.drop_c) {
            return Err(ReadingError::Drop {
                found_c: self.drop_c,
            });
        }
        if !(0.0..=MOST_DRY_LOSS).contains(&self.dry_loss) {
            return Err(ReadingError::DryLoss {
                found: self.dry_loss,
            });
        }
        for (what, name) in [("coffee", &self.coffee), ("finish", &self.finish)] {
            let is_line = !name.chars().any(char::is_control);
            if !is_line || limits::MAX_LINE_CHARS < name.chars().count() {
                return Err(ReadingError::Name { what });
            }
        }
        Ok(())
    }
}

/// Checked readings, in the order in which they were entered; may be empty.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct ColourReadings(Vec<ColourReading>);

impl ColourReadings {
    /// Checks the readings.
    ///
    /// # Errors
    /// [`ReadingError`]: too many, or a value out of range
    pub fn new(readings: Vec<ColourReading>) -> Result<Self, ReadingError> {
        if MAX_READINGS < readings.len() {
            return Err(ReadingError::TooMany {
                found: readings.len(),
            });
        }
        readings.iter().try_for_each(ColourReading::check)?;
        Ok(Self(readings))
    }

    /// All, oldest entry first.
    pub fn all(&self) -> &[ColourReading] {
        &self.0
    }

    /// With one more behind the others.
    ///
    /// # Errors
    /// [`ReadingError`]: as [`Self::new`]
    pub fn with(&self, reading: ColourReading) -> Result<Self, ReadingError> {
        let mut readings = self.0.clone();
        readings.push(reading);
        Self::new(readings)
    }

    /// Without the one at `index`; the same if there is none.
    #[must_use]
    pub fn without(&self, index: usize) -> Self {
        let mut readings = self.0.clone();
        if index < readings.len() {
            readings.remove(index);
        }
        Self(readings)
    }
}
