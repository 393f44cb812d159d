//! The numbers of a group of roasts, turned from one record a roast into one column a number, and multiplied out for the kernel.

use super::formulas::BEAN_TOP_K;
use super::lanes::Lane;
use crate::constants::{
    BEAN_HEAT_J_PER_KG_K, BEAN_HEAT_RISE_J_PER_KG_K2, BEAN_WATER_HEAT_J_PER_KG_K,
    DRY_LOSS_ACTIVATION_K, DRY_LOSS_CEILING, DRY_LOSS_RATE_PER_S, DRY_LOSS_REFERENCE_K,
    DRYING_ACTIVATION_K, DRYING_HEAT_J_PER_KG, EXOTHERM_ACTIVATION_K, EXOTHERM_PREFACTOR_W_PER_KG,
    EXOTHERM_TOTAL_J_PER_KG,
};
use crate::lag::Lag;
use crate::params::RoastParams;

/// Roasts in a group: a multiple of every lane count, so that no register runs half empty.
pub(crate) const GROUP: usize = 32;

macro_rules! columns {
    ($($(#[$doc:meta])* $name:ident: $formula:expr;)*) => {
        /// One column a number, one row a roast.
        pub(crate) struct Columns {
            /// Exponents of the fan curves.
            fan_exponent: [f64; GROUP],
            $($name: [f64; GROUP],)*
        }

        impl Columns {
            /// Columns of 1 to [`GROUP`] roasts; the last one fills the rows that are left.
            pub(crate) fn new(roasts: &[RoastParams]) -> Self {
                $(let $name: fn(&RoastParams) -> f64 = $formula;)*
                let column = |number: fn(&RoastParams) -> f64| {
                    std::array::from_fn(|row| roasts.get(row).or(roasts.last()).map_or(f64::NAN, number))
                };
                Self { fan_exponent: column(|p| p.fan_exponent), $($name: column($name),)* }
            }
        }

        /// One value of every column for each lane.
        #[derive(Clone, Copy)]
        pub(crate) struct Numbers<L> {
            $($(#[$doc])* pub(crate) $name: L,)*
        }

        impl<L: Lane> Numbers<L> {
            /// The lanes that start at `row`.
            #[inline(always)]
            pub(crate) fn load(isa: L::Isa, columns: &Columns, row: usize) -> Self {
                Self { $($name: L::load(isa, &columns.$name[row..]),)* }
            }
        }
    };
}

columns! {
    /// Room air, in °C.
    ambient_c: |p| p.ambient_c;
    /// Air that the empty machine was held at, in °C; that of the room if it was cold.
    preheat_c: |p| p.preheat_c.unwrap_or(p.ambient_c);
    /// What the display then read above the tip, as far as the controller held it, in K.
    held_offset_k: |p| if p.preheat_c.is_some() { p.probe_offset_k } else { 0.0 };
    /// Capacity rate of the air at full flow, over the conduction scale.
    air: |p| p.air_w_per_k / p.conduction_w_per_k;
    /// Rise of the inlet air a watt of electric power at full flow, in K/W.
    inlet_k_per_w: |p| p.heater_efficiency / p.air_w_per_k;
    /// Transfer units a W/(m K) of air conductivity at full flow, in m K/W.
    units_still: |p| p.film_still_m / p.air_w_per_k;
    /// Transfer units a unit of the flow group at full flow.
    units_moving: |p| p.film_flow / p.air_w_per_k;
    /// Electric power at effort 1, in W.
    heater_ceiling_w: |p| p.heater_ceiling_w;
    /// Change of the heater over 1 s, as a share of its distance above its target.
    heater_way: |p| Lag::new(p.heater_lag_s, 1.0).after(1.0, 0.0) - 1.0;
    /// Mean over 1 s of the share of that distance that is left.
    heater_mean_left: |p| Lag::new(p.heater_lag_s, 1.0).mean(1.0, 0.0);
    /// Greatest effort at full flow.
    effort_limit: |p| p.effort_limit_at_full_flow;
    /// Effort a kelvin of setpoint above the room at full flow, in 1/K.
    feed_forward_per_k: |p| p.feed_forward_per_k;
    /// Effort a kelvin of error, in 1/K.
    proportional_per_k: |p| p.proportional_per_k;
    /// Effort added a kelvin of error each second, in 1/K.
    integral_per_k: |p| p.integral_per_k_s;
    /// Effort a kelvin of change of the filtered error, in 1/K.
    derivative_per_k: |p| p.derivative_s_per_k;
    /// Share of the error that enters the filter each second.
    filter_share: |p| p.filter_share;
    /// Probe: height in the bed.
    probe_depth: |p| p.probe_depth;
    /// Probe: share of the air.
    probe_air_share: |p| 1.0 - p.probe_surface_share;
    /// Probe: share of the distance from its target that is left after 1 s.
    probe_left: |p| Lag::new(p.probe_lag_s, 1.0).after(1.0, 0.0);
    /// Probe: answer to a target that rises by 1 K during the second, beyond that to the mean of it.
    probe_rise: |p| {
        let left = Lag::new(p.probe_lag_s, 1.0).after(1.0, 0.0);
        0.5 * (1.0 + left) - p.probe_lag_s * (1.0 - left)
    };
    /// Probe: reading above the tip, in K.
    probe_offset_k: |p| p.probe_offset_k;
    /// Heat capacity of the dry matter at 0 °C over half a second, over the conduction scale.
    dry_heat: |p| scale(p) * BEAN_HEAT_J_PER_KG_K;
    /// Its rise with temperature, per °C.
    dry_heat_rise: |p| scale(p) * BEAN_HEAT_RISE_J_PER_KG_K2;
    /// The same of 1 kg of water a kg of dry matter.
    water_heat: |p| scale(p) * BEAN_WATER_HEAT_J_PER_KG_K;
    /// Cooling by the whole water of 1 kg a kg, gone in half a second, in K over the conduction scale.
    drying_heat: |p| scale(p) * DRYING_HEAT_J_PER_KG;
    /// Warming by the whole exotherm, set free in half a second, likewise.
    exotherm_heat: |p| scale(p) * EXOTHERM_TOTAL_J_PER_KG;
    /// Water at charge, in kg per kg of dry matter.
    moisture_db: |p| p.moisture_db;
    /// Drying in half a second at the top of the range of temperatures, in kg/kg at Y = 1.
    drying: |p| 0.5 * p.drying_per_s * (-DRYING_ACTIVATION_K / BEAN_TOP_K).exp();
    /// Share of the exotherm set free in half a second there.
    exotherm: |p| {
        0.5 * p.exotherm * EXOTHERM_PREFACTOR_W_PER_KG / EXOTHERM_TOTAL_J_PER_KG * (-EXOTHERM_ACTIVATION_K / BEAN_TOP_K).exp()
    };
    /// Share of the matter that can go, gone in half a second there.
    dry_loss: |p| {
        let exponent = DRY_LOSS_ACTIVATION_K * (1.0 / DRY_LOSS_REFERENCE_K - 1.0 / BEAN_TOP_K);
        0.5 * p.dry_loss * DRY_LOSS_RATE_PER_S / DRY_LOSS_CEILING * exponent.exp()
    };
}

/// What turns J/(kg K) into the weight of a shell's own temperature in a half step of 0.5 s, in units of the conduction scale.
fn scale(p: &RoastParams) -> f64 {
    p.dry_mass_kg / (0.5 * p.conduction_w_per_k)
}

impl Columns {
    /// Flow share of each roast at one fan setting.
    #[inline(never)]
    pub(crate) fn flow_shares(&self, setting: f64) -> [f64; GROUP] {
        let mut shares = [setting; GROUP];
        for row in 0..GROUP {
            // Roasts of one machine share the exponent, so the power is taken once.
            shares[row] = if 0 < row && self.fan_exponent[row] == self.fan_exponent[row - 1] {
                shares[row - 1]
            } else if self.fan_exponent[row] == 1.0 {
                setting
            } else {
                setting.powf(self.fan_exponent[row])
            };
        }
        shares
    }
}
