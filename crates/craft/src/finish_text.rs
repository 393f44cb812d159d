//! The ladder of finishes in a report: drawn and forecast drop, development, weight loss and colour, one line a finish.

use crate::{
    colour_forecast::{ColourCalibration, ColourForecast},
    derived::Derived,
    finish_forecast::{FinishDrop, FinishForecast},
    finishes::{Finish, FinishId},
    forecast_kind::no_forecast_text,
    outlook::Outlook,
    plan::Plan,
    spread::{Spread, spread_about},
    units::{
        TempUnit, format_number, format_share, format_temp_with_unit, format_time,
        percent_from_share,
    },
};
use chaffinch_twin::NoDrop;
use std::fmt::{Result, Write};

/// What is written where a finish is never read.
const NOT_REACHED: &str = "not reached";
/// What is written where a drop comes first.
const BEFORE_CRACK: &str = "before crack";

/// What is known beside plan and outlook; either may be missing.
#[derive(Clone, Copy, Default)]
pub(crate) struct Beside<'a> {
    /// How far the forecast spreads.
    pub(crate) spread: Option<&'a Spread>,
    /// What colour readings say; without it there is no column of colours.
    pub(crate) colours: Option<&'a ColourCalibration>,
}

/// Writes the ladder, hottest last; nothing where no finish has a forecast.
pub(crate) fn write(
    out: &mut String,
    (plan, derived, outlook): (&Plan, &Derived, &Outlook),
    beside: Beside<'_>,
    unit: TempUnit,
) -> Result {
    if outlook.finishes.iter().all(|finish| finish.drop.is_err()) {
        return Ok(());
    }
    let names = plan.finishes.finishes().iter();
    let width = names.map(|finish| finish.name.chars().count()).max();
    let width = width.unwrap_or(0).max(11);
    let colour = beside.colours.map_or("", |_| "colour");
    let head = format!(
        "\n{:<width$}  {:<9} {:<9} {:<9} {:<15} {:<15} {colour}",
        "Finish", "drop", "drawn", "forecast", "development", "weight loss"
    );
    writeln!(out, "{}", head.trim_end())?;
    let ladder = plan.finishes.finishes().iter().zip(&derived.finishes);
    for ((finish, drawn), forecast) in ladder.zip(&outlook.finishes) {
        let chosen = if finish.id == plan.finish().id {
            "*"
        } else {
            " "
        };
        let drawn = drawn.drop.reached().map(|drop| format_time(drop.time_s));
        let row = format!(
            "{chosen}{:<width$} {:<9} {:<9} {}",
            finish.name,
            format_temp_with_unit(finish.temp_c, unit),
            drawn.as_deref().unwrap_or("never"),
            forecast_columns(finish, forecast, beside, unit)
        );
        writeln!(out, "{}", row.trim_end())?;
    }
    write_notes(out, outlook, beside)
}

fn forecast_columns(
    finish: &Finish,
    forecast: &FinishForecast,
    beside: Beside<'_>,
    unit: TempUnit,
) -> String {
    let drop = match &forecast.drop {
        Ok(drop) => drop,
        Err(NoDrop::NotReached) => return NOT_REACHED.to_owned(),
        Err(NoDrop::Off(limits)) => {
            let reason = limits.first().map(|limit| no_forecast_text(limit, unit));
            return format!("none: {}", reason.unwrap_or_default());
        }
    };
    let development = match (drop.development_s, drop.development_ratio) {
        (Some(time_s), Some(ratio)) => {
            format!("{} ({})", format_time(time_s), format_share(ratio))
        }
        _ => BEFORE_CRACK.to_owned(),
    };
    let colour = beside.colours.map(|colours| colour(colours, drop).words());
    format!(
        "{:<9} {development:<15} {:<15} {}",
        format_time(drop.time_s),
        weight_loss(finish.id, drop, beside.spread),
        colour.unwrap_or_default()
    )
}

/// “13.9 % ± 0.8”.
fn weight_loss(id: FinishId, drop: &FinishDrop, spread: Option<&Spread>) -> String {
    let share = format_share(drop.weight_loss);
    let found = spread.and_then(|spread| spread.finishes.iter().find(|finish| finish.id == id));
    found.map_or(share.clone(), |found| {
        let about = spread_about(drop.weight_loss, &found.weight_loss);
        format!("{share} ± {}", format_number(percent_from_share(about), 1))
    })
}

fn colour(colours: &ColourCalibration, drop: &FinishDrop) -> ColourForecast {
    colours.forecast(drop.weight_loss, drop.dry_loss)
}

/// What the columns rest on.
fn write_notes(out: &mut String, outlook: &Outlook, beside: Beside<'_>) -> Result {
    if beside.spread.is_some() {
        writeln!(
            out,
            "± holds what 80 of 100 roasts lose by the second of the forecast drop; what the model gets wrong comes on top."
        )?;
    }
    let Some(colours) = beside.colours else {
        return Ok(());
    };
    let drops = outlook.finishes.iter().filter_map(FinishForecast::dropped);
    let mut said = Vec::new();
    for basis in drops.map(|drop| colour(colours, drop).basis()) {
        if !said.contains(&basis) {
            writeln!(out, "Colour: {basis}")?;
            said.push(basis);
        }
    }
    Ok(())
}
