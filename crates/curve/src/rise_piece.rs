//! The rate of rise as pieces of quadratics, on which shape events are found exactly.

use crate::quadratic::Quadratic;
use crate::setpoint::SetpointCurve;

/// The rise from `from_s` on, for `width_s`; times inside count from `from_s`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct RisePiece {
    pub(crate) from_s: f64,
    pub(crate) width_s: f64,
    /// The end, exactly; the sum of start and width may miss it by a rounding error.
    pub(crate) end_s: f64,
    pub(crate) rise: Quadratic,
}

impl RisePiece {
    /// Time and rise at both ends and the turn between them, in order of time.
    pub(crate) fn nodes(&self) -> impl Iterator<Item = (f64, f64)> {
        let stops = [
            Some(0.0),
            self.rise.vertex(self.width_s),
            Some(self.width_s),
        ];
        stops
            .into_iter()
            .flatten()
            .map(|s| ((self.from_s + s).min(self.end_s), self.rise.value(s)))
    }
}

/// The rise of `curve` from charge to `until_s` or its end, without gaps; empty if `until_s` is not above 0.
pub(crate) fn rise_pieces(curve: &SetpointCurve, until_s: f64) -> Vec<RisePiece> {
    let pieces = curve.interpolant().pieces_within(0.0, until_s);
    pieces
        .map(|piece| RisePiece {
            from_s: piece.x,
            width_s: piece.width.min(until_s - piece.x),
            end_s: (piece.x + piece.width).min(until_s).min(curve.end_s()),
            rise: piece.slope_quadratic(),
        })
        .collect()
}
