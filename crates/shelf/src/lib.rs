//! Files: RON plans, neutral JSON with its schema, CSV and TSV, atomic saves.
//!
//! What enters from outside is judged at the door: by size before it is read, by the format's own structs, and last by
//! the model's rules. Nothing here decides anything about roasting.

#![cfg_attr(not(test), warn(unused_crate_dependencies))]

mod carried_over;
mod checked_list;
mod checked_value;
mod colour_file;
mod csv_text;
mod disk;
mod error;
mod file_name;
mod forecast_columns;
mod forecast_csv;
mod kept_older;
mod neutral;
mod notebook;
mod number_fields;
mod plan_file;
mod plan_file_1;
mod plan_sheet;
mod practice_file;
mod ron_document;
mod ron_plan;
mod samples;
mod samples_csv;
mod sheet_document;
mod sheet_files;
mod stamp;
pub mod table_text;
mod targets_file;
mod text_error;
mod version;
mod words;

pub use carried_over::CarriedOver;
pub use colour_file::{read_colours, save_colours};
pub use disk::{
    MAX_DOCUMENT_BYTES, Opened, export, open, open_plan, read_plan, read_text, save_plan, save_text,
};
pub use error::ShelfError;
pub use file_name::{MAX_NAME_CHARS, suggested_file_name};
pub use forecast_csv::forecast_csv;
pub use neutral::{
    CarryReport, ComparisonReport, FindingReport, ForecastReport, PlanReport, ShapeReport,
    plan_from_neutral, plan_to_neutral,
};
pub use notebook::{
    COLOURS_FILE, LOTS_FOLDER, MACHINES_FOLDER, PLANS_FOLDER, PRACTICE_FILE, ROOMS_FOLDER,
    notebook_of,
};
pub use practice_file::{RulesUsed, read_practice, save_practice};
pub use ron_plan::{plan_from_ron, plan_to_ron};
pub use samples_csv::samples_csv;
pub use sheet_document::{read_lot, read_machine, read_room, save_lot, save_machine, save_room};
pub use stamp::{FileStamp, has_changed};
pub use targets_file::{TargetsFile, read_targets, save_targets};
pub use text_error::{Place, TextError, TextFormat};
pub use version::{
    CARRY_SCHEMA, NEUTRAL_FORMAT, NEUTRAL_VERSION, PLAN_FILE_VERSION, SCHEMA, SHAPE_SCHEMA,
};
