//! A comparison in words: the report that the command prints.

use crate::{
    compare::{Alignment, Comparison, DifferenceFigures},
    limits::COMPARISON_BAND_C,
    plan::Plan,
    units::{
        TempUnit, format_temp_difference_with_unit, format_temp_shift_with_unit,
        format_temp_with_unit, format_time, format_time_shift,
    },
};
use std::fmt::Write;

/// The figures of `other` minus `plan`, lined up by `alignment`, as a plain-text report; ends with a line break.
///
/// Differences are in `unit`. `comparison` must be of these two plans, with [`COMPARISON_BAND_C`].
pub fn comparison_text(
    plan: &Plan,
    other: &Plan,
    (alignment, comparison): (Alignment, &Comparison),
    unit: TempUnit,
) -> String {
    let mut text = String::new();
    // Writing to a String can't fail.
    let _ = write_comparison(&mut text, plan, other, (alignment, comparison), unit);
    text
}

fn write_comparison(
    out: &mut String,
    plan: &Plan,
    other: &Plan,
    (alignment, comparison): (Alignment, &Comparison),
    unit: TempUnit,
) -> std::fmt::Result {
    for (name, plan) in [("This plan", plan), ("Other", other)] {
        let drop = format_temp_with_unit(plan.finish().temp_c, unit);
        writeln!(out, "{name:<17} “{}”, drops at {drop}", plan.title)?;
    }
    writeln!(
        out,
        "Lined up at       {}",
        alignment.label().to_lowercase()
    )?;
    match comparison.shift_s {
        Some(shift_s) => writeln!(out, "Shifted in time   {}", format_time_shift(shift_s))?,
        None if alignment == Alignment::BestFit => writeln!(
            out,
            "                  at no shift do they have enough in common, so they are lined up at charge"
        )?,
        None => writeln!(
            out,
            "                  one of them never reaches it, so they are lined up at charge"
        )?,
    }
    writeln!(out, "\nOther minus this plan")?;
    match comparison.figures {
        Some(figures) => write_figures(out, &figures, unit),
        None => writeln!(
            out,
            "The two share no moment when they are lined up like this."
        ),
    }
}

fn write_figures(
    out: &mut String,
    figures: &DifferenceFigures,
    unit: TempUnit,
) -> std::fmt::Result {
    let shift = |shift_c| format_temp_shift_with_unit(shift_c, unit);
    let size = |size_c| format_temp_difference_with_unit(size_c, unit);
    writeln!(out, "Mean              {}", shift(figures.mean_c))?;
    writeln!(out, "Root mean square  {}", size(figures.rms_c))?;
    writeln!(
        out,
        "Largest           {} at {}",
        shift(figures.largest_c),
        format_time(figures.largest_at_s)
    )?;
    writeln!(
        out,
        "Further off       {} in all, by more than {}",
        format_time(figures.outside_s),
        size(COMPARISON_BAND_C)
    )
}
