//! The ladder's forecast against the forecast of each finish when it is chosen, and the rules that it keeps whatever the plan.
#![allow(
    clippy::unwrap_used,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

#[allow(dead_code, reason = "each test file takes what it needs")]
mod arbitrary;

use chaffinch_craft::{
    Derived, Edit, FinishEdit, FinishForecast, FinishId, Outlook, Plan, Spread, SpreadRequest,
};
use chaffinch_curve::{CurvePoint, PointEdit};
use chaffinch_twin::{Limit, NoDrop};
use proptest::prelude::*;
use std::sync::atomic::AtomicBool;

fn chosen(plan: &Plan, id: FinishId) -> Plan {
    plan.edited(&Edit::Finish(FinishEdit::Choose(id))).unwrap()
}

/// A new plan whose curve goes on to 230 °C, so that it passes every finish, warm enough at the start to be met soon.
fn plan() -> Plan {
    let end = PointEdit::InsertAt {
        at: CurvePoint {
            time_s: 640.0,
            temp_c: 232.0,
        },
    };
    Plan::fresh().edited(&Edit::Points(end)).unwrap()
}

fn spread(plan: &Plan) -> Spread {
    let request = SpreadRequest::of(plan, &Outlook::of(plan)).unwrap();
    request.run(&AtomicBool::new(false)).unwrap().unwrap()
}

/// What the ladder says of a finish is what the outlook says once it is chosen, to the last bit; and where the outlook says nothing, the
/// ladder says nothing.
fn compare(plan: &Plan, finish: &FinishForecast) -> Result<(), TestCaseError> {
    let outlook = Outlook::of(&chosen(plan, finish.id));
    match (&finish.drop, &outlook.roast) {
        (Ok(drop), Ok(foreseen)) => {
            prop_assert_eq!(
                Some(drop.time_s),
                foreseen.moments.drop_s,
                "time of the drop"
            );
            prop_assert_eq!(drop.at_s, foreseen.trace.len() - 1, "second of the drop");
            let development_s = foreseen.moments.development_s();
            prop_assert_eq!(drop.development_s, development_s, "development");
            let ratio = foreseen.moments.development_ratio();
            prop_assert_eq!(drop.development_ratio, ratio, "ratio");
            prop_assert_eq!(
                drop.weight_loss,
                foreseen.figures.weight_loss,
                "weight loss"
            );
            prop_assert_eq!(drop.dry_loss, foreseen.figures.dry_loss, "dry-matter loss");
        }
        (Err(NoDrop::NotReached), Ok(foreseen)) => {
            prop_assert_eq!(foreseen.moments.drop_s, None, "not reached");
        }
        (Err(NoDrop::Off(found)), Err(expected)) => {
            let kinds = |limits: &[Limit]| {
                let kinds = limits.iter().map(std::mem::discriminant);
                kinds.collect::<Vec<_>>()
            };
            prop_assert_eq!(kinds(found), kinds(expected), "reasons");
        }
        (found, expected) => prop_assert!(false, "{:?} against {:?}", found, expected.is_ok()),
    }
    Ok(())
}

#[test]
fn every_finish_of_a_new_plan_is_forecast_as_if_it_were_chosen() {
    let plan = plan();
    let outlook = Outlook::of(&plan);
    assert_eq!(outlook.finishes.len(), 4, "the whole ladder");
    for finish in &outlook.finishes {
        compare(&plan, finish).unwrap();
    }
    let reached = outlook.finishes.iter().filter(|it| it.drop.is_ok()).count();
    assert!(3 <= reached, "only {reached} finishes have a forecast");
}

#[test]
fn choosing_a_finish_moves_every_derived_figure_to_its_own() {
    let plan = plan();
    let ladder = Outlook::of(&plan).finishes;
    let figures = |id| {
        let plan = chosen(&plan, id);
        let (derived, outlook) = (Derived::of(&plan), Outlook::of(&plan));
        let seen = outlook.foreseen().unwrap().clone();
        let spread = spread(&plan);
        let phases = derived.phases;
        [
            phases.drop.reached().unwrap().time_s,
            *phases.development_s.reached().unwrap(),
            *phases.development_ratio.reached().unwrap(),
            seen.moments.drop_s.unwrap(),
            seen.moments.development_s().unwrap(),
            seen.figures.weight_loss,
            seen.figures.dry_loss,
            seen.figures.heater_kwh,
            seen.figures.drop_mean_c,
            spread.figures.weight_loss.p50,
            spread.drop.time_s.unwrap().p50,
            spread.development.duration_s.unwrap().p50,
        ]
    };
    let (light, medium) = (figures(ladder[0].id), figures(ladder[1].id));
    for (place, (light, medium)) in light.iter().zip(medium).enumerate() {
        assert!(*light < medium, "figure {place}: {light} against {medium}");
    }
}

#[test]
fn bands_of_a_finish_are_those_of_the_forecast_when_it_is_chosen() {
    let plan = plan();
    let all = spread(&plan).finishes;
    assert!(3 <= all.len(), "{} finishes have a spread", all.len());
    for found in all {
        let alone = spread(&chosen(&plan, found.id));
        let figures = alone.figures;
        assert_eq!(found.weight_loss, figures.weight_loss, "{:?}", found.id);
        assert_eq!(found.dry_loss, figures.dry_loss, "{:?}", found.id);
    }
}

/// The spread must not change because hotter finishes stand on the ladder: the roaster waits no longer for the chosen one.
#[test]
fn spread_of_the_chosen_finish_knows_nothing_of_the_ladder() {
    let plan = plan();
    let mut alone = plan.clone();
    for finish in plan.finishes.finishes() {
        if finish.id != plan.finish().id {
            let edit = Edit::Finish(FinishEdit::Remove(finish.id));
            alone = alone.edited(&edit).unwrap();
        }
    }
    let (found, mut expected) = (spread(&plan), spread(&alone));
    assert_eq!(expected.finishes.len(), 1, "one finish");
    expected.finishes = found.finishes.clone();
    assert_eq!(found, expected, "with and without a ladder");
}

#[test]
fn hotter_finish_has_the_heavier_losses_in_every_band() {
    let found = spread(&plan()).finishes;
    for pair in found.windows(2) {
        let ends = |at: usize| {
            let band = pair[at].weight_loss;
            [band.p01, band.p10, band.p50, band.p90, band.p99]
        };
        let is_more = ends(0).iter().zip(ends(1)).all(|(cool, hot)| *cool < hot);
        assert!(is_more, "{:?} against {:?}", pair[0], pair[1]);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn ladder_says_what_the_outlook_says(plan in arbitrary::plan(), edits in prop::collection::vec(arbitrary::edit(), 0..4)) {
        let plan = edits.iter().fold(plan, |plan, edit| plan.edited(edit).unwrap_or(plan));
        for finish in &Outlook::of(&plan).finishes {
            compare(&plan, finish)?;
        }
    }

    #[test]
    fn hotter_finish_never_loses_less_weight(plan in arbitrary::plan(), edits in prop::collection::vec(arbitrary::edit(), 0..4)) {
        let plan = edits.iter().fold(plan, |plan, edit| plan.edited(edit).unwrap_or(plan));
        let outlook = Outlook::of(&plan);
        let reached: Vec<_> = outlook.finishes.iter().filter_map(FinishForecast::dropped).collect();
        for pair in reached.windows(2) {
            prop_assert!(pair[0].time_s <= pair[1].time_s, "times {:?}", pair);
            prop_assert!(pair[0].weight_loss <= pair[1].weight_loss, "losses {:?}", pair);
            prop_assert!(pair[0].dry_loss <= pair[1].dry_loss, "dry matter {:?}", pair);
        }
    }
}
