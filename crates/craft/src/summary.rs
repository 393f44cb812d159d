//! A plan in words: the report that the command prints, and the sentence that a screen reader speaks.

use crate::{
    derived::Derived,
    findings::{Finding, Severity},
    plan::Plan,
    units::{TempUnit, format_rise_with_unit, format_share, format_temp_with_unit, format_time},
};
use chaffinch_curve::{Passage, Phase, Reach, Shape};
use std::fmt::Write;

/// What is written where the curve doesn't get to.
const NOT_REACHED: &str = "not reached";

/// The plan's figures as a plain-text report, temperatures in `unit`; ends with a line break.
///
/// It says *drawn* throughout: these are figures of the curve, not a forecast of a roast.
pub fn summary_text(plan: &Plan, derived: &Derived, unit: TempUnit) -> String {
    let mut text = String::new();
    // Writing to a String can't fail.
    let _ = write_summary(&mut text, plan, derived, unit);
    text
}

fn write_summary(
    out: &mut String,
    plan: &Plan,
    derived: &Derived,
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
        "Development  {}, ratio {}",
        reach_text(&phases.development_s, |&time_s| format_time(time_s)),
        reach_text(&phases.development_ratio, |&share| format_share(share))
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
        writeln!(out, "{name:<12} {}", phase_text(phase, unit))?;
    }
    write_finishes(out, plan, derived, unit)?;
    write_findings(out, &derived.findings, unit)
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
            "{chosen}{:<width$} {:<11} {:<7} {} ({})",
            finish.name,
            format_temp_with_unit(finish.temp_c, unit),
            reach_text(&outcome.drop, |drop| format_time(drop.time_s)),
            reach_text(&outcome.development_s, |&time_s| format_time(time_s)),
            reach_text(&outcome.development_ratio, |&share| format_share(share)),
        )?;
    }
    Ok(())
}

fn write_findings(out: &mut String, findings: &[Finding], unit: TempUnit) -> std::fmt::Result {
    writeln!(out, "\nFindings")?;
    if findings.is_empty() {
        writeln!(out, "Nothing stands against this curve.")?;
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

/// The curve, its phases and what stands against it, in a few sentences to be spoken.
pub fn describe_curve(plan: &Plan, derived: &Derived, unit: TempUnit) -> String {
    let phases = &derived.phases;
    let count = |severity| {
        let of = derived.findings.iter();
        of.filter(|finding| finding.severity() == severity).count()
    };
    let phase = |name: &str, phase: &Reach<Phase>| {
        let duration = reach_text(phase, |phase| format_time(phase.duration_s));
        format!("{name} {duration}")
    };
    format!(
        "{}: {} points, {} curve from {} to {}. Drop at {}. {}, {}, {}. {} stops, {} cautions, {} notes.",
        plan.title,
        plan.curve.points().len(),
        shape_word(plan.curve.shape()),
        format_temp_with_unit(plan.curve.points()[0].temp_c, unit),
        format_temp_with_unit(plan.curve.last().temp_c, unit),
        passage_text(&phases.drop, unit),
        phase("Drying", &phases.drying),
        phase("browning", &phases.browning),
        phase("development", &phases.development),
        count(Severity::Stop),
        count(Severity::Caution),
        count(Severity::Note),
    )
}

fn shape_word(shape: Shape) -> &'static str {
    match shape {
        Shape::Monotone => "monotone",
        Shape::Smooth => "smooth",
    }
}

fn reach_text<T>(reach: &Reach<T>, text: impl Fn(&T) -> String) -> String {
    reach.reached().map_or_else(|| NOT_REACHED.to_owned(), text)
}

fn passage_text(passage: &Reach<Passage>, unit: TempUnit) -> String {
    reach_text(passage, |passage| {
        format!(
            "{} at {}, rising {}",
            format_temp_with_unit(passage.temp_c, unit),
            format_time(passage.time_s),
            format_rise_with_unit(passage.rise_c_per_s, unit)
        )
    })
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
