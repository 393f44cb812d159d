//! The room that the machine stands in, and its mains.

use crate::TwinError;
use crate::air;
use crate::twin_error::in_range;

/// Altitude, air and mains of the room.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomParams {
    /// Geopotential altitude, in m, -400 to 4,500.
    pub altitude_m: f64,
    /// Room air, in °C, -5 to 45; the beans start at it, wall and probe too in a cold machine.
    pub ambient_c: f64,
    /// Relative humidity of the room air, in %, 0 to 100.
    pub humidity_percent: f64,
    /// Mains voltage under load, in V, 80 to 270.
    pub mains_v: f64,
}

impl Default for RoomParams {
    /// 100 m, 20 °C, 50 %, 230 V; assumed.
    fn default() -> Self {
        Self {
            altitude_m: 100.0,
            ambient_c: 20.0,
            humidity_percent: 50.0,
            mains_v: 230.0,
        }
    }
}

impl RoomParams {
    /// Checks every number against its range.
    ///
    /// # Errors
    /// [`TwinError::OutOfRange`] for the first number outside.
    pub fn check(&self) -> Result<(), TwinError> {
        in_range("altitude", "m", self.altitude_m, -400.0..=4_500.0)?;
        in_range("room temperature", "°C", self.ambient_c, -5.0..=45.0)?;
        in_range("room humidity", "%", self.humidity_percent, 0.0..=100.0)?;
        in_range("mains voltage", "V", self.mains_v, 80.0..=270.0)
    }

    /// Standard pressure at the altitude, in Pa.
    pub fn pressure_pa(&self) -> f64 {
        air::standard_pressure_pa(self.altitude_m)
    }

    /// Density of the moist room air, in kg/m³.
    pub fn air_density_kg_per_m3(&self) -> f64 {
        air::moist_density_kg_per_m3(
            self.pressure_pa(),
            self.ambient_c,
            self.humidity_percent / 100.0,
        )
    }
}
