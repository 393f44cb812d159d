//! Slopes at the knots of a cubic Hermite interpolant.
//!
//! *Monotone*: F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300 (weighted harmonic mean) with the
//! three-point end rule, as `SciPy`'s `PchipInterpolator` has it. *Smooth*: the cubic spline with two continuous
//! derivatives (C. de Boor, A Practical Guide to Splines, ch. IV), natural or clamped at either end. Citations from memory.

/// What a smooth run is tied to at one of its ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum RunEnd {
    /// No second derivative.
    Natural,
    /// This slope.
    Clamped(f64),
}

/// Monotone slopes of knots with these `widths` and `secants` between them (equal, non-zero lengths); one slope more
/// than there are secants.
pub(crate) fn monotone_slopes(widths: &[f64], secants: &[f64]) -> Vec<f64> {
    let n = secants.len();
    if n < 2 {
        return vec![secants[0]; n + 1];
    }
    let mut slopes = Vec::with_capacity(n + 1);
    slopes.push(end_slope(widths[0], widths[1], secants[0], secants[1]));
    for i in 1..n {
        slopes.push(inner_slope(
            widths[i - 1],
            widths[i],
            secants[i - 1],
            secants[i],
        ));
    }
    slopes.push(end_slope(
        widths[n - 1],
        widths[n - 2],
        secants[n - 1],
        secants[n - 2],
    ));
    slopes
}

/// The slope nearest to `slope` that keeps a monotone segment of this `secant` from overshooting: the square
/// `0..=3 secant` inside the region of F. N. Fritsch and R. E. Carlson, SIAM J. Numer. Anal. 17 (1980) 238 (from memory).
pub(crate) fn monotone_limited(slope: f64, secant: f64) -> f64 {
    let steepest = 3.0 * secant;
    slope.clamp(steepest.min(0.0), steepest.max(0.0))
}

fn inner_slope(h0: f64, h1: f64, d0: f64, d1: f64) -> f64 {
    if d0 * d1 <= 0.0 {
        return 0.0;
    }
    let w0 = 2.0 * h1 + h0;
    let w1 = h1 + 2.0 * h0;
    (w0 + w1) / (w0 / d0 + w1 / d1)
}

fn end_slope(h0: f64, h1: f64, d0: f64, d1: f64) -> f64 {
    let slope = ((2.0 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
    if slope * d0 <= 0.0 {
        0.0
    } else if d0 * d1 <= 0.0 && slope.abs() > 3.0 * d0.abs() {
        3.0 * d0
    } else {
        slope
    }
}

/// Slopes of the cubic spline through knots with these `widths` and `secants`, tied at `first` and `last`.
pub(crate) fn smooth_slopes(
    widths: &[f64],
    secants: &[f64],
    first: RunEnd,
    last: RunEnd,
) -> Vec<f64> {
    let n = secants.len();
    let mut rows = Vec::with_capacity(n + 1);
    rows.push(match first {
        RunEnd::Natural => Row::new(0.0, 2.0, 1.0, 3.0 * secants[0]),
        RunEnd::Clamped(slope) => Row::new(0.0, 1.0, 0.0, slope),
    });
    for i in 1..n {
        let (left, right) = (1.0 / widths[i - 1], 1.0 / widths[i]);
        let right_side = 3.0 * (secants[i - 1] * left + secants[i] * right);
        rows.push(Row::new(left, 2.0 * (left + right), right, right_side));
    }
    rows.push(match last {
        RunEnd::Natural => Row::new(1.0, 2.0, 0.0, 3.0 * secants[n - 1]),
        RunEnd::Clamped(slope) => Row::new(0.0, 1.0, 0.0, slope),
    });
    solve_tridiagonal(rows)
}

/// One equation `below m[i-1] + diagonal m[i] + above m[i+1] = right_side`.
struct Row {
    below: f64,
    diagonal: f64,
    above: f64,
    right_side: f64,
}

impl Row {
    fn new(below: f64, diagonal: f64, above: f64, right_side: f64) -> Self {
        Self {
            below,
            diagonal,
            above,
            right_side,
        }
    }
}

/// Elimination without pivoting, which is stable here because the rows are diagonally dominant.
fn solve_tridiagonal(mut rows: Vec<Row>) -> Vec<f64> {
    for i in 1..rows.len() {
        let factor = rows[i].below / rows[i - 1].diagonal;
        rows[i].diagonal -= factor * rows[i - 1].above;
        rows[i].right_side -= factor * rows[i - 1].right_side;
    }
    let mut solution = vec![0.0; rows.len()];
    let mut next = 0.0;
    for (row, slot) in rows.iter().zip(&mut solution).rev() {
        next = (row.right_side - row.above * next) / row.diagonal;
        *slot = next;
    }
    solution
}
