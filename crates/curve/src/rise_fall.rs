//! Where the rate of rise falls off steeply.

use crate::rise_piece::{RisePiece, rise_pieces};
use crate::setpoint::SetpointCurve;

/// How much rise lost in how short a time is steep.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteepFall {
    /// Length of the window, in s, above 0.
    pub window_s: f64,
    /// Loss of rise inside the window above which it is steep, in °C/s.
    pub drop_c_per_s: f64,
}

/// A steep fall of the rate of rise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RiseFall {
    /// Start of the first window that loses too much, in s.
    pub from_s: f64,
    /// Where the last such window is lowest, in s.
    pub to_s: f64,
    /// Largest loss inside one window, in °C/s.
    pub loss_c_per_s: f64,
}

/// Steep falls between charge and `until_s` (s), in order of time, apart from each other.
///
/// A moment starts a fall when the rise some time within the window after it is lower by more than the limit. The lowest
/// rise of a window lies at its end or where the rise turns or jumps; both kinds are solved exactly.
pub fn steep_falls(curve: &SetpointCurve, until_s: f64, limit: SteepFall) -> Vec<RiseFall> {
    let pieces = rise_pieces(curve, until_s);
    let mut falls = falls_to_window_ends(&pieces, limit);
    for low in pieces.iter().flat_map(RisePiece::nodes) {
        falls.extend(falls_to(low, &pieces, limit));
    }
    merged(falls)
}

/// Windows that lose too much from their start to their end.
fn falls_to_window_ends(pieces: &[RisePiece], limit: SteepFall) -> Vec<RiseFall> {
    let end_s = pieces.last().map_or(0.0, |piece| piece.end_s);
    let latest_s = end_s - limit.window_s;
    let mut cuts: Vec<f64> = pieces
        .iter()
        .flat_map(|piece| [piece.from_s, piece.from_s - limit.window_s])
        .collect();
    cuts.push(latest_s);
    cuts.retain(|&cut| 0.0 <= cut && cut <= latest_s);
    cuts.sort_by(f64::total_cmp);
    let mut falls = Vec::new();
    for pair in cuts.windows(2).filter(|pair| pair[0] < pair[1]) {
        let (from_s, width_s) = (pair[0], pair[1] - pair[0]);
        let rise_from = |start_s: f64| {
            let middle_s = start_s + 0.5 * width_s;
            let piece = &pieces[pieces.partition_point(|piece| piece.from_s <= middle_s) - 1];
            piece.rise.counted_from(start_s - piece.from_s)
        };
        let loss = rise_from(from_s).minus(rise_from(from_s + limit.window_s));
        let steep = loss.parts(width_s, &[limit.drop_c_per_s], |loss| {
            loss > limit.drop_c_per_s
        });
        falls.extend(steep.into_iter().map(|(start, end)| RiseFall {
            from_s: from_s + start,
            to_s: (from_s + end + limit.window_s).min(end_s),
            loss_c_per_s: loss.highest(start, end),
        }));
    }
    falls
}

/// Falls to one low place from anywhere in the window before it.
fn falls_to((low_s, low): (f64, f64), pieces: &[RisePiece], limit: SteepFall) -> Vec<RiseFall> {
    let level = low + limit.drop_c_per_s;
    let earliest_s = low_s - limit.window_s;
    let mut falls = Vec::new();
    for piece in pieces
        .iter()
        .filter(|piece| piece.from_s < low_s && earliest_s < piece.end_s)
    {
        let skipped = (earliest_s - piece.from_s).max(0.0);
        let width = piece.width_s.min(low_s - piece.from_s) - skipped;
        let rise = piece.rise.counted_from(skipped);
        let steep = rise.parts(width, &[level], |rise| rise > level);
        falls.extend(steep.into_iter().map(|(start, end)| RiseFall {
            from_s: piece.from_s + skipped + start,
            to_s: low_s,
            loss_c_per_s: rise.highest(start, end) - low,
        }));
    }
    falls
}

fn merged(mut falls: Vec<RiseFall>) -> Vec<RiseFall> {
    falls.sort_by(|a, b| a.from_s.total_cmp(&b.from_s));
    let mut merged: Vec<RiseFall> = Vec::new();
    for fall in falls {
        match merged.last_mut() {
            Some(last) if fall.from_s <= last.to_s => {
                last.to_s = last.to_s.max(fall.to_s);
                last.loss_c_per_s = last.loss_c_per_s.max(fall.loss_c_per_s);
            }
            _ => merged.push(fall),
        }
    }
    merged
}
