//! What the forecast says of one finish of the ladder: short for its second line, whole for its explanation.

use chaffinch_craft::{
    ColourCalibration, ColourForecast, Finish, FinishDrop, FinishSpread, no_forecast_text,
    spread_about, units,
};
use chaffinch_twin::NoDrop;

use super::{NOT_REACHED, trust_words};
use crate::desk::model::Model;

/// The forecast of one finish in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct FinishSaid {
    /// Time of the drop and weight loss, the widest first: with the spread, without it, the time alone.
    pub(super) figures: Vec<String>,
    /// The colour; empty where there is no drop.
    pub(super) colour: String,
    /// In full.
    pub(super) forecast: String,
    /// What colour and weight loss rest on, and how far to trust them.
    pub(super) trust: String,
}

impl FinishSaid {
    /// As the model stands; nothing where the model can't take the plan's numbers.
    pub(super) fn of(
        model: &Model<'_>,
        colours: &ColourCalibration,
        finish: &Finish,
    ) -> Option<Self> {
        let mut ladder = model.outlook.finishes.iter();
        let forecast = ladder.find(|forecast| forecast.id == finish.id)?;
        let drop = match &forecast.drop {
            Ok(drop) => drop,
            Err(NoDrop::NotReached) => {
                let (painted, spoken) = (NOT_REACHED.painted, NOT_REACHED.spoken);
                return Some(Self::without_drop(painted, format!("Forecast: {spoken}.")));
            }
            Err(NoDrop::Off(limits)) => {
                let reasons = limits
                    .iter()
                    .map(|limit| no_forecast_text(limit, model.unit));
                let reasons = reasons.collect::<Vec<_>>().join(" ");
                return Some(Self::without_drop("no forecast", reasons));
            }
        };
        let spread = model
            .spread
            .and_then(|spread| spread.finishes.iter().find(|spread| spread.id == finish.id));
        let colour = colours.forecast(drop.weight_loss, drop.dry_loss);
        Some(Self::with_drop(drop, spread, &colour))
    }

    fn without_drop(painted: &str, forecast: String) -> Self {
        Self {
            figures: vec![painted.to_owned()],
            colour: String::new(),
            forecast,
            trust: String::new(),
        }
    }

    fn with_drop(
        drop: &FinishDrop,
        spread: Option<&FinishSpread>,
        colour: &ColourForecast,
    ) -> Self {
        let time = units::format_time(drop.time_s);
        let loss = units::format_share(drop.weight_loss);
        let narrow = format!("{time} · {loss}");
        let wide = spread.map(|spread| {
            let about = spread_about(drop.weight_loss, &spread.weight_loss);
            let about = units::format_number(units::percent_from_share(about), 1);
            format!("{time} · {} ± {about} %", loss.trim_end_matches(" %"))
        });
        let ends = spread.map_or_else(String::new, |spread| {
            let ends = [spread.weight_loss.p10, spread.weight_loss.p90];
            let [from, to] = ends.map(units::format_share);
            format!(" (80 of 100 roasts that vary from day to day lose {from} to {to})")
        });
        let development = match (drop.development_s, drop.development_ratio) {
            (Some(time_s), Some(ratio)) => format!(
                ", development {}, {} of the roast",
                units::format_time(time_s),
                units::format_share(ratio)
            ),
            _ => ", before first crack".to_owned(),
        };
        Self {
            figures: wide.into_iter().chain([narrow, time.clone()]).collect(),
            // As narrow as it can be told.
            colour: colour.words().replace(" … ", "–"),
            forecast: format!(
                "Forecast: drop at {time}{development}, weight loss {loss}{ends}, colour {}.",
                colour.words()
            ),
            trust: format!(
                "Weight loss: {} Colour: {}",
                trust_words::weight_loss(),
                colour.basis()
            ),
        }
    }
}
