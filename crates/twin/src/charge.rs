//! The beans, the wall, the element and the probe at one moment, and how one linearly implicit midpoint step moves them on.
//!
//! A step is a backward-Euler half step for the shells, factorised once and eliminated from both ends, then extrapolated: second
//! order, unconditionally stable. Heat capacities stand at the extrapolated midpoint and are corrected afterwards, so that the
//! heat in the beans is kept to rounding. Kinetics go by the explicit midpoint; element, wall and probe are advanced exactly.

use crate::bed::Bed;
use crate::constants::BEAN_HEAT_RISE_J_PER_KG_K2;
use crate::kinetics::Matter;
use crate::lag::{Follower, Lag};
use crate::params::RoastParams;
use crate::shells::Shells;
use crate::start::Start;
use crate::trace::Sample;

/// Everything that has a memory except the controller.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Charge<const N: usize> {
    /// Shell means, inner first, in °C.
    pub(crate) shell_c: [f64; N],
    /// Rate of each shell in the last step, in K/s.
    drift_k_per_s: [f64; N],
    /// Water, released heat, lost dry matter.
    pub(crate) matter: Matter,
    /// Their rates of change in the last step, a second.
    rates_per_s: Matter,
    /// Wall, in °C.
    pub(crate) wall_c: f64,
    /// Electric power that the element gives off, in W.
    pub(crate) heater_w: f64,
    /// Tip of the probe, in °C.
    pub(crate) tip_c: f64,
}

/// What stands still during a roast with one step length.
#[derive(Debug, Clone)]
pub(crate) struct Stepper<'a, const N: usize> {
    pub(crate) params: &'a RoastParams,
    pub(crate) shells: Shells<N>,
    /// Conductance across the outer edge of each shell, in W/K for the whole dose.
    edge_w_per_k: [f64; N],
    /// Dry matter of each shell at charge, in kg.
    pub(crate) mass_kg: [f64; N],
    step_s: f64,
    steps_per_s: f64,
    heater: Lag,
    wall: Lag,
    probe: Follower,
}

/// Effort and airflow of one step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Demand {
    /// Heater effort, 0 to 1.
    pub(crate) effort: f64,
    /// Share of the full airflow.
    pub(crate) flow: f64,
}

/// Heat flows of one step, for the ledger; means over the step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Flows {
    /// Length of the step, in s.
    pub(crate) step_s: f64,
    /// Electric power, in W.
    pub(crate) heater_w: f64,
    /// Air to beans, in W.
    pub(crate) to_beans_w: f64,
    /// Outgoing air, in °C.
    pub(crate) outlet_c: f64,
    /// Wall, in °C.
    pub(crate) wall_c: f64,
    /// Capacity rate of the air, in W/K.
    pub(crate) air_w_per_k: f64,
}

impl<const N: usize> Charge<N> {
    /// Green beans at room temperature, in the machine as it stands.
    pub(crate) fn green(params: &RoastParams, start: &Start) -> Self {
        let still = Matter {
            moisture_db: 0.0,
            released_j: 0.0,
            dry_loss: 0.0,
        };
        Self {
            shell_c: [params.ambient_c; N],
            drift_k_per_s: [0.0; N],
            matter: Matter::green(params),
            rates_per_s: still,
            wall_c: start.wall_c,
            heater_w: start.heater_w,
            tip_c: start.tip_c,
        }
    }

    /// What the display shows, in °C.
    pub(crate) fn reading_c(&self, params: &RoastParams) -> f64 {
        self.tip_c + params.probe_offset_k
    }
}

impl<'a, const N: usize> Stepper<'a, N> {
    /// Factors for steps of `step_s`, above 0 and at most 1.
    pub(crate) fn new(params: &'a RoastParams, step_s: f64) -> Self {
        let shells = Shells::<N>::new();
        let wall_w_per_k = params.wall_gain_w_per_k + params.wall_loss_w_per_k;
        Self {
            params,
            edge_w_per_k: shells
                .conductance
                .map(|factor| factor * params.conduction_w_per_k),
            mass_kg: shells.mass_share.map(|share| share * params.dry_mass_kg),
            shells,
            step_s,
            steps_per_s: 1.0 / step_s,
            heater: Lag::new(params.heater_lag_s, step_s),
            // A wall that nothing touches keeps its temperature: a lag of a million seconds.
            wall: Lag::new(
                (params.wall_heat_j_per_k / wall_w_per_k.max(1e-9)).min(1e6),
                step_s,
            ),
            probe: Follower::new(params.probe_lag_s, params.heater_lag_s, step_s),
        }
    }

    /// The bed of the moment.
    fn bed(&self, flow: f64, inlet_c: f64, shell_c: f64) -> Bed {
        Bed::fitted(self.params, flow, 0.5 * (inlet_c + shell_c))
    }

    /// Moves `charge` on by one step under a steady demand.
    pub(crate) fn step(&self, charge: &mut Charge<N>, demand: Demand) -> Flows {
        let params = self.params;
        let half_s = 0.5 * self.step_s;
        let per_half_s = 2.0 * self.steps_per_s;
        let asked_w = demand.effort * params.heater_ceiling_w;
        let heater_w = self.heater.mean(charge.heater_w, asked_w);
        let inlet_c = params.inlet_c(heater_w, demand.flow);

        let predicted_c: [f64; N] =
            std::array::from_fn(|i| charge.shell_c[i] + half_s * charge.drift_k_per_s[i]);
        let bed = self.bed(demand.flow, inlet_c, predicted_c[N - 1]);
        let middle = charge.matter.after(&charge.rates_per_s, half_s);
        let rates_per_s = middle.rates(params, self.shells.mean(&predicted_c));
        let matter = charge.matter.after(&rates_per_s, self.step_s);
        let mean_matter = charge.matter.after(&rates_per_s, half_s);

        let outer_w_per_k = self.edge_w_per_k[N - 1];
        let surface_w_per_k =
            bed.taken_w_per_k * outer_w_per_k / (bed.taken_w_per_k + outer_w_per_k);
        let heat_j_per_kg_k = predicted_c.map(|c| mean_matter.heat_j_per_kg_k(c));
        let source_w_per_kg = rates_per_s.source_w_per_kg();
        let mut rows = Rows {
            diagonal: [0.0; N],
            right: [0.0; N],
        };
        let mut inner_w_per_k = 0.0;
        for (i, heat_j_per_kg_k) in heat_j_per_kg_k.iter().enumerate() {
            let held_w_per_k = self.mass_kg[i] * heat_j_per_kg_k * per_half_s;
            let outer_w_per_k = if i + 1 == N {
                surface_w_per_k
            } else {
                self.edge_w_per_k[i]
            };
            rows.diagonal[i] = held_w_per_k + inner_w_per_k + outer_w_per_k;
            rows.right[i] = held_w_per_k * charge.shell_c[i] + self.mass_kg[i] * source_w_per_kg;
            inner_w_per_k = outer_w_per_k;
        }
        rows.right[N - 1] += surface_w_per_k * inlet_c;
        let middle_c = rows.solve(&self.edge_w_per_k);

        // The step was taken with the heat capacity of the prediction; that of the middle itself keeps the heat.
        let stiffer = (1.0 - mean_matter.dry_loss) * BEAN_HEAT_RISE_J_PER_KG_K2;
        for i in 0..N {
            let found = heat_j_per_kg_k[i] + stiffer * (middle_c[i] - predicted_c[i]);
            let change_k = 2.0 * (middle_c[i] - charge.shell_c[i]) * heat_j_per_kg_k[i] / found;
            charge.shell_c[i] += change_k;
            charge.drift_k_per_s[i] = change_k * self.steps_per_s;
        }
        charge.matter = matter;
        charge.rates_per_s = rates_per_s;

        let surface_c = bed.surface_c(inlet_c, middle_c[N - 1], outer_w_per_k);
        let outlet_c = bed.outlet_c(inlet_c, surface_c);
        let wall_target_c = params.steady_wall_c(outlet_c);
        let wall_c = self.wall.mean(charge.wall_c, wall_target_c);
        charge.wall_c = self.wall.after(charge.wall_c, wall_target_c);
        // The tip feels inlet air, which tends to that of the asked power, and the outermost shell, which moves in a line.
        let asked_inlet_c = params.inlet_c(asked_w, demand.flow);
        let inlet_share = bed.inlet_in_tip(params, outer_w_per_k);
        let outer_share = 1.0 - inlet_share;
        charge.tip_c = self.probe.after(
            charge.tip_c,
            inlet_share * asked_inlet_c + outer_share * middle_c[N - 1],
            outer_share * charge.drift_k_per_s[N - 1] * self.step_s,
            inlet_share * (params.inlet_c(charge.heater_w, demand.flow) - asked_inlet_c),
        );
        charge.heater_w = self.heater.after(charge.heater_w, asked_w);
        let to_beans_w = surface_w_per_k * (inlet_c - middle_c[N - 1]);
        Flows {
            step_s: self.step_s,
            heater_w,
            to_beans_w,
            outlet_c,
            wall_c,
            air_w_per_k: bed.air_w_per_k,
        }
    }

    /// What is to be seen of `charge` while `demand` begins.
    pub(crate) fn sample(&self, charge: &Charge<N>, demand: Demand) -> Sample {
        let params = self.params;
        let inlet_c = params.inlet_c(charge.heater_w, demand.flow);
        let bed = self.bed(demand.flow, inlet_c, charge.shell_c[N - 1]);
        let surface_c = bed.surface_c(inlet_c, charge.shell_c[N - 1], self.edge_w_per_k[N - 1]);
        Sample {
            probe_c: charge.reading_c(params),
            surface_c,
            core_c: self.shells.centre_c(&charge.shell_c),
            mean_c: self.shells.mean(&charge.shell_c),
            heater_w: charge.heater_w,
            effort: demand.effort,
            flow_share: demand.flow,
            inlet_c,
            outlet_c: bed.outlet_c(inlet_c, surface_c),
            wall_c: charge.wall_c,
            own_heat_w: params.dry_mass_kg * charge.rates_per_s.source_w_per_kg(),
            moisture_wb: charge.matter.moisture_wb(),
            weight_loss: charge.matter.weight_loss(params),
            dry_loss: charge.matter.dry_loss,
        }
    }
}

/// A symmetric tridiagonal system: diagonal and right side; off the diagonal stand minus the edge conductances.
struct Rows<const N: usize> {
    diagonal: [f64; N],
    right: [f64; N],
}

impl<const N: usize> Rows<N> {
    /// Eliminates from both ends to the middle pair, which halves the chain of dependent divisions.
    fn solve(mut self, edge: &[f64; N]) -> [f64; N] {
        let low = N / 2 - 1;
        let high = N / 2;
        let mut inverse = [0.0; N];
        for i in 0..low {
            inverse[i] = 1.0 / self.diagonal[i];
            let factor = edge[i] * inverse[i];
            self.diagonal[i + 1] -= factor * edge[i];
            self.right[i + 1] += factor * self.right[i];
        }
        for i in (high + 1..N).rev() {
            inverse[i] = 1.0 / self.diagonal[i];
            let factor = edge[i - 1] * inverse[i];
            self.diagonal[i - 1] -= factor * edge[i - 1];
            self.right[i - 1] += factor * self.right[i];
        }
        let mut solution = [0.0; N];
        let across = edge[low];
        let per_determinant = 1.0 / (self.diagonal[low] * self.diagonal[high] - across * across);
        solution[low] =
            (self.right[low] * self.diagonal[high] + across * self.right[high]) * per_determinant;
        solution[high] =
            (self.right[high] * self.diagonal[low] + across * self.right[low]) * per_determinant;
        for i in (0..low).rev() {
            solution[i] = (self.right[i] + edge[i] * solution[i + 1]) * inverse[i];
        }
        for i in high + 1..N {
            solution[i] = (self.right[i] + edge[i - 1] * solution[i - 1]) * inverse[i];
        }
        solution
    }
}
