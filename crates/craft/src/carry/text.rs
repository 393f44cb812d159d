//! A carry-over as a plain-text report: the layers with their sizes, phases and effort before and after, the difference minute by
//! minute, marks, and the plain list of what changed and why.

use super::{CarryOver, Level, LevelCarry, Picture, PointCarry, Practice, Shift, report};
use crate::{
    findings::all_findings,
    plan::Plan,
    summary::write_findings,
    units::{
        TempUnit, format_number, format_share, format_temp_shift_with_unit, format_temp_with_unit,
        format_time, format_time_shift,
    },
};
use chaffinch_curve::{Phase, Reach};
use chaffinch_twin::{Extreme, trust};
use std::fmt::{Result, Write};

/// How far a carry-over may be trusted, in words.
pub const CARRY_TRUST_TEXT: &str = "A carry-over compares two forecasts: it knows no crack, no colour and no taste, rests on guesses where nobody measured, and takes \
     the place of no careful first roast.";
/// What is written where there is nothing to write.
const NONE: &str = "–";
/// Seconds between two rows of the difference.
const ROW_S: usize = 60;

impl CarryOver {
    /// Least and greatest shift of a layer over the points, in temperature, rise and time: “−0.4 °C to +2.1 °C” and the like; a dash
    /// where no time moves.
    pub fn layer_texts(&self, layer: impl Fn(&PointCarry) -> Shift, unit: TempUnit) -> [String; 3] {
        let shifts: Vec<Shift> = self.points.iter().map(layer).collect();
        report::spans(&shifts, unit)
    }
}

impl Picture {
    /// Greatest effort of the heater, 0–1, once probe and curve have met: a preheated machine is at its limit for the first seconds of
    /// every roast. Nothing where nothing is foreseen, or the two never meet.
    pub fn effort_on_curve(&self) -> Option<Extreme> {
        let foreseen = self.outlook.foreseen()?;
        let from_s = foreseen.met_s?;
        let efforts = foreseen.trace.effort.iter().enumerate().skip(from_s);
        efforts
            .map(|(time_s, &value)| Extreme { value, time_s })
            .max_by(|a, b| a.value.total_cmp(&b.value))
    }
}

/// The report of `carried`, which came of `from`, temperatures in `unit`; ends with a line break.
pub fn carry_text(from: &Plan, carried: &CarryOver, unit: TempUnit) -> String {
    let mut text = String::new();
    // Writing to a String can't fail.
    let _ = write_report(&mut text, from, carried, unit);
    text
}

fn write_report(out: &mut String, from: &Plan, carried: &CarryOver, unit: TempUnit) -> Result {
    write_head(out, from, carried)?;
    write_layers(out, carried, unit)?;
    write_phases(out, carried)?;
    write_effort(out, from, carried)?;
    write_difference(out, from, carried, unit)?;
    write_levels(out, carried, unit)?;
    writeln!(out, "\nWhat changed and why")?;
    for line in carried.lines(unit) {
        writeln!(out, "- {line}")?;
    }
    let after = &carried.after;
    write_findings(out, &all_findings(&after.derived, &after.outlook), unit)?;
    writeln!(out, "\n{CARRY_TRUST_TEXT}")?;
    writeln!(out, "{}", trust::CAUTION)
}

fn write_head(out: &mut String, from: &Plan, carried: &CarryOver) -> Result {
    let to = &carried.plan;
    writeln!(out, "{}", from.title)?;
    for (name, plan) in [("From", from), ("To", to)] {
        let named = |name: &str, none: &str| {
            if name.is_empty() {
                none.to_owned()
            } else {
                format!("“{name}”")
            }
        };
        writeln!(
            out,
            "{name:<13} {}, {}, {}",
            named(&plan.lot.name, "an unnamed coffee"),
            named(&plan.machine.name, "an unnamed machine"),
            named(&plan.room.name, "an unnamed room")
        )?;
    }
    let keep = carried.keep;
    writeln!(out, "{:<13} {}. {}", "Kept", keep.label(), keep.sentence())?;
    let percent = format_number(carried.percent, 0);
    writeln!(out, "{:<13} {percent} %", "Applied")
}

fn write_layers(out: &mut String, carried: &CarryOver, unit: TempUnit) -> Result {
    let row = |out: &mut String, name: &str, layer: fn(&PointCarry) -> Shift| {
        let [temp, rise, time] = carried.layer_texts(layer, unit);
        writeln!(out, "{name:<13} {temp:<22} {rise:<28} {time}")
    };
    writeln!(
        out,
        "\n{:<13} {:<22} {:<28} time",
        "Layer", "temperature", "rise"
    )?;
    if carried.physics {
        row(out, "Physics", |point| point.physics)?;
    } else {
        writeln!(out, "{:<13} switched off", "Physics")?;
    }
    match carried.practice {
        Practice::Applied { .. } => row(out, "Practice", |point| point.practice)?,
        Practice::Off => writeln!(out, "{:<13} switched off", "Practice")?,
        Practice::NoAltitude => writeln!(
            out,
            "{:<13} nothing: an altitude of growth is missing",
            "Practice"
        )?,
    }
    writeln!(out, "{:<13} nothing yet", "Your roasts")?;
    row(out, "Together", |point| point.total)
}

/// Lengths of the phases, drawn and forecast, before and after.
fn write_phases(out: &mut String, carried: &CarryOver) -> Result {
    writeln!(
        out,
        "\n{:<13} {:<14} {:<14} {:<16} forecast after",
        "Phase", "drawn before", "drawn after", "forecast before"
    )?;
    let [before, after] = [&carried.before, &carried.after].map(lengths);
    let names = [
        "Drying",
        "Browning",
        "Development",
        "… ratio",
        "Whole roast",
    ];
    for (index, name) in names.into_iter().enumerate() {
        let ((old, old_foreseen), (new, new_foreseen)) = (&before[index], &after[index]);
        writeln!(
            out,
            "{name:<13} {old:<14} {new:<14} {old_foreseen:<16} {new_foreseen}"
        )?;
    }
    Ok(())
}

/// Drawn and forecast: drying, browning, development, its ratio, the whole roast.
fn lengths(picture: &Picture) -> [(String, String); 5] {
    let text =
        |value: Option<f64>, words: fn(f64) -> String| value.map_or_else(|| NONE.to_owned(), words);
    let phases = &picture.derived.phases;
    let length = |phase: &Reach<Phase>| phase.reached().map(|phase| phase.duration_s);
    let moments = picture.outlook.foreseen().map(|found| &found.moments);
    let foreseen = |value: fn(&crate::Moments) -> Option<f64>| moments.and_then(value);
    let both = |drawn, foreseen| (text(drawn, format_time), text(foreseen, format_time));
    [
        both(length(&phases.drying), foreseen(crate::Moments::drying_s)),
        both(
            length(&phases.browning),
            foreseen(crate::Moments::browning_s),
        ),
        both(
            phases.development_s.reached().copied(),
            foreseen(crate::Moments::development_s),
        ),
        (
            text(phases.development_ratio.reached().copied(), format_share),
            text(foreseen(crate::Moments::development_ratio), format_share),
        ),
        both(
            phases.drop.reached().map(|drop| drop.time_s),
            foreseen(|moments| moments.drop_s),
        ),
    ]
}

/// Greatest heater effort, least air and energy, before and after; a word where nothing is foreseen.
fn write_effort(out: &mut String, from: &Plan, carried: &CarryOver) -> Result {
    writeln!(out, "\n{:<13} {:<24} after", "Effort", "before")?;
    let before = efforts(from, &carried.before);
    let after = efforts(&carried.plan, &carried.after);
    let names = [
        "Heater, most",
        "… on curve",
        "At its limit",
        "Air, least",
        "Lift, least",
        "Energy",
    ];
    for ((name, before), after) in names.into_iter().zip(before).zip(after) {
        writeln!(out, "{name:<13} {before:<24} {after}")?;
    }
    Ok(())
}

fn efforts(plan: &Plan, picture: &Picture) -> [String; 6] {
    let Some(foreseen) = picture.outlook.foreseen() else {
        return std::array::from_fn(|_| "no forecast".to_owned());
    };
    let figures = &foreseen.figures;
    let lift = figures.least_lift;
    let heater = |effort: Extreme| {
        format!(
            "{} % at {}",
            format_number(effort.value * 100.0, 0),
            format_time(effort.time_s as f64)
        )
    };
    let percents = (0..foreseen.trace.len()).map(|second| plan.airflow.percent(second as f64));
    let air_percent = percents.fold(f64::INFINITY, f64::min);
    [
        heater(figures.greatest_effort),
        picture
            .effort_on_curve()
            .map_or_else(|| NONE.to_owned(), heater),
        format!("for {}", format_time(figures.limited_s as f64)),
        format!("{} %", format_number(air_percent, 0)),
        format!("{} times what lifts", format_number(lift.value, 2)),
        format!("{} kWh", format_number(figures.heater_kwh, 3)),
    ]
}

/// Both curves each minute up to the earlier drop, their difference, how far it is open, and the difference of the cores.
fn write_difference(out: &mut String, from: &Plan, carried: &CarryOver, unit: TempUnit) -> Result {
    writeln!(
        out,
        "\n{:<6} {:<10} {:<10} {:<10} {:<14} {:<10} core, forecast",
        "Time", "before", "after", "change", "rise", "open by"
    )?;
    let end_s = carried
        .before
        .derived
        .end_of_roast_s(from)
        .min(carried.after.derived.end_of_roast_s(&carried.plan));
    let band = carried.band();
    let cores = carried
        .before
        .outlook
        .foreseen()
        .zip(carried.after.outlook.foreseen());
    for second in (0..=end_s as usize).step_by(ROW_S) {
        let time_s = second as f64;
        let (old, new) = (&from.curve, &carried.plan.curve);
        let core = cores.and_then(|(old, new)| {
            Some(new.trace.core_c.get(second)? - old.trace.core_c.get(second)?)
        });
        let shift = |k| format_temp_shift_with_unit(k, unit);
        writeln!(
            out,
            "{:<6} {:<10} {:<10} {:<10} {:<14} {:<10} {}",
            format_time(time_s),
            format_temp_with_unit(old.temp_c(time_s), unit),
            format_temp_with_unit(new.temp_c(time_s), unit),
            shift(new.temp_c(time_s) - old.temp_c(time_s)),
            report::rise_shift(new.rise_c_per_s(time_s) - old.rise_c_per_s(time_s), unit),
            open_text(&open(&carried.plan, &band, time_s), unit),
            core.map_or_else(|| NONE.to_owned(), shift)
        )?;
    }
    let met_s = carried
        .after
        .outlook
        .foreseen()
        .and_then(|found| found.met_s);
    match met_s {
        Some(met_s) if 0 < met_s && !carried.sensitivities.is_empty() => writeln!(
            out,
            "Open by: 95 of 100, from what nobody measured. Until {} the probe is on its way to the curve, and what is drawn there matters little.",
            format_time(met_s as f64)
        ),
        _ => Ok(()),
    }
}

/// Half width of the band at a moment, on a line between the points beside it.
fn open(plan: &Plan, band: &[Shift], time_s: f64) -> Shift {
    let points = plan.curve.points();
    let next = points.partition_point(|point| point.time_s < time_s);
    let at = |index: usize| band.get(index).copied().unwrap_or_default();
    let (Some(left), Some(right)) = (next.checked_sub(1), points.get(next)) else {
        return at(next.min(points.len().saturating_sub(1)));
    };
    let share = (time_s - points[left].time_s) / (right.time_s - points[left].time_s);
    let between = |of: fn(&Shift) -> f64| of(&at(left)) + share * (of(&at(next)) - of(&at(left)));
    Shift {
        time_s: between(|shift| shift.time_s),
        temp_k: between(|shift| shift.temp_k),
        rise_c_per_s: 0.0,
    }
}

fn open_text(open: &Shift, unit: TempUnit) -> String {
    if open.temp_k == 0.0 && open.time_s == 0.0 {
        return NONE.to_owned();
    }
    if open.temp_k < open.time_s {
        return format!("± {} s", format_number(open.time_s, 0));
    }
    let text = format_temp_shift_with_unit(open.temp_k, unit);
    format!("± {}", text.trim_start_matches('+'))
}

fn write_levels(out: &mut String, carried: &CarryOver, unit: TempUnit) -> Result {
    writeln!(
        out,
        "\n{:<22} {:<10} {:<10} {:<10} after",
        "Mark or finish", "before", "physics", "practice"
    )?;
    for level in &carried.levels {
        let LevelCarry {
            before_c,
            physics_k,
            practice_k,
            after_c,
            ..
        } = *level;
        let shift = |k| format_temp_shift_with_unit(k, unit);
        writeln!(
            out,
            "{:<22} {:<10} {:<10} {:<10} {}",
            level_name(&carried.plan, level.level),
            format_temp_with_unit(before_c, unit),
            shift(physics_k),
            shift(practice_k),
            format_temp_with_unit(after_c, unit)
        )?;
    }
    Ok(())
}

fn level_name(plan: &Plan, level: Level) -> String {
    match level {
        Level::Mark(mark) => mark.label().to_owned(),
        Level::Finish(id) => plan
            .finishes
            .get(id)
            .map_or_else(String::new, |finish| format!("Finish “{}”", finish.name)),
    }
}

/// Least and greatest time, for the column of a layer that moves no time.
pub(super) fn time_span(earliest_s: f64, latest_s: f64) -> String {
    if earliest_s == 0.0 && latest_s == 0.0 {
        return NONE.to_owned();
    }
    let (earliest, latest) = (format_time_shift(earliest_s), format_time_shift(latest_s));
    format!("{earliest} to {latest}")
}
