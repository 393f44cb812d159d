//! The fences of a setpoint curve: how many points, how long, how hot.
//!
//! They keep a slip of the hand out of the arithmetic; they are not a machine's limits, which are findings elsewhere.
//! All are assumed, chosen wide around small-batch roasting.

/// Fewest control points of a curve.
pub const MIN_POINTS: usize = 2;
/// Most control points of a curve.
pub const MAX_POINTS: usize = 200;
/// Smallest time between two neighbouring points, in s; less by [`GAP_ROUNDING_S`] still passes.
pub const MIN_GAP_S: f64 = 1.0;
/// What rounding may take off a gap, in s: points exactly 1 s apart may be shifted together.
pub const GAP_ROUNDING_S: f64 = 1e-9;
/// Latest time of a point, in s.
pub const MAX_TIME_S: f64 = 3600.0;
/// Lowest temperature of a point, in °C.
pub const MIN_TEMP_C: f64 = 0.0;
/// Highest temperature of a point, in °C.
pub const MAX_TEMP_C: f64 = 320.0;
/// Largest size of a pinned rise, in °C/s: three times the whole temperature range in the smallest gap, which no
/// monotone slope can pass, rounded up.
pub const MAX_PINNED_RISE_C_PER_S: f64 = 1000.0;
/// How near to a level counts as being on it, in °C: far above rounding, far below any probe.
pub const LEVEL_TOLERANCE_C: f64 = 1e-9;
/// Smallest step of [`crate::SetpointCurve::sample`], in s.
pub const MIN_SAMPLE_STEP_S: f64 = 0.01;
