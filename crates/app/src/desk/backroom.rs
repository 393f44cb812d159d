//! The room behind the desk: long work on the plan as it is, done by one worker.
//!
//! One job is worked on and at most one waits: the newest. An edit replaces the one that waits and stops the one that is worked on;
//! only in a drag that one is let finish, for else the bands would never follow a drag whose frames are as short as the work.
//! Answers carry the number of their job, so that a late one can't pass for a current one.

use chaffinch_craft::{
    Derived, Finding, Outlook, Plan, Repair, Spread, SpreadRequest, suggest_repairs,
    units::TempUnit,
};
use eframe::egui::Context;
use std::{
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
        mpsc::{self, Receiver, Sender},
    },
    thread,
};

/// What is to be worked on.
#[derive(Clone, Debug)]
pub struct Job {
    /// The job's number, higher than that of every job before.
    pub number: u64,
    /// The plan's revision.
    pub revision: u64,
    /// Whether the spread is wanted; not if a job before was asked for that of the same revision.
    pub wants_spread: bool,
    /// The plan.
    pub plan: Arc<Plan>,
    /// What follows from it.
    pub derived: Arc<Derived>,
    /// What the model says of it.
    pub outlook: Arc<Outlook>,
    /// All that stands against it.
    pub findings: Arc<[Finding]>,
    /// The unit on the buttons of repairs; none while a drag goes on, when no repairs are wanted.
    pub repairs_in: Option<TempUnit>,
}

/// What came of a job.
#[derive(Clone, Debug)]
pub struct Answer {
    /// The job's number.
    pub number: u64,
    /// What was found.
    pub found: Found,
}

/// One part of an answer.
#[derive(Clone, Debug)]
pub enum Found {
    /// How far the forecast spreads; nothing without a forecast.
    Spread(Option<Box<Spread>>),
    /// The repair for each of the first findings, in their order.
    Repairs(TempUnit, Vec<Option<Repair>>),
}

/// Who does long work.
#[derive(Debug)]
pub enum Backroom {
    /// A thread of its own; the window goes on meanwhile.
    Worker(Worker),
    /// Whoever asks: the answer is there in the same frame. For tests and pictures, which must not depend on time.
    Here(Vec<Answer>),
}

/// A thread that works on one job at a time.
#[derive(Debug)]
pub struct Worker {
    jobs: Sender<Handed>,
    answers: Receiver<Answer>,
    /// Stops the job that was handed over last, and the revision that it is about.
    last: Option<(Arc<AtomicBool>, u64)>,
}

/// A job on its way to the worker.
#[derive(Debug)]
struct Handed {
    job: Job,
    stop: Arc<AtomicBool>,
    ctx: Context,
}

impl Backroom {
    /// A worker; without one, where the system gives no thread, the work is done in the frame.
    pub fn worker() -> Self {
        let (jobs, todo) = mpsc::channel();
        let (done, answers) = mpsc::channel();
        let started = thread::Builder::new()
            .name("backroom".to_owned())
            .spawn(move || work(&todo, &done));
        match started {
            Ok(_) => Self::Worker(Worker {
                jobs,
                answers,
                last: None,
            }),
            Err(_) => Self::here(),
        }
    }

    /// The work is done in the frame that asks for it.
    pub fn here() -> Self {
        Self::Here(Vec::new())
    }

    /// Whether the work is done in the frame that asks for it.
    pub fn is_here(&self) -> bool {
        matches!(self, Self::Here(_))
    }

    /// Hands a job over. `ctx` is woken when there is an answer.
    pub fn ask(&mut self, job: Job, ctx: &Context) {
        match self {
            Self::Worker(worker) => {
                if let Err(unsent) = worker.hand(job, ctx) {
                    // The worker is gone: this job and the next ones are done here.
                    *self = Self::here();
                    self.ask(unsent, ctx);
                }
            }
            // In a drag a thousand roasts a frame would be felt.
            Self::Here(answers) if job.repairs_in.is_some() => {
                let never = AtomicBool::new(false);
                do_job(&job, &never, |answer| answers.push(answer));
            }
            Self::Here(_) => {}
        }
    }

    /// The answers that have come since the last call.
    pub fn answers(&mut self) -> Vec<Answer> {
        match self {
            Self::Worker(worker) => worker.answers.try_iter().collect(),
            Self::Here(answers) => std::mem::take(answers),
        }
    }
}

impl Worker {
    /// Hands a job over; it comes back if nobody takes it.
    fn hand(&mut self, job: Job, ctx: &Context) -> Result<(), Job> {
        let is_drag = job.repairs_in.is_none();
        if let Some((stop, revision)) = &self.last
            && !is_drag
            && *revision != job.revision
        {
            stop.store(true, Ordering::Relaxed);
        }
        let stop = Arc::<AtomicBool>::default();
        self.last = Some((Arc::clone(&stop), job.revision));
        let ctx = ctx.clone();
        self.jobs
            .send(Handed { job, stop, ctx })
            .map_err(|mpsc::SendError(handed)| handed.job)
    }
}

fn work(todo: &Receiver<Handed>, done: &Sender<Answer>) {
    while let Ok(mut next) = todo.recv() {
        while let Ok(mut newer) = todo.try_recv() {
            let same = newer.job.revision == next.job.revision;
            newer.job.wants_spread |= same && next.job.wants_spread;
            next = newer;
        }
        let Handed { job, stop, ctx } = next;
        do_job(&job, &stop, |answer| {
            // Nobody listens any more when the window is closed; the next `recv` ends the thread.
            if done.send(answer).is_ok() {
                ctx.request_repaint();
            }
        });
    }
}

/// The spread first, for it has to follow the hand; repairs may come a moment later.
fn do_job(job: &Job, stop: &AtomicBool, mut tell: impl FnMut(Answer)) {
    let mut tell = |found| {
        tell(Answer {
            number: job.number,
            found,
        });
    };
    if job.wants_spread {
        let request = SpreadRequest::of(&job.plan, &job.outlook);
        // A forecast exists where there is a request, so its numbers were taken; were they not, there is no spread to show.
        match request.map_or(Ok(None), |request| request.run(stop)) {
            Ok(None) if stop.load(Ordering::Relaxed) => {}
            Ok(spread) => tell(Found::Spread(spread.map(Box::new))),
            Err(_) => tell(Found::Spread(None)),
        }
    }
    if let Some(unit) = job.repairs_in
        && !stop.load(Ordering::Relaxed)
    {
        let (derived, outlook) = (&job.derived, &job.outlook);
        let repairs = suggest_repairs(&job.plan, derived, outlook, &job.findings, unit);
        tell(Found::Repairs(unit, repairs));
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]
    use super::*;
    use chaffinch_craft::all_findings;
    use std::time::{Duration, Instant};

    fn job(number: u64) -> Job {
        let plan = Plan::fresh();
        let (derived, outlook) = (Derived::of(&plan), Outlook::of(&plan));
        let findings = all_findings(&derived, &outlook).into();
        Job {
            number,
            revision: number,
            wants_spread: true,
            plan: Arc::new(plan),
            derived: Arc::new(derived),
            outlook: Arc::new(outlook),
            findings,
            repairs_in: None,
        }
    }

    #[test]
    fn the_latest_job_is_answered_and_the_same_as_in_the_frame() {
        let ctx = Context::default();
        let mut backroom = Backroom::worker();
        for number in 1..=20 {
            backroom.ask(job(number), &ctx);
        }
        let begun = Instant::now();
        let mut last = None;
        while begun.elapsed() < Duration::from_mins(1) {
            for answer in backroom.answers() {
                last = Some(answer);
            }
            if last.as_ref().is_some_and(|answer| answer.number == 20) {
                break;
            }
            thread::sleep(Duration::from_millis(5));
        }
        let mut here = Backroom::here();
        here.ask(
            Job {
                repairs_in: Some(TempUnit::Celsius),
                ..job(20)
            },
            &ctx,
        );
        let spread = |answer: Answer| match answer.found {
            Found::Spread(Some(spread)) => Some(spread),
            _ => None,
        };
        let expected = here.answers().into_iter().find_map(spread);
        assert!(expected.is_some(), "a fresh plan has a forecast");
        assert_eq!(last.and_then(spread), expected, "spread of the last job");
    }
}
