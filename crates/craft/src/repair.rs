//! The edit that mends a finding, where one can be computed.
//!
//! A repair is offered only after it was tried, on the curve and in the forecast: there must be fewer findings of its kind than
//! before, and none more that weighs as much. Most tries on the curve fail on the kind alone, which is judged first; tries of a
//! forecast are counted, at most [`limits::MAX_TRIED_FORECASTS`] a finding. All repairs of a plan took
//! 5 to 12 ms for 12 points and 50 to 58 ms for 200 points in waves, in a release build beside other work (bench `repairs`): to be done
//! once an edit, not in a drag.
//!
//! What is tried lies in `curve_repairs.rs` and `forecast_repairs.rs`, small moves before large ones.

use crate::{
    curve_repairs,
    derived::Derived,
    edit::Edit,
    findings::{self, Finding, FindingKind, Severity},
    forecast_kind::ForecastKind,
    forecast_repairs, limits,
    outlook::Outlook,
    plan::Plan,
    shape_findings::JudgedCurve,
    units::TempUnit,
};
use chaffinch_curve::{Phases, PointEdit};
use std::cell::Cell;

/// A button's worth of help.
#[derive(Clone, Debug, PartialEq)]
pub struct Repair {
    /// What the button says.
    pub label: String,
    /// What it does.
    pub edit: Edit,
}

/// The repairs of the first of `findings` (all of the plan, worst first), in their order; for as many as
/// [`limits::MAX_REPAIRED_FINDINGS`]. Figures and findings must be those of `plan`; temperatures on the buttons are in `unit`.
pub fn suggest_repairs(
    plan: &Plan,
    derived: &Derived,
    outlook: &Outlook,
    findings: &[Finding],
    unit: TempUnit,
) -> Vec<Option<Repair>> {
    findings
        .iter()
        .take(limits::MAX_REPAIRED_FINDINGS)
        .map(|finding| suggest_repair(plan, derived, outlook, finding, unit))
        .collect()
}

/// The edit that mends `finding`, one of `derived` or of `outlook`, if one was found that does so without bringing anything as bad.
pub fn suggest_repair(
    plan: &Plan,
    derived: &Derived,
    outlook: &Outlook,
    finding: &Finding,
    unit: TempUnit,
) -> Option<Repair> {
    let case = Case {
        plan,
        derived,
        outlook,
        finding,
        unit,
        forecasts_left: Cell::new(limits::MAX_TRIED_FORECASTS),
    };
    match &finding.kind {
        FindingKind::Forecast(kind) => forecast_repairs::suggest(&case, kind),
        _ => curve_repairs::suggest(&case),
    }
}

/// A finding to be mended, with what stood against the plan before.
pub(crate) struct Case<'a> {
    pub(crate) plan: &'a Plan,
    pub(crate) derived: &'a Derived,
    pub(crate) outlook: &'a Outlook,
    pub(crate) finding: &'a Finding,
    pub(crate) unit: TempUnit,
    forecasts_left: Cell<usize>,
}

impl Case<'_> {
    /// The first of `candidates` that mends.
    pub(crate) fn first_mending(
        &self,
        candidates: impl IntoIterator<Item = Repair>,
    ) -> Option<Repair> {
        let mut candidates = candidates.into_iter();
        candidates.find(|repair| self.is_mended_by(&repair.edit))
    }

    /// Makes repairs of 1, 2, 4, … steps, at most `most`, until one mends; then the least between it and the last that failed.
    /// Nothing if none mends; a size that can't be made counts as failed.
    pub(crate) fn least_mending(
        &self,
        most: i32,
        make: impl Fn(i32) -> Option<Repair>,
    ) -> Option<Repair> {
        let mending = |steps| make(steps).filter(|repair| self.is_mended_by(&repair.edit));
        let doubled = |steps: &i32| Some(2 * steps).filter(|&steps| steps <= most);
        let (mut mends, mut best) = std::iter::successors(Some(1), doubled)
            .find_map(|steps| mending(steps).map(|repair| (steps, repair)))?;
        let mut fails = mends / 2;
        while mends - fails > 1 {
            let middle = i32::midpoint(fails, mends);
            match mending(middle) {
                Some(repair) => (mends, best) = (middle, repair),
                None => fails = middle,
            }
        }
        Some(best)
    }

    /// Whether `edit` mends the finding and brings nothing as bad, on the curve and in the forecast.
    pub(crate) fn is_mended_by(&self, edit: &Edit) -> bool {
        let Ok(mended) = self.plan.edited(edit) else {
            return false;
        };
        let phases = Phases::of(&mended.curve, &mended.marks, mended.finish().temp_c);
        let drawn = findings::find(&mended, &phases);
        let (is_worth_a_forecast, is_foreseen_better) = match &self.finding.kind {
            FindingKind::Forecast(_) => (
                self.count_as_bad(&drawn) <= self.count_as_bad(&self.derived.findings),
                true,
            ),
            _ => (
                self.count_of_kind(&drawn) < self.count_of_kind(&self.derived.findings)
                    && self.count_as_bad(&drawn) < self.count_as_bad(&self.derived.findings),
                false,
            ),
        };
        is_worth_a_forecast
            && self
                .tried_forecast(&mended)
                .is_some_and(|after| self.is_foreseen_as_well(&after, is_foreseen_better))
    }

    /// Whether the drawn curve has fewer findings of the kind after `edit`, whatever else it brings.
    pub(crate) fn is_fewer_after(&self, edit: &PointEdit) -> bool {
        let Ok(curve) = self.plan.curve.edited(edit) else {
            return false;
        };
        let phases = Phases::of(&curve, &self.plan.marks, self.plan.finish().temp_c);
        let after = JudgedCurve::of(&curve, &phases).findings_like(&self.finding.kind);
        after.len() < self.count_of_kind(&self.derived.findings)
    }

    /// A forecast, as long as the count of tries lasts.
    fn tried_forecast(&self, plan: &Plan) -> Option<Outlook> {
        let left = self.forecasts_left.get().checked_sub(1)?;
        self.forecasts_left.set(left);
        Some(Outlook::of(plan))
    }

    /// Whether the forecast brings nothing as bad, and with `is_better` fewer of the finding's kind.
    fn is_foreseen_as_well(&self, after: &Outlook, is_better: bool) -> bool {
        let before = self.outlook;
        if let FindingKind::Forecast(ForecastKind::NoForecast { .. }) = self.finding.kind {
            // What a forecast shows that there was not before, the repair has not brought.
            return self.count_of_kind(&after.findings) == 0
                && after.limits().len() < before.limits().len();
        }
        let is_lost = before.foreseen().is_some() && after.foreseen().is_none();
        if is_lost && (is_better || self.finding.severity() < Severity::Stop) {
            return false;
        }
        let is_fewer = self.count_of_kind(&after.findings) < self.count_of_kind(&before.findings)
            && self.length_of_kind_s(&after.findings) <= self.length_of_kind_s(&before.findings);
        let as_bad = self.count_as_bad(&after.findings);
        let as_bad_before = self.count_as_bad(&before.findings);
        if is_better {
            is_fewer && as_bad < as_bad_before
        } else {
            as_bad <= as_bad_before
        }
    }

    /// Findings of the kind that weigh as much or more.
    fn of_kind<'f>(&self, found: &'f [Finding]) -> impl Iterator<Item = &'f Finding> {
        let (kind, severity) = (&self.finding.kind, self.finding.severity());
        found
            .iter()
            .filter(move |other| severity <= other.severity() && other.kind.is_like(kind))
    }

    fn count_of_kind(&self, found: &[Finding]) -> usize {
        self.of_kind(found).count()
    }

    /// How long all of the kind last together, so that two that grow into one don't count as mended.
    fn length_of_kind_s(&self, found: &[Finding]) -> f64 {
        self.of_kind(found).map(|one| one.to_s - one.from_s).sum()
    }

    fn count_as_bad(&self, found: &[Finding]) -> usize {
        let as_bad = |other: &&Finding| other.severity() >= self.finding.severity();
        found.iter().filter(as_bad).count()
    }
}
