//! Where the rate of rise climbs again after it has come down.

use crate::rise_piece::{RisePiece, rise_pieces};
use crate::setpoint::SetpointCurve;

/// A renewed climb of the rate of rise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RiseTurn {
    /// Where the rise is lowest before it climbs, in s.
    pub from_s: f64,
    /// Where it is highest after that, in s.
    pub to_s: f64,
    /// How much it gains, in °C/s; above the threshold.
    pub gain_c_per_s: f64,
}

/// Renewed climbs between charge and `until_s` (s), in order of time.
///
/// A climb counts when the rise first fell from a peak by more than `min_gain_c_per_s` (°C/s) and then gained more than
/// that; smaller wiggles belong to the fall or climb around them. The climb to the first peak is none.
pub fn rise_turns(curve: &SetpointCurve, until_s: f64, min_gain_c_per_s: f64) -> Vec<RiseTurn> {
    let mut turns = Vec::new();
    let mut low: Option<(f64, f64)> = None;
    let mut high: Option<(f64, f64)> = Some((0.0, f64::NEG_INFINITY));
    for (time_s, rise) in rise_pieces(curve, until_s)
        .iter()
        .flat_map(RisePiece::nodes)
    {
        match (low, high) {
            (_, Some((_, highest))) if rise > highest => high = Some((time_s, rise)),
            (_, Some((_, highest))) if highest - rise > min_gain_c_per_s => {
                turns.extend(turn(low, high));
                (low, high) = (Some((time_s, rise)), None);
            }
            (Some((_, lowest)), None) if rise <= lowest => low = Some((time_s, rise)),
            (Some((_, lowest)), None) if rise - lowest > min_gain_c_per_s => {
                high = Some((time_s, rise));
            }
            _ => {}
        }
    }
    turns.extend(turn(low, high));
    turns
}

fn turn(low: Option<(f64, f64)>, high: Option<(f64, f64)>) -> Option<RiseTurn> {
    let ((from_s, lowest), (to_s, highest)) = low.zip(high)?;
    Some(RiseTurn {
        from_s,
        to_s,
        gain_c_per_s: highest - lowest,
    })
}
