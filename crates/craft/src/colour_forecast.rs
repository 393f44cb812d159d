//! The forecast of the roast colour: a number with its range once the roaster's own readings allow one, else a broad range in words.

use crate::{
    colour_line::{ColourLine, LEAST_READINGS, NoLine},
    colour_readings::{ColourReading, ColourReadings},
    limits::{COLOUR_WORD_LOSSES, LEAST_COLOUR_RANGE},
    roast_colour::{ColourSample, ColourScale, RoastColour},
    units::{format_number, format_share},
};
use chaffinch_twin::trust;

/// What the readings of a notebook say about roast colour.
#[derive(Clone, Debug, PartialEq)]
pub struct ColourCalibration {
    /// The lines there are, the one with the most readings first.
    lines: Vec<ColourLine>,
    /// Why there is no line, if there is none: told of the readings that come nearest to one.
    trouble: NoLine,
}

/// The roast colour of one finish.
#[derive(Clone, Debug, PartialEq)]
pub enum ColourForecast {
    /// From the roaster's own readings.
    Calibrated(ForeseenColour),
    /// From what the trade says of the weight loss, and nothing else.
    Broad(BroadColour, NotCalibrated),
}

/// A colour with the range that 80 of 100 readings fall into.
#[derive(Clone, Debug, PartialEq)]
pub struct ForeseenColour {
    /// The colour on the line through the readings.
    pub colour: RoastColour,
    /// ± of L* or the disc.
    pub plus_minus: f64,
    /// What would be measured.
    pub sample: ColourSample,
    /// How many readings it rests on.
    pub readings: usize,
}

/// What the trade calls a roast level.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LevelWord {
    /// Below [`COLOUR_WORD_LOSSES`].
    Light,
    /// Between them.
    Medium,
    /// Above them.
    Dark,
}

/// From the lightest to the darkest that the forecast's trust allows. Common practice, no published source.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BroadColour {
    /// The lightest.
    pub lightest: LevelWord,
    /// The darkest.
    pub darkest: LevelWord,
}

/// Why there is no calibrated colour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NotCalibrated {
    /// Readings are missing.
    TooFew {
        /// How many more of one scale and sample are needed.
        missing: usize,
    },
    /// The readings lie too close together.
    TooNarrow {
        /// Difference of the greatest and the least dry-matter loss among them, as a share.
        found: f64,
    },
    /// The readings don't get darker as more is lost.
    NotDarker,
    /// The finish lies outside of what was read.
    Outside {
        /// Its dry-matter loss, as a share.
        found: f64,
        /// The least and the greatest loss among the readings, as shares.
        range: (f64, f64),
    },
}

impl Default for ColourCalibration {
    /// Of a notebook without readings.
    fn default() -> Self {
        Self::of(&ColourReadings::default())
    }
}

impl ColourCalibration {
    /// What `readings` say; the notebook's readings of all coffees together.
    pub fn of(readings: &ColourReadings) -> Self {
        let kinds = ColourScale::ALL
            .into_iter()
            .flat_map(|scale| ColourSample::ALL.map(|sample| (scale, sample)));
        let mut lines = Vec::new();
        let mut trouble = NoLine::TooFew {
            missing: LEAST_READINGS,
        };
        for (scale, sample) in kinds {
            match ColourLine::of(readings.all(), scale, sample) {
                Ok(line) => lines.push(line),
                Err(found) if is_nearer(&found, &trouble) => trouble = found,
                Err(_) => {}
            }
        }
        lines.sort_by_key(|line| std::cmp::Reverse(line.readings()));
        Self { lines, trouble }
    }

    /// The lines, the one with the most readings first; one at most of each scale and sample.
    pub fn lines(&self) -> &[ColourLine] {
        &self.lines
    }

    /// The colour of a roast that has lost these shares of its weight and of its dry matter: by the line with the most readings whose
    /// range it lies in.
    pub fn forecast(&self, weight_loss: f64, dry_loss: f64) -> ColourForecast {
        let is_inside = |line: &&ColourLine| {
            let (least, most) = line.range();
            (least..=most).contains(&dry_loss)
        };
        if let Some(line) = self.lines.iter().find(is_inside) {
            return ColourForecast::Calibrated(ForeseenColour {
                colour: line.colour(dry_loss),
                plus_minus: line.plus_minus(dry_loss),
                sample: line.sample(),
                readings: line.readings(),
            });
        }
        let why = self.lines.first().map_or_else(
            || self.why_none(),
            |line| NotCalibrated::Outside {
                found: dry_loss,
                range: line.range(),
            },
        );
        ColourForecast::Broad(BroadColour::of(weight_loss), why)
    }

    /// What the readings make, in sentences: one for each line, or what is missing for one.
    pub fn sentences(&self) -> Vec<String> {
        if self.lines.is_empty() {
            return vec![self.why_none().sentence()];
        }
        let sentence = |line: &ColourLine| {
            let (least, most) = line.range();
            format!(
                "{} readings ({}, {}) make a number for finishes that lose {} to {} of their dry matter.",
                line.readings(),
                line.scale().label(),
                line.sample().words(),
                format_share(least),
                format_share(most)
            )
        };
        self.lines.iter().map(sentence).collect()
    }

    /// Why there is no line.
    fn why_none(&self) -> NotCalibrated {
        match self.trouble {
            NoLine::TooFew { missing } => NotCalibrated::TooFew { missing },
            NoLine::TooNarrow { found } => NotCalibrated::TooNarrow { found },
            NoLine::NotDarker => NotCalibrated::NotDarker,
        }
    }

    /// How far a reading lies from the line of its kind, in ΔE*ab or discs; nothing where there is no such line.
    pub fn miss(&self, reading: &ColourReading) -> Option<f64> {
        self.lines.iter().find_map(|line| line.miss(reading))
    }
}

/// Whether readings with this trouble are nearer to a line than those with the other.
fn is_nearer(found: &NoLine, other: &NoLine) -> bool {
    let missing = |trouble: &NoLine| match trouble {
        NoLine::TooFew { missing } => *missing,
        NoLine::TooNarrow { .. } | NoLine::NotDarker => 0,
    };
    missing(found) < missing(other)
}

impl LevelWord {
    fn of(weight_loss: f64) -> Self {
        let (medium, dark) = COLOUR_WORD_LOSSES;
        if weight_loss < medium {
            Self::Light
        } else if weight_loss < dark {
            Self::Medium
        } else {
            Self::Dark
        }
    }

    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Light => "light",
            Self::Medium => "medium",
            Self::Dark => "dark",
        }
    }
}

impl BroadColour {
    /// Of a roast whose weight loss is forecast as this share, give or take what the forecast may be wrong by.
    fn of(weight_loss: f64) -> Self {
        Self {
            lightest: LevelWord::of(weight_loss - trust::WEIGHT_LOSS),
            darkest: LevelWord::of(weight_loss + trust::WEIGHT_LOSS),
        }
    }

    /// “light … medium”.
    pub fn words(self) -> String {
        if self.lightest == self.darkest {
            return self.lightest.word().to_owned();
        }
        format!("{} … {}", self.lightest.word(), self.darkest.word())
    }
}

impl ForeseenColour {
    /// “L* 24.1 ± 1.3” or “disc 55 ± 4”.
    pub fn words(&self) -> String {
        let decimals = decimals(self.colour.scale());
        format!(
            "{} {} ± {}",
            self.colour.scale().lightness_name(),
            format_number(self.colour.lightness(), decimals),
            format_number(self.plus_minus, 1)
        )
    }
}

impl ColourForecast {
    /// Short, for a narrow row: “L* 24.1 ± 1.3” or “light … medium”.
    pub fn words(&self) -> String {
        match self {
            Self::Calibrated(foreseen) => foreseen.words(),
            Self::Broad(broad, _) => broad.words(),
        }
    }

    /// What it rests on and how far to trust it, in one or two sentences.
    pub fn basis(&self) -> String {
        match self {
            Self::Calibrated(foreseen) => format!(
                "From {} readings of your own ({}); ± holds 80 of 100 such readings.",
                foreseen.readings,
                foreseen.sample.words()
            ),
            Self::Broad(_, why) => format!(
                "A broad range from the weight loss (common practice, no published source). {}",
                why.sentence()
            ),
        }
    }
}

impl NotCalibrated {
    /// What is missing for a number, as a sentence.
    pub fn sentence(&self) -> String {
        match self {
            Self::TooFew { missing: 1 } => "One more colour reading turns the range into a number.".to_owned(),
            Self::TooFew { missing } => format!(
                "{missing} more colour readings of one scale, all of whole beans or all ground, turn the range into a number."
            ),
            Self::TooNarrow { found } => format!(
                "Your colour readings lie within {} of dry-matter loss; a number needs {} between lightest and darkest.",
                format_share(*found),
                format_share(LEAST_COLOUR_RANGE)
            ),
            Self::NotDarker => "Your colour readings don't get darker as more is lost, so they make no number; look for one that was mistyped.".to_owned(),
            Self::Outside { found, range } => format!(
                "Its dry-matter loss of {} lies outside of your colour readings, {} to {}.",
                format_share(*found),
                format_share(range.0),
                format_share(range.1)
            ),
        }
    }
}

/// Decimals that a value of a scale is shown with.
fn decimals(scale: ColourScale) -> usize {
    match scale {
        ColourScale::Lab => 1,
        ColourScale::Disc => 0,
    }
}
