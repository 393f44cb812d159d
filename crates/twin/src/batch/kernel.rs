//! One second of several roasts at once: the equations of `charge.rs` and `controller.rs` in lanes, with the bean on four radii (`bean.rs`).
//!
//! Same scheme as the scalar kernel (linearly implicit midpoint step), with what lanes need: no branch that depends on a roast,
//! polynomials for exponentials, and increments instead of temperatures as unknowns, which keeps single precision sharp. What the
//! probe feels is taken as a line over the second, not as a step.
//! The wall is left out: nothing depends on it.
//! Not even one closure may stand in here (see `lanes.rs`).

use super::bean::{Air, Matter, NODES, centre, half_step, mean};
use super::columns::{Columns, GROUP, Numbers};
use super::formulas::{Factors, decays_and_factors, film_units, units_and_base};
use super::lanes::Lane;
use crate::constants::DRY_LOSS_CEILING;

/// What an airflow setting makes of the columns.
#[derive(Clone, Copy)]
pub(super) struct Airflow<L> {
    /// Capacity rate over the conduction scale.
    air: L,
    /// Rise of the inlet air a watt, in K/W.
    inlet_k_per_w: L,
    /// Coefficients of the transfer units (`film_units`).
    units: [L; 6],
    /// Greatest effort.
    effort_limit: L,
    /// Effort a kelvin of setpoint above the room, in 1/K.
    feed_forward_per_k: L,
}

/// Everything with a memory.
#[derive(Clone, Copy)]
pub(super) struct State<L> {
    /// The bean, centre side first, the surface last, in °C.
    node_c: [L; NODES],
    /// How far each of them went in half of the last step, in K.
    drift_k: [L; NODES],
    /// Water, in kg/kg, and its loss in half of the last second.
    moisture_db: L,
    dried: L,
    /// Share of the exotherm that is left, and what half of the last second took of it.
    unreleased: L,
    releasing: L,
    /// Share left of the dry matter that can go, and what half of the last second took of it.
    unlost: L,
    losing: L,
    heater_w: L,
    tip_c: L,
    filtered_k: L,
    integral: L,
}

/// Running figures of the roasts.
#[derive(Clone, Copy)]
pub(super) struct Tally<L> {
    /// Reading less setpoint where it was greatest in size, in K, and that size.
    pub(super) worst_k: L,
    worst_size_k: L,
    /// When that was, in s.
    pub(super) worst_at_s: L,
    /// Sum of squares of reading less setpoint, in K².
    pub(super) square_sum_k2: L,
    /// Electric energy, in J.
    pub(super) energy_j: L,
    /// Greatest effort.
    pub(super) peak_effort: L,
    /// Seconds at the effort limit.
    pub(super) limited_s: L,
    /// Greatest difference between surface and centre, in K.
    pub(super) widest_gap_k: L,
}

/// What is left at the drop.
#[derive(Clone, Copy)]
pub(super) struct Drop<L> {
    pub(super) reading_c: L,
    pub(super) surface_c: L,
    pub(super) centre_c: L,
    pub(super) mean_c: L,
    pub(super) moisture_db: L,
    /// Share gone of the dry matter that can go.
    pub(super) lost: L,
}

/// The bed of a moment.
#[derive(Clone, Copy)]
struct Bed<L> {
    /// Conductance from inlet air to bean surface, over the conduction scale.
    taken: L,
    /// Share of the difference between air and surface left at the probe.
    left_at_probe: L,
}

impl<L: Lane> Airflow<L> {
    /// For one fan setting, on the lanes that start at `row`.
    #[inline(always)]
    pub(super) fn at(
        isa: L::Isa,
        numbers: &Numbers<L>,
        columns: &Columns,
        row: usize,
        setting: f64,
    ) -> Self {
        let shares: [f64; GROUP] = columns.flow_shares(setting);
        let flow = L::load(isa, &shares[row..]);
        let one = L::splat(isa, 1.0);
        let per_flow = one / flow;
        Self {
            air: numbers.air * flow,
            inlet_k_per_w: numbers.inlet_k_per_w * per_flow,
            units: film_units(
                isa,
                numbers.units_still * per_flow,
                numbers.units_moving * flow.sqrt() * per_flow,
            ),
            effort_limit: (numbers.effort_limit * flow).at_most(one),
            feed_forward_per_k: numbers.feed_forward_per_k * flow,
        }
    }

    #[inline(always)]
    fn inlet_c(&self, numbers: &Numbers<L>, heater_w: L) -> L {
        self.inlet_k_per_w.mul_add(heater_w, numbers.ambient_c)
    }

    /// The bed, and how fast the reactions go at a mean bean temperature.
    #[inline(always)]
    fn bed_and_factors(
        &self,
        isa: L::Isa,
        numbers: &Numbers<L>,
        inlet_c: L,
        surface_c: L,
        mean_c: L,
    ) -> (Bed<L>, Factors<L>) {
        let (units, base) = units_and_base(isa, &self.units, inlet_c + surface_c, mean_c);
        let exponents = [units, units * numbers.probe_depth];
        let ([left, left_at_probe], factors) = decays_and_factors(isa, exponents, &base);
        let bed = Bed {
            taken: left.neg_mul_add(self.air, self.air),
            left_at_probe,
        };
        (bed, factors)
    }
}

impl<L: Lane> State<L> {
    /// Green beans in the machine as it stands (`start.rs`), and a controller that has seen the first setpoint.
    #[inline(always)]
    pub(super) fn at_charge(
        isa: L::Isa,
        numbers: &Numbers<L>,
        airflow: &Airflow<L>,
        setpoint_c: f64,
    ) -> Self {
        let zero = L::splat(isa, 0.0);
        let full_rise_k = airflow.inlet_k_per_w * numbers.heater_ceiling_w;
        let wish = (numbers.preheat_c - numbers.ambient_c) / full_rise_k;
        let effort = wish.at_least(zero).at_most(airflow.effort_limit);
        let heater_w = effort * numbers.heater_ceiling_w;
        let tip_c = airflow.inlet_c(numbers, heater_w);
        let over_room_k = tip_c + numbers.held_offset_k - numbers.ambient_c;
        Self {
            node_c: [numbers.ambient_c; NODES],
            drift_k: [zero; NODES],
            moisture_db: numbers.moisture_db,
            dried: zero,
            unreleased: L::splat(isa, 1.0),
            releasing: zero,
            unlost: L::splat(isa, 1.0),
            losing: zero,
            heater_w,
            tip_c,
            filtered_k: L::splat(isa, setpoint_c) - tip_c - numbers.probe_offset_k,
            integral: airflow.feed_forward_per_k.neg_mul_add(over_room_k, effort),
        }
    }

    /// What the display shows.
    #[inline(always)]
    pub(super) fn reading_c(&self, numbers: &Numbers<L>) -> L {
        self.tip_c + numbers.probe_offset_k
    }

    /// The controller's effort for the coming second.
    #[inline(always)]
    pub(super) fn effort(
        &mut self,
        isa: L::Isa,
        numbers: &Numbers<L>,
        airflow: &Airflow<L>,
        setpoint_c: L,
    ) -> L {
        let zero = L::splat(isa, 0.0);
        let error_k = setpoint_c - self.reading_c(numbers);
        let change_k = numbers.filter_share * (error_k - self.filtered_k);
        self.filtered_k = self.filtered_k + change_k;
        let known = airflow
            .feed_forward_per_k
            .mul_add(setpoint_c - numbers.ambient_c, self.integral);
        let wish = numbers
            .proportional_per_k
            .mul_add(error_k, numbers.derivative_per_k.mul_add(change_k, known));
        let effort = wish.at_least(zero).at_most(airflow.effort_limit);
        // The wish lies beyond the limits on the side that the error pushes to: the integral stands still.
        let is_winding_up = zero.is_less((wish - effort) * error_k);
        let rise = L::select(is_winding_up, zero, numbers.integral_per_k * error_k);
        self.integral = self.integral + rise;
        effort
    }

    /// Moves on by one second under a steady effort; gives the mean electric power and the gap between surface and centre halfway.
    #[inline(always)]
    pub(super) fn step(
        &mut self,
        isa: L::Isa,
        numbers: &Numbers<L>,
        airflow: &Airflow<L>,
        effort: L,
    ) -> (L, L) {
        let asked_w = effort * numbers.heater_ceiling_w;
        let from_asked_w = self.heater_w - asked_w;
        let heater_w = from_asked_w.mul_add(numbers.heater_mean_left, asked_w);
        let heater_rise_w = from_asked_w * numbers.heater_way;
        self.heater_w = self.heater_w + heater_rise_w;
        let inlet_c = airflow.inlet_c(numbers, heater_w);

        let ahead_c = plus(&self.node_c, &self.drift_k);
        let mean_c = mean(isa, &ahead_c);
        let surface_c = ahead_c[NODES - 1];
        let (bed, factors) = airflow.bed_and_factors(isa, numbers, inlet_c, surface_c, mean_c);
        let matter = self.react(isa, numbers, &factors);
        let air = Air {
            inlet_c,
            taken: bed.taken,
        };
        self.drift_k = half_step(isa, &self.node_c, &ahead_c, &matter, &air);
        let middle_c = plus(&self.node_c, &self.drift_k);
        self.node_c = plus(&middle_c, &self.drift_k);

        let surface_c = middle_c[NODES - 1];
        let air_share = numbers.probe_air_share * bed.left_at_probe;
        let felt_c = air_share.mul_add(inlet_c - surface_c, surface_c);
        // What the tip feels moves on during the second, with the inlet air and the surface.
        let inlet_rise_k = airflow.inlet_k_per_w * heater_rise_w;
        let surface_rise_k = self.drift_k[NODES - 1] + self.drift_k[NODES - 1];
        let felt_rise_k = air_share.mul_add(inlet_rise_k - surface_rise_k, surface_rise_k);
        let still_c = (self.tip_c - felt_c).mul_add(numbers.probe_left, felt_c);
        self.tip_c = felt_rise_k.mul_add(numbers.probe_rise, still_c);
        (heater_w, surface_c - centre(isa, &middle_c))
    }

    /// Drying, exotherm and loss of dry matter over the second; gives what the bean needs to know of the middle of it.
    #[inline(always)]
    fn react(&mut self, isa: L::Isa, numbers: &Numbers<L>, factors: &Factors<L>) -> Matter<L> {
        let moisture = self.moisture_db - self.dried;
        let unreleased = self.unreleased - self.releasing;
        let unlost = self.unlost - self.losing;
        self.dried = numbers.drying * factors.drying * (moisture * moisture);
        self.releasing = numbers.exotherm * factors.exotherm * unreleased;
        self.losing = numbers.dry_loss * factors.dry_loss * unlost;
        let moisture = self.moisture_db - self.dried;
        let unlost = self.unlost - self.losing;
        self.moisture_db = moisture - self.dried;
        self.unreleased = self.unreleased - self.releasing - self.releasing;
        self.unlost = unlost - self.losing;
        // 1 less what is gone of the dry matter.
        let solids = unlost.mul_add(
            L::splat(isa, DRY_LOSS_CEILING),
            L::splat(isa, 1.0 - DRY_LOSS_CEILING),
        );
        Matter {
            heat: solids.mul_add(numbers.dry_heat, moisture * numbers.water_heat),
            heat_rise: solids * numbers.dry_heat_rise,
            source: self
                .releasing
                .mul_add(numbers.exotherm_heat, -(self.dried * numbers.drying_heat)),
        }
    }

    /// What is to be told at the drop.
    #[inline(always)]
    pub(super) fn drop(&self, isa: L::Isa, numbers: &Numbers<L>) -> Drop<L> {
        Drop {
            reading_c: self.reading_c(numbers),
            surface_c: self.node_c[NODES - 1],
            centre_c: centre(isa, &self.node_c),
            mean_c: mean(isa, &self.node_c),
            moisture_db: self.moisture_db,
            lost: L::splat(isa, 1.0) - self.unlost,
        }
    }
}

/// Sum, node by node.
#[inline(always)]
fn plus<L: Lane>(a: &[L; NODES], b: &[L; NODES]) -> [L; NODES] {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2], a[3] + b[3]]
}

impl<L: Lane> Tally<L> {
    #[inline(always)]
    pub(super) fn empty(isa: L::Isa) -> Self {
        let zero = L::splat(isa, 0.0);
        Self {
            worst_k: zero,
            worst_size_k: zero,
            worst_at_s: zero,
            square_sum_k2: zero,
            energy_j: zero,
            peak_effort: zero,
            limited_s: zero,
            widest_gap_k: zero,
        }
    }

    /// Enters the miss of one second.
    #[inline(always)]
    pub(super) fn miss(&mut self, time_s: L, miss_k: L) {
        let size_k = miss_k.at_least(-miss_k);
        let is_worse = self.worst_size_k.is_less(size_k);
        self.worst_k = L::select(is_worse, miss_k, self.worst_k);
        self.worst_at_s = L::select(is_worse, time_s, self.worst_at_s);
        self.worst_size_k = self.worst_size_k.at_least(size_k);
        self.square_sum_k2 = miss_k.mul_add(miss_k, self.square_sum_k2);
    }

    /// Enters what the heater did in one second.
    #[inline(always)]
    pub(super) fn heat(
        &mut self,
        isa: L::Isa,
        effort: L,
        airflow: &Airflow<L>,
        heater_w: L,
        gap_k: L,
    ) {
        self.energy_j = self.energy_j + heater_w;
        self.peak_effort = self.peak_effort.at_least(effort);
        self.widest_gap_k = self.widest_gap_k.at_least(gap_k);
        let is_free = effort.is_less(airflow.effort_limit);
        self.limited_s =
            self.limited_s + L::select(is_free, L::splat(isa, 0.0), L::splat(isa, 1.0));
    }
}
