//! What of a carry-over's list stands apart from the rest: what to mind before roasting the new plan, and what to measure.

use super::CarryOver;
use crate::units::TempUnit;

/// Something to mind before the new plan is roasted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CarryCaution {
    /// A few words.
    pub heading: &'static str,
    /// The whole of it; one of [`CarryOver::lines`].
    pub text: String,
}

impl CarryOver {
    /// What to mind, gravest first: mains that don't fit the machine, what it can't deliver. Empty where all is well.
    pub fn cautions(&self, unit: TempUnit) -> Vec<CarryCaution> {
        let with_heading = [
            ("Mains and rating plate differ", self.mains_line()),
            ("Out of this machine's reach", self.shortfall_line(unit)),
            ("Not delivered as before", self.undelivered_line()),
        ];
        with_heading
            .into_iter()
            .filter_map(|(heading, text)| text.map(|text| CarryCaution { heading, text }))
            .collect()
    }

    /// Which measurement would narrow the result most, in a sentence; one of [`CarryOver::lines`].
    pub fn measurement(&self, unit: TempUnit) -> Option<String> {
        self.measurement_line(unit)
    }

    /// [`CarryOver::lines`] without those that [`CarryOver::cautions`] and [`CarryOver::measurement`] give.
    pub fn other_lines(&self, unit: TempUnit) -> Vec<String> {
        let apart: Vec<String> = self
            .cautions(unit)
            .into_iter()
            .map(|caution| caution.text)
            .chain(self.measurement(unit))
            .collect();
        let mut lines = self.lines(unit);
        lines.retain(|line| !apart.contains(line));
        lines
    }
}
