//! Why a plan can't be carried over.

use crate::{edit::Refusal, plan::PlanError};
use chaffinch_twin::Limit;
use thiserror::Error;

/// Why nothing came of carrying a plan over.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum CarryError {
    /// Somebody stopped it.
    #[error("carrying over was stopped")]
    Cancelled,
    /// The slider stands outside its range.
    #[error("{found} % of the carry-over was asked for; expected 0 to 100 %")]
    Percent {
        /// What was asked for, in %.
        found: f64,
    },
    /// Nothing can be foreseen of the plan that was to be carried, so there is no history to keep.
    #[error("nothing can be foreseen of the plan to carry over, so there is no history to keep: {}", told(.limits))]
    NoHistory {
        /// The limits of the model that it breaks; never empty.
        limits: Vec<Limit>,
    },
    /// Nothing can be foreseen of the roast that it was to be carried to.
    #[error("nothing can be foreseen of the roast to carry over to: {}", told(.limits))]
    NoForecast {
        /// The limits of the model that it breaks; never empty.
        limits: Vec<Limit>,
    },
    /// The marks and the drop stand too close for the rules of practice.
    #[error(
        "colour change, first crack and drop stand too close together for the rules of practice; switch them off or move the marks apart"
    )]
    MarksTooClose,
    /// The search found no curve.
    #[error(
        "no curve keeps this history: the search broke off; switch off the physics or keep something else"
    )]
    NoCurve,
    /// A sheet of the coffee, machine or room holds a number that no plan takes.
    #[error(transparent)]
    Sheet(#[from] PlanError),
    /// The plan refused what was found.
    #[error("the plan can't take the carried curve: {0}")]
    Refused(#[from] Refusal),
}

fn told(limits: &[Limit]) -> String {
    let texts: Vec<String> = limits.iter().map(ToString::to_string).collect();
    texts.join("; ")
}
