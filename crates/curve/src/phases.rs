//! Marks, phases and development of a roast that follows the curve to its drop.

use crate::setpoint::SetpointCurve;

/// Temperatures at which something is expected in a lot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Marks {
    /// Colour change, in °C.
    pub colour_change_c: f64,
    /// First crack, in °C.
    pub first_crack_c: f64,
}

impl Default for Marks {
    /// 160 °C and 198 °C on the bean probe: common practice, no published source.
    fn default() -> Self {
        Self {
            colour_change_c: 160.0,
            first_crack_c: 198.0,
        }
    }
}

/// A value that exists only if the curve gets there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach<T> {
    /// The curve gets there.
    At(T),
    /// It doesn't.
    NotReached,
}

impl<T> Reach<T> {
    /// The value, if reached.
    pub fn reached(&self) -> Option<&T> {
        match self {
            Self::At(value) => Some(value),
            Self::NotReached => None,
        }
    }

    /// Whether there is a value.
    pub fn is_reached(&self) -> bool {
        self.reached().is_some()
    }

    /// The same reach of `change(value)`.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Reach<U> {
        match self {
            Self::At(value) => Reach::At(change(value)),
            Self::NotReached => Reach::NotReached,
        }
    }
}

impl<T> From<Option<T>> for Reach<T> {
    fn from(value: Option<T>) -> Self {
        value.map_or(Self::NotReached, Self::At)
    }
}

/// Where the curve passes a temperature for the first time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passage {
    /// Time since charge, in s.
    pub time_s: f64,
    /// Temperature, in °C; above the mark's only if the curve starts above it.
    pub temp_c: f64,
    /// Rate of rise, in °C/s.
    pub rise_c_per_s: f64,
}

/// The three phases of a roast.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum PhaseName {
    /// Charge to colour change.
    Drying,
    /// Colour change to first crack.
    Browning,
    /// First crack to drop.
    Development,
}

/// A phase of the roast.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Phase {
    /// Which.
    pub name: PhaseName,
    /// Start, in s.
    pub start_s: f64,
    /// End, in s, not before the start.
    pub end_s: f64,
    /// Length, in s.
    pub duration_s: f64,
    /// Part of the whole time from charge to drop, 0 to 1; not reached without a drop after charge.
    pub share: Reach<f64>,
    /// Mean rate of rise, in °C/s; in a phase without length that of the moment.
    pub mean_rise_c_per_s: f64,
    /// Largest rate of rise, in °C/s, exact.
    pub peak_rise_c_per_s: f64,
    /// First time of the largest rate, in s.
    pub peak_at_s: f64,
}

/// All marks and phases of a curve up to one drop temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Phases {
    /// Colour change, if at or before the drop.
    pub colour_change: Reach<Passage>,
    /// First crack, if at or before the drop.
    pub first_crack: Reach<Passage>,
    /// The drop.
    pub drop: Reach<Passage>,
    /// Charge to colour change or an earlier drop.
    pub drying: Reach<Phase>,
    /// Colour change to first crack or an earlier drop.
    pub browning: Reach<Phase>,
    /// First crack to drop.
    pub development: Reach<Phase>,
    /// Time from first crack to drop, in s.
    pub development_s: Reach<f64>,
    /// Development time as a part of the total, 0 to 1.
    pub development_ratio: Reach<f64>,
    /// Time from charge to drop, in s.
    pub total_s: Reach<f64>,
}

/// Drop and development alone: what [`Phases`] says of them, without the rest and its cost.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Development {
    /// The drop.
    pub drop: Reach<Passage>,
    /// First crack to drop, in s; not reached without both, or with first crack after the drop.
    pub time_s: Reach<f64>,
    /// The same as a part of charge to drop, 0 to 1; not reached with a drop at charge.
    pub ratio: Reach<f64>,
}

impl Development {
    /// Development on `curve` dropped where it first reaches `drop_c` (°C).
    pub fn of(curve: &SetpointCurve, marks: &Marks, drop_c: f64) -> Self {
        let drop_s = curve.first_reach(drop_c);
        Self::between(curve, drop_s, in_time(curve, marks.first_crack_c, drop_s))
    }

    fn between(curve: &SetpointCurve, drop_s: Option<f64>, crack_s: Option<f64>) -> Self {
        let time_s = drop_s
            .zip(crack_s)
            .map(|(drop_s, crack_s)| drop_s - crack_s);
        let total_s = drop_s.filter(|drop_s| *drop_s > 0.0);
        Self {
            drop: Reach::from(drop_s.map(|time_s| passage(curve, time_s))),
            time_s: time_s.into(),
            ratio: time_s.zip(total_s).map(|(part, whole)| part / whole).into(),
        }
    }
}

impl Phases {
    /// Marks and phases of `curve` dropped where it first reaches `drop_c` (°C).
    ///
    /// A mark that the curve starts above is reached at 0 s. Without a drop, marks count wherever they are reached and a
    /// phase ends only with its mark. A first crack below the colour change leaves a browning phase of no length.
    pub fn of(curve: &SetpointCurve, marks: &Marks, drop_c: f64) -> Self {
        let drop_s = curve.first_reach(drop_c);
        let colour_s = in_time(curve, marks.colour_change_c, drop_s);
        let crack_s = in_time(curve, marks.first_crack_c, drop_s);
        let passage =
            |time_s: Option<f64>| Reach::from(time_s.map(|time_s| passage(curve, time_s)));
        let phase =
            |name, start_s: Option<f64>, end_s: Option<f64>| {
                let ends = start_s.zip(end_s.or(drop_s));
                Reach::from(ends.map(|(start_s, end_s)| {
                    phase(curve, name, (start_s, end_s.max(start_s)), drop_s)
                }))
            };
        let development = Development::between(curve, drop_s, crack_s);
        Self {
            colour_change: passage(colour_s),
            first_crack: passage(crack_s),
            drop: development.drop,
            drying: phase(PhaseName::Drying, Some(0.0), colour_s),
            browning: phase(PhaseName::Browning, colour_s, crack_s),
            development: phase(PhaseName::Development, crack_s, None),
            development_s: development.time_s,
            development_ratio: development.ratio,
            total_s: drop_s.into(),
        }
    }

    /// The drop in s, or the end of `curve` if it never gets there.
    pub fn end_s(&self, curve: &SetpointCurve) -> f64 {
        self.drop
            .reached()
            .map_or(curve.end_s(), |drop| drop.time_s)
    }

    /// The phases that are reached, in order of time.
    pub fn reached(&self) -> impl Iterator<Item = &Phase> {
        [&self.drying, &self.browning, &self.development]
            .into_iter()
            .filter_map(Reach::reached)
    }
}

/// When `curve` first reaches the mark at `mark_c` (°C), unless it has dropped before.
fn in_time(curve: &SetpointCurve, mark_c: f64, drop_s: Option<f64>) -> Option<f64> {
    let is_in_time = |time_s: &f64| drop_s.is_none_or(|drop_s| *time_s <= drop_s);
    curve.first_reach(mark_c).filter(is_in_time)
}

fn passage(curve: &SetpointCurve, time_s: f64) -> Passage {
    Passage {
        time_s,
        temp_c: curve.temp_c(time_s),
        rise_c_per_s: curve.rise_c_per_s(time_s),
    }
}

fn phase(
    curve: &SetpointCurve,
    name: PhaseName,
    (start_s, end_s): (f64, f64),
    drop_s: Option<f64>,
) -> Phase {
    let duration_s = end_s - start_s;
    let mean = (curve.temp_c(end_s) - curve.temp_c(start_s)) / duration_s;
    let peak = curve.interpolant().slope_extrema(start_s, end_s).highest;
    Phase {
        name,
        start_s,
        end_s,
        duration_s,
        share: drop_s
            .filter(|total_s| *total_s > 0.0)
            .map(|total_s| duration_s / total_s)
            .into(),
        mean_rise_c_per_s: if duration_s > 0.0 {
            mean
        } else {
            curve.rise_c_per_s(start_s)
        },
        peak_rise_c_per_s: peak.y,
        peak_at_s: peak.x,
    }
}
