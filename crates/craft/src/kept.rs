//! A plan put by in the history.
//!
//! Notes can be a hundred times as large as the rest and hardly ever change, so steps that have the same notes share them.

use crate::plan::Plan;
use std::sync::Arc;

/// A plan with its notes beside it: the plan's own and the lot's.
#[derive(Clone, Debug)]
pub(crate) struct KeptPlan {
    without_notes: Plan,
    notes: [Arc<str>; 2],
}

impl KeptPlan {
    /// Puts `plan` by, sharing the notes of `neighbour`, the step beside it, where they are the same.
    pub(crate) fn of(plan: Arc<Plan>, neighbour: Option<&Self>) -> Self {
        let empty = [String::new(), String::new()];
        let (without_notes, notes) = Arc::unwrap_or_clone(plan).with_notes(empty);
        let shared = |index: usize| {
            let same = neighbour
                .map(|kept| &kept.notes[index])
                .filter(|kept| ***kept == *notes[index]);
            same.map_or_else(|| Arc::from(notes[index].as_str()), Arc::clone)
        };
        Self {
            without_notes,
            notes: [shared(0), shared(1)],
        }
    }

    /// The plan as it was put by.
    pub(crate) fn into_plan(self) -> Arc<Plan> {
        let notes = self.notes.map(|notes| notes.as_ref().to_owned());
        Arc::new(self.without_notes.with_notes(notes).0)
    }
}
