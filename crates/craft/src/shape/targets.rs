//! What a roaster may want of a curve.

use self::TargetUnit::{Nothing, Percent, Rise, Temperature, TemperatureDifference, Time};
use crate::edit::{
    Boundary::{self, Drop, Mark},
    MarkName::{ColourChange, FirstCrack},
};
use chaffinch_curve::PhaseName::{self, Browning, Development, Drying};
use std::collections::BTreeMap;
use thiserror::Error;

/// Something that can be wished of a curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum TargetName {
    /// Temperature at charge, in °C.
    StartTemp,
    /// When the curve reaches a boundary, in s.
    Time(Boundary),
    /// Temperature of a mark or of the chosen finish, in °C: moves the mark or the finish itself.
    Temp(Boundary),
    /// Length of a phase, in s.
    Length(PhaseName),
    /// A phase as a share of the whole roast, in %.
    Share(PhaseName),
    /// Rate of rise at a boundary, in °C/min.
    Rise(Boundary),
    /// Greatest rate of rise, in °C/min.
    PeakRise,
    /// When the rate of rise is greatest, in s.
    PeakTime,
    /// The rate of rise never turns up again after its peak; takes no value.
    FallingRise,
    /// Fan setting, in %.
    Airflow,
    /// The machine can follow the curve; takes no value.
    WithinReach,
    /// Distance from the curve as it is, in °C.
    NearCurve,
}

/// The unit that a target is kept in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TargetUnit {
    /// A temperature, in °C.
    Temperature,
    /// A difference of temperatures, in °C.
    TemperatureDifference,
    /// A time, in s.
    Time,
    /// A share, in %.
    Percent,
    /// A rate of rise, in °C/min.
    Rise,
    /// It holds or it doesn't.
    Nothing,
}

/// What is known beforehand of a target.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TargetFacts {
    /// Its name with its unit, as files and reports write it.
    pub key: &'static str,
    /// Its label.
    pub label: &'static str,
    /// The unit that it is kept in.
    pub unit: TargetUnit,
    /// Least value that it takes.
    pub least: f64,
    /// Greatest value that it takes.
    pub most: f64,
    /// What it is, in plain words.
    pub explanation: &'static str,
}

/// What is wished of one target: at least, at most, both, or exactly, in the target's unit.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Wish {
    /// At least this.
    pub least: Option<f64>,
    /// At most this.
    pub most: Option<f64>,
}

impl Wish {
    /// For a target that takes no value.
    pub const HOLDS: Self = Self {
        least: None,
        most: None,
    };

    /// Exactly this.
    pub fn exactly(value: f64) -> Self {
        Self::between(value, value)
    }

    /// From one to the other.
    pub fn between(least: f64, most: f64) -> Self {
        Self {
            least: Some(least),
            most: Some(most),
        }
    }

    /// How far `found` misses it; 0 inside.
    pub fn miss(self, found: f64) -> f64 {
        let below = self.least.map_or(0.0, |least| least - found);
        let above = self.most.map_or(0.0, |most| found - most);
        below.max(above).max(0.0)
    }
}

/// A wish that can't be.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum TargetError {
    /// Outside the target's range, or not a number.
    #[error("{label} is wished to be {found}; expected {least} to {most}")]
    OutOfRange {
        /// The target's label.
        label: &'static str,
        /// What was found.
        found: f64,
        /// Least value.
        least: f64,
        /// Greatest value.
        most: f64,
    },
    /// The smaller end comes second.
    #[error(
        "{label} is wished to be at least {least} and at most {most}; expected the smaller first"
    )]
    Crossed {
        /// The target's label.
        label: &'static str,
        /// Its lower end.
        least: f64,
        /// Its upper end.
        most: f64,
    },
    /// Neither at least nor at most.
    #[error("{label} is wished but has no value; say at least, at most, or both")]
    Empty {
        /// The target's label.
        label: &'static str,
    },
}

/// Everything that is wished of a curve; empty at first.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Targets {
    wishes: BTreeMap<TargetName, Wish>,
}

impl Targets {
    /// What is wished of `name`.
    pub fn wish(&self, name: TargetName) -> Option<Wish> {
        self.wishes.get(&name).copied()
    }

    /// All wishes, in the order of [`TargetName::ALL`].
    pub fn all(&self) -> impl Iterator<Item = (TargetName, Wish)> {
        self.wishes.iter().map(|(name, wish)| (*name, *wish))
    }

    /// The same with another wish of `name`. A distance from the curve is only ever at most something: whatever is wished of
    /// [`TargetName::NearCurve`], its greater end is taken as that.
    ///
    /// # Errors
    /// [`TargetError`] out of range, the wrong way round, or without a value where there should be one.
    pub fn with(mut self, name: TargetName, wish: Wish) -> Result<Self, TargetError> {
        let wish = name.checked(wish)?;
        self.wishes.insert(name, wish);
        Ok(self)
    }

    /// Opens the wish of `name` so far that `found` meets it with `room` to spare; a wish that it meets stays.
    pub(super) fn open_to(&mut self, name: TargetName, found: f64, room: f64) {
        let Some(wish) = self.wishes.get_mut(&name) else {
            return;
        };
        if 0.0 < wish.miss(found) {
            wish.least = wish.least.map(|least| least.min(found - room));
            wish.most = wish.most.map(|most| most.max(found + room));
        }
    }

    /// The same without a wish of `name`.
    #[must_use]
    pub fn without(mut self, name: TargetName) -> Self {
        self.wishes.remove(&name);
        self
    }
}

impl TargetName {
    /// All targets, in the order of lists and files.
    pub const ALL: [Self; 22] = [
        Self::StartTemp,
        Self::Time(Mark(ColourChange)),
        Self::Time(Mark(FirstCrack)),
        Self::Time(Drop),
        Self::Temp(Mark(ColourChange)),
        Self::Temp(Mark(FirstCrack)),
        Self::Temp(Drop),
        Self::Length(Drying),
        Self::Length(Browning),
        Self::Length(Development),
        Self::Share(Drying),
        Self::Share(Browning),
        Self::Share(Development),
        Self::Rise(Mark(ColourChange)),
        Self::Rise(Mark(FirstCrack)),
        Self::Rise(Drop),
        Self::PeakRise,
        Self::PeakTime,
        Self::FallingRise,
        Self::Airflow,
        Self::WithinReach,
        Self::NearCurve,
    ];

    /// What is known of the target beforehand.
    pub fn facts(self) -> TargetFacts {
        match self {
            Self::StartTemp => facts(
                ("start_temp_c", "Start", Temperature),
                (20.0, 200.0),
                "Temperature of the curve at charge.",
            ),
            Self::Time(boundary) => time_facts(boundary),
            Self::Temp(boundary) => temp_facts(boundary),
            Self::Length(phase) => length_facts(phase),
            Self::Share(phase) => share_facts(phase),
            Self::Rise(boundary) => rise_facts(boundary),
            Self::PeakRise => facts(
                ("peak_rise_c_per_min", "Peak rise", Rise),
                (0.0, 120.0),
                "The greatest rate of rise.",
            ),
            Self::PeakTime => facts(
                ("peak_time_s", "Time of peak rise", Time),
                (0.0, 3600.0),
                "When the rate of rise is greatest.",
            ),
            Self::FallingRise => facts(
                ("falling_rise", "Rise only falls", Nothing),
                (0.0, 0.0),
                "The rate of rise never turns up again after its peak.",
            ),
            Self::Airflow => facts(
                ("airflow_percent", "Airflow", Percent),
                (0.0, 100.0),
                "Least and greatest setting of the fan.",
            ),
            Self::WithinReach => facts(
                ("within_reach", "Within reach", Nothing),
                (0.0, 0.0),
                "The machine can follow the curve, as the model foresees it.",
            ),
            Self::NearCurve => facts(
                ("near_curve_c", "Near the curve", TemperatureDifference),
                (0.1, 100.0),
                "Greatest distance from the curve as it is now.",
            ),
        }
    }

    /// The target with this key.
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|name| name.facts().key == key)
    }

    fn checked(self, wish: Wish) -> Result<Wish, TargetError> {
        let facts = self.facts();
        if facts.unit == TargetUnit::Nothing {
            return Ok(Wish::HOLDS);
        }
        let label = facts.label;
        let (least, most) = (facts.least, facts.most);
        for found in [wish.least, wish.most].into_iter().flatten() {
            if !(least..=most).contains(&found) {
                return Err(TargetError::OutOfRange {
                    label,
                    found,
                    least,
                    most,
                });
            }
        }
        match (wish.least, wish.most) {
            (None, None) => Err(TargetError::Empty { label }),
            (Some(least), Some(most)) if most < least => {
                Err(TargetError::Crossed { label, least, most })
            }
            _ if self == Self::NearCurve => Ok(Wish {
                least: None,
                most: wish.most.or(wish.least),
            }),
            _ => Ok(wish),
        }
    }
}

/// Key, label and unit; least and greatest value; explanation.
fn facts(
    (key, label, unit): (&'static str, &'static str, TargetUnit),
    (least, most): (f64, f64),
    explanation: &'static str,
) -> TargetFacts {
    TargetFacts {
        key,
        label,
        unit,
        least,
        most,
        explanation,
    }
}

fn time_facts(boundary: Boundary) -> TargetFacts {
    match boundary {
        Mark(ColourChange) => facts(
            ("colour_change_time_s", "Time of colour change", Time),
            (10.0, 3600.0),
            "When the curve reaches colour change.",
        ),
        Mark(FirstCrack) => facts(
            ("first_crack_time_s", "Time of first crack", Time),
            (10.0, 3600.0),
            "When the curve reaches first crack.",
        ),
        Drop => facts(
            ("drop_time_s", "Time of drop", Time),
            (10.0, 3600.0),
            "When the curve reaches drop.",
        ),
    }
}

fn temp_facts(boundary: Boundary) -> TargetFacts {
    match boundary {
        Mark(ColourChange) => facts(
            (
                "colour_change_temp_c",
                "Temperature of colour change",
                Temperature,
            ),
            (60.0, 260.0),
            "Temperature at which colour change is expected: moves the mark.",
        ),
        Mark(FirstCrack) => facts(
            (
                "first_crack_temp_c",
                "Temperature of first crack",
                Temperature,
            ),
            (60.0, 260.0),
            "Temperature at which first crack is expected: moves the mark.",
        ),
        Drop => facts(
            ("drop_temp_c", "Temperature of drop", Temperature),
            (60.0, 260.0),
            "Temperature of the chosen finish: moves the finish.",
        ),
    }
}

fn length_facts(phase: PhaseName) -> TargetFacts {
    match phase {
        Drying => facts(
            ("drying_length_s", "Length of drying", Time),
            (5.0, 3600.0),
            "How long drying lasts.",
        ),
        Browning => facts(
            ("browning_length_s", "Length of browning", Time),
            (5.0, 3600.0),
            "How long browning lasts.",
        ),
        Development => facts(
            ("development_length_s", "Length of development", Time),
            (5.0, 3600.0),
            "How long development lasts.",
        ),
    }
}

fn share_facts(phase: PhaseName) -> TargetFacts {
    match phase {
        Drying => facts(
            ("drying_share_percent", "Share of drying", Percent),
            (0.5, 99.0),
            "Drying as a share of the whole roast.",
        ),
        Browning => facts(
            ("browning_share_percent", "Share of browning", Percent),
            (0.5, 99.0),
            "Browning as a share of the whole roast.",
        ),
        Development => facts(
            ("development_share_percent", "Share of development", Percent),
            (0.5, 99.0),
            "Development as a share of the whole roast: the development ratio.",
        ),
    }
}

fn rise_facts(boundary: Boundary) -> TargetFacts {
    match boundary {
        Mark(ColourChange) => facts(
            (
                "colour_change_rise_c_per_min",
                "Rise at colour change",
                Rise,
            ),
            (-60.0, 120.0),
            "Rate of rise at colour change.",
        ),
        Mark(FirstCrack) => facts(
            ("first_crack_rise_c_per_min", "Rise at first crack", Rise),
            (-60.0, 120.0),
            "Rate of rise at first crack.",
        ),
        Drop => facts(
            ("drop_rise_c_per_min", "Rise at drop", Rise),
            (-60.0, 120.0),
            "Rate of rise at drop.",
        ),
    }
}
