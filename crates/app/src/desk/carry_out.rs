//! What each ask does. Plans change only here, and only through the history.

use super::{
    ask::Ask,
    clipboard,
    commands::{Command, TABLE},
    dialogs::{Dialog, GoOn, PathPurpose},
    document::{Document, Overwrite, remember},
    files::{self, FileKind, Request},
    hints::Hint,
    lanes::fit,
    leaving::needs_all_typed,
    model::Model,
    prefs::ThemeChoice,
    rework::ReworkKind,
    view_state::{Status, ViewState},
    window_span::{Lane, LaneView, ViewStep},
    workbench::{Workbench, show_theme},
};
use chaffinch_craft::{Edit, FinishEdit, Plan, units::TempUnit};
use chaffinch_curve::{Lock, PointEdit, PointId};
use eframe::egui::{Context, Key, Modifiers, Ui, ViewportCommand};
use std::path::Path;

/// Factor of one zoom by key.
const ZOOM_STEP: f64 = 1.25;
/// Share of the view that one press of a key moves it by.
const PAN_STEP: f64 = 0.1;

impl Workbench {
    pub(super) fn carry_out(&mut self, ask: Ask, ctx: &Context) {
        match ask {
            Ask::Apply(edit) => self.apply(&edit),
            Ask::Drag(edit) => self.drag(&edit),
            Ask::Release => self.release(),
            Ask::Cancel => self.cancel(),
            Ask::Do(command) => self.command(command, ctx),
            Ask::Show { from_s, to_s } => {
                self.view.lit_s = Some((from_s, to_s));
                let shown = fit::stretch(self.view.lanes.current(), from_s, to_s);
                self.view.lanes.go(shown, ViewStep::Begins);
            }
            Ask::JumpTo(steps) => {
                self.document.history.jump_to(steps);
                self.view.status = None;
            }
            Ask::Open(dialog) => self.view.dialog = Some(dialog),
            Ask::CloseDialog => {
                self.view.dialog = self.next_dialog.take();
                // A dialog that was left answers nothing; what waited for a save waits no longer.
                self.after_save = None;
            }
            Ask::SetTheme(choice) => self.set_theme(choice, ctx),
            Ask::SetUnit(unit) => self.prefs.fahrenheit = unit == TempUnit::Fahrenheit,
            Ask::ClearRecent => self.prefs.recent.clear(),
            Ask::CautionsRead => {
                self.prefs.cautions_read = true;
            }
            Ask::HintDone(hint) => self.prefs.hints_done |= hint.bit(),
            Ask::NothingChosen => self.after_save = None,
            Ask::Say(text) => self.view.status = Some(Status::Refused(text)),
            Ask::BeginRework(_)
            | Ask::AcceptRework
            | Ask::LeaveRework
            | Ask::StopRework
            | Ask::GoOnRework
            | Ask::TakeSheet(..)
            | Ask::AskForSheet(_)
            | Ask::TakeTargets(_)
            | Ask::KeepTargets(_)
            | Ask::AskForTargets
            | Ask::AskWhereToKeepTargets
            | Ask::SetPractice(_)
            | Ask::RecordColour(_)
            | Ask::ForgetColour(_) => self.carry_out_rework(ask, ctx),
            ask => self.carry_out_file(ask, ctx),
        }
    }

    fn carry_out_file(&mut self, ask: Ask, ctx: &Context) {
        match ask {
            Ask::OpenFile(path) if self.leaves_fields(Ask::OpenFile(path.clone()), ctx) => {}
            Ask::OpenFile(path) => self.guarded(GoOn::OpenFile(path), ctx),
            Ask::Quit => self.guarded(GoOn::Quit, ctx),
            Ask::SaveTo(path) => self.save_to(&path, Overwrite::IfUnchanged, ctx),
            Ask::Overwrite(path) => self.save_to(&path, Overwrite::Always, ctx),
            Ask::Reload(path) => self.open(&path),
            Ask::ExportTo(path) => self.export_to(&path),
            Ask::PinFile(path) => self.pin(&path),
            Ask::Unpin(index) => self.computed.unpin(index),
            Ask::DiscardAndGoOn => {
                if let Some(Dialog::Unsaved(go_on)) = self.view.dialog.take() {
                    self.go_on(go_on, ctx);
                }
            }
            Ask::SaveAndGoOn => {
                if let Some(Dialog::Unsaved(go_on)) = self.view.dialog.take() {
                    self.after_save = Some(go_on);
                    self.command(Command::Save, ctx);
                }
            }
            _ => {}
        }
    }

    pub(super) fn apply(&mut self, edit: &Edit) {
        let before = self.document.history.plan().clone();
        match self.document.history.apply(edit) {
            Ok(()) => {
                self.view.status = removal(edit, &before);
                self.view.lit_s = None;
                self.select_added(edit, before.curve.next_id());
                if Hint::taught_by(edit) == Some(Hint::Finish) {
                    self.prefs.hints_done |= Hint::Finish.bit();
                }
            }
            Err(refusal) => self.view.status = Some(Status::Refused(refusal.to_string())),
        }
    }

    fn select_added(&mut self, edit: &Edit, id: PointId) {
        let adds = matches!(
            edit,
            Edit::Points(PointEdit::InsertOnCurve { .. } | PointEdit::InsertAt { .. })
        );
        if adds && self.document.history.plan().curve.point(id).is_some() {
            self.view.select_only(id);
            self.view.focus_point = Some(id);
        }
    }

    fn drag(&mut self, edit: &Edit) {
        let Some(gesture) = self.view.gesture else {
            return;
        };
        match self.document.history.drag(gesture, edit) {
            Ok(()) => {
                self.view.status = None;
                self.dragged = Hint::taught_by(edit);
            }
            Err(refusal) => self.view.status = Some(Status::Refused(refusal.to_string())),
        }
    }

    fn release(&mut self) {
        if self.view.gesture.take().is_some() {
            let steps = self.document.history.past().len();
            self.document.history.release();
            if self.document.history.past().len() > steps
                && let Some(hint) = self.dragged.take()
            {
                self.prefs.hints_done |= hint.bit();
            }
        }
    }

    fn cancel(&mut self) {
        self.view.gesture = None;
        self.view.drag = None;
        self.view.nudge = None;
        self.view.box_from = None;
        self.document.history.cancel();
    }

    fn command(&mut self, command: Command, ctx: &Context) {
        if needs_all_typed(command) && self.leaves_fields(Ask::Do(command), ctx) {
            return;
        }
        match command {
            Command::New => self.guarded(GoOn::New, ctx),
            Command::Open => self.guarded(GoOn::Open, ctx),
            Command::Save => match self.document.file().map(Path::to_owned) {
                Some(path) => self.save_to(&path, Overwrite::IfUnchanged, ctx),
                None => self.choose(PathPurpose::Save, FileKind::Plan, ctx),
            },
            Command::SaveAs => self.choose(PathPurpose::Save, FileKind::Plan, ctx),
            Command::ExportJson => self.choose(PathPurpose::Export, FileKind::NeutralJson, ctx),
            Command::ExportCsv => self.choose(PathPurpose::Export, FileKind::Csv, ctx),
            Command::Pin => {
                let request = Request::to_read(PathPurpose::Pin, self.document.file());
                self.files.choose(request, ctx);
            }
            Command::CarryOver => self.begin_rework(ReworkKind::Carry),
            Command::ShapeByTargets => self.begin_rework(ReworkKind::Shape),
            Command::Undo => {
                self.document.history.undo();
                self.view.status = None;
            }
            Command::Redo => {
                self.document.history.redo();
                self.view.status = None;
            }
            Command::Copy => self.copy(ctx),
            Command::Paste => ctx.send_viewport_cmd(ViewportCommand::RequestPaste),
            Command::ToggleUnit => self.prefs.fahrenheit = !self.prefs.fahrenheit,
            Command::ToggleTheme => {
                let is_dark = ctx.theme() == eframe::egui::Theme::Dark;
                let choice = if is_dark {
                    ThemeChoice::Light
                } else {
                    ThemeChoice::Dark
                };
                self.set_theme(choice, ctx);
            }
            Command::FollowTheme => self.set_theme(ThemeChoice::System, ctx),
            Command::ToggleDrawer => self.view.drawer_open = !self.view.drawer_open,
            Command::FocusCurve => self.focus_curve(),
            Command::Describe => self.view.dialog = Some(Dialog::Description),
            Command::Keys => self.view.dialog = Some(Dialog::Keys),
            Command::Cautions => self.view.dialog = Some(Dialog::Cautions),
            command => self.point_or_view_command(command),
        }
    }

    fn point_or_view_command(&mut self, command: Command) {
        match command {
            Command::AddPoint => self.add_point(),
            Command::Remove => self.remove_points(),
            Command::ToggleLock => self.toggle_lock(),
            Command::StraightenRise | Command::EaseIntoDrop | Command::ToggleKeptEnd => {
                self.shape_by_hand(command);
            }
            Command::SelectAll
            | Command::SelectFromHere
            | Command::InvertSelection
            | Command::SelectNone => {
                self.select(command);
            }
            Command::MeasureFrom => self.view.measure_s[0] = self.moment_s(),
            Command::MeasureTo => self.view.measure_s[1] = self.moment_s(),
            Command::MeasureOff => self.view.measure_s = [None; 2],
            Command::ZoomBack => {
                self.view.lanes.back();
            }
            Command::ZoomForward => {
                self.view.lanes.forward();
            }
            _ => {
                let wished = self.wished_view(command);
                self.view.lanes.go(wished, ViewStep::Begins);
            }
        }
    }

    fn wished_view(&self, command: Command) -> LaneView {
        let plan = self.document.history.plan();
        let shown = self.view.lanes.current();
        let middle_s = f64::midpoint(shown.time_s.from, shown.time_s.to);
        let about_s = self.moment_s().unwrap_or(middle_s);
        match command {
            Command::ZoomIn => shown.time_zoomed(1.0 / ZOOM_STEP, about_s),
            Command::ZoomOut => shown.time_zoomed(ZOOM_STEP, about_s),
            Command::PanEarlier => shown.time_panned(-PAN_STEP * shown.time_s.width()),
            Command::PanLater => shown.time_panned(PAN_STEP * shown.time_s.width()),
            Command::ZoomValuesIn | Command::ZoomValuesOut | Command::PanUp | Command::PanDown => {
                self.values_view(command)
            }
            Command::FitAll => {
                fit::whole_plan(plan, self.computed.derived(), self.computed.outlook())
            }
            Command::FitSelection => {
                let points = plan.curve.points().iter();
                let selected: Vec<_> = points
                    .filter(|point| self.view.selection.contains(&point.id))
                    .copied()
                    .collect();
                fit::points(shown, &selected)
            }
            _ => shown,
        }
    }

    /// The view after a zoom or pan of values in the lane under the pointer, else in the temperature lane.
    fn values_view(&self, command: Command) -> LaneView {
        let shown = self.view.lanes.current();
        let lane = self.view.hover_lane.unwrap_or(Lane::Temperature);
        if lane == Lane::Rise && self.view.shows_difference(self.computed.behind()) {
            return shown;
        }
        let span = shown.values(lane);
        let middle = f64::midpoint(span.from, span.to);
        let step = PAN_STEP * span.width();
        match command {
            Command::ZoomValuesIn => shown.values_zoomed(lane, 1.0 / ZOOM_STEP, middle),
            Command::ZoomValuesOut => shown.values_zoomed(lane, ZOOM_STEP, middle),
            Command::PanUp => shown.values_panned(lane, step),
            Command::PanDown => shown.values_panned(lane, -step),
            _ => shown,
        }
    }

    /// The moment under the pointer, or of the point that was touched last.
    fn moment_s(&self) -> Option<f64> {
        let curve = &self.document.history.plan().curve;
        let current = self.view.current.and_then(|id| curve.point(id));
        self.view.hover_s.or(current.map(|point| point.time_s))
    }

    /// Adds a point under the pointer, or in the middle of the stretch behind the current point.
    fn add_point(&mut self) {
        let curve = &self.document.history.plan().curve;
        let behind_current = || {
            let points = curve.points();
            let current = self
                .view
                .current
                .and_then(|id| curve.index_of(id))
                .unwrap_or(0);
            let first = current.min(points.len() - 2);
            f64::midpoint(points[first].time_s, points[first + 1].time_s).round()
        };
        let time_s = self.view.hover_s.map_or_else(behind_current, f64::round);
        self.apply(&Edit::Points(PointEdit::InsertOnCurve { time_s }));
    }

    fn remove_points(&mut self) {
        let ids = self.view.meant(&self.document.history.plan().curve);
        if ids.is_empty() {
            self.view.status = Some(Status::Refused(
                "Select the points to remove first".to_owned(),
            ));
            return;
        }
        // The focus moves on to the point before, so that the keyboard stays on the curve.
        let curve = &self.document.history.plan().curve;
        let before = ids
            .first()
            .and_then(|&id| curve.index_of(id))
            .map(|index| index.saturating_sub(1));
        let next = before.map(|index| curve.points()[index].id);
        self.apply(&Edit::Points(PointEdit::Remove { ids: ids.clone() }));
        if let Some(next) = next
            && self.document.history.plan().curve.point(ids[0]).is_none()
        {
            self.view.select_only(next);
            self.view.focus_point = Some(next);
        }
    }

    /// Puts the keyboard on the point that was touched last, or on the first.
    fn focus_curve(&mut self) {
        let curve = &self.document.history.plan().curve;
        let first = curve.points().first().map(|point| point.id);
        self.view.focus_point = self.view.current.or(first);
    }

    fn toggle_lock(&mut self) {
        let ids = self.view.meant(&self.document.history.plan().curve);
        let curve = &self.document.history.plan().curve;
        let all_locked = ids.iter().all(|&id| {
            curve
                .point(id)
                .is_some_and(|point| point.lock == Lock::Both)
        });
        let lock = if all_locked { Lock::Free } else { Lock::Both };
        if !ids.is_empty() {
            self.apply(&Edit::Points(PointEdit::SetLock { ids, lock }));
        }
    }

    fn select(&mut self, command: Command) {
        let curve = &self.document.history.plan().curve;
        let current = self
            .view
            .current
            .and_then(|id| curve.index_of(id))
            .unwrap_or(0);
        let selection = &mut self.view.selection;
        let wished = |index: usize, id: PointId| match command {
            Command::SelectAll => true,
            Command::SelectFromHere => current <= index,
            Command::InvertSelection => !selection.contains(&id),
            _ => false,
        };
        let points = curve.points().iter().enumerate();
        *selection = points
            .filter(|&(index, point)| wished(index, point.id))
            .map(|(_, point)| point.id)
            .collect();
        if command == Command::InvertSelection {
            // The keyboard goes on with what is selected now.
            self.view.focus_point = selection.last().copied();
        }
    }

    fn copy(&mut self, ctx: &Context) {
        let plan = self.document.history.plan().clone();
        let (derived, outlook) = (self.computed.derived(), self.computed.outlook());
        let model = Model::new(&plan, derived, outlook, &self.document.history);
        ctx.copy_text(clipboard::copy_points(&model, &self.view));
        self.view.status = Some(Status::Done("Copied points for a spreadsheet".to_owned()));
    }

    fn set_theme(&mut self, choice: ThemeChoice, ctx: &Context) {
        self.prefs.theme = choice;
        show_theme(ctx, choice);
    }

    pub(super) fn choose(&mut self, purpose: PathPurpose, kind: FileKind, ctx: &Context) {
        let title = &self.document.history.plan().title;
        let request = Request::to_write(purpose, kind, title, self.document.file());
        self.files.choose(request, ctx);
    }

    pub(super) fn open(&mut self, path: &Path) {
        match Document::open(path) {
            Ok(document) => {
                self.view.dialog = None;
                self.put_on_desk(document);
                self.view.status = self.document.told();
                remember(&mut self.prefs, path);
            }
            Err(trouble) => self.view.dialog = Some(Dialog::Trouble(trouble)),
        }
    }

    pub(super) fn put_on_desk(&mut self, document: Document) {
        let dialog = self.view.dialog.take();
        self.document = document;
        self.open_notebook();
        self.computed.restart(&self.document.history);
        let plan = self.document.history.plan();
        let (alignment, drawer_open) = (self.view.alignment, self.view.drawer_open);
        let (lane_sizes, folds) = (self.view.lane_sizes, self.view.folds);
        self.view = ViewState::of(plan, self.computed.derived(), self.computed.outlook());
        self.view.dialog = dialog;
        self.view.alignment = alignment;
        self.view.drawer_open = drawer_open;
        self.view.lane_sizes = lane_sizes;
        self.view.folds = folds;
        self.whole = (self.document.history.revision(), self.view.lanes.current());
    }

    fn save_to(&mut self, path: &Path, overwrite: Overwrite, ctx: &Context) {
        match self.document.save_to(path, overwrite) {
            Ok(()) => {
                self.view.dialog = None;
                self.view.status = Some(Status::Done(format!("Saved {}", path.display())));
                self.document.remember_in(&mut self.prefs);
                self.open_notebook();
                if let Some(go_on) = self.after_save.take() {
                    self.go_on(go_on, ctx);
                }
            }
            Err(dialog) => {
                self.after_save = None;
                self.view.dialog = Some(dialog);
            }
        }
    }

    fn export_to(&mut self, path: &Path) {
        match files::export(self.document.history.plan(), path) {
            Ok(()) => {
                self.view.dialog = None;
                self.view.status = Some(Status::Done(format!("Exported {}", path.display())));
            }
            Err(trouble) => self.view.dialog = Some(Dialog::Trouble(trouble)),
        }
    }

    fn pin(&mut self, path: &Path) {
        match files::open_plan(path) {
            Ok(other) => {
                self.view.dialog = None;
                let plan = self.document.history.plan();
                self.computed.pin(plan, other.plan, self.view.alignment);
            }
            Err(trouble) => self.view.dialog = Some(Dialog::Trouble(trouble)),
        }
    }

    /// Keys of the command table, after the widgets had their turn.
    pub(super) fn keys(&mut self, asks: &mut Vec<Ask>, ui: &Ui) {
        if self.view.gesture.is_some() && ui.input(|input| input.pointer.secondary_pressed()) {
            asks.push(Ask::Cancel);
        }
        if self.view.dialog.is_some() {
            return;
        }
        let types = ui.ctx().egui_wants_keyboard_input() && ui.ctx().text_edit_focused();
        for entry in TABLE {
            let is_event = matches!(entry.command, Command::Copy | Command::Paste);
            if is_event || (types && !works_while_typing(entry.command)) {
                continue;
            }
            if let Some(key) = &entry.key
                && ui.input_mut(|input| input.consume_shortcut(key))
            {
                asks.push(Ask::Do(entry.command));
            }
        }
        if !types && ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape)) {
            self.escape(asks);
        }
        if self.view.focus_fields && self.view.current.is_some() {
            self.prefs.hints_done |= Hint::TypeNumbers.bit();
        }
    }

    fn escape(&mut self, asks: &mut Vec<Ask>) {
        if self.view.gesture.is_some() {
            asks.push(Ask::Cancel);
        } else if self.view.rework.is_some() {
            asks.push(Ask::LeaveRework);
        } else if self.view.left_open {
            self.view.left_open = false;
        } else {
            self.view.lit_s = None;
            self.view.current = None;
            asks.push(Ask::Do(Command::SelectNone));
        }
    }
}

/// Removing isn't asked about first, because it can be taken back; the status line offers it.
fn removal(edit: &Edit, before: &Plan) -> Option<Status> {
    let removes = matches!(
        edit,
        Edit::Points(PointEdit::Remove { .. } | PointEdit::Replace(_))
            | Edit::Finish(FinishEdit::Remove(_))
    );
    removes.then(|| Status::Removed(edit.label(before)))
}

/// Whether the key works while somebody types; the others belong to the text field.
fn works_while_typing(command: Command) -> bool {
    needs_all_typed(command)
        || matches!(
            command,
            Command::Keys | Command::Cautions | Command::FocusCurve
        )
}
