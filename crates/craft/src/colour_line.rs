//! The line that the roaster's own colour readings lie about: colour against the dry-matter loss that was forecast.
//!
//! Ordinary least squares, one line for each coordinate. What the next reading will be is told as the range that 80 of 100 such readings
//! fall into, by Student's t with n − 2 degrees of freedom (the prediction interval of simple linear regression: Draper and Smith,
//! Applied Regression Analysis, section 1.4, from memory). The scatter of the readings holds everything that differed between those
//! roasts, so day-to-day variation is in it already.

use crate::{
    colour_readings::ColourReading,
    limits,
    roast_colour::{ColourSample, ColourScale, Lab, RoastColour},
};
use statrs::distribution::{ContinuousCDF, StudentsT};

/// Fewest readings that make a line. Ours: three more than a line through two points needs.
pub const LEAST_READINGS: usize = 5;
/// Share of readings below the upper end of the range: 80 of 100 lie inside it, as with every ± of the program.
const UPPER_SHARE: f64 = 0.9;

/// Why readings make no line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum NoLine {
    /// Too few of them.
    TooFew {
        /// How many more are needed.
        missing: usize,
    },
    /// The roasts lie too close together.
    TooNarrow {
        /// Difference of the greatest and the least dry-matter loss, as a share.
        found: f64,
    },
    /// The coffee doesn't get darker with the loss.
    NotDarker,
}

/// A line through the readings of one scale and one kind of sample.
#[derive(Clone, Debug, PartialEq)]
pub struct ColourLine {
    scale: ColourScale,
    sample: ColourSample,
    readings: usize,
    /// Least and greatest dry-matter loss of the readings, as shares.
    range: (f64, f64),
    mean_loss: f64,
    /// Sum of squares of the losses about their mean.
    loss_squares: f64,
    /// Value at the mean loss, and change for each whole share, of L* or the disc, then a* and b*.
    coordinates: [(f64, f64); 3],
    /// Standard deviation of L* or the disc about the line, with n − 2 degrees of freedom.
    scatter: f64,
    /// What the ends of the range lie away from the line, in standard deviations.
    quantile: f64,
}

impl ColourLine {
    /// The line through those of `readings` that are of `scale` and `sample`.
    pub(crate) fn of(
        readings: &[ColourReading],
        scale: ColourScale,
        sample: ColourSample,
    ) -> Result<Self, NoLine> {
        let points: Vec<(f64, [f64; 3])> = readings
            .iter()
            .filter(|reading| reading.sample == sample && reading.colour.scale() == scale)
            .map(|reading| (reading.dry_loss, coordinates(&reading.colour)))
            .collect();
        let count = points.len();
        if count < LEAST_READINGS {
            let missing = LEAST_READINGS - count;
            return Err(NoLine::TooFew { missing });
        }
        let losses = || points.iter().map(|(loss, _)| *loss);
        let range = (
            losses().fold(f64::INFINITY, f64::min),
            losses().fold(f64::NEG_INFINITY, f64::max),
        );
        let found = range.1 - range.0;
        if found < limits::LEAST_COLOUR_RANGE {
            return Err(NoLine::TooNarrow { found });
        }
        let n = count as f64;
        let mean_loss = losses().sum::<f64>() / n;
        let loss_squares: f64 = losses().map(|loss| (loss - mean_loss).powi(2)).sum();
        let fit = |axis: usize| {
            let mean = points.iter().map(|(_, values)| values[axis]).sum::<f64>() / n;
            let products = points
                .iter()
                .map(|(loss, values)| (loss - mean_loss) * (values[axis] - mean));
            (mean, products.sum::<f64>() / loss_squares)
        };
        let coordinates = [fit(0), fit(1), fit(2)];
        let (mean, slope) = coordinates[0];
        if 0.0 <= slope {
            return Err(NoLine::NotDarker);
        }
        let misses = points
            .iter()
            .map(|(loss, values)| values[0] - mean - slope * (loss - mean_loss));
        let freedom = n - 2.0;
        let scatter = (misses.map(|miss| miss * miss).sum::<f64>() / freedom).sqrt();
        Ok(Self {
            scale,
            sample,
            readings: count,
            range,
            mean_loss,
            loss_squares,
            coordinates,
            scatter,
            quantile: student_quantile(UPPER_SHARE, freedom),
        })
    }

    /// The scale that it is told on.
    pub fn scale(&self) -> ColourScale {
        self.scale
    }

    /// What was measured.
    pub fn sample(&self) -> ColourSample {
        self.sample
    }

    /// How many readings it rests on.
    pub fn readings(&self) -> usize {
        self.readings
    }

    /// Least and greatest dry-matter loss that it may be asked for, as shares.
    pub fn range(&self) -> (f64, f64) {
        self.range
    }

    /// The colour on the line at a dry-matter loss, as a share.
    pub fn colour(&self, dry_loss: f64) -> RoastColour {
        let at = |(mean, slope): (f64, f64)| mean + slope * (dry_loss - self.mean_loss);
        let [lightness, a, b] = self.coordinates.map(at);
        match self.scale {
            ColourScale::Lab => RoastColour::Lab(Lab { lightness, a, b }),
            ColourScale::Disc => RoastColour::Disc(lightness),
        }
    }

    /// How far L* or the disc of one more reading may lie from the line: 80 of 100 lie nearer.
    pub fn plus_minus(&self, dry_loss: f64) -> f64 {
        let away = (dry_loss - self.mean_loss).powi(2) / self.loss_squares;
        self.quantile * self.scatter * (1.0 + 1.0 / self.readings as f64 + away).sqrt()
    }

    /// How far a reading lies from the line: ΔE*ab, or discs. Nothing for a reading of another scale or sample.
    pub fn miss(&self, reading: &ColourReading) -> Option<f64> {
        let is_mine = reading.sample == self.sample;
        let line = self.colour(reading.dry_loss);
        reading.colour.difference(&line).filter(|_| is_mine)
    }
}

fn coordinates(colour: &RoastColour) -> [f64; 3] {
    match colour {
        RoastColour::Lab(lab) => [lab.lightness, lab.a, lab.b],
        RoastColour::Disc(disc) => [*disc, 0.0, 0.0],
    }
}

/// Value below which `share` of Student's t with so many degrees of freedom lies.
fn student_quantile(share: f64, freedom: f64) -> f64 {
    // Refused only with fewer degrees of freedom than any line has; a range without end claims nothing then.
    StudentsT::new(0.0, 1.0, freedom).map_or(f64::INFINITY, |t| t.inverse_cdf(share))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]
    use super::*;

    #[test]
    fn quantiles_are_students() {
        // mpmath, see the README beside the file.
        let file = include_str!("../../../tests/reference/10_stats/student_quantile.csv");
        let mut checked = 0;
        for line in file.lines().skip(1) {
            let fields: Vec<f64> = line.split(',').map(|it| it.parse().unwrap()).collect();
            let found = student_quantile(fields[1], fields[0]);
            assert!((found / fields[2] - 1.0).abs() < 1e-7, "{line}: {found}");
            checked += 1;
        }
        assert_eq!(checked, 30, "ten degrees of freedom, three shares");
    }
}
