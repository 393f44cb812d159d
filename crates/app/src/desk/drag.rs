//! A drag of points that is going on.

use super::snapping::AxisKeeper;
use chaffinch_craft::Plan;
use chaffinch_curve::{CurvePoint, Offset, PointId, ShiftLimit};
use std::sync::Arc;

/// What is needed from the moment the pointer went down until it goes up.
#[derive(Clone, Debug)]
pub struct Drag {
    /// The plan before the drag; everything is reckoned from it, so nothing adds up.
    pub start: Arc<Plan>,
    /// The points that move.
    pub ids: Vec<PointId>,
    /// The point under the pointer.
    pub grabbed: PointId,
    /// Where that point was.
    pub from: CurvePoint,
    /// From the point to where the pointer took hold of it, in px.
    pub hold_px: eframe::egui::Vec2,
    /// Keeps one axis while Shift is held.
    pub keeper: AxisKeeper,
    /// What stopped the drag short of the pointer.
    pub stopped_by: Vec<ShiftLimit>,
    /// Where the pointer would have the point.
    pub wish: CurvePoint,
}

/// A held arrow key: all its repeats together are one step of the history.
#[derive(Clone, Debug)]
pub struct Nudge {
    /// The plan before the key went down.
    pub start: Arc<Plan>,
    /// The points that move.
    pub ids: Vec<PointId>,
    /// How far they were asked to move since.
    pub wish: Offset,
}
