//! Format versions, in one place.

/// The version written into plan files. Files of version 1 are read, too, and carried over.
pub const PLAN_FILE_VERSION: u32 = 2;

/// The version of files of one lot, machine or room.
pub(crate) const SHEET_FILE_VERSION: u32 = 1;

/// The version of the table of rules of practice.
pub(crate) const PRACTICE_FILE_VERSION: u32 = 1;

/// The version of the readings of roast colour.
pub(crate) const COLOURS_FILE_VERSION: u32 = 1;

/// The version of files of targets.
pub(crate) const TARGETS_FILE_VERSION: u32 = 1;

/// The name of the neutral format, in its `format` field.
pub const NEUTRAL_FORMAT: &str = "chaffinch-plan";

/// Major version of the neutral format: readers refuse a higher one.
pub(crate) const NEUTRAL_MAJOR: u32 = 1;

/// Version written into neutral files: major and minor. An addition raises the minor part.
pub const NEUTRAL_VERSION: &str = "1.2";

/// The JSON Schema (draft 2020-12) of the neutral format.
pub const SCHEMA: &str = include_str!("../../../assets/schema/chaffinch-plan-1.schema.json");

/// The name of the format of a report of a carry-over, and its version.
pub(crate) const CARRY_FORMAT: &str = "chaffinch-carry";
pub(crate) const CARRY_VERSION: &str = "1.0";

/// The name of the format of a report of a curve shaped by targets, and its version.
pub(crate) const SHAPE_FORMAT: &str = "chaffinch-shape";
pub(crate) const SHAPE_VERSION: &str = "1.0";

/// The JSON Schema (draft 2020-12) of the report of a carry-over.
pub const CARRY_SCHEMA: &str = include_str!("../../../assets/schema/chaffinch-carry-1.schema.json");

/// The JSON Schema (draft 2020-12) of the report of a curve shaped by targets.
pub const SHAPE_SCHEMA: &str = include_str!("../../../assets/schema/chaffinch-shape-1.schema.json");
