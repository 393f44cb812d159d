//! The search for the curve that keeps a history: nonlinear least squares by the Levenberg–Marquardt method.
//!
//! The crate's port of MINPACK does the steps; this file gives it residuals and difference quotients, each by one roast of the twin.

use super::{handles::Handles, progress::Progress, run::Run, wanted::Wanted};
use crate::airflow::AirflowSchedule;
use chaffinch_curve::SetpointCurve;
use chaffinch_twin::RoastParams;
use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt, TerminationReason};
use nalgebra::{DMatrix, DVector, Dyn, storage::Owned};

/// The search ends when the sum of squares, or the numbers, change by less than this share. Ours: 1e-6 of a shift is far below 0.01 K.
const TOLERANCE: f64 = 1e-8;
/// Most roasts of a search beside those for slopes. Ours: searches need 3 to 8 steps, and where a heater at its limit makes the history
/// jump the rest is for nothing: each step costs a roast for each free number.
const MOST_STEPS: usize = 60;

/// Why a search ended without a curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Broken {
    /// Somebody stopped it.
    Cancelled,
    /// The model or the curve couldn't take a step.
    NoStep,
}

/// What a search found.
#[derive(Clone, Debug)]
pub(super) struct Found {
    /// The free numbers.
    pub(super) free: Vec<f64>,
    /// The curve.
    pub(super) curve: SetpointCurve,
    /// Its roast.
    pub(super) run: Run,
}

/// A search: the wanted history, the roast that it is wanted of, and what may change.
#[derive(Clone, Copy)]
pub(super) struct Search<'a> {
    pub(super) wanted: &'a Wanted,
    pub(super) params: &'a RoastParams,
    pub(super) airflow: &'a AirflowSchedule,
    pub(super) handles: &'a Handles<'a>,
    pub(super) progress: &'a Progress<'a>,
}

impl Search<'_> {
    /// Looks for the curve from a starting guess of the free numbers.
    ///
    /// # Errors
    /// [`Broken`]: cancelled, or a curve on the way that can't be roasted.
    pub(super) fn from(&self, guess: &[f64]) -> Result<Found, Broken> {
        let mut problem = Problem {
            search: self,
            free: DVector::from_column_slice(guess),
            residuals: None,
        };
        problem.residuals = self.residuals_k(guess);
        if !guess.is_empty() {
            let method = LevenbergMarquardt::new()
                .with_ftol(TOLERANCE)
                .with_xtol(TOLERANCE)
                .with_gtol(TOLERANCE)
                // The crate takes the most in units of one more than the free numbers.
                .with_patience(MOST_STEPS.div_ceil(guess.len() + 1));
            let (solved, report) = method.minimize(problem);
            problem = solved;
            if self.progress.is_cancelled() {
                return Err(Broken::Cancelled);
            }
            // Out of patience or of digits the best found so far is still the best; only a step that can't be taken is no answer.
            if matches!(
                report.termination,
                TerminationReason::User(_)
                    | TerminationReason::Numerical(_)
                    | TerminationReason::WrongDimensions(_)
            ) {
                return Err(Broken::NoStep);
            }
        }
        let free = problem.free.as_slice().to_vec();
        let curve = self.handles.curve(&free).map_err(|_| Broken::NoStep)?;
        let run = self.roast(&curve).ok_or(Broken::NoStep)?;
        Ok(Found { free, curve, run })
    }

    fn roast(&self, curve: &SetpointCurve) -> Option<Run> {
        self.progress.one_roast_more();
        self.wanted.run(self.params, curve, self.airflow)
    }

    /// All residuals, in K; nothing where there are none or somebody stopped the search.
    fn residuals_k(&self, free: &[f64]) -> Option<DVector<f64>> {
        if self.progress.is_cancelled() {
            return None;
        }
        let curve = self.handles.curve(free).ok()?;
        let run = self.roast(&curve)?;
        let mut residuals = Vec::new();
        self.wanted.residuals_k(&run, &curve, &mut residuals);
        self.handles.regularisation_k(free, &mut residuals);
        Some(DVector::from_vec(residuals))
    }
}

struct Problem<'a> {
    search: &'a Search<'a>,
    free: DVector<f64>,
    residuals: Option<DVector<f64>>,
}

impl LeastSquaresProblem<f64, Dyn, Dyn> for Problem<'_> {
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;
    type ParameterStorage = Owned<f64, Dyn>;

    fn set_params(&mut self, free: &DVector<f64>) {
        self.free.copy_from(free);
        self.residuals = self.search.residuals_k(free.as_slice());
    }

    fn params(&self) -> DVector<f64> {
        self.free.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        self.residuals.clone()
    }

    /// Forward differences, one roast a column. The twin is smooth but where the heater comes to a limit, and free of noise.
    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let here = self.residuals.as_ref()?;
        let step = self.search.handles.step();
        let mut slopes = DMatrix::zeros(here.len(), self.free.len());
        let mut moved = self.free.clone();
        for column in 0..self.free.len() {
            moved[column] += step;
            let there = self.search.residuals_k(moved.as_slice())?;
            moved[column] = self.free[column];
            // A stretched curve may end a second later; the moments compared are as many all the same.
            slopes.set_column(column, &((there - here) / step));
        }
        Some(slopes)
    }
}
