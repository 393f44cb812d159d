//! The colour of roasted coffee as it is measured: CIELAB, or a disc of the trade's 25–95 scale.
//!
//! The two scales are never turned into one another: what an instrument makes of a disc is its maker's affair, and beans and grounds
//! differ. Whoever has both writes both down.

use crate::units::format_number;
use thiserror::Error;

/// A colour in CIELAB (ISO/CIE 11664-4). Which light and observer it was measured with is the instrument's affair; for coffee D65 or
/// D50 and 10° or 2° are all in use, so readings of one notebook should come from one instrument.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lab {
    /// Lightness L*, 0 (black) to 100 (white).
    pub lightness: f64,
    /// a*: green below 0, red above.
    pub a: f64,
    /// b*: blue below 0, yellow above.
    pub b: f64,
}

impl Lab {
    /// Colour difference ΔE*ab: the distance in L*, a* and b* (ISO/CIE 11664-4, the difference of 1976). About 2 and more can be seen
    /// side by side (common practice, no published source).
    pub fn difference(&self, other: &Self) -> f64 {
        let steps = [
            self.lightness - other.lightness,
            self.a - other.a,
            self.b - other.b,
        ];
        steps.iter().map(|step| step * step).sum::<f64>().sqrt()
    }
}

/// A measured colour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RoastColour {
    /// CIELAB, ISO/CIE 11664-4.
    Lab(Lab),
    /// The disc that matches, or a value between two discs: 25 (darkest) to 95 (lightest). Common practice, no published source.
    Disc(f64),
}

/// Which way of telling a colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ColourScale {
    /// CIELAB.
    Lab,
    /// The discs.
    Disc,
}

/// What was measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ColourSample {
    /// Whole beans.
    WholeBean,
    /// Ground coffee, which is commonly lighter than the beans that it was ground from.
    Ground,
}

/// Lightness that a reading may have.
pub const LIGHTNESS: (f64, f64) = (0.0, 100.0);
/// Range of a* and b* that a reading may have. Assumed: far wider than coffee of any kind, so that only slips of the hand fall outside.
pub const A_B: (f64, f64) = (-60.0, 60.0);
/// Range of the discs. Common practice, no published source.
pub const DISCS: (f64, f64) = (25.0, 95.0);

/// A colour that can't be.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
#[error("{name} is {found}; expected {least} to {most}")]
pub struct ColourError {
    /// Which value.
    pub name: &'static str,
    /// What was found.
    pub found: f64,
    /// The least that is taken.
    pub least: f64,
    /// The most that is taken.
    pub most: f64,
}

impl RoastColour {
    /// The way that it is told.
    pub fn scale(&self) -> ColourScale {
        match self {
            Self::Lab(_) => ColourScale::Lab,
            Self::Disc(_) => ColourScale::Disc,
        }
    }

    /// How light it is, on its own scale: L* or the disc.
    pub fn lightness(&self) -> f64 {
        match self {
            Self::Lab(lab) => lab.lightness,
            Self::Disc(disc) => *disc,
        }
    }

    /// “L* 24.1, a* 9.0, b* 12.0” or “disc 57”.
    pub fn words(&self) -> String {
        match self {
            Self::Lab(lab) => format!(
                "L* {}, a* {}, b* {}",
                format_number(lab.lightness, 1),
                format_number(lab.a, 1),
                format_number(lab.b, 1)
            ),
            Self::Disc(disc) => format!("disc {}", format_number(*disc, 0)),
        }
    }

    /// How far two colours of one scale lie apart: ΔE*ab, or discs; nothing between two scales.
    pub fn difference(&self, other: &Self) -> Option<f64> {
        match (self, other) {
            (Self::Lab(one), Self::Lab(other)) => Some(one.difference(other)),
            (Self::Disc(one), Self::Disc(other)) => Some((one - other).abs()),
            _ => None,
        }
    }

    /// Checks every value.
    ///
    /// # Errors
    /// [`ColourError`]: a value is outside its range, or not a number
    pub fn check(&self) -> Result<(), ColourError> {
        let values = match self {
            Self::Lab(lab) => vec![
                ("lightness L*", lab.lightness, LIGHTNESS),
                ("a*", lab.a, A_B),
                ("b*", lab.b, A_B),
            ],
            Self::Disc(disc) => vec![("disc", *disc, DISCS)],
        };
        for (name, found, (least, most)) in values {
            if !(least..=most).contains(&found) {
                return Err(ColourError {
                    name,
                    found,
                    least,
                    most,
                });
            }
        }
        Ok(())
    }
}

impl ColourScale {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Lab, Self::Disc];

    /// Its name, in a sentence or on a button.
    pub fn label(self) -> &'static str {
        match self {
            Self::Lab => "L*a*b*",
            Self::Disc => "disc",
        }
    }

    /// What the size of a difference of two colours is called.
    pub fn difference_name(self) -> &'static str {
        match self {
            Self::Lab => "ΔE*ab",
            Self::Disc => "discs",
        }
    }

    /// What stands before a value that tells how light a colour is.
    pub fn lightness_name(self) -> &'static str {
        match self {
            Self::Lab => "L*",
            Self::Disc => "disc",
        }
    }
}

impl ColourSample {
    /// Both.
    pub const ALL: [Self; 2] = [Self::WholeBean, Self::Ground];

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::WholeBean => "whole bean",
            Self::Ground => "ground",
        }
    }
}
