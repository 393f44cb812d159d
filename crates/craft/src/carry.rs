//! Carry over: a plan that works, reworked for another coffee, machine or room, with a chosen history kept the same.
//!
//! Three layers, kept apart. *Physics* asks the twin: a least-squares search over the control points for the curve whose roast goes
//! through the same history. *Practice* applies an editable table of rules that roasters keep beyond physics. *Your roasts* says how
//! many liked roasts are missing before it could say anything. Each can be switched off and tells its own size.
//!
//! Physics alone moves a curve by a few °C, because what growing high does to a bean partly cancels: denser, but smaller. Nothing here
//! says more than that.

mod as_edit;
mod band;
mod before_after;
mod caution_lines;
mod delivered;
mod drawn;
mod error;
mod estimate;
mod growth;
mod handles;
mod keep;
mod layer_size;
mod left;
mod lifted;
mod over;
mod physics;
mod practice;
mod practice_layer;
mod progress;
mod reasons;
mod report;
mod run;
mod search;
mod sensitivity;
mod stretch;
#[cfg(test)]
mod tests;
mod text;
mod thumb;
mod wanted;
mod your_roasts;

pub use band::CarryBand;
pub use before_after::BeforeAfter;
pub use caution_lines::CarryCaution;
pub use error::CarryError;
pub use estimate::{Guess, completed_lot, guesses};
pub use growth::{
    ALTITUDE_GRADES, AltitudeGrade, EQUIVALENT_ALTITUDE_TEXT, GRADES_TEXT, Growth,
    REFERENCE_LATITUDE_DEG,
};
pub use keep::{BROWNING_ACTIVATION_J_PER_MOL, Keep};
pub use layer_size::{Layer, LayerSize};
pub use left::{Left, Shortfall};
pub use over::{CarryOver, Level, LevelCarry, Picture, PointCarry, Practice, Shift};
pub use practice::{PracticeRules, REFERENCE_ALTITUDE_M, Rule, RuleError, RuleFacts, RuleName};
pub use reasons::{Difference, Effect, Reason};
pub use sensitivity::Sensitivity;
pub use text::{CARRY_TRUST_TEXT, carry_text};
pub use thumb::{RULES_OF_THUMB, RuleOfThumb, ThumbAnswer, Verdict, thumb_table};
pub use your_roasts::{LEAST_LIKED_ROASTS, YourRoasts};

use crate::{
    lot::{Lot, LotNumber},
    machine::Machine,
    outlook::Outlook,
    plan::{Plan, PlanParts},
    room::Room,
};
use drawn::Drawn;
use over::{levels, points};
use physics::{Physics, Sides};
use progress::Progress;
use std::sync::atomic::AtomicBool;

/// What a plan is carried to.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    /// The coffee, with its dose.
    pub lot: Lot,
    /// The machine.
    pub machine: Machine,
    /// The room and its mains.
    pub room: Room,
}

impl Target {
    /// The sheets that `plan` has already.
    pub fn of(plan: &PlanParts) -> Self {
        Self {
            lot: plan.lot.clone(),
            machine: plan.machine.clone(),
            room: plan.room.clone(),
        }
    }

    /// The same with another coffee; its dose is that of the coffee before where it names none.
    #[must_use]
    pub fn with_lot(mut self, mut lot: Lot) -> Self {
        if lot.numbers.entered(LotNumber::Dose).is_none() {
            let dose = self.lot.numbers.entered(LotNumber::Dose);
            lot.numbers.set(LotNumber::Dose, dose);
        }
        self.lot = lot;
        self
    }
}

/// What to carry, where to, and how.
#[derive(Clone, Debug)]
pub struct CarryRequest<'a> {
    /// A plan that works.
    pub from: &'a Plan,
    /// The sheets to carry it to.
    pub to: Target,
    /// What stays the same.
    pub keep: Keep,
    /// Whether the twin has a say.
    pub physics: bool,
    /// The rules of practice; nothing switches them off.
    pub practice: Option<&'a PracticeRules>,
    /// What the notebook holds of both coffees.
    pub your_roasts: YourRoasts,
    /// How far to go, 0 to 100 %.
    pub percent: f64,
    /// Marks and finishes that the roaster sets by hand, in °C, whatever the layers say.
    pub set_levels: Vec<(Level, f64)>,
}

impl<'a> CarryRequest<'a> {
    /// Carries `from` to `to` with the core history kept, physics on, practice off, all the way.
    pub fn new(from: &'a Plan, to: Target) -> Self {
        Self {
            from,
            to,
            keep: Keep::default(),
            physics: true,
            practice: None,
            your_roasts: YourRoasts::default(),
            percent: 100.0,
            set_levels: Vec::new(),
        }
    }
}

/// Carries a plan over, within 250 ms for curves of usual size; `progress` hears the share that is done, 0 to 1.
///
/// # Errors
/// [`CarryError`]: cancelled; a percentage out of range; nothing can be foreseen of the plan carried from, or of the
/// sheets carried to whatever the curve; marks too close for the rules of practice; no curve found; a sheet that no plan takes; a mark or finish set where the plan can't have it.
pub fn carry(
    request: &CarryRequest<'_>,
    is_cancelled: &AtomicBool,
    progress: &dyn Fn(f64),
) -> Result<CarryOver, CarryError> {
    check(request)?;
    let progress = Progress::new(is_cancelled, progress);
    let from = Plan::new(PlanParts {
        lot: completed_lot(&request.from.lot),
        ..request.from.clone().into_parts()
    })?;
    let target = request.to.clone();
    let mut to = PlanParts {
        lot: completed_lot(&target.lot),
        machine: target.machine,
        room: target.room,
        ..from.clone().into_parts()
    };
    Plan::new(to.clone())?;
    let before = Picture::of(&from);
    let physics = if request.physics {
        let sides = lifted_sides(request.keep, &from, &before.outlook, &mut to)?;
        Some(physics::carried(&sides, &progress)?)
    } else {
        None
    };
    let old = Drawn::of(&from);
    let middle = physics
        .as_ref()
        .map_or_else(|| old.clone(), |physics| physics.drawn.clone());
    let (practice, full) = practised(request, (&from.lot, &to.lot), &middle)?;
    let blended = old
        .blended(&full, request.percent / 100.0)
        .map_err(|_| CarryError::NoCurve)?;
    let mut parts = blended.onto(to.clone());
    over::set_levels(&mut parts, &request.set_levels)?;
    parts.notes = report::noted(request, &practice);
    let edit = as_edit::edit_between(request.from, &parts);
    let plan = request.from.edited(&edit)?;
    let left = physics.as_ref().map(Left::of);
    let shortfall = shortfall(physics.as_ref(), left.as_ref(), &from)?;
    let carried = CarryOver {
        keep: request.keep,
        percent: request.percent,
        after: Picture::of(&plan),
        points: points([&old, &middle, &full], &plan),
        levels: levels([&old, &middle, &full], &plan),
        physics: request.physics,
        practice,
        your_roasts: request.your_roasts,
        left,
        shortfall,
        air_factor: air_factor(&old, &middle),
        reasons: if request.physics {
            reasons::reasons(&from, &before.outlook, &to)
        } else {
            Vec::new()
        },
        sensitivities: physics.map_or_else(Vec::new, |physics| physics.sensitivities),
        before,
        plan,
        edit,
    };
    progress.finish();
    Ok(carried)
}

fn check(request: &CarryRequest<'_>) -> Result<(), CarryError> {
    if (0.0..=100.0).contains(&request.percent) {
        Ok(())
    } else {
        Err(CarryError::Percent {
            found: request.percent,
        })
    }
}

/// Both sides of the physics, with an airflow that lifts the bed on the side carried to.
fn lifted_sides<'a>(
    keep: Keep,
    from: &'a Plan,
    from_outlook: &'a Outlook,
    to: &'a mut PlanParts,
) -> Result<Sides<'a>, CarryError> {
    if !from_outlook.limits().is_empty() {
        return Err(CarryError::NoHistory {
            limits: from_outlook.limits().to_vec(),
        });
    }
    to.airflow = lifted::lifted_airflow(from_outlook, to)?;
    Ok(Sides {
        keep,
        from,
        from_outlook,
        to,
    })
}

fn practised(
    request: &CarryRequest<'_>,
    (from, to): (&Lot, &Lot),
    drawn: &Drawn,
) -> Result<(Practice, Drawn), CarryError> {
    let Some(rules) = request.practice else {
        return Ok((Practice::Off, drawn.clone()));
    };
    let growths = estimate::growth(from).zip(estimate::growth(to));
    let Some((from, to)) = growths else {
        return Ok((Practice::NoAltitude, drawn.clone()));
    };
    let (from_m, to_m) = (from.equivalent_altitude_m(), to.equivalent_altitude_m());
    let drawn = practice_layer::practised(drawn, rules, from_m, to_m)?;
    Ok((Practice::Applied { from_m, to_m }, drawn))
}

fn shortfall(
    physics: Option<&Physics>,
    left: Option<&Left>,
    from: &PlanParts,
) -> Result<Option<Shortfall>, CarryError> {
    let Some((physics, left)) = physics.zip(left) else {
        return Ok(None);
    };
    let from_params = physics::params_of(from)?;
    Ok(Shortfall::of(physics, left, &from_params))
}

fn air_factor(old: &Drawn, new: &Drawn) -> f64 {
    let pairs = old.airflow.points().iter().zip(new.airflow.points());
    let factors = pairs
        .filter(|(old, _)| 0.0 < old.percent)
        .map(|(old, new)| new.percent / old.percent);
    factors.fold(1.0, |most: f64, factor| {
        if (most - 1.0).abs() < (factor - 1.0).abs() {
            factor
        } else {
            most
        }
    })
}
