//! Everyday variation: how much things differ from one day, and one batch, to the next.
//!
//! 95 of 100 roasts are taken to lie within plus or minus the given value. Usual values are assumed, without a source.

use crate::sheet::{
    Numbers,
    SheetUnit::{Plain, TemperatureDifference},
    sheet_numbers,
};

/// The sheet of everyday variation.
pub type Variation = Numbers<VariationNumber>;

sheet_numbers! {
    /// A number of the sheet of everyday variation: half the width of what 95 of 100 roasts stay within.
    VariationNumber of "everyday variation" {
        Dose: "dose_g", "Dose ±", "spread of the dose", Plain("g"), 0.0 to 500.0, Some(2.0),
            "How exactly you weigh.";
        Moisture: "moisture_points", "Moisture ±", "spread of the moisture", Plain("%"), 0.0 to 5.0, Some(0.5),
            "How much the moisture differs within the lot and over the weeks, in points of per cent.";
        Density: "density_g_per_l", "Density ±", "spread of the density", Plain("g/L"), 0.0 to 200.0, Some(18.0),
            "How much the density differs within the lot, and how exactly you measured it.";
        BeanSize: "bean_diameter_mm", "Bean size ±", "spread of the bean size", Plain("mm"), 0.0 to 1.0, Some(0.2),
            "How much the mean size of the beans differs from batch to batch, or is unknown.";
        Mains: "mains_v", "Mains ±", "spread of the mains voltage", Plain("V"), 0.0 to 40.0, Some(5.0),
            "How much the voltage at the socket changes over the day.";
        Air: "air_temp_c", "Room air ±", "spread of the room's air", TemperatureDifference, 0.0 to 20.0, Some(3.0),
            "How much the room's air changes over the day.";
        ProbeOffset: "probe_offset_c", "Probe ±", "spread of the probe's reading", TemperatureDifference, 0.0 to 10.0, Some(1.0),
            "How much the probe's reading wanders.";
        Exotherm: "exotherm_factor", "Own heat ±", "spread of the beans' own heat", Plain(""), 0.0 to 1.0, Some(0.5),
            "How badly the heat that roasting sets free is known, as a factor. The least certain number of the model: leave it wide.";
    }
}
