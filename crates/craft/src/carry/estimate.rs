//! What a lot's altitude lets one guess of its density, size and moisture, with how little that is worth.
//!
//! No published free-flow density against altitude was found, so all of this is common practice without a published source, and
//! every entered number wins over it.

use super::growth::Growth;
use crate::{
    knowledge::{Given, Knowledge},
    lot::{Lot, LotNumber},
    sheet::SheetNumber,
};

/// Altitude, in m, that the usual values of the lot sheet are taken to belong to. Assumed.
const USUAL_ALTITUDE_M: f64 = 1400.0;
/// Range of equivalent altitudes, in m, that the guesses follow; beyond they stay. Assumed: where arabica is grown.
const ALTITUDES_M: (f64, f64) = (400.0, 2400.0);

/// One number that may be guessed.
struct Rule {
    number: LotNumber,
    /// Value at [`USUAL_ALTITUDE_M`] for a washed coffee, in the unit of the sheet.
    usual: f64,
    /// Change for each 1,000 m.
    per_km: f64,
    /// Change for a coffee dried in its fruit.
    natural: f64,
    /// 95 of 100 lots are taken to lie within plus or minus this.
    spread: f64,
}

/// All common practice, no published source. Densities: a trade page names 550 to 700 g/L for green coffee (baque.com, secondary).
const RULES: [Rule; 3] = [
    Rule {
        number: LotNumber::Density,
        usual: 696.0,
        per_km: 60.0,
        natural: -8.0,
        spread: 45.0,
    },
    Rule {
        number: LotNumber::ScreenSize,
        usual: 16.5,
        per_km: -0.6,
        natural: 0.0,
        spread: 1.5,
    },
    Rule {
        number: LotNumber::Moisture,
        usual: 11.2,
        per_km: 0.0,
        natural: -0.3,
        spread: 1.0,
    },
];

/// Spread of the conductivity from one lot to the next, in W/(m·K), 95 of 100 lots. Assumed: nobody measures it on a lot.
const CONDUCTIVITY_SPREAD: f64 = 0.015;

/// A number of a lot that the carry-over rests on without anybody having measured it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Guess {
    /// Which number.
    pub number: LotNumber,
    /// What is reckoned with, in the unit of the sheet.
    pub value: f64,
    /// 95 of 100 such lots are taken to lie within plus or minus this; common practice, no published source.
    pub spread: f64,
    /// Where it comes from: [`Knowledge::Estimated`] from altitude or by somebody, [`Knowledge::Assumed`] from nothing.
    pub knowledge: Knowledge,
}

/// The lot with what its altitude tells filled in where nobody entered anything; unchanged where the altitude isn't known.
pub fn completed_lot(lot: &Lot) -> Lot {
    let mut lot = lot.clone();
    let Some(growth) = growth(&lot) else {
        return lot;
    };
    let altitude_m = growth
        .equivalent_altitude_m()
        .clamp(ALTITUDES_M.0, ALTITUDES_M.1);
    let is_natural = is_natural(&lot);
    for rule in &RULES {
        if lot.numbers.entered(rule.number).is_some() || is_size_known(&lot, rule.number) {
            continue;
        }
        let by_process = if is_natural { rule.natural } else { 0.0 };
        let by_altitude = rule.per_km * (altitude_m - USUAL_ALTITUDE_M) / 1000.0;
        let given = Given {
            value: ((rule.usual + by_altitude + by_process) * 100.0).round() / 100.0,
            knowledge: Knowledge::Estimated,
        };
        lot.numbers.set(rule.number, Some(given));
    }
    lot
}

/// Altitude and latitude of a lot; nothing where nobody entered the altitude.
pub(super) fn growth(lot: &Lot) -> Option<Growth> {
    Growth::of(lot)
}

/// What of a completed lot nobody measured, in the order of the sheet.
pub fn guesses(lot: &Lot) -> Vec<Guess> {
    let spreads = RULES
        .iter()
        .map(|rule| (rule.number, rule.spread))
        .chain([(LotNumber::Conductivity, CONDUCTIVITY_SPREAD)]);
    spreads
        .filter(|(number, _)| !is_size_known(lot, *number))
        .filter_map(|(number, spread)| {
            let usual = || {
                // A size that nobody knows at all is the usual bean's.
                RULES
                    .iter()
                    .find(|rule| rule.number == number)
                    .map(|rule| Given {
                        value: rule.usual,
                        knowledge: Knowledge::Assumed,
                    })
            };
            let given = lot.numbers.known(number).or_else(usual)?;
            (given.knowledge != Knowledge::Measured).then_some(Guess {
                number,
                value: given.value,
                spread,
                knowledge: given.knowledge,
            })
        })
        .collect()
}

impl Guess {
    /// The measurement that would take the place of the guess.
    pub fn measurement(&self) -> &'static str {
        match self.number {
            LotNumber::Density => "weigh one litre of the green coffee (ISO 6669)",
            LotNumber::ScreenSize => "weigh 100 beans",
            LotNumber::Moisture => "measure the moisture",
            _ => "nobody measures it on a lot",
        }
    }

    /// Whether a roaster can measure it at all.
    pub fn can_be_measured(&self) -> bool {
        self.number != LotNumber::Conductivity
    }

    /// The lot with this number off by its spread, up or down; nothing where the sheet doesn't take it.
    pub(super) fn off(&self, lot: &Lot, sign: f64) -> Option<Lot> {
        let value = self.value + sign * self.spread;
        let facts = self.number.facts();
        let is_taken = (facts.least..=facts.most).contains(&value);
        let mut lot = lot.clone();
        let given = Given {
            value,
            knowledge: self.knowledge,
        };
        lot.numbers.set(self.number, Some(given));
        is_taken.then_some(lot)
    }
}

/// The weight of 100 beans tells the size, so that no screen is asked for.
fn is_size_known(lot: &Lot, number: LotNumber) -> bool {
    number == LotNumber::ScreenSize && lot.numbers.entered(LotNumber::HundredBeans).is_some()
}

fn is_natural(lot: &Lot) -> bool {
    let process = lot.process.to_lowercase();
    process.contains("natural") || process.contains("dry process")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]
    use super::*;

    fn lot(altitude_m: f64) -> Lot {
        let mut lot = Lot::default();
        let given = Given {
            value: altitude_m,
            knowledge: Knowledge::Measured,
        };
        lot.numbers.set(LotNumber::Altitude, Some(given));
        lot
    }

    fn value(lot: &Lot, number: LotNumber) -> f64 {
        lot.numbers.entered(number).unwrap().value
    }

    #[test]
    fn higher_is_denser_and_smaller_and_marked_as_estimated() {
        let (low, high) = (completed_lot(&lot(900.0)), completed_lot(&lot(1900.0)));
        assert!(
            value(&low, LotNumber::Density) + 59.0 < value(&high, LotNumber::Density),
            "density"
        );
        assert!(
            value(&high, LotNumber::ScreenSize) < value(&low, LotNumber::ScreenSize),
            "size"
        );
        let density = low.numbers.entered(LotNumber::Density).unwrap();
        assert_eq!(density.knowledge, Knowledge::Estimated, "mark");
    }

    #[test]
    fn whatever_was_entered_wins_and_nothing_comes_of_no_altitude() {
        let mut measured = lot(1900.0);
        let given = Given {
            value: 655.0,
            knowledge: Knowledge::Measured,
        };
        measured.numbers.set(LotNumber::Density, Some(given));
        measured.numbers.set(
            LotNumber::HundredBeans,
            Some(Given {
                value: 15.0,
                ..given
            }),
        );
        let completed = completed_lot(&measured);
        assert_eq!(value(&completed, LotNumber::Density), 655.0, "measured");
        assert_eq!(
            completed.numbers.entered(LotNumber::ScreenSize),
            None,
            "100 beans tell the size"
        );
        let left: Vec<LotNumber> = guesses(&completed)
            .iter()
            .map(|guess| guess.number)
            .collect();
        assert_eq!(
            left,
            [LotNumber::Moisture, LotNumber::Conductivity],
            "left to guess"
        );
        assert_eq!(
            completed_lot(&Lot::default()),
            Lot::default(),
            "no altitude"
        );
    }

    #[test]
    fn every_guess_of_every_altitude_is_inside_its_sheet_and_the_models_range() {
        for altitude_m in [0.0, 900.0, 1400.0, 2000.0, 3500.0] {
            for latitude_deg in [None, Some(0.0), Some(25.0)] {
                let mut lot = lot(altitude_m);
                let knowledge = Knowledge::Measured;
                let latitude = latitude_deg.map(|value| Given { value, knowledge });
                lot.numbers.set(LotNumber::Latitude, latitude);
                let lot = completed_lot(&lot);
                assert!(lot.numbers.check().is_ok(), "{lot:?}");
                for guess in guesses(&lot) {
                    assert!(
                        guess.off(&lot, 1.0).is_some() && guess.off(&lot, -1.0).is_some(),
                        "{guess:?}"
                    );
                }
            }
        }
    }
}
