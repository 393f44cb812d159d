//! Any table of rules of practice and any targets, for property tests.

use crate::arbitrary::number;
use chaffinch_craft::{
    carry::{PracticeRules, Rule, RuleName},
    shape::{TargetName, TargetUnit, Targets, Wish},
};
use proptest::prelude::{Strategy, any};

/// Any table of rules.
pub(crate) fn rules() -> impl Strategy<Value = PracticeRules> {
    let rules: Vec<_> = RuleName::ALL
        .into_iter()
        .map(|name| {
            let facts = name.facts();
            (
                number(-facts.steepest, facts.steepest),
                number(0.0, facts.widest),
            )
        })
        .collect();
    (number(0.0, 3500.0), rules).prop_map(|(reference_m, rules)| {
        let start = PracticeRules::default().from_altitude(reference_m).unwrap();
        RuleName::ALL
            .into_iter()
            .zip(rules)
            .fold(start, |table, (name, (per_100_m, most))| {
                table.with(name, Rule { per_100_m, most }).unwrap()
            })
    })
}

/// Any targets.
pub(crate) fn targets() -> impl Strategy<Value = Targets> {
    let wishes: Vec<_> = TargetName::ALL
        .into_iter()
        .map(|name| {
            let facts = name.facts();
            let value = || number(facts.least, facts.most);
            (any::<bool>(), 0..4, value(), value())
        })
        .collect();
    wishes.prop_map(|wishes| {
        let wishes = TargetName::ALL.into_iter().zip(wishes);
        let wished = wishes.filter(|(_, (is_wished, ..))| *is_wished);
        wished.fold(Targets::default(), |targets, (name, (_, form, a, b))| {
            let wish = match form {
                _ if name.facts().unit == TargetUnit::Nothing => Wish::HOLDS,
                0 => Wish::exactly(a),
                1 => Wish::between(a.min(b), a.max(b)),
                2 => Wish {
                    least: Some(a),
                    most: None,
                },
                _ => Wish {
                    least: None,
                    most: Some(a),
                },
            };
            targets.with(name, wish).unwrap()
        })
    })
}
