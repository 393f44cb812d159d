//! What roasters do with high-grown and low-grown coffee beyond physics: an editable table, bounded, easy to replace.
//!
//! Every default is common practice without a published source, and deliberately small. Each rule says how one thing differs for each
//! 100 m from a reference altitude, up to a bound; carrying from one altitude to another applies the difference of the two, so that
//! there and back is nothing at all.

use crate::sheet::SheetUnit;
use thiserror::Error;

/// What a rule of practice changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum RuleName {
    /// Mean rise during drying, in %.
    DryingRise,
    /// Length of browning, in %.
    BrowningLength,
    /// The first-crack mark, in °C.
    FirstCrack,
    /// Every drop temperature, in °C.
    Drop,
    /// Length of development, in %.
    DevelopmentLength,
}

/// Change for each 100 m and the most that it may come to; in % or °C.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rule {
    /// Change for each 100 m above the reference altitude.
    pub per_100_m: f64,
    /// Most change either way, however high or low.
    pub most: f64,
}

/// What is known beforehand of a rule.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RuleFacts {
    /// Its label.
    pub label: &'static str,
    /// Unit of its change.
    pub unit: SheetUnit,
    /// Greatest change for each 100 m that the table takes, either way.
    pub steepest: f64,
    /// Greatest bound that the table takes.
    pub widest: f64,
    /// The default; common practice, no published source.
    pub usual: Rule,
    /// Why roasters do it, in plain words.
    pub explanation: &'static str,
}

impl RuleName {
    /// All rules, in the order of the table.
    pub const ALL: [Self; 5] = [
        Self::DryingRise,
        Self::BrowningLength,
        Self::FirstCrack,
        Self::Drop,
        Self::DevelopmentLength,
    ];

    /// What is known of the rule beforehand.
    pub fn facts(self) -> &'static RuleFacts {
        &FACTS[self as usize]
    }
}

const PERCENT: SheetUnit = SheetUnit::Plain("%");

/// In the order of [`RuleName::ALL`]. Common practice, no published source, all of it.
const FACTS: [RuleFacts; 5] = [
    RuleFacts {
        label: "Rise during drying",
        unit: PERCENT,
        steepest: 5.0,
        widest: 30.0,
        usual: Rule {
            per_100_m: 0.5,
            most: 5.0,
        },
        explanation: "High-grown, hard beans are commonly given a little more heat early, soft low-grown ones a little less so that they don't scorch. Common practice, no published source.",
    },
    RuleFacts {
        label: "Length of browning",
        unit: PERCENT,
        steepest: 5.0,
        widest: 30.0,
        usual: Rule {
            per_100_m: 0.4,
            most: 4.0,
        },
        explanation: "High-grown coffee is often given a little longer from colour change to first crack, to round its acidity; others do the opposite. Common practice, no published source.",
    },
    RuleFacts {
        label: "First crack",
        unit: SheetUnit::TemperatureDifference,
        steepest: 1.0,
        widest: 5.0,
        usual: Rule {
            per_100_m: 0.1,
            most: 1.0,
        },
        explanation: "Dense beans are commonly said to crack a little hotter. Common practice, no published source.",
    },
    RuleFacts {
        label: "Drop",
        unit: SheetUnit::TemperatureDifference,
        steepest: 1.0,
        widest: 5.0,
        usual: Rule {
            per_100_m: 0.1,
            most: 1.0,
        },
        explanation: "The drop moves with first crack, so that development spans the same degrees. Common practice, no published source.",
    },
    RuleFacts {
        label: "Length of development",
        unit: PERCENT,
        steepest: 5.0,
        widest: 30.0,
        usual: Rule {
            per_100_m: 0.0,
            most: 5.0,
        },
        explanation: "Roasters disagree whether hard beans want more time after first crack or less, so nothing changes unless you say so. Common practice, no published source.",
    },
];

/// Altitude, in m, from which the rules count. Assumed: about the middle of where specialty arabica grows.
pub const REFERENCE_ALTITUDE_M: f64 = 1400.0;

/// Why a rule can't be as wished.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum RuleError {
    /// Too steep, or not a number.
    #[error(
        "{label} changes by {found} {unit} for each 100 m; expected at most {most} {unit} either way"
    )]
    TooSteep {
        /// The rule's label.
        label: &'static str,
        /// What was found.
        found: f64,
        /// Greatest size.
        most: f64,
        /// Its unit.
        unit: &'static str,
    },
    /// Bound too wide, or not a number.
    #[error("{label} may change by {found} {unit}; expected 0 to {most} {unit}")]
    TooWide {
        /// The rule's label.
        label: &'static str,
        /// What was found.
        found: f64,
        /// Greatest bound.
        most: f64,
        /// Its unit.
        unit: &'static str,
    },
    /// The reference altitude is out of range.
    #[error("the reference altitude is {found_m} m; expected 0 to 3500 m")]
    Reference {
        /// What was found, in m.
        found_m: f64,
    },
}

/// The table of rules.
#[derive(Clone, Debug, PartialEq)]
pub struct PracticeRules {
    reference_m: f64,
    rules: [Rule; 5],
}

impl Default for PracticeRules {
    fn default() -> Self {
        Self {
            reference_m: REFERENCE_ALTITUDE_M,
            rules: RuleName::ALL.map(|name| name.facts().usual),
        }
    }
}

impl PracticeRules {
    /// Altitude that the rules count from, in m.
    pub fn reference_m(&self) -> f64 {
        self.reference_m
    }

    /// One rule.
    pub fn rule(&self, name: RuleName) -> Rule {
        self.rules[name as usize]
    }

    /// The table with another rule in place of `name`'s.
    ///
    /// # Errors
    /// [`RuleError`] where it is too steep, its bound too wide, or a number not finite.
    pub fn with(mut self, name: RuleName, rule: Rule) -> Result<Self, RuleError> {
        let facts = name.facts();
        let unit = facts.unit.kept_symbol();
        if !(-facts.steepest..=facts.steepest).contains(&rule.per_100_m) {
            return Err(RuleError::TooSteep {
                label: facts.label,
                found: rule.per_100_m,
                most: facts.steepest,
                unit,
            });
        }
        if !(0.0..=facts.widest).contains(&rule.most) {
            return Err(RuleError::TooWide {
                label: facts.label,
                found: rule.most,
                most: facts.widest,
                unit,
            });
        }
        self.rules[name as usize] = rule;
        Ok(self)
    }

    /// The table counted from another altitude, in m, 0 to 3,500.
    ///
    /// # Errors
    /// [`RuleError::Reference`] outside that range.
    pub fn from_altitude(mut self, reference_m: f64) -> Result<Self, RuleError> {
        if !(0.0..=3500.0).contains(&reference_m) {
            return Err(RuleError::Reference {
                found_m: reference_m,
            });
        }
        self.reference_m = reference_m;
        Ok(self)
    }

    /// What a rule comes to at an equivalent altitude, in % or °C against the reference altitude.
    pub fn change(&self, name: RuleName, altitude_m: f64) -> f64 {
        let Rule { per_100_m, most } = self.rule(name);
        (per_100_m * (altitude_m - self.reference_m) / 100.0).clamp(-most, most)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]
    use super::*;

    #[test]
    fn changes_grow_with_altitude_up_to_their_bound() {
        let rules = PracticeRules::default();
        let rise = |altitude_m| rules.change(RuleName::DryingRise, altitude_m);
        assert_eq!(rise(REFERENCE_ALTITUDE_M), 0.0, "reference");
        assert!((rise(1900.0) - 2.5).abs() < 1e-12, "{}", rise(1900.0));
        assert_eq!(rise(9000.0), 5.0, "bound");
        assert_eq!(rise(-9000.0), -5.0, "bound below");
    }

    #[test]
    fn rules_out_of_range_are_refused_with_their_range() {
        let rules = PracticeRules::default();
        let steep = Rule {
            per_100_m: 7.0,
            most: 5.0,
        };
        let error = rules
            .clone()
            .with(RuleName::DryingRise, steep)
            .unwrap_err()
            .to_string();
        assert!(error.contains("7 %") && error.contains("5 %"), "{error}");
        let wide = Rule {
            per_100_m: 0.1,
            most: f64::NAN,
        };
        assert!(rules.clone().with(RuleName::Drop, wide).is_err(), "NaN");
        assert!(rules.from_altitude(-1.0).is_err(), "reference");
    }

    #[test]
    fn every_default_says_that_it_has_no_source_and_is_inside_its_range() {
        for name in RuleName::ALL {
            let facts = name.facts();
            assert!(
                facts
                    .explanation
                    .contains("Common practice, no published source"),
                "{}",
                facts.label
            );
            let same = PracticeRules::default().with(name, facts.usual);
            assert_eq!(same, Ok(PracticeRules::default()), "{}", facts.label);
        }
    }
}
