//! Where the model may not be asked: each limit is a value with what was found, and the forecast is off while one stands.
//!
//! The airflow comes first: a bed that rests, or flies out, makes every other number void.

use crate::TwinError;
use crate::lift::Airflow;
use crate::lot::LotParams;
use crate::machine::MachineParams;
use crate::trace::Trace;

/// Moisture, wet basis, that the drying law was seen used for.
const MOISTURE_WB: (f64, f64) = (0.08, 0.13);
/// Length of a roast, in s.
const DURATION_S: (usize, usize) = (300, 720);
/// Bean diameter, in m; arabica-like, assumed.
const DIAMETER_M: (f64, f64) = (0.005, 0.0075);
/// Mean bean temperature, in °C, up to which the loss laws say more than a bound.
const MEAN_C: f64 = 232.0;

/// A reason why there is no forecast.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Limit {
    /// A number of machine, lot, room or setpoint cannot be used at all.
    #[error(transparent)]
    Input(#[from] TwinError),
    /// The air does not lift the bed.
    #[error(
        "at {time_s} s the airflow is {lift:.2} times the least that lifts the bed; expected 1 or more. Raise the airflow"
    )]
    BedRests {
        /// First second, in s since charge.
        time_s: usize,
        /// Least airflow of the roast over the airflow that lifts the bed.
        lift: f64,
    },
    /// The air carries single beans out.
    #[error(
        "at {time_s} s the air rises at {speed_m_per_s:.1} m/s; expected below {terminal_m_per_s:.1} m/s, where it carries beans out. Lower the airflow"
    )]
    BeansCarriedOut {
        /// First second, in s since charge.
        time_s: usize,
        /// Speed of the hottest air in the empty chamber, in m/s.
        speed_m_per_s: f64,
        /// Speed at which a single bean hangs in it, in m/s.
        terminal_m_per_s: f64,
    },
    /// The lot is wetter or drier than the drying law is known for.
    #[error("the beans hold {:.1} % water; expected {:.0} to {:.0} %. Measure the moisture again", found_wb * 100.0, MOISTURE_WB.0 * 100.0, MOISTURE_WB.1 * 100.0)]
    Moisture {
        /// Moisture, wet basis.
        found_wb: f64,
    },
    /// The beans are of another size than the model is written for.
    #[error("the beans are {:.1} mm across; expected {:.1} to {:.1} mm. Check the bean size of the lot", found_m * 1e3, DIAMETER_M.0 * 1e3, DIAMETER_M.1 * 1e3)]
    BeanSize {
        /// Diameter, in m.
        found_m: f64,
    },
    /// The dose lies outside the machine's batch range.
    #[error("the dose is {:.0} g; expected {:.0} to {:.0} g in this machine. Change the dose", found_kg * 1e3, min_kg * 1e3, max_kg * 1e3)]
    Dose {
        /// Dose, in kg.
        found_kg: f64,
        /// Least dose of the machine, in kg.
        min_kg: f64,
        /// Greatest dose of the machine, in kg.
        max_kg: f64,
    },
    /// The roast is shorter or longer than those the model was set up for.
    #[error("the roast takes {}; expected {} to {} (min:s). Move the drop", clock(*found_s), clock(DURATION_S.0), clock(DURATION_S.1))]
    Duration {
        /// Length, in s.
        found_s: usize,
    },
    /// The beans get hotter than the loss laws reach.
    #[error(
        "at {time_s} s the mean of the beans passes {MEAN_C} °C and reaches {hottest_c:.1} °C; expected below. End the curve cooler"
    )]
    BeansTooHot {
        /// First second, in s since charge.
        time_s: usize,
        /// Hottest mean, in °C.
        hottest_c: f64,
    },
}

/// Seconds as minutes and seconds.
fn clock(time_s: usize) -> String {
    format!("{}:{:02}", time_s / 60, time_s % 60)
}

/// Limits that the airflow of a finished run breaks.
pub(crate) fn airflow_limits(airflow: &Airflow) -> Vec<Limit> {
    let lift = airflow.lift.iter().copied().fold(f64::INFINITY, f64::min);
    let rests = airflow
        .lift
        .iter()
        .position(|&lift| lift < 1.0)
        .map(|time_s| Limit::BedRests { time_s, lift });
    let carried = airflow
        .carried
        .first()
        .map(|carried| Limit::BeansCarriedOut {
            time_s: carried.time_s,
            speed_m_per_s: carried.speed_m_per_s,
            terminal_m_per_s: carried.terminal_m_per_s,
        });
    rests.into_iter().chain(carried).collect()
}

/// Limits that lot, dose and the length of a finished run break.
pub(crate) fn plan_limits(machine: &MachineParams, lot: &LotParams, trace: &Trace) -> Vec<Limit> {
    let mut limits = Vec::new();
    if !(MOISTURE_WB.0..=MOISTURE_WB.1).contains(&lot.moisture_wb) {
        limits.push(Limit::Moisture {
            found_wb: lot.moisture_wb,
        });
    }
    if !(DIAMETER_M.0..=DIAMETER_M.1).contains(&lot.bean_diameter_m) {
        limits.push(Limit::BeanSize {
            found_m: lot.bean_diameter_m,
        });
    }
    let (min_kg, max_kg) = machine.batch_range_kg;
    if !(min_kg..=max_kg).contains(&lot.dose_kg) {
        limits.push(Limit::Dose {
            found_kg: lot.dose_kg,
            min_kg,
            max_kg,
        });
    }
    // From charge to drop, which may come before the setpoint ends.
    let found_s = trace.len().saturating_sub(1);
    if !(DURATION_S.0..=DURATION_S.1).contains(&found_s) {
        limits.push(Limit::Duration { found_s });
    }
    limits
}

/// The limit that hot beans break in a finished run.
pub(crate) fn heat_limit(trace: &Trace) -> Option<Limit> {
    let time_s = trace.mean_c.iter().position(|&c| MEAN_C < c)?;
    let hottest_c = trace.mean_c.iter().copied().fold(MEAN_C, f64::max);
    Some(Limit::BeansTooHot { time_s, hottest_c })
}
