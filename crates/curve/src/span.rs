//! Spans over which the rate of rise stays in a band: cooling and plateaus.

use crate::rise_piece::rise_pieces;
use crate::setpoint::SetpointCurve;

/// A span of time with the size of what happens in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Start, in s.
    pub from_s: f64,
    /// End, in s, later than the start.
    pub to_s: f64,
    /// Temperature change from start to end, in °C, without sign.
    pub size_c: f64,
}

/// What counts as a plateau.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlateauRule {
    /// Largest rise, up or down, in °C/s, at least 0.
    pub max_rise_c_per_s: f64,
    /// Shortest span, in s.
    pub min_duration_s: f64,
}

/// A rise this small is rounding, in °C/s.
const RISE_ROUNDING_C_PER_S: f64 = 1e-9;

/// Spans between charge and `until_s` (s) over which the temperature falls, in order of time.
pub fn coolings(curve: &SetpointCurve, until_s: f64) -> Vec<Span> {
    spans_where(curve, until_s, &[-RISE_ROUNDING_C_PER_S], |rise| {
        rise < -RISE_ROUNDING_C_PER_S
    })
}

/// Spans between charge and `until_s` (s) over which the temperature hardly changes, in order of time.
pub fn plateaus(curve: &SetpointCurve, until_s: f64, rule: PlateauRule) -> Vec<Span> {
    let most = rule.max_rise_c_per_s + RISE_ROUNDING_C_PER_S;
    let mut spans = spans_where(curve, until_s, &[-most, most], |rise| rise.abs() <= most);
    spans.retain(|span| span.to_s - span.from_s >= rule.min_duration_s);
    spans
}

fn spans_where(
    curve: &SetpointCurve,
    until_s: f64,
    levels: &[f64],
    is_wanted: impl Fn(f64) -> bool,
) -> Vec<Span> {
    let mut spans: Vec<(f64, f64)> = Vec::new();
    for piece in rise_pieces(curve, until_s) {
        for (from, to) in piece.rise.parts(piece.width_s, levels, &is_wanted) {
            // The end of a piece is the start of the next up to rounding.
            match spans.last_mut() {
                Some(last) if from == 0.0 && (piece.from_s - last.1).abs() <= TIME_ROUNDING_S => {
                    last.1 = piece.from_s + to;
                }
                _ => spans.push((piece.from_s + from, piece.from_s + to)),
            }
        }
    }
    // The sum of a piece's start and width may miss its end by a rounding error.
    let latest_s = until_s.min(curve.end_s());
    let span = |(from_s, to_s): (f64, f64)| {
        let to_s = to_s.min(latest_s);
        let size_c = (curve.temp_c(to_s) - curve.temp_c(from_s)).abs();
        Span {
            from_s,
            to_s,
            size_c,
        }
    };
    spans.into_iter().map(span).collect()
}

/// Times this near are the same, in s.
const TIME_ROUNDING_S: f64 = 1e-9;
