//! A piecewise cubic through any strictly increasing knots, with exact derivatives and integral.
//!
//! The value comes from a [`splines::Spline`] of `StrokeBezier` keys: a Hermite piece of slopes `m` and width `h` is the
//! Bézier piece with handles `y ± m h / 3`. The same pieces in powers of the distance from their left knot stand beside
//! it for what the spline does not offer; a test holds both together to 1e-12.

use splines::{Interpolation, Key, Spline};
use thiserror::Error;

use crate::crossing::{Crossing, crossings};
use crate::quadratic::Quadratic;
use crate::slopes::{RunEnd, monotone_slopes, smooth_slopes};

/// A place that an interpolant goes through, with its slope on either side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Knot {
    /// Position.
    pub x: f64,
    /// Value.
    pub y: f64,
    /// Slope at the end of the piece to the left; ignored for the first knot.
    pub slope_in: f64,
    /// Slope at the start of the piece to the right; ignored for the last knot.
    pub slope_out: f64,
}

/// Why knots make no interpolant; `number` counts knots from 1.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum KnotError {
    /// Fewer than two knots.
    #[error("{found} knots found, at least 2 expected: add one")]
    TooFew {
        /// Knots given.
        found: usize,
    },
    /// A coordinate or slope is infinite or not a number.
    #[error("knot {number} has a coordinate or slope that is not a finite number: give it one")]
    NotFinite {
        /// Which knot.
        number: usize,
    },
    /// A knot is not to the right of the one before.
    #[error(
        "knot {number} is at {found}, expected later than {previous}: sort the knots and drop doubles"
    )]
    NotIncreasing {
        /// Which knot.
        number: usize,
        /// Its position.
        found: f64,
        /// Position of the knot before.
        previous: f64,
    },
}

/// A place on an interpolant or on its slope.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Position.
    pub x: f64,
    /// Value or slope there.
    pub y: f64,
}

/// Lowest and highest place of a span, each the first of its height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extrema {
    /// The lowest.
    pub lowest: Place,
    /// The highest.
    pub highest: Place,
}

/// A cubic between two knots: `y + slope s + c2 s² + c3 s³`, `s` from 0 to `width`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Piece {
    pub(crate) x: f64,
    pub(crate) width: f64,
    pub(crate) y: f64,
    slope: f64,
    c2: f64,
    c3: f64,
    /// Integral from the first knot to `x`.
    area_before: f64,
}

impl Piece {
    fn between(left: &Knot, right: &Knot, area_before: f64) -> Self {
        let width = right.x - left.x;
        let secant = (right.y - left.y) / width;
        let (bend_in, bend_out) = (secant - left.slope_out, secant - right.slope_in);
        Self {
            x: left.x,
            width,
            y: left.y,
            slope: left.slope_out,
            // Written in differences from the secant, so that a straight piece is exactly straight.
            c2: (2.0 * bend_in + bend_out) / width,
            c3: -(bend_in + bend_out) / (width * width),
            area_before,
        }
    }

    pub(crate) fn value(&self, s: f64) -> f64 {
        ((self.c3 * s + self.c2) * s + self.slope) * s + self.y
    }

    pub(crate) fn slope_at(&self, s: f64) -> f64 {
        (3.0 * self.c3 * s + 2.0 * self.c2) * s + self.slope
    }

    fn bend_at(&self, s: f64) -> f64 {
        6.0 * self.c3 * s + 2.0 * self.c2
    }

    fn area_to(&self, s: f64) -> f64 {
        (((self.c3 / 4.0 * s + self.c2 / 3.0) * s + self.slope / 2.0) * s + self.y) * s
    }

    pub(crate) fn slope_quadratic(&self) -> Quadratic {
        Quadratic {
            a: self.slope,
            b: 2.0 * self.c2,
            c: 3.0 * self.c3,
        }
    }
}

/// A piecewise cubic. Outside its knots it keeps the end value, with slope 0.
#[derive(Debug, Clone)]
pub struct Interpolant {
    spline: Spline<f64, f64>,
    pieces: Vec<Piece>,
    end: (f64, f64),
}

impl Interpolant {
    /// Through `(x, y)` without ever leaving the range of two neighbours; once continuously differentiable.
    ///
    /// # Errors
    /// Fewer than two knots, a number that is not finite, positions that do not increase strictly.
    pub fn monotone(knots: &[(f64, f64)]) -> Result<Self, KnotError> {
        Self::with_slopes(knots, monotone_slopes)
    }

    /// The natural cubic spline through `(x, y)`; twice continuously differentiable, may overshoot.
    ///
    /// # Errors
    /// As [`Interpolant::monotone`].
    pub fn smooth(knots: &[(f64, f64)]) -> Result<Self, KnotError> {
        Self::with_slopes(knots, |widths, secants| {
            smooth_slopes(widths, secants, RunEnd::Natural, RunEnd::Natural)
        })
    }

    /// Straight lines from each `(x, y)` to the next.
    ///
    /// # Errors
    /// As [`Interpolant::monotone`].
    pub fn straight(knots: &[(f64, f64)]) -> Result<Self, KnotError> {
        check_positions(knots.iter().copied())?;
        let secants = Secants::of(knots).secants;
        let slope = |i: Option<usize>| i.and_then(|i| secants.get(i)).copied().unwrap_or(0.0);
        let knots: Vec<Knot> = knots
            .iter()
            .enumerate()
            .map(|(i, &(x, y))| Knot {
                x,
                y,
                slope_in: slope(i.checked_sub(1)),
                slope_out: slope(Some(i)),
            })
            .collect();
        Self::hermite(&knots)
    }

    /// Through knots of given slopes; a slope that differs on both sides of a knot makes a corner.
    ///
    /// # Errors
    /// As [`Interpolant::monotone`].
    pub fn hermite(knots: &[Knot]) -> Result<Self, KnotError> {
        check_positions(knots.iter().map(|knot| (knot.x, knot.y)))?;
        let is_steady = |knot: &Knot| knot.slope_in.is_finite() && knot.slope_out.is_finite();
        if let Some(i) = knots.iter().position(|knot| !is_steady(knot)) {
            return Err(KnotError::NotFinite { number: i + 1 });
        }
        Ok(Self::through(knots))
    }

    /// [`Interpolant::hermite`] for knots that are known to keep its rules.
    pub(crate) fn through(knots: &[Knot]) -> Self {
        let mut area = 0.0;
        let mut pieces = Vec::with_capacity(knots.len() - 1);
        for pair in knots.windows(2) {
            let piece = Piece::between(&pair[0], &pair[1], area);
            area += piece.area_to(piece.width);
            pieces.push(piece);
        }
        let last = knots[knots.len() - 1];
        Self {
            spline: Spline::from_vec(keys(knots)),
            pieces,
            end: (last.x, last.y),
        }
    }

    fn with_slopes(
        knots: &[(f64, f64)],
        slopes: impl FnOnce(&[f64], &[f64]) -> Vec<f64>,
    ) -> Result<Self, KnotError> {
        check_positions(knots.iter().copied())?;
        let Secants { widths, secants } = Secants::of(knots);
        let slopes = slopes(&widths, &secants);
        let knots: Vec<Knot> = knots
            .iter()
            .zip(slopes)
            .map(|(&(x, y), slope)| Knot {
                x,
                y,
                slope_in: slope,
                slope_out: slope,
            })
            .collect();
        Self::hermite(&knots)
    }

    /// First knot's position.
    pub fn start_x(&self) -> f64 {
        self.pieces[0].x
    }

    /// Last knot's position.
    pub fn end_x(&self) -> f64 {
        self.end.0
    }

    /// The value at `x`; NaN for NaN.
    pub fn value(&self, x: f64) -> f64 {
        // The spline's search panics on NaN.
        if x.is_nan() {
            return f64::NAN;
        }
        self.spline.clamped_sample(x).unwrap_or(self.end.1)
    }

    /// The first derivative at `x`; at a knot that of the piece to the right (last knot: to the left), 0 outside.
    pub fn slope(&self, x: f64) -> f64 {
        self.inside(x).map_or(0.0, |(piece, s)| piece.slope_at(s))
    }

    /// The second derivative at `x`, with the same rule at knots and outside.
    pub fn bend(&self, x: f64) -> f64 {
        self.inside(x).map_or(0.0, |(piece, s)| piece.bend_at(s))
    }

    /// The integral from `from` to `to`; negative when they are swapped and the values positive.
    pub fn area(&self, from: f64, to: f64) -> f64 {
        self.area_from_start(to) - self.area_from_start(from)
    }

    /// Where the interpolant meets `level`, in ascending order; within `tolerance` (unit of the values) of the level
    /// counts as on it for touches and plateaus. Crossings are exact to rounding.
    pub fn crossings(&self, level: f64, tolerance: f64) -> Vec<Crossing> {
        crossings(self, level, tolerance)
    }

    /// Lowest and highest value between `from` and `to` (`from <= to`), exact to rounding.
    pub fn extrema(&self, from: f64, to: f64) -> Extrema {
        let mut places = vec![Place {
            x: from,
            y: self.value(from),
        }];
        for piece in self.pieces_within(from, to) {
            places.push(Place {
                x: piece.x,
                y: piece.y,
            });
            let turns = piece.slope_quadratic().roots(0.0, piece.width);
            places.extend(turns.map(|s| Place {
                x: piece.x + s,
                y: piece.value(s),
            }));
        }
        places.push(Place {
            x: to,
            y: self.value(to),
        });
        extrema_within(places, from, to)
    }

    /// Smallest and largest slope between `from` and `to` (`from <= to`), exact to rounding; at a corner inside the
    /// span both slopes count.
    pub fn slope_extrema(&self, from: f64, to: f64) -> Extrema {
        let mut places = vec![Place {
            x: from,
            y: self.slope(from),
        }];
        for piece in self.pieces_within(from, to) {
            let rise = piece.slope_quadratic();
            let ends = [0.0, (to - piece.x).min(piece.width)];
            let stops = [Some(ends[0]), rise.vertex(piece.width), Some(ends[1])];
            let place = |s: f64| Place {
                x: (piece.x + s).min(to),
                y: rise.value(s),
            };
            places.extend(stops.into_iter().flatten().map(place));
        }
        extrema_within(places, from, to)
    }

    pub(crate) fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    pub(crate) fn end(&self) -> (f64, f64) {
        self.end
    }

    /// Pieces that share more than a place with the span.
    pub(crate) fn pieces_within(&self, from: f64, to: f64) -> impl Iterator<Item = &Piece> {
        self.pieces
            .iter()
            .filter(move |piece| piece.x < to && from < piece.x + piece.width)
    }

    /// The piece that holds `x` and the distance into it.
    fn inside(&self, x: f64) -> Option<(&Piece, f64)> {
        if !(self.start_x() <= x && x <= self.end.0) {
            return None;
        }
        let piece = &self.pieces[self.pieces.partition_point(|piece| piece.x <= x) - 1];
        Some((piece, x - piece.x))
    }

    fn area_from_start(&self, x: f64) -> f64 {
        let first = &self.pieces[0];
        if x < first.x {
            return (x - first.x) * first.y;
        }
        let piece = &self.pieces[self.pieces.partition_point(|piece| piece.x <= x).max(1) - 1];
        let beyond = (x - self.end.0).max(0.0);
        piece.area_before + piece.area_to((x - piece.x).min(piece.width)) + beyond * self.end.1
    }
}

fn extrema_within(mut places: Vec<Place>, from: f64, to: f64) -> Extrema {
    places.retain(|place| from <= place.x && place.x <= to);
    let start = places.first().copied().unwrap_or(Place {
        x: from,
        y: f64::NAN,
    });
    let found = Extrema {
        lowest: start,
        highest: start,
    };
    places.into_iter().fold(found, |found, place| Extrema {
        lowest: if place.y < found.lowest.y {
            place
        } else {
            found.lowest
        },
        highest: if place.y > found.highest.y {
            place
        } else {
            found.highest
        },
    })
}

/// Widths and secant slopes between neighbouring knots.
pub(crate) struct Secants {
    pub(crate) widths: Vec<f64>,
    pub(crate) secants: Vec<f64>,
}

impl Secants {
    pub(crate) fn of(knots: &[(f64, f64)]) -> Self {
        let widths: Vec<f64> = knots.windows(2).map(|pair| pair[1].0 - pair[0].0).collect();
        let rises = knots.windows(2).map(|pair| pair[1].1 - pair[0].1);
        let secants = rises
            .zip(&widths)
            .map(|(rise, width)| rise / width)
            .collect();
        Self { widths, secants }
    }
}

fn check_positions(knots: impl Iterator<Item = (f64, f64)>) -> Result<(), KnotError> {
    let mut found = 0;
    let mut previous = f64::NEG_INFINITY;
    for (x, y) in knots {
        found += 1;
        if !(x.is_finite() && y.is_finite()) {
            return Err(KnotError::NotFinite { number: found });
        }
        if x <= previous {
            return Err(KnotError::NotIncreasing {
                number: found,
                found: x,
                previous,
            });
        }
        previous = x;
    }
    if found < 2 {
        Err(KnotError::TooFew { found })
    } else {
        Ok(())
    }
}

fn keys(knots: &[Knot]) -> Vec<Key<f64, f64>> {
    let handle = |knot: &Knot, to: Option<&Knot>, slope: f64| {
        to.map_or(knot.y, |to| knot.y + slope * (to.x - knot.x) / 3.0)
    };
    let key = |(i, knot): (usize, &Knot)| {
        let before = i.checked_sub(1).and_then(|i| knots.get(i));
        let handle_in = handle(knot, before, knot.slope_in);
        let handle_out = handle(knot, knots.get(i + 1), knot.slope_out);
        Key::new(
            knot.x,
            knot.y,
            Interpolation::StrokeBezier(handle_in, handle_out),
        )
    };
    knots.iter().enumerate().map(key).collect()
}
