//! What the model says of every finish of the ladder, from one roast that goes on past the chosen drop.
//!
//! Each finish gets what it would get if it were chosen: up to its drop the roast is the same, for the controller doesn't look ahead.

use crate::{
    finishes::{Finish, FinishId},
    outlook::{Moments, hold_on_until_s, setpoint_until},
    plan::PlanParts,
    twin_sheets::TwinSheets,
};
use chaffinch_twin::{DropWish, Dropped, Drops, NoDrop, Setpoint, bands::Band};

/// What one finish would give, as forecast.
#[derive(Clone, Debug, PartialEq)]
pub struct FinishForecast {
    /// Which finish.
    pub id: FinishId,
    /// The drop; or why there is none.
    pub drop: Result<FinishDrop, NoDrop>,
}

/// The drop at one finish.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FinishDrop {
    /// When the probe passes the finish, in s.
    pub time_s: f64,
    /// The whole second of the drop, at which the losses stand.
    pub at_s: usize,
    /// Development time in s; nothing if the drop comes before first crack, or that is never passed.
    pub development_s: Option<f64>,
    /// Development time as a share of the whole roast, 0–1.
    pub development_ratio: Option<f64>,
    /// Share of the green weight that has gone, 0–1; ± [`chaffinch_twin::trust::WEIGHT_LOSS`] before calibration.
    pub weight_loss: f64,
    /// Share of the green dry matter that has gone, 0–1.
    pub dry_loss: f64,
}

/// How far one finish spreads under everyday variation, at the second of its forecast drop, whatever the probe of a roast reads then.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FinishSpread {
    /// Which finish.
    pub id: FinishId,
    /// Share of the green weight that has gone, 0–1.
    pub weight_loss: Band,
    /// Share of the green dry matter that has gone, 0–1.
    pub dry_loss: Band,
}

impl FinishForecast {
    /// The drop, if there is one.
    pub fn dropped(&self) -> Option<&FinishDrop> {
        self.drop.as_ref().ok()
    }
}

/// The roast that goes on to the last finish of the ladder.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RoastOn {
    /// What the controller is told, to the end of the longest wait for a finish.
    pub(crate) setpoint: Setpoint,
    /// The ladder, in its order.
    pub(crate) finishes: Vec<FinishForecast>,
}

impl RoastOn {
    /// The roast of `plan`, whose sheets are `sheets`; nothing where the model can't take a number of theirs or of the curve.
    pub(crate) fn of(plan: &PlanParts, sheets: &TwinSheets) -> Option<Self> {
        let ladder = plan.finishes.finishes();
        let wish = |finish: &Finish| DropWish {
            drop_c: finish.temp_c,
            until_s: hold_on_until_s(plan, finish.temp_c).min(Setpoint::MOST_S),
        };
        let wishes: Vec<DropWish> = ladder.iter().map(wish).collect();
        let last_s = wishes.iter().map(|wish| wish.until_s).max()?;
        let setpoint = setpoint_until(plan, last_s).ok()?;
        let sheets = (&sheets.machine, &sheets.lot, &sheets.room);
        let Drops { trace, drops } = Drops::of(sheets, &setpoint, &wishes).ok()?;
        let crack_s = trace.probe_passes_s(plan.marks.first_crack_c);
        let forecast = |(finish, drop): (&Finish, Result<Dropped, NoDrop>)| FinishForecast {
            id: finish.id,
            drop: drop.map(|dropped| FinishDrop::of(&dropped, crack_s)),
        };
        let finishes = ladder.iter().zip(drops).map(forecast).collect();
        Some(Self { setpoint, finishes })
    }
}

impl FinishDrop {
    fn of(dropped: &Dropped, first_crack_s: Option<f64>) -> Self {
        let moments = Moments {
            first_crack_s,
            drop_s: Some(dropped.time_s),
            ..Moments::default()
        };
        Self {
            time_s: dropped.time_s,
            at_s: dropped.at_s,
            development_s: moments.development_s(),
            development_ratio: moments.development_ratio(),
            weight_loss: dropped.weight_loss,
            dry_loss: dropped.dry_loss,
        }
    }
}
