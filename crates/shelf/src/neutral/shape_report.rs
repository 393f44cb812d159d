//! A curve shaped by targets, as JSON for programs: every wish with what came of it, the points, phases and effort before and after.
//!
//! Its schema is `assets/schema/chaffinch-shape-1.schema.json`.

use super::{
    document::Generator,
    drawing::{AirflowObject, CurveObject},
    layout,
    report::PlanReport,
    report_units::{CHANGES, ReportUnits},
};
use crate::{
    samples::rounded,
    version::{SHAPE_FORMAT, SHAPE_VERSION},
};
use chaffinch_craft::{
    Plan,
    shape::{Conflict, Ground, Met, Shaped, TargetUnit},
    units::TempUnit,
};
use chaffinch_twin::trust;
use serde::Serialize;

/// What came of targets; words in °C.
#[derive(Serialize)]
pub struct ShapeReport<'a> {
    format: &'static str,
    version: &'static str,
    generator: Generator,
    units: ReportUnits,
    caution: &'static str,
    all_met: bool,
    /// What changed and what contradicts what, a sentence a line.
    lines: Vec<String>,
    targets: Targets,
    drawn: Drawn,
    curve: CurveObject,
    airflow: AirflowObject,
    before: PlanReport<'a>,
    after: PlanReport<'a>,
}

#[derive(Serialize)]
struct Targets {
    wishes: Vec<WishEntry>,
    /// What gives way to what; empty where all wishes are met.
    contradictions: Vec<ConflictEntry>,
}

/// One wish, in its own unit, which is null where it takes no value.
#[derive(Serialize)]
struct WishEntry {
    name: &'static str,
    label: &'static str,
    unit: Option<&'static str>,
    least: Option<f64>,
    most: Option<f64>,
    /// Null where the curve has no such thing.
    found: Option<f64>,
    /// How far the wish is missed; 0 where it is met.
    miss: f64,
    /// Unit of the miss: a temperature is missed by a difference.
    miss_unit: &'static str,
}

/// A wish that gives way, by how much in its unit, and what it contradicts, all of it together.
#[derive(Serialize)]
struct ConflictEntry {
    gives_way: &'static str,
    unit: &'static str,
    by: f64,
    against: Vec<GroundEntry>,
    sentence: String,
}

#[derive(Serialize)]
struct GroundEntry {
    /// Name of a wish or of a rule.
    name: &'static str,
    /// A locked point's number, from 1.
    point: Option<usize>,
    words: String,
}

/// What else there is to tell of the curve.
#[derive(Serialize)]
struct Drawn {
    start: Change,
    /// How much the fall of the rise changes in all.
    wobble: Change,
}

#[derive(Serialize)]
struct Change {
    /// UCUM code.
    unit: &'static str,
    before: f64,
    after: f64,
}

impl<'a> ShapeReport<'a> {
    /// The report of `shaped`, which came from `from`.
    pub fn of(from: &'a Plan, shaped: &'a Shaped) -> Self {
        let (before, after) = (&shaped.before, &shaped.after);
        Self {
            format: SHAPE_FORMAT,
            version: SHAPE_VERSION,
            generator: Generator::THIS,
            units: CHANGES,
            caution: trust::CAUTION,
            all_met: shaped.is_all_met(),
            lines: shaped.lines(TempUnit::Celsius),
            targets: Targets {
                wishes: shaped.met.iter().map(WishEntry::of).collect(),
                contradictions: shaped
                    .conflicts
                    .iter()
                    .map(|conflict| ConflictEntry::of(conflict, shaped))
                    .collect(),
            },
            drawn: Drawn {
                start: Change::of("Cel", shaped.start_c),
                wobble: Change::of("K/min2", shaped.wobble_c_per_min2),
            },
            curve: CurveObject::of(&shaped.plan.curve),
            airflow: AirflowObject::of(&shaped.plan.airflow),
            before: PlanReport::of(from, &before.derived, &before.outlook),
            after: PlanReport::of(&shaped.plan, &after.derived, &after.outlook),
        }
    }

    /// The report as JSON text, laid out for people, too: one line a wish and a point.
    pub fn to_json(&self) -> String {
        layout::json_text(self)
    }
}

impl WishEntry {
    fn of(met: &Met) -> Self {
        let facts = met.name.facts();
        Self {
            name: facts.key,
            label: facts.label,
            unit: unit(facts.unit),
            least: met.wish.least,
            most: met.wish.most,
            found: met.found.map(rounded),
            miss: rounded(met.miss),
            miss_unit: miss_unit(facts.unit),
        }
    }
}

impl ConflictEntry {
    fn of(conflict: &Conflict, shaped: &Shaped) -> Self {
        let facts = conflict.gives_way.facts();
        Self {
            gives_way: facts.key,
            unit: miss_unit(facts.unit),
            by: rounded(conflict.by),
            against: conflict.against.iter().map(GroundEntry::of).collect(),
            sentence: shaped.conflict_line(conflict, TempUnit::Celsius),
        }
    }
}

impl GroundEntry {
    fn of(ground: &Ground) -> Self {
        let (name, point) = match *ground {
            Ground::Wish(name) => (name.facts().key, None),
            Ground::Locked(number) => ("locked_point", Some(number)),
            Ground::Start => ("start", None),
            Ground::Order => ("order", None),
            Ground::Marks => ("marks", None),
            Ground::Rising => ("rising", None),
            Ground::Ceiling => ("ceiling", None),
        };
        Self {
            name,
            point,
            words: ground.words(),
        }
    }
}

impl Change {
    fn of(unit: &'static str, [before, after]: [f64; 2]) -> Self {
        Self {
            unit,
            before: rounded(before),
            after: rounded(after),
        }
    }
}

/// The UCUM code of a target's unit.
fn unit(unit: TargetUnit) -> Option<&'static str> {
    match unit {
        TargetUnit::Temperature => Some("Cel"),
        TargetUnit::TemperatureDifference => Some("K"),
        TargetUnit::Time => Some("s"),
        TargetUnit::Percent => Some("%"),
        TargetUnit::Rise => Some("Cel/min"),
        TargetUnit::Nothing => None,
    }
}

/// The UCUM code of how far a target is missed: in K for a temperature, and a rate for what takes no value.
fn miss_unit(of: TargetUnit) -> &'static str {
    match of {
        TargetUnit::Temperature => "K",
        _ => unit(of).unwrap_or("Cel/min"),
    }
}
