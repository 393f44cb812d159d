//! The rise that full heat and no heat keep up at each second of a roast, for all seconds at once in the processor's lanes.
//!
//! With `Q = eps C (T_in - T_s)` the bed rises by `q = (Q + S)/(m c)` (S: the beans' own heat, from the forecast) and the probe reads
//! `q τ` behind its tip; so for a probe on the curve the surface temperature follows from one linear equation.
//! Not even one closure may stand in the lanes (see `batch/lanes.rs`).

#![allow(
    clippy::inline_always,
    reason = "only what is inlined runs with the instructions that were chosen at run time"
)]

use crate::batch::formulas::{decay, film};
use crate::batch::lanes::Lane;
use crate::constants::{
    BEAN_HEAT_J_PER_KG_K, BEAN_HEAT_RISE_J_PER_KG_K2, BEAN_WATER_HEAT_J_PER_KG_K,
};
use crate::params::RoastParams;
use crate::survey::{Survey, walk};
use crate::trace::Trace;

/// Rises of the probe, in °C/s, at 0, 1, 2, … s; as many as the trace has.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SteadyRises {
    /// With the heater at its limit.
    pub(crate) full: Vec<f64>,
    /// With the heater off.
    pub(crate) off: Vec<f64>,
}

impl SteadyRises {
    /// Along `setpoint_c`, at least as long as its forecast `trace`, with the probe on it.
    pub(crate) fn along(params: &RoastParams, setpoint_c: &[f64], trace: &Trace) -> Self {
        let len = trace.len();
        let mut rises = Self {
            full: vec![0.0; len],
            off: vec![0.0; len],
        };
        walk(RiseSurvey {
            params,
            setpoint_c,
            trace,
            rises: &mut rises,
        });
        rises
    }
}

/// What goes through the lanes.
struct RiseSurvey<'a> {
    params: &'a RoastParams,
    setpoint_c: &'a [f64],
    trace: &'a Trace,
    rises: &'a mut SteadyRises,
}

/// What both efforts share at one second.
#[derive(Clone, Copy)]
struct Moment<L> {
    setpoint_c: L,
    /// Capacity rate of the air, in W/K, and one over it.
    air_w_per_k: L,
    k_per_w: L,
    /// Coefficient of the flow group in the conductance.
    moving: L,
    /// One over the heat capacity of the dose, in K/J.
    k_per_j: L,
    /// Rise by the beans' own heat, in °C/s.
    own_c_per_s: L,
}

impl Survey for RiseSurvey<'_> {
    #[inline(always)]
    fn seconds(&self) -> usize {
        self.trace.len()
    }

    #[inline(always)]
    fn block<L: Lane>(&mut self, isa: L::Isa, at: usize) {
        let params = self.params;
        let one = L::splat(isa, 1.0);
        let flow = L::load(isa, &self.trace.flow_share[at..]);
        let setpoint_c = L::load(isa, &self.setpoint_c[at..]);
        let solids = one - L::load(isa, &self.trace.dry_loss[at..]);
        let wet_share = L::load(isa, &self.trace.moisture_wb[at..]);
        let water = wet_share / (one - wet_share) * solids;
        let solid_heat = setpoint_c.mul_add(
            L::splat(isa, BEAN_HEAT_RISE_J_PER_KG_K2),
            L::splat(isa, BEAN_HEAT_J_PER_KG_K),
        );
        let water_heat = water * L::splat(isa, BEAN_WATER_HEAT_J_PER_KG_K);
        let heat = solids.mul_add(solid_heat, water_heat) * L::splat(isa, params.dry_mass_kg);
        let k_per_j = one / heat;
        let air_w_per_k = flow * L::splat(isa, params.air_w_per_k);
        let moment = Moment {
            setpoint_c,
            air_w_per_k,
            k_per_w: one / air_w_per_k,
            moving: flow.sqrt() * L::splat(isa, params.film_flow),
            k_per_j,
            own_c_per_s: L::load(isa, &self.trace.own_heat_w[at..]) * k_per_j,
        };
        let ambient_c = L::splat(isa, params.ambient_c);
        let limit = (flow * L::splat(isa, params.effort_limit_at_full_flow)).at_most(one);
        let heat_w = limit * L::splat(isa, params.heater_efficiency * params.heater_ceiling_w);
        let full_c = heat_w.mul_add(moment.k_per_w, ambient_c);
        moment
            .rise(isa, params, full_c)
            .store(&mut self.rises.full[at..]);
        moment
            .rise(isa, params, ambient_c)
            .store(&mut self.rises.off[at..]);
    }
}

impl<L: Lane> Moment<L> {
    /// Rise of the probe that steady inlet air keeps up, in °C/s.
    #[inline(always)]
    fn rise(&self, isa: L::Isa, params: &RoastParams, inlet_c: L) -> L {
        let one = L::splat(isa, 1.0);
        let (conductivity, group) = film(isa, (inlet_c + self.setpoint_c) * L::splat(isa, 0.5));
        let still = conductivity * L::splat(isa, params.film_still_m);
        let units = self.moving.mul_add(group, still) * self.k_per_w;
        let taken_w_per_k = decay(isa, units).neg_mul_add(self.air_w_per_k, self.air_w_per_k);
        let left_at_probe = decay(isa, units * L::splat(isa, params.probe_depth));
        let air_share = left_at_probe * L::splat(isa, 1.0 - params.probe_surface_share);
        let per_k = taken_w_per_k * self.k_per_j;
        let lag_s = L::splat(isa, params.probe_lag_s);
        // reading = T_s + air_share (T_in - T_s) - lag · q and q = per_k (T_in - T_s) + own; solved for T_in - T_s.
        let ahead_k = inlet_c - self.setpoint_c + L::splat(isa, params.probe_offset_k);
        let over_surface_k =
            lag_s.neg_mul_add(self.own_c_per_s, ahead_k) / lag_s.mul_add(per_k, one - air_share);
        per_k.mul_add(over_surface_k, self.own_c_per_s)
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::missing_assert_message,
        reason = "the values say it"
    )]
    use super::*;
    use crate::bed::Bed;
    use crate::kinetics::Matter;
    use crate::{LotParams, MachineParams, RoomParams, Setpoint, roast};

    /// The same by the scalar formulas of the roast.
    fn scalar(
        params: &RoastParams,
        trace: &Trace,
        second: usize,
        probe_c: f64,
        effort: f64,
    ) -> f64 {
        let flow = trace.flow_share[second];
        let inlet_c = params.inlet_c(effort * params.heater_ceiling_w, flow);
        let bed = Bed::fitted(params, flow, 0.5 * (inlet_c + probe_c));
        let wet_share = trace.moisture_wb[second];
        let dry_loss = trace.dry_loss[second];
        let matter = Matter {
            moisture_db: wet_share / (1.0 - wet_share) * (1.0 - dry_loss),
            released_j: 0.0,
            dry_loss,
        };
        let heat_j_per_k = params.dry_mass_kg * matter.heat_j_per_kg_k(probe_c);
        let per_k = bed.taken_w_per_k / heat_j_per_k;
        let own_c_per_s = trace.own_heat_w[second] / heat_j_per_k;
        let air_share = (1.0 - params.probe_surface_share) * bed.left_at_probe;
        let ahead_k = inlet_c - (probe_c - params.probe_offset_k);
        let over_surface_k = (ahead_k - params.probe_lag_s * own_c_per_s)
            / (1.0 - air_share + params.probe_lag_s * per_k);
        per_k * over_surface_k + own_c_per_s
    }

    #[test]
    fn lanes_agree_with_the_scalar_formulas() {
        // Lengths that fill the lanes, that leave a rest, and that are too short for them.
        for last in [1, 7, 15, 16, 95, 401] {
            let temp_c: Vec<f64> = (0..=last).map(|s| 20.0 + 0.49 * f64::from(s)).collect();
            let air = (0..=last).map(|s| 1.0 - 5e-4 * f64::from(s)).collect();
            let setpoint = Setpoint::new(temp_c.clone(), air).unwrap();
            let mut machine = MachineParams {
                fan_exponent: 1.3,
                inlet_ceiling_c: 280.0,
                ..MachineParams::default()
            };
            machine.probe.offset_k = 1.5;
            let params =
                RoastParams::new(&machine, &LotParams::default(), &RoomParams::default()).unwrap();
            let trace = roast(&params, &setpoint);
            let found = SteadyRises::along(&params, setpoint.temp_c(), &trace);
            for (second, &probe_c) in temp_c.iter().enumerate() {
                let limit = params.effort_limit(trace.flow_share[second]);
                let full = scalar(&params, &trace, second, probe_c, limit);
                let off = scalar(&params, &trace, second, probe_c, 0.0);
                // The lanes' exponential is within 9e-7.
                assert!((found.full[second] / full - 1.0).abs() < 1e-5, "{second}");
                assert!((found.off[second] - off).abs() < 1e-5, "{second}");
            }
        }
    }
}
