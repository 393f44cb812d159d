//! Control points and places in curve space (seconds across, degrees Celsius up).

/// Name of a control point; it stays the same while the point moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PointId(pub u32);

/// A place in curve space; never a place on the screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePoint {
    /// Time since charge, in s.
    pub time_s: f64,
    /// Temperature, in °C.
    pub temp_c: f64,
}

/// A difference between two places in curve space.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Offset {
    /// Time difference, in s; positive is later.
    pub time_s: f64,
    /// Temperature difference, in °C; positive is hotter.
    pub temp_c: f64,
}

/// How the curve runs from a point to the next one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Segment {
    /// By the [`Shape`] of the curve.
    #[default]
    Curved,
    /// A straight line.
    Straight,
    /// Flat; both ends have the same temperature.
    Hold,
}

/// How curved segments find their slopes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Shape {
    /// Never leaves the temperature range of a segment's two points; the rise has corners at the points.
    #[default]
    Monotone,
    /// The rise has no corners; the curve may overshoot a point.
    Smooth,
}

/// Which coordinates of a point no edit may change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Lock {
    /// Both may change.
    #[default]
    Free,
    /// The time stays.
    Time,
    /// The temperature stays.
    Temp,
    /// Both stay.
    Both,
}

impl Lock {
    /// Whether the time stays.
    pub fn holds_time(self) -> bool {
        matches!(self, Self::Time | Self::Both)
    }

    /// Whether the temperature stays.
    pub fn holds_temp(self) -> bool {
        matches!(self, Self::Temp | Self::Both)
    }
}

/// A point that the curve goes through, with how it leaves it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ControlPoint {
    /// Stable name.
    pub id: PointId,
    /// Time since charge, in s.
    pub time_s: f64,
    /// Temperature, in °C.
    pub temp_c: f64,
    /// Rate of rise that the curve has here, in °C/s, on those sides that are curved; `None` leaves it to the shape.
    pub pinned_rise_c_per_s: Option<f64>,
    /// The rise was pinned not by hand but by inserting a point on the curve, so that the curve stayed as it was; it
    /// is freed when the point or a neighbour changes. `false` for every point without a pinned rise.
    pub is_rise_kept: bool,
    /// How the curve runs to the next point; of no meaning for the last point, where it is always `Curved`.
    pub segment: Segment,
    /// What no edit may change.
    pub lock: Lock,
}

impl ControlPoint {
    /// A curved, free, unpinned point at `time_s` (s) and `temp_c` (°C).
    pub fn new(id: PointId, time_s: f64, temp_c: f64) -> Self {
        Self {
            id,
            time_s,
            temp_c,
            pinned_rise_c_per_s: None,
            is_rise_kept: false,
            segment: Segment::Curved,
            lock: Lock::Free,
        }
    }

    /// The rise in °C/s that somebody pinned by hand; `None` where it is free or only kept by an insertion.
    pub fn rise_by_hand_c_per_s(&self) -> Option<f64> {
        self.pinned_rise_c_per_s.filter(|_| !self.is_rise_kept)
    }

    /// Where the point is.
    pub fn place(&self) -> CurvePoint {
        CurvePoint {
            time_s: self.time_s,
            temp_c: self.temp_c,
        }
    }
}
