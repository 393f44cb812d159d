//! The forecast beside what is drawn, as a block of a report: the few figures that matter, or why there are none.

use crate::{
    derived::Derived,
    forecast_kind::no_forecast_text,
    outlook::{Foreseen, HOLD_ON_S, MET_K, Moments, Outlook},
    plan::Plan,
    units::{
        TempUnit, format_share, format_temp_difference_with_unit, format_temp_shift_with_unit,
        format_temp_with_unit, format_time,
    },
};
use chaffinch_curve::{Phases, Reach};
use chaffinch_twin::{COOL_C, trust};
use std::fmt::{Result, Write};

/// What is written where something doesn't come to pass.
const NEVER: &str = "not reached";

/// Writes the block, from its heading to the caution.
pub(crate) fn write(
    out: &mut String,
    plan: &Plan,
    derived: &Derived,
    outlook: &Outlook,
    unit: TempUnit,
) -> Result {
    let (assumed, of) = outlook.assumed;
    writeln!(
        out,
        "\nForecast (by the physical model; {assumed} of its {of} numbers are assumed)"
    )?;
    let foreseen = match &outlook.roast {
        Ok(foreseen) => foreseen,
        Err(limits) => {
            for limit in limits {
                writeln!(out, "None         {}", no_forecast_text(limit, unit))?;
            }
            return writeln!(out, "{}", trust::CAUTION);
        }
    };
    write_drop(out, plan, derived, foreseen, unit)?;
    write_following(out, foreseen, unit)?;
    write_outcome(out, outlook, foreseen, unit)?;
    writeln!(out, "{}", trust_text(unit))?;
    writeln!(out, "{}", trust::CAUTION)
}

fn write_drop(
    out: &mut String,
    plan: &Plan,
    derived: &Derived,
    foreseen: &Foreseen,
    unit: TempUnit,
) -> Result {
    let last = foreseen.trace.len() - 1;
    let drop = foreseen.moments.drop_s.map_or_else(
        || {
            format!(
                "{NEVER}; the probe reads {} at {}",
                format_temp_with_unit(foreseen.trace.probe_c[last], unit),
                format_time(last as f64)
            )
        },
        |drop_s| {
            let temp = format_temp_with_unit(plan.finish().temp_c, unit);
            format!("{temp} at {}", format_time(drop_s))
        },
    );
    writeln!(out, "Drop         “{}”, {drop}", plan.finish().name)?;
    writeln!(out, "\nPhase        drawn           forecast")?;
    for (name, drawn, expected) in phase_rows(&derived.phases, &foreseen.moments) {
        writeln!(out, "{name:<12} {drawn:<15} {expected}")?;
    }
    Ok(())
}

/// Name, drawn and foreseen length of each phase and of the whole roast.
fn phase_rows(phases: &Phases, moments: &Moments) -> [(&'static str, String, String); 4] {
    let drawn = |reached: Option<f64>| reached.map_or_else(|| NEVER.to_owned(), format_time);
    let reached = |phase: &Reach<chaffinch_curve::Phase>| phase.reached().map(|it| it.duration_s);
    let development = |time_s: Option<f64>, ratio: Option<f64>| match (time_s, ratio) {
        (Some(time_s), Some(ratio)) => format!("{} ({})", format_time(time_s), format_share(ratio)),
        _ => NEVER.to_owned(),
    };
    [
        (
            "Drying",
            drawn(reached(&phases.drying)),
            drawn(moments.drying_s()),
        ),
        (
            "Browning",
            drawn(reached(&phases.browning)),
            drawn(moments.browning_s()),
        ),
        (
            "Development",
            development(
                phases.development_s.reached().copied(),
                phases.development_ratio.reached().copied(),
            ),
            development(moments.development_s(), moments.development_ratio()),
        ),
        (
            "Whole roast",
            drawn(phases.drop.reached().map(|drop| drop.time_s)),
            drawn(moments.drop_s),
        ),
    ]
}

fn write_following(out: &mut String, foreseen: &Foreseen, unit: TempUnit) -> Result {
    let met = foreseen.met_s.map_or_else(
        || {
            format!(
                "never within {}; misses count from charge",
                format_temp_difference_with_unit(MET_K, unit)
            )
        },
        |met_s| {
            let judged = format_time(foreseen.judged_from_s as f64);
            format!(
                "at {}; misses count from {judged}",
                format_time(met_s as f64)
            )
        },
    );
    writeln!(out, "\nMeets curve  {met}")?;
    let miss = foreseen.greatest_miss_k;
    writeln!(
        out,
        "Misses       {} at most, at {}; root mean square {}",
        format_temp_shift_with_unit(miss.value, unit),
        format_time(miss.time_s as f64),
        format_temp_difference_with_unit(foreseen.rms_miss_k, unit)
    )?;
    let (drawn_s, last_s) = (foreseen.drawn_drop_s, foreseen.trace.len() - 1);
    // The drop is read from the display, which comes up to a second after the curve even on a perfect machine.
    if drawn_s + 1 < last_s {
        writeln!(
            out,
            "Held on      past the drawn drop, for {} at most; behind its end the curve goes on at its last rise",
            format_time(HOLD_ON_S as f64)
        )?;
    }
    Ok(())
}

fn write_outcome(
    out: &mut String,
    outlook: &Outlook,
    foreseen: &Foreseen,
    unit: TempUnit,
) -> Result {
    let figures = &foreseen.figures;
    writeln!(
        out,
        "Weight loss  {} ± {:.0} points before calibration",
        format_share(figures.weight_loss),
        trust::WEIGHT_LOSS * 100.0
    )?;
    writeln!(
        out,
        "Roasted      {} from {} of green beans",
        grams(figures.roasted_kg),
        grams(outlook.sheets.lot.dose_kg)
    )?;
    writeln!(
        out,
        "Energy       {:.2} kWh of the heater, from charge to drop",
        figures.heater_kwh
    )?;
    let cooling = figures.cooling.map_or_else(
        || "not to be had with air of this room".to_owned(),
        |cooling| {
            format!(
                "{} or more, with the fan full on",
                format_time(cooling.probe_s as f64)
            )
        },
    );
    writeln!(
        out,
        "Cooling      to {}: {cooling}",
        format_temp_with_unit(COOL_C, unit)
    )
}

/// “176 g”.
pub(crate) fn grams(kilograms: f64) -> String {
    format!("{:.0} g", kilograms * 1000.0)
}

/// How far the figures may be trusted, in a sentence.
fn trust_text(unit: TempUnit) -> String {
    let size = |kelvin| format_temp_difference_with_unit(kelvin, unit);
    format!(
        "Until your own roasts have calibrated the model, trust the weight loss to ± {:.0} points, the beans' surface to ± {}, their centre to ± {}, and the heater's power to ± {:.0} %; the first minute is rough, and cooling takes longer than told. First crack is told by your mark: when beans crack, the model doesn't know.",
        trust::WEIGHT_LOSS * 100.0,
        size(trust::SURFACE_K),
        size(trust::CORE_K),
        trust::HEATER_POWER * 100.0
    )
}
