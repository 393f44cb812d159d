//! Where a coffee grew: altitude, latitude, and the altitude that counts.
//!
//! The same altitude nearer the equator is warmer, and a warmer coffee ripens faster and softer. So altitudes are compared at one
//! latitude: the equivalent altitude is where air at [`REFERENCE_LATITUDE_DEG`] is as warm, on the mean of a year, as where the coffee
//! grew.

use crate::{
    lot::{Lot, LotNumber},
    units::format_number,
};

/// Fall of air temperature with altitude, in K/m; ISO 2533:1975.
const LAPSE_K_PER_M: f64 = 0.0065;
/// Fall of the yearly mean at sea level from the equator to latitude φ, in K, over sin²φ: the second term, −28 °C · P₂(sin φ), of the
/// two-term zonal climate of North, Cahalan and Coakley (Rev. Geophys. 19, 1981, 91), from memory; 28 · 3/2. Coasts, rain and slopes
/// differ from it by several K.
const ZONAL_FALL_K: f64 = 42.0;
/// Latitude, in degrees, at which altitudes are compared, and that is taken where nobody knows it. Assumed: the middle of the coffee
/// belt's two halves.
pub const REFERENCE_LATITUDE_DEG: f64 = 12.0;

/// How the equivalent altitude is reckoned, in words.
pub const EQUIVALENT_ALTITUDE_TEXT: &str = "Altitudes are compared at 12° of latitude: air cools by 6.5 K per km of height (ISO 2533) and the yearly mean at sea level by \
     42 K · sin² of the latitude away from the equator (two-term zonal climate, North and others 1981, from memory), so each kelvin \
     counts as 154 m. Coasts, rain and slopes can be several hundred metres off this.";

/// Altitude and, if known, latitude of growth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Growth {
    /// Altitude above sea level, in m.
    pub altitude_m: f64,
    /// Latitude in degrees, north or south alike; nothing where nobody knows.
    pub latitude_deg: Option<f64>,
}

impl Growth {
    /// Altitude and latitude as somebody entered them for `lot`; nothing where nobody entered the altitude.
    pub fn of(lot: &Lot) -> Option<Self> {
        let entered = |number| lot.numbers.entered(number).map(|given| given.value);
        Some(Self {
            altitude_m: entered(LotNumber::Altitude)?,
            latitude_deg: entered(LotNumber::Latitude),
        })
    }

    /// The altitude, in m, that is as warm at [`REFERENCE_LATITUDE_DEG`]; the altitude itself where the latitude isn't known.
    pub fn equivalent_altitude_m(self) -> f64 {
        let fall_k = |latitude_deg: f64| ZONAL_FALL_K * latitude_deg.to_radians().sin().powi(2);
        self.latitude_deg.map_or(self.altitude_m, |latitude_deg| {
            self.altitude_m
                + (fall_k(latitude_deg) - fall_k(REFERENCE_LATITUDE_DEG)) / LAPSE_K_PER_M
        })
    }
}

/// An altitude grade of a producing country: a preset for the altitude of growth, approximate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AltitudeGrade {
    /// The country.
    pub country: &'static str,
    /// The grade's name there.
    pub name: &'static str,
    /// Lowest altitude in m; nothing where the grade names none.
    pub least_m: Option<f64>,
    /// Highest altitude in m; nothing where the grade names none.
    pub most_m: Option<f64>,
    /// Where the figures were read.
    pub source: &'static str,
}

/// What to say beside every altitude grade.
pub const GRADES_TEXT: &str =
    "Approximate: sources disagree by up to about 200 m on the same grade.";

const GUATEMALA_SOURCE: &str = "world.gafei.com/coffee50031.html, a grading table on a trade page, not the national authority; secondary";

const FROM_MEMORY: &str =
    "common practice, no published source: from memory, in nobody's list that was read";

/// Altitude grades, country by country, highest first. Those of Guatemala were read in a source each; the others are from memory and
/// say so.
pub const ALTITUDE_GRADES: [AltitudeGrade; 12] = [
    AltitudeGrade {
        country: "Guatemala",
        name: "Fancy Strictly Hard (historic)",
        // 5,000 ft.
        least_m: Some(1524.0),
        most_m: None,
        source: "baristahustle.com, a lesson quoting Wagner 2001; secondary",
    },
    guatemala("Strictly Hard Bean", Some(1400.0), None),
    guatemala("Hard Bean", Some(1200.0), Some(1400.0)),
    guatemala("Semi Hard Bean", Some(1100.0), Some(1200.0)),
    guatemala("Extra Prime Washed", Some(900.0), Some(1100.0)),
    guatemala("Prime Washed", Some(800.0), Some(900.0)),
    remembered(
        "Costa Rica",
        "Strictly Hard Bean",
        Some(1200.0),
        Some(1650.0),
    ),
    remembered("El Salvador", "Strictly High Grown", Some(1200.0), None),
    remembered("El Salvador", "High Grown", Some(900.0), Some(1200.0)),
    remembered("El Salvador", "Central Standard", Some(500.0), Some(900.0)),
    remembered("Honduras", "Strictly High Grown", Some(1200.0), None),
    remembered("Honduras", "High Grown", Some(900.0), Some(1200.0)),
];

const fn guatemala(name: &'static str, least_m: Option<f64>, most_m: Option<f64>) -> AltitudeGrade {
    AltitudeGrade {
        country: "Guatemala",
        name,
        least_m,
        most_m,
        source: GUATEMALA_SOURCE,
    }
}

const fn remembered(
    country: &'static str,
    name: &'static str,
    least_m: Option<f64>,
    most_m: Option<f64>,
) -> AltitudeGrade {
    AltitudeGrade {
        country,
        name,
        least_m,
        most_m,
        source: FROM_MEMORY,
    }
}

impl AltitudeGrade {
    /// Its range in words: “1200 to 1400 m”, “from 1400 m”.
    pub fn range_words(&self) -> String {
        let whole = |altitude_m: f64| format_number(altitude_m, 0);
        match (self.least_m, self.most_m) {
            (Some(least_m), Some(most_m)) => {
                format!("{} to {} m", whole(least_m), whole(most_m))
            }
            (Some(least_m), None) => format!("from {} m", whole(least_m)),
            (None, Some(most_m)) => format!("up to {} m", whole(most_m)),
            (None, None) => "any altitude".to_owned(),
        }
    }

    /// An altitude for the grade, in m: its middle, or 100 m inside its only end (assumed).
    pub fn altitude_m(&self) -> Option<f64> {
        const INSIDE_M: f64 = 100.0;
        match (self.least_m, self.most_m) {
            (Some(least_m), Some(most_m)) => Some(f64::midpoint(least_m, most_m)),
            (Some(least_m), None) => Some(least_m + INSIDE_M),
            (None, Some(most_m)) => Some(most_m - INSIDE_M),
            (None, None) => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knowledge::{Given, Knowledge};

    #[test]
    fn the_same_altitude_nearer_the_equator_counts_as_lower() {
        let at = |latitude_deg| Growth {
            altitude_m: 1200.0,
            latitude_deg,
        };
        let unknown_m = at(None).equivalent_altitude_m();
        assert_eq!(unknown_m, 1200.0, "unknown latitude");
        let here_m = at(Some(REFERENCE_LATITUDE_DEG)).equivalent_altitude_m();
        assert!((here_m - 1200.0).abs() < 1e-9, "{here_m}");
        let equator_m = at(Some(0.0)).equivalent_altitude_m();
        let south_m = at(Some(-20.0)).equivalent_altitude_m();
        // By hand: sin² 12° = 0.04323, sin² 20° = 0.11698; 42 K/0.0065 K/m = 6461.5 m.
        assert!((equator_m - (1200.0 - 279.3)).abs() < 0.5, "{equator_m}");
        assert!((south_m - (1200.0 + 476.5)).abs() < 0.5, "{south_m}");
        assert_eq!(
            south_m,
            at(Some(20.0)).equivalent_altitude_m(),
            "north and south alike"
        );
    }

    #[test]
    fn a_lot_without_an_altitude_grew_nowhere() {
        let mut lot = Lot::default();
        let given = |value| {
            Some(Given {
                value,
                knowledge: Knowledge::Estimated,
            })
        };
        lot.numbers.set(LotNumber::Latitude, given(5.0));
        assert_eq!(Growth::of(&lot), None, "latitude alone");
        lot.numbers.set(LotNumber::Altitude, given(1850.0));
        let grown = Growth {
            altitude_m: 1850.0,
            latitude_deg: Some(5.0),
        };
        assert_eq!(Growth::of(&lot), Some(grown), "both");
    }

    #[test]
    fn grades_of_a_country_stand_together_and_say_their_range() {
        let mut countries: Vec<&str> = ALTITUDE_GRADES.map(|grade| grade.country).to_vec();
        countries.dedup();
        let mut distinct = countries.clone();
        distinct.sort_unstable();
        distinct.dedup();
        assert_eq!(countries.len(), distinct.len(), "{countries:?}");
        assert_eq!(ALTITUDE_GRADES[1].range_words(), "from 1400 m", "open");
        assert_eq!(ALTITUDE_GRADES[2].range_words(), "1200 to 1400 m", "closed");
    }

    #[test]
    fn every_grade_has_an_altitude_inside_it_and_a_source() {
        for grade in ALTITUDE_GRADES {
            let altitude_m = grade.altitude_m().unwrap_or(f64::NAN);
            assert!(
                grade.least_m.unwrap_or(0.0) < altitude_m
                    && altitude_m < grade.most_m.unwrap_or(f64::INFINITY)
                    && !grade.source.is_empty(),
                "{grade:?}"
            );
        }
    }
}
