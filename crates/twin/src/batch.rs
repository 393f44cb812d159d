//! Many roasts of one setpoint at once: one roast a lane of the processor's widest registers, both cores.
//!
//! The kernel is one generic source for double and single precision and for every instruction set, the scalar one included;
//! which one runs is decided when the program runs. Against the shown roast of eight shells it differs by some hundredths of a
//! kelvin, see the README for figures.

#![allow(
    clippy::inline_always,
    reason = "only what is inlined runs with the instructions that were chosen at run time; the benchmark guards it"
)]

mod bean;
mod columns;
pub(crate) mod formulas;
mod kernel;
pub(crate) mod lanes;

use std::sync::atomic::{AtomicBool, Ordering};

use pulp::{Arch, Simd, WithSimd};
use rayon::prelude::*;

use crate::constants::DRY_LOSS_CEILING;
use crate::params::RoastParams;
use crate::setpoint::Setpoint;
use columns::{Columns, GROUP, Numbers};
use kernel::{Airflow, State, Tally};
use lanes::{Double, Lane, Single};

/// Length of the numbers that a batch computes with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Precision {
    /// 64 bits.
    #[default]
    Double,
    /// 32 bits: about twice as fast, its readings within 0.01 K of the other's (tested).
    Single,
}

/// Runs batches with one set of instructions.
#[derive(Debug, Clone, Copy)]
pub struct Batch {
    arch: Arch,
    precision: Precision,
}

/// What became of one roast of a batch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoastFigures {
    /// Reading less setpoint where it was greatest in size, in K.
    pub worst_miss_k: f64,
    /// When that was, in s.
    pub worst_miss_at_s: f64,
    /// Root of the mean square of reading less setpoint, in K.
    pub rms_miss_k: f64,
    /// Electric energy, in J.
    pub energy_j: f64,
    /// Greatest heater effort, 0 to 1.
    pub peak_effort: f64,
    /// Time with the heater at its limit, in s.
    pub limited_s: f64,
    /// Greatest difference between bean surface and centre, in K.
    pub widest_gap_k: f64,
    /// Reading of the probe at the drop, in °C.
    pub drop_reading_c: f64,
    /// Bean surface at the drop, in °C.
    pub drop_surface_c: f64,
    /// Bean centre at the drop, in °C.
    pub drop_core_c: f64,
    /// Mean bean temperature at the drop, in °C.
    pub drop_mean_c: f64,
    /// Water at the drop, as a share of the weight then.
    pub moisture_wb: f64,
    /// Share of the green weight that has gone.
    pub weight_loss: f64,
    /// Share of the green dry matter that has gone.
    pub dry_loss: f64,
    /// Weight at the drop, in kg.
    pub roasted_kg: f64,
}

/// Figures of every roast of a batch and the readings of its probe.
#[derive(Debug, Clone, PartialEq)]
pub struct BatchResult {
    /// One a roast, in the order given.
    pub figures: Vec<RoastFigures>,
    /// Readings, in blocks of [`GROUP`] roasts: `[second][roast of the block]`.
    readings_c: Vec<f32>,
    samples: usize,
    /// What is gone at the seconds asked for, in blocks of [`GROUP`] roasts: `[second asked for][roast of the block]`.
    losses: Vec<Losses>,
    losses_at: usize,
}

/// What the beans of one roast have lost.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Losses {
    /// Share of the green weight.
    pub weight: f64,
    /// Share of the green dry matter.
    pub dry: f64,
}

/// The seconds at which more is told of a batch than its readings, each at most the setpoint's last.
#[derive(Debug, Clone, PartialEq)]
pub struct BatchSeconds<'a> {
    /// Where the figures stand.
    pub figures_s: usize,
    /// Where the losses alone stand, in rising order.
    pub losses_s: &'a [usize],
}

impl BatchResult {
    /// What one roast has lost at one of the seconds asked for, by its place among them; nothing outside.
    pub fn losses(&self, roast: usize, place: usize) -> Option<Losses> {
        if self.losses_at <= place || self.figures.len() <= roast {
            return None;
        }
        let block = roast / GROUP * self.losses_at * GROUP;
        Some(self.losses[block + place * GROUP + roast % GROUP])
    }

    /// Reading of the probe of one roast at one second, in °C; not-a-number outside.
    pub fn reading_c(&self, roast: usize, second: usize) -> f64 {
        if self.samples <= second || self.figures.len() <= roast {
            return f64::NAN;
        }
        let block = roast / GROUP * self.samples * GROUP;
        f64::from(self.readings_c[block + second * GROUP + roast % GROUP])
    }

    /// When one roast's reading first is at or above `temp_c`, in s, on straight lines between the samples; none if never.
    pub fn reached_s(&self, roast: usize, temp_c: f64) -> Option<f64> {
        let second = (0..self.samples).find(|&second| temp_c <= self.reading_c(roast, second))?;
        let Some(before) = second.checked_sub(1) else {
            return Some(0.0);
        };
        let (low_c, high_c) = (self.reading_c(roast, before), self.reading_c(roast, second));
        Some(before as f64 + (temp_c - low_c) / (high_c - low_c))
    }

    /// Samples a roast, one a second.
    pub fn samples(&self) -> usize {
        self.samples
    }
}

impl Batch {
    /// The widest instructions of this processor.
    pub fn new(precision: Precision) -> Self {
        Self {
            arch: Arch::new(),
            precision,
        }
    }

    /// No vector instructions: the fallback, for comparison.
    pub fn scalar(precision: Precision) -> Self {
        Self {
            arch: Arch::Scalar,
            precision,
        }
    }

    /// Every set of instructions that the kernel can use on this processor, for tests and benchmarks, each with its name.
    pub fn every(precision: Precision) -> Vec<(&'static str, Self)> {
        let mut all = vec![("scalar", Self::scalar(precision))];
        #[cfg(target_arch = "x86_64")]
        if let Some(v3) = pulp::x86::V3::try_new() {
            all.push((
                "256 bits",
                Self {
                    arch: Arch::V3(v3),
                    precision,
                },
            ));
        }
        #[cfg(target_arch = "x86_64")]
        if let Some(v4) = pulp::x86::V4::try_new() {
            all.push((
                "512 bits",
                Self {
                    arch: Arch::V4(v4),
                    precision,
                },
            ));
        }
        #[cfg(target_arch = "aarch64")]
        all.push(("128 bits", Self::new(precision)));
        all
    }

    /// Runs every roast along one setpoint, on all cores of the current thread pool.
    ///
    /// All lanes run to the end of the setpoint, whatever its drop temperature: [`BatchResult::reached_s`] says when each roast gets
    /// there. So "at the drop" in [`RoastFigures`] is the setpoint's last second; cut the setpoint where the roast is to end.
    ///
    /// Nothing is checked: a bed that is not fluidised gets numbers too, void ones.
    pub fn run(&self, roasts: &[RoastParams], setpoint: &Setpoint) -> BatchResult {
        let seconds = BatchSeconds {
            figures_s: setpoint.duration_s(),
            losses_s: &[],
        };
        self.run_unless(roasts, setpoint, &seconds, &AtomicBool::new(false))
    }

    /// The same with the figures of another second than the end, while the readings go on, and with losses on the way;
    /// and as soon as `is_cancelled` is set no further group of roasts is begun: what is missing is not-a-number.
    pub fn run_unless(
        &self,
        roasts: &[RoastParams],
        setpoint: &Setpoint,
        seconds: &BatchSeconds<'_>,
        is_cancelled: &AtomicBool,
    ) -> BatchResult {
        let samples = setpoint.temp_c().len();
        let last_s = setpoint.duration_s();
        let figures_at_s = seconds.figures_s.min(last_s);
        let losses_at_s: Vec<usize> = seconds.losses_s.iter().map(|&s| s.min(last_s)).collect();
        let lanes = roasts.len().div_ceil(GROUP) * GROUP;
        let mut figures = vec![RoastFigures::VOID; roasts.len()];
        let mut readings_c = vec![f32::NAN; lanes * samples];
        // Nothing asked for takes room all the same: a list of nothing can't be cut into pieces.
        let room = losses_at_s.len().max(1);
        let mut losses = vec![Losses::VOID; lanes * room];
        roasts
            .par_chunks(GROUP)
            .zip(figures.par_chunks_mut(GROUP))
            .zip(readings_c.par_chunks_mut(GROUP * samples))
            .zip(losses.par_chunks_mut(GROUP * room))
            .filter(|_| !is_cancelled.load(Ordering::Relaxed))
            .for_each(|(((roasts, figures), readings_c), losses)| {
                let block = Block {
                    columns: &Columns::new(roasts),
                    setpoint,
                    figures_at_s,
                    losses_at_s: &losses_at_s,
                    roasts,
                    figures,
                    readings_c,
                    losses,
                };
                match self.precision {
                    Precision::Double => self.arch.dispatch(InDouble(block)),
                    Precision::Single => self.arch.dispatch(InSingle(block)),
                }
            });
        BatchResult {
            figures,
            readings_c,
            samples,
            losses,
            losses_at: losses_at_s.len(),
        }
    }
}

impl Losses {
    const VOID: Self = Self {
        weight: f64::NAN,
        dry: f64::NAN,
    };

    /// Of a roast with so much water, in kg/kg, and so much gone of the dry matter that can go, 0 to 1.
    fn of(params: &RoastParams, moisture_db: f64, lost: f64) -> Self {
        let dry = DRY_LOSS_CEILING * lost;
        let left = 1.0 - dry + moisture_db;
        Self {
            weight: 1.0 - left / (1.0 + params.moisture_db),
            dry,
        }
    }
}

impl RoastFigures {
    const VOID: Self = Self {
        worst_miss_k: f64::NAN,
        worst_miss_at_s: f64::NAN,
        rms_miss_k: f64::NAN,
        energy_j: f64::NAN,
        peak_effort: f64::NAN,
        limited_s: f64::NAN,
        widest_gap_k: f64::NAN,
        drop_reading_c: f64::NAN,
        drop_surface_c: f64::NAN,
        drop_core_c: f64::NAN,
        drop_mean_c: f64::NAN,
        moisture_wb: f64::NAN,
        weight_loss: f64::NAN,
        dry_loss: f64::NAN,
        roasted_kg: f64::NAN,
    };
}

/// Up to [`GROUP`] roasts and where their results go.
struct Block<'a> {
    columns: &'a Columns,
    setpoint: &'a Setpoint,
    figures_at_s: usize,
    losses_at_s: &'a [usize],
    roasts: &'a [RoastParams],
    figures: &'a mut [RoastFigures],
    readings_c: &'a mut [f32],
    losses: &'a mut [Losses],
}

/// A block to be run in double precision.
struct InDouble<'a>(Block<'a>);
/// A block to be run in single precision.
struct InSingle<'a>(Block<'a>);

impl WithSimd for InDouble<'_> {
    type Output = ();
    #[inline(always)]
    fn with_simd<S: Simd>(self, isa: S) {
        if S::IS_SCALAR {
            self.0.run::<Double<S, 1>>(isa);
        } else {
            self.0.run::<Double<S, 2>>(isa);
        }
    }
}

impl WithSimd for InSingle<'_> {
    type Output = ();
    #[inline(always)]
    fn with_simd<S: Simd>(self, isa: S) {
        if S::IS_SCALAR {
            self.0.run::<Single<S, 1>>(isa);
        } else {
            self.0.run::<Single<S, 2>>(isa);
        }
    }
}

impl Block<'_> {
    #[inline(always)]
    fn run<L: Lane>(mut self, isa: L::Isa) {
        let mut row = 0;
        while row < self.roasts.len() {
            self.run_lanes::<L>(isa, row);
            row += L::WIDTH;
        }
    }

    /// Runs the lanes that start at `row`.
    #[inline(always)]
    fn run_lanes<L: Lane>(&mut self, isa: L::Isa, row: usize) {
        let numbers = Numbers::<L>::load(isa, self.columns, row);
        let temp_c = self.setpoint.temp_c();
        let air_share = self.setpoint.air_share();
        let mut airflow = Airflow::at(isa, &numbers, self.columns, row, air_share[0]);
        let mut state = State::at_charge(isa, &numbers, &airflow, temp_c[0]);
        let mut tally = Tally::empty(isa);
        let last = temp_c.len() - 1;
        let mut place = 0;
        for second in 0..=last {
            if 0 < second && air_share[second] != air_share[second - 1] {
                airflow = Airflow::at(isa, &numbers, self.columns, row, air_share[second]);
            }
            let setpoint_c = L::splat(isa, temp_c[second]);
            let reading_c = state.reading_c(&numbers);
            reading_c.store_single(&mut self.readings_c[second * GROUP + row..]);
            tally.miss(L::splat(isa, second as f64), reading_c - setpoint_c);
            if second == self.figures_at_s {
                self.write::<L>(row, &tally, &state.drop(isa, &numbers));
            }
            while place < self.losses_at_s.len() && self.losses_at_s[place] == second {
                self.write_losses::<L>((row, place), &state.drop(isa, &numbers));
                place += 1;
            }
            let effort = state.effort(isa, &numbers, &airflow, setpoint_c);
            if second < last {
                let (heater_w, gap_k) = state.step(isa, &numbers, &airflow, effort);
                tally.heat(isa, effort, &airflow, heater_w, gap_k);
            }
        }
    }

    /// Writes what the lanes that start at `row` have lost at the second asked for at `place`.
    #[inline(always)]
    fn write_losses<L: Lane>(&mut self, (row, place): (usize, usize), drop: &kernel::Drop<L>) {
        let mut moistures_db = [0.0; GROUP];
        let mut losts = [0.0; GROUP];
        drop.moisture_db.store(&mut moistures_db);
        drop.lost.store(&mut losts);
        let lanes = moistures_db.iter().zip(&losts).take(L::WIDTH);
        let rows = self.roasts[row..].iter().zip(lanes);
        let places = &mut self.losses[place * GROUP + row..];
        for (loss, (params, (&moisture_db, &lost))) in places.iter_mut().zip(rows) {
            *loss = Losses::of(params, moisture_db, lost);
        }
    }

    /// Writes the figures of the lanes that start at `row`.
    #[inline(always)]
    fn write<L: Lane>(&mut self, row: usize, tally: &Tally<L>, drop: &kernel::Drop<L>) {
        let mut lists = [[0.0; GROUP]; 13];
        tally.worst_k.store(&mut lists[0]);
        tally.worst_at_s.store(&mut lists[1]);
        tally.square_sum_k2.store(&mut lists[2]);
        tally.energy_j.store(&mut lists[3]);
        tally.peak_effort.store(&mut lists[4]);
        tally.limited_s.store(&mut lists[5]);
        tally.widest_gap_k.store(&mut lists[6]);
        drop.reading_c.store(&mut lists[7]);
        drop.surface_c.store(&mut lists[8]);
        drop.centre_c.store(&mut lists[9]);
        drop.mean_c.store(&mut lists[10]);
        drop.moisture_db.store(&mut lists[11]);
        drop.lost.store(&mut lists[12]);
        let samples = (self.figures_at_s + 1) as f64;
        #[allow(
            clippy::needless_range_loop,
            reason = "thirteen lists are read at once"
        )]
        for lane in 0..L::WIDTH.min(self.roasts.len() - row) {
            let at = row + lane;
            let params = &self.roasts[at];
            let moisture_db = lists[11][lane];
            let losses = Losses::of(params, moisture_db, lists[12][lane]);
            let left = 1.0 - losses.dry + moisture_db;
            self.figures[at] = RoastFigures {
                worst_miss_k: lists[0][lane],
                worst_miss_at_s: lists[1][lane],
                rms_miss_k: (lists[2][lane] / samples).sqrt(),
                energy_j: lists[3][lane],
                peak_effort: lists[4][lane],
                limited_s: lists[5][lane],
                widest_gap_k: lists[6][lane],
                drop_reading_c: lists[7][lane],
                drop_surface_c: lists[8][lane],
                drop_core_c: lists[9][lane],
                drop_mean_c: lists[10][lane],
                moisture_wb: moisture_db / left,
                weight_loss: losses.weight,
                dry_loss: losses.dry,
                roasted_kg: params.dry_mass_kg * left,
            };
        }
    }
}
