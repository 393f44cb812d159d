//! The foot of the window without a window: names of its controls, typing, what a refusal does.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    reason = "a test may stop at the first surprise"
)]

use super::*;
use crate::desk::{
    theme,
    transform::{TransformKind, wished},
    view_state::Status,
};
use chaffinch_craft::{Alignment, Derived, Edit, History, Plan, units::TempUnit};
use chaffinch_curve::{ControlPoint, Lock, Offset, PointEdit, PointId, SetpointCurve, Shape};
use eframe::egui::{
    Context, Event, Key, Modifiers, Pos2, RawInput, Rect,
    accesskit::{Node, Role},
    vec2,
};
use std::collections::BTreeMap;

/// Bar and open drawer in a window of 1000 x 240 points.
struct Foot {
    ctx: Context,
    history: History,
    view: ViewState,
    unit: TempUnit,
    asks: Vec<Ask>,
    nodes: Vec<Node>,
}

impl Foot {
    /// Four points, the third locked in temperature.
    fn new(selected: &[u32]) -> Self {
        let places = [(0.0, 105.0), (120.0, 156.0), (270.0, 190.5), (440.0, 214.5)];
        let mut points: Vec<_> = (1..)
            .zip(places)
            .map(|(id, (time_s, temp_c))| ControlPoint::new(PointId(id), time_s, temp_c))
            .collect();
        points[2].lock = Lock::Temp;
        Self::with(points, selected)
    }

    fn with(points: Vec<ControlPoint>, selected: &[u32]) -> Self {
        let mut parts = Plan::fresh().into_parts();
        parts.curve = SetpointCurve::new(Shape::Monotone, points).unwrap();
        let plan = Plan::new(parts).unwrap();
        let mut view = ViewState::of(&plan, &Derived::of(&plan));
        view.selection = selected.iter().map(|&id| PointId(id)).collect();
        let ctx = Context::default();
        theme::install(&ctx);
        ctx.enable_accesskit();
        let mut foot = Self {
            ctx,
            history: History::of_saved(plan),
            view,
            unit: TempUnit::Celsius,
            asks: Vec::new(),
            nodes: Vec::new(),
        };
        foot.frame(Vec::new());
        foot
    }

    fn frame(&mut self, events: Vec<Event>) {
        let plan = self.history.plan();
        let derived = Derived::of(plan);
        let model = Model {
            plan,
            derived: &derived,
            history: &self.history,
            unit: self.unit,
            behind: &[],
            alignment: Alignment::default(),
            ghost: None,
            repairs: &[],
            file: None,
            recent: &[],
        };
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, vec2(1000.0, 240.0))),
            events,
            ..RawInput::default()
        };
        let (view, asks) = (&mut self.view, &mut self.asks);
        let output = self.ctx.run_ui(input, |ui| {
            eframe::egui::Panel::bottom("bar")
                .exact_size(36.0)
                .show(ui, |ui| bar(&model, view, asks, ui));
            super::ui(&model, view, asks, ui);
        });
        let update = output.platform_output.accesskit_update.clone();
        self.nodes = update
            .unwrap()
            .nodes
            .into_iter()
            .map(|(_, node)| node)
            .collect();
        output.drop_without_applying_deltas();
    }

    fn labels(&self, roles: &[Role]) -> Vec<String> {
        let wanted = self
            .nodes
            .iter()
            .filter(|node| roles.contains(&node.role()));
        wanted
            .map(|node| node.label().unwrap_or_default().to_owned())
            .collect()
    }

    fn type_and_press(&mut self, text: &str, key: Key) {
        self.frame(vec![Event::Text(text.to_owned())]);
        self.frame(vec![Event::Key {
            key,
            physical_key: None,
            pressed: true,
            repeat: false,
            modifiers: Modifiers::NONE,
        }]);
        self.frame(Vec::new());
    }

    fn applied(&self) -> Vec<&Edit> {
        let edits = self.asks.iter().filter_map(|ask| match ask {
            Ask::Apply(edit) => Some(edit),
            _ => None,
        });
        edits.collect()
    }
}

const CONTROLS: [Role; 5] = [
    Role::Button,
    Role::TextInput,
    Role::CheckBox,
    Role::ComboBox,
    Role::RadioButton,
];

// Names: WCAG 2.2, 4.1.2 "Name, Role, Value"; that they differ is ours, so that a reader can tell fields apart.
#[test]
fn every_control_has_a_name_that_no_other_has() {
    for selected in [&[][..], &[2], &[1, 2, 4]] {
        for (page, _) in PAGES {
            for kind in TransformKind::ALL {
                let mut foot = Foot::new(selected);
                foot.view.drawer_page = page;
                foot.view.transform.kind = kind;
                foot.frame(Vec::new());
                let mut counts = BTreeMap::new();
                for label in foot.labels(&CONTROLS) {
                    *counts.entry(label).or_insert(0) += 1;
                }
                assert!(counts.len() > 5, "{counts:?}");
                let wrong: Vec<_> = counts
                    .iter()
                    .filter(|(label, count)| label.is_empty() || **count > 1)
                    .collect();
                assert!(wrong.is_empty(), "{page:?} {selected:?}: {wrong:?}");
            }
        }
    }
}

#[test]
fn table_has_fields_for_every_point() {
    let fields = Foot::new(&[]).labels(&[Role::TextInput]);
    for number in 1..=4 {
        for what in ["Time", "Temperature", "Rise"] {
            assert!(
                fields.contains(&format!("{what} of point {number}")),
                "{fields:?}"
            );
        }
    }
}

#[test]
fn long_table_brings_the_point_into_view_that_becomes_current() {
    let point = |id: u32| {
        ControlPoint::new(
            PointId(id),
            f64::from(id - 1) * 5.0,
            100.0 + f64::from(id) * 0.5,
        )
    };
    let mut foot = Foot::with((1..=150).map(point).collect(), &[]);
    let is_shown = |foot: &Foot| {
        foot.labels(&[Role::TextInput])
            .contains(&"Time of point 120".to_owned())
    };
    assert!(!is_shown(&foot));
    foot.view.current = Some(PointId(120));
    for _ in 0..60 {
        foot.frame(Vec::new());
    }
    assert!(is_shown(&foot));
}

#[test]
fn time_typed_in_the_exact_field_moves_the_point() {
    let mut foot = Foot::new(&[2]);
    foot.view.focus_fields = true;
    foot.frame(Vec::new());
    foot.type_and_press("2:10", Key::Enter);
    let [Edit::Points(PointEdit::Move { id, to })] = foot.applied()[..] else {
        panic!("{:?}", foot.asks);
    };
    assert_eq!((*id, to.time_s, to.temp_c), (PointId(2), 130.0, 156.0));
}

#[test]
fn first_point_takes_the_focus_on_its_temperature_because_its_time_stays() {
    let mut foot = Foot::new(&[1]);
    foot.view.focus_fields = true;
    foot.frame(Vec::new());
    foot.type_and_press("+5", Key::Enter);
    let [Edit::Points(PointEdit::Move { id, to })] = foot.applied()[..] else {
        panic!("{:?}", foot.asks);
    };
    assert_eq!((*id, to.time_s, to.temp_c), (PointId(1), 0.0, 110.0));
}

#[test]
fn text_that_is_no_time_is_refused_in_the_status_line_and_changes_nothing() {
    let mut foot = Foot::new(&[2]);
    foot.view.focus_fields = true;
    foot.frame(Vec::new());
    foot.type_and_press("soon", Key::Tab);
    assert!(foot.applied().is_empty(), "{:?}", foot.asks);
    let Some(Status::Refused(reason)) = &foot.view.status else {
        panic!("{:?}", foot.view.status);
    };
    assert!(reason.contains("soon"), "{reason}");
}

#[test]
fn several_points_move_in_time_together() {
    let mut foot = Foot::new(&[2, 3]);
    foot.view.focus_fields = true;
    foot.frame(Vec::new());
    foot.type_and_press("-0:15", Key::Enter);
    let expected = Edit::Points(PointEdit::Shift {
        ids: vec![PointId(2), PointId(3)],
        by: Offset {
            time_s: -15.0,
            temp_c: 0.0,
        },
    });
    assert_eq!(foot.applied(), [&expected]);
}

#[test]
fn apply_is_off_and_the_reason_is_shown_when_a_lock_stands_in_the_way() {
    let mut foot = Foot::new(&[2, 3]);
    foot.view.drawer_page = DrawerPage::Transform;
    foot.view.transform.shift.temp_c = 2.0;
    foot.frame(Vec::new());
    let reason = wished(foot.history.plan(), &foot.view).unwrap_err();
    assert!(
        reason.contains("temperature of point 3 is locked"),
        "{reason}"
    );
    let is_apply = |node: &&Node| node.label() == Some("Apply");
    assert!(foot.nodes.iter().find(is_apply).unwrap().is_disabled());
    let texts: Vec<_> = foot.nodes.iter().filter_map(|node| node.value()).collect();
    assert!(
        texts.contains(&tools::sentence(&reason).as_str()),
        "{texts:?}"
    );
}
