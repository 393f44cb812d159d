//! What the sheets that a plan is carried to are compared with, and what of them is only guessed.

use chaffinch_craft::{
    Given, Knowledge, Lot, LotNumber, NumberName, Outlook, Plan, PlanParts,
    carry::{Guess, completed_lot, guesses},
};

/// What the sheets that are shown are compared with. What counts on both sides is what the carry-over reckons with: where nobody
/// entered a number of the coffee, what its altitude tells.
#[derive(Clone, Copy, Debug)]
pub struct Carried<'a> {
    /// The plan that is carried from, completed.
    pub from: &'a Plan,
    /// The plan whose sheets are shown, completed.
    pub to: &'a Plan,
    /// What its altitude alone would tell of the coffee carried to.
    pub by_altitude: &'a Lot,
    /// What of the coffee carried to nobody measured.
    pub guesses: &'a [Guess],
    /// The number whose measurement would narrow the result most.
    pub narrowing: Option<LotNumber>,
    /// What is foreseen on the sheets carried to, once that is known.
    pub outlook: Option<&'a Outlook>,
}

impl Carried<'_> {
    /// What is reckoned with.
    pub fn known(&self, name: NumberName) -> Option<Given> {
        name.known(self.to)
    }

    /// What the plan carried from has, if that is another value.
    pub fn before(&self, name: NumberName) -> Option<Before> {
        let value = |plan: &Plan| name.known(plan).map(|given| given.value);
        let (before, now) = (value(self.from), value(self.to));
        match (before, now) {
            (Some(before), Some(now)) if before.total_cmp(&now).is_eq() => None,
            (Some(before), _) => Some(Before::Value(before)),
            (None, Some(_)) => Some(Before::Unknown),
            (None, None) => None,
        }
    }

    /// How far a number may be off, if nobody measured it.
    pub fn guess(&self, name: NumberName) -> Option<&Guess> {
        let NumberName::Lot(number) = name else {
            return None;
        };
        self.guesses.iter().find(|guess| guess.number == number)
    }

    /// What the altitude tells of a number, if it tells anything.
    pub fn told_by_altitude(&self, name: NumberName) -> Option<f64> {
        let NumberName::Lot(number) = name else {
            return None;
        };
        let given = self.by_altitude.numbers.entered(number)?;
        (given.knowledge == Knowledge::Estimated).then_some(given.value)
    }
}

/// What stood on the sheet that is carried from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Before {
    /// Another value.
    Value(f64),
    /// Nothing: nobody knows.
    Unknown,
}

/// Both plans with their coffees completed; made anew in each frame.
#[derive(Debug)]
pub(in crate::desk::rework) struct Completed {
    from: Plan,
    to: Plan,
    by_altitude: Lot,
    guesses: Vec<Guess>,
}

impl Completed {
    /// Completes the coffees of the plan that is carried from and of the one whose sheets it is carried to.
    pub(in crate::desk::rework) fn of(from: &Plan, to: &Plan) -> Self {
        let to_completed = completed(to);
        let mut bare = to.lot.clone();
        for number in [
            LotNumber::Density,
            LotNumber::ScreenSize,
            LotNumber::Moisture,
        ] {
            bare.numbers.set(number, None);
        }
        Self {
            from: completed(from),
            guesses: guesses(&to_completed.lot),
            by_altitude: completed_lot(&bare),
            to: to_completed,
        }
    }

    /// The same for a model.
    pub(in crate::desk::rework) fn carried<'a>(
        &'a self,
        narrowing: Option<LotNumber>,
        outlook: Option<&'a Outlook>,
    ) -> Carried<'a> {
        Carried {
            from: &self.from,
            to: &self.to,
            by_altitude: &self.by_altitude,
            guesses: &self.guesses,
            narrowing,
            outlook,
        }
    }
}

fn completed(plan: &Plan) -> Plan {
    let parts = PlanParts {
        lot: completed_lot(&plan.lot),
        ..plan.clone().into_parts()
    };
    // Every guess is inside its sheet (a test of the engine holds it); the plan as it is would be a safe answer all the same.
    Plan::new(parts).unwrap_or_else(|_| plan.clone())
}

#[cfg(test)]
mod tests {
    #![allow(
        missing_docs,
        clippy::missing_assert_message,
        clippy::unwrap_used,
        reason = "tests"
    )]
    use super::*;
    use chaffinch_craft::Edit;

    const DENSITY: NumberName = NumberName::Lot(LotNumber::Density);
    const ALTITUDE: NumberName = NumberName::Lot(LotNumber::Altitude);

    fn with(plan: &Plan, name: NumberName, value: f64) -> Plan {
        let given = Given {
            value,
            knowledge: Knowledge::Measured,
        };
        plan.edited(&Edit::Number(name, Some(given))).unwrap()
    }

    #[test]
    fn what_stays_is_not_said_and_what_differs_says_what_it_was() {
        let from = with(&Plan::fresh(), DENSITY, 700.0);
        let same = Completed::of(&from, &from);
        assert_eq!(same.carried(None, None).before(DENSITY), None);
        let to = with(&from, DENSITY, 742.0);
        let other = Completed::of(&from, &to);
        let other = other.carried(None, None);
        assert_eq!(other.before(DENSITY), Some(Before::Value(700.0)));
        assert_eq!(other.guess(DENSITY), None, "it was measured");
        let high = Completed::of(&from, &with(&from, ALTITUDE, 1900.0));
        assert_eq!(
            high.carried(None, None).before(ALTITUDE),
            Some(Before::Unknown)
        );
    }

    #[test]
    fn an_altitude_tells_what_nobody_entered_and_says_how_little_it_knows() {
        let plan = Plan::fresh();
        let high = Completed::of(&plan, &with(&plan, ALTITUDE, 1900.0));
        let high = high.carried(Some(LotNumber::Density), None);
        let known = high.known(DENSITY).unwrap();
        assert_eq!(known.knowledge, Knowledge::Estimated);
        // 696 g/L at 1,400 m, and 60 g/L more for each 1,000 m: craft::carry, common practice.
        assert_eq!(known.value, 726.0);
        assert_eq!(high.told_by_altitude(DENSITY), Some(726.0));
        assert_eq!(high.guess(DENSITY).unwrap().spread, 45.0);
        assert_eq!(high.told_by_altitude(ALTITUDE), None);
    }
}
