//! The units of the neutral format as UCUM codes (The Unified Code for Units of Measure, ucum.org; codes from memory).

use crate::text_error::{TextError, printable};
use chaffinch_craft::SheetUnit;
use serde::{Deserialize, Serialize};

/// The code of each quantity's unit. `T` is a text that is written, or one that may be missing when it is read.
#[derive(Serialize, Deserialize)]
pub(super) struct Units<T> {
    time: T,
    temperature: T,
    rate_of_rise: T,
    slope: T,
    airflow: T,
    ratio: T,
    altitude: T,
    density: T,
    moisture: T,
    screen_size: T,
}

/// The only units of version 1.
pub(super) const OURS: Units<&str> = Units {
    time: "s",
    temperature: "Cel",
    rate_of_rise: "Cel/min",
    slope: "Cel/s",
    airflow: "%",
    ratio: "1",
    altitude: "m",
    density: "g/L",
    moisture: "%",
    screen_size: "[in_i]/64",
};

impl Units<Option<String>> {
    /// Refuses a file whose numbers mean something else; a quantity that isn't named has the format's unit.
    pub(super) fn check(self) -> Result<(), TextError> {
        let pairs = [
            ("time", self.time, OURS.time),
            ("temperature", self.temperature, OURS.temperature),
            ("rate_of_rise", self.rate_of_rise, OURS.rate_of_rise),
            ("slope", self.slope, OURS.slope),
            ("airflow", self.airflow, OURS.airflow),
            ("ratio", self.ratio, OURS.ratio),
            ("altitude", self.altitude, OURS.altitude),
            ("density", self.density, OURS.density),
            ("moisture", self.moisture, OURS.moisture),
            ("screen_size", self.screen_size, OURS.screen_size),
        ];
        for (quantity, found, expected) in pairs {
            if let Some(found) = found.filter(|code| code != expected) {
                let found = printable(&found);
                return Err(TextError::OtherUnit {
                    quantity,
                    found,
                    expected,
                });
            }
        }
        Ok(())
    }
}

/// The code of a sheet number's unit; nothing for a unit that this table lacks, which a test forbids.
///
/// Differences are in K: a degree Celsius can't stand in a product of units in UCUM.
pub(super) fn ucum(unit: SheetUnit) -> Option<&'static str> {
    match unit {
        SheetUnit::Temperature => Some("Cel"),
        SheetUnit::TemperatureDifference => Some("K"),
        SheetUnit::Plain(symbol) => CODES
            .iter()
            .find_map(|&(ours, code)| (ours == symbol).then_some(code)),
    }
}

/// Symbol on the sheet and code.
const CODES: [(&str, &str); 17] = [
    ("", "1"),
    ("%", "%"),
    ("%/°C", "%/K"),
    ("1/64 in", "[in_i]/64"),
    ("J/°C", "J/K"),
    ("L/s", "L/s"),
    ("V", "V"),
    ("W", "W"),
    ("W/(m·K)", "W/(m.K)"),
    ("W/°C", "W/K"),
    ("cm²", "cm2"),
    ("g", "g"),
    ("g/L", "g/L"),
    ("m", "m"),
    ("mm", "mm"),
    ("s", "s"),
    ("°", "deg"),
];

#[cfg(test)]
mod tests {
    use super::ucum;
    use chaffinch_craft::{
        LotNumber, MachineNumber, RoomNumber, SheetNumber, SheetUnit, VariationNumber,
    };

    #[test]
    fn every_number_of_every_sheet_has_a_code() {
        fn codes<K: SheetNumber>() {
            for number in K::ALL {
                let unit = number.facts().unit;
                assert!(ucum(unit).is_some(), "{number:?} in {unit:?}");
            }
        }
        codes::<LotNumber>();
        codes::<MachineNumber>();
        codes::<RoomNumber>();
        codes::<VariationNumber>();
        assert_eq!(ucum(SheetUnit::Plain("furlong")), None, "others have none");
    }
}
