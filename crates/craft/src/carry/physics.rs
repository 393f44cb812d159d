//! The first layer: what the twin says the curve must become for the kept history to stay the same.

use super::{
    drawn::{Drawn, with_temps},
    error::CarryError,
    estimate,
    handles::Handles,
    keep::Keep,
    progress::Progress,
    run::{Run, passes_s, value_at},
    search::{Broken, Found, Search},
    sensitivity::{Sensitivities, Sensitivity},
    stretch::moved_airflow,
    wanted::{MISS_WEIGHT, SHORT_MISS_WEIGHT, Wanted},
};
use crate::{
    limits,
    lot::Lot,
    outlook::{Foreseen, Outlook},
    plan::PlanParts,
    twin_sheets::TwinSheets,
};
use chaffinch_curve::Marks;
use chaffinch_twin::{RoastParams, TwinError};

/// Roasts of one step of a search beside one for each free number, and steps of a search: for telling how far it is.
const EXPECTED_STEPS: usize = 6;
/// … and of one that starts next to its end.
const EXPECTED_NEAR_STEPS: usize = 3;
/// Greatest shift of the last reading, in K, that moves marks and finishes. Ours: physics moves a curve by a few K; a roast that ends
/// farther off falls so far short that it says nothing of where they belong.
const MOST_MARK_SHIFT_K: f64 = 20.0;
/// Shifts of a mark below this, in K, are rounding.
const ROUNDING_K: f64 = 1e-6;

/// What came of the layer.
#[derive(Clone, Debug)]
pub(super) struct Physics {
    pub(super) drawn: Drawn,
    pub(super) wanted: Wanted,
    pub(super) run: Run,
    pub(super) params: RoastParams,
    /// Widest first.
    pub(super) sensitivities: Vec<Sensitivity>,
}

/// Both sides of the layer: the same drawing on the sheets carried from and on those carried to.
pub(super) struct Sides<'a> {
    pub(super) keep: Keep,
    pub(super) from: &'a PlanParts,
    pub(super) from_outlook: &'a Outlook,
    /// With the airflow that lifts the bed.
    pub(super) to: &'a PlanParts,
}

/// Finds the curve, and how far it moves for each number that nobody measured.
pub(super) fn carried(sides: &Sides<'_>, progress: &Progress<'_>) -> Result<Physics, CarryError> {
    carried_from(sides, None, progress)
}

/// The same from another starting guess, which must not matter: K for temperatures, logarithms for gaps.
pub(super) fn carried_from(
    sides: &Sides<'_>,
    guess: Option<f64>,
    progress: &Progress<'_>,
) -> Result<Physics, CarryError> {
    let (from, to) = (sides.from, sides.to);
    let from_params = params_of(from)?;
    let to_params = params(to, &to.lot).map_err(no_forecast)?;
    let foreseen = foreseen(sides.from_outlook)?;
    let mut wanted =
        Wanted::of(sides.keep, from, foreseen, &from_params).ok_or(CarryError::NoCurve)?;
    let Some(freedom) = wanted.freedom() else {
        let run = wanted
            .run(&to_params, &to.curve, &to.airflow)
            .ok_or(CarryError::NoCurve)?;
        return Ok(Physics {
            drawn: Drawn::of(to),
            run,
            params: to_params,
            wanted,
            sensitivities: Vec::new(),
        });
    };
    let met_s = wanted.met_s as f64;
    let handles = Handles::new(&from.curve, freedom, to.machine.ceiling_c, met_s);
    let guesses = estimate::guesses(&to.lot);
    let steps = EXPECTED_STEPS + EXPECTED_NEAR_STEPS * guesses.len();
    progress.expect(steps * (handles.count() + 1));
    let start = vec![guess.unwrap_or(0.0); handles.count()];
    let searched = |wanted: &Wanted| {
        let search = Search {
            wanted,
            params: &to_params,
            airflow: &to.airflow,
            handles: &handles,
            progress,
        };
        search.from(&start).map_err(broken)
    };
    let mut found = searched(&wanted)?;
    if is_short(&wanted, &from_params, &found, &to_params) {
        wanted.miss_weight = SHORT_MISS_WEIGHT;
        found = searched(&wanted)?;
    }
    let sensitivities = Sensitivities {
        sides,
        search: Search {
            wanted: &wanted,
            params: &to_params,
            airflow: &to.airflow,
            handles: &handles,
            progress,
        },
        found: &found,
        freedom,
    }
    .all(guesses)?;
    Ok(Physics {
        drawn: drawn(to, &wanted, &found),
        wanted,
        run: found.run,
        params: to_params,
        sensitivities,
    })
}

/// Whether the heater stands at its limit for so much longer than before that the machine can't be said to follow.
fn is_short(
    wanted: &Wanted,
    from_params: &RoastParams,
    found: &Found,
    to_params: &RoastParams,
) -> bool {
    let count = |run: &Run, params| limited_seconds(run, params, wanted.met_s).len();
    let least_s = limits::LEAST_LIMITED_S as usize;
    count(&wanted.run, from_params) + least_s <= count(&found.run, to_params)
}

/// Seconds from `from_s` on in which the heater stands at its limit.
pub(super) fn limited_seconds(run: &Run, params: &RoastParams, from_s: usize) -> Vec<usize> {
    (from_s..run.trace.len())
        .filter(|&second| {
            params.effort_limit(run.trace.flow_share[second]) <= run.trace.effort[second]
        })
        .collect()
}

/// Machine, lot and room of a plan of which something is foreseen, multiplied out.
pub(super) fn params_of(parts: &PlanParts) -> Result<RoastParams, CarryError> {
    params(parts, &parts.lot).map_err(no_history)
}

/// Machine, lot and room multiplied out, with `lot` in the plan's place.
pub(super) fn params(parts: &PlanParts, lot: &Lot) -> Result<RoastParams, TwinError> {
    let parts = PlanParts {
        lot: lot.clone(),
        ..parts.clone()
    };
    let sheets = TwinSheets::of(&parts);
    RoastParams::new(&sheets.machine, &sheets.lot, &sheets.room)
}

fn foreseen(outlook: &Outlook) -> Result<&Foreseen, CarryError> {
    outlook
        .roast
        .as_ref()
        .map_err(|limits| CarryError::NoHistory {
            limits: limits.clone(),
        })
}

fn no_history(error: TwinError) -> CarryError {
    CarryError::NoHistory {
        limits: vec![error.into()],
    }
}

fn no_forecast(error: TwinError) -> CarryError {
    CarryError::NoForecast {
        limits: vec![error.into()],
    }
}

fn broken(broken: Broken) -> CarryError {
    match broken {
        Broken::Cancelled => CarryError::Cancelled,
        Broken::NoStep => CarryError::NoCurve,
    }
}

impl Wanted {
    /// The history of `from`, roasted once more without a drop by the display, so that an unchanged roast differs by nothing at all.
    pub(super) fn of(
        keep: Keep,
        from: &PlanParts,
        foreseen: &Foreseen,
        params: &RoastParams,
    ) -> Option<Self> {
        let last_s = foreseen.trace.len() - 1;
        let run = Run::of(params, &from.curve, &from.airflow, last_s)?;
        let colour_s = foreseen.moments.colour_change_s;
        let points = from.curve.points().iter();
        Some(Self {
            keep,
            colour_mean_c: colour_s.map(|time_s| value_at(&run.trace.mean_c, time_s)),
            colour_s,
            point_times_s: points.map(|point| point.time_s).collect(),
            last_s,
            met_s: foreseen.met_s.unwrap_or(0),
            miss_weight: MISS_WEIGHT,
            run,
        })
    }
}

/// What was found as a drawing: the curve, the airflow's times with it, and marks and finishes where the core says they come.
fn drawn(to: &PlanParts, wanted: &Wanted, found: &Found) -> Drawn {
    let there = Mapped {
        wanted,
        run: &found.run,
    };
    let end_k = there.end_shift_k();
    let mark_c = |mark_c: f64| mark_c + there.shift_k(mark_c).unwrap_or(end_k);
    let finishes = to.finishes.finishes().iter();
    let finish_c = |finish_c: f64| {
        let shift_k = if wanted.keep == Keep::BrowningWork {
            there.shift_by_time_k(finish_c)
        } else {
            there.shift_k(finish_c)
        };
        finish_c + shift_k.unwrap_or(end_k)
    };
    let times_s: Vec<f64> = found
        .curve
        .points()
        .iter()
        .map(|point| point.time_s)
        .collect();
    let moved = Marks {
        colour_change_c: mark_c(to.marks.colour_change_c),
        first_crack_c: mark_c(to.marks.first_crack_c),
    };
    let are_apart = limits::LEAST_MARK_GAP_C <= moved.first_crack_c - moved.colour_change_c;
    let is_told = end_k.abs() <= MOST_MARK_SHIFT_K;
    Drawn {
        airflow: moved_airflow(&to.airflow, &wanted.point_times_s, &times_s),
        marks: if is_told && are_apart {
            moved
        } else {
            to.marks
        },
        finishes: if is_told {
            with_temps(&to.finishes, finishes.map(|finish| finish_c(finish.temp_c)))
        } else {
            to.finishes.clone()
        },
        curve: found.curve.clone(),
    }
}

/// Readings of the probe that mean the same in two roasts: those at which the core is equally hot. Assumed: what is expected at a mark
/// happens at a temperature of the core.
struct Mapped<'a> {
    wanted: &'a Wanted,
    run: &'a Run,
}

impl Mapped<'_> {
    /// How far a reading of the old roast shifts, in K; nothing where one of the two never gets there.
    fn shift_k(&self, reading_c: f64) -> Option<f64> {
        let old = &self.wanted.run.trace;
        let time_s = old.probe_passes_s(reading_c)?;
        let core_c = value_at(&old.core_c, time_s);
        let there_s = passes_s(&self.run.trace.core_c, core_c)?;
        let shift_k = value_at(&self.run.trace.probe_c, there_s) - reading_c;
        Some(rounded_k(shift_k))
    }

    /// How far the reading at the same time shifts, in K.
    fn shift_by_time_k(&self, reading_c: f64) -> Option<f64> {
        let time_s = self.wanted.run.trace.probe_passes_s(reading_c)?;
        Some(rounded_k(
            value_at(&self.run.trace.probe_c, time_s) - reading_c,
        ))
    }

    /// How far the last reading shifts, in K: what shifts everything that lies beyond.
    fn end_shift_k(&self) -> f64 {
        let last_k = |probe_c: &[f64]| probe_c.last().copied().unwrap_or(0.0);
        let drop_c = last_k(&self.wanted.run.trace.probe_c);
        let by_time_k = rounded_k(last_k(&self.run.trace.probe_c) - drop_c);
        if self.wanted.keep == Keep::BrowningWork {
            return by_time_k;
        }
        self.shift_k(drop_c).unwrap_or(by_time_k)
    }
}

fn rounded_k(shift_k: f64) -> f64 {
    if shift_k.abs() < ROUNDING_K {
        0.0
    } else {
        shift_k
    }
}
