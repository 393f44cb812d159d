//! The forecast second by second as other programs get it: lists of one length, rounded, units of display.

use crate::samples::{rise_per_min, rounded};
use chaffinch_craft::{Foreseen, Outlook};
use chaffinch_twin::Bound;
use serde::Serialize;

/// Per cent in a whole.
const PERCENT: f64 = 100.0;

/// Lists of one length at 0, 1, 2, … s after charge, until the forecast drop.
#[derive(Serialize)]
pub(crate) struct ForecastColumns {
    /// The unit of each list as a UCUM code.
    units: ColumnUnits,
    /// In s.
    pub(crate) time: Vec<f64>,
    /// What the controller is told, in °C.
    pub(crate) setpoint: Vec<f64>,
    /// Reading of the probe, in °C.
    pub(crate) probe: Vec<f64>,
    /// Its rate of rise over 10 s, in °C/min.
    pub(crate) rate_of_rise: Vec<f64>,
    /// Bean surface, in °C.
    pub(crate) surface: Vec<f64>,
    /// Bean centre, in °C.
    pub(crate) core: Vec<f64>,
    /// Air into the bed, in °C.
    pub(crate) inlet: Vec<f64>,
    /// Air out of the bed, in °C.
    pub(crate) outlet: Vec<f64>,
    /// Electric power that the element gives off, in W.
    pub(crate) heater_power: Vec<f64>,
    /// Heater effort, in % of full.
    pub(crate) effort: Vec<f64>,
    /// The most effort that the inlet ceiling allows, in %.
    pub(crate) effort_limit: Vec<f64>,
    /// Fan setting, in % of full.
    pub(crate) airflow: Vec<f64>,
    /// Least fan setting that lifts the bed, in % of full.
    pub(crate) least_airflow: Vec<f64>,
    /// Fastest rise that the machine could keep up, in °C/min.
    pub(crate) fastest: Vec<f64>,
    /// Slowest rise, or fastest fall, in °C/min.
    pub(crate) slowest: Vec<f64>,
    /// Water, in % of the weight of the moment.
    pub(crate) moisture: Vec<f64>,
    /// Gone of the green weight, in %.
    pub(crate) weight_loss: Vec<f64>,
}

/// The units of the lists of the same names.
#[derive(Serialize)]
struct ColumnUnits {
    time: &'static str,
    setpoint: &'static str,
    probe: &'static str,
    rate_of_rise: &'static str,
    surface: &'static str,
    core: &'static str,
    inlet: &'static str,
    outlet: &'static str,
    heater_power: &'static str,
    effort: &'static str,
    effort_limit: &'static str,
    airflow: &'static str,
    least_airflow: &'static str,
    fastest: &'static str,
    slowest: &'static str,
    moisture: &'static str,
    weight_loss: &'static str,
}

const UNITS: ColumnUnits = ColumnUnits {
    time: "s",
    setpoint: "Cel",
    probe: "Cel",
    rate_of_rise: "Cel/min",
    surface: "Cel",
    core: "Cel",
    inlet: "Cel",
    outlet: "Cel",
    heater_power: "W",
    effort: "%",
    effort_limit: "%",
    airflow: "%",
    least_airflow: "%",
    fastest: "Cel/min",
    slowest: "Cel/min",
    moisture: "%",
    weight_loss: "%",
};

impl ForecastColumns {
    /// The columns of a roast that is foreseen; nothing where none is.
    pub(crate) fn of(outlook: &Outlook) -> Option<Self> {
        let Foreseen {
            trace,
            setpoint_c,
            rise_c_per_s,
            effort_limit,
            ..
        } = outlook.foreseen()?;
        let seconds = trace.len();
        let (setpoint, reach) = (outlook.setpoint.as_ref()?, outlook.reach.as_ref()?);
        let plain = |list: &[f64]| list.iter().copied().take(seconds).map(rounded).collect();
        let percent = |list: &[f64]| {
            let shares = list.iter().take(seconds);
            shares.map(|share| rounded(share * PERCENT)).collect()
        };
        let rises = |bounds: &[Bound]| {
            let bounds = bounds.iter().take(seconds);
            bounds
                .map(|bound| rise_per_min(bound.rise_c_per_s))
                .collect()
        };
        Some(Self {
            units: UNITS,
            time: (0..seconds).map(|second| second as f64).collect(),
            setpoint: plain(setpoint_c),
            probe: plain(&trace.probe_c),
            rate_of_rise: rise_c_per_s.iter().copied().map(rise_per_min).collect(),
            surface: plain(&trace.surface_c),
            core: plain(&trace.core_c),
            inlet: plain(&trace.inlet_c),
            outlet: plain(&trace.outlet_c),
            heater_power: plain(&trace.heater_w),
            effort: percent(&trace.effort),
            effort_limit: percent(effort_limit),
            airflow: percent(setpoint.air_share()),
            least_airflow: plain(&outlook.least_air_percent),
            fastest: rises(&reach.fastest),
            slowest: rises(&reach.slowest),
            moisture: percent(&trace.moisture_wb),
            weight_loss: percent(&trace.weight_loss),
        })
    }
}
