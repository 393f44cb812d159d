//! How the plan is looked at: zoom, selection, what is open. Neither undone nor saved with the plan.

use super::{
    dialogs::Dialog,
    drag::{Drag, Nudge},
    lanes::{fit, sizes::LaneSizes},
    model::Behind,
    rework::Rework,
    window_span::{Lane, ViewHistory},
};
use chaffinch_craft::{Alignment, Derived, GestureId, KeptEnd, Outlook, Plan, TransformForm};
use chaffinch_curve::{PointId, SetpointCurve};
use eframe::egui::Pos2;
use std::collections::BTreeSet;

/// Which sheets of the left column are folded, and which parts of them are open that are folded at first.
#[derive(Clone, Copy, Debug, Default)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each says whether one part of the window is open; they are independent"
)]
pub struct Folds {
    /// The coffee sheet.
    pub coffee: bool,
    /// The machine sheet.
    pub machine: bool,
    /// The room sheet.
    pub room: bool,
    /// The list of plans behind the curve.
    pub behind: bool,
    /// The part of the coffee sheet that is rarely needed is open.
    pub coffee_rest_open: bool,
    /// The part of the machine sheet that is rarely needed is open.
    pub machine_rest_open: bool,
    /// The sheet of everyday variation is open.
    pub variation_open: bool,
    /// The column was seen at its height, and what doesn't fit was folded.
    pub fitted: bool,
}

/// What the drawer at the foot shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum DrawerPage {
    /// The table of the curve's points.
    #[default]
    Points,
    /// The table of the airflow's points.
    Airflow,
    /// Moving, stretching and scaling the selection by numbers.
    Transform,
    /// The steps that were made.
    History,
    /// The rules of practice that carrying over goes by.
    Practice,
}

/// A line in the status bar.
#[derive(Clone, Debug, PartialEq)]
pub enum Status {
    /// Something was done.
    Done(String),
    /// Something was removed; an undo brings it back.
    Removed(String),
    /// Something was refused, and why.
    Refused(String),
}

/// Scales that follow the plan while no gesture is going on.
#[derive(Clone, Copy, Debug, Default)]
pub struct HeldScales {
    /// How far the difference lane reaches to both sides of zero, in °C.
    pub difference_c: Option<f64>,
    /// The same of the lane that shows what a rework changes …
    pub rework_k: Option<f64>,
    /// … and of its axis of rates of rise, in °C/s.
    pub rework_rise: Option<f64>,
    /// End of the reworked curve that the view was last grown for, in s.
    pub rework_end_s: Option<f64>,
    /// Which of its places head and legend of the effort lane have …
    pub effort_head: Option<usize>,
    /// … and those of the lane of the rate of rise.
    pub rise_head: Option<usize>,
    /// Top of the ladder of finishes, in points of the screen.
    pub ladder_top_px: Option<f32>,
}

impl HeldScales {
    /// `now`, or while `is_held` what it was before.
    pub fn kept<T: Copy>(slot: &mut Option<T>, now: T, is_held: bool) -> T {
        if !is_held {
            *slot = Some(now);
        }
        *slot.get_or_insert(now)
    }
}

/// Everything about looking.
#[derive(Debug)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each says whether one part of the window is open; they are independent"
)]
pub struct ViewState {
    /// Time span and a value span a lane, with the way back.
    pub lanes: ViewHistory,
    /// How high the lanes are, and which are folded.
    pub lane_sizes: LaneSizes,
    /// The selected points.
    pub selection: BTreeSet<PointId>,
    /// The point that was touched last; arrows and the exact fields act on it.
    pub current: Option<PointId>,
    /// The drag that is going on.
    pub drag: Option<Drag>,
    /// The held arrow key that is moving points.
    pub nudge: Option<Nudge>,
    /// The gesture that [`super::ask::Ask::Drag`] belongs to.
    pub gesture: Option<GestureId>,
    /// How many gestures there were.
    gestures: u64,
    /// Where a box selection began.
    pub box_from: Option<Pos2>,
    /// The moment under the pointer, in s.
    pub hover_s: Option<f64>,
    /// The lane under the pointer.
    pub hover_lane: Option<Lane>,
    /// Scales that follow the plan, as they were before the gesture: nothing rescales in a drag.
    pub held: HeldScales,
    /// The measuring lines A and B, in s.
    pub measure_s: [Option<f64>; 2],
    /// What stays while the rise is bent.
    pub bend_keeps: KeptEnd,
    /// A stretch of time that is lit up, in s.
    pub lit_s: Option<(f64, f64)>,
    /// Which sheets are folded.
    pub folds: Folds,
    /// In a narrow window: the left column lies open over the chart.
    pub left_open: bool,
    /// The drawer is open.
    pub drawer_open: bool,
    /// What the drawer shows.
    pub drawer_page: DrawerPage,
    /// The numbers typed for a transform.
    pub transform: TransformForm,
    /// The rework of the plan that is open.
    pub rework: Option<Rework>,
    /// How plans behind the curve are aligned.
    pub alignment: Alignment,
    /// The rise lane shows the difference to the first plan behind the curve.
    pub difference_shown: bool,
    /// The dialog that is open.
    pub dialog: Option<Dialog>,
    /// The status line.
    pub status: Option<Status>,
    /// Put the keyboard focus on this point's handle in the next frame.
    pub focus_point: Option<PointId>,
    /// Put the keyboard focus on the exact time field in the next frame.
    pub focus_fields: bool,
}

impl ViewState {
    /// The first look at a plan: all of it and of its forecast, nothing selected, nothing open.
    pub fn of(plan: &Plan, derived: &Derived, outlook: &Outlook) -> Self {
        Self {
            lanes: ViewHistory::new(fit::whole_plan(plan, derived, outlook)),
            lane_sizes: LaneSizes::default(),
            selection: BTreeSet::new(),
            current: None,
            drag: None,
            nudge: None,
            gesture: None,
            gestures: 0,
            box_from: None,
            hover_s: None,
            hover_lane: None,
            held: HeldScales::default(),
            measure_s: [None; 2],
            bend_keeps: KeptEnd::default(),
            lit_s: None,
            folds: Folds::default(),
            left_open: false,
            drawer_open: false,
            drawer_page: DrawerPage::default(),
            transform: TransformForm::default(),
            rework: None,
            alignment: Alignment::default(),
            difference_shown: false,
            dialog: None,
            status: None,
            focus_point: None,
            focus_fields: false,
        }
    }

    /// Whether the lane of the rate of rise shows the difference to the first of these plans instead.
    pub fn shows_difference(&self, behind: &[Behind]) -> bool {
        let first = behind.first();
        self.difference_shown && first.is_some_and(|first| !first.comparison.time_s.is_empty())
    }

    /// Begins a gesture: all drags asked for until the release are one step of the history.
    pub fn begin_gesture(&mut self) {
        self.gestures += 1;
        self.gesture = Some(GestureId(self.gestures));
    }

    /// The selected points in order of time.
    pub fn selected(&self, curve: &SetpointCurve) -> Vec<PointId> {
        let points = curve.points().iter().map(|point| point.id);
        points.filter(|id| self.selection.contains(id)).collect()
    }

    /// The points that a command or a field means, in order of time: the selected ones, or the point touched last alone
    /// when it isn't one of them.
    pub fn meant(&self, curve: &SetpointCurve) -> Vec<PointId> {
        match self.current {
            Some(id) if !self.selection.contains(&id) => vec![id],
            _ => self.selected(curve),
        }
    }

    /// Selects exactly one point.
    pub fn select_only(&mut self, id: PointId) {
        self.selection = BTreeSet::from([id]);
        self.current = Some(id);
    }

    /// Adds a point to the selection or takes it out.
    pub fn toggle(&mut self, id: PointId) {
        if self.selection.remove(&id) {
            // Commands go on with what is still selected.
            self.current = self.selection.last().copied().or(Some(id));
        } else {
            self.selection.insert(id);
            self.current = Some(id);
        }
    }

    /// Forgets points that are no longer there.
    pub fn forget_missing(&mut self, curve: &SetpointCurve) {
        self.selection.retain(|&id| curve.point(id).is_some());
        self.current = self.current.filter(|&id| curve.point(id).is_some());
    }
}
