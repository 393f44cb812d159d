//! What the forecast may hold against a plan, in kinds, weights and words.

use crate::{
    findings::Severity,
    limits,
    outlook::MET_K,
    twin_sheets::VOIDAGE,
    units::{
        TempUnit, describe_rise, format_temp_difference_with_unit, format_temp_with_unit,
        format_time,
    },
};
use chaffinch_twin::{Cause, Limit, TwinError};

/// Something that gets hot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HotPart {
    /// The drawn curve.
    Curve,
    /// The reading of the probe.
    Probe,
    /// The surface of the beans.
    Beans,
}

impl HotPart {
    fn noun(self) -> &'static str {
        match self {
            Self::Curve => "curve",
            Self::Probe => "probe",
            Self::Beans => "surface of the beans",
        }
    }
}

/// Which end of the reach the curve leaves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReachEnd {
    /// The curve rises faster than the fastest.
    Fastest,
    /// The curve rises more slowly, or falls faster, than the slowest.
    Slowest,
}

impl ReachEnd {
    /// What the curve is, and which rise it passes.
    fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Fastest => ("steeper", "fastest"),
            Self::Slowest => ("flatter", "slowest"),
        }
    }
}

/// What was found in a forecast, with its size.
#[derive(Clone, Debug, PartialEq)]
pub enum ForecastKind {
    /// Nothing can be foreseen.
    NoForecast {
        /// Why.
        limit: Limit,
    },
    /// The curve reaches the chosen finish, but the probe doesn't, however long the roaster holds on.
    FinishNotReached {
        /// The finish's name.
        name: String,
        /// Its temperature in °C.
        temp_c: f64,
        /// The probe's highest reading in °C.
        highest_c: f64,
    },
    /// Something gets hotter than the machine's ceiling, though the drop lies below it.
    AboveCeiling {
        /// What gets too hot.
        part: HotPart,
        /// Its highest temperature in °C.
        highest_c: f64,
        /// The ceiling in °C.
        ceiling_c: f64,
    },
    /// The curve rises faster, or more slowly, than the machine can follow.
    BeyondReach {
        /// Which of both.
        end: ReachEnd,
        /// Where drawn rise and reach differ most, in s.
        worst_s: f64,
        /// The drawn rise there, in °C/s.
        drawn_c_per_s: f64,
        /// The fastest or slowest rise there, in °C/s.
        reach_c_per_s: f64,
        /// What binds it there.
        cause: Cause,
    },
    /// The probe strays from the curve, though the curve is within reach.
    OffTheCurve {
        /// Probe less curve where they differ most, in K.
        miss_k: f64,
        /// Where that is, in s.
        worst_s: f64,
        /// What keeps the probe from the curve there.
        cause: Cause,
    },
    /// The probe meets the curve late, or never.
    MeetsLate {
        /// The probe's reading at charge, in °C.
        probe_c: f64,
        /// The curve at charge, in °C.
        curve_c: f64,
        /// When they meet, in s.
        met_s: Option<f64>,
    },
    /// The heater gives all it can for a while, with the probe on the curve.
    HeaterAtLimit {
        /// For how long in all, in s.
        for_s: f64,
        /// Whether its power or the inlet air binds it.
        cause: Cause,
    },
    /// The controller hunts.
    Hunts {
        /// Mean size of a swing of the heater's effort, 0–1.
        swing: f64,
        /// Mean time of one up and down, in s.
        period_s: f64,
    },
}

impl ForecastKind {
    /// How much it weighs.
    pub fn severity(&self) -> Severity {
        match self {
            Self::NoForecast {
                limit: Limit::BedRests { .. } | Limit::BeansCarriedOut { .. },
            }
            | Self::FinishNotReached { .. }
            | Self::AboveCeiling { .. } => Severity::Stop,
            Self::MeetsLate {
                met_s: Some(met_s), ..
            } if *met_s <= limits::LATEST_MEETING_S => Severity::Note,
            Self::BeyondReach { .. }
            | Self::OffTheCurve { .. }
            | Self::MeetsLate { .. }
            | Self::Hunts { .. }
            // Beans that hot are not far from smoke, and nothing else speaks of them.
            | Self::NoForecast {
                limit: Limit::BeansTooHot { .. },
            } => Severity::Caution,
            Self::NoForecast { .. } | Self::HeaterAtLimit { .. } => Severity::Note,
        }
    }

    /// A few words that name it.
    pub fn heading(&self) -> &'static str {
        match self {
            Self::NoForecast { limit } => match limit {
                Limit::BedRests { .. } => "Air doesn't lift the beans",
                Limit::BeansCarriedOut { .. } => "Air carries beans out",
                _ => "No forecast",
            },
            Self::FinishNotReached { .. } => "Finish out of the machine's reach",
            Self::AboveCeiling { part, .. } => match part {
                HotPart::Curve => "Curve above the ceiling",
                HotPart::Probe => "Probe above the ceiling",
                HotPart::Beans => "Beans above the ceiling",
            },
            Self::BeyondReach { end, .. } => match end {
                ReachEnd::Fastest => "Steeper than the machine",
                ReachEnd::Slowest => "Flatter than the machine",
            },
            Self::OffTheCurve { .. } => "Probe leaves the curve",
            Self::MeetsLate { met_s: None, .. } => "Probe never meets the curve",
            Self::MeetsLate {
                probe_c, curve_c, ..
            } => {
                if *probe_c + MET_K < *curve_c {
                    "Starts above the probe"
                } else {
                    "Probe meets the curve late"
                }
            }
            Self::HeaterAtLimit { .. } => "Heater at its limit",
            Self::Hunts { .. } => "Controller hunts",
        }
    }

    /// One or two plain sentences, temperatures in `unit`; the finding lies from `from_s` to `to_s`.
    pub(crate) fn sentence(&self, (from_s, to_s): (f64, f64), unit: TempUnit) -> String {
        let temp = |temp_c| format_temp_with_unit(temp_c, unit);
        let (from, to) = (format_time(from_s), format_time(to_s));
        match self {
            Self::NoForecast { limit } => no_forecast_text(limit, unit),
            Self::FinishNotReached {
                name,
                temp_c,
                highest_c,
            } => format!(
                "The probe gets no hotter than {} and doesn't reach “{name}” at {}, though the curve does.",
                temp(*highest_c),
                temp(*temp_c)
            ),
            Self::AboveCeiling {
                part,
                highest_c,
                ceiling_c,
            } => format!(
                "The {} reaches {}, above this machine's ceiling of {}.",
                part.noun(),
                temp(*highest_c),
                temp(*ceiling_c)
            ),
            Self::BeyondReach {
                end,
                worst_s,
                drawn_c_per_s,
                reach_c_per_s,
                cause,
            } => {
                let (steeper, fastest) = end.words();
                format!(
                    "From {from} to {to} the curve is {steeper} than this machine can follow: {} at {}, where the {fastest} is {} ({}).",
                    describe_rise(*drawn_c_per_s, unit),
                    format_time(*worst_s),
                    describe_rise(*reach_c_per_s, unit),
                    cause.words()
                )
            }
            Self::OffTheCurve {
                miss_k,
                worst_s,
                cause,
            } => format!(
                "From {from} to {to} the probe runs up to {} {} the curve, most at {} ({}).",
                format_temp_difference_with_unit(miss_k.abs(), unit),
                if *miss_k < 0.0 { "below" } else { "above" },
                format_time(*worst_s),
                cause.words()
            ),
            Self::MeetsLate {
                probe_c,
                curve_c,
                met_s,
            } => meets_late_text((*probe_c, *curve_c), *met_s, unit),
            Self::HeaterAtLimit { for_s, cause } => format!(
                "For {} in all, most of it from {from} to {to}, the heater gives all it can ({}): no headroom for a cooler room or a lower mains.",
                format_time(*for_s),
                cause.words()
            ),
            Self::Hunts { swing, period_s } => format!(
                "From {from} on the heater's effort swings by {:.0} % and back every {period_s:.0} s: the controller hunts, and the forecast means little there.",
                swing * 100.0
            ),
        }
    }

    /// Whether both are of one kind, whatever their sizes.
    pub(crate) fn is_like(&self, other: &Self) -> bool {
        use std::mem::discriminant;
        match (self, other) {
            (Self::NoForecast { limit }, Self::NoForecast { limit: other }) => {
                discriminant(limit) == discriminant(other)
            }
            (Self::BeyondReach { end, .. }, Self::BeyondReach { end: other, .. }) => end == other,
            _ => discriminant(self) == discriminant(other),
        }
    }
}

fn meets_late_text((probe_c, curve_c): (f64, f64), met_s: Option<f64>, unit: TempUnit) -> String {
    let start = format!(
        "The curve starts at {} and the probe at {}",
        format_temp_with_unit(curve_c, unit),
        format_temp_with_unit(probe_c, unit)
    );
    // A hot probe is no nearer to the curve for it.
    let fall = if curve_c + MET_K < probe_c {
        ", from where cold beans pull it down at once"
    } else {
        ""
    };
    met_s.map_or_else(
        || {
            let near = format_temp_difference_with_unit(MET_K, unit);
            format!("{start}{fall}; they never stay together within {near}.")
        },
        |met_s| format!("{start}{fall}; they meet only at {}.", format_time(met_s)),
    )
}

/// Why there is no forecast, as a sentence; temperatures in `unit`.
pub fn no_forecast_text(limit: &Limit, unit: TempUnit) -> String {
    match limit {
        Limit::BedRests { time_s, lift } => format!(
            "From {} on the air doesn't lift the beans: at worst it is {:.0} % of what that takes. Nothing can be foreseen of a bed that rests.",
            format_time(*time_s as f64),
            // Rounded down, so that it never reads 100 %.
            (lift * 100.0).floor()
        ),
        Limit::BeansCarriedOut {
            time_s,
            speed_m_per_s,
            terminal_m_per_s,
        } => format!(
            "At {} the air rises at {speed_m_per_s:.1} m/s, and from {terminal_m_per_s:.1} m/s on it carries beans out. Nothing can be foreseen of a bed that flies.",
            format_time(*time_s as f64)
        ),
        Limit::BeansTooHot { hottest_c, .. } => format!(
            "The beans reach {} on average, hotter than the model knows. End the curve cooler.",
            format_temp_with_unit(*hottest_c, unit)
        ),
        Limit::Input(TwinError::OutOfRange {
            name,
            unit: of,
            found,
            min,
            max,
        }) => {
            // The model's units aren't those of the sheets.
            let (name, factor, symbol) = match *name {
                "moisture" => ("moisture", 100.0, "%"),
                // That of a single bean in the model, of a heap of them in the sheet.
                "bean density" => ("density", 1.0 - VOIDAGE, "g/L"),
                "bean diameter" => ("bean diameter", 1e3, "mm"),
                name => (name, 1.0, *of),
            };
            let shown = |value: f64| match symbol {
                "°C" => format_temp_with_unit(value, unit),
                _ => format!("{} {symbol}", (value * factor * 1e3).round() / 1e3)
                    .trim_end()
                    .to_owned(),
            };
            let [found, min, max] = [*found, *min, *max].map(shown);
            capitalised(&format!("{name} is {found}; expected {min} to {max}."))
        }
        Limit::Input(_)
        | Limit::Moisture { .. }
        | Limit::BeanSize { .. }
        | Limit::Dose { .. }
        | Limit::Duration { .. } => capitalised(&format!("{limit}.")),
    }
}

/// The same with a capital letter at its beginning.
fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
