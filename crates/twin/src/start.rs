//! How the machine stands when the beans come in: cold, or held empty at a preheat.
//!
//! A held machine is in balance: the element gives the steady power that makes the air, the wall takes as much from that air as it
//! loses to the room, the probe's tip is as hot as the air. The controller that held it stands at no error, so its integral is what
//! the effort of holding needs beyond the feed-forward: with it the first effort at an unchanged setpoint is the one before (bumpless
//! transfer; common practice, see Åström and Hägglund, from memory). The beans are at room temperature either way.

use crate::params::RoastParams;

/// The machine at charge; temperatures in °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Start {
    /// Electric power that the element gives off, in W.
    pub(crate) heater_w: f64,
    /// Chamber wall.
    pub(crate) wall_c: f64,
    /// Tip of the probe.
    pub(crate) tip_c: f64,
    /// Integral of the controller, as effort.
    pub(crate) integral: f64,
}

impl Start {
    /// The start of a roast whose first second has a flow share of `flow`, which is also the air that the machine was held with.
    ///
    /// A preheat that the heater can't hold with that air gives the hottest air that it can; one below the room gives the room.
    pub(crate) fn of(params: &RoastParams, flow: f64) -> Self {
        let Some(preheat_c) = params.preheat_c else {
            return Self {
                heater_w: 0.0,
                wall_c: params.ambient_c,
                tip_c: params.ambient_c,
                integral: 0.0,
            };
        };
        let full_rise_k = params.inlet_c(params.heater_ceiling_w, flow) - params.ambient_c;
        let effort =
            ((preheat_c - params.ambient_c) / full_rise_k).clamp(0.0, params.effort_limit(flow));
        let heater_w = effort * params.heater_ceiling_w;
        let air_c = params.inlet_c(heater_w, flow);
        let setpoint_c = air_c + params.probe_offset_k;
        let known = params.feed_forward_per_k * flow * (setpoint_c - params.ambient_c);
        Self {
            heater_w,
            wall_c: params.steady_wall_c(air_c),
            tip_c: air_c,
            integral: effort - known,
        }
    }
}
