//! The desk under test: the real window without a screen, and hands to work it with.
//!
//! Nothing here reaches into the plan: pointer, keys, typed text and what a screen reader may ask are the only ways in.
//! What the window says is read from its accessibility tree and from the text that it paints.
#![allow(
    dead_code,
    reason = "each test program uses a part of the hands; all share the file"
)]

use std::{
    cell::RefCell,
    collections::VecDeque,
    future,
    ops::{Deref, DerefMut},
    path::{Path, PathBuf},
    rc::Rc,
    sync::Arc,
};

use chaffinch::desk::{
    backroom::Backroom,
    files::{Answer, PathChooser, Pending, Request},
    prefs::Prefs,
    theme,
    view_state::Status,
    workbench::Workbench,
};
use chaffinch_craft::{Derived, Finding, Outlook, Plan};
use chaffinch_curve::ControlPoint;
use eframe::egui::{
    DroppedFile, Event, Key, Modifiers, PointerButton, Pos2, Rect, Shape, Theme, Vec2,
    ViewportCommand, ViewportEvent, ViewportId, accesskit::Role,
};
use egui_kittest::{Harness, Node, kittest::NodeT};

/// Size of the window at the first start, in points.
pub(crate) const WINDOW: Vec2 = Vec2::new(1280.0, 800.0);

/// Answers of the file chooser, in the order in which they are given, and what it was asked.
#[derive(Clone, Debug, Default)]
pub(crate) struct Script {
    answers: Rc<RefCell<VecDeque<Answer>>>,
    requests: Rc<RefCell<Vec<Request>>>,
}

impl Script {
    /// The next request is answered with this path.
    pub(crate) fn answer(&self, path: &Path) {
        let mut answers = self.answers.borrow_mut();
        answers.push_back(Answer::Path(path.to_owned()));
    }

    /// The next request is cancelled.
    pub(crate) fn cancel(&self) {
        self.answers.borrow_mut().push_back(Answer::Cancelled);
    }

    /// What was asked so far.
    pub(crate) fn requests(&self) -> Vec<Request> {
        self.requests.borrow().clone()
    }
}

impl PathChooser for Script {
    /// Without an answer in the script this is a system without a chooser.
    fn choose(&mut self, request: &Request) -> Pending {
        self.requests.borrow_mut().push(request.clone());
        let answer = self.answers.borrow_mut().pop_front();
        Box::pin(future::ready(answer.unwrap_or(Answer::NoChooser)))
    }
}

/// A window on a plan.
pub(crate) struct Desk {
    harness: Harness<'static, Workbench>,
    /// The file chooser.
    pub(crate) chooser: Script,
}

impl Deref for Desk {
    type Target = Harness<'static, Workbench>;

    fn deref(&self) -> &Self::Target {
        &self.harness
    }
}

impl DerefMut for Desk {
    fn deref_mut(&mut self) -> &mut Self::Target {
        &mut self.harness
    }
}

/// Preferences of somebody who has read the cautions and closed the first-start notes.
pub(crate) fn settled_prefs() -> Prefs {
    Prefs {
        cautions_read: true,
        hints_done: u8::MAX,
        ..Prefs::default()
    }
}

/// A plan of the invented notebook.
pub(crate) fn example_path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../examples/notebook/plans")
        .join(name)
}

impl Desk {
    /// The example plan in a window of the first start's size.
    pub(crate) fn example() -> Self {
        Self::open(None, settled_prefs(), WINDOW)
    }

    /// A file, or the example plan, in a window of this size.
    pub(crate) fn open(file: Option<&Path>, prefs: Prefs, size: Vec2) -> Self {
        let chooser = Script::default();
        let workbench = Workbench::new(file, prefs, Box::new(chooser.clone()), Backroom::here());
        let mut harness = Harness::builder()
            .with_size(size)
            .with_theme(Theme::Light)
            .with_max_steps(40)
            // Two clicks within egui's 0.3 s must fit.
            .with_step_dt(1.0 / 60.0)
            .with_context_setup(theme::install)
            .build_ui_state(|ui, workbench: &mut Workbench| workbench.ui(ui), workbench);
        harness.run();
        Self { harness, chooser }
    }

    // ---- the plan

    pub(crate) fn plan(&self) -> Arc<Plan> {
        Arc::clone(self.state().document().history.plan())
    }

    pub(crate) fn derived(&self) -> &Derived {
        self.state().computed().derived()
    }

    pub(crate) fn outlook(&self) -> &Outlook {
        self.state().computed().outlook()
    }

    /// All that stands against the plan, as drawn and as forecast.
    pub(crate) fn findings(&self) -> &[Finding] {
        self.state().computed().findings()
    }

    pub(crate) fn points(&self) -> Vec<ControlPoint> {
        self.plan().curve.points().to_vec()
    }

    /// The point with this number, counted from 1.
    pub(crate) fn point(&self, number: usize) -> ControlPoint {
        self.points()[number - 1]
    }

    /// Times and temperatures of all points, in s and °C.
    pub(crate) fn places(&self) -> Vec<(f64, f64)> {
        self.points()
            .iter()
            .map(|point| (point.time_s, point.temp_c))
            .collect()
    }

    /// Numbers of the selected points.
    pub(crate) fn selected(&self) -> Vec<usize> {
        let selection = &self.state().view().selection;
        let points = self.points();
        (1..=points.len())
            .filter(|number| selection.contains(&points[number - 1].id))
            .collect()
    }

    /// How many steps can be undone.
    pub(crate) fn steps(&self) -> usize {
        self.state().document().history.past().len()
    }

    /// The name of the last step.
    pub(crate) fn last_step(&self) -> String {
        self.state()
            .document()
            .history
            .past()
            .last()
            .unwrap_or("none")
            .to_owned()
    }

    pub(crate) fn is_modified(&self) -> bool {
        self.state().document().history.is_modified()
    }

    /// What the status line refuses, if it does.
    pub(crate) fn refusal(&self) -> String {
        match &self.state().view().status {
            Some(Status::Refused(reason)) => reason.clone(),
            _ => String::new(),
        }
    }

    // ---- what the window says

    /// The handle of a point, counted from 1.
    pub(crate) fn handle(&self, number: usize) -> Node<'_> {
        let name = format!("Point {number} of {}", self.points().len());
        self.spin(&name)
    }

    /// The one node with this role and name.
    ///
    /// # Panics
    /// When there is none or more than one: names are unique.
    pub(crate) fn named(&self, role: Role, name: &str) -> Node<'_> {
        let mut nodes = self.root().children_recursive().filter(|node| {
            let node = node.accesskit_node();
            node.role() == role && node.label().as_deref() == Some(name)
        });
        let first = nodes.next();
        let first = first.unwrap_or_else(|| panic!("there is no {role:?} “{name}”"));
        assert!(nodes.next().is_none(), "two {role:?} are named “{name}”");
        first
    }

    /// A handle of this name: point, mark, finish, boundary, airflow point.
    pub(crate) fn spin(&self, name: &str) -> Node<'_> {
        self.named(Role::SpinButton, name)
    }

    /// A field of this name.
    pub(crate) fn field(&self, name: &str) -> Node<'_> {
        self.named(Role::TextInput, name)
    }

    /// A button of this name, or one of several choices side by side.
    pub(crate) fn button(&self, name: &str) -> Node<'_> {
        let is_choice = self.root().children_recursive().any(|node| {
            let node = node.accesskit_node();
            node.role() == Role::RadioButton && node.label().as_deref() == Some(name)
        });
        self.named(
            if is_choice {
                Role::RadioButton
            } else {
                Role::Button
            },
            name,
        )
    }

    /// The value that a screen reader reads at a node.
    pub(crate) fn spoken(node: &Node<'_>) -> String {
        node.value().unwrap_or_default()
    }

    /// All names and values in the accessibility tree.
    pub(crate) fn words(&self) -> Vec<String> {
        let nodes = self.root().children_recursive();
        nodes
            .flat_map(|node| {
                let node = node.accesskit_node();
                [node.label(), node.value()]
            })
            .flatten()
            .collect()
    }

    /// Whether a name or value in the accessibility tree contains `text`, in capital letters or not.
    pub(crate) fn says(&self, text: &str) -> bool {
        let text = text.to_lowercase();
        self.words()
            .iter()
            .any(|word| word.to_lowercase().contains(&text))
    }

    /// Whether some painted text of the last frame contains `text`.
    pub(crate) fn paints(&self, text: &str) -> bool {
        let shapes = &self.output().shapes;
        shapes.iter().any(|clipped| paints(&clipped.shape, text))
    }

    // ---- pointer

    /// Where a time (s) and temperature (°C) lie on the screen.
    pub(crate) fn screen(&self, time_s: f64, temp_c: f64) -> Pos2 {
        self.state().lane().unwrap().screen_from(time_s, temp_c)
    }

    pub(crate) fn pointer(&mut self, at: Pos2) {
        self.event(Event::PointerMoved(at));
        self.step();
    }

    pub(crate) fn button_event(
        &mut self,
        at: Pos2,
        button: PointerButton,
        is_pressed: bool,
        modifiers: Modifiers,
    ) {
        self.event(Event::PointerButton {
            pos: at,
            button,
            pressed: is_pressed,
            modifiers,
        });
        self.step();
    }

    /// Holds these modifiers down from now on.
    pub(crate) fn hold(&mut self, modifiers: Modifiers) {
        self.event(Event::ModifiersChanged(modifiers));
        self.step();
    }

    pub(crate) fn press(&mut self, at: Pos2) {
        self.pointer(at);
        self.button_event(at, PointerButton::Primary, true, Modifiers::NONE);
    }

    pub(crate) fn release(&mut self, at: Pos2) {
        self.button_event(at, PointerButton::Primary, false, Modifiers::NONE);
        self.run();
    }

    /// Moves the held pointer in a few steps, as a hand does.
    pub(crate) fn pull(&mut self, from: Pos2, to: Pos2) {
        for part in 1..=6u8 {
            self.pointer(from + (to - from) * (f32::from(part) / 6.0));
        }
        self.step();
    }

    pub(crate) fn drag(&mut self, from: Pos2, to: Pos2) {
        self.press(from);
        self.pull(from, to);
        self.release(to);
    }

    /// Drags the point with this number to a time and temperature.
    pub(crate) fn drag_point(&mut self, number: usize, time_s: f64, temp_c: f64) {
        let (from, to) = (
            self.handle(number).rect().center(),
            self.screen(time_s, temp_c),
        );
        self.drag(from, to);
    }

    pub(crate) fn click_at(&mut self, at: Pos2, modifiers: Modifiers) {
        self.hold(modifiers);
        self.pointer(at);
        for is_pressed in [true, false] {
            self.button_event(at, PointerButton::Primary, is_pressed, modifiers);
        }
        self.hold(Modifiers::NONE);
        self.run();
    }

    pub(crate) fn double_click_at(&mut self, at: Pos2, modifiers: Modifiers) {
        self.hold(modifiers);
        self.pointer(at);
        for is_pressed in [true, false, true, false] {
            self.button_event(at, PointerButton::Primary, is_pressed, modifiers);
        }
        self.hold(Modifiers::NONE);
        self.run();
    }

    /// Clicks the point with this number.
    pub(crate) fn click_point(&mut self, number: usize, modifiers: Modifiers) {
        let at = self.handle(number).rect().center();
        self.click_at(at, modifiers);
    }

    /// Scrolls the button of this name into view and clicks it.
    pub(crate) fn click(&mut self, name: &str) {
        self.button(name).scroll_to_me();
        self.run();
        let at = self.button(name).rect().center();
        self.click_at(at, Modifiers::NONE);
    }

    /// Clicks the button whose name begins so: a row of a menu, which names its key as well.
    pub(crate) fn click_beginning(&mut self, name: &str) {
        let node = self.root().children_recursive().find(|node| {
            let node = node.accesskit_node();
            node.role() == Role::Button && node.label().is_some_and(|label| label.starts_with(name))
        });
        let at = node
            .unwrap_or_else(|| panic!("no button begins with “{name}”"))
            .rect()
            .center();
        self.click_at(at, Modifiers::NONE);
    }

    /// Clicks the button of this name in the dialog, where the window behind has one of the same name.
    pub(crate) fn click_in_dialog(&mut self, name: &str) {
        let middle = (WINDOW / 2.0).to_pos2();
        let nodes = self.root().children_recursive().filter(|node| {
            let node = node.accesskit_node();
            node.role() == Role::Button && node.label().as_deref() == Some(name)
        });
        let places = nodes.map(|node| node.rect().center());
        let at = places
            .min_by(|one, other| one.distance(middle).total_cmp(&other.distance(middle)))
            .unwrap();
        self.click_at(at, Modifiers::NONE);
    }

    /// Drops a file on the window.
    pub(crate) fn drop_file(&mut self, path: &Path) {
        self.input_mut()
            .dropped_files
            .push(Arc::new(Dropped(path.to_owned())));
        self.run();
    }

    /// Asks the window to close, as its frame does; says whether it declines.
    pub(crate) fn close_window(&mut self) -> bool {
        let viewports = &mut self.input_mut().viewports;
        viewports
            .entry(ViewportId::ROOT)
            .or_default()
            .events
            .push(ViewportEvent::Close);
        self.step();
        let commands = &self.output().viewport_output[&ViewportId::ROOT].commands;
        let declines = commands.contains(&ViewportCommand::CancelClose);
        self.run();
        declines
    }

    // ---- keys and text

    pub(crate) fn key(&mut self, key: Key) {
        self.key_with(Modifiers::NONE, key);
    }

    pub(crate) fn key_with(&mut self, modifiers: Modifiers, key: Key) {
        self.key_press_modifiers(modifiers, key);
        self.run();
    }

    pub(crate) fn ctrl(&mut self, key: Key) {
        self.key_with(Modifiers::COMMAND, key);
    }

    /// Types into what has the focus, over everything that stands there.
    pub(crate) fn type_over(&mut self, text: &str) {
        self.ctrl(Key::A);
        if text.is_empty() {
            return self.key(Key::Delete);
        }
        self.event(Event::Text(text.to_owned()));
        self.run();
    }

    /// Types into the field of this name and confirms with Enter.
    pub(crate) fn enter(&mut self, field: &str, text: &str) {
        self.field(field).focus();
        self.run();
        self.type_over(text);
        self.key(Key::Enter);
    }

    fn with_focus(&self) -> Option<Node<'_>> {
        let mut nodes = self.root().children_recursive();
        nodes.find(|node| node.accesskit_node().is_focused())
    }

    /// Where that lies which has the focus.
    pub(crate) fn focused_rect(&self) -> Rect {
        self.with_focus().unwrap().rect()
    }

    /// The name of what has the focus; empty if nothing has it.
    pub(crate) fn focused(&self) -> String {
        let name = self
            .with_focus()
            .and_then(|node| node.accesskit_node().label());
        name.unwrap_or_default()
    }

    /// Presses Tab until something has the focus whose name fits.
    ///
    /// # Panics
    /// When Tab never gets there.
    pub(crate) fn tab_to(&mut self, name: &str) {
        for _ in 0..200 {
            if self.focused() == name {
                return;
            }
            self.key(Key::Tab);
        }
        panic!("Tab never reaches {name}");
    }
}

/// A file in the hand that drops it.
#[derive(Debug)]
struct Dropped(PathBuf);

impl DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|error| error.to_string())
    }
}

fn paints(shape: &Shape, text: &str) -> bool {
    match shape {
        Shape::Text(shape) => shape.galley.text().contains(text),
        Shape::Vec(shapes) => shapes.iter().any(|shape| paints(shape, text)),
        _ => false,
    }
}
