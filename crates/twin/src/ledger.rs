//! Where the heat and the mass of one roast went: two balances of heat and one of mass that must close.

use crate::charge::{Charge, Flows};
use crate::constants::{BEAN_WATER_HEAT_J_PER_KG_K, DRYING_HEAT_J_PER_KG};
use crate::kinetics::{Matter, dry_heat_j_per_kg};
use crate::params::RoastParams;
use crate::roast::{SHELLS, run};
use crate::setpoint::Setpoint;
use crate::shells::Shells;
use crate::start::Start;

/// Heat in J and mass in kg over one whole roast, as the shown roast steps.
///
/// Machine: `to_air = exhaust + to_beans + wall_store + wall_loss`.
/// Beans: `to_beans + exotherm = bean_store + vapour + solids`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ledger {
    /// Electric energy that the element gave off.
    pub element_j: f64,
    /// Of it, what reached the air.
    pub to_air_j: f64,
    /// Above the room's temperature, in the air that left the machine.
    pub exhaust_j: f64,
    /// From the air to the beans.
    pub to_beans_j: f64,
    /// Kept in the chamber wall (drop less charge; below 0 where a preheated wall cools).
    pub wall_store_j: f64,
    /// From the wall to the room.
    pub wall_loss_j: f64,
    /// Set free by roasting.
    pub exotherm_j: f64,
    /// Kept in the beans (above 0 °C, drop less charge).
    pub bean_store_j: f64,
    /// Carried off by water: latent heat and the heat of the water itself.
    pub vapour_j: f64,
    /// Heat of the dry matter that left.
    pub solids_j: f64,
    /// Green beans charged.
    pub green_kg: f64,
    /// Water that left, by the integrated rate.
    pub water_kg: f64,
    /// Dry matter that left, by the integrated rate.
    pub dry_kg: f64,
    /// Roasted beans, by the weight loss of the trace.
    pub roasted_kg: f64,
}

impl Ledger {
    /// Runs the roast and keeps its books.
    pub fn of(params: &RoastParams, setpoint: &Setpoint) -> Self {
        let shells = Shells::<SHELLS>::new();
        let mut book = Self::empty(params);
        let (trace, end) = run::<SHELLS>(params, setpoint, 1, |before, flows, after| {
            book.write(params, &shells, before, flows, after);
        });
        let machine = Start::of(params, params.flow_share(setpoint.air_share()[0]));
        let start = Charge::<SHELLS>::green(params, &machine);
        book.bean_store_j =
            params.dry_mass_kg * (held_j_per_kg(&shells, &end) - held_j_per_kg(&shells, &start));
        book.wall_store_j = params.wall_heat_j_per_k * (end.wall_c - start.wall_c);
        book.to_air_j = params.heater_efficiency * book.element_j;
        book.roasted_kg = params.dose_kg * (1.0 - trace.weight_loss.last().copied().unwrap_or(0.0));
        book
    }

    fn empty(params: &RoastParams) -> Self {
        Self {
            element_j: 0.0,
            to_air_j: 0.0,
            exhaust_j: 0.0,
            to_beans_j: 0.0,
            wall_store_j: 0.0,
            wall_loss_j: 0.0,
            exotherm_j: 0.0,
            bean_store_j: 0.0,
            vapour_j: 0.0,
            solids_j: 0.0,
            green_kg: params.dose_kg,
            water_kg: 0.0,
            dry_kg: 0.0,
            roasted_kg: 0.0,
        }
    }

    /// Enters one step.
    fn write(
        &mut self,
        params: &RoastParams,
        shells: &Shells<SHELLS>,
        before: &Charge<SHELLS>,
        flows: &Flows,
        after: &Charge<SHELLS>,
    ) {
        self.element_j += flows.step_s * flows.heater_w;
        self.to_beans_j += flows.step_s * flows.to_beans_w;
        let to_wall_w = params.wall_gain_w_per_k * (flows.outlet_c - flows.wall_c);
        self.wall_loss_j +=
            flows.step_s * params.wall_loss_w_per_k * (flows.wall_c - params.ambient_c);
        let leaving_w = flows.air_w_per_k * (flows.outlet_c - params.ambient_c) - to_wall_w;
        self.exhaust_j += flows.step_s * leaving_w;
        let (old, new) = (&before.matter, &after.matter);
        let dried = old.moisture_db - new.moisture_db;
        let lost = new.dry_loss - old.dry_loss;
        self.exotherm_j += params.dry_mass_kg * (new.released_j - old.released_j);
        self.water_kg += params.dry_mass_kg * dried;
        self.dry_kg += params.dry_mass_kg * lost;
        for (i, share) in shells.mass_share.iter().enumerate() {
            let mass_kg = share * params.dry_mass_kg;
            let (from_c, to_c) = (before.shell_c[i], after.shell_c[i]);
            let water_j_per_kg =
                DRYING_HEAT_J_PER_KG + BEAN_WATER_HEAT_J_PER_KG_K * 0.5 * (from_c + to_c);
            self.vapour_j += mass_kg * dried * water_j_per_kg;
            self.solids_j +=
                mass_kg * lost * 0.5 * (dry_heat_j_per_kg(from_c) + dry_heat_j_per_kg(to_c));
        }
    }

    /// What the machine's heat balance leaves over, as a share of the heat that reached the air.
    pub fn machine_residual(&self) -> f64 {
        (self.to_air_j - self.exhaust_j - self.to_beans_j - self.wall_store_j - self.wall_loss_j)
            / self.to_air_j
    }

    /// What the beans' heat balance leaves over, as a share of the heat that they got from the air.
    pub fn bean_residual(&self) -> f64 {
        (self.to_beans_j + self.exotherm_j - self.bean_store_j - self.vapour_j - self.solids_j)
            / self.to_beans_j
    }

    /// What the mass balance leaves over, as a share of the green beans.
    pub fn mass_residual(&self) -> f64 {
        (self.green_kg - self.water_kg - self.dry_kg - self.roasted_kg) / self.green_kg
    }
}

/// Heat in the beans above 0 °C, in J per kg of dry matter at charge.
fn held_j_per_kg(shells: &Shells<SHELLS>, charge: &Charge<SHELLS>) -> f64 {
    let Matter {
        moisture_db,
        dry_loss,
        ..
    } = charge.matter;
    shells
        .mass_share
        .iter()
        .zip(&charge.shell_c)
        .map(|(share, &c)| {
            share
                * ((1.0 - dry_loss) * dry_heat_j_per_kg(c)
                    + BEAN_WATER_HEAT_J_PER_KG_K * moisture_db * c)
        })
        .sum()
}
