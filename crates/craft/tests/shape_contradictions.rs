//! Shaping by wishes that can't all be: as little as may be gives way, and the curve stays one that can be roasted.
//!
//! There is no outside reference for what a roaster would rather do without; the least sums of misses follow by arithmetic that stands
//! beside them.
#![allow(
    missing_docs,
    unused_crate_dependencies,
    clippy::unwrap_used,
    reason = "a test may stop at the first surprise"
)]

mod shape_plans;

use chaffinch_craft::{
    Boundary::{Drop, Mark},
    MarkName::{ColourChange, FirstCrack},
    Plan,
    shape::{Ground, Shaped, TargetName, Wish},
};
use chaffinch_curve::{PhaseName, Shape};
use proptest::{prelude::*, sample::select};
use shape_plans::shaped;

fn plan() -> Plan {
    shape_plans::plan(Shape::Smooth)
}

/// How many times as much a curve may wobble where wishes contradict each other. Ours.
const LEAST_SMOOTH: f64 = 4.0;
const FALLING: (TargetName, Wish) = (TargetName::FallingRise, Wish::HOLDS);

fn missed(shaped: &Shaped) -> f64 {
    shaped.met.iter().map(|met| met.miss).sum()
}

fn development_s(shaped: &Shaped) -> f64 {
    let phases = &shaped.after.derived.phases;
    let time_s = |passage: &chaffinch_curve::Passage| passage.time_s;
    let drop_s = phases.drop.reached().map(time_s).unwrap();
    drop_s - phases.first_crack.reached().map(time_s).unwrap()
}

#[test]
fn phases_longer_than_the_roast_give_way_by_the_least() {
    // 4:00 and 4:00 are 8:00, a minute more than 7:00; development, of which nobody spoke, keeps half of what it is, but 30 s.
    let wishes = [
        (TargetName::Time(Drop), Wish::exactly(420.0)),
        (TargetName::Length(PhaseName::Drying), Wish::exactly(240.0)),
        (
            TargetName::Length(PhaseName::Browning),
            Wish::exactly(240.0),
        ),
    ];
    let both = shaped(&plan(), &wishes);
    let before = {
        let phases = &both.before.derived.phases;
        let drop = phases.drop.reached().unwrap().time_s;
        drop - phases.first_crack.reached().unwrap().time_s
    };
    let least_s = 30.0_f64.max(before / 2.0);
    let development_s = development_s(&both);
    assert!(
        (development_s - least_s).abs() < 0.1,
        "{development_s} s, not {least_s} s"
    );
    let missed = missed(&both);
    assert!(
        (missed - 60.0 - least_s).abs() < 0.1,
        "{missed} s missed: {:?}",
        both.met
    );
    let [before, after] = both.wobble_c_per_min2;
    assert!(after < 3.0 * before, "{after} of {before}");
    let [conflict] = both.conflicts.as_slice() else {
        panic!("one gives way: {:?}", both.conflicts);
    };
    for (name, _) in wishes {
        let is_named = name == conflict.gives_way || conflict.against.contains(&Ground::Wish(name));
        assert!(is_named, "{name:?} of {conflict:?}");
    }
}

#[test]
fn phase_is_as_short_as_wishes_that_can_all_be_ask_for() {
    // Nobody says “short”, but 6:52 and 7:00 do.
    let wishes = [
        (TargetName::Time(Mark(FirstCrack)), Wish::exactly(412.0)),
        (TargetName::Time(Drop), Wish::exactly(420.0)),
    ];
    let implied = shaped(&plan(), &wishes);
    assert!(implied.is_all_met(), "{:?}", implied.met);
    // Said of a phase, it also holds beside wishes that contradict each other: 412 + 8 − 400 s are missed.
    let wishes = [
        wishes[0],
        (TargetName::Time(Drop), Wish::exactly(400.0)),
        (
            TargetName::Length(PhaseName::Development),
            Wish::exactly(8.0),
        ),
    ];
    let said = shaped(&plan(), &wishes);
    assert!((missed(&said) - 20.0).abs() < 0.1, "{:?}", said.met);
}

#[test]
fn shaped_again_a_curve_stays() {
    let share = (
        TargetName::Share(PhaseName::Development),
        Wish::between(18.0, 22.0),
    );
    let drop = (TargetName::Time(Drop), Wish::exactly(540.0));
    let early = (TargetName::Time(Drop), Wish::exactly(430.0));
    let slow = (TargetName::Rise(Drop), Wish::exactly(4.0));
    let start = (TargetName::StartTemp, Wish::between(70.0, 90.0));
    for wishes in [
        vec![FALLING],
        vec![drop],
        vec![drop, FALLING],
        vec![early, share],
        vec![early, slow, FALLING],
        vec![slow, share],
        vec![start, FALLING],
    ] {
        let once = shaped(&plan(), &wishes);
        assert!(once.is_all_met(), "{:?}", once.met);
        let twice = shaped(&once.plan, &wishes);
        let seconds = (0..=430).map(f64::from);
        let off_c = seconds
            .map(|time_s| (once.plan.curve.temp_c(time_s) - twice.plan.curve.temp_c(time_s)).abs());
        let off_c = off_c.fold(0.0, f64::max);
        assert!(off_c < 0.1, "{wishes:?} move it again, by {off_c} °C");
    }
}

/// Wishes about times, shares and rises, each of which a roaster could have, but seldom all at once.
fn wish() -> impl Strategy<Value = (TargetName, Wish)> {
    let ranges = [
        (TargetName::Time(Mark(ColourChange)), 120.0, 300.0),
        (TargetName::Time(Mark(FirstCrack)), 240.0, 540.0),
        (TargetName::Time(Drop), 360.0, 720.0),
        (TargetName::Length(PhaseName::Drying), 120.0, 300.0),
        (TargetName::Length(PhaseName::Browning), 100.0, 300.0),
        (TargetName::Length(PhaseName::Development), 45.0, 180.0),
        (TargetName::Share(PhaseName::Drying), 30.0, 55.0),
        (TargetName::Share(PhaseName::Browning), 25.0, 50.0),
        (TargetName::Share(PhaseName::Development), 10.0, 30.0),
        (TargetName::Rise(Mark(ColourChange)), 10.0, 22.0),
        (TargetName::Rise(Mark(FirstCrack)), 5.0, 12.0),
        (TargetName::Rise(Drop), 2.0, 9.0),
    ];
    (select(ranges.to_vec()), 0.0..1.0_f64)
        .prop_map(|((name, low, high), share)| (name, Wish::exactly(low + share * (high - low))))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn contradictions_do_not_make_a_curve_wobble(wishes in prop::collection::vec(wish(), 2..5)) {
        let from = plan();
        let all = shaped(&from, &wishes);
        prop_assume!(!all.is_all_met());
        prop_assert!(!all.conflicts.is_empty(), "{:?}", all.met);
        let [before, after] = all.wobble_c_per_min2;
        if after <= LEAST_SMOOTH * before {
            return Ok(());
        }
        // What some of the wishes ask for that can all be met is forced.
        let some = |chosen: u32| {
            let some = wishes.iter().enumerate().filter(|(index, _)| chosen & (1 << index) != 0);
            some.map(|(_, wish)| *wish).collect::<Vec<_>>()
        };
        let met = (1..(1 << wishes.len()) - 1).map(|chosen| shaped(&from, &some(chosen)));
        let met = met.filter(Shaped::is_all_met);
        let forced = met.map(|shaped| shaped.wobble_c_per_min2[1]).fold(before, f64::max);
        prop_assert!(after <= LEAST_SMOOTH * forced, "{} of {}: {:?}", after, forced, all.met);
    }
}
