//! `schema`: the JSON Schema of the neutral format.

use super::{CommandError, Outcome, output::print};

pub(super) fn run() -> Result<Outcome, CommandError> {
    print(chaffinch_shelf::SCHEMA)?;
    Ok(Outcome::Fine)
}
