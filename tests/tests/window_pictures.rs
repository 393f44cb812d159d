//! Pictures of each panel, in both themes, compared pixel for pixel with the ones in `snapshots/`.
//!
//! They need a graphics driver (lavapipe or llvmpipe will do), so they are drawn only when `CHAFFINCH_PICTURES=1` or
//! `CHAFFINCH_GATE=full` is set; without a driver they fail then. `UPDATE_SNAPSHOTS=force` draws them anew.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    missing_docs,
    reason = "a test may stop at the first surprise, and says when it is skipped"
)]

use chaffinch::desk::{
    ask::Ask,
    drawer, findings_list, lanes,
    model::Model,
    outcome, sheets, theme,
    top_bar::{self, SavedState},
    view_state::{DrawerPage, ViewState},
};
use chaffinch_craft::{
    Derived, Finding, History, Outlook, Plan, Spread, SpreadRequest, all_findings,
};
use chaffinch_shelf::open_plan;
use eframe::egui::{CentralPanel, Frame, Theme, Ui, Vec2};
use egui_kittest::{Harness, SnapshotResults};
use std::{env, path::Path, sync::atomic::AtomicBool};

/// A plan as the panels read it.
struct Desk {
    plan: Plan,
    derived: Derived,
    outlook: Outlook,
    spread: Option<Spread>,
    findings: Vec<Finding>,
    history: History,
    view: ViewState,
}

impl Desk {
    fn of(name: &str) -> Self {
        let path = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../examples/notebook/plans")
            .join(name);
        let plan = open_plan(&path).unwrap().0;
        let (derived, outlook) = (Derived::of(&plan), Outlook::of(&plan));
        let spread = SpreadRequest::of(&plan, &outlook)
            .and_then(|request| request.run(&AtomicBool::new(false)).unwrap());
        let findings = all_findings(&derived, &outlook);
        let view = ViewState::of(&plan, &derived, &outlook);
        Self {
            history: History::of_saved(plan.clone()),
            plan,
            derived,
            outlook,
            spread,
            findings,
            view,
        }
    }
}

type Panel = fn(&Model<'_>, &mut ViewState, &mut Vec<Ask>, &mut Ui);

/// Name, plan, size, and what is drawn.
const PANELS: [(&str, &str, [f32; 2], Panel); 8] = [
    (
        "top-bar",
        "ember-ridge-filter.ron",
        [1000.0, 44.0],
        |model, _, asks, ui| {
            top_bar::ui(model, &SavedState::Changed, asks, ui);
        },
    ),
    (
        "sheets",
        "ember-ridge-filter.ron",
        [248.0, 860.0],
        sheets::ui,
    ),
    (
        "lanes",
        "ember-ridge-filter.ron",
        [720.0, 600.0],
        |model, view, asks, ui| {
            let _ = lanes::ui(model, view, asks, ui);
        },
    ),
    (
        "outcome",
        "ember-ridge-filter.ron",
        [272.0, 955.0],
        outcome::ui,
    ),
    (
        "findings",
        "ember-ridge-first-attempt.ron",
        [272.0, 700.0],
        findings_list::ui,
    ),
    (
        "drawer-points",
        "ember-ridge-filter.ron",
        [900.0, 208.0],
        drawer::ui,
    ),
    (
        "drawer-transform",
        "ember-ridge-filter.ron",
        [900.0, 208.0],
        |model, view, asks, ui| {
            view.drawer_page = DrawerPage::Transform;
            drawer::ui(model, view, asks, ui);
        },
    ),
    (
        "foot-bar",
        "ember-ridge-filter.ron",
        [1180.0, 36.0],
        |model, view, asks, ui| {
            view.select_only(model.plan.curve.points()[4].id);
            drawer::bar(model, view, asks, ui);
        },
    ),
];

/// Whether pictures are drawn; says so if they aren't.
fn are_drawn() -> bool {
    let is_set = |name: &str, value: &str| env::var(name).is_ok_and(|found| found == value);
    let drawn = is_set("CHAFFINCH_GATE", "full") || is_set("CHAFFINCH_PICTURES", "1");
    if !drawn {
        println!("skipped: image snapshots need a graphics driver; .ci/run runs them");
    }
    drawn
}

fn harness(plan: &str, size: [f32; 2], theme: Theme, panel: Panel) -> Harness<'static, Desk> {
    let mut harness = Harness::builder()
        .with_size(Vec2::from(size))
        .with_theme(theme)
        .with_max_steps(40)
        .with_context_setup(theme::install)
        .build_ui_state(
            move |ui, desk: &mut Desk| {
                let ground = Frame::new().fill(theme::Palette::of(ui).panel);
                let model = Model {
                    spread: desk.spread.as_ref(),
                    findings: &desk.findings,
                    ..Model::new(&desk.plan, &desk.derived, &desk.outlook, &desk.history)
                };
                CentralPanel::default()
                    .frame(ground)
                    .show(ui, |ui| panel(&model, &mut desk.view, &mut Vec::new(), ui));
            },
            Desk::of(plan),
        );
    harness.run();
    harness
}

#[test]
fn panels_look_as_in_their_pictures() {
    if !are_drawn() {
        return;
    }
    let mut results = SnapshotResults::new();
    for (name, plan, size, panel) in PANELS {
        for theme in [Theme::Light, Theme::Dark] {
            let mut harness = harness(plan, size, theme, panel);
            let word = if theme == Theme::Light {
                "light"
            } else {
                "dark"
            };
            results.add(harness.try_snapshot(format!("{name}-{word}")));
        }
    }
}

/// Without a driver as well: every panel lays itself out at its size, and says something.
#[test]
fn panels_lay_themselves_out_alone() {
    for (name, plan, size, panel) in PANELS {
        for theme in [Theme::Light, Theme::Dark] {
            let harness = harness(plan, size, theme, panel);
            assert!(harness.output().shapes.len() > 5, "{name}");
        }
    }
}
