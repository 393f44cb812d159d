//! Laying another plan behind this one: alignment and difference.
//!
//! The difference is always *other minus this plan*, at whole seconds where both curves exist; where one of them
//! doesn't, there is a gap and no number.

use crate::{
    edit::MarkName,
    limits::{LEAST_OVERLAP, MOST_SHIFT_S},
    plan::Plan,
};
use chaffinch_curve::MAX_TIME_S;

/// What of the two curves is laid on top of each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Alignment {
    /// Charge with charge: no shift.
    #[default]
    Charge,
    /// The moments at which the curves pass their own mark.
    Mark(MarkName),
    /// Drop with drop.
    Drop,
    /// The shift at which the temperatures differ least (root of the mean square).
    BestFit,
}

impl Alignment {
    /// All ways to align.
    pub const ALL: [Self; 5] = [
        Self::Charge,
        Self::Mark(MarkName::ColourChange),
        Self::Mark(MarkName::FirstCrack),
        Self::Drop,
        Self::BestFit,
    ];

    /// The label that the window shows.
    pub fn label(self) -> &'static str {
        match self {
            Self::Charge => "Charge",
            Self::Mark(mark) => mark.label(),
            Self::Drop => "Drop",
            Self::BestFit => "Best fit",
        }
    }
}

/// Another plan laid over this one.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// How far the other curve is shifted to the right, in s; `None` if one of the two never reaches what is aligned.
    pub shift_s: Option<f64>,
    /// Moments of this plan in s, rising by 1 s.
    pub time_s: Vec<f64>,
    /// Other minus this plan, in °C, at each moment.
    pub temp_difference_c: Vec<f64>,
    /// Figures of the temperature difference; `None` if the curves share no moment.
    pub figures: Option<DifferenceFigures>,
}

/// A difference in a few numbers, all of *other minus this plan*.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DifferenceFigures {
    /// Mean in °C.
    pub mean_c: f64,
    /// Root of the mean square in °C.
    pub rms_c: f64,
    /// The difference of greatest size, with its sign, in °C.
    pub largest_c: f64,
    /// When it occurs, in s of this plan.
    pub largest_at_s: f64,
    /// Seconds for which the size is above the band's half width.
    pub outside_s: f64,
}

impl Comparison {
    /// Lays `other` over `plan`. `band_c` is the half width, in °C, that [`DifferenceFigures::outside_s`] counts against.
    ///
    /// Both curves count up to their own drop, or to their end if the chosen finish is never reached.
    pub fn of(plan: &Plan, other: &Plan, alignment: Alignment, band_c: f64) -> Self {
        let shift_s = match alignment {
            Alignment::BestFit => best_shift_s(plan, other),
            _ => aligned_s(plan, alignment)
                .zip(aligned_s(other, alignment))
                .map(|(here_s, there_s)| here_s - there_s),
        };
        let used_shift_s = shift_s.unwrap_or(0.0);
        let from_s = used_shift_s.max(0.0).ceil();
        let to_s = end_s(plan).min(end_s(other) + used_shift_s).min(MAX_TIME_S);
        let mut time_s = Vec::new();
        let mut at_s = from_s;
        while at_s <= to_s {
            time_s.push(at_s);
            at_s += 1.0;
        }
        let temp_difference_c: Vec<f64> = time_s
            .iter()
            .map(|&at_s| other.curve.temp_c(at_s - used_shift_s) - plan.curve.temp_c(at_s))
            .collect();
        let figures = figures(&time_s, &temp_difference_c, band_c);
        Self {
            shift_s,
            time_s,
            temp_difference_c,
            figures,
        }
    }
}

/// What lies between two moments of a curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measure {
    /// Second moment minus first, in s.
    pub time_s: f64,
    /// Temperature at the second minus at the first, in °C.
    pub temp_c: f64,
    /// Mean rate of rise between them, in °C/s; `None` if they are the same moment.
    pub mean_rise_c_per_s: Option<f64>,
}

impl Measure {
    /// Measures the curve from `first_s` to `second_s`.
    pub fn between(plan: &Plan, first_s: f64, second_s: f64) -> Self {
        let time_s = second_s - first_s;
        let temp_c = plan.curve.temp_c(second_s) - plan.curve.temp_c(first_s);
        Self {
            time_s,
            temp_c,
            mean_rise_c_per_s: (time_s != 0.0).then(|| temp_c / time_s),
        }
    }
}

/// Ever finer searches of a best fit: step of the shift, reach to both sides of the best so far, distance of the moments
/// compared, all in s.
const FIT_SEARCHES_S: [(f64, f64, f64); 3] =
    [(6.0, MOST_SHIFT_S, 5.0), (1.0, 6.0, 2.0), (0.1, 1.0, 1.0)];

/// The shift of `other`, in s, at which the two curves differ least; found by ever finer steps around the best so far.
fn best_shift_s(plan: &Plan, other: &Plan) -> Option<f64> {
    let mut best: Option<(f64, f64)> = None;
    let mut middle_s = 0.0;
    for (step_s, reach_s, sample_s) in FIT_SEARCHES_S {
        let steps = (reach_s / step_s) as i32;
        best = (-steps..=steps)
            .map(|step| middle_s + f64::from(step) * step_s)
            .filter_map(|shift_s| Some((shift_s, rms_at_shift_c(plan, other, shift_s, sample_s)?)))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        middle_s = best?.0;
    }
    best.map(|(shift_s, _)| shift_s)
}

/// Root of the mean square of other minus plan at this shift, in °C; `None` if they have too little in common.
fn rms_at_shift_c(plan: &Plan, other: &Plan, shift_s: f64, sample_s: f64) -> Option<f64> {
    let from_s = shift_s.max(0.0);
    let to_s = end_s(plan).min(end_s(other) + shift_s);
    if to_s - from_s < LEAST_OVERLAP * end_s(plan).min(end_s(other)) {
        return None;
    }
    let count = ((to_s - from_s) / sample_s).floor() as i32 + 1;
    let squares: f64 = (0..count)
        .map(|index| from_s + f64::from(index) * sample_s)
        .map(|at_s| other.curve.temp_c(at_s - shift_s) - plan.curve.temp_c(at_s))
        .map(|difference_c| difference_c * difference_c)
        .sum();
    Some((squares / f64::from(count)).sqrt())
}

/// The moment that an alignment lays on top of the other plan's, in s.
fn aligned_s(plan: &Plan, alignment: Alignment) -> Option<f64> {
    let level_c = match alignment {
        Alignment::Charge | Alignment::BestFit => return Some(0.0),
        Alignment::Mark(mark) => mark.temp_c(&plan.marks),
        Alignment::Drop => plan.finish().temp_c,
    };
    plan.curve.first_reach(level_c)
}

fn end_s(plan: &Plan) -> f64 {
    let drop_s = plan.curve.first_reach(plan.finish().temp_c);
    drop_s.unwrap_or(plan.curve.end_s())
}

fn figures(time_s: &[f64], difference_c: &[f64], band_c: f64) -> Option<DifferenceFigures> {
    let count = difference_c.len() as f64;
    let (&largest_at_s, &largest_c) = time_s
        .iter()
        .zip(difference_c)
        .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))?;
    let squares: f64 = difference_c
        .iter()
        .map(|difference| difference * difference)
        .sum();
    Some(DifferenceFigures {
        mean_c: difference_c.iter().sum::<f64>() / count,
        rms_c: (squares / count).sqrt(),
        largest_c,
        largest_at_s,
        outside_s: difference_c
            .iter()
            .filter(|difference| difference.abs() > band_c)
            .count() as f64,
    })
}
