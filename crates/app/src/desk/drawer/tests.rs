//! The foot of the window without a window: names of its controls, typing, what a refusal does.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    reason = "a test may stop at the first surprise"
)]

use super::*;
use crate::desk::{theme, transform::wished, view_state::Status};
use chaffinch_craft::{Derived, Edit, History, Outlook, Plan, TransformKind, units::TempUnit};
use chaffinch_curve::{ControlPoint, Lock, Offset, PointEdit, PointId, SetpointCurve, Shape};
use eframe::egui::{
    Context, Event, Key, Modifiers, Pos2, RawInput, Rect,
    accesskit::{Action, ActionRequest, Node, NodeId, Role, Toggled, TreeId},
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
    ids: Vec<NodeId>,
    /// Name of what has the keyboard.
    focused: String,
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
        let mut view = ViewState::of(&plan, &Derived::of(&plan), &Outlook::of(&plan));
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
            ids: Vec::new(),
            focused: String::new(),
        };
        foot.frame(Vec::new());
        foot
    }

    fn frame(&mut self, events: Vec<Event>) {
        let plan = self.history.plan();
        let (derived, outlook) = (Derived::of(plan), Outlook::of(plan));
        let model = Model {
            unit: self.unit,
            ..Model::new(plan, &derived, &outlook, &self.history)
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
        let update = output.platform_output.accesskit_update.clone().unwrap();
        let named = update.nodes.iter().find(|(id, _)| *id == update.focus);
        let name = named.and_then(|(_, node)| node.label());
        self.focused = name.unwrap_or_default().to_owned();
        (self.ids, self.nodes) = update.nodes.into_iter().unzip();
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
        self.frame(vec![self::key(key)]);
        self.frame(Vec::new());
    }

    /// Gives the keyboard to the first field of the bar.
    fn focus_fields(&mut self) {
        self.view.focus_fields = true;
        self.frame(Vec::new());
    }

    /// Gives the keyboard to what is called `label`.
    fn focus(&mut self, label: &str) {
        let index = self
            .nodes
            .iter()
            .position(|node| node.label() == Some(label));
        let request = ActionRequest {
            action: Action::Focus,
            target_tree: TreeId::ROOT,
            target_node: self.ids[index.unwrap()],
            data: None,
        };
        self.frame(vec![Event::AccessKitActionRequest(request)]);
        self.frame(Vec::new());
    }

    fn node(&self, label: &str) -> &Node {
        let named = |node: &&Node| node.label() == Some(label);
        self.nodes.iter().find(named).unwrap()
    }

    fn applied(&self) -> Vec<&Edit> {
        let edits = self.asks.iter().filter_map(|ask| match ask {
            Ask::Apply(edit) => Some(edit),
            _ => None,
        });
        edits.collect()
    }
}

fn key(key: Key) -> Event {
    Event::Key {
        key,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers: Modifiers::NONE,
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
    foot.focus_fields();
    foot.type_and_press("2:10", Key::Enter);
    let [Edit::Points(PointEdit::Move { id, to })] = foot.applied()[..] else {
        panic!("{:?}", foot.asks);
    };
    assert_eq!((*id, to.time_s, to.temp_c), (PointId(2), 130.0, 156.0));
}

#[test]
fn first_point_takes_the_focus_on_its_temperature_because_its_time_stays() {
    let mut foot = Foot::new(&[1]);
    foot.focus_fields();
    foot.type_and_press("+5", Key::Enter);
    let [Edit::Points(PointEdit::Move { id, to })] = foot.applied()[..] else {
        panic!("{:?}", foot.asks);
    };
    assert_eq!((*id, to.time_s, to.temp_c), (PointId(1), 0.0, 110.0));
}

#[test]
fn text_that_is_no_time_is_refused_in_the_status_line_and_changes_nothing() {
    let mut foot = Foot::new(&[2]);
    foot.focus_fields();
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
    foot.focus_fields();
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
    let reason = wished(foot.history.plan(), &foot.view)
        .unwrap_err()
        .to_string();
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

/// Points as drags, pastes and °F leave them; nobody reads nine decimals.
fn untidy() -> Vec<ControlPoint> {
    let places = [
        (0.0, 105.123_456),
        (59.989_142_236_699_24, 156.049),
        (270.04, 190.0 + 1.0 / 3.0),
    ];
    let mut points: Vec<_> = (1..)
        .zip(places)
        .map(|(id, (time_s, temp_c))| ControlPoint::new(PointId(id), time_s, temp_c))
        .collect();
    points[1].pinned_rise_c_per_s = Some(0.159_406_933);
    points
}

#[test]
fn fields_show_readable_numbers_and_enter_without_typing_changes_nothing() {
    for unit in [TempUnit::Celsius, TempUnit::Fahrenheit] {
        let mut foot = Foot::with(untidy(), &[2]);
        foot.unit = unit;
        foot.frame(Vec::new());
        let shown = ["time", "temperature", "rise"].map(|what| {
            let field = foot.node(&format!("Exact {what} of point 2"));
            field.value().unwrap().to_owned()
        });
        // 156.049 °C = 312.8882 °F; 0.159406933 °C/s = 9.56 °C/min = 17.22 °F/min (definition of the scales).
        match unit {
            TempUnit::Celsius => assert_eq!(shown, ["1:00", "156.05", "9.6"]),
            TempUnit::Fahrenheit => assert_eq!(shown, ["1:00", "312.89", "17.2"]),
        }
        let mut fields = foot.labels(&[Role::TextInput]);
        assert_eq!(fields.len(), 3 + 3 * 3, "{fields:?}");
        fields.retain(|name| !foot.node(name).is_disabled());
        for name in fields {
            foot.focus(&name);
            assert_eq!(foot.focused, name);
            foot.frame(vec![key(Key::Enter)]);
            foot.frame(Vec::new());
        }
        assert!(foot.applied().is_empty(), "{:?}", foot.asks);
    }
}

#[test]
fn enter_and_escape_give_the_keyboard_back_to_the_point() {
    for key in [Key::Enter, Key::Escape] {
        let mut foot = Foot::new(&[2]);
        foot.view.current = Some(PointId(2));
        foot.focus_fields();
        foot.type_and_press("2:10", key);
        assert_eq!(foot.view.focus_point, Some(PointId(2)), "{key:?}");
        assert_eq!(foot.applied().len(), usize::from(key == Key::Enter));
    }
    let mut foot = Foot::new(&[2]);
    foot.view.current = Some(PointId(2));
    foot.focus_fields();
    foot.type_and_press("2:10", Key::Tab);
    assert_eq!(foot.view.focus_point, None, "Tab goes on to the next field");
}

#[test]
fn time_past_a_neighbour_stays_in_the_field_with_the_reason_until_escape() {
    let mut foot = Foot::new(&[2]);
    foot.view.current = Some(PointId(2));
    foot.focus_fields();
    foot.type_and_press("9:30", Key::Enter);
    assert!(foot.applied().is_empty(), "{:?}", foot.asks);
    let reason = "9:30 is past point 3 at 4:30; a point stays between its neighbours";
    assert_eq!(foot.view.status, Some(Status::Refused(reason.to_owned())));
    assert_eq!(foot.node("Exact time of point 2").value(), Some("9:30"));
    assert_eq!(foot.view.focus_point, None, "to be mended in the field");
    foot.frame(vec![key(Key::Escape)]);
    assert_eq!(foot.view.status, None);
    foot.frame(Vec::new());
    assert_eq!(foot.node("Exact time of point 2").value(), Some("2:00"));
}

#[test]
fn typing_again_takes_the_reason_away() {
    let mut foot = Foot::new(&[2]);
    foot.focus_fields();
    foot.type_and_press("9:30", Key::Enter);
    assert!(foot.view.status.is_some());
    foot.type_and_press("2:10", Key::Enter);
    assert_eq!(foot.view.status, None);
    assert_eq!(foot.applied().len(), 1, "{:?}", foot.asks);
}

#[test]
fn rise_that_was_only_kept_looks_free() {
    let is_ticked = |is_rise_kept| {
        let mut points = untidy();
        points[1].is_rise_kept = is_rise_kept;
        let foot = Foot::with(points, &[2]);
        foot.node("Exact pinned rise of point 2").toggled()
    };
    assert_eq!(is_ticked(false), Some(Toggled::True));
    assert_eq!(is_ticked(true), Some(Toggled::False));
}

#[test]
fn plain_number_moves_the_temperature_of_several_points() {
    for typed in ["2", "+2"] {
        let mut foot = Foot::new(&[2, 4]);
        foot.focus_fields();
        foot.frame(vec![key(Key::Tab)]);
        foot.type_and_press(typed, Key::Enter);
        let expected = Edit::Points(PointEdit::Shift {
            ids: vec![PointId(2), PointId(4)],
            by: Offset {
                time_s: 0.0,
                temp_c: 2.0,
            },
        });
        assert_eq!(foot.applied(), [&expected]);
    }
}

#[test]
fn amounts_of_a_transform_count_while_they_are_typed() {
    let mut foot = Foot::new(&[2]);
    foot.view.drawer_page = DrawerPage::Transform;
    foot.frame(Vec::new());
    let is_there = |foot: &Foot| foot.view.transform.shift.time_s;
    foot.focus("Later by");
    foot.frame(vec![Event::Text("12".to_owned())]);
    assert_eq!(is_there(&foot), 12.0);
    foot.frame(vec![key(Key::Escape)]);
    assert_eq!(is_there(&foot), 0.0);
}
