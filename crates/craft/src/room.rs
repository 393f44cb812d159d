//! The room that the machine stands in, and its mains.

use crate::sheet::{
    Numbers,
    SheetUnit::{Plain, Temperature},
    sheet_numbers,
};

/// The room sheet.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Room {
    /// What the roastery calls the room; may be empty.
    pub name: String,
    /// What somebody entered of its numbers.
    pub numbers: Numbers<RoomNumber>,
}

sheet_numbers! {
    /// A number of the room sheet.
    RoomNumber of "room" {
        Altitude: "altitude_m", "Altitude", "altitude", Plain("m"), -400.0 to 4500.0, Some(100.0),
            "Altitude of the room above sea level. Thinner air carries less heat and lifts the beans less.";
        AirTemp: "air_temp_c", "Air", "air temperature", Temperature, -5.0 to 45.0, Some(20.0),
            "Air that the machine draws in. Beans, chamber and probe start at it.";
        Humidity: "humidity_percent", "Humidity", "relative humidity", Plain("%"), 0.0 to 100.0, Some(50.0),
            "Relative humidity of the room. It matters little: moist air is a little lighter.";
        Mains: "mains_v", "Mains", "mains voltage", Plain("V"), 80.0 to 270.0, Some(230.0),
            "Voltage at the socket while the machine heats. A long lead or a full circuit lowers it, and the heat with its square. If nobody knows, the machine's rated voltage is taken.";
    }
}
