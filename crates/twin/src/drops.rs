//! One roast that goes on: what it would be if it were dropped at each of several readings, told from a single run.
//!
//! The controller doesn't look ahead, so up to its drop each of them is the very roast that [`crate::Forecast`] would run alone.

use crate::TwinError;
use crate::lift::{Airflow, Lift};
use crate::lot::LotParams;
use crate::machine::MachineParams;
use crate::params::RoastParams;
use crate::roast::{SHELLS, run};
use crate::room::RoomParams;
use crate::setpoint::{DropWatch, Setpoint};
use crate::trace::Trace;
use crate::validity::{Limit, airflow_limits, heat_limit, plan_limits};

/// Where a roaster would drop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DropWish {
    /// Reading of the probe, in °C; asked of it as [`Setpoint::dropping_at`] says.
    pub drop_c: f64,
    /// Last second, in s since charge, at which the roaster still waits for it.
    pub until_s: usize,
}

/// The beans at one drop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dropped {
    /// When the probe passes the reading, in s: within the second before [`Self::at_s`].
    pub time_s: f64,
    /// The whole second of the drop, at which the shares stand.
    pub at_s: usize,
    /// Share of the green weight that has gone.
    pub weight_loss: f64,
    /// Share of the green dry matter that has gone.
    pub dry_loss: f64,
}

/// Why there is no drop.
#[derive(Debug, Clone, PartialEq)]
pub enum NoDrop {
    /// The probe doesn't read it while the roaster waits.
    NotReached,
    /// The model may not be asked about a roast that goes on so far: every limit that it breaks, airflow first; never empty.
    Off(Vec<Limit>),
}

/// A roast that goes on, and its drops.
#[derive(Debug, Clone, PartialEq)]
pub struct Drops {
    /// The whole roast to the end of its setpoint.
    pub trace: Trace,
    /// What it would be if it were dropped, in the order of the wishes.
    pub drops: Vec<Result<Dropped, NoDrop>>,
}

impl Drops {
    /// The roast along `setpoint`, whatever its own drop, dropped at each of `wishes`.
    ///
    /// Takes about as long as one [`crate::roast`], however many wishes there are.
    ///
    /// # Errors
    /// [`TwinError`]: a number of machine, lot or room that cannot be used at all.
    pub fn of(
        (machine, lot, room): (&MachineParams, &LotParams, &RoomParams),
        setpoint: &Setpoint,
        wishes: &[DropWish],
    ) -> Result<Self, TwinError> {
        let params = RoastParams::new(machine, lot, room)?;
        let (trace, _) = run::<SHELLS>(&params, &setpoint.clone().going_on(), 1, |_, _, _| ());
        let airflow = Lift::new(machine, lot, room, &params).along(&trace);
        let drop = |wish: &DropWish| {
            let at_s = drop_second(&trace, wish)
                .map_err(|error| NoDrop::Off(vec![Limit::Input(error)]))?;
            let end_s = at_s.unwrap_or(wish.until_s).min(trace.len() - 1);
            let limits = limits_until(machine, lot, (&trace, &airflow), end_s);
            if !limits.is_empty() {
                return Err(NoDrop::Off(limits));
            }
            let at_s = at_s.ok_or(NoDrop::NotReached)?;
            let (from_c, to_c) = (trace.probe_c[at_s - 1], trace.probe_c[at_s]);
            Ok(Dropped {
                time_s: (at_s - 1) as f64 + (wish.drop_c - from_c) / (to_c - from_c),
                at_s,
                weight_loss: trace.weight_loss[at_s],
                dry_loss: trace.dry_loss[at_s],
            })
        };
        let drops = wishes.iter().map(drop).collect();
        Ok(Self { trace, drops })
    }
}

/// The second of the drop, 1 or later.
fn drop_second(trace: &Trace, wish: &DropWish) -> Result<Option<usize>, TwinError> {
    let mut watch = DropWatch::at(wish.drop_c)?;
    let mut readings_c = trace.probe_c.iter().take(wish.until_s.saturating_add(1));
    Ok(readings_c.position(|&reading_c| watch.drops(reading_c)))
}

/// Every limit that the roast breaks if it ends at `end_s`.
fn limits_until(
    machine: &MachineParams,
    lot: &LotParams,
    (trace, airflow): (&Trace, &Airflow),
    end_s: usize,
) -> Vec<Limit> {
    let carried = airflow.carried.iter().copied();
    let mut limits = airflow_limits(&Airflow {
        lift: airflow.lift[..=end_s].to_vec(),
        carried: carried.filter(|beans| beans.time_s <= end_s).collect(),
    });
    let ended = Trace {
        probe_c: trace.probe_c[..=end_s].to_vec(),
        mean_c: trace.mean_c[..=end_s].to_vec(),
        ..Trace::default()
    };
    limits.extend(plan_limits(machine, lot, &ended));
    limits.extend(heat_limit(&ended));
    limits
}
