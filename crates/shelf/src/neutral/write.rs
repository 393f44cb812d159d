//! Writing a plan as neutral JSON.

use super::{
    document::{Document, Drop, Finish, Generator, Mark, Passage, Phase, Span},
    drawing::{AirflowObject, CurveObject},
    layout,
    sheets::{LotObject, MachineObject, RoomObject},
    units::OURS,
};
use crate::{
    samples::{SampleColumns, rise_per_min, rounded},
    version::{NEUTRAL_FORMAT, NEUTRAL_VERSION},
};
use chaffinch_craft::{Derived, FinishOutcome, Plan};
use chaffinch_curve::{Passage as CurvePassage, Phase as CurvePhase, Phases, Reach};

/// The neutral JSON of a plan. The same plan gives the same bytes; control points are exact, computed values are
/// rounded to a millionth of their unit.
pub fn plan_to_neutral(plan: &Plan) -> String {
    layout::json_text(&document(plan))
}

fn document(plan: &Plan) -> Document<'_> {
    let derived = Derived::of(plan);
    Document {
        format: NEUTRAL_FORMAT,
        version: NEUTRAL_VERSION,
        generator: Generator::THIS,
        title: &plan.title,
        notes: &plan.notes,
        units: OURS,
        curve: CurveObject::of(&plan.curve),
        airflow: AirflowObject::of(&plan.airflow),
        marks: marks(plan, &derived.phases),
        finishes: finishes(plan, &derived.finishes),
        phases: phases(&derived.phases),
        drop: drop_of(plan, &derived.phases),
        lot: LotObject::of(&plan.lot),
        machine: MachineObject::of(&plan.machine),
        room: RoomObject::of(&plan.room),
        variation: plan.variation.clone(),
        samples: SampleColumns::of(plan),
    }
}

pub(super) fn marks(plan: &Plan, phases: &Phases) -> Vec<Mark> {
    let mark = |name, temperature, reach| Mark {
        name,
        temperature,
        reached: passage(reach),
    };
    vec![
        mark(
            "colour_change",
            plan.marks.colour_change_c,
            &phases.colour_change,
        ),
        mark("first_crack", plan.marks.first_crack_c, &phases.first_crack),
    ]
}

pub(super) fn finishes<'a>(plan: &'a Plan, outcomes: &[FinishOutcome]) -> Vec<Finish<'a>> {
    let finish = |(finish, outcome): (&'a chaffinch_craft::Finish, &FinishOutcome)| Finish {
        name: &finish.name,
        temperature: finish.temp_c,
        chosen: finish.id == plan.finish().id,
        reached: passage(&outcome.drop),
        development_time: number(&outcome.development_s),
        development_ratio: number(&outcome.development_ratio),
    };
    plan.finishes
        .finishes()
        .iter()
        .zip(outcomes)
        .map(finish)
        .collect()
}

pub(super) fn phases(phases: &Phases) -> Vec<Phase> {
    let phase = |name, reach: &Reach<CurvePhase>| Phase {
        name,
        reached: reach.reached().map(span),
    };
    vec![
        phase("drying", &phases.drying),
        phase("browning", &phases.browning),
        phase("development", &phases.development),
    ]
}

pub(super) fn drop_of<'a>(plan: &'a Plan, phases: &Phases) -> Drop<'a> {
    Drop {
        finish: &plan.finish().name,
        temperature: plan.finish().temp_c,
        reached: passage(&phases.drop),
        development_time: number(&phases.development_s),
        development_ratio: number(&phases.development_ratio),
    }
}

fn span(phase: &CurvePhase) -> Span {
    Span {
        start: rounded(phase.start_s),
        end: rounded(phase.end_s),
        duration: rounded(phase.duration_s),
        share: number(&phase.share),
        mean_rate_of_rise: rise_per_min(phase.mean_rise_c_per_s),
        peak_rate_of_rise: rise_per_min(phase.peak_rise_c_per_s),
        peak_time: rounded(phase.peak_at_s),
    }
}

fn passage(reach: &Reach<CurvePassage>) -> Option<Passage> {
    reach.reached().map(|found| Passage {
        time: rounded(found.time_s),
        rate_of_rise: rise_per_min(found.rise_c_per_s),
    })
}

fn number(reach: &Reach<f64>) -> Option<f64> {
    reach.reached().copied().map(rounded)
}
