//! The forecast in words: the report that the command prints.

use crate::{
    colour_forecast::ColourCalibration,
    derived::Derived,
    findings::all_findings,
    finish_text::{self, Beside},
    forecast_block::{self, grams},
    outlook::{Foreseen, Outlook},
    plan::Plan,
    spread::Spread,
    summary::write_findings,
    units::{
        TempUnit, describe_rise, format_rise_with_unit, format_share,
        format_temp_difference_with_unit, format_temp_shift_with_unit, format_temp_with_unit,
        format_time,
    },
};
use chaffinch_twin::{
    Bound, Cause, EMPTY_TARGET_C, J_PER_KWH,
    bands::{Band, MarkBand, ROASTS},
    trust,
};
use std::fmt::{Result, Write};

/// The forecast of `plan` as a plain-text report, temperatures in `unit`; ends with a line break. All must be of the same plan.
///
/// Without `spread` the report says that the spread wasn't asked for; where there is no forecast it says why and leaves the rest out.
/// `colours` is what the notebook's colour readings say.
pub fn forecast_text(
    (plan, derived, outlook): (&Plan, &Derived, &Outlook),
    spread: Option<&Spread>,
    colours: &ColourCalibration,
    unit: TempUnit,
) -> String {
    let mut text = String::new();
    let beside = Beside {
        spread,
        colours: Some(colours),
    };
    // Writing to a String can't fail.
    let _ = write_report(&mut text, (plan, derived, outlook), beside, unit);
    text
}

fn write_report(
    out: &mut String,
    (plan, derived, outlook): (&Plan, &Derived, &Outlook),
    beside: Beside<'_>,
    unit: TempUnit,
) -> Result {
    writeln!(out, "{}", plan.title)?;
    forecast_block::write(out, plan, derived, outlook, unit)?;
    finish_text::write(out, (plan, derived, outlook), beside, unit)?;
    if let Some(foreseen) = outlook.foreseen() {
        write_spread(out, foreseen, beside.spread, unit)?;
        write_beans(out, foreseen, unit)?;
        write_machine(out, foreseen, unit)?;
        write_reach(out, plan, outlook, unit)?;
    }
    write_empty_run(out, outlook, unit)?;
    write_findings(out, &all_findings(derived, outlook), unit)
}

/// One row of the table of the spread: a name, the forecast, and the band.
struct Row {
    name: &'static str,
    value: Option<f64>,
    band: Option<Band>,
    text: fn(f64, TempUnit) -> String,
}

fn write_spread(
    out: &mut String,
    foreseen: &Foreseen,
    spread: Option<&Spread>,
    unit: TempUnit,
) -> Result {
    writeln!(out, "\nSpread of {ROASTS} roasts under everyday variation")?;
    let Some(spread) = spread else {
        return writeln!(out, "Not reckoned.");
    };
    writeln!(
        out,
        "              forecast    80 of 100 lie in        98 of 100 lie in"
    )?;
    for row in rows(foreseen, spread) {
        let shown = |value| (row.text)(value, unit);
        let none = || "–".to_owned();
        let range = |from, to| format!("{} to {}", shown(from), shown(to));
        let inner = row.band.map_or_else(none, |band| range(band.p10, band.p90));
        let outer = row.band.map_or_else(none, |band| range(band.p01, band.p99));
        let value = row.value.map_or_else(none, shown);
        writeln!(out, "{:<13} {value:<11} {inner:<23} {outer}", row.name)?;
    }
    let reached = |mark: &MarkBand| mark.reached_share;
    if reached(&spread.drop) < 1.0 {
        writeln!(
            out,
            "{} of the roasts reach the drop temperature; times and phases are of those.",
            format_share(reached(&spread.drop))
        )?;
    }
    writeln!(
        out,
        "Centre, weights and energy are those of each roast at {}, the forecast drop, whatever its probe reads then.",
        format_time((foreseen.trace.len() - 1) as f64)
    )?;
    writeln!(
        out,
        "What the model itself gets wrong comes on top, but for the beans' own heat."
    )
}

fn rows(foreseen: &Foreseen, spread: &Spread) -> [Row; 11] {
    let (figures, moments) = (&foreseen.figures, &foreseen.moments);
    let time: fn(f64, TempUnit) -> String = |time_s, _| format_time(time_s);
    let share: fn(f64, TempUnit) -> String = |share, _| format_share(share);
    let row = |name, value, band, text| Row {
        name,
        value,
        band,
        text,
    };
    let last = foreseen.trace.len() - 1;
    [
        row(
            "Colour change",
            moments.colour_change_s,
            spread.colour_change.time_s,
            time,
        ),
        row(
            "First crack",
            moments.first_crack_s,
            spread.first_crack.time_s,
            time,
        ),
        row("Drop", moments.drop_s, spread.drop.time_s, time),
        row(
            "Browning",
            moments.browning_s(),
            spread.browning.duration_s,
            time,
        ),
        row(
            "Development",
            moments.development_s(),
            spread.development.duration_s,
            time,
        ),
        row(
            "… ratio",
            moments.development_ratio(),
            spread.development.share,
            share,
        ),
        row(
            "Largest miss",
            Some(foreseen.greatest_miss_k.value),
            Some(spread.miss_k),
            format_temp_shift_with_unit,
        ),
        row(
            "Bean centre",
            Some(foreseen.trace.core_c[last]),
            Some(spread.figures.drop_core_c),
            format_temp_with_unit,
        ),
        row(
            "Weight loss",
            Some(figures.weight_loss),
            Some(spread.figures.weight_loss),
            share,
        ),
        row(
            "Roasted",
            Some(figures.roasted_kg),
            Some(spread.figures.roasted_kg),
            |kilograms, _| grams(kilograms),
        ),
        row(
            "Energy",
            Some(figures.heater_kwh * J_PER_KWH),
            Some(spread.figures.energy_j),
            |joules, _| format!("{:.2} kWh", joules / J_PER_KWH),
        ),
    ]
}

fn write_beans(out: &mut String, foreseen: &Foreseen, unit: TempUnit) -> Result {
    let (trace, figures) = (&foreseen.trace, &foreseen.figures);
    let last = trace.len() - 1;
    let temp = |temp_c| format_temp_with_unit(temp_c, unit);
    let size = |kelvin| format_temp_difference_with_unit(kelvin, unit);
    writeln!(out, "\nBeans at the drop")?;
    writeln!(
        out,
        "Surface      {} ± {}",
        temp(trace.surface_c[last]),
        size(trust::SURFACE_K)
    )?;
    writeln!(
        out,
        "Centre       {} ± {}, {} below the surface",
        temp(trace.core_c[last]),
        size(trust::CORE_K),
        size(figures.drop_spread_k)
    )?;
    let widest = figures.greatest_spread_k;
    writeln!(
        out,
        "Widest gap   {} between surface and centre, at {}",
        size(widest.value),
        format_time(widest.time_s as f64)
    )?;
    writeln!(out, "Moisture     {}", format_share(figures.moisture_wb))
}

fn write_machine(out: &mut String, foreseen: &Foreseen, unit: TempUnit) -> Result {
    let (trace, figures) = (&foreseen.trace, &foreseen.figures);
    let last = trace.len() - 1;
    let temp = |temp_c| format_temp_with_unit(temp_c, unit);
    writeln!(out, "\nMachine")?;
    writeln!(
        out,
        "Air          {} in and {} out at the drop",
        temp(trace.inlet_c[last]),
        temp(trace.outlet_c[last])
    )?;
    let effort = figures.greatest_effort;
    writeln!(
        out,
        "Heater       {:.0} % at most, at {}; at its limit for {}",
        effort.value * 100.0,
        format_time(effort.time_s as f64),
        format_time(figures.limited_s as f64)
    )?;
    let lift = figures.least_lift;
    writeln!(
        out,
        "Airflow      at least {:.2} times what lifts the beans, at {}; what lifts them is known to ± {:.0} %",
        lift.value,
        format_time(lift.time_s as f64),
        trust::LIFT * 100.0
    )
}

/// Where curve and reach come closest, upwards and downwards, from charge to the drawn drop.
fn write_reach(out: &mut String, plan: &Plan, outlook: &Outlook, unit: TempUnit) -> Result {
    let (Some(reach), Some(foreseen)) = (&outlook.reach, outlook.foreseen()) else {
        return Ok(());
    };
    writeln!(out, "\nReach (what this machine could follow)")?;
    let sides = [
        ("Upward", &reach.fastest, 1.0, "fastest"),
        ("Downward", &reach.slowest, -1.0, "slowest"),
    ];
    for (name, bounds, sign, edge) in sides {
        let Some((second, drawn, bound)) = tightest(plan, bounds, foreseen.drawn_drop_s, sign)
        else {
            continue;
        };
        let margin = sign * (bound.rise_c_per_s - drawn);
        let verdict = if margin < 0.0 {
            format!("{} too much", format_rise_with_unit(-margin, unit))
        } else {
            format!("{} to spare", format_rise_with_unit(margin, unit))
        };
        writeln!(
            out,
            "{name:<12} tightest at {}: {} drawn, the {edge} is {} ({}); {verdict}",
            format_time(second as f64),
            describe_rise(drawn, unit),
            describe_rise(bound.rise_c_per_s, unit),
            bound.cause.words()
        )?;
    }
    Ok(())
}

/// Second, drawn rise and bound where the margin between the two is least, up to `last_s`.
fn tightest(
    plan: &Plan,
    bounds: &[Bound],
    last_s: usize,
    sign: f64,
) -> Option<(usize, f64, Bound)> {
    let drawn = bounds.iter().enumerate().map(|(second, &bound)| {
        let drawn = plan.curve.rise_c_per_s(second as f64);
        (second, drawn, bound)
    });
    let margin = |&(_, drawn, bound): &(usize, f64, Bound)| sign * (bound.rise_c_per_s - drawn);
    drawn
        .take_while(|(second, ..)| *second <= last_s)
        // What the controller fails at is no matter of reach.
        .filter(|(_, _, bound)| bound.cause != Cause::ControllerLag)
        .min_by(|a, b| margin(a).total_cmp(&margin(b)))
}

fn write_empty_run(out: &mut String, outlook: &Outlook, unit: TempUnit) -> Result {
    let target = format_temp_with_unit(EMPTY_TARGET_C, unit);
    writeln!(out, "\nCheck of the heater")?;
    match outlook.empty_run_s {
        Some(time_s) => writeln!(
            out,
            "Empty and cold, with heater and fan full on, this machine's probe should pass {target} after about {time_s:.0} s. If it takes much longer, look at heater, mains and fan. Stay with it."
        ),
        None => writeln!(
            out,
            "Empty and cold, with heater and fan full on, this machine's probe would not get to {target}: by its sheet the heater is too weak for its fan."
        ),
    }
}
