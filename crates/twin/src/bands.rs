//! How far a forecast spreads from day to day: many roasts with dose, beans, mains, room and probe varied as they vary, and the
//! range that 80 and 98 of 100 of them fall into.
//!
//! Each quantity varies on its own, normally. The roasts lie on a seeded low-discrepancy sequence, so the same question gets the same
//! answer; the quantiles are median-unbiased ones. What the model itself gets wrong is not in the bands, except for the exotherm.

use std::ops::RangeInclusive;
use std::sync::atomic::{AtomicBool, Ordering};

use rayon::prelude::*;

use crate::TwinError;
use crate::batch::{Batch, BatchResult, BatchSeconds, Precision, RoastFigures};
use crate::lot::LotParams;
use crate::low_discrepancy::{Sobol, normal_quantile};
use crate::machine::MachineParams;
use crate::params::RoastParams;
use crate::quantile::quantiles;
use crate::room::RoomParams;
use crate::setpoint::Setpoint;

/// Roasts behind a band unless asked otherwise.
pub const ROASTS: u32 = 1024;

/// Standard deviations of a normal spread between its middle and the end that holds 95 of 100.
const DEVIATIONS_TO_95: f64 = 1.959_963_984_540_054;
/// Shares of the roasts below the five values of a [`Band`].
const SHARES: [f64; 5] = [0.01, 0.10, 0.50, 0.90, 0.99];

/// Everyday variation: 95 of 100 roasts lie within plus or minus this much of the stated value. All at least 0.
#[derive(Debug, Clone, PartialEq)]
pub struct Variation {
    /// Dose, in kg.
    pub dose_kg: f64,
    /// Moisture, as a share of the green weight.
    pub moisture_wb: f64,
    /// Bean density, in kg/m³.
    pub bean_density_kg_per_m3: f64,
    /// Bean diameter, in m.
    pub bean_diameter_m: f64,
    /// Mains voltage, in V.
    pub mains_v: f64,
    /// Room temperature, in K.
    pub ambient_k: f64,
    /// Reading of the probe, in K.
    pub probe_offset_k: f64,
    /// Factor on the exotherm: what is not known rather than what varies.
    pub exotherm: f64,
}

impl Default for Variation {
    /// Assumed, without a source.
    fn default() -> Self {
        Self {
            dose_kg: 0.002,
            moisture_wb: 0.005,
            bean_density_kg_per_m3: 30.0,
            bean_diameter_m: 0.2e-3,
            mains_v: 5.0,
            ambient_k: 3.0,
            probe_offset_k: 1.0,
            exotherm: 0.5,
        }
    }
}

/// What the bands are asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct BandsRequest {
    /// How much varies.
    pub variation: Variation,
    /// Number of roasts, 1 or more; a power of two fills the space most evenly.
    pub roasts: u32,
    /// Which of the equally good sequences is taken.
    pub seed: u64,
    /// Temperatures, in °C, whose time of crossing is asked for.
    pub marks_c: Vec<f64>,
    /// Pairs of temperatures, in °C, with the time between whose crossings is asked for.
    pub spans_c: Vec<(f64, f64)>,
    /// The second whose figures are asked for; the setpoint's last where there is none. Crossings are looked for beyond it all the same.
    pub figures_at_s: Option<usize>,
    /// The first and the last second between which the greatest miss is asked for; from charge to the figures where there is none.
    pub miss_between_s: Option<(usize, usize)>,
    /// The last second up to which crossings are looked for; the setpoint's last where there is none.
    pub crossings_until_s: Option<usize>,
    /// Seconds, in rising order, at which what the beans have lost is asked for, in one and the same run.
    pub losses_at_s: Vec<usize>,
}

impl Default for BandsRequest {
    fn default() -> Self {
        Self {
            variation: Variation::default(),
            roasts: ROASTS,
            seed: 1,
            marks_c: Vec::new(),
            spans_c: Vec::new(),
            figures_at_s: None,
            miss_between_s: None,
            crossings_until_s: None,
            losses_at_s: Vec::new(),
        }
    }
}

/// Values below which 1, 10, 50, 90 and 99 of 100 roasts lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// 1 of 100.
    pub p01: f64,
    /// 10 of 100.
    pub p10: f64,
    /// Half of all.
    pub p50: f64,
    /// 90 of 100.
    pub p90: f64,
    /// 99 of 100.
    pub p99: f64,
}

impl Band {
    /// Band of `values`, which are put in a new order.
    fn of(values: &mut [f64]) -> Self {
        let [p01, p10, p50, p90, p99] = quantiles(values, SHARES);
        Self {
            p01,
            p10,
            p50,
            p90,
            p99,
        }
    }
}

/// When the reading first crosses a mark upwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MarkBand {
    /// The mark, in °C.
    pub temp_c: f64,
    /// Share of the roasts that reach it.
    pub reached_share: f64,
    /// Time in s among those that do; none if no roast does.
    pub time_s: Option<Band>,
}

/// The time from one crossing to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpanBand {
    /// Temperature that begins it, in °C.
    pub from_c: f64,
    /// Temperature that ends it, in °C.
    pub to_c: f64,
    /// Its length in s, among the roasts that cross both in this order; none if no roast does.
    pub duration_s: Option<Band>,
    /// The same as a share of the time until its end, 0 to 1.
    pub share: Option<Band>,
}

macro_rules! figure_bands {
    ($($name:ident),* $(,)?) => {
        /// A band for every figure of [`RoastFigures`], under the same name and in the same unit.
        #[derive(Debug, Clone, Copy, PartialEq)]
        #[allow(missing_docs, reason = "each is documented at the figure of the same name")]
        pub struct FigureBands {
            $(pub $name: Band,)*
        }

        impl FigureBands {
            fn of(all: &[RoastFigures]) -> Self {
                Self { $($name: Band::of(&mut all.iter().map(|one| one.$name).collect::<Vec<f64>>()),)* }
            }
        }
    };
}

figure_bands!(
    worst_miss_k,
    worst_miss_at_s,
    rms_miss_k,
    energy_j,
    peak_effort,
    limited_s,
    widest_gap_k,
    drop_reading_c,
    drop_surface_c,
    drop_core_c,
    drop_mean_c,
    moisture_wb,
    weight_loss,
    dry_loss,
    roasted_kg,
);

/// What the beans have lost at one second, whatever the probe reads then.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LossBands {
    /// Share of the green weight.
    pub weight: Band,
    /// Share of the green dry matter.
    pub dry: Band,
}

/// The spread of a forecast.
#[derive(Debug, Clone, PartialEq)]
pub struct Bands {
    /// Of every figure.
    pub figures: FigureBands,
    /// Of the reading at 0, 1, 2, … s until the second of the figures, in °C.
    pub reading_c: Vec<Band>,
    /// Of the greatest miss between the seconds asked for, in K, with its sign.
    pub miss_k: Band,
    /// Of the times at the marks, in the order asked.
    pub marks: Vec<MarkBand>,
    /// Of the times between marks, in the order asked.
    pub spans: Vec<SpanBand>,
    /// Of the losses, in the order asked.
    pub losses: Vec<LossBands>,
}

/// Bands around the forecast of one machine, lot and room along `setpoint`; `None` if `is_cancelled` was set meanwhile.
///
/// Runs on all cores of the current thread pool. Whether the bed is fluidised is not looked at: [`crate::Forecast`] does that.
///
/// # Errors
/// [`TwinError::OutOfRange`]: a number of machine, lot or room lies outside its range before anything is varied.
pub fn bands(
    (machine, lot, room): (&MachineParams, &LotParams, &RoomParams),
    setpoint: &Setpoint,
    request: &BandsRequest,
    is_cancelled: &AtomicBool,
) -> Result<Option<Bands>, TwinError> {
    RoastParams::new(machine, lot, room)?;
    let sequence = Sobol::new(request.seed);
    let roasts = (0..request.roasts.max(1))
        .into_par_iter()
        .map(|index| {
            let deviates = sequence
                .point(index)
                .map(|p| normal_quantile(p) / DEVIATIONS_TO_95);
            varied((machine, lot, room), &request.variation, &deviates)
        })
        .collect::<Result<Vec<_>, _>>()?;
    let last_s = request.figures_at_s.map_or(setpoint.duration_s(), |at_s| {
        at_s.min(setpoint.duration_s())
    });
    let seconds = BatchSeconds {
        figures_s: last_s,
        losses_s: &request.losses_at_s,
    };
    let batch = Batch::new(Precision::Double).run_unless(&roasts, setpoint, &seconds, is_cancelled);
    let cross = Crossings {
        batch: &batch,
        samples: request
            .crossings_until_s
            .map_or(batch.samples(), |until_s| {
                (until_s + 1).min(batch.samples())
            }),
    };
    let (miss_from_s, miss_to_s) = request.miss_between_s.unwrap_or((0, last_s));
    let miss_s = miss_from_s..=miss_to_s.min(setpoint.duration_s());
    let reading_c = (0..=last_s)
        .into_par_iter()
        .map(|second| reading_band(&batch, second, is_cancelled))
        .collect::<Option<Vec<_>>>();
    let marks: Vec<_> = request
        .marks_c
        .par_iter()
        .map(|&temp_c| cross.mark_band(temp_c))
        .collect();
    let spans: Vec<_> = request
        .spans_c
        .par_iter()
        .map(|&ends_c| cross.span_band(ends_c))
        .collect();
    let losses = (0..request.losses_at_s.len())
        .into_par_iter()
        .map(|place| loss_bands(&batch, place))
        .collect();
    let is_whole = !is_cancelled.load(Ordering::Relaxed);
    Ok(reading_c.filter(|_| is_whole).map(|reading_c| Bands {
        figures: FigureBands::of(&batch.figures),
        reading_c,
        miss_k: miss_band(&batch, setpoint, miss_s),
        marks,
        spans,
        losses,
    }))
}

/// One day: every quantity moved by its own deviate, 1 being the end of its variation, and kept inside the model's range.
fn varied(
    (machine, lot, room): (&MachineParams, &LotParams, &RoomParams),
    variation: &Variation,
    deviates: &[f64; 8],
) -> Result<RoastParams, TwinError> {
    let [
        dose,
        moisture,
        density,
        diameter,
        mains,
        ambient,
        offset,
        exotherm,
    ] = *deviates;
    let mut machine = machine.clone();
    machine.probe.offset_k =
        (machine.probe.offset_k + offset * variation.probe_offset_k).clamp(-20.0, 20.0);
    let lot = LotParams {
        dose_kg: (lot.dose_kg + dose * variation.dose_kg).clamp(0.01, 5.0),
        moisture_wb: (lot.moisture_wb + moisture * variation.moisture_wb).clamp(0.03, 0.2),
        bean_density_kg_per_m3: (lot.bean_density_kg_per_m3
            + density * variation.bean_density_kg_per_m3)
            .clamp(900.0, 1_450.0),
        bean_diameter_m: (lot.bean_diameter_m + diameter * variation.bean_diameter_m)
            .clamp(0.004, 0.009),
        exotherm: (lot.exotherm + exotherm * variation.exotherm).clamp(0.0, 2.0),
        ..lot.clone()
    };
    let room = RoomParams {
        ambient_c: (room.ambient_c + ambient * variation.ambient_k).clamp(-5.0, 45.0),
        mains_v: (room.mains_v + mains * variation.mains_v).clamp(80.0, 270.0),
        ..room.clone()
    };
    RoastParams::new(&machine, &lot, &room)
}

fn reading_band(batch: &BatchResult, second: usize, is_cancelled: &AtomicBool) -> Option<Band> {
    if is_cancelled.load(Ordering::Relaxed) {
        return None;
    }
    let mut readings_c: Vec<f64> = (0..batch.figures.len())
        .map(|roast| batch.reading_c(roast, second))
        .collect();
    Some(Band::of(&mut readings_c))
}

fn loss_bands(batch: &BatchResult, place: usize) -> LossBands {
    let roasts = 0..batch.figures.len();
    let (mut weights, mut drys): (Vec<f64>, Vec<f64>) = roasts
        .filter_map(|roast| batch.losses(roast, place))
        .map(|losses| (losses.weight, losses.dry))
        .unzip();
    LossBands {
        weight: Band::of(&mut weights),
        dry: Band::of(&mut drys),
    }
}

/// Where crossings are looked for.
struct Crossings<'a> {
    batch: &'a BatchResult,
    /// How many samples of each roast are looked at, from charge on.
    samples: usize,
}

impl Crossings<'_> {
    fn mark_band(&self, temp_c: f64) -> MarkBand {
        let roasts = self.batch.figures.len();
        let mut times_s: Vec<f64> = (0..roasts)
            .filter_map(|roast| self.crossed_s(roast, temp_c))
            .collect();
        MarkBand {
            temp_c,
            reached_share: times_s.len() as f64 / roasts as f64,
            time_s: (!times_s.is_empty()).then(|| Band::of(&mut times_s)),
        }
    }

    fn span_band(&self, (from_c, to_c): (f64, f64)) -> SpanBand {
        let ends_s = |roast| {
            let from_s = self.crossed_s(roast, from_c)?;
            let to_s = self.crossed_s(roast, to_c)?;
            (from_s <= to_s).then_some((to_s - from_s, (to_s - from_s) / to_s))
        };
        let roasts = 0..self.batch.figures.len();
        let (mut durations_s, mut shares): (Vec<f64>, Vec<f64>) = roasts.filter_map(ends_s).unzip();
        let band = |values: &mut Vec<f64>| (!values.is_empty()).then(|| Band::of(values));
        SpanBand {
            from_c,
            to_c,
            duration_s: band(&mut durations_s),
            share: band(&mut shares),
        }
    }

    /// When one roast's reading first rises to `temp_c` from below, in s, on straight lines between the samples.
    fn crossed_s(&self, roast: usize, temp_c: f64) -> Option<f64> {
        let reading_c = |second| self.batch.reading_c(roast, second);
        let rises = |second: &usize| reading_c(second - 1) < temp_c && temp_c <= reading_c(*second);
        let second = (1..self.samples).find(rises)?;
        let (low_c, high_c) = (reading_c(second - 1), reading_c(second));
        Some((second - 1) as f64 + (temp_c - low_c) / (high_c - low_c))
    }
}

fn miss_band(batch: &BatchResult, setpoint: &Setpoint, seconds: RangeInclusive<usize>) -> Band {
    let miss_k = |roast, second: usize| batch.reading_c(roast, second) - setpoint.temp_c()[second];
    let mut greatest_k: Vec<f64> = (0..batch.figures.len())
        .into_par_iter()
        .map(|roast| {
            let misses_k = seconds.clone().map(|second| miss_k(roast, second));
            misses_k.fold(
                0.0,
                |best: f64, k| if best.abs() < k.abs() { k } else { best },
            )
        })
        .collect();
    Band::of(&mut greatest_k)
}
