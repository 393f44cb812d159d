//! The same roast by a classical fourth-order Runge-Kutta method and the correlations themselves: what tests compare with.
//!
//! An explicit method with too long a step is unstable here without showing it, because the clamped controller hides it: with 16
//! shells and steps of 0.5 s the error is 18 K. So the step follows a Gershgorin bound on the fastest rate.

use crate::bed::Bed;
use crate::constants::{BEAN_HEAT_J_PER_KG_K, DRY_LOSS_CEILING};
use crate::controller::{Controller, Sight};
use crate::kinetics::Matter;
use crate::params::RoastParams;
use crate::setpoint::Setpoint;
use crate::shells::Shells;
use crate::start::Start;
use crate::trace::{Sample, Trace};

/// Fewest steps a second.
const LEAST_STEPS_PER_S: f64 = 2.0;
/// Steps are no longer than this over the fastest rate; the method is stable to 2.785 on the real axis.
const STABLE_STEP: f64 = 2.0;

/// Everything that has a memory except the controller, or its rate of change a second.
#[derive(Debug, Clone, Copy)]
struct State<const N: usize> {
    shell_c: [f64; N],
    matter: Matter,
    wall_c: f64,
    heater_w: f64,
    tip_c: f64,
}

impl<const N: usize> State<N> {
    fn after(&self, rate: &Self, span_s: f64) -> Self {
        Self {
            shell_c: std::array::from_fn(|i| self.shell_c[i] + span_s * rate.shell_c[i]),
            matter: self.matter.after(&rate.matter, span_s),
            wall_c: self.wall_c + span_s * rate.wall_c,
            heater_w: self.heater_w + span_s * rate.heater_w,
            tip_c: self.tip_c + span_s * rate.tip_c,
        }
    }
}

/// Parameters and geometry.
struct Plant<'a, const N: usize> {
    params: &'a RoastParams,
    shells: Shells<N>,
}

impl<const N: usize> Plant<'_, N> {
    fn edge_w_per_k(&self, i: usize) -> f64 {
        self.shells.conductance[i] * self.params.conduction_w_per_k
    }

    /// Inlet air, bed and surface of the moment.
    fn bed(&self, state: &State<N>, flow: f64) -> (f64, Bed, f64) {
        let inlet_c = self.params.inlet_c(state.heater_w, flow);
        let bed = Bed::exact(self.params, flow, 0.5 * (inlet_c + state.shell_c[N - 1]));
        let surface_c = bed.surface_c(inlet_c, state.shell_c[N - 1], self.edge_w_per_k(N - 1));
        (inlet_c, bed, surface_c)
    }

    /// Rates of change a second.
    fn rate(&self, state: &State<N>, effort: f64, flow: f64) -> State<N> {
        let params = self.params;
        let (inlet_c, bed, surface_c) = self.bed(state, flow);
        let matter = state.matter.rates(params, self.shells.mean(&state.shell_c));
        let source_w_per_kg = matter.source_w_per_kg();
        let mut from_inside_w = 0.0;
        let shell_c = std::array::from_fn(|i| {
            let outside_c = if i + 1 == N {
                surface_c
            } else {
                state.shell_c[i + 1]
            };
            let from_outside_w = self.edge_w_per_k(i) * (outside_c - state.shell_c[i]);
            let mass_kg = self.shells.mass_share[i] * params.dry_mass_kg;
            let gained_w = from_outside_w - from_inside_w + mass_kg * source_w_per_kg;
            from_inside_w = from_outside_w;
            gained_w / (mass_kg * state.matter.heat_j_per_kg_k(state.shell_c[i]))
        });
        let air_at_probe_c = surface_c + (inlet_c - surface_c) * bed.left_at_probe;
        let share = params.probe_surface_share;
        let felt_c = share * surface_c + (1.0 - share) * air_at_probe_c;
        let outlet_c = bed.outlet_c(inlet_c, surface_c);
        let wall_w = params.wall_gain_w_per_k * (outlet_c - state.wall_c)
            - params.wall_loss_w_per_k * (state.wall_c - params.ambient_c);
        State {
            shell_c,
            matter,
            wall_c: wall_w / params.wall_heat_j_per_k,
            heater_w: (effort * params.heater_ceiling_w - state.heater_w) / params.heater_lag_s,
            tip_c: (felt_c - state.tip_c) / params.probe_lag_s,
        }
    }

    /// One classical step.
    fn step(&self, state: &State<N>, effort: f64, flow: f64, step_s: f64) -> State<N> {
        let first = self.rate(state, effort, flow);
        let second = self.rate(&state.after(&first, 0.5 * step_s), effort, flow);
        let third = self.rate(&state.after(&second, 0.5 * step_s), effort, flow);
        let fourth = self.rate(&state.after(&third, step_s), effort, flow);
        let sixth_s = step_s / 6.0;
        state
            .after(&first, sixth_s)
            .after(&second, 2.0 * sixth_s)
            .after(&third, 2.0 * sixth_s)
            .after(&fourth, sixth_s)
    }

    /// Steps a second that keep the method stable: Gershgorin rows of the conduction matrix at the least heat capacity.
    fn steps_per_s(&self) -> u32 {
        let least_j_per_kg_k = (1.0 - DRY_LOSS_CEILING) * BEAN_HEAT_J_PER_KG_K;
        let fastest_per_s = (0..N)
            .map(|i| {
                let inner = if i == 0 {
                    0.0
                } else {
                    self.edge_w_per_k(i - 1)
                };
                let heat_j_per_k =
                    self.shells.mass_share[i] * self.params.dry_mass_kg * least_j_per_kg_k;
                2.0 * (inner + self.edge_w_per_k(i)) / heat_j_per_k
            })
            .chain([
                1.0 / self.params.heater_lag_s,
                1.0 / self.params.probe_lag_s,
            ])
            .fold(0.0, f64::max);
        (fastest_per_s / STABLE_STEP).max(LEAST_STEPS_PER_S).ceil() as u32
    }

    fn sample(&self, state: &State<N>, effort: f64, flow: f64) -> Sample {
        let (inlet_c, bed, surface_c) = self.bed(state, flow);
        let rates_per_s = state
            .matter
            .rates(self.params, self.shells.mean(&state.shell_c));
        Sample {
            probe_c: state.tip_c + self.params.probe_offset_k,
            surface_c,
            core_c: self.shells.centre_c(&state.shell_c),
            mean_c: self.shells.mean(&state.shell_c),
            heater_w: state.heater_w,
            effort,
            flow_share: flow,
            inlet_c,
            outlet_c: bed.outlet_c(inlet_c, surface_c),
            wall_c: state.wall_c,
            own_heat_w: self.params.dry_mass_kg * rates_per_s.source_w_per_kg(),
            moisture_wb: state.matter.moisture_wb(),
            weight_loss: state.matter.weight_loss(self.params),
            dry_loss: state.matter.dry_loss,
        }
    }
}

/// Runs one roast with `N` shells (2 or more) to the drop of the setpoint. Slow: milliseconds.
pub fn reference_roast<const N: usize>(params: &RoastParams, setpoint: &Setpoint) -> Trace {
    let plant = Plant::<N> {
        params,
        shells: Shells::new(),
    };
    let steps_per_s = plant.steps_per_s();
    let step_s = 1.0 / f64::from(steps_per_s);
    let start = Start::of(params, params.flow_share(setpoint.air_share()[0]));
    let mut state = State {
        shell_c: [params.ambient_c; N],
        matter: Matter::green(params),
        wall_c: start.wall_c,
        heater_w: start.heater_w,
        tip_c: start.tip_c,
    };
    let mut trace = Trace::with_capacity(setpoint.temp_c().len());
    let mut controller: Option<Controller> = None;
    let mut watch_drop = setpoint.drop_watch();
    for (&setpoint_c, &setting) in setpoint.temp_c().iter().zip(setpoint.air_share()) {
        let flow = params.flow_share(setting);
        let sight = Sight {
            setpoint_c,
            reading_c: state.tip_c + params.probe_offset_k,
            flow,
        };
        let effort = controller
            .get_or_insert_with(|| Controller::new(&sight, start.integral))
            .effort(params, &sight);
        trace.push(&plant.sample(&state, effort, flow));
        if watch_drop.drops(sight.reading_c) {
            break;
        }
        for _ in 0..steps_per_s {
            state = plant.step(&state, effort, flow, step_s);
        }
    }
    trace
}
