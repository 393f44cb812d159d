//! What the controller is told, once a second: a temperature to chase and a fan setting; and where the roaster drops.

use crate::TwinError;
use crate::twin_error::in_range;

/// Fewest samples: one second.
const LEAST_SAMPLES: usize = 2;
/// Most samples: one hour.
const MOST_SAMPLES: usize = 3601;

/// Setpoint temperature and fan setting at 0, 1, 2, … s; both hold until the next second.
#[derive(Debug, Clone, PartialEq)]
pub struct Setpoint {
    temp_c: Vec<f64>,
    air_share: Vec<f64>,
    drop_c: Option<f64>,
}

/// Watches for the drop, second by second.
#[derive(Debug, Clone)]
pub(crate) struct DropWatch {
    drop_c: Option<f64>,
    was_below: bool,
}

impl Setpoint {
    /// Longest setpoint, in s: one hour.
    pub const MOST_S: usize = MOST_SAMPLES - 1;

    /// A setpoint of one sample a second from 0 s: `temp_c` in °C (-20 to 300), `air_share` the fan setting (0.05 to 1).
    /// The last sample is the drop, unless [`Self::dropping_at`] says otherwise; the fan setting there only takes part in what is
    /// shown for that moment.
    ///
    /// # Errors
    /// - [`TwinError::UnequalLengths`]: the two differ in length
    /// - [`TwinError::SampleCount`]: fewer than 2 or more than 3,601 samples
    /// - [`TwinError::OutOfRange`]: a sample outside its range, or not finite
    pub fn new(temp_c: Vec<f64>, air_share: Vec<f64>) -> Result<Self, TwinError> {
        if temp_c.len() != air_share.len() {
            return Err(TwinError::UnequalLengths {
                temps: temp_c.len(),
                airs: air_share.len(),
            });
        }
        if !(LEAST_SAMPLES..=MOST_SAMPLES).contains(&temp_c.len()) {
            return Err(TwinError::SampleCount {
                found: temp_c.len(),
                min: LEAST_SAMPLES,
                max: MOST_SAMPLES,
            });
        }
        for &c in &temp_c {
            in_range("setpoint", "°C", c, -20.0..=300.0)?;
        }
        for &share in &air_share {
            in_range("fan setting", "", share, 0.05..=1.0)?;
        }
        Ok(Self {
            temp_c,
            air_share,
            drop_c: None,
        })
    }

    /// The same setpoint for a roaster who drops by the display: at the first whole second, after 0 s, at which the probe reads
    /// `drop_c` or more, having read less before. `drop_c` in °C, -20 to 300. If it never does, the roast ends with the setpoint.
    ///
    /// # Errors
    /// [`TwinError::OutOfRange`]: `drop_c` outside its range, or not finite
    pub fn dropping_at(self, drop_c: f64) -> Result<Self, TwinError> {
        let DropWatch { drop_c, .. } = DropWatch::at(drop_c)?;
        Ok(Self { drop_c, ..self })
    }

    /// The same setpoint for a roast that goes on to its end, whatever the probe reads.
    #[must_use]
    pub fn going_on(self) -> Self {
        Self {
            drop_c: None,
            ..self
        }
    }

    /// The same setpoint for a roast that ends at `last_s` at the latest, in s; 1 s at least is left.
    #[must_use]
    pub fn ending_by(mut self, last_s: usize) -> Self {
        let len = last_s.saturating_add(1).max(LEAST_SAMPLES);
        self.temp_c.truncate(len);
        self.air_share.truncate(len);
        self
    }

    /// Temperatures in °C at 0, 1, 2, … s. Never empty.
    pub fn temp_c(&self) -> &[f64] {
        &self.temp_c
    }

    /// Fan settings, 0.05 to 1, at 0, 1, 2, … s; as many as temperatures.
    pub fn air_share(&self) -> &[f64] {
        &self.air_share
    }

    /// Reading of the probe, in °C, at which the roaster drops; nothing where the roast ends with the setpoint.
    pub fn drop_c(&self) -> Option<f64> {
        self.drop_c
    }

    /// A watch over the reading of one run.
    pub(crate) fn drop_watch(&self) -> DropWatch {
        DropWatch {
            drop_c: self.drop_c,
            was_below: false,
        }
    }

    /// Longest that the roast can take, in whole s: shorter only where the drop temperature is reached before.
    pub fn duration_s(&self) -> usize {
        self.temp_c.len() - 1
    }
}

impl DropWatch {
    /// A watch for one reading, in °C.
    ///
    /// # Errors
    /// [`TwinError::OutOfRange`]: `drop_c` below -20 °C or above 300 °C, or not finite
    pub(crate) fn at(drop_c: f64) -> Result<Self, TwinError> {
        in_range("drop temperature", "°C", drop_c, -20.0..=300.0)?;
        Ok(Self {
            drop_c: Some(drop_c),
            was_below: false,
        })
    }

    /// Whether the roaster drops at this reading, in °C. To be asked once a second from 0 s on, in order.
    pub(crate) fn drops(&mut self, reading_c: f64) -> bool {
        let Some(drop_c) = self.drop_c else {
            return false;
        };
        if reading_c < drop_c {
            self.was_below = true;
            return false;
        }
        self.was_below
    }
}
