//! Slopes of a setpoint's points: runs of curved segments between straight ones, holds and pins.
//!
//! A straight segment or hold has its own slope at both ends. Each run of curved segments between them is solved alone
//! and joins without a corner where it may: a smooth run is clamped to the neighbouring slope; a monotone one takes it
//! as far as it can without overshooting. A pinned rise is taken as it is on the curved sides of its point.

use crate::interpolant::{Knot, Secants};
use crate::point::{ControlPoint, Segment, Shape};
use crate::slopes::{RunEnd, monotone_limited, monotone_slopes, smooth_slopes};

/// Knots with slopes for points that are already checked (at least 2, times increasing).
pub(crate) fn setpoint_knots(shape: Shape, points: &[ControlPoint]) -> Vec<Knot> {
    let places: Vec<(f64, f64)> = points
        .iter()
        .map(|point| (point.time_s, point.temp_c))
        .collect();
    let run = Secants::of(&places);
    let mut knots: Vec<Knot> = places
        .iter()
        .map(|&(x, y)| Knot {
            x,
            y,
            slope_in: 0.0,
            slope_out: 0.0,
        })
        .collect();
    let is_curved = |i: usize| points[i].segment == Segment::Curved;
    let segments = points.len() - 1;
    for i in (0..segments).filter(|&i| !is_curved(i)) {
        knots[i].slope_out = run.secants[i];
        knots[i + 1].slope_in = run.secants[i];
    }
    let mut first = 0;
    while first < segments {
        let last = (first..segments)
            .find(|&i| !is_curved(i))
            .unwrap_or(segments);
        if first < last {
            match shape {
                Shape::Monotone => monotone_run(&run, points, &mut knots, first, last),
                Shape::Smooth => smooth_run(&run, points, &mut knots, first, last),
            }
        }
        first = last + 1;
    }
    knots
}

/// Slopes of the curved segments `first..last`.
fn monotone_run(
    run: &Secants,
    points: &[ControlPoint],
    knots: &mut [Knot],
    first: usize,
    last: usize,
) {
    let secants = &run.secants[first..last];
    let mut slopes = monotone_slopes(&run.widths[first..last], secants);
    let end = slopes.len() - 1;
    if first > 0 {
        slopes[0] = monotone_limited(knots[first].slope_in, secants[0]);
    }
    if last + 1 < points.len() {
        slopes[end] = monotone_limited(knots[last].slope_out, secants[end - 1]);
    }
    for (slope, point) in slopes.iter_mut().zip(&points[first..=last]) {
        *slope = point.pinned_rise_c_per_s.unwrap_or(*slope);
    }
    set_slopes(knots, first, &slopes);
}

/// Slopes of the curved segments `first..last`, cut where a rise is pinned.
fn smooth_run(
    run: &Secants,
    points: &[ControlPoint],
    knots: &mut [Knot],
    first: usize,
    last: usize,
) {
    let mut start = first;
    while start < last {
        let is_pinned = |i: &usize| points[*i].pinned_rise_c_per_s.is_some();
        let stop = (start + 1..last).find(is_pinned).unwrap_or(last);
        let joins_before = (start > 0).then(|| knots[start].slope_in);
        let joins_after = (stop + 1 < points.len()).then(|| knots[stop].slope_out);
        let tie = |i: usize, neighbour: Option<f64>| {
            points[i]
                .pinned_rise_c_per_s
                .or(neighbour)
                .map_or(RunEnd::Natural, RunEnd::Clamped)
        };
        let (from, to) = (tie(start, joins_before), tie(stop, joins_after));
        let slopes = smooth_slopes(
            &run.widths[start..stop],
            &run.secants[start..stop],
            from,
            to,
        );
        set_slopes(knots, start, &slopes);
        start = stop;
    }
}

/// Both sides inside the run, the inner side at its ends.
fn set_slopes(knots: &mut [Knot], first: usize, slopes: &[f64]) {
    let end = slopes.len() - 1;
    for (i, (knot, &slope)) in knots[first..].iter_mut().zip(slopes).enumerate() {
        if i > 0 {
            knot.slope_in = slope;
        }
        if i < end {
            knot.slope_out = slope;
        }
    }
}
