//! The machine that a plan is drawn for: heater, fan, chamber, probe, controller.
//!
//! Usual values are those of an invented demo machine; none was measured. Ranges are the physical model's, in the units of the sheet.

use crate::{
    limits,
    sheet::{
        Numbers,
        SheetUnit::{Plain, Temperature, TemperatureDifference},
        sheet_numbers,
    },
};
use chaffinch_twin::FeedForward;

/// The machine sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Machine {
    /// What the roastery calls the machine; may be empty.
    pub name: String,
    /// Temperature, in °C, that neither curve, probe nor beans may pass; in [`limits::CEILING_RANGE_C`]. The machine's manual
    /// decides.
    pub ceiling_c: f64,
    /// What the controller adds before any error is seen.
    pub feed_forward: FeedForward,
    /// What somebody entered of its numbers.
    pub numbers: Numbers<MachineNumber>,
}

impl Default for Machine {
    fn default() -> Self {
        Self {
            name: String::new(),
            ceiling_c: limits::DEFAULT_CEILING_C,
            feed_forward: FeedForward::None,
            numbers: Numbers::default(),
        }
    }
}

sheet_numbers! {
    /// A number of the machine sheet.
    MachineNumber of "machine" {
        HeaterPower: "heater_power_w", "Heater power", "heater power", Plain("W"), 100.0 to 20_000.0, Some(1600.0),
            "Electric power of the heater at the rated voltage. The rating plate tells it, often together with the fan's.";
        RatedVoltage: "rated_voltage_v", "Rated voltage", "rated voltage", Plain("V"), 90.0 to 260.0, Some(230.0),
            "The voltage on the rating plate. Power goes with the square of the voltage that is really there.";
        FanFlow: "fan_flow_l_per_s", "Fan flow", "fan flow", Plain("L/s"), 0.5 to 200.0, Some(5.3),
            "Room air that the fan moves a second at 100 %. An anemometer at the inlet measures it: speed times area.";
        FanExponent: "fan_exponent", "Fan curve", "fan curve", Plain(""), 0.3 to 3.0, Some(1.0),
            "How the flow falls with the fan's setting: 1 in proportion, 2 falls faster at first. Flow share = setting to this power.";
        ChamberArea: "chamber_area_cm2", "Chamber area", "cross-section of the chamber", Plain("cm²"), 5.0 to 1000.0, Some(22.0),
            "Inner cross-section of the chamber where the beans rest. A round chamber 53 mm wide has 22 cm².";
        LeastDose: "least_dose_g", "Least dose", "least dose", Plain("g"), 10.0 to 5000.0, Some(100.0),
            "The smallest batch that the maker allows.";
        GreatestDose: "greatest_dose_g", "Greatest dose", "greatest dose", Plain("g"), 10.0 to 5000.0, Some(250.0),
            "The largest batch that the maker allows.";
        Preheat: "preheat_c", "Preheated to", "preheat", Temperature, 20.0 to 300.0, None,
            "Air temperature at which you hold the empty machine before you charge. Empty: it starts cold, at room temperature.";
        InletCeiling: "inlet_ceiling_c", "Inlet air ceiling", "ceiling of the inlet air", Temperature, 100.0 to 500.0, Some(330.0),
            "Hottest air below the beans that the machine lets its heater make.";
        ProbeLag: "probe_lag_s", "Probe lag", "probe lag", Plain("s"), 0.1 to 60.0, Some(4.0),
            "Time constant of the bean probe in the moving bed: after a jump it shows 63 % of it. Bare and thin is quick.";
        ProbeOffset: "probe_offset_c", "Probe offset", "probe offset", TemperatureDifference, -20.0 to 20.0, Some(0.0),
            "What the display shows above the tip's true temperature. Boiling water, at your altitude, tells.";
        ProbeSurfaceShare: "probe_surface_percent", "Probe feels beans", "share of beans in the probe's reading", Plain("%"), 0.0 to 100.0, Some(70.0),
            "How much of what the probe feels is bean surface; the rest is hot air. Deep in the bed it is more.";
        ProbeDepth: "probe_height_percent", "Probe height", "height of the probe in the bed", Plain("%"), 0.0 to 100.0, Some(50.0),
            "Where the tip sits in the bed: 0 % at the air inlet, 100 % at the top.";
        ProbeBareLag: "probe_bare_lag_s", "Probe lag, empty", "probe lag in the empty machine", Plain("s"), 0.1 to 120.0, Some(18.0),
            "Time constant of the probe in bare air. Only the empty run uses it.";
        ProportionalGain: "proportional_gain_percent_per_c", "Gain", "proportional gain", Plain("%/°C"), 0.01 to 1000.0, Some(3.0),
            "Heater effort that the controller adds for each degree that the probe is below the curve.";
        IntegralTime: "integral_time_s", "Integral time", "integral time", Plain("s"), 1.0 to 10_000.0, Some(45.0),
            "How long a standing error takes to add as much effort again as the gain did.";
        DerivativeTime: "derivative_time_s", "Derivative time", "derivative time", Plain("s"), 0.0 to 100.0, Some(4.0),
            "How far ahead the controller looks along the error's course; 0 if it doesn't.";
        DerivativeFilter: "derivative_filter_s", "Derivative filter", "derivative filter", Plain("s"), 0.1 to 60.0, Some(2.0),
            "Time constant that smooths the error before its course is looked at.";
        HeaterEfficiency: "heater_efficiency_percent", "Heat into the air", "share of the heater's power that reaches the air", Plain("%"), 30.0 to 100.0, Some(95.0),
            "How much of the electric power warms the air that reaches the beans.";
        HeaterLag: "heater_lag_s", "Heater lag", "heater lag", Plain("s"), 0.1 to 60.0, Some(4.0),
            "Time constant of the heating element.";
        WallHeat: "wall_heat_j_per_c", "Chamber heat", "heat capacity of the chamber", Plain("J/°C"), 10.0 to 20_000.0, Some(300.0),
            "Heat that the chamber's wall takes up for each degree: mass times specific heat; glass and steel take about 0.8 and 0.5 J/g for a degree.";
        WallGain: "wall_gain_w_per_c", "Air to chamber", "conductance from air to chamber", Plain("W/°C"), 0.0 to 50.0, Some(1.0),
            "Heat that the outgoing air gives to the chamber for each degree between them.";
        WallLoss: "wall_loss_w_per_c", "Chamber to room", "conductance from chamber to room", Plain("W/°C"), 0.0 to 50.0, Some(0.4),
            "Heat that the chamber loses to the room for each degree between them. A cool-down of the empty machine tells it.";
        Contact: "contact_factor", "Contact", "contact factor", Plain(""), 0.1 to 10.0, Some(1.0),
            "Factor on the heat transfer from air to beans; 1 is the plain correlation for single spheres.";
    }
}
