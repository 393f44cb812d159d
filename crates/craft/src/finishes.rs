//! The ladder of finishes: named drop temperatures on one curve, one of them chosen.

use crate::{limits, units::round_to_billionth};
use chaffinch_curve::{MAX_TEMP_C, MIN_TEMP_C};
use thiserror::Error;

/// A stable name for a finish; never an index.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FinishId(pub u32);

/// A named temperature at which to drop for one roast level.
#[derive(Clone, Debug, PartialEq)]
pub struct Finish {
    /// Stable name.
    pub id: FinishId,
    /// What the roastery calls it.
    pub name: String,
    /// Drop temperature on the bean probe, in °C.
    pub temp_c: f64,
}

/// Why a ladder can't be as wished.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum FinishError {
    /// No finish left.
    #[error(
        "a plan needs at least one finish to know where to stop; add another before removing this one"
    )]
    Empty,
    /// Too many.
    #[error(
        "the ladder has {found} finishes; at most {} are allowed",
        limits::MAX_FINISHES
    )]
    TooMany {
        /// How many were found.
        found: usize,
    },
    /// The temperature is out of range.
    #[error("finish “{name}” is at {found_c} °C; expected {MIN_TEMP_C} to {MAX_TEMP_C} °C")]
    OutOfRange {
        /// Which finish.
        name: String,
        /// Its temperature in °C.
        found_c: f64,
    },
    /// Two finishes share a name, or a name is empty.
    #[error("finish name “{name}” is empty or used twice; give each finish a name of its own")]
    Name {
        /// The name.
        name: String,
    },
    /// Two finishes share an id.
    #[error("two finishes carry the same id {found}; ids must differ")]
    RepeatedId {
        /// The id.
        found: u32,
    },
    /// There is no such finish.
    #[error("there is no such finish; it may have been removed")]
    Unknown,
}

/// A change to the ladder.
#[derive(Clone, Debug, PartialEq)]
pub enum FinishEdit {
    /// Add a finish.
    Add {
        /// Its name.
        name: String,
        /// Its drop temperature in °C.
        temp_c: f64,
    },
    /// Give it another name.
    Rename {
        /// Which.
        id: FinishId,
        /// The new name.
        name: String,
    },
    /// Give it another drop temperature.
    Move {
        /// Which.
        id: FinishId,
        /// The new temperature in °C.
        temp_c: f64,
    },
    /// Take it away; the nearest remaining one is chosen if this one was.
    Remove(FinishId),
    /// Drop here.
    Choose(FinishId),
}

/// A checked ladder: 1 to 12 finishes, coolest first, names and ids unique, one chosen.
#[derive(Clone, Debug, PartialEq)]
pub struct FinishLadder {
    finishes: Vec<Finish>,
    chosen: FinishId,
}

impl FinishLadder {
    /// Checks the finishes, sorts them coolest first, and makes a ladder of them.
    ///
    /// # Errors
    /// [`FinishError`] when there are none or too many, a value is out of range, a name or id repeats,
    /// or `chosen` is not among them.
    pub fn new(mut finishes: Vec<Finish>, chosen: FinishId) -> Result<Self, FinishError> {
        if finishes.is_empty() {
            return Err(FinishError::Empty);
        }
        if finishes.len() > limits::MAX_FINISHES {
            return Err(FinishError::TooMany {
                found: finishes.len(),
            });
        }
        for (index, finish) in finishes.iter().enumerate() {
            let before = &finishes[..index];
            if !(MIN_TEMP_C..=MAX_TEMP_C).contains(&finish.temp_c) {
                return Err(FinishError::OutOfRange {
                    name: finish.name.clone(),
                    found_c: finish.temp_c,
                });
            }
            if finish.name.trim().is_empty() || before.iter().any(|other| other.name == finish.name)
            {
                return Err(FinishError::Name {
                    name: finish.name.clone(),
                });
            }
            if before.iter().any(|other| other.id == finish.id) {
                return Err(FinishError::RepeatedId { found: finish.id.0 });
            }
        }
        if finishes.iter().all(|finish| finish.id != chosen) {
            return Err(FinishError::Unknown);
        }
        finishes.sort_by(|a, b| a.temp_c.total_cmp(&b.temp_c));
        Ok(Self { finishes, chosen })
    }

    /// The finishes, coolest first.
    pub fn finishes(&self) -> &[Finish] {
        &self.finishes
    }

    /// The chosen finish.
    pub fn chosen(&self) -> &Finish {
        // `new` refuses a ladder whose chosen finish isn't in it; the first is a safe answer all the same.
        self.get(self.chosen).unwrap_or(&self.finishes[0])
    }

    /// A finish by its id.
    pub fn get(&self, id: FinishId) -> Option<&Finish> {
        self.finishes.iter().find(|finish| finish.id == id)
    }

    /// The edit that adds a finish a little hotter than `finish`, with a name that isn't taken.
    pub fn added_above(&self, finish: &Finish) -> FinishEdit {
        let is_taken = |name: &String| self.finishes.iter().any(|other| other.name == *name);
        // One more number than there are finishes: one of them is free.
        let name = (2..=self.finishes.len() + 2)
            .map(|number| format!("{} {number}", finish.name))
            .find(|name| !is_taken(name))
            .unwrap_or_default();
        let temp_c = round_to_billionth(finish.temp_c + limits::ADDED_FINISH_STEP_C);
        FinishEdit::Add {
            name,
            temp_c: temp_c.min(MAX_TEMP_C),
        }
    }

    /// The ladder after `edit`.
    ///
    /// # Errors
    /// [`FinishError`] when the result would break a rule or the finish isn't there.
    pub fn edited(&self, edit: &FinishEdit) -> Result<Self, FinishError> {
        let mut finishes = self.finishes.clone();
        let mut chosen = self.chosen;
        match edit {
            FinishEdit::Add { name, temp_c } => {
                let id = FinishId(finishes.iter().map(|finish| finish.id.0).max().unwrap_or(0) + 1);
                finishes.push(Finish {
                    id,
                    name: name.trim().to_owned(),
                    temp_c: *temp_c,
                });
            }
            FinishEdit::Rename { id, name } => {
                name.trim()
                    .clone_into(&mut finishes[self.index_of(*id)?].name);
            }
            FinishEdit::Move { id, temp_c } => {
                finishes[self.index_of(*id)?].temp_c = round_to_billionth(*temp_c);
            }
            FinishEdit::Remove(id) => {
                let removed = finishes.remove(self.index_of(*id)?);
                let distance_c = |finish: &&Finish| (finish.temp_c - removed.temp_c).abs();
                let nearest = finishes
                    .iter()
                    .min_by(|a, b| distance_c(a).total_cmp(&distance_c(b)));
                if chosen == removed.id {
                    chosen = nearest.ok_or(FinishError::Empty)?.id;
                }
            }
            FinishEdit::Choose(id) => chosen = finishes[self.index_of(*id)?].id,
        }
        Self::new(finishes, chosen)
    }

    fn index_of(&self, id: FinishId) -> Result<usize, FinishError> {
        self.finishes
            .iter()
            .position(|finish| finish.id == id)
            .ok_or(FinishError::Unknown)
    }
}

impl Default for FinishLadder {
    fn default() -> Self {
        let finishes: Vec<Finish> = limits::DEFAULT_FINISHES
            .iter()
            .zip(1..)
            .map(|(&(name, temp_c), id)| Finish {
                id: FinishId(id),
                name: name.to_owned(),
                temp_c,
            })
            .collect();
        Self {
            finishes,
            chosen: FinishId(2),
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]
    use super::*;

    #[test]
    fn default_ladder_obeys_its_own_rules() {
        let ladder = FinishLadder::default();
        let again = FinishLadder::new(ladder.finishes.clone(), ladder.chosen).unwrap();
        assert_eq!(again, ladder, "default ladder");
    }

    #[test]
    fn ladder_stays_sorted_when_a_finish_overtakes_another() {
        let ladder = FinishLadder::default();
        let moved = ladder
            .edited(&FinishEdit::Move {
                id: FinishId(1),
                temp_c: 220.0,
            })
            .unwrap();
        let names: Vec<&str> = moved.finishes().iter().map(|f| f.name.as_str()).collect();
        assert_eq!(names, ["medium", "full", "light", "dark"], "order");
        assert_eq!(moved.chosen().name, "medium", "choice follows the id");
    }

    #[test]
    fn removing_the_chosen_finish_chooses_the_nearest() {
        let ladder = FinishLadder::default();
        let left = ladder.edited(&FinishEdit::Remove(FinishId(2))).unwrap();
        assert_eq!(left.finishes().len(), 3, "one fewer");
        assert!(
            ["light", "full"].contains(&left.chosen().name.as_str()),
            "a neighbour"
        );
    }

    #[test]
    fn finish_added_above_is_a_step_hotter_with_a_free_name() {
        let mut ladder = FinishLadder::default();
        for (number, temp_c) in [(2, 208.0), (3, 208.0)] {
            let light = ladder.get(FinishId(1)).unwrap();
            let edit = ladder.added_above(light);
            let name = format!("light {number}");
            assert_eq!(edit, FinishEdit::Add { name, temp_c }, "above light");
            ladder = ladder.edited(&edit).unwrap();
        }
        let hottest = Finish {
            temp_c: MAX_TEMP_C,
            ..ladder.finishes()[0].clone()
        };
        let edit = ladder.added_above(&hottest);
        assert!(
            matches!(edit, FinishEdit::Add { temp_c, .. } if temp_c <= MAX_TEMP_C),
            "{edit:?}"
        );
    }

    #[test]
    fn last_finish_and_double_names_are_refused() {
        let one = FinishLadder::new(
            vec![Finish {
                id: FinishId(1),
                name: "only".to_owned(),
                temp_c: 210.0,
            }],
            FinishId(1),
        )
        .unwrap();
        assert_eq!(
            one.edited(&FinishEdit::Remove(FinishId(1))),
            Err(FinishError::Empty),
            "last"
        );
        let twice = FinishEdit::Add {
            name: " only ".to_owned(),
            temp_c: 212.0,
        };
        assert!(
            matches!(one.edited(&twice), Err(FinishError::Name { .. })),
            "name used twice"
        );
    }
}
