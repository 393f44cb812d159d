//! How far the curve hangs on numbers that nobody measured: which measurement would narrow it most.

use super::{
    error::CarryError,
    estimate::{self, Guess},
    handles::Freedom,
    physics::{Sides, params},
    search::{Broken, Found, Search},
    wanted::Wanted,
};
use crate::{
    lot::{Lot, LotNumber},
    plan::PlanParts,
};
use chaffinch_curve::{ControlPoint, SetpointCurve};

/// Points before this, in s, don't count in how wide a result is: a probe that was charged cold tells little before.
const COUNTED_FROM_S: f64 = 60.0;

/// How an unmeasured number widens the result.
#[derive(Clone, Debug, PartialEq)]
pub struct Sensitivity {
    /// The number that nobody measured.
    pub guess: Guess,
    /// How far each point moves in temperature if it is off by its spread, in K; all 0 where time stretches instead.
    pub temps_k: Vec<f64>,
    /// How far each point moves in time, in s; all 0 where temperatures shift instead.
    pub times_s: Vec<f64>,
    /// Root mean square of the temperatures over the points from 60 s on, in K; of all points if there are none.
    pub rms_k: f64,
    /// The same of the times, in s.
    pub rms_s: f64,
}

/// Searches that start at the curve found and have one guess off by its spread.
pub(super) struct Sensitivities<'a> {
    pub(super) sides: &'a Sides<'a>,
    pub(super) search: Search<'a>,
    pub(super) found: &'a Found,
    pub(super) freedom: Freedom,
}

impl Sensitivities<'_> {
    /// One entry for each guess that moves anything, widest first.
    pub(super) fn all(&self, guesses: Vec<Guess>) -> Result<Vec<Sensitivity>, CarryError> {
        let mut all = Vec::with_capacity(guesses.len());
        for guess in guesses {
            if let Some(sensitivity) = self.of(guess)? {
                all.push(sensitivity);
            }
        }
        let size = |found: &Sensitivity| found.rms_k + found.rms_s;
        all.sort_by(|a, b| size(b).total_cmp(&size(a)));
        Ok(all)
    }

    /// Nothing where the model takes the number neither up nor down by its spread.
    fn of(&self, guess: Guess) -> Result<Option<Sensitivity>, CarryError> {
        for sign in [1.0, -1.0] {
            match self.off(&guess, sign) {
                Ok(Some(curve)) => return Ok(Some(self.between(guess, &curve))),
                Err(Broken::Cancelled) => return Err(CarryError::Cancelled),
                // The model can't take it this way.
                Ok(None) | Err(Broken::NoStep) => {}
            }
        }
        Ok(None)
    }

    fn off(&self, guess: &Guess, sign: f64) -> Result<Option<SetpointCurve>, Broken> {
        let (from, to) = (self.sides.from, self.sides.to);
        let off_params = |parts: &PlanParts| {
            let lot = guess.off(&parts.lot, sign)?;
            params(parts, &lot).ok()
        };
        let Some(to_params) = off_params(to) else {
            return Ok(None);
        };
        // The same beans on both sides are off by the same.
        let foreseen = self.sides.from_outlook.foreseen();
        let off_wanted = (is_same_coffee(&from.lot, &to.lot))
            .then(|| off_params(from).zip(foreseen))
            .flatten()
            .and_then(|(params, foreseen)| Wanted::of(self.sides.keep, from, foreseen, &params))
            .map(|wanted| Wanted {
                miss_weight: self.search.wanted.miss_weight,
                ..wanted
            });
        let search = Search {
            params: &to_params,
            wanted: off_wanted.as_ref().unwrap_or(self.search.wanted),
            ..self.search
        };
        Ok(Some(search.from(&self.found.free)?.curve))
    }

    fn between(&self, guess: Guess, curve: &SetpointCurve) -> Sensitivity {
        let (from, to) = (&self.sides.from.lot, &self.sides.to.lot);
        let is_guessed_twice = !is_same_coffee(from, to)
            && estimate::guesses(from)
                .iter()
                .any(|other| other.number == guess.number);
        // Two independent guesses of one spread differ by √2 of it.
        let factor = if is_guessed_twice {
            std::f64::consts::SQRT_2
        } else {
            1.0
        };
        let points = self.found.curve.points();
        let moved = |of: fn(&ControlPoint) -> f64| -> Vec<f64> {
            let pairs = points.iter().zip(curve.points());
            pairs
                .map(|(here, there)| factor * (of(there) - of(here)))
                .collect()
        };
        let none = vec![0.0; points.len()];
        let (temps_k, times_s) = if self.freedom == Freedom::Gaps {
            (none, moved(|point| point.time_s))
        } else {
            (moved(|point| point.temp_c), none)
        };
        let first = points.partition_point(|point| point.time_s < COUNTED_FROM_S);
        let first = if first < points.len() { first } else { 0 };
        Sensitivity {
            guess,
            rms_k: root_mean_square(&temps_k[first..]),
            rms_s: root_mean_square(&times_s[first..]),
            temps_k,
            times_s,
        }
    }
}

/// Whether two lots are one coffee, whatever the dose.
pub(super) fn is_same_coffee(one: &Lot, other: &Lot) -> bool {
    let without_dose = |lot: &Lot| {
        let mut lot = lot.clone();
        lot.numbers.set(LotNumber::Dose, None);
        lot
    };
    without_dose(one) == without_dose(other)
}

fn root_mean_square(values: &[f64]) -> f64 {
    (values.iter().map(|value| value * value).sum::<f64>() / values.len().max(1) as f64).sqrt()
}
