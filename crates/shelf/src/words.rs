//! The words that files use for the model's choices; the same in plan files and in neutral JSON.

use chaffinch_craft::{AirShape, Knowledge};
use chaffinch_curve::{Lock, Segment, Shape};
use chaffinch_twin::FeedForward;
use serde::{Deserialize, Serialize};

#[derive(Serialize, Deserialize)]
#[serde(remote = "Shape", rename = "shape", rename_all = "snake_case")]
pub(crate) enum ShapeWord {
    Monotone,
    Smooth,
}

#[derive(Serialize, Deserialize)]
#[serde(remote = "Segment", rename = "segment", rename_all = "snake_case")]
pub(crate) enum SegmentWord {
    Curved,
    Straight,
    Hold,
}

#[derive(Serialize, Deserialize)]
#[serde(remote = "Lock", rename = "lock", rename_all = "snake_case")]
pub(crate) enum LockWord {
    Free,
    Time,
    #[serde(rename = "temperature")]
    Temp,
    Both,
}

#[derive(Serialize, Deserialize)]
#[serde(
    remote = "AirShape",
    rename = "airflow_shape",
    rename_all = "snake_case"
)]
pub(crate) enum AirShapeWord {
    Steps,
    Ramps,
}

#[derive(Serialize, Deserialize)]
#[serde(remote = "Knowledge", rename = "knowledge", rename_all = "snake_case")]
pub(crate) enum KnowledgeWord {
    Measured,
    Estimated,
    Assumed,
}

#[derive(Serialize, Deserialize)]
#[serde(
    remote = "FeedForward",
    rename = "feed_forward",
    rename_all = "snake_case"
)]
pub(crate) enum FeedForwardWord {
    None,
    AirToSetpoint,
}
