//! The trade's work: plan, edits, undo, derived figures, findings.
//!
//! One direction: a [`Plan`] changes only by [`Edit`]s through a [`History`]; [`Derived`] follows from it. No files,
//! no clock, no window.

#![cfg_attr(not(test), warn(unused_crate_dependencies))]

// The plans of `tests/` serve `carry/tests.rs` too, and know the crate by its name.
#[cfg(test)]
extern crate self as chaffinch_craft;

mod air_repairs;
mod airflow;
mod calendar_day;
pub mod carry;
mod cautions;
mod colour_forecast;
mod colour_line;
mod colour_readings;
mod compare;
mod comparison_text;
mod corridor;
mod curve_difference;
mod curve_repairs;
mod derived;
mod edit;
pub mod entry;
mod findings;
mod finish_forecast;
mod finish_text;
mod finishes;
mod forecast_block;
mod forecast_findings;
mod forecast_kind;
mod forecast_repairs;
mod forecast_text;
mod handwork;
mod history;
mod kept;
mod knowledge;
pub mod limits;
mod lot;
mod machine;
mod outlook;
mod plan;
mod repair;
mod roast_colour;
mod room;
pub mod shape;
mod shape_findings;
mod shape_text;
mod sheet;
mod spread;
mod summary;
mod told;
mod transform;
mod twin_sheets;
pub mod units;
mod variation;
mod warp;

pub use airflow::{
    AirEdit, AirError, AirId, AirPoint, AirShape, AirflowSchedule, MAX_AIR_POINTS, MIN_AIR_GAP_S,
};
pub use calendar_day::{CalendarDay, DayError};
pub use cautions::{CAUTIONS, Caution};
pub use colour_forecast::{
    BroadColour, ColourCalibration, ColourForecast, ForeseenColour, LevelWord, NotCalibrated,
};
pub use colour_line::{ColourLine, LEAST_READINGS};
pub use colour_readings::{ColourReading, ColourReadings, MAX_READINGS, ReadingError};
pub use compare::{Alignment, Comparison, DifferenceFigures, Measure};
pub use comparison_text::comparison_text;
pub use corridor::{Corridor, LOOK_AHEAD_S};
pub use curve_difference::{CurveDifference, GreatestDifference};
pub use derived::{Derived, FinishOutcome, PointFacts, SAMPLE_STEP_S};
pub use edit::{Boundary, Edit, MarkName, NumberName, Refusal, mark_limits_c};
pub use findings::{Finding, FindingKind, Severity, all_findings, count_by_severity};
pub use finish_forecast::{FinishDrop, FinishForecast, FinishSpread};
pub use finishes::{Finish, FinishEdit, FinishError, FinishId, FinishLadder};
pub use forecast_kind::{ForecastKind, HotPart, ReachEnd, no_forecast_text};
pub use forecast_text::forecast_text;
pub use handwork::{HandEdit, HandError, KeptEnd, RiseAtDrop};
pub use history::{GestureId, History, MAX_STEPS};
pub use knowledge::{Given, Knowledge};
pub use lot::{Lot, LotError, LotNumber, LotText, RatioRange};
pub use machine::{Machine, MachineNumber};
pub use outlook::{Foreseen, HOLD_ON_S, MET_K, Moments, Outlook};
pub use plan::{Plan, PlanError, PlanParts};
pub use repair::{Repair, suggest_repair, suggest_repairs};
pub use roast_colour::{
    A_B, ColourError, ColourSample, ColourScale, DISCS, LIGHTNESS, Lab, RoastColour,
};
pub use room::{Room, RoomNumber};
pub use shape_text::shape_text;
pub use sheet::{NumberError, NumberFacts, Numbers, SheetNumber, SheetUnit};
pub use spread::{Spread, SpreadRequest, is_reached_by_nearly_all, spread_about};
pub use summary::{describe_curve, summary_text};
pub use transform::{
    Pivot, StretchBy, TransformError, TransformForm, TransformKind, TransformScope,
};
pub use twin_sheets::TwinSheets;
pub use variation::{Variation, VariationNumber};
pub use warp::{WarpError, boundary_limits_s};
