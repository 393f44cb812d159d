//! Rules of thumb of the trade beside what the model says of them: sign and size, reckoned anew each time, never written down here.
//!
//! Common practice without a published source, all of them: the facts of the trade that this project has collected
//! (`shared/reference/13_trade/trade-facts.csv`) name none for how to roast dense, wet or high-grown coffee. A rule that the model
//! disagrees with is no fault of either: roasters go by taste, the model by heat.

use super::{CarryError, CarryOver, CarryRequest, Keep, Level, Picture, Target, carry};
use crate::{
    edit::MarkName,
    knowledge::{Given, Knowledge},
    lot::{Lot, LotNumber},
    outlook::Foreseen,
    plan::{Plan, PlanParts},
    room::RoomNumber,
    units::{TempUnit, format_number, format_temp_shift_with_unit, format_time_shift},
};
use std::sync::atomic::AtomicBool;

/// The mark of every rule here.
const NO_SOURCE: &str = "common practice, no published source";
/// Points before this, in s, don't count as drying: a probe that was charged cold tells little before.
const COUNTED_FROM_S: f64 = 60.0;
/// Changes that the rules are tried with. Assumed: what two lots, doses or rooms of one roastery may differ by.
const DENSER: f64 = 1.1;
/// … in size, as a factor on the diameter.
const LARGER: f64 = 1.05;
/// … in moisture, in points.
const WETTER_PERCENT: f64 = 1.0;
/// … in altitude of growth, in m.
const GROWN_HIGHER_M: f64 = 1000.0;
/// … in dose, as a factor.
const MORE: f64 = 1.15;
/// … in the room's air, in K.
const COLDER_K: f64 = 12.0;
/// … in the room's altitude, in m.
const ROOM_HIGHER_M: f64 = 1500.0;

/// What is read off a carry-over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Figure {
    /// Mean shift of the curve's points from 60 s to colour change, in K.
    DryingShift,
    /// Change of the drawn roast's length, in s.
    Length,
    /// Change of the first-crack mark, in K.
    FirstCrack,
    /// Change of the heater's energy, in %.
    Energy,
    /// Change of the greatest heater effort once probe and curve have met, in points.
    Effort,
    /// Change of the weight loss, in points.
    WeightLoss,
}

/// A rule of thumb.
#[derive(Clone, Copy, Debug)]
pub struct RuleOfThumb {
    /// What roasters say.
    pub says: &'static str,
    /// Where it is written.
    pub source: &'static str,
    /// What is changed to try it, in words.
    pub tried: &'static str,
    /// What is kept in trying it.
    pub keep: Keep,
    /// Whether the rule says more, or less.
    says_more: bool,
    figure: Figure,
    /// The plan to start from and the sheets to carry it to, from a plan that works.
    sides: fn(&PlanParts) -> (PlanParts, Target),
}

/// Whether the model agrees with a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It finds the same sign.
    Agrees,
    /// It finds next to nothing.
    HardlyShows,
    /// It finds the other sign.
    Disagrees,
}

/// What the model says of a rule, on one plan.
#[derive(Clone, Debug)]
pub struct ThumbAnswer {
    /// The rule.
    pub rule: &'static RuleOfThumb,
    /// The size that the model finds, in the unit of the figure; or why there is none.
    found: Result<f64, CarryError>,
}

const fn rule(
    says: &'static str,
    tried: &'static str,
    (says_more, figure): (bool, Figure),
    keep: Keep,
    sides: fn(&PlanParts) -> (PlanParts, Target),
) -> RuleOfThumb {
    RuleOfThumb {
        says,
        source: NO_SOURCE,
        tried,
        keep,
        says_more,
        figure,
        sides,
    }
}

const CORE: Keep = Keep::CoreHistory;
const SPREAD: Keep = Keep::SurfaceToCore;

/// All rules, in the order of the table. Common practice, no published source, all of them.
pub static RULES_OF_THUMB: [RuleOfThumb; 13] = [
    rule(
        "Dense beans take more heat early",
        "10 % denser",
        (true, Figure::DryingShift),
        CORE,
        |plan| to_lot(plan, |lot| scaled(lot, LotNumber::Density, DENSER)),
    ),
    rule(
        "Dense beans crack hotter",
        "10 % denser",
        (true, Figure::FirstCrack),
        CORE,
        |plan| to_lot(plan, |lot| scaled(lot, LotNumber::Density, DENSER)),
    ),
    rule(
        "Small beans take less heat early",
        "5 % smaller across",
        (false, Figure::DryingShift),
        CORE,
        |plan| to_lot(plan, |lot| resized(lot, 1.0 / LARGER)),
    ),
    rule(
        "Large beans want a longer roast to be even",
        "5 % larger across",
        (true, Figure::Length),
        SPREAD,
        |plan| to_lot(plan, |lot| resized(lot, LARGER)),
    ),
    rule(
        "Wet beans take more heat while they dry",
        "1 point wetter",
        (true, Figure::DryingShift),
        CORE,
        |plan| to_lot(plan, |lot| moistened(lot, WETTER_PERCENT)),
    ),
    rule(
        "Dry, aged beans want less heat early",
        "1 point drier",
        (false, Figure::DryingShift),
        CORE,
        |plan| to_lot(plan, |lot| moistened(lot, -WETTER_PERCENT)),
    ),
    rule(
        "Wet beans lose more weight",
        "1 point wetter",
        (true, Figure::WeightLoss),
        CORE,
        |plan| to_lot(plan, |lot| moistened(lot, WETTER_PERCENT)),
    ),
    rule(
        "High-grown coffee takes more heat early",
        "grown 1,000 m higher, nothing else known",
        (true, Figure::DryingShift),
        CORE,
        |plan| by_altitude(plan, |lot| lifted(lot, GROWN_HIGHER_M)),
    ),
    rule(
        "High-grown coffee wants a longer roast to be even",
        "grown 1,000 m higher, nothing else known",
        (true, Figure::Length),
        SPREAD,
        |plan| by_altitude(plan, |lot| lifted(lot, GROWN_HIGHER_M)),
    ),
    rule(
        "Washed coffee takes more heat early than natural",
        "natural to washed, nothing else known",
        (true, Figure::DryingShift),
        CORE,
        |plan| {
            let (mut from, mut to) = by_altitude(plan, Clone::clone);
            "natural".clone_into(&mut from.lot.process);
            "washed".clone_into(&mut to.lot.process);
            (from, to)
        },
    ),
    rule(
        "A larger dose takes more energy",
        "15 % more",
        (true, Figure::Energy),
        CORE,
        |plan| to_lot(plan, |lot| scaled(lot, LotNumber::Dose, MORE)),
    ),
    rule(
        "A cold room takes more energy",
        "12 °C colder",
        (true, Figure::Energy),
        CORE,
        |plan| to_room(plan, RoomNumber::AirTemp, -COLDER_K),
    ),
    rule(
        "A high room, with its thin air, wants more heat",
        "1,500 m higher",
        (true, Figure::Effort),
        CORE,
        |plan| to_room(plan, RoomNumber::Altitude, ROOM_HIGHER_M),
    ),
];

/// What the model says of every rule on the curve, machine and room of `from`: one carry-over a rule. `from` should know density,
/// moisture, size and altitude of its coffee.
///
/// # Errors
/// [`CarryError::Cancelled`]; any other stands in the answer that it concerns.
pub fn thumb_table(from: &Plan, is_cancelled: &AtomicBool) -> Result<Vec<ThumbAnswer>, CarryError> {
    let answer = |rule: &'static RuleOfThumb| match rule.found(from, is_cancelled) {
        Err(CarryError::Cancelled) => Err(CarryError::Cancelled),
        found => Ok(ThumbAnswer { rule, found }),
    };
    RULES_OF_THUMB.iter().map(answer).collect()
}

impl RuleOfThumb {
    fn found(&self, plan: &Plan, is_cancelled: &AtomicBool) -> Result<f64, CarryError> {
        let (from, to) = (self.sides)(plan);
        let from = Plan::new(from)?;
        let mut request = CarryRequest::new(&from, to);
        request.keep = self.keep;
        let carried = carry(&request, is_cancelled, &|_| ())?;
        self.figure.of(&carried).ok_or(CarryError::NoCurve)
    }
}

impl ThumbAnswer {
    /// Whether the model agrees; nothing where it has no answer.
    pub fn verdict(&self) -> Option<Verdict> {
        let found = *self.found.as_ref().ok()?;
        Some(if found.abs() < self.rule.figure.least() {
            Verdict::HardlyShows
        } else if (0.0 < found) == self.rule.says_more {
            Verdict::Agrees
        } else {
            Verdict::Disagrees
        })
    }

    /// What the model finds, with what it is: “curve +2.1 °C while drying”.
    pub fn text(&self, unit: TempUnit) -> String {
        match &self.found {
            Ok(found) => self.rule.figure.text(*found, unit),
            Err(error) => format!("no answer: {error}"),
        }
    }
}

impl Verdict {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Agrees => "agrees",
            Self::HardlyShows => "hardly shows",
            Self::Disagrees => "disagrees",
        }
    }
}

impl Figure {
    fn of(self, carried: &CarryOver) -> Option<f64> {
        let (before, after) = (&carried.before, &carried.after);
        let foreseen = |of: fn(&Foreseen) -> f64| {
            let value = |picture: &Picture| picture.outlook.foreseen().map(of);
            value(before).zip(value(after))
        };
        match self {
            Self::DryingShift => {
                let colour_s = before.derived.phases.colour_change.reached()?.time_s;
                let pairs = before.derived.points.iter().zip(&carried.points);
                let is_drying =
                    |id| {
                        carried.plan.curve.point(id).is_some_and(|point| {
                            (COUNTED_FROM_S..=colour_s).contains(&point.time_s)
                        })
                    };
                let shifts_k: Vec<f64> = pairs
                    .filter(|(facts, _)| is_drying(facts.id))
                    .map(|(_, point)| point.total.temp_k)
                    .collect();
                (!shifts_k.is_empty()).then(|| shifts_k.iter().sum::<f64>() / shifts_k.len() as f64)
            }
            Self::Length => {
                let length = |picture: &Picture| {
                    let drop = picture.derived.phases.drop;
                    drop.reached().map(|drop| drop.time_s)
                };
                Some(length(after)? - length(before)?)
            }
            Self::FirstCrack => {
                let crack = Level::Mark(MarkName::FirstCrack);
                let level = carried.levels.iter().find(|level| level.level == crack)?;
                Some(level.physics_k)
            }
            Self::Energy => foreseen(|found| found.figures.heater_kwh)
                .map(|(old, new)| 100.0 * (new / old - 1.0)),
            Self::Effort => before
                .effort_on_curve()
                .zip(after.effort_on_curve())
                .map(|(old, new)| 100.0 * (new.value - old.value)),
            Self::WeightLoss => {
                foreseen(|found| found.figures.weight_loss).map(|(old, new)| 100.0 * (new - old))
            }
        }
    }

    /// Below this size nothing shows. Ours: about half of what a roaster would set.
    fn least(self) -> f64 {
        match self {
            Self::DryingShift | Self::FirstCrack => 0.25,
            Self::Length => 3.0,
            Self::Energy | Self::Effort => 0.5,
            Self::WeightLoss => 0.1,
        }
    }

    fn text(self, found: f64, unit: TempUnit) -> String {
        let signed = |what: &str| {
            let plus = if 0.0 < found { "+" } else { "" };
            format!("{plus}{} {what}", format_number(found, 1))
        };
        match self {
            Self::DryingShift => format!(
                "curve {} while drying",
                format_temp_shift_with_unit(found, unit)
            ),
            Self::FirstCrack => format!(
                "first-crack mark {}",
                format_temp_shift_with_unit(found, unit)
            ),
            Self::Length => format!("roast {}", format_time_shift(found)),
            Self::Energy => format!("energy {}", signed("%")),
            Self::Effort => format!("greatest effort {}", signed("points")),
            Self::WeightLoss => format!("weight loss {}", signed("points")),
        }
    }
}

fn to_lot(plan: &PlanParts, change: impl Fn(&Lot) -> Lot) -> (PlanParts, Target) {
    let mut to = Target::of(plan);
    to.lot = change(&plan.lot);
    (plan.clone(), to)
}

/// Both sides with nothing known of the coffee but its altitude, process and dose.
fn by_altitude(plan: &PlanParts, change: impl Fn(&Lot) -> Lot) -> (PlanParts, Target) {
    let mut from = plan.clone();
    let known = [LotNumber::Altitude, LotNumber::Latitude, LotNumber::Dose];
    from.lot.numbers = plan
        .lot
        .numbers
        .all_entered()
        .filter(|(number, _)| known.contains(number))
        .collect();
    to_lot(&from, change)
}

fn to_room(plan: &PlanParts, number: RoomNumber, by: f64) -> (PlanParts, Target) {
    let mut to = Target::of(plan);
    if let Some(given) = to.room.numbers.known(number) {
        to.room
            .numbers
            .set(number, Some(measured(given.value + by)));
    }
    (plan.clone(), to)
}

fn scaled(lot: &Lot, number: LotNumber, factor: f64) -> Lot {
    let mut lot = lot.clone();
    let Some(given) = lot.numbers.known(number) else {
        return lot;
    };
    lot.numbers
        .set(number, Some(measured(given.value * factor)));
    // 100 beans that are as large as before and denser weigh more.
    if number == LotNumber::Density {
        return heavier(lot, factor);
    }
    lot
}

fn heavier(mut lot: Lot, factor: f64) -> Lot {
    if let Some(given) = lot.numbers.entered(LotNumber::HundredBeans) {
        let weight = measured(given.value * factor);
        lot.numbers.set(LotNumber::HundredBeans, Some(weight));
    }
    lot
}

fn resized(lot: &Lot, factor: f64) -> Lot {
    if lot.numbers.entered(LotNumber::HundredBeans).is_some() {
        return heavier(lot.clone(), factor.powi(3));
    }
    scaled(lot, LotNumber::ScreenSize, factor)
}

fn moistened(lot: &Lot, by_percent: f64) -> Lot {
    with_more(lot, LotNumber::Moisture, by_percent)
}

fn lifted(lot: &Lot, by_m: f64) -> Lot {
    with_more(lot, LotNumber::Altitude, by_m)
}

fn with_more(lot: &Lot, number: LotNumber, by: f64) -> Lot {
    let mut lot = lot.clone();
    if let Some(given) = lot.numbers.known(number) {
        lot.numbers.set(number, Some(measured(given.value + by)));
    }
    lot
}

fn measured(value: f64) -> Given {
    Given {
        value,
        knowledge: Knowledge::Measured,
    }
}
