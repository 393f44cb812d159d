//! Format versions, in one place.

/// The version written into plan files. Files of version 1 are read, too, and carried over.
pub const PLAN_FILE_VERSION: u32 = 2;

/// The name of the neutral format, in its `format` field.
pub const NEUTRAL_FORMAT: &str = "chaffinch-plan";

/// Major version of the neutral format: readers refuse a higher one.
pub(crate) const NEUTRAL_MAJOR: u32 = 1;

/// Version written into neutral files: major and minor. An addition raises the minor part.
pub const NEUTRAL_VERSION: &str = "1.1";

/// The JSON Schema (draft 2020-12) of the neutral format.
pub const SCHEMA: &str = include_str!("../../../assets/schema/chaffinch-plan-1.schema.json");
