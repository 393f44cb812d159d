//! A plan carried over, as JSON for programs: what was kept, each layer with its size, points, marks, phases and effort before and
//! after, reasons, and what is not known well.
//!
//! Its schema is `assets/schema/chaffinch-carry-1.schema.json`.

use super::{
    carry_layers::{Layers, ShiftEntry},
    document::Generator,
    layout,
    report::PlanReport,
    report_units::{CHANGES, ReportUnits},
    units::ucum,
};
use crate::{
    practice_file::RulesUsed,
    samples::{rise_per_min, rounded},
    version::{CARRY_FORMAT, CARRY_VERSION},
};
use chaffinch_craft::{
    Alignment, Comparison, Lot, Machine, MarkName, Plan, Room, SheetNumber, SheetUnit,
    carry::{
        CarryOver, Difference, Keep, Left, Level, LevelCarry, PointCarry, Reason, Sensitivity,
        Shift, Shortfall,
    },
    limits::COMPARISON_BAND_C,
    units::TempUnit,
};
use chaffinch_twin::trust;
use serde::Serialize;

/// A carry-over; words in °C.
#[derive(Serialize)]
pub struct CarryReport<'a> {
    format: &'static str,
    version: &'static str,
    generator: Generator,
    units: ReportUnits,
    caution: &'static str,
    from: Sheets<'a>,
    to: Sheets<'a>,
    keep: KeepEntry,
    /// How far it went, 0 to 100 %.
    percent: f64,
    layers: Layers<'a>,
    /// What changed and why, a sentence a line.
    lines: Vec<String>,
    drawn: Drawn<'a>,
    why: Why<'a>,
    history: Option<LeftEntry>,
    /// What the machine can't deliver; null where it can.
    shortfall: Option<ShortfallEntry>,
    difference: Columns,
    before: PlanReport<'a>,
    after: PlanReport<'a>,
}

/// Title and names.
#[derive(Serialize)]
struct Sheets<'a> {
    title: &'a str,
    lot: &'a str,
    machine: &'a str,
    room: &'a str,
}

#[derive(Serialize)]
struct KeepEntry {
    name: &'static str,
    label: &'static str,
    sentence: &'static str,
}

#[derive(Serialize)]
struct Drawn<'a> {
    points: Vec<PointEntry>,
    marks: Vec<LevelEntry<'a>>,
    finishes: Vec<LevelEntry<'a>>,
    /// Factor on the fan's settings.
    air_factor: f64,
}

/// One control point; layers at their full size, the total at the percentage asked for.
#[derive(Serialize)]
struct PointEntry {
    time_before: f64,
    temperature_before: f64,
    time_after: f64,
    temperature_after: f64,
    physics: ShiftEntry,
    practice: ShiftEntry,
    total: ShiftEntry,
    /// Half the width of the band from what nobody measured; 95 of 100.
    band: BandEntry,
}

#[derive(Serialize)]
struct BandEntry {
    time: f64,
    temperature: f64,
}

#[derive(Serialize)]
struct LevelEntry<'a> {
    name: &'a str,
    before: f64,
    physics: f64,
    practice: f64,
    after: f64,
}

#[derive(Serialize)]
struct Why<'a> {
    reasons: Vec<ReasonEntry<'a>>,
    /// Widest first.
    guesses: Vec<GuessEntry>,
}

/// One thing that differs. `from` and `to` are null where several numbers differ together.
#[derive(Serialize)]
struct ReasonEntry<'a> {
    name: &'static str,
    unit: Option<&'static str>,
    from: Option<f64>,
    to: Option<f64>,
    /// The numbers that differ together; empty for a single one.
    numbers: &'a [&'static str],
    /// At first crack, by itself, on the old curve; null where it can't be told apart.
    core: Option<f64>,
    surface_less_core: Option<f64>,
    sentence: String,
}

/// A number that nobody measured.
#[derive(Serialize)]
struct GuessEntry {
    name: &'static str,
    unit: Option<&'static str>,
    value: f64,
    /// Plus or minus, 95 of 100.
    spread: f64,
    knowledge: &'static str,
    source: &'static str,
    /// Root mean square over the points of what it leaves open.
    temperature: f64,
    time: f64,
    /// What would take its place; null where a roaster can't measure it.
    measurement: Option<&'static str>,
}

/// What is left of the history that was kept.
#[derive(Serialize)]
struct LeftEntry {
    root_mean_square: f64,
    greatest: f64,
    greatest_at: f64,
    core_at_drop: f64,
    /// Change of the browning work, as a share.
    browning_work: f64,
}

#[derive(Serialize)]
struct ShortfallEntry {
    cause: &'static str,
    /// Seconds at the limit, more than before.
    longer: f64,
    greatest: f64,
    greatest_at: f64,
    core_at_drop: f64,
}

/// New less old curve at 0, 1, 2, … s after charge, up to the earlier drop.
#[derive(Serialize)]
struct Columns {
    time: Vec<f64>,
    temperature: Vec<f64>,
    rate_of_rise: Vec<f64>,
}

impl<'a> CarryReport<'a> {
    /// The report of `carried`, which came from `from` by these rules of practice, if any.
    pub fn of(from: &'a Plan, carried: &'a CarryOver, rules: Option<RulesUsed<'a>>) -> Self {
        let (before, after) = (&carried.before, &carried.after);
        Self {
            format: CARRY_FORMAT,
            version: CARRY_VERSION,
            generator: Generator::THIS,
            units: CHANGES,
            caution: trust::CAUTION,
            from: Sheets::of(&from.title, &from.lot, &from.machine, &from.room),
            to: Sheets::of(
                &carried.plan.title,
                &carried.plan.lot,
                &carried.plan.machine,
                &carried.plan.room,
            ),
            keep: KeepEntry::of(carried.keep),
            percent: carried.percent,
            layers: Layers::of(carried, rules),
            lines: carried.lines(TempUnit::Celsius),
            drawn: Drawn::of(from, carried),
            why: Why {
                reasons: carried
                    .reasons
                    .iter()
                    .map(|reason| ReasonEntry::of(reason, carried.keep))
                    .collect(),
                guesses: carried.sensitivities.iter().map(GuessEntry::of).collect(),
            },
            history: carried.left.as_ref().map(LeftEntry::of),
            shortfall: carried.shortfall.as_ref().map(ShortfallEntry::of),
            difference: Columns::between(from, &carried.plan),
            before: PlanReport::of(from, &before.derived, &before.outlook),
            after: PlanReport::of(&carried.plan, &after.derived, &after.outlook),
        }
    }

    /// The report as JSON text, laid out for people, too: one line a point, ten numbers a row.
    pub fn to_json(&self) -> String {
        layout::json_text(self)
    }
}

impl<'a> Sheets<'a> {
    fn of(title: &'a str, lot: &'a Lot, machine: &'a Machine, room: &'a Room) -> Self {
        Self {
            title,
            lot: &lot.name,
            machine: &machine.name,
            room: &room.name,
        }
    }
}

impl KeepEntry {
    fn of(keep: Keep) -> Self {
        Self {
            name: keep.key(),
            label: keep.label(),
            sentence: keep.sentence(),
        }
    }
}

impl<'a> Drawn<'a> {
    fn of(from: &'a Plan, carried: &'a CarryOver) -> Self {
        let bands = carried.band();
        let points = from.curve.points().iter().zip(&carried.points).zip(bands);
        let mut drawn = Self {
            points: points
                .map(|((point, carry), band)| {
                    PointEntry::of((point.time_s, point.temp_c), carry, band)
                })
                .collect(),
            marks: Vec::new(),
            finishes: Vec::new(),
            air_factor: rounded(carried.air_factor),
        };
        for level in &carried.levels {
            match level.level {
                Level::Mark(mark) => drawn.marks.push(LevelEntry::of(mark_name(mark), level)),
                Level::Finish(id) => {
                    let name = from.finishes.get(id).map_or("", |finish| &finish.name);
                    drawn.finishes.push(LevelEntry::of(name, level));
                }
            }
        }
        drawn
    }
}

/// What the neutral format calls a mark.
fn mark_name(mark: MarkName) -> &'static str {
    match mark {
        MarkName::ColourChange => "colour_change",
        MarkName::FirstCrack => "first_crack",
    }
}

impl PointEntry {
    fn of((time_s, temp_c): (f64, f64), carry: &PointCarry, band: Shift) -> Self {
        Self {
            time_before: rounded(time_s),
            temperature_before: rounded(temp_c),
            time_after: rounded(time_s + carry.total.time_s),
            temperature_after: rounded(temp_c + carry.total.temp_k),
            physics: ShiftEntry::of(carry.physics),
            practice: ShiftEntry::of(carry.practice),
            total: ShiftEntry::of(carry.total),
            band: BandEntry {
                time: rounded(band.time_s),
                temperature: rounded(band.temp_k),
            },
        }
    }
}

impl<'a> LevelEntry<'a> {
    fn of(name: &'a str, level: &LevelCarry) -> Self {
        Self {
            name,
            before: rounded(level.before_c),
            physics: rounded(level.physics_k),
            practice: rounded(level.practice_k),
            after: rounded(level.after_c),
        }
    }
}

impl<'a> ReasonEntry<'a> {
    fn of(reason: &'a Reason, keep: Keep) -> Self {
        const MM_PER_M: f64 = 1e3;
        let entry = |name, unit, ends: Option<(f64, f64)>, numbers| Self {
            name,
            unit,
            from: ends.map(|(from, _)| rounded(from)),
            to: ends.map(|(_, to)| rounded(to)),
            numbers,
            core: reason.effect.map(|effect| rounded(effect.core_k)),
            surface_less_core: reason.effect.map(|effect| rounded(effect.spread_k)),
            sentence: reason.sentence(keep, TempUnit::Celsius),
        };
        match &reason.difference {
            Difference::Number { facts, from, to } => {
                entry(facts.key, ucum(facts.unit), Some((*from, *to)), &[])
            }
            Difference::BeanSize { from_m, to_m } => entry(
                "bean_diameter_mm",
                ucum(SheetUnit::Plain("mm")),
                Some((from_m * MM_PER_M, to_m * MM_PER_M)),
                &[],
            ),
            Difference::Machine(nouns) => entry("machine", None, None, nouns),
        }
    }
}

impl GuessEntry {
    fn of(found: &Sensitivity) -> Self {
        let guess = &found.guess;
        let facts = guess.number.facts();
        Self {
            name: facts.key,
            unit: ucum(facts.unit),
            value: rounded(guess.value),
            spread: rounded(guess.spread),
            knowledge: guess.knowledge.word(),
            source: super::carry_layers::COMMON_PRACTICE,
            temperature: rounded(found.rms_k),
            time: rounded(found.rms_s),
            measurement: guess.can_be_measured().then(|| guess.measurement()),
        }
    }
}

impl LeftEntry {
    fn of(left: &Left) -> Self {
        Self {
            root_mean_square: rounded(left.rms_k),
            greatest: rounded(left.greatest_k.value),
            greatest_at: left.greatest_k.time_s as f64,
            core_at_drop: rounded(left.drop_core_k),
            browning_work: rounded(left.work_change),
        }
    }
}

impl ShortfallEntry {
    fn of(shortfall: &Shortfall) -> Self {
        Self {
            cause: shortfall.cause.words(),
            longer: shortfall.longer_s as f64,
            greatest: rounded(shortfall.greatest_core_k.value),
            greatest_at: shortfall.greatest_core_k.time_s as f64,
            core_at_drop: rounded(shortfall.drop_core_k),
        }
    }
}

impl Columns {
    fn between(old: &Plan, new: &Plan) -> Self {
        let comparison = Comparison::of(old, new, Alignment::Charge, COMPARISON_BAND_C);
        let rise = |&time_s: &f64| {
            rise_per_min(new.curve.rise_c_per_s(time_s) - old.curve.rise_c_per_s(time_s))
        };
        Self {
            rate_of_rise: comparison.time_s.iter().map(rise).collect(),
            temperature: comparison
                .temp_difference_c
                .iter()
                .copied()
                .map(rounded)
                .collect(),
            time: comparison.time_s,
        }
    }
}
