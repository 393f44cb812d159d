//! The trade's work: plan, edits, undo, derived figures, findings.
//!
//! One direction: a [`Plan`] changes only by [`Edit`]s through a [`History`]; [`Derived`] follows from it. No files,
//! no clock, no window.

#![cfg_attr(not(test), warn(unused_crate_dependencies))]

mod airflow;
mod cautions;
mod compare;
mod comparison_text;
mod derived;
mod edit;
pub mod entry;
mod findings;
mod finishes;
mod history;
mod kept;
pub mod limits;
mod lot;
mod machine;
mod plan;
mod repair;
mod shape_findings;
mod summary;
mod transform;
pub mod units;
mod warp;

pub use airflow::{
    AirEdit, AirError, AirId, AirPoint, AirShape, AirflowSchedule, MAX_AIR_POINTS, MIN_AIR_GAP_S,
};
pub use cautions::{CAUTIONS, Caution};
pub use compare::{Alignment, Comparison, DifferenceFigures, Measure};
pub use comparison_text::comparison_text;
pub use derived::{Derived, FinishOutcome, PointFacts, SAMPLE_STEP_S};
pub use edit::{Boundary, Edit, MarkName, Refusal, mark_limits_c};
pub use findings::{Finding, FindingKind, Severity, count_by_severity};
pub use finishes::{Finish, FinishEdit, FinishError, FinishId, FinishLadder};
pub use history::{GestureId, History, MAX_STEPS};
pub use lot::{Given, Knowledge, Lot, LotError, LotNumber, LotText, RatioRange};
pub use machine::{Machine, Room};
pub use plan::{Plan, PlanError, PlanParts};
pub use repair::{Repair, suggest_repair, suggest_repairs};
pub use summary::{describe_curve, summary_text};
pub use transform::{
    Pivot, StretchBy, TransformError, TransformForm, TransformKind, TransformScope,
};
pub use warp::{WarpError, boundary_limits_s};
