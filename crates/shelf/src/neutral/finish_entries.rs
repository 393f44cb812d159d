//! The ladder of finishes as forecast, for programs: each as if it were chosen.

use super::forecast_figures::{LimitEntry, PERCENT, Quantiles};
use crate::samples::rounded;
use chaffinch_craft::{
    ColourCalibration, ColourForecast, ColourSample, FinishForecast, Outlook, Plan, RoastColour,
    Spread,
};
use chaffinch_twin::{NoDrop, trust};
use serde::Serialize;

/// One finish. Times in s, shares of the roast 0–1, losses in %; all null where there is no drop, and `limits` says why the model
/// can't tell, if it can't.
#[derive(Serialize)]
pub(super) struct FinishEntry<'a> {
    name: &'a str,
    /// In °C.
    temperature: f64,
    is_chosen: bool,
    limits: Vec<LimitEntry>,
    time: Option<f64>,
    development: Option<f64>,
    development_share: Option<f64>,
    weight_loss: Option<Loss>,
    dry_matter_loss: Option<Loss>,
    /// Missing where no colour readings were looked at.
    #[serde(skip_serializing_if = "Option::is_none")]
    colour: Option<ColourEntry>,
}

/// A loss in %.
#[derive(Serialize)]
struct Loss {
    value: f64,
    /// Plus or minus, in %, until roasts have calibrated the model; missing where nothing is stated.
    #[serde(skip_serializing_if = "Option::is_none")]
    trust: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    spread: Option<Quantiles>,
}

/// A colour with its range from readings of one's own, or a broad range in words; `basis` says which and how far to trust it.
#[derive(Serialize)]
struct ColourEntry {
    basis: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    foreseen: Option<Foreseen>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lightest: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    darkest: Option<&'static str>,
}

#[derive(Serialize)]
struct Foreseen {
    /// L*, a*, b*; missing on the other scale.
    #[serde(skip_serializing_if = "Option::is_none")]
    lab: Option<[f64; 3]>,
    /// 25 to 95; missing on the other scale.
    #[serde(skip_serializing_if = "Option::is_none")]
    disc: Option<f64>,
    /// Of L* or the disc; 80 of 100 readings lie inside.
    plus_minus: f64,
    sample: &'static str,
    readings: usize,
}

/// The ladder in its order, coolest first; empty where the model can't take the plan's numbers.
pub(super) fn finish_entries<'a>(
    plan: &'a Plan,
    outlook: &Outlook,
    spread: Option<&Spread>,
    colours: Option<&ColourCalibration>,
) -> Vec<FinishEntry<'a>> {
    let ladder = plan.finishes.finishes().iter().zip(&outlook.finishes);
    let entry = |(finish, forecast): (&'a chaffinch_craft::Finish, &FinishForecast)| {
        let bands =
            spread.and_then(|spread| spread.finishes.iter().find(|bands| bands.id == finish.id));
        let drop = forecast.dropped();
        let loss = |value: f64, trust: Option<f64>, spread| Loss {
            value: rounded(value * PERCENT),
            trust: trust.map(|trust| rounded(trust * PERCENT)),
            spread,
        };
        FinishEntry {
            name: &finish.name,
            temperature: finish.temp_c,
            is_chosen: finish.id == plan.finish().id,
            limits: match &forecast.drop {
                Err(NoDrop::Off(limits)) => limits.iter().map(LimitEntry::of).collect(),
                Ok(_) | Err(NoDrop::NotReached) => Vec::new(),
            },
            time: drop.map(|drop| rounded(drop.time_s)),
            development: drop.and_then(|drop| drop.development_s).map(rounded),
            development_share: drop.and_then(|drop| drop.development_ratio).map(rounded),
            weight_loss: drop.map(|drop| {
                let spread = bands.map(|bands| Quantiles::of(&bands.weight_loss, PERCENT));
                loss(drop.weight_loss, Some(trust::WEIGHT_LOSS), spread)
            }),
            dry_matter_loss: drop.map(|drop| {
                let spread = bands.map(|bands| Quantiles::of(&bands.dry_loss, PERCENT));
                loss(drop.dry_loss, None, spread)
            }),
            colour: drop.zip(colours).map(|(drop, colours)| {
                ColourEntry::of(&colours.forecast(drop.weight_loss, drop.dry_loss))
            }),
        }
    };
    ladder.map(entry).collect()
}

impl ColourEntry {
    fn of(forecast: &ColourForecast) -> Self {
        let words = match forecast {
            ColourForecast::Calibrated(_) => None,
            ColourForecast::Broad(broad, _) => Some(broad),
        };
        Self {
            basis: forecast.basis(),
            foreseen: match forecast {
                ColourForecast::Calibrated(found) => Some(Foreseen {
                    lab: match found.colour {
                        RoastColour::Lab(lab) => Some([lab.lightness, lab.a, lab.b].map(rounded)),
                        RoastColour::Disc(_) => None,
                    },
                    disc: match found.colour {
                        RoastColour::Lab(_) => None,
                        RoastColour::Disc(disc) => Some(rounded(disc)),
                    },
                    plus_minus: rounded(found.plus_minus),
                    sample: match found.sample {
                        ColourSample::WholeBean => "whole_bean",
                        ColourSample::Ground => "ground",
                    },
                    readings: found.readings,
                }),
                ColourForecast::Broad(..) => None,
            },
            lightest: words.map(|words| words.lightest.word()),
            darkest: words.map(|words| words.darkest.word()),
        }
    }
}
