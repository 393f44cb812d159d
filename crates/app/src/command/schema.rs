//! `schema`: the JSON Schemas of the neutral format and of the reports.

use super::{CommandError, Outcome, arguments::SchemaKind, output::print};
use chaffinch_shelf::{CARRY_SCHEMA, SCHEMA, SHAPE_SCHEMA};

pub(super) fn run(of: SchemaKind) -> Result<Outcome, CommandError> {
    print(match of {
        SchemaKind::Plan => SCHEMA,
        SchemaKind::Carry => CARRY_SCHEMA,
        SchemaKind::Shape => SHAPE_SCHEMA,
    })?;
    Ok(Outcome::Fine)
}
