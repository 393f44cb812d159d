//! Everything a roast kernel needs, as flat numbers: machine, lot and room multiplied out once.
//!
//! Temperatures in °C. The equations are written beside the fields that enter them; `roast.rs` is the scalar kernel.

use std::f64::consts::PI;

use crate::TwinError;
use crate::constants::{
    AIR_HEAT_J_PER_KG_K, DRYING_PREFACTOR_MM2_PER_S, RANZ_MARSHALL_FLOW, RANZ_MARSHALL_STILL,
};
use crate::lot::LotParams;
use crate::machine::{FeedForward, MachineParams};
use crate::room::RoomParams;

/// Flat numbers of one roast; all finite.
///
/// With `flow` the flow share of the second (`setting.powf(fan_exponent)`), `C = air_w_per_k · flow` the capacity rate of the air
/// and `x` the scaled film temperature at `(T_in + T_N)/2`:
/// `UA = film_still_m · k(x) + film_flow · sqrt(flow) · group(x)`, `NTU = UA/C`, `eps = 1 - exp(-NTU)`.
#[derive(Debug, Clone, PartialEq)]
pub struct RoastParams {
    /// Room air, in °C; the beans start there, wall and probe too in a cold machine.
    pub ambient_c: f64,
    /// Air that the empty machine was held at before charge, in °C; nothing for a cold machine.
    pub preheat_c: Option<f64>,
    /// Mass flow of air at fan setting 1, in kg/s.
    pub air_kg_per_s: f64,
    /// Capacity rate of that air, in W/K.
    pub air_w_per_k: f64,
    /// Exponent of the fan curve.
    pub fan_exponent: f64,
    /// Electric power at effort 1 on this mains, in W.
    pub heater_ceiling_w: f64,
    /// Share of the electric power that reaches the air.
    pub heater_efficiency: f64,
    /// Time constant of the element, in s: `dP/dt = (effort · heater_ceiling_w - P)/lag`.
    pub heater_lag_s: f64,
    /// Greatest effort at flow share 1 that keeps the steady inlet air at its ceiling; the limit is `min(1, this · flow)`.
    pub effort_limit_at_full_flow: f64,
    /// Coefficient of the air conductivity in `UA`, in m.
    pub film_still_m: f64,
    /// Coefficient of the flow group in `UA`, in m (Pa s)^(1/2).
    pub film_flow: f64,
    /// Factor that turns [`crate::Shells::conductance`] into W/K for the whole dose: `8π n k R`.
    pub conduction_w_per_k: f64,
    /// Dry matter at charge, in kg.
    pub dry_mass_kg: f64,
    /// Green beans charged, in kg.
    pub dose_kg: f64,
    /// Water at charge, in kg per kg of dry matter.
    pub moisture_db: f64,
    /// `dY/dt = -drying_per_s · Y² exp(-9889/T_mean)`, T in K.
    pub drying_per_s: f64,
    /// Factor on `dH/dt`.
    pub exotherm: f64,
    /// Factor on `dD/dt`.
    pub dry_loss: f64,
    /// Heat capacity of the wall, in J/K.
    pub wall_heat_j_per_k: f64,
    /// Conductance outgoing air to wall, in W/K.
    pub wall_gain_w_per_k: f64,
    /// Conductance wall to room, in W/K.
    pub wall_loss_w_per_k: f64,
    /// Probe: time constant, in s.
    pub probe_lag_s: f64,
    /// Probe: share of the bean surface.
    pub probe_surface_share: f64,
    /// Probe: height in the bed; air there is `T_s + (T_in - T_s) exp(-depth · NTU)`.
    pub probe_depth: f64,
    /// Probe: reading above the tip's temperature, in K.
    pub probe_offset_k: f64,
    /// Controller: effort a kelvin, in 1/K.
    pub proportional_per_k: f64,
    /// Controller: effort added a kelvin and second, in 1/(K s).
    pub integral_per_k_s: f64,
    /// Controller: effort a K/s of the filtered error, in s/K.
    pub derivative_s_per_k: f64,
    /// Controller: share of the error that enters the filter each second, `1 - exp(-1 s/filter)`.
    pub filter_share: f64,
    /// Controller: effort a kelvin of setpoint above the room at flow share 1, in 1/K; 0 without feed-forward.
    pub feed_forward_per_k: f64,
}

impl RoastParams {
    /// Multiplies machine, lot and room out.
    ///
    /// # Errors
    /// [`TwinError::OutOfRange`] for the first number outside its range.
    pub fn new(
        machine: &MachineParams,
        lot: &LotParams,
        room: &RoomParams,
    ) -> Result<Self, TwinError> {
        machine.check()?;
        lot.check()?;
        room.check()?;
        let air_kg_per_s = machine.fan_flow_m3_per_s * room.air_density_kg_per_m3();
        let air_w_per_k = air_kg_per_s * AIR_HEAT_J_PER_KG_K;
        let heater_ceiling_w =
            machine.heater_power_w * (room.mains_v / machine.rated_voltage_v).powi(2);
        let heat_ceiling_w = machine.heater_efficiency * heater_ceiling_w;
        let diameter_m = lot.bean_diameter_m;
        let area_over_diameter_m = machine.contact * lot.bean_area_m2() / diameter_m;
        let flux_scale = (air_kg_per_s * diameter_m / machine.chamber_area_m2).sqrt();
        let gains = &machine.gains;
        Ok(Self {
            ambient_c: room.ambient_c,
            preheat_c: machine.preheat_c,
            air_kg_per_s,
            air_w_per_k,
            fan_exponent: machine.fan_exponent,
            heater_ceiling_w,
            heater_efficiency: machine.heater_efficiency,
            heater_lag_s: machine.heater_lag_s,
            effort_limit_at_full_flow: air_w_per_k * (machine.inlet_ceiling_c - room.ambient_c)
                / heat_ceiling_w,
            film_still_m: area_over_diameter_m * RANZ_MARSHALL_STILL,
            film_flow: area_over_diameter_m * RANZ_MARSHALL_FLOW * flux_scale,
            conduction_w_per_k: 8.0
                * PI
                * lot.bean_count()
                * lot.conductivity_w_per_m_k
                * diameter_m
                / 2.0,
            dry_mass_kg: lot.dry_mass_kg(),
            dose_kg: lot.dose_kg,
            moisture_db: lot.moisture_db(),
            drying_per_s: lot.drying * DRYING_PREFACTOR_MM2_PER_S / (diameter_m * 1e3).powi(2),
            exotherm: lot.exotherm,
            dry_loss: lot.dry_loss,
            wall_heat_j_per_k: machine.wall_heat_j_per_k,
            wall_gain_w_per_k: machine.wall_gain_w_per_k,
            wall_loss_w_per_k: machine.wall_loss_w_per_k,
            probe_lag_s: machine.probe.lag_s,
            probe_surface_share: machine.probe.surface_share,
            probe_depth: machine.probe.depth,
            probe_offset_k: machine.probe.offset_k,
            proportional_per_k: gains.proportional_per_k,
            integral_per_k_s: gains.proportional_per_k / gains.integral_s,
            derivative_s_per_k: gains.proportional_per_k * gains.derivative_s,
            filter_share: 1.0 - (-1.0 / gains.filter_s).exp(),
            feed_forward_per_k: match gains.feed_forward {
                FeedForward::None => 0.0,
                FeedForward::AirToSetpoint => air_w_per_k / heat_ceiling_w,
            },
        })
    }

    /// Share of the full flow at a fan setting, both 0 to 1.
    #[inline]
    pub fn flow_share(&self, setting: f64) -> f64 {
        if self.fan_exponent == 1.0 {
            setting
        } else {
            setting.powf(self.fan_exponent)
        }
    }

    /// Greatest effort at a flow share: 1, or less where the steady inlet air would pass its ceiling.
    #[inline]
    pub fn effort_limit(&self, flow: f64) -> f64 {
        (self.effort_limit_at_full_flow * flow).min(1.0)
    }

    /// Inlet air, in °C, while the element gives `heater_w` of electric power to the air of a flow share.
    #[inline]
    pub fn inlet_c(&self, heater_w: f64, flow: f64) -> f64 {
        self.ambient_c + self.heater_efficiency * heater_w / (self.air_w_per_k * flow)
    }

    /// Temperature, in °C, at which the wall loses as much to the room as it takes from air of `air_c`.
    pub(crate) fn steady_wall_c(&self, air_c: f64) -> f64 {
        let (gain, loss) = (self.wall_gain_w_per_k, self.wall_loss_w_per_k);
        if gain + loss == 0.0 {
            return self.ambient_c;
        }
        (gain * air_c + loss * self.ambient_c) / (gain + loss)
    }
}
