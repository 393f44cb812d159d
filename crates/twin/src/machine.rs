//! One electric hot-air machine in numbers: heater, fan, chamber, probe, controller.
//!
//! The default is an invented demo machine (1.6 kW, 150-200 g). Every number of it is assumed, none was measured: a real
//! machine needs its own.

use crate::TwinError;
use crate::twin_error::in_range;

/// Heater, fan, chamber, probe and controller of one machine that blows room air through the bed once.
#[derive(Debug, Clone, PartialEq)]
pub struct MachineParams {
    /// Electric power of the heater at [`Self::rated_voltage_v`], in W, 100 to 20,000.
    pub heater_power_w: f64,
    /// Mains voltage of the rating plate, in V, 90 to 260.
    pub rated_voltage_v: f64,
    /// Share of the electric power that reaches the air, 0.3 to 1.
    pub heater_efficiency: f64,
    /// Time constant of the heating element, in s, 0.1 to 60.
    pub heater_lag_s: f64,
    /// Volume of *room* air a second at fan setting 1, in m³/s, 0.0005 to 0.2.
    pub fan_flow_m3_per_s: f64,
    /// Share of the full flow at a fan setting is `setting.powf(fan_exponent)`; 1 = in proportion. 0.3 to 3.
    pub fan_exponent: f64,
    /// Cross-section of the chamber where the bed rests, in m², 0.0005 to 0.1.
    pub chamber_area_m2: f64,
    /// Heat capacity of the chamber wall, in J/K, 10 to 20,000.
    pub wall_heat_j_per_k: f64,
    /// Conductance from the outgoing air to the wall, in W/K, 0 to 50.
    pub wall_gain_w_per_k: f64,
    /// Conductance from the wall to the room, in W/K, 0 to 50.
    pub wall_loss_w_per_k: f64,
    /// Factor on the heat transfer from air to beans; 1 = the plain single-sphere correlation. 0.1 to 10.
    pub contact: f64,
    /// Bean probe.
    pub probe: ProbeParams,
    /// Hottest inlet air that the machine lets the heater make, in °C, 100 to 500.
    pub inlet_ceiling_c: f64,
    /// Controller, once a second.
    pub gains: ControllerGains,
    /// Least and greatest dose, in kg, 0.01 to 5.
    pub batch_range_kg: (f64, f64),
    /// Bean temperature that is never to be passed, in °C, 100 to 260.
    pub temp_ceiling_c: f64,
    /// Air that the empty machine was held at before the beans came in, in °C, 20 to 300; nothing for a cold machine.
    pub preheat_c: Option<f64>,
}

/// The bean probe: a lag, and a mix of bean surface and air.
#[derive(Debug, Clone, PartialEq)]
pub struct ProbeParams {
    /// Time constant in the moving bed, in s, 0.1 to 60.
    pub lag_s: f64,
    /// Time constant in bare air, in s, 0.1 to 120; longer, because no beans touch the tip. Only the empty run uses it.
    pub bare_lag_s: f64,
    /// Share of the bean surface in what the tip feels; the rest is air at [`Self::depth`]. 0 to 1.
    pub surface_share: f64,
    /// Height of the tip in the bed, 0 (air inlet) to 1 (top).
    pub depth: f64,
    /// What the display reads above the tip's true temperature, in K, -20 to 20.
    pub offset_k: f64,
}

/// Gains of the controller that chases the setpoint with the heater, once a second; effort 1 = the heater full on.
#[derive(Debug, Clone, PartialEq)]
pub struct ControllerGains {
    /// Effort a kelvin of error, in 1/K, 0.0001 to 10.
    pub proportional_per_k: f64,
    /// Integral time, in s, 1 to 10,000.
    pub integral_s: f64,
    /// Derivative time, in s, 0 to 100.
    pub derivative_s: f64,
    /// Time constant of the filter before the derivative, in s, 0.1 to 60.
    pub filter_s: f64,
    /// Whether the controller adds what it can know beforehand.
    pub feed_forward: FeedForward,
}

/// What a controller adds to the effort before any error is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FeedForward {
    /// Nothing: effort comes from the error alone.
    #[default]
    None,
    /// The effort that heats the air of the moment from the room to the setpoint, at the mains voltage of the moment.
    AirToSetpoint,
}

impl Default for MachineParams {
    /// An invented demo machine; all assumed.
    fn default() -> Self {
        Self {
            heater_power_w: 1600.0,
            rated_voltage_v: 230.0,
            heater_efficiency: 0.95,
            heater_lag_s: 4.0,
            fan_flow_m3_per_s: 5.3e-3,
            fan_exponent: 1.0,
            chamber_area_m2: 2.9e-3,
            wall_heat_j_per_k: 300.0,
            wall_gain_w_per_k: 1.0,
            wall_loss_w_per_k: 0.4,
            contact: 1.0,
            probe: ProbeParams::default(),
            inlet_ceiling_c: 330.0,
            gains: ControllerGains::default(),
            batch_range_kg: (0.1, 0.25),
            temp_ceiling_c: 250.0,
            preheat_c: None,
        }
    }
}

impl Default for ProbeParams {
    /// Probe of the invented demo machine; assumed. The lag in bare air is chosen so that an empty run takes the 10-20 s of
    /// common practice (no published source).
    fn default() -> Self {
        Self {
            lag_s: 4.0,
            bare_lag_s: 18.0,
            surface_share: 0.7,
            depth: 0.5,
            offset_k: 0.0,
        }
    }
}

impl Default for ControllerGains {
    /// Gains of the invented demo machine; assumed.
    fn default() -> Self {
        Self {
            proportional_per_k: 0.03,
            integral_s: 45.0,
            derivative_s: 4.0,
            filter_s: 2.0,
            feed_forward: FeedForward::None,
        }
    }
}

impl MachineParams {
    /// Checks every number against its range.
    ///
    /// # Errors
    /// [`TwinError::OutOfRange`] for the first number outside.
    pub fn check(&self) -> Result<(), TwinError> {
        in_range("heater power", "W", self.heater_power_w, 100.0..=20_000.0)?;
        in_range("rated voltage", "V", self.rated_voltage_v, 90.0..=260.0)?;
        in_range("heater efficiency", "", self.heater_efficiency, 0.3..=1.0)?;
        in_range("heater lag", "s", self.heater_lag_s, 0.1..=60.0)?;
        in_range("fan flow", "m³/s", self.fan_flow_m3_per_s, 0.0005..=0.2)?;
        in_range("fan exponent", "", self.fan_exponent, 0.3..=3.0)?;
        in_range(
            "chamber cross-section",
            "m²",
            self.chamber_area_m2,
            0.0005..=0.1,
        )?;
        in_range(
            "wall heat capacity",
            "J/K",
            self.wall_heat_j_per_k,
            10.0..=20_000.0,
        )?;
        in_range(
            "air-to-wall conductance",
            "W/K",
            self.wall_gain_w_per_k,
            0.0..=50.0,
        )?;
        in_range(
            "wall-to-room conductance",
            "W/K",
            self.wall_loss_w_per_k,
            0.0..=50.0,
        )?;
        in_range("contact factor", "", self.contact, 0.1..=10.0)?;
        in_range(
            "inlet air ceiling",
            "°C",
            self.inlet_ceiling_c,
            100.0..=500.0,
        )?;
        in_range("greatest dose", "kg", self.batch_range_kg.1, 0.01..=5.0)?;
        in_range(
            "least dose",
            "kg",
            self.batch_range_kg.0,
            0.01..=self.batch_range_kg.1,
        )?;
        in_range(
            "temperature ceiling",
            "°C",
            self.temp_ceiling_c,
            100.0..=260.0,
        )?;
        if let Some(preheat_c) = self.preheat_c {
            in_range("preheat", "°C", preheat_c, 20.0..=300.0)?;
        }
        self.probe.check()?;
        self.gains.check()
    }
}

impl ProbeParams {
    fn check(&self) -> Result<(), TwinError> {
        in_range("probe lag", "s", self.lag_s, 0.1..=60.0)?;
        in_range("probe lag in bare air", "s", self.bare_lag_s, 0.1..=120.0)?;
        in_range("probe surface share", "", self.surface_share, 0.0..=1.0)?;
        in_range("probe depth", "", self.depth, 0.0..=1.0)?;
        in_range("probe offset", "K", self.offset_k, -20.0..=20.0)
    }
}

impl ControllerGains {
    fn check(&self) -> Result<(), TwinError> {
        in_range(
            "proportional gain",
            "1/K",
            self.proportional_per_k,
            0.0001..=10.0,
        )?;
        in_range("integral time", "s", self.integral_s, 1.0..=10_000.0)?;
        in_range("derivative time", "s", self.derivative_s, 0.0..=100.0)?;
        in_range("derivative filter", "s", self.filter_s, 0.1..=60.0)
    }
}
