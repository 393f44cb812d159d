//! Laying another plan behind this one: alignment and difference.
//!
//! The difference is always *other minus this plan*, at whole seconds where both curves exist; where one of them
//! doesn't, there is a gap and no number.

use crate::{edit::MarkName, plan::Plan};
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
}

impl Alignment {
    /// All ways to align.
    pub const ALL: [Self; 4] = [
        Self::Charge,
        Self::Mark(MarkName::ColourChange),
        Self::Mark(MarkName::FirstCrack),
        Self::Drop,
    ];

    /// The label that the window shows.
    pub fn label(self) -> &'static str {
        match self {
            Self::Charge => "Charge",
            Self::Mark(mark) => mark.label(),
            Self::Drop => "Drop",
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
    /// Other minus this plan, in °C/s, at each moment.
    pub rise_difference_c_per_s: Vec<f64>,
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
        let shift_s = aligned_s(plan, alignment)
            .zip(aligned_s(other, alignment))
            .map(|(here_s, there_s)| here_s - there_s);
        let used_shift_s = shift_s.unwrap_or(0.0);
        let from_s = used_shift_s.max(0.0).ceil();
        let to_s = end_s(plan).min(end_s(other) + used_shift_s).min(MAX_TIME_S);
        let mut time_s = Vec::new();
        let mut at_s = from_s;
        while at_s <= to_s {
            time_s.push(at_s);
            at_s += 1.0;
        }
        let minus = |value: fn(&Plan, f64) -> f64| -> Vec<f64> {
            time_s
                .iter()
                .map(|&at_s| value(other, at_s - used_shift_s) - value(plan, at_s))
                .collect()
        };
        let temp_difference_c = minus(|plan, at_s| plan.curve.temp_c(at_s));
        let rise_difference_c_per_s = minus(|plan, at_s| plan.curve.rise_c_per_s(at_s));
        let figures = figures(&time_s, &temp_difference_c, band_c);
        Self {
            shift_s,
            time_s,
            temp_difference_c,
            rise_difference_c_per_s,
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

fn aligned_s(plan: &Plan, alignment: Alignment) -> Option<f64> {
    let level_c = match alignment {
        Alignment::Charge => return Some(0.0),
        Alignment::Mark(MarkName::ColourChange) => plan.marks.colour_change_c,
        Alignment::Mark(MarkName::FirstCrack) => plan.marks.first_crack_c,
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
