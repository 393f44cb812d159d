//! How well the air of one machine lifts the beans of one lot, second by second; all seconds at once in the processor's lanes.
//!
//! Not even one closure may stand in the lanes (see `batch/lanes.rs`).

#![allow(
    clippy::inline_always,
    reason = "only what is inlined runs with the instructions that were chosen at run time"
)]

use crate::air;
use crate::batch::lanes::Lane;
use crate::constants::{
    DRY_AIR_GAS_J_PER_KG_K, ISA_GRAVITY_M_PER_S2, SUTHERLAND_K, SUTHERLAND_PA_S, SWELLING,
    SWOLLEN_AT_LOSS, WEN_YU_A, WEN_YU_B, ZERO_C_K,
};
use crate::fluidisation::Grain;
use crate::lot::LotParams;
use crate::machine::MachineParams;
use crate::params::RoastParams;
use crate::room::RoomParams;
use crate::survey::{Survey, walk};
use crate::trace::Trace;

/// Above a Reynolds number of 300 the drag coefficient of a sphere stays below this (Haider and Levenspiel).
const DRAG_BELOW: f64 = 0.7;

/// What the airflow of a roast does to the bed.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Airflow {
    /// Airflow over the least that lifts the bed at 0, 1, 2, … s: below 1 it rests.
    pub(crate) lift: Vec<f64>,
    /// The seconds in which single beans are carried out, in order; none in most roasts.
    pub(crate) carried: Vec<Carried>,
}

/// Air faster than single beans can hang in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Carried {
    /// Second of the roast.
    pub(crate) time_s: usize,
    /// Speed of the hottest air in the empty chamber, in m/s.
    pub(crate) speed_m_per_s: f64,
    /// Speed at which a bean hangs in it, in m/s.
    pub(crate) terminal_m_per_s: f64,
}

impl Airflow {
    /// Whether single beans are carried out at one second.
    pub(crate) fn is_carrying(&self, second: usize) -> bool {
        let found = self
            .carried
            .binary_search_by_key(&second, |carried| carried.time_s);
        found.is_ok()
    }
}

/// The bed and its air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Lift<'a> {
    lot: &'a LotParams,
    area_m2: f64,
    pressure_pa: f64,
    air_kg_per_s: f64,
}

impl<'a> Lift<'a> {
    pub(crate) fn new(
        machine: &MachineParams,
        lot: &'a LotParams,
        room: &RoomParams,
        params: &RoastParams,
    ) -> Self {
        Self {
            lot,
            area_m2: machine.chamber_area_m2,
            pressure_pa: room.pressure_pa(),
            air_kg_per_s: params.air_kg_per_s,
        }
    }

    /// A bean that has lost a share of its weight, in air of a temperature. Beans swell as they lose weight.
    fn bean(&self, weight_loss: f64, air_c: f64) -> Grain {
        let growth = 1.0 + SWELLING * (weight_loss * (1.0 / SWOLLEN_AT_LOSS)).min(1.0);
        let kelvin = air_c + ZERO_C_K;
        Grain {
            diameter_m: self.lot.bean_diameter_m * growth,
            density_kg_per_m3: self.lot.bean_density_kg_per_m3 * (1.0 - weight_loss)
                / growth.powi(3),
            gas_kg_per_m3: self.pressure_pa / (DRY_AIR_GAS_J_PER_KG_K * kelvin),
            viscosity_pa_s: air::viscosity_pa_s(kelvin),
        }
    }

    /// The airflow of every second of a roast.
    ///
    /// Tightest for lifting is the coolest air, that which leaves the beans; for carrying out, the hottest.
    pub(crate) fn along(&self, trace: &Trace) -> Airflow {
        let len = trace.len();
        let mut lift = vec![0.0; len];
        let mut spare_m2_per_s2 = vec![0.0; len];
        walk(LiftSurvey {
            bed: self,
            trace,
            lift: &mut lift,
            spare_m2_per_s2: &mut spare_m2_per_s2,
        });
        // The iteration is only worth its time near the limit.
        let near = (0..len).filter(|&second| spare_m2_per_s2[second] <= 0.0);
        let carried = near
            .filter_map(|second| self.carried(trace, second))
            .collect();
        Airflow { lift, carried }
    }

    /// Airflow of one second, in kg/(m² s).
    fn air_kg_per_m2_s(&self, flow_share: f64) -> f64 {
        self.air_kg_per_s * flow_share / self.area_m2
    }

    /// Whether the hottest air of one second carries single beans out.
    fn carried(&self, trace: &Trace, second: usize) -> Option<Carried> {
        let bean = self.bean(trace.weight_loss[second], trace.inlet_c[second]);
        let speed_m_per_s = self.air_kg_per_m2_s(trace.flow_share[second]) / bean.gas_kg_per_m3;
        let terminal_m_per_s = bean.terminal_m_per_s();
        (terminal_m_per_s <= speed_m_per_s).then_some(Carried {
            time_s: second,
            speed_m_per_s,
            terminal_m_per_s,
        })
    }
}

/// What goes through the lanes.
struct LiftSurvey<'a> {
    bed: &'a Lift<'a>,
    trace: &'a Trace,
    lift: &'a mut [f64],
    /// A lower bound on the square of the terminal speed less that of the air's, in m²/s²: above 0 no bean is carried out.
    spare_m2_per_s2: &'a mut [f64],
}

impl Survey for LiftSurvey<'_> {
    #[inline(always)]
    fn seconds(&self) -> usize {
        self.trace.len()
    }

    /// The formulas of [`Lift::bean`] and [`Grain`], multiplied out.
    #[inline(always)]
    fn block<L: Lane>(&mut self, isa: L::Isa, at: usize) {
        let (bed, trace) = (self.bed, self.trace);
        let one = L::splat(isa, 1.0);
        let zero_c_k = L::splat(isa, ZERO_C_K);
        let gravity = ISA_GRAVITY_M_PER_S2;
        let weight_loss = L::load(isa, &trace.weight_loss[at..]);
        let swollen = (weight_loss * L::splat(isa, 1.0 / SWOLLEN_AT_LOSS)).at_most(one);
        let growth = swollen.mul_add(L::splat(isa, SWELLING), one);
        let volume = growth * growth * growth;
        let left = one - weight_loss;
        let density = left * L::splat(isa, bed.lot.bean_density_kg_per_m3) / volume;
        let diameter_m = bed.lot.bean_diameter_m;
        let air =
            L::load(isa, &trace.flow_share[at..]) * L::splat(isa, bed.air_kg_per_s / bed.area_m2);

        let kelvin = L::load(isa, &trace.outlet_c[at..]) + zero_c_k;
        let gas = L::splat(isa, bed.pressure_pa / DRY_AIR_GAS_J_PER_KG_K) / kelvin;
        let viscosity = kelvin * kelvin.sqrt() * L::splat(isa, SUTHERLAND_PA_S)
            / (kelvin + L::splat(isa, SUTHERLAND_K));
        let cube = volume * L::splat(isa, gravity * diameter_m.powi(3));
        let archimedes = cube * gas * (density - gas) / (viscosity * viscosity);
        let square =
            archimedes.mul_add(L::splat(isa, WEN_YU_B), L::splat(isa, WEN_YU_A * WEN_YU_A));
        let reynolds = square.sqrt() - L::splat(isa, WEN_YU_A);
        let lift = air * growth * L::splat(isa, diameter_m) / (reynolds * viscosity);
        lift.store(&mut self.lift[at..]);

        let hot_m3_per_kg = (L::load(isa, &trace.inlet_c[at..]) + zero_c_k)
            * L::splat(isa, DRY_AIR_GAS_J_PER_KG_K / bed.pressure_pa);
        let speed = air * hot_m3_per_kg;
        let hanging = growth
            * L::splat(isa, diameter_m * gravity / DRAG_BELOW)
            * (density * hot_m3_per_kg - one);
        speed
            .neg_mul_add(speed, hanging)
            .store(&mut self.spare_m2_per_s2[at..]);
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
    use crate::{Setpoint, roast};

    #[test]
    fn lanes_agree_with_the_grain() {
        // Lengths that fill the lanes, that leave a rest, and that are too short for them.
        for last in [1, 15, 16, 401] {
            let temp_c = (0..=last).map(|s| 20.0 + 0.49 * f64::from(s)).collect();
            let air = (0..=last).map(|s| 1.0 - 5e-4 * f64::from(s)).collect();
            let setpoint = Setpoint::new(temp_c, air).unwrap();
            let (machine, lot, room) = (
                MachineParams::default(),
                LotParams::default(),
                RoomParams::default(),
            );
            let params = RoastParams::new(&machine, &lot, &room).unwrap();
            let trace = roast(&params, &setpoint);
            let bed = Lift::new(&machine, &lot, &room, &params);
            let found = bed.along(&trace);
            for second in 0..trace.len() {
                let bean = bed.bean(trace.weight_loss[second], trace.outlet_c[second]);
                let expected =
                    bed.air_kg_per_m2_s(trace.flow_share[second]) / bean.lifting_kg_per_m2_s();
                assert!(
                    (found.lift[second] / expected - 1.0).abs() < 1e-12,
                    "{second}"
                );
            }
            assert!(found.carried.is_empty());
        }
    }
}
