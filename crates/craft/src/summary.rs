//! A plan in words: the report that the command prints, and the sentence that a screen reader speaks.

use crate::{
    derived::Derived,
    findings::{Finding, all_findings, count_by_severity},
    finish_text::{self, Beside},
    forecast_block,
    forecast_kind::no_forecast_text,
    outlook::Outlook,
    plan::Plan,
    units::{
        TempUnit, describe_rise, format_rise_with_unit, format_share,
        format_temp_difference_with_unit, format_temp_with_unit, format_time,
    },
};
use chaffinch_curve::{Passage, Phase, Reach, Shape};
use std::fmt::Write;

/// What is written where the curve doesn't get to.
const NOT_REACHED: &str = "not reached";
/// What is written for the development when the drop is reached, but not after first crack.
const BEFORE_FIRST_CRACK: &str = "before first crack";
/// What is written where there is no finding.
const NO_FINDINGS: &str = "Nothing stands against this curve.";

/// The plan's figures as a plain-text report, temperatures in `unit`; ends with a line break.
///
/// Figures of the curve and figures of the forecast stand apart. All must be of the same plan.
pub fn summary_text(plan: &Plan, derived: &Derived, outlook: &Outlook, unit: TempUnit) -> String {
    let mut text = String::new();
    // Writing to a String can't fail.
    let _ = write_summary(&mut text, plan, derived, outlook, unit);
    text
}

fn write_summary(
    out: &mut String,
    plan: &Plan,
    derived: &Derived,
    outlook: &Outlook,
    unit: TempUnit,
) -> std::fmt::Result {
    let phases = &derived.phases;
    writeln!(out, "{}", plan.title)?;
    writeln!(out, "Coffee       {}", plan.lot.headline())?;
    writeln!(
        out,
        "Curve        {} points, {}, {} to {}",
        plan.curve.points().len(),
        shape_word(plan.curve.shape()),
        format_temp_with_unit(plan.curve.points()[0].temp_c, unit),
        format_temp_with_unit(plan.curve.last().temp_c, unit)
    )?;
    writeln!(out, "\nDrawn (figures of the curve, not a forecast)")?;
    writeln!(
        out,
        "Drop         “{}”, {}",
        plan.finish().name,
        passage_text(&phases.drop, unit)
    )?;
    writeln!(
        out,
        "Development  {}",
        development_text(
            (&phases.development_s, &phases.development_ratio),
            &phases.drop,
            |time, share| format!("{time}, ratio {share}")
        )
    )?;
    for (name, passage) in [
        ("Colour change", &phases.colour_change),
        ("First crack  ", &phases.first_crack),
    ] {
        writeln!(out, "{name}  {}", passage_text(passage, unit))?;
    }
    writeln!(
        out,
        "\nPhase        duration    share   mean rise     peak rise"
    )?;
    for (name, phase) in [
        ("Drying", &phases.drying),
        ("Browning", &phases.browning),
        ("Development", &phases.development),
    ] {
        let text = match phase.reached() {
            None if name == "Development" && phases.drop.is_reached() => {
                BEFORE_FIRST_CRACK.to_owned()
            }
            _ => phase_text(phase, unit),
        };
        writeln!(out, "{name:<12} {text}")?;
    }
    write_finishes(out, plan, derived, unit)?;
    forecast_block::write(out, plan, derived, outlook, unit)?;
    finish_text::write(out, (plan, derived, outlook), Beside::default(), unit)?;
    write_findings(out, &all_findings(derived, outlook), unit)
}

fn write_finishes(
    out: &mut String,
    plan: &Plan,
    derived: &Derived,
    unit: TempUnit,
) -> std::fmt::Result {
    let names = plan.finishes.finishes().iter();
    let width = names
        .map(|finish| finish.name.chars().count())
        .max()
        .unwrap_or(0)
        .max(11);
    writeln!(
        out,
        "\n{:<width$}  drop        time    development",
        "Finish"
    )?;
    for (finish, outcome) in plan.finishes.finishes().iter().zip(&derived.finishes) {
        let chosen = if finish.id == plan.finish().id {
            "*"
        } else {
            " "
        };
        writeln!(
            out,
            "{chosen}{:<width$} {:<11} {}",
            finish.name,
            format_temp_with_unit(finish.temp_c, unit),
            reach_text(&outcome.drop, |drop| {
                let development = development_text(
                    (&outcome.development_s, &outcome.development_ratio),
                    &outcome.drop,
                    |time, share| format!("{time} ({share})"),
                );
                format!("{:<7} {development}", format_time(drop.time_s))
            }),
        )?;
    }
    Ok(())
}

/// The findings, one a line, under their heading.
pub(crate) fn write_findings(
    out: &mut String,
    findings: &[Finding],
    unit: TempUnit,
) -> std::fmt::Result {
    writeln!(out, "\nFindings")?;
    if findings.is_empty() {
        writeln!(out, "{NO_FINDINGS}")?;
    }
    for finding in findings {
        writeln!(
            out,
            "{:<8} {}: {}",
            finding.severity().word(),
            finding.heading(),
            finding.sentence(unit)
        )?;
    }
    Ok(())
}

/// The curve, its phases, its forecast and what stands against it, in a few sentences to be spoken. All must be of the same plan.
pub fn describe_curve(plan: &Plan, derived: &Derived, outlook: &Outlook, unit: TempUnit) -> String {
    let phases = &derived.phases;
    let phase = |name: &str, phase: &Reach<Phase>| {
        let duration = reach_text(phase, |phase| format_time(phase.duration_s));
        format!("{name} {duration}")
    };
    let ratio = (&phases.development_s, &phases.development_ratio);
    format!(
        "{}: {} points, {}, from {} to {}. {}. {}, {}, development {}. {} {}",
        plan.title,
        plan.curve.points().len(),
        shape_word(plan.curve.shape()),
        format_temp_with_unit(plan.curve.points()[0].temp_c, unit),
        format_temp_with_unit(plan.curve.last().temp_c, unit),
        phases.drop.reached().map_or_else(
            || format!("Drop {NOT_REACHED}"),
            |drop| format!("Drop at {}", reached_text(drop, unit))
        ),
        phase("Drying", &phases.drying),
        phase("browning", &phases.browning),
        development_text(ratio, &phases.drop, |time, _| time),
        describe_forecast(outlook, unit),
        counts_text(&all_findings(derived, outlook)),
    )
}

/// The forecast in one sentence.
fn describe_forecast(outlook: &Outlook, unit: TempUnit) -> String {
    let Some(foreseen) = outlook.foreseen() else {
        let reasons = outlook.limits().iter();
        let reason = reasons.map(|limit| no_forecast_text(limit, unit)).next();
        return format!("No forecast. {}", reason.unwrap_or_default());
    };
    let drop = foreseen.moments.drop_s.map_or_else(
        || format!("drop {NOT_REACHED}"),
        |drop_s| format!("drop at {}", format_time(drop_s)),
    );
    let miss = foreseen.greatest_miss_k;
    format!(
        "Forecast: {drop}, at most {} {} the curve at {}.",
        format_temp_difference_with_unit(miss.value.abs(), unit),
        if miss.value < 0.0 { "below" } else { "above" },
        format_time(miss.time_s as f64)
    )
}

/// "1 stop, 2 cautions." in a sentence, worst first.
fn counts_text(findings: &[Finding]) -> String {
    match count_by_severity(findings) {
        none if none.is_empty() => NO_FINDINGS.to_owned(),
        counts => format!("{counts}."),
    }
}

fn shape_word(shape: Shape) -> &'static str {
    match shape {
        Shape::Monotone => "no overshoot",
        Shape::Smooth => "smooth",
    }
}

fn reach_text<T>(reach: &Reach<T>, text: impl Fn(&T) -> String) -> String {
    reach.reached().map_or_else(|| NOT_REACHED.to_owned(), text)
}

/// Development time and ratio as `text` words them, or why there is none.
fn development_text<T>(
    (development_s, ratio): (&Reach<f64>, &Reach<f64>),
    drop: &Reach<T>,
    text: impl Fn(String, String) -> String,
) -> String {
    match (development_s.reached(), ratio.reached()) {
        (Some(&time_s), Some(&share)) => text(format_time(time_s), format_share(share)),
        _ if drop.is_reached() => BEFORE_FIRST_CRACK.to_owned(),
        _ => NOT_REACHED.to_owned(),
    }
}

fn passage_text(passage: &Reach<Passage>, unit: TempUnit) -> String {
    reach_text(passage, |passage| reached_text(passage, unit))
}

fn reached_text(passage: &Passage, unit: TempUnit) -> String {
    format!(
        "{} at {}, {}",
        format_temp_with_unit(passage.temp_c, unit),
        format_time(passage.time_s),
        describe_rise(passage.rise_c_per_s, unit)
    )
}

fn phase_text(phase: &Reach<Phase>, unit: TempUnit) -> String {
    reach_text(phase, |phase| {
        format!(
            "{:<11} {:<7} {:<13} {} at {}",
            format_time(phase.duration_s),
            reach_text(&phase.share, |&share| format_share(share)),
            format_rise_with_unit(phase.mean_rise_c_per_s, unit),
            format_rise_with_unit(phase.peak_rise_c_per_s, unit),
            format_time(phase.peak_at_s)
        )
    })
}
