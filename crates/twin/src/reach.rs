//! Reach: the fastest and the slowest rate of rise that the machine can keep up at each moment of the drawn curve, and what
//! stops it there.
//!
//! The probe is taken to be on the curve and to rise steadily, with the heater at its limit or off (`steady.rs`); then everything in
//! the bed rises at the same rate. What the controller itself fails to follow while heater to spare is left is told apart as
//! controller lag.

use crate::lift::Airflow;
use crate::params::RoastParams;
use crate::setpoint::Setpoint;
use crate::steady::SteadyRises;
use crate::trace::Trace;

/// A miss above this, in K, with heater to spare, is laid at the controller's door. Assumed.
pub const CONTROLLER_MISS_K: f64 = 3.0;
/// Half the span, in s, over which the probe's own rise is read from the forecast.
const HALF_SPAN_S: usize = 2;

/// What binds the rise of one moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// The heater is full on.
    HeaterCeiling,
    /// The heater is held back, because the inlet air would get too hot.
    InletCeiling,
    /// The heater is off.
    HeaterOff,
    /// The airflow does not lift the bed.
    AirflowTooLow,
    /// The airflow carries beans out.
    AirflowTooHigh,
    /// Heat already in element and probe would carry the beans past their ceiling.
    TemperatureCeiling,
    /// The controller does not ask for what the heater could give.
    ControllerLag,
}

impl Cause {
    /// The cause in plain words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::HeaterCeiling => "heater at its ceiling",
            Self::InletCeiling => "inlet air at its ceiling",
            Self::HeaterOff => "heater off",
            Self::AirflowTooLow => "airflow too low to lift the bed",
            Self::AirflowTooHigh => "airflow high enough to carry beans out",
            Self::TemperatureCeiling => "temperature ceiling",
            Self::ControllerLag => "controller lag",
        }
    }
}

/// One edge of the corridor at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// Rate of rise of the probe, in °C/s; below 0 where it falls.
    pub rise_c_per_s: f64,
    /// What binds it.
    pub cause: Cause,
}

/// The corridor at 0, 1, 2, … s; both lists are as long as the trace, and the fastest is never below the slowest.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Reach {
    /// Fastest rise that can be kept up.
    pub fastest: Vec<Bound>,
    /// Slowest rise (or fastest fall) that can be kept up.
    pub slowest: Vec<Bound>,
}

/// What all moments share.
pub(crate) struct Surveyor<'a> {
    pub(crate) params: &'a RoastParams,
    pub(crate) airflow: &'a Airflow,
    pub(crate) temp_ceiling_c: f64,
}

impl Surveyor<'_> {
    /// The corridor along `setpoint`, whose forecast is `trace`.
    pub(crate) fn reach(&self, setpoint: &Setpoint, trace: &Trace) -> Reach {
        let rises = SteadyRises::along(self.params, setpoint.temp_c(), trace);
        let bounds = (0..trace.len()).map(|second| self.bounds(setpoint, trace, &rises, second));
        let (slowest, fastest) = bounds.unzip();
        Reach { fastest, slowest }
    }

    /// Slowest and fastest at one second.
    fn bounds(
        &self,
        setpoint: &Setpoint,
        trace: &Trace,
        rises: &SteadyRises,
        second: usize,
    ) -> (Bound, Bound) {
        let still = |cause| {
            (
                Bound {
                    rise_c_per_s: 0.0,
                    cause,
                },
                Bound {
                    rise_c_per_s: 0.0,
                    cause,
                },
            )
        };
        if self.airflow.lift[second] < 1.0 {
            return still(Cause::AirflowTooLow);
        }
        if self.airflow.is_carrying(second) {
            return still(Cause::AirflowTooHigh);
        }
        let setpoint_c = setpoint.temp_c()[second];
        let limit = self.params.effort_limit(trace.flow_share[second]);
        let full = if limit < 1.0 {
            Cause::InletCeiling
        } else {
            Cause::HeaterCeiling
        };
        let mut fastest = Bound {
            rise_c_per_s: rises.full[second],
            cause: full,
        };
        let mut slowest = Bound {
            rise_c_per_s: rises.off[second],
            cause: Cause::HeaterOff,
        };
        let miss_k = trace.probe_c[second] - setpoint_c;
        let own_c_per_s = probe_rise_c_per_s(trace, second);
        if miss_k < -CONTROLLER_MISS_K
            && trace.effort[second] < limit
            && own_c_per_s < fastest.rise_c_per_s
        {
            fastest = Bound {
                rise_c_per_s: own_c_per_s,
                cause: Cause::ControllerLag,
            };
        }
        if CONTROLLER_MISS_K < miss_k
            && 0.0 < trace.effort[second]
            && slowest.rise_c_per_s < own_c_per_s
        {
            slowest = Bound {
                rise_c_per_s: own_c_per_s,
                cause: Cause::ControllerLag,
            };
        }
        // Heat that is already in the element and ahead of the probe still arrives for about their two lags.
        let on_the_way_s = self.params.heater_lag_s + self.params.probe_lag_s;
        let to_ceiling_c_per_s = (self.temp_ceiling_c - setpoint_c) / on_the_way_s;
        if to_ceiling_c_per_s < fastest.rise_c_per_s {
            fastest = Bound {
                rise_c_per_s: to_ceiling_c_per_s,
                cause: Cause::TemperatureCeiling,
            };
        }
        fastest.rise_c_per_s = fastest.rise_c_per_s.max(slowest.rise_c_per_s);
        (slowest, fastest)
    }
}

/// Rise of the forecast's probe around one second, in °C/s.
fn probe_rise_c_per_s(trace: &Trace, second: usize) -> f64 {
    let from = second.saturating_sub(HALF_SPAN_S);
    let to = (second + HALF_SPAN_S).min(trace.len() - 1);
    (trace.probe_c[to] - trace.probe_c[from]) / (to - from) as f64
}
