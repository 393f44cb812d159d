//! One frame of the window's own code while a point is dragged: layout and painting into shapes, no rasterising.
//!
//! Issue 2, section 8, asks for a median of at most 1 ms. The second figure has the accessibility tree on, as it is while a
//! screen reader listens. Every frame moves the point, so every frame derives everything anew.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::missing_assert_message,
    reason = "a benchmark may stop at the first surprise"
)]

use std::{future, path::PathBuf};

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
        output.drop_without_applying_deltas();
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
        let mut turn = 0u16;
        let before = desk.workbench.document().history.revision();
        group.bench_function(name, |bencher| {
            bencher.iter(|| {
                turn = (turn + 1) % 600;
                let angle = f32::from(turn) * 0.37;
                desk.frame(vec![Event::PointerMoved(
                    at + vec2(25.0 * angle.sin(), 20.0 * angle.cos()),
                )]);
            });
        });
        let moved = desk.workbench.document().history.revision() - before;
        assert!(
            moved > 100,
            "the drag went on in the measured frames: {moved} changes"
        );
    }
    group.finish();
}

fn frame_at_rest(c: &mut Criterion) {
    let mut desk = Desk::new(false);
    c.bench_function("frame at rest", |bencher| {
        bencher.iter(|| desk.frame(Vec::new()));
    });
}

criterion_group!(benches, frame_of_a_drag, frame_at_rest);
criterion_main!(benches);
