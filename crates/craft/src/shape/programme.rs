//! A convex quadratic programme in standard form, and its solution by an interior-point method.
//!
//! Least ½ xᵀPx + qᵀx with l ≤ Ax ≤ u, by the `clarabel` crate (Goulart and Chen, "Clarabel: an interior-point solver for conic
//! programs with quadratic objectives", 2024). Which problems are made of a plan stands in `problem.rs`.

use clarabel::{
    algebra::CscMatrix,
    solver::{
        DefaultSettingsBuilder, DefaultSolver, IPSolver, SolverStatus,
        SupportedConeT::{NonnegativeConeT, ZeroConeT},
    },
};

/// Gap and feasibility at which the solver may stop. Ours: four digits better than the comparison outside asks for.
const TOLERANCE: f64 = 1e-10;

/// A row of the constraints: `least` ≤ the sum of value · variable ≤ `most`; infinite where there is no bound.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Variable and value; no variable twice.
    pub entries: Vec<(usize, f64)>,
    /// Lower bound.
    pub least: f64,
    /// Upper bound; as the lower one for an equation.
    pub most: f64,
}

impl Row {
    /// Of both bounds.
    pub(super) fn between(entries: Vec<(usize, f64)>, least: f64, most: f64) -> Self {
        Self {
            entries,
            least,
            most,
        }
    }

    /// An equation.
    pub(super) fn equal(entries: Vec<(usize, f64)>, value: f64) -> Self {
        Self::between(entries, value, value)
    }

    /// Without an upper bound.
    pub(super) fn at_least(entries: Vec<(usize, f64)>, least: f64) -> Self {
        Self::between(entries, least, f64::INFINITY)
    }

    /// Without a lower bound.
    pub(super) fn at_most(entries: Vec<(usize, f64)>, most: f64) -> Self {
        Self::between(entries, f64::NEG_INFINITY, most)
    }
}

/// A convex quadratic programme.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Programme {
    /// How many variables there are.
    pub variables: usize,
    /// P: row, column (not below the diagonal) and value; what stands twice is added up.
    pub squares: Vec<(usize, usize, f64)>,
    /// q, one value a variable.
    pub linear: Vec<f64>,
    /// A with its bounds.
    pub rows: Vec<Row>,
}

/// A solution.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// The variables.
    pub x: Vec<f64>,
    /// ½ xᵀPx + qᵀx.
    pub objective: f64,
    /// What a unit more room of each row would take off the objective; above 0 where its upper bound binds, below where its lower.
    pub prices: Vec<f64>,
}

impl Programme {
    /// Solves it; nothing where no x obeys all rows, or the solver gives up.
    pub fn solved(&self) -> Option<Solution> {
        self.solved_to(TOLERANCE)
    }

    /// Solves it with another gap and feasibility to stop at.
    pub(super) fn solved_to(&self, tolerance: f64) -> Option<Solution> {
        let (count, squares) = (self.variables, &self.squares);
        let p = CscMatrix::new_from_triplets(
            count,
            count,
            squares.iter().map(|square| square.0).collect(),
            squares.iter().map(|square| square.1).collect(),
            squares.iter().map(|square| square.2).collect(),
        );
        let sides = self.sides();
        let equations = sides.iter().filter(|side| side.sign == 0.0).count();
        let mut places = (Vec::new(), Vec::new(), Vec::new());
        let mut bounds = Vec::with_capacity(sides.len());
        for (index, side) in sides.iter().enumerate() {
            // An equation keeps its sign; a lower bound is an upper one of the negative.
            let sign = if side.sign < 0.0 { -1.0 } else { 1.0 };
            for &(variable, value) in &self.rows[side.row].entries {
                places.0.push(index);
                places.1.push(variable);
                places.2.push(sign * value);
            }
            bounds.push(sign * side.bound);
        }
        let a = CscMatrix::new_from_triplets(sides.len(), count, places.0, places.1, places.2);
        let cones = [
            ZeroConeT(equations),
            NonnegativeConeT(sides.len() - equations),
        ];
        let settings = DefaultSettingsBuilder::default()
            .verbose(false)
            .max_threads(1)
            .presolve_enable(false)
            .tol_gap_abs(tolerance)
            .tol_gap_rel(tolerance)
            .tol_feas(tolerance)
            .build()
            .ok()?;
        let mut solver =
            DefaultSolver::new(&p, &self.linear, &a, &bounds, &cones, settings).ok()?;
        solver.solve();
        let found = solver.solution;
        if !matches!(
            found.status,
            SolverStatus::Solved | SolverStatus::AlmostSolved
        ) {
            return None;
        }
        let mut prices = vec![0.0; self.rows.len()];
        for (side, price) in sides.iter().zip(&found.z) {
            prices[side.row] += if side.sign < 0.0 { -price } else { *price };
        }
        Some(Solution {
            objective: self.objective(&found.x),
            x: found.x,
            prices,
        })
    }

    /// ½ xᵀPx + qᵀx.
    pub fn objective(&self, x: &[f64]) -> f64 {
        let squares = self.squares.iter().map(|&(row, column, value)| {
            let half = if row == column { 0.5 } else { 1.0 };
            half * value * x[row] * x[column]
        });
        let linear = self.linear.iter().zip(x).map(|(q, x)| q * x);
        squares.sum::<f64>() + linear.sum::<f64>()
    }

    /// By how much `x` breaks the row that it breaks most.
    pub fn violation(&self, x: &[f64]) -> f64 {
        let broken = self.rows.iter().map(|row| {
            let value: f64 = row
                .entries
                .iter()
                .map(|&(index, value)| value * x[index])
                .sum();
            (row.least - value).max(value - row.most)
        });
        broken.fold(0.0, f64::max)
    }

    /// Equations first, as the solver wants its cones one after the other.
    fn sides(&self) -> Vec<Side> {
        let rows = || self.rows.iter().enumerate();
        let equations = rows().filter(|(_, row)| row.least == row.most);
        let equations = equations.map(|(index, row)| Side::new(index, 0.0, row.most));
        let bounds = rows().filter(|(_, row)| row.least != row.most);
        let bounds = bounds.flat_map(|(index, row)| {
            let upper = row
                .most
                .is_finite()
                .then(|| Side::new(index, 1.0, row.most));
            let lower = row
                .least
                .is_finite()
                .then(|| Side::new(index, -1.0, row.least));
            upper.into_iter().chain(lower)
        });
        equations.chain(bounds).collect()
    }
}

/// One bound of a row: 0 an equation, 1 the upper, −1 the lower.
struct Side {
    row: usize,
    sign: f64,
    bound: f64,
}

impl Side {
    fn new(row: usize, sign: f64, bound: f64) -> Self {
        Self { row, sign, bound }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]
    use super::*;

    /// Least (x − 3)² + (y + 1)² without its constant.
    fn bowl(rows: Vec<Row>) -> Programme {
        Programme {
            variables: 2,
            squares: vec![(0, 0, 2.0), (1, 1, 2.0)],
            linear: vec![-6.0, 2.0],
            rows,
        }
    }

    #[test]
    fn a_bowl_with_a_wall_is_least_where_calculus_says() {
        // x + y ≥ 4 cuts the least point off; on the wall it is (4, 0), and the wall's price is 2 · 1 by Lagrange.
        let wall = Row::at_least(vec![(0, 1.0), (1, 1.0)], 4.0);
        let programme = bowl(vec![wall]);
        let found = programme.solved().unwrap();
        let off = (found.x[0] - 4.0).abs().max(found.x[1].abs());
        assert!(off < 1e-7, "{found:?}");
        assert!((found.prices[0] + 2.0).abs() < 1e-6, "{found:?}");
        assert!(programme.violation(&found.x) < 1e-8, "{found:?}");
        assert!(
            (programme.violation(&[0.0, 1.0]) - 3.0).abs() < 1e-12,
            "by hand"
        );
    }

    #[test]
    fn walls_that_leave_nothing_between_them_have_no_solution() {
        let walls = vec![
            Row::at_least(vec![(0, 1.0)], 1.0),
            Row::at_most(vec![(0, 1.0)], 0.9),
        ];
        assert_eq!(bowl(walls).solved(), None, "nothing between");
    }

    #[test]
    fn products_of_two_variables_count_once() {
        // ½ (2x² + 2xy·1 + 2y²) − 3x − 3y is least at x = y = 1 by hand.
        let programme = Programme {
            variables: 2,
            squares: vec![(0, 0, 2.0), (0, 1, 1.0), (1, 1, 2.0)],
            linear: vec![-3.0, -3.0],
            rows: vec![Row::between(vec![(0, 1.0)], -9.0, 9.0)],
        };
        let found = programme.solved().unwrap();
        assert!((found.x[0] - 1.0).abs() < 1e-7, "{found:?}");
        assert!((found.objective + 3.0).abs() < 1e-7, "{found:?}");
    }
}
