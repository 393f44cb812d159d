//! Undo by construction: the only way to change a plan keeps the plan that was.
//!
//! Plans are small, so every step keeps a whole plan; only notes are shared between steps. A drag is one step however many edits it
//! sends: each edit of a gesture is applied to the plan as it was when the gesture began, so nothing adds up,
//! and giving the gesture up restores that plan bit for bit.

use crate::{
    edit::{Edit, Refusal},
    kept::KeptPlan,
    plan::Plan,
};
use std::{collections::VecDeque, sync::Arc};

/// Most steps that can be undone.
pub const MAX_STEPS: usize = 1000;

/// Names one drag (or one held key): edits that carry the same id become one step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GestureId(pub u64);

#[derive(Clone, Debug)]
struct Step {
    label: String,
    /// The plan before the step when it lies in the past, after it when it lies in the future.
    plan: KeptPlan,
}

#[derive(Clone, Debug)]
struct Gesture {
    id: GestureId,
    start: Arc<Plan>,
    label: Option<String>,
}

/// A plan with its past and future.
#[derive(Clone, Debug)]
pub struct History {
    now: Arc<Plan>,
    revision: u64,
    past: VecDeque<Step>,
    future: Vec<Step>,
    gesture: Option<Gesture>,
    saved: Option<Arc<Plan>>,
}

impl History {
    /// Starts with a plan that was just read from its file, so it counts as saved.
    pub fn of_saved(plan: Plan) -> Self {
        let mut history = Self::of_unsaved(plan);
        history.mark_saved();
        history
    }

    /// Starts with a plan that lies in no file yet.
    pub fn of_unsaved(plan: Plan) -> Self {
        Self {
            now: Arc::new(plan),
            revision: 0,
            past: VecDeque::new(),
            future: Vec::new(),
            gesture: None,
            saved: None,
        }
    }

    /// The plan as it is.
    pub fn plan(&self) -> &Arc<Plan> {
        &self.now
    }

    /// Changes whenever the plan does; never comes back to a number it had.
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// Applies one edit as one step. An edit that changes nothing leaves no step.
    ///
    /// # Errors
    /// [`Refusal`], and the plan is as it was.
    pub fn apply(&mut self, edit: &Edit) -> Result<(), Refusal> {
        self.release();
        let plan = self.now.edited(edit)?;
        if plan != *self.now {
            let label = edit.label(&self.now);
            let before = std::mem::replace(&mut self.now, Arc::new(plan));
            self.push_past(label, before);
        }
        Ok(())
    }

    /// Applies an edit of a gesture to the plan as it was when the gesture began.
    ///
    /// # Errors
    /// [`Refusal`], and the plan is as the gesture's last accepted edit left it.
    pub fn drag(&mut self, id: GestureId, edit: &Edit) -> Result<(), Refusal> {
        if self.gesture.as_ref().is_none_or(|open| open.id != id) {
            self.release();
            self.gesture = Some(Gesture {
                id,
                start: Arc::clone(&self.now),
                label: None,
            });
        }
        let Some(gesture) = &mut self.gesture else {
            return Ok(());
        };
        let plan = gesture.start.edited(edit)?;
        gesture.label = Some(edit.label(&gesture.start));
        if plan != *self.now {
            self.now = Arc::new(plan);
            self.revision += 1;
        }
        Ok(())
    }

    /// The plan as it was when the open gesture began; the plan as it is while none is open.
    pub fn before_gesture(&self) -> &Arc<Plan> {
        self.gesture.as_ref().map_or(&self.now, |open| &open.start)
    }

    /// Ends the open gesture, if any; it becomes one step, or none if it changed nothing.
    pub fn release(&mut self) {
        if let Some(gesture) = self.gesture.take()
            && let Some(label) = gesture.label
            && gesture.start != self.now
        {
            self.push_past(label, gesture.start);
        }
    }

    /// Gives the open gesture up: the plan is again as it was when the gesture began, and no step is left.
    pub fn cancel(&mut self) {
        if let Some(gesture) = self.gesture.take()
            && !Arc::ptr_eq(&gesture.start, &self.now)
        {
            self.now = gesture.start;
            self.revision += 1;
        }
    }

    /// Whether a gesture is open.
    pub fn is_dragging(&self) -> bool {
        self.gesture.is_some()
    }

    /// Takes the last step back. Says whether there was one.
    pub fn undo(&mut self) -> bool {
        self.release();
        let Some(step) = self.past.pop_back() else {
            return false;
        };
        let step = self.exchanged(step);
        self.future.push(step);
        self.revision += 1;
        true
    }

    /// Makes the last undone step again. Says whether there was one.
    pub fn redo(&mut self) -> bool {
        self.release();
        let Some(step) = self.future.pop() else {
            return false;
        };
        let step = self.exchanged(step);
        self.past.push_back(step);
        self.revision += 1;
        true
    }

    /// Names of the steps that can be undone, oldest first.
    pub fn past(&self) -> impl ExactSizeIterator<Item = &str> {
        self.past.iter().map(|step| step.label.as_str())
    }

    /// Names of the steps that can be made again, next first.
    pub fn future(&self) -> impl ExactSizeIterator<Item = &str> {
        self.future.iter().rev().map(|step| step.label.as_str())
    }

    /// Goes to the state after the first `steps` steps of past and future together.
    pub fn jump_to(&mut self, steps: usize) {
        self.release();
        while self.past.len() > steps && self.undo() {}
        while self.past.len() < steps && self.redo() {}
    }

    /// Remembers that the plan as it is lies in its file.
    pub fn mark_saved(&mut self) {
        self.release();
        self.saved = Some(Arc::clone(&self.now));
    }

    /// The plan as it was last saved, if ever.
    pub fn saved(&self) -> Option<&Arc<Plan>> {
        self.saved.as_ref()
    }

    /// Whether the plan differs from the one in its file. Undoing back to the saved state clears it.
    pub fn is_modified(&self) -> bool {
        self.saved
            .as_ref()
            .is_none_or(|saved| !Arc::ptr_eq(saved, &self.now) && **saved != *self.now)
    }

    fn push_past(&mut self, label: String, before: Arc<Plan>) {
        if self.past.len() == MAX_STEPS {
            self.past.pop_front();
        }
        let neighbour = self.past.back().map(|step| &step.plan);
        let plan = KeptPlan::of(before, neighbour);
        self.past.push_back(Step { label, plan });
        self.future.clear();
        self.revision += 1;
    }

    /// Puts the step's plan in place of the plan as it is, which the step now keeps.
    fn exchanged(&mut self, step: Step) -> Step {
        let kept = KeptPlan::of(Arc::clone(&self.now), Some(&step.plan));
        self.now = step.plan.into_plan();
        Step {
            label: step.label,
            plan: kept,
        }
    }
}
