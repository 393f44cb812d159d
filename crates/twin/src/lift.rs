//! How well the air of one machine lifts the beans of one lot, second by second.

use crate::air;
use crate::constants::{
    DRY_AIR_GAS_J_PER_KG_K, ISA_GRAVITY_M_PER_S2, SWELLING, SWOLLEN_AT_LOSS, ZERO_C_K,
};
use crate::fluidisation::Grain;
use crate::lot::LotParams;
use crate::machine::MachineParams;
use crate::params::RoastParams;
use crate::room::RoomParams;
use crate::trace::Trace;

/// Above a Reynolds number of 300 the drag coefficient of a sphere stays below this (Haider and Levenspiel).
const DRAG_BELOW: f64 = 0.7;

/// What the airflow of one moment does to the bed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Airflow {
    /// Airflow over the least that lifts the bed: below 1 it rests.
    pub(crate) lift: f64,
    /// Where single beans are carried out.
    pub(crate) carried: Option<Carried>,
}

/// Air faster than single beans can hang in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Carried {
    /// Speed of the hottest air in the empty chamber, in m/s.
    pub(crate) speed_m_per_s: f64,
    /// Speed at which a bean hangs in it, in m/s.
    pub(crate) terminal_m_per_s: f64,
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
    pub(crate) fn along(&self, trace: &Trace) -> Vec<Airflow> {
        (0..trace.len())
            .map(|second| self.at(trace, second))
            .collect()
    }

    fn at(&self, trace: &Trace, second: usize) -> Airflow {
        let air_kg_per_m2_s = self.air_kg_per_s * trace.flow_share[second] / self.area_m2;
        let weight_loss = trace.weight_loss[second];
        // Tightest for lifting is the coolest air, that which leaves the beans; for carrying out, the hottest.
        let lifting_kg_per_m2_s = self
            .bean(weight_loss, trace.outlet_c[second])
            .lifting_kg_per_m2_s();
        let bean = self.bean(weight_loss, trace.inlet_c[second]);
        let speed_m_per_s = air_kg_per_m2_s / bean.gas_kg_per_m3;
        // A cheap lower bound on the terminal speed first: the iteration is only worth its time near the limit.
        let weight = bean.diameter_m
            * ISA_GRAVITY_M_PER_S2
            * (bean.density_kg_per_m3 / bean.gas_kg_per_m3 - 1.0);
        let is_slow = speed_m_per_s * speed_m_per_s < weight / DRAG_BELOW;
        let terminal_m_per_s = if is_slow {
            f64::INFINITY
        } else {
            bean.terminal_m_per_s()
        };
        Airflow {
            lift: air_kg_per_m2_s / lifting_kg_per_m2_s,
            carried: (terminal_m_per_s <= speed_m_per_s).then_some(Carried {
                speed_m_per_s,
                terminal_m_per_s,
            }),
        }
    }
}
