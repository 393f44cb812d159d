//! The forecast: what machine and beans will do with a curve, or why that can't be said.

use crate::constants::J_PER_KWH;
use crate::cooling::{Cooling, cool};
use crate::hunting::{Hunting, hunting};
use crate::lift::Lift;
use crate::lot::LotParams;
use crate::machine::MachineParams;
use crate::params::RoastParams;
use crate::reach::{Reach, Surveyor};
use crate::roast::{SHELLS, run};
use crate::room::RoomParams;
use crate::setpoint::Setpoint;
use crate::trace::Trace;
use crate::validity::{Limit, airflow_limits, heat_limit, plan_limits};

/// One roast, second by second and in figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// Everything at 1 Hz.
    pub trace: Trace,
    /// Airflow over the least that lifts the bed, at 1 Hz; 1 or more.
    pub lift: Vec<f64>,
    /// How fast the machine could rise and fall along the drawn curve.
    pub reach: Reach,
    /// The figures.
    pub figures: Figures,
    /// When the probe passes the drop temperature of the setpoint, in s: within the last second of the trace. Nothing where the
    /// roast ends with the setpoint instead.
    pub drop_s: Option<f64>,
}

/// A value and the second at which it stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extreme {
    /// The value, in the unit of the field that holds this.
    pub value: f64,
    /// Time, in s since charge.
    pub time_s: usize,
}

/// Figures of one forecast. [`crate::trust`] says how far they go.
#[derive(Debug, Clone, PartialEq)]
pub struct Figures {
    /// Probe less setpoint where they differ most, in K.
    pub greatest_miss_k: Extreme,
    /// Root mean square of probe less setpoint over all samples, in K.
    pub rms_miss_k: f64,
    /// Bean surface less centre where they differ most, in K.
    pub greatest_spread_k: Extreme,
    /// Bean surface less centre at the drop, in K.
    pub drop_spread_k: f64,
    /// Reading of the probe at the drop, in °C.
    pub drop_probe_c: f64,
    /// Mean of the beans at the drop, in °C.
    pub drop_mean_c: f64,
    /// Greatest heater effort, 0 to 1.
    pub greatest_effort: Extreme,
    /// Seconds in which the heater was at its limit.
    pub limited_s: usize,
    /// Least airflow over the airflow that lifts the bed.
    pub least_lift: Extreme,
    /// Energy drawn by the heater from charge to drop, in kWh; preheating and the fan are not counted.
    pub heater_kwh: f64,
    /// Share of the green weight lost at the drop.
    pub weight_loss: f64,
    /// Share of the green dry matter lost at the drop.
    pub dry_loss: f64,
    /// Water at the drop, wet basis.
    pub moisture_wb: f64,
    /// Weight of the roasted beans, in kg.
    pub roasted_kg: f64,
    /// Forced-air cooling to [`crate::COOL_C`]; nothing where the room is too warm for it.
    pub cooling: Option<Cooling>,
    /// How the controller hunts at the drop; nothing where it is calm. A roast that hunts can't be forecast to some K.
    pub hunting: Option<Hunting>,
}

/// No forecast, with the reasons.
#[derive(Debug, Clone, PartialEq)]
pub struct Off {
    /// Every limit that is broken, airflow first; never empty.
    pub limits: Vec<Limit>,
    /// The corridor all the same, where the numbers allow one: it shows where the airflow fails.
    pub reach: Option<Reach>,
    /// Airflow over the least that lifts the bed, as in [`Forecast::lift`]; empty where the numbers allow none.
    pub lift: Vec<f64>,
}

impl Forecast {
    /// Runs one roast and reads its figures. About 0.1 ms for 10 min, reach and cooling included.
    ///
    /// # Errors
    /// [`Off`] with every limit of the model that is broken: numbers out of range, bed not lifted or carried out, lot, dose or
    /// length outside what the model was set up for, beans too hot.
    pub fn of(
        machine: &MachineParams,
        lot: &LotParams,
        room: &RoomParams,
        setpoint: &Setpoint,
    ) -> Result<Self, Box<Off>> {
        let params = RoastParams::new(machine, lot, room).map_err(|error| {
            Box::new(Off {
                limits: vec![Limit::Input(error)],
                reach: None,
                lift: Vec::new(),
            })
        })?;
        let (trace, dropped) = run::<SHELLS>(&params, setpoint, 1, |_, _, _| ());
        let airflow = Lift::new(machine, lot, room, &params).along(&trace);
        let surveyor = Surveyor {
            params: &params,
            airflow: &airflow,
            temp_ceiling_c: machine.temp_ceiling_c,
        };
        let reach = surveyor.reach(setpoint, &trace);
        let mut limits = airflow_limits(&airflow);
        limits.extend(plan_limits(machine, lot, &trace));
        limits.extend(heat_limit(&trace));
        let lift = airflow.lift;
        if !limits.is_empty() {
            return Err(Box::new(Off {
                limits,
                reach: Some(reach),
                lift,
            }));
        }
        let figures = Figures::of(&params, setpoint, &trace, &lift, cool(&params, &dropped));
        let drop_s = setpoint
            .drop_c()
            .and_then(|drop_c| trace.probe_passes_s(drop_c));
        Ok(Self {
            trace,
            lift,
            reach,
            figures,
            drop_s,
        })
    }
}

impl Figures {
    /// Figures of a finished run. All lists are as long as the trace, which is never empty.
    fn of(
        params: &RoastParams,
        setpoint: &Setpoint,
        trace: &Trace,
        lift: &[f64],
        cooling: Option<Cooling>,
    ) -> Self {
        let last = trace.len() - 1;
        let misses = || {
            trace
                .probe_c
                .iter()
                .zip(setpoint.temp_c())
                .map(|(probe, set)| probe - set)
        };
        let spreads = || {
            trace
                .surface_c
                .iter()
                .zip(&trace.core_c)
                .map(|(surface, core)| surface - core)
        };
        let is_limited = |second: &usize| {
            params.effort_limit(trace.flow_share[*second]) <= trace.effort[*second]
        };
        let weight_loss = trace.weight_loss[last];
        Self {
            greatest_miss_k: farthest(misses(), f64::abs),
            rms_miss_k: (misses().map(|k| k * k).sum::<f64>() / trace.len() as f64).sqrt(),
            greatest_spread_k: farthest(spreads(), f64::abs),
            drop_spread_k: trace.surface_c[last] - trace.core_c[last],
            drop_probe_c: trace.probe_c[last],
            drop_mean_c: trace.mean_c[last],
            greatest_effort: farthest(trace.effort[..last].iter().copied(), |effort| effort),
            limited_s: (0..last).filter(is_limited).count(),
            least_lift: farthest(lift.iter().copied(), |share| -share),
            heater_kwh: params.heater_ceiling_w * trace.effort[..last].iter().sum::<f64>()
                / J_PER_KWH,
            weight_loss,
            dry_loss: trace.dry_loss[last],
            moisture_wb: trace.moisture_wb[last],
            roasted_kg: params.dose_kg * (1.0 - weight_loss),
            cooling,
            hunting: hunting(&trace.effort[..last]),
        }
    }
}

/// First value whose `rank` is greatest.
fn farthest(values: impl Iterator<Item = f64>, rank: impl Fn(f64) -> f64) -> Extreme {
    let start = Extreme {
        value: 0.0,
        time_s: 0,
    };
    let ranked = values
        .enumerate()
        .fold((f64::NEG_INFINITY, start), |best, (time_s, value)| {
            let found = rank(value);
            if best.0 < found {
                (found, Extreme { value, time_s })
            } else {
                best
            }
        });
    ranked.1
}
