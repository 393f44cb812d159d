//! Where the curve leaves the temperature range of the two points around it.

use crate::point::PointId;
use crate::setpoint::SetpointCurve;

/// The farthest place of an overshoot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Overshoot {
    /// Time, in s.
    pub at_s: f64,
    /// How far beyond the points, in °C: positive above the hotter, negative below the cooler one.
    pub by_c: f64,
    /// The points around it.
    pub between: (PointId, PointId),
}

/// Overshoots of more than `tolerance_c` (°C), in order of segments; below before above in a segment that has both.
pub fn overshoots(curve: &SetpointCurve, tolerance_c: f64) -> Vec<Overshoot> {
    let mut found = Vec::new();
    for pair in curve.points().windows(2) {
        let (left, right) = (&pair[0], &pair[1]);
        let extrema = curve.interpolant().extrema(left.time_s, right.time_s);
        let below = (
            extrema.lowest,
            extrema.lowest.y - left.temp_c.min(right.temp_c),
        );
        let above = (
            extrema.highest,
            extrema.highest.y - left.temp_c.max(right.temp_c),
        );
        let far = [below, above]
            .into_iter()
            .filter(|(_, by_c)| by_c.abs() > tolerance_c);
        found.extend(far.map(|(place, by_c)| Overshoot {
            at_s: place.x,
            by_c,
            between: (left.id, right.id),
        }));
    }
    found
}
