//! Whether the machine can deliver what was carried over.

use super::{CarryOver, Keep};
use crate::findings::{Finding, Severity};

impl CarryOver {
    /// What stands against the new plan and didn't against the old one: of the forecast what is a caution or worse; of the drawing only
    /// what stops it, such as a drop above the machine's ceiling.
    pub fn new_findings(&self) -> Vec<&Finding> {
        let (before, after) = (&self.before, &self.after);
        new(
            &before.derived.findings,
            &after.derived.findings,
            Severity::Stop,
        )
        .chain(new(
            &before.outlook.findings,
            &after.outlook.findings,
            Severity::Caution,
        ))
        .collect()
    }

    /// Whether the machine can follow the new plan as well as the old one: nothing falls short, something can be foreseen, and nothing
    /// new stands against it.
    pub fn is_delivered(&self) -> bool {
        let is_foreseen =
            self.after.outlook.foreseen().is_some() || self.before.outlook.foreseen().is_none();
        self.shortfall.is_none() && is_foreseen && self.new_findings().is_empty()
    }

    /// What stops the machine where the kept curve itself is the fault: one line, or nothing.
    pub(super) fn undelivered_line(&self) -> Option<String> {
        if self.shortfall.is_some() || self.is_delivered() {
            return None;
        }
        let headings: Vec<String> = self
            .new_findings()
            .iter()
            .map(|finding| finding.heading().to_lowercase())
            .collect();
        let why = if headings.is_empty() {
            "nothing can be foreseen of it".to_owned()
        } else {
            headings.join(", ")
        };
        let advice = if self.keep == Keep::PhaseClock {
            "; keep another history to get a curve within reach"
        } else {
            ""
        };
        Some(format!(
            "This machine can't deliver the new plan as it did the old one ({why}){advice}."
        ))
    }
}

/// Findings of at least some weight of whose kind there was none before.
fn new<'a>(
    before: &'a [Finding],
    after: &'a [Finding],
    least: Severity,
) -> impl Iterator<Item = &'a Finding> {
    let is_new = move |finding: &&Finding| {
        least <= finding.severity() && !before.iter().any(|old| old.kind.is_like(&finding.kind))
    };
    after.iter().filter(is_new)
}
