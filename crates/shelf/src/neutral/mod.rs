//! The neutral JSON: a plan for everybody else, with points and samples, units named, and a schema.
//!
//! What it says and in which units stands in `assets/schema/chaffinch-plan-1.schema.json`. Everything computed (samples,
//! reached marks, phases, drop) is written for readers without spline code and ignored when a file is read back.

mod carry_layers;
mod carry_report;
mod comparison_report;
mod document;
mod drawing;
mod finish_entries;
mod forecast_figures;
mod forecast_report;
mod layout;
mod lists;
mod number_list;
mod read;
mod report;
mod report_units;
mod shape_report;
mod sheets;
mod units;
mod write;

pub use carry_report::CarryReport;
pub use comparison_report::ComparisonReport;
pub use forecast_report::ForecastReport;
pub(crate) use read::carry_over_neutral;
pub use read::plan_from_neutral;
pub use report::{FindingReport, PlanReport};
pub use shape_report::ShapeReport;
pub use write::plan_to_neutral;
