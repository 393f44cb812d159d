//! Heat exchange between the air of the moment and the bed of beans: effectiveness of a quasi-steady air stream.
//!
//! The air gives `Q = eps C (T_in - T_surface)`, `eps = 1 - exp(-UA/C)`; the surface has no heat of its own, so it sits between
//! the air and the outermost shell in the ratio of the two conductances and no iteration is needed.

use crate::air;
use crate::constants::ZERO_C_K;
use crate::film::{FILM_CONDUCTIVITY, FILM_GROUP, FILM_HALF_WIDTH_K, FILM_MIDDLE_C, horner};
use crate::params::RoastParams;
use crate::transfer;

/// The bed at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Bed {
    /// Capacity rate of the air, in W/K.
    pub(crate) air_w_per_k: f64,
    /// `eps C`: heat given a kelvin between inlet air and surface, in W/K.
    pub(crate) taken_w_per_k: f64,
    /// Share of the difference between inlet air and surface that is left at the probe's height.
    pub(crate) left_at_probe: f64,
}

impl Bed {
    /// The bed at a flow share and film temperature, by the fitted polynomials.
    #[inline]
    pub(crate) fn fitted(params: &RoastParams, flow: f64, film_c: f64) -> Self {
        let x = (film_c - FILM_MIDDLE_C) * (1.0 / FILM_HALF_WIDTH_K);
        let still = params.film_still_m * horner(&FILM_CONDUCTIVITY, x);
        let moving = params.film_flow * flow.sqrt() * horner(&FILM_GROUP, x);
        Self::of(params, flow, still + moving)
    }

    /// The bed at a flow share and film temperature, by the correlations themselves.
    pub(crate) fn exact(params: &RoastParams, flow: f64, film_c: f64) -> Self {
        let kelvin = film_c + ZERO_C_K;
        let root_reynolds_per_film = (flow / air::viscosity_pa_s(kelvin)).sqrt();
        let conductivity = air::conductivity_w_per_m_k(kelvin);
        // film_still_m is 2 A/d and film_flow 0.6 A/d (G d/area)^(1/2), so their ratio turns the root above into Re^(1/2).
        let area_over_diameter_m = params.film_still_m / transfer::STILL;
        let reynolds = (params.film_flow / (area_over_diameter_m * transfer::FLOW)
            * root_reynolds_per_film)
            .powi(2);
        let nusselt = transfer::ranz_marshall(reynolds, air::prandtl(kelvin));
        Self::of(params, flow, area_over_diameter_m * conductivity * nusselt)
    }

    #[inline]
    fn of(params: &RoastParams, flow: f64, conductance_w_per_k: f64) -> Self {
        let air_w_per_k = params.air_w_per_k * flow;
        let units = conductance_w_per_k / air_w_per_k;
        Self {
            air_w_per_k,
            taken_w_per_k: air_w_per_k * (1.0 - (-units).exp()),
            left_at_probe: (-params.probe_depth * units).exp(),
        }
    }

    /// Surface temperature between inlet air and outermost shell, whose conductance to the surface is given in W/K.
    pub(crate) fn surface_c(&self, inlet_c: f64, shell_c: f64, shell_w_per_k: f64) -> f64 {
        (self.taken_w_per_k * inlet_c + shell_w_per_k * shell_c)
            / (self.taken_w_per_k + shell_w_per_k)
    }

    /// Temperature of the air that leaves the beans.
    pub(crate) fn outlet_c(&self, inlet_c: f64, surface_c: f64) -> f64 {
        inlet_c - self.taken_w_per_k / self.air_w_per_k * (inlet_c - surface_c)
    }

    /// How much of the inlet air is in what the probe's tip feels; the rest is the outermost shell.
    pub(crate) fn inlet_in_tip(&self, params: &RoastParams, shell_w_per_k: f64) -> f64 {
        let inlet_in_surface = self.taken_w_per_k / (self.taken_w_per_k + shell_w_per_k);
        let direct = (1.0 - params.probe_surface_share) * self.left_at_probe;
        inlet_in_surface + direct * (1.0 - inlet_in_surface)
    }
}
