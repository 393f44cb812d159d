//! One frame of the window's own code while a point is dragged: layout and painting into shapes, no rasterising.
//!
//! Issue 2, section 8, asks for a median of at most 1 ms. The second figure has the accessibility tree on, as it is while a
//! screen reader listens. Every frame moves the point, so every frame derives everything anew.
//!
//! Frame after frame without a pause, the spread's worker takes its share of both cores from what is measured. Two more figures tell
//! what that comes to: frames at 60 Hz, as a hand makes them, and (Linux) the time that the window's own thread was on a core.
#![allow(
    missing_docs,
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::missing_assert_message,
    reason = "a benchmark may stop at the first surprise"
)]

use std::{
    fs, future,
    path::PathBuf,
    thread,
    time::{Duration, Instant},
};

use chaffinch::desk::{
    backroom::Backroom,
    files::{Answer, PathChooser, Pending, Request},
    prefs::Prefs,
    theme,
    workbench::Workbench,
};
use criterion::{Criterion, criterion_group, criterion_main};
use eframe::egui::{Context, Event, Modifiers, PointerButton, Pos2, RawInput, Rect, vec2};

/// Size of the window at the first start, in points.
const WINDOW_PX: [f32; 2] = [1280.0, 800.0];
/// Time between two frames, in s.
const FRAME_S: f64 = 1.0 / 60.0;

/// Nobody asks for a file here.
struct NoChooser;

impl PathChooser for NoChooser {
    fn choose(&mut self, _: &Request) -> Pending {
        Box::pin(future::ready(Answer::NoChooser))
    }
}

struct Desk {
    ctx: Context,
    workbench: Workbench,
    time_s: f64,
    /// How often the last frame was laid out.
    passes: usize,
}

impl Desk {
    fn new(has_reader: bool) -> Self {
        let ctx = Context::default();
        theme::install(&ctx);
        if has_reader {
            ctx.enable_accesskit();
        }
        let prefs = Prefs {
            cautions_read: true,
            hints_done: u8::MAX,
            ..Prefs::default()
        };
        let workbench = Workbench::new(
            None::<PathBuf>.as_deref(),
            prefs,
            Box::new(NoChooser),
            Backroom::worker(),
        );
        let mut desk = Self {
            ctx,
            workbench,
            time_s: 0.0,
            passes: 0,
        };
        for _ in 0..10 {
            desk.frame(Vec::new());
        }
        desk
    }

    fn frame(&mut self, events: Vec<Event>) {
        self.time_s += FRAME_S;
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, WINDOW_PX.into())),
            time: Some(self.time_s),
            events,
            ..RawInput::default()
        };
        let output = self.ctx.run_ui(input, |ui| self.workbench.ui(ui));
        self.passes = output.platform_output.num_completed_passes;
        output.drop_without_applying_deltas();
    }

    /// The next frame of a drag around `at`.
    fn turn(&mut self, at: Pos2, turn: &mut u16) {
        *turn = (*turn + 1) % 600;
        let angle = f32::from(*turn) * 0.37;
        let aside = vec2(25.0 * angle.sin(), 20.0 * angle.cos());
        self.frame(vec![Event::PointerMoved(at + aside)]);
        assert!(
            self.passes == 1,
            "a frame of a drag is laid out once, not {} times",
            self.passes
        );
    }

    /// Takes hold of the sixth point; returns where it is.
    fn take_hold(&mut self) -> Pos2 {
        let point = self.workbench.document().history.plan().curve.points()[5];
        let at = self
            .workbench
            .lane()
            .unwrap()
            .screen_from(point.time_s, point.temp_c);
        self.frame(vec![Event::PointerMoved(at)]);
        let press = Event::PointerButton {
            pos: at,
            button: PointerButton::Primary,
            pressed: true,
            modifiers: Modifiers::NONE,
        };
        self.frame(vec![press]);
        self.frame(vec![Event::PointerMoved(at + vec2(12.0, 9.0))]);
        at
    }
}

fn frame_of_a_drag(c: &mut Criterion) {
    let mut group = c.benchmark_group("frame of a drag");
    for (name, has_reader) in [
        ("without a screen reader", false),
        ("with a screen reader", true),
    ] {
        let mut desk = Desk::new(has_reader);
        let at = desk.take_hold();
        let mut turn = 0;
        let before = desk.workbench.document().history.revision();
        group.bench_function(name, |bencher| {
            bencher.iter(|| desk.turn(at, &mut turn));
        });
        let moved = desk.workbench.document().history.revision() - before;
        // A filter on the command line may have left this one out.
        assert!(
            moved > 100 || turn == 0,
            "the drag went on in the measured frames: {moved} changes"
        );
    }
    group.finish();
}

/// The same with the pause between two frames of a screen at 60 Hz, in which the worker works.
fn frame_of_a_drag_at_60_hz(c: &mut Criterion) {
    let mut group = c.benchmark_group("frame of a drag at 60 Hz");
    group.sample_size(10);
    group.warm_up_time(Duration::from_millis(200));
    group.measurement_time(Duration::from_millis(400));
    let mut desk = Desk::new(false);
    let at = desk.take_hold();
    let mut turn = 0;
    group.bench_function("without a screen reader", |bencher| {
        bencher.iter_custom(|frames| {
            let mut spent = Duration::ZERO;
            for _ in 0..frames {
                let begun = Instant::now();
                desk.turn(at, &mut turn);
                spent += begun.elapsed();
                let left = Duration::from_secs_f64(FRAME_S).saturating_sub(begun.elapsed());
                thread::sleep(left);
            }
            spent
        });
    });
    group.finish();
}

/// How long this thread has been on a core, where the system tells.
fn on_core() -> Option<Duration> {
    let told = fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    let nanoseconds = told.split_whitespace().next()?.parse().ok()?;
    Some(Duration::from_nanos(nanoseconds))
}

/// Says what a frame of a drag takes of a core, whoever else wants it.
fn own_time(_: &mut Criterion) {
    const FRAMES: u32 = 1000;
    for (name, has_reader) in [("without", false), ("with", true)] {
        let mut desk = Desk::new(has_reader);
        let at = desk.take_hold();
        let mut turn = 0;
        let Some(before) = on_core() else { return };
        (0..FRAMES).for_each(|_| desk.turn(at, &mut turn));
        let spent = on_core().map_or(Duration::ZERO, |after| after.saturating_sub(before));
        let each_ms = (spent / FRAMES).as_secs_f64() * 1e3;
        println!("own time of a frame of a drag, {name} a screen reader: mean {each_ms:.3} ms");
    }
}

fn frame_at_rest(c: &mut Criterion) {
    let mut desk = Desk::new(false);
    c.bench_function("frame at rest", |bencher| {
        bencher.iter(|| desk.frame(Vec::new()));
    });
}

criterion_group!(
    benches,
    frame_of_a_drag,
    frame_of_a_drag_at_60_hz,
    frame_at_rest,
    own_time
);
criterion_main!(benches);
