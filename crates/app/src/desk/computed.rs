//! Everything that is computed from the plan for the views, once a revision: the only cache there is.

use super::{
    backroom::{self, Answer, Backroom, Found},
    dialogs::Dialog,
    model::{Behind, Ghost},
    rework::{Job, ReworkWorker},
    transform,
    view_state::{DrawerPage, ViewState},
};
use chaffinch_craft::{
    Alignment, Comparison, Derived, Finding, History, Outlook, Plan, Repair, Spread, all_findings,
    carry::PracticeRules, limits::COMPARISON_BAND_C, units::TempUnit,
};
use eframe::egui::Context;
use std::{
    collections::VecDeque,
    sync::Arc,
    time::{Duration, Instant},
};

/// A spread that is older than its plan by this is no longer shown; until then it may follow a drag some frames late.
const STALE_AFTER: Duration = Duration::from_millis(150);

/// What the views read besides the plan.
#[derive(Debug)]
pub struct Computed {
    revision: u64,
    derived: Arc<Derived>,
    outlook: Arc<Outlook>,
    findings: Arc<[Finding]>,
    backroom: Backroom,
    /// What was asked of the backroom last: the revision, and the unit of repairs.
    asked_for: Option<(u64, Option<TempUnit>)>,
    /// How many jobs there were.
    jobs: u64,
    /// The jobs whose spread has not come yet, and when they were handed over.
    waiting: VecDeque<(u64, Instant)>,
    repairs: Vec<Option<Repair>>,
    spread: Option<Box<Spread>>,
    behind: Vec<Behind>,
    behind_for: Option<(u64, Alignment)>,
    ghost: Option<Ghost>,
    rework: ReworkWorker,
    /// While a rework is open: the number of the answer that is shown, and its preview, if it has one.
    reworked: Option<(u64, Option<Ghost>)>,
}

impl Computed {
    /// Computes what follows from the plan as it is.
    pub fn of(history: &History, backroom: Backroom) -> Self {
        let rework = if backroom.is_here() {
            ReworkWorker::here()
        } else {
            ReworkWorker::thread()
        };
        Self::with(history, backroom, rework)
    }

    fn with(history: &History, backroom: Backroom, rework: ReworkWorker) -> Self {
        let (derived, outlook, findings) = figures(history.plan());
        Self {
            revision: history.revision(),
            derived,
            outlook,
            findings,
            backroom,
            asked_for: None,
            jobs: 0,
            waiting: VecDeque::new(),
            repairs: Vec::new(),
            spread: None,
            behind: Vec::new(),
            behind_for: None,
            ghost: None,
            rework,
            reworked: None,
        }
    }

    /// Begins anew with another plan; the plans behind it stay, and the next refresh compares them.
    pub fn restart(&mut self, history: &History) {
        let backroom = std::mem::replace(&mut self.backroom, Backroom::here());
        let mut rework = std::mem::replace(&mut self.rework, ReworkWorker::here());
        rework.leave();
        let behind = std::mem::take(&mut self.behind);
        // Numbers go on, so that a late answer about the plan before isn't taken for one about this.
        *self = Self {
            behind,
            jobs: self.jobs,
            ..Self::with(history, backroom, rework)
        };
    }

    /// Brings everything up to date. Repairs wait until a drag is over: they cost some hundred curves.
    pub fn refresh(&mut self, history: &History, view: &ViewState, unit: TempUnit, ctx: &Context) {
        let plan = history.plan();
        if self.revision != history.revision() {
            (self.derived, self.outlook, self.findings) = figures(plan);
            self.revision = history.revision();
        }
        self.refresh_from_backroom(plan, view.gesture.is_some(), unit, ctx);
        if self.behind_for != Some((self.revision, view.alignment)) {
            for behind in &mut self.behind {
                behind.comparison = compare(plan, &behind.plan, view.alignment);
            }
            self.behind_for = Some((self.revision, view.alignment));
        }
        self.ghost = ghost(plan, view);
    }

    /// Asks for what the open rework wishes, takes what came of it, and shows it as the preview.
    pub fn refresh_rework(
        &mut self,
        history: &History,
        view: &ViewState,
        practice: &PracticeRules,
        ctx: &Context,
    ) {
        let Some(rework) = &view.rework else {
            self.rework.leave();
            self.reworked = None;
            return;
        };
        match rework.wish(practice) {
            Some(wish) => self.rework.ask(
                &Job {
                    revision: self.revision,
                    from: Arc::clone(history.plan()),
                    wish,
                },
                ctx,
            ),
            None => self.rework.leave(),
        }
        self.rework.refresh();
        let number = self.rework.answers();
        // Copied once an answer, not once a frame.
        if self.reworked.as_ref().map(|(shown, _)| *shown) != Some(number) {
            let outcome = (self.rework.answer()).and_then(|answer| answer.found.outcome());
            let ghost = outcome.map(|(plan, after, _)| Ghost {
                plan: plan.clone(),
                derived: after.derived.clone(),
            });
            self.reworked = Some((number, ghost));
        }
    }

    /// Who works the open rework out.
    pub fn rework(&self) -> &ReworkWorker {
        &self.rework
    }

    /// The same, to stop it or go on.
    pub fn rework_mut(&mut self) -> &mut ReworkWorker {
        &mut self.rework
    }

    /// Hands over what is new and takes what is done.
    fn refresh_from_backroom(
        &mut self,
        plan: &Arc<Plan>,
        is_dragging: bool,
        unit: TempUnit,
        ctx: &Context,
    ) {
        let wanted = (self.revision, (!is_dragging).then_some(unit));
        if self.asked_for != Some(wanted) {
            // The same plan in another unit, or let go of, has the same spread.
            let wants_spread = self.asked_for.map(|(revision, _)| revision) != Some(self.revision);
            self.asked_for = Some(wanted);
            self.repairs.clear();
            self.jobs += 1;
            if wants_spread {
                self.waiting.push_back((self.jobs, Instant::now()));
            }
            let job = backroom::Job {
                number: self.jobs,
                revision: self.revision,
                wants_spread,
                plan: Arc::clone(plan),
                derived: Arc::clone(&self.derived),
                outlook: Arc::clone(&self.outlook),
                findings: Arc::clone(&self.findings),
                repairs_in: wanted.1,
            };
            self.backroom.ask(job, ctx);
        }
        for Answer { number, found } in self.backroom.answers() {
            match found {
                Found::Spread(spread) => self.take_spread(number, spread),
                Found::Repairs(in_unit, repairs)
                    if number == self.jobs && Some(in_unit) == wanted.1 =>
                {
                    self.repairs = repairs;
                }
                Found::Repairs(..) => {}
            }
        }
        let oldest = self.waiting.front();
        if let Some(left) = oldest.and_then(|(_, since)| STALE_AFTER.checked_sub(since.elapsed())) {
            ctx.request_repaint_after(left);
        }
    }

    /// Takes the spread of a job that is waited for, and of a newer one that took its place for the same plan; another is about a plan
    /// that is gone.
    fn take_spread(&mut self, number: u64, spread: Option<Box<Spread>>) {
        let is_waited_for = self
            .waiting
            .front()
            .is_some_and(|(first, _)| *first <= number);
        if is_waited_for {
            self.waiting.retain(|(waiting, _)| number < *waiting);
            self.spread = spread;
        }
    }

    /// What follows from the plan.
    pub fn derived(&self) -> &Derived {
        &self.derived
    }

    /// What the physical model says of the plan.
    pub fn outlook(&self) -> &Outlook {
        &self.outlook
    }

    /// All that stands against the plan, worst first.
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// How far the forecast spreads, if that is known and not long out of date.
    pub fn spread(&self) -> Option<&Spread> {
        let is_shown = self.outlook.foreseen().is_some() && !self.is_spread_pending();
        self.spread.as_deref().filter(|_| is_shown)
    }

    /// Whether the spread has been behind the plan for long enough to say so.
    pub fn is_spread_pending(&self) -> bool {
        self.waiting
            .front()
            .is_some_and(|(_, since)| STALE_AFTER <= since.elapsed())
    }

    /// The repairs of the first findings, in their order; empty during a drag and until they are worked out.
    pub fn repairs(&self) -> &[Option<Repair>] {
        &self.repairs
    }

    /// The plans behind the curve.
    pub fn behind(&self) -> &[Behind] {
        &self.behind
    }

    /// The preview, if one is open.
    pub fn ghost(&self) -> Option<&Ghost> {
        match &self.reworked {
            Some((_, ghost)) => ghost.as_ref(),
            None => self.ghost.as_ref(),
        }
    }

    /// Lays a plan behind the curve.
    pub fn pin(&mut self, plan: &Plan, other: Plan, alignment: Alignment) {
        let comparison = compare(plan, &other, alignment);
        self.behind.push(Behind {
            name: other.title.clone(),
            plan: Arc::new(other),
            comparison,
        });
    }

    /// Takes a plan from behind the curve; nothing happens if there is none at that place.
    pub fn unpin(&mut self, index: usize) {
        if index < self.behind.len() {
            self.behind.remove(index);
        }
    }
}

fn figures(plan: &Plan) -> (Arc<Derived>, Arc<Outlook>, Arc<[Finding]>) {
    let (derived, outlook) = (Derived::of(plan), Outlook::of(plan));
    let findings = all_findings(&derived, &outlook).into();
    (Arc::new(derived), Arc::new(outlook), findings)
}

fn compare(plan: &Plan, other: &Plan, alignment: Alignment) -> Comparison {
    Comparison::of(plan, other, alignment, COMPARISON_BAND_C)
}

/// The plan as an open preview would make it: the paste that is looked at, or else the transform that is typed.
fn ghost(plan: &Plan, view: &ViewState) -> Option<Ghost> {
    let edit = match &view.dialog {
        Some(Dialog::Paste(form)) => form.edit(plan).ok()?,
        _ if view.drawer_open && view.drawer_page == DrawerPage::Transform => {
            transform::wished(plan, view).ok()??
        }
        _ => return None,
    };
    let plan = plan.edited(&edit).ok()?;
    Some(Ghost {
        derived: Derived::of(&plan),
        plan,
    })
}
