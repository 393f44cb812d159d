//! `forecast`: what machine and beans will do with a plan, in words, for programs, or second by second.

use super::{
    CommandError, Outcome,
    arguments::ForecastFormat,
    error::{check_not_input, extension},
    input::{colours, read},
    output::print,
};
use chaffinch_craft::{
    Derived, Outlook, Plan, Spread, SpreadRequest, forecast_text, no_forecast_text, units::TempUnit,
};
use chaffinch_shelf::{ForecastReport, forecast_csv, save_text};
use std::{path::Path, sync::atomic::AtomicBool};

/// What was asked for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wish<'a> {
    /// How it is written; as the output's extension says where nothing was said.
    pub(super) format: Option<ForecastFormat>,
    /// Where it goes; standard output if nowhere else.
    pub(super) output: Option<&'a Path>,
    /// Without the spread of many roasts.
    pub(super) is_single: bool,
    /// Unit of temperature in text.
    pub(super) unit: TempUnit,
}

pub(super) fn run(path: &Path, wish: Wish<'_>) -> Result<Outcome, CommandError> {
    // Wrong use is told before anything is read or worked out.
    let format = format_of(wish)?;
    let plan = read(path)?;
    if let Some(output) = wish.output {
        check_not_input(path, output)?;
    }
    let outlook = Outlook::of(&plan);
    let text = match format {
        ForecastFormat::Text => {
            let spread = spread(&plan, &outlook, wish)?;
            let derived = Derived::of(&plan);
            let of = (&plan, &derived, &outlook);
            forecast_text(of, spread.as_ref(), &colours(path), wish.unit)
        }
        ForecastFormat::Json => {
            let spread = spread(&plan, &outlook, wish)?;
            let derived = Derived::of(&plan);
            let of = (&plan, &derived, &outlook);
            let report = ForecastReport::of(of, spread.as_ref(), &colours(path));
            report.to_json()
        }
        ForecastFormat::Csv => forecast_csv(&outlook).ok_or_else(|| {
            let limits = outlook.limits().iter();
            let reasons = limits.map(|limit| no_forecast_text(limit, wish.unit));
            CommandError::NoForecast {
                reasons: reasons.collect::<Vec<_>>().join(" "),
            }
        })?,
    };
    match wish.output {
        None => print(&text)?,
        Some(output) => {
            save_text(output, &text)?;
            print(&format!("Written to {}\n", output.display()))?;
        }
    }
    Ok(match outlook.foreseen() {
        Some(_) => Outcome::Fine,
        None => Outcome::Findings,
    })
}

/// The format that was named, or that the output's extension says.
fn format_of(wish: Wish<'_>) -> Result<ForecastFormat, CommandError> {
    let Some(output) = wish.output else {
        return Ok(wish.format.unwrap_or(ForecastFormat::Text));
    };
    let found = extension(output);
    let all = [
        ForecastFormat::Text,
        ForecastFormat::Json,
        ForecastFormat::Csv,
    ];
    let by_name = all
        .into_iter()
        .find(|format| found.eq_ignore_ascii_case(format.extension()));
    match (wish.format, by_name) {
        (None, Some(format)) => Ok(format),
        (Some(format), Some(by_name)) if format == by_name => Ok(format),
        (format, _) => Err(CommandError::NoReportName {
            path: output.to_owned(),
            found,
            expected: format.map_or("txt, .json or .csv", ForecastFormat::extension),
        }),
    }
}

/// How far the forecast spreads; nothing where there is none, or none was wanted.
fn spread(plan: &Plan, outlook: &Outlook, wish: Wish<'_>) -> Result<Option<Spread>, CommandError> {
    if wish.is_single {
        return Ok(None);
    }
    match SpreadRequest::of(plan, outlook) {
        // Nobody cancels a command but by ending it.
        Some(request) => Ok(request.run(&AtomicBool::new(false))?),
        None => Ok(None),
    }
}
