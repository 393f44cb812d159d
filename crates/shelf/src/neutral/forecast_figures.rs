//! What the model foresees of a plan, in figures: each with its unit, how far to trust it, and its spread from day to day.

use super::finish_entries::{FinishEntry, finish_entries};
use crate::samples::rounded;
use chaffinch_craft::{
    ColourCalibration, Derived, Foreseen, Outlook, Plan, Spread, no_forecast_text, units::TempUnit,
};
use chaffinch_curve::Phase;
use chaffinch_twin::{
    EMPTY_TARGET_C, Extreme, Hunting, J_PER_KWH,
    bands::{Band, FigureBands, MarkBand},
    trust,
};
use serde::Serialize;

/// Per cent in a whole.
pub(super) const PERCENT: f64 = 100.0;
/// Grams in a kilogram.
const G_PER_KG: f64 = 1000.0;

/// The forecast in figures. Lists are there, and empty, where there is no forecast; then `limits` says why.
#[derive(Serialize)]
pub(super) struct ForecastFigures<'a> {
    caution: &'static str,
    assumed: Assumed,
    limits: Vec<LimitEntry>,
    /// In s; null if probe and curve never meet.
    meets_curve: Option<f64>,
    /// In s; null if the machine never gets there. Doesn't need a forecast.
    empty_run: EmptyRun,
    hunting: Option<HuntingEntry>,
    moments: Vec<Moment>,
    phases: Vec<Length>,
    /// The second, in s, at which the figures of the drop stand, and those of each roast of their spread, whatever its probe reads
    /// then: that of the forecast drop, or the last one; null without a forecast.
    figures_at: Option<f64>,
    figures: Vec<Figure>,
    /// The ladder, each finish as if it were chosen.
    finishes: Vec<FinishEntry<'a>>,
}

/// How many numbers of the sheets nobody entered or knows, of how many.
#[derive(Serialize)]
struct Assumed {
    numbers: usize,
    of: usize,
}

/// A reason why there is no forecast.
#[derive(Serialize)]
pub(super) struct LimitEntry {
    sentence: String,
}

impl LimitEntry {
    pub(super) fn of(limit: &chaffinch_twin::Limit) -> Self {
        Self {
            sentence: no_forecast_text(limit, TempUnit::Celsius),
        }
    }
}

/// The empty machine at full heat: a check of the heater.
#[derive(Serialize)]
struct EmptyRun {
    temperature: f64,
    time: Option<f64>,
}

/// A controller that hunts at the drop; swing in % of full heat, times in s.
#[derive(Serialize)]
struct HuntingEntry {
    from: f64,
    swings: usize,
    swing: f64,
    period: f64,
}

/// A temperature with the times, in s, at which the curve and the probe pass it; null where they don't.
#[derive(Serialize)]
struct Moment {
    name: &'static str,
    temperature: f64,
    drawn: Option<f64>,
    forecast: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    spread: Option<MomentSpread>,
}

#[derive(Serialize)]
struct MomentSpread {
    /// Share of the roasts that get there, 0–1.
    reached: f64,
    #[serde(flatten)]
    time: Option<Quantiles>,
}

/// A length of time in s and its share of the roast, 0–1; null where there is none.
#[derive(Serialize)]
struct Length {
    name: &'static str,
    drawn: Option<f64>,
    forecast: Option<f64>,
    drawn_share: Option<f64>,
    forecast_share: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    spread: Option<Quantiles>,
    #[serde(skip_serializing_if = "Option::is_none")]
    spread_of_share: Option<Quantiles>,
}

#[derive(Serialize)]
struct Figure {
    name: &'static str,
    /// UCUM code.
    unit: &'static str,
    value: f64,
    /// The second at which a greatest or least value stands.
    #[serde(skip_serializing_if = "Option::is_none")]
    at: Option<f64>,
    /// Plus or minus, in the same unit, until roasts have calibrated the model; missing where nothing is stated.
    #[serde(skip_serializing_if = "Option::is_none")]
    trust: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    spread: Option<Quantiles>,
}

/// Values below which 1, 10, 50, 90 and 99 of 100 roasts lie.
#[derive(Clone, Copy, Serialize)]
pub(super) struct Quantiles {
    p01: f64,
    p10: f64,
    p50: f64,
    p90: f64,
    p99: f64,
}

impl Quantiles {
    /// `band` times `factor`: from the model's unit to the file's.
    pub(super) fn of(band: &Band, factor: f64) -> Self {
        let value = |value: f64| rounded(value * factor);
        Self {
            p01: value(band.p01),
            p10: value(band.p10),
            p50: value(band.p50),
            p90: value(band.p90),
            p99: value(band.p99),
        }
    }
}

impl<'a> ForecastFigures<'a> {
    pub(super) fn of(
        (plan, derived, outlook): (&'a Plan, &Derived, &Outlook),
        spread: Option<&Spread>,
        colours: Option<&ColourCalibration>,
    ) -> Self {
        let foreseen = outlook.foreseen();
        let (numbers, of) = outlook.assumed;
        Self {
            caution: trust::CAUTION,
            assumed: Assumed { numbers, of },
            limits: outlook.limits().iter().map(LimitEntry::of).collect(),
            meets_curve: foreseen
                .and_then(|found| found.met_s)
                .map(|second| second as f64),
            empty_run: EmptyRun {
                temperature: EMPTY_TARGET_C,
                time: outlook.empty_run_s.map(rounded),
            },
            hunting: foreseen
                .and_then(|found| found.figures.hunting.as_ref())
                .map(HuntingEntry::of),
            moments: foreseen.map_or_else(Vec::new, |found| moments(plan, derived, found, spread)),
            phases: foreseen.map_or_else(Vec::new, |found| phases(derived, found, spread)),
            figures_at: foreseen.map(|found| (found.trace.len() - 1) as f64),
            figures: foreseen.map_or_else(Vec::new, |found| {
                figures(outlook.sheets.lot.dose_kg, found, spread)
            }),
            finishes: finish_entries(plan, outlook, spread, colours),
        }
    }
}

impl HuntingEntry {
    fn of(hunting: &Hunting) -> Self {
        Self {
            from: hunting.from_s as f64,
            swings: hunting.swings,
            swing: rounded(hunting.swing * PERCENT),
            period: rounded(hunting.period_s),
        }
    }
}

fn moments(
    plan: &Plan,
    derived: &Derived,
    found: &Foreseen,
    spread: Option<&Spread>,
) -> Vec<Moment> {
    let phases = &derived.phases;
    let moment = |name,
                  temperature,
                  drawn_s: Option<f64>,
                  forecast_s: Option<f64>,
                  band: Option<&MarkBand>| Moment {
        name,
        temperature,
        drawn: drawn_s.map(rounded),
        forecast: forecast_s.map(rounded),
        spread: band.map(|band| MomentSpread {
            reached: rounded(band.reached_share),
            time: band
                .time_s
                .as_ref()
                .map(|time_s| Quantiles::of(time_s, 1.0)),
        }),
    };
    let drawn_s = |reach: &chaffinch_curve::Reach<chaffinch_curve::Passage>| {
        reach.reached().map(|passage| passage.time_s)
    };
    vec![
        moment(
            "colour_change",
            plan.marks.colour_change_c,
            drawn_s(&phases.colour_change),
            found.moments.colour_change_s,
            spread.map(|spread| &spread.colour_change),
        ),
        moment(
            "first_crack",
            plan.marks.first_crack_c,
            drawn_s(&phases.first_crack),
            found.moments.first_crack_s,
            spread.map(|spread| &spread.first_crack),
        ),
        moment(
            "drop",
            plan.finish().temp_c,
            drawn_s(&phases.drop),
            found.moments.drop_s,
            spread.map(|spread| &spread.drop),
        ),
    ]
}

fn phases(derived: &Derived, found: &Foreseen, spread: Option<&Spread>) -> Vec<Length> {
    let (drawn, moments) = (&derived.phases, &found.moments);
    let length = |name, drawn: Option<&Phase>, forecast_s: Option<f64>| Length {
        name,
        drawn: drawn.map(|phase| rounded(phase.duration_s)),
        forecast: forecast_s.map(rounded),
        drawn_share: drawn
            .and_then(|phase| phase.share.reached().copied())
            .map(rounded),
        forecast_share: forecast_s
            .zip(moments.drop_s)
            .map(|(length_s, drop_s)| rounded(length_s / drop_s)),
        spread: None,
        spread_of_share: None,
    };
    let quantiles = |band: Option<&Band>| band.map(|band| Quantiles::of(band, 1.0));
    let drying_s = spread.and_then(|spread| spread.colour_change.time_s.as_ref());
    let browning_s = spread.and_then(|spread| spread.browning.duration_s.as_ref());
    let development = spread.map(|spread| &spread.development);
    vec![
        Length {
            spread: quantiles(drying_s),
            ..length("drying", drawn.drying.reached(), moments.drying_s())
        },
        Length {
            spread: quantiles(browning_s),
            ..length("browning", drawn.browning.reached(), moments.browning_s())
        },
        Length {
            spread: quantiles(development.and_then(|band| band.duration_s.as_ref())),
            // Development ends with the roast, so its share is that of the whole; the other phases' bands are not.
            spread_of_share: quantiles(development.and_then(|band| band.share.as_ref())),
            ..length(
                "development",
                drawn.development.reached(),
                moments.development_s(),
            )
        },
    ]
}

/// A figure in the file's unit, which is the model's times `factor`.
struct Row {
    name: &'static str,
    unit: &'static str,
    factor: f64,
}

impl Row {
    fn plain(&self, value: f64) -> Figure {
        Figure {
            name: self.name,
            unit: self.unit,
            value: rounded(value * self.factor),
            at: None,
            trust: None,
            spread: None,
        }
    }

    fn extreme(&self, extreme: Extreme) -> Figure {
        Figure {
            at: Some(extreme.time_s as f64),
            ..self.plain(extreme.value)
        }
    }

    fn trusted(&self, value: f64, plus_minus: f64) -> Figure {
        Figure {
            trust: Some(rounded(plus_minus * self.factor)),
            ..self.plain(value)
        }
    }
}

/// Every figure, in the order of the roast. `dose_kg` is what the weights are of.
fn figures(dose_kg: f64, found: &Foreseen, spread: Option<&Spread>) -> Vec<Figure> {
    let row = |name, unit, factor| Row { name, unit, factor };
    let with = |figure: Figure, factor, band: fn(&FigureBands) -> &Band| Figure {
        spread: spread.map(|spread| Quantiles::of(band(&spread.figures), factor)),
        ..figure
    };
    let seen = &found.figures;
    let effort = row("greatest_effort", "%", PERCENT);
    let mut figures = vec![
        Figure {
            spread: spread.map(|spread| Quantiles::of(&spread.miss_k, 1.0)),
            ..row("greatest_miss", "K", 1.0).extreme(found.greatest_miss_k)
        },
        row("root_mean_square_miss", "K", 1.0).plain(found.rms_miss_k),
        with(
            Figure {
                trust: Some(rounded(
                    seen.greatest_effort.value * trust::HEATER_POWER * PERCENT,
                )),
                ..effort.extreme(seen.greatest_effort)
            },
            PERCENT,
            |bands| &bands.peak_effort,
        ),
        with(
            row("time_at_heater_limit", "s", 1.0).plain(seen.limited_s as f64),
            1.0,
            |bands| &bands.limited_s,
        ),
        Figure {
            trust: Some(rounded(seen.least_lift.value * trust::LIFT)),
            ..row("least_lift", "1", 1.0).extreme(seen.least_lift)
        },
        with(
            row("heater_energy", "kW.h", 1.0).plain(seen.heater_kwh),
            1.0 / J_PER_KWH,
            |bands| &bands.energy_j,
        ),
    ];
    figures.extend(bean_figures(dose_kg, found, &with));
    if let Some(cooling) = &seen.cooling {
        figures.extend([
            row("cooling_by_probe", "s", 1.0).plain(cooling.probe_s as f64),
            row("cooling_of_beans", "s", 1.0).plain(cooling.mean_s as f64),
        ]);
    }
    figures
}

/// What the beans are like at the drop.
fn bean_figures(
    dose_kg: f64,
    found: &Foreseen,
    with: &impl Fn(Figure, f64, fn(&FigureBands) -> &Band) -> Figure,
) -> Vec<Figure> {
    let row = |name, unit, factor| Row { name, unit, factor };
    let (seen, trace) = (&found.figures, &found.trace);
    let last_c = |list: &[f64]| list.last().copied().unwrap_or_default();
    vec![
        row("greatest_surface_above_core", "K", 1.0).extreme(seen.greatest_spread_k),
        with(
            row("probe_at_drop", "Cel", 1.0).plain(seen.drop_probe_c),
            1.0,
            |bands| &bands.drop_reading_c,
        ),
        with(
            row("surface_at_drop", "Cel", 1.0).trusted(last_c(&trace.surface_c), trust::SURFACE_K),
            1.0,
            |bands| &bands.drop_surface_c,
        ),
        with(
            row("core_at_drop", "Cel", 1.0).trusted(last_c(&trace.core_c), trust::CORE_K),
            1.0,
            |bands| &bands.drop_core_c,
        ),
        with(
            row("mean_at_drop", "Cel", 1.0).plain(seen.drop_mean_c),
            1.0,
            |bands| &bands.drop_mean_c,
        ),
        row("surface_above_core_at_drop", "K", 1.0).plain(seen.drop_spread_k),
        with(
            row("weight_loss", "%", PERCENT).trusted(seen.weight_loss, trust::WEIGHT_LOSS),
            PERCENT,
            |bands| &bands.weight_loss,
        ),
        with(
            row("roasted_weight", "g", G_PER_KG)
                .trusted(seen.roasted_kg, trust::WEIGHT_LOSS * dose_kg),
            G_PER_KG,
            |bands| &bands.roasted_kg,
        ),
        with(
            row("dry_matter_loss", "%", PERCENT).plain(seen.dry_loss),
            PERCENT,
            |bands| &bands.dry_loss,
        ),
        with(
            row("moisture_at_drop", "%", PERCENT).plain(seen.moisture_wb),
            PERCENT,
            |bands| &bands.moisture_wb,
        ),
    ]
}
