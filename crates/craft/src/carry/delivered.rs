//! Whether the machine can deliver what was carried over.

use super::{CarryOver, Keep};
use crate::findings::{Finding, Severity};

impl CarryOver {
    /// What the forecast holds against the new plan, caution or worse, that it didn't hold against the old one.
    pub fn new_findings(&self) -> Vec<&Finding> {
        let old = &self.before.outlook.findings;
        let is_new = |finding: &&Finding| {
            Severity::Caution <= finding.severity()
                && !old.iter().any(|old| old.kind.is_like(&finding.kind))
        };
        self.after.outlook.findings.iter().filter(is_new).collect()
    }

    /// Whether the machine can follow the new plan as well as the old one: nothing falls short, something can be foreseen, and the
    /// forecast holds nothing new against it.
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
