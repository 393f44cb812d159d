//! Works out what comes of a rework, beside the window: one wish at a time, the newest next.
//!
//! A wish that is worked on is let finish while newer ones come, so that the preview follows a slider; one that takes longer than
//! [`PATIENCE`] is stopped by a newer one.

use super::form::CarryForm;
use chaffinch_craft::{
    Derived, Edit, Plan,
    carry::{
        CarryError, CarryOver, CarryRequest, Picture, PracticeRules, Target, YourRoasts, carry,
    },
    shape::{ShapeError, Shaped, Targets, shape},
};
use eframe::egui::Context;
use std::{
    sync::{
        Arc,
        atomic::{AtomicBool, AtomicU32, Ordering},
        mpsc::{self, Receiver, Sender},
    },
    thread,
    time::{Duration, Instant},
};

/// A wish that takes longer than this is stopped by a newer one.
const PATIENCE: Duration = Duration::from_millis(400);
/// Parts of the whole that progress is told in.
const PARTS: f64 = 1000.0;

/// What is to be worked out.
#[derive(Clone, Debug, PartialEq)]
pub enum Wish {
    /// Carrying over.
    Carry {
        /// To what, and how.
        form: Box<CarryForm>,
        /// The rules of practice of the notebook.
        practice: PracticeRules,
    },
    /// Shaping by targets.
    Shape(Targets),
}

/// A wish about a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// The plan's revision.
    pub revision: u64,
    /// The plan.
    pub from: Arc<Plan>,
    /// The wish.
    pub wish: Wish,
}

/// What came of a wish.
#[derive(Clone, Debug)]
pub enum Found {
    /// Of carrying over.
    Carry(Box<Result<CarryOver, CarryError>>),
    /// Of shaping.
    Shape(Box<Result<Shaped, ShapeError>>),
}

impl Found {
    /// The new plan, what follows from it, and the edit that makes it; nothing where none came of it.
    pub fn outcome(&self) -> Option<(&Plan, &Picture, &Edit)> {
        match self {
            Self::Carry(found) => (**found)
                .as_ref()
                .ok()
                .map(|found| (&found.plan, &found.after, &found.edit)),
            Self::Shape(found) => (**found)
                .as_ref()
                .ok()
                .map(|found| (&found.plan, &found.after, &found.edit)),
        }
    }

    /// What follows from the new plan's drawing.
    pub fn derived(&self) -> Option<&Derived> {
        self.outcome().map(|(_, after, _)| &after.derived)
    }

    fn is_cancelled(&self) -> bool {
        match self {
            Self::Carry(found) => matches!(**found, Err(CarryError::Cancelled)),
            Self::Shape(found) => matches!(**found, Err(ShapeError::Cancelled)),
        }
    }
}

/// An answer and what it answers.
#[derive(Clone, Debug)]
pub struct Reworked {
    /// What was worked on.
    pub job: Job,
    /// What came of it.
    pub found: Found,
}

/// Who works it out.
#[derive(Debug)]
pub struct ReworkWorker {
    hands: Hands,
    /// The newest job that was asked for.
    asked: Option<Job>,
    /// The newest answer. It may be about an older wish of the same rework.
    answer: Option<Reworked>,
    /// How many times the answer was replaced or taken away.
    answers: u64,
}

#[derive(Debug)]
enum Hands {
    Thread(Thread),
    Here,
}

#[derive(Debug)]
struct Thread {
    jobs: Sender<Handed>,
    answers: Receiver<Reworked>,
    last: Option<Running>,
}

/// The job that was handed over last.
#[derive(Clone, Debug)]
struct Running {
    stop: Arc<AtomicBool>,
    parts_done: Arc<AtomicU32>,
    since: Instant,
}

#[derive(Debug)]
struct Handed {
    job: Job,
    running: Running,
    ctx: Context,
}

impl ReworkWorker {
    /// A thread of its own; without one, where the system gives none, the work is done in the frame.
    pub fn thread() -> Self {
        let (jobs, todo) = mpsc::channel();
        let (done, answers) = mpsc::channel();
        let started = thread::Builder::new()
            .name("rework".to_owned())
            .spawn(move || work(&todo, &done));
        let hands = match started {
            Ok(_) => Hands::Thread(Thread {
                jobs,
                answers,
                last: None,
            }),
            Err(_) => Hands::Here,
        };
        Self::with(hands)
    }

    /// The work is done in the frame that asks for it. For tests and pictures, which must not depend on time.
    pub fn here() -> Self {
        Self::with(Hands::Here)
    }

    fn with(hands: Hands) -> Self {
        Self {
            hands,
            asked: None,
            answer: None,
            answers: 0,
        }
    }

    fn put(&mut self, answer: Option<Reworked>) {
        self.answer = answer;
        self.answers += 1;
    }

    /// A number that changes with [`Self::answer`], and with nothing else.
    pub fn answers(&self) -> u64 {
        self.answers
    }

    /// Hands a job over, unless it is the one that was asked for last. `ctx` is woken when there is an answer.
    pub fn ask(&mut self, job: &Job, ctx: &Context) {
        if self.asked.as_ref() == Some(job) {
            return;
        }
        self.asked = Some(job.clone());
        let is_sent = match &mut self.hands {
            Hands::Thread(thread) => thread.hand(job.clone(), ctx),
            Hands::Here => false,
        };
        if !is_sent {
            self.hands = Hands::Here;
            let never = AtomicBool::new(false);
            self.put(Some(done(job.clone(), &never, &|_| {})));
        }
    }

    /// Takes what is done.
    pub fn refresh(&mut self) {
        if let Hands::Thread(thread) = &mut self.hands {
            let answers = thread.answers.try_iter();
            let whole = answers.filter(|answer| !answer.found.is_cancelled());
            if let Some(answer) = whole.last() {
                self.put(Some(answer));
            }
        }
        // What was asked for is known, so nothing runs any more.
        if !self.is_pending()
            && let Hands::Thread(thread) = &mut self.hands
        {
            thread.last = None;
        }
    }

    /// Stops the work and forgets it, because the rework was left.
    pub fn leave(&mut self) {
        self.stop();
        self.asked = None;
        if self.answer.is_some() {
            self.put(None);
        }
    }

    /// Stops the work; the answer before stays.
    pub fn stop(&mut self) {
        if let Hands::Thread(thread) = &mut self.hands
            && let Some(running) = &thread.last
        {
            running.stop.store(true, Ordering::Relaxed);
        }
    }

    /// The newest answer.
    pub fn answer(&self) -> Option<&Reworked> {
        self.answer.as_ref()
    }

    /// Whether the newest answer is not yet about what was asked for last.
    pub fn is_pending(&self) -> bool {
        self.asked.is_some()
            && self.answer.as_ref().map(|answer| &answer.job) != self.asked.as_ref()
    }

    /// The share that is done of what is worked on, 0 to 1, once that takes long enough to say so; nothing if it was stopped.
    pub fn progress(&self) -> Option<f64> {
        let Hands::Thread(thread) = &self.hands else {
            return None;
        };
        let running = thread.last.as_ref().filter(|_| self.is_pending())?;
        let is_stopped = running.stop.load(Ordering::Relaxed);
        let is_slow = PATIENCE / 4 <= running.since.elapsed();
        let done = f64::from(running.parts_done.load(Ordering::Relaxed)) / PARTS;
        (is_slow && !is_stopped).then_some(done)
    }

    /// Whether the work on what was asked for last was stopped before an answer came.
    pub fn is_stopped(&self) -> bool {
        let Hands::Thread(thread) = &self.hands else {
            return false;
        };
        let is_set = |running: &Running| running.stop.load(Ordering::Relaxed);
        self.is_pending() && thread.last.as_ref().is_some_and(is_set)
    }

    /// Does what was stopped.
    pub fn go_on(&mut self, ctx: &Context) {
        if let Some(job) = self.asked.take() {
            self.ask(&job, ctx);
        }
    }
}

impl Thread {
    fn hand(&mut self, job: Job, ctx: &Context) -> bool {
        if let Some(running) = &self.last
            && PATIENCE < running.since.elapsed()
        {
            running.stop.store(true, Ordering::Relaxed);
        }
        let running = Running {
            stop: Arc::default(),
            parts_done: Arc::default(),
            since: Instant::now(),
        };
        self.last = Some(running.clone());
        let ctx = ctx.clone();
        self.jobs.send(Handed { job, running, ctx }).is_ok()
    }
}

fn work(todo: &Receiver<Handed>, answers: &Sender<Reworked>) {
    while let Ok(first) = todo.recv() {
        let newest = todo.try_iter().last().unwrap_or(first);
        let Handed { job, running, ctx } = newest;
        let tell = |share: f64| {
            let parts = (share.clamp(0.0, 1.0) * PARTS) as u32;
            if running.parts_done.swap(parts, Ordering::Relaxed) != parts {
                ctx.request_repaint();
            }
        };
        let answer = done(job, &running.stop, &tell);
        // Nobody listens any more when the window is closed; the next `recv` ends the thread.
        if answers.send(answer).is_ok() {
            ctx.request_repaint();
        }
    }
}

fn done(job: Job, stop: &AtomicBool, tell: &dyn Fn(f64)) -> Reworked {
    let found = match &job.wish {
        Wish::Carry { form, practice } => {
            let request = CarryRequest {
                from: &job.from,
                to: Target::of(&form.to),
                keep: form.keep,
                physics: form.physics,
                practice: form.practice.then_some(practice),
                your_roasts: YourRoasts::default(),
                percent: form.percent,
                set_levels: form.set_levels.clone(),
            };
            Found::Carry(Box::new(carry(&request, stop, tell)))
        }
        Wish::Shape(targets) => Found::Shape(Box::new(shape(&job.from, targets, stop, tell))),
    };
    Reworked { job, found }
}
