//! What asks about a rework and about the notebook do.

use super::{
    ask::{Ask, SheetKind},
    dialogs::{Dialog, PathPurpose, Trouble},
    files::{FileKind, Request},
    notebook::Notebook,
    rework::{Rework, ReworkKind, ShapeForm},
    view_state::Status,
    workbench::Workbench,
};
use chaffinch_craft::{Plan, PlanParts, carry::Target};
use chaffinch_shelf::{TargetsFile, read_lot, read_machine, read_room, read_targets, save_targets};
use eframe::egui::Context;
use std::path::Path;

impl Workbench {
    pub(super) fn carry_out_rework(&mut self, ask: Ask, ctx: &Context) {
        match ask {
            Ask::BeginRework(kind) => self.begin_rework(kind),
            Ask::AcceptRework => self.accept_rework(),
            Ask::LeaveRework => self.view.rework = None,
            Ask::StopRework => self.computed.rework_mut().stop(),
            Ask::GoOnRework => self.computed.rework_mut().go_on(ctx),
            Ask::TakeSheet(kind, path) => self.take_sheet(kind, &path),
            Ask::AskForSheet(kind) => {
                let request = Request::to_read(PathPurpose::Sheet(kind), self.document.file());
                self.files.choose(request, ctx);
            }
            Ask::TakeTargets(path) => self.take_targets(&path),
            Ask::KeepTargets(path) => self.keep_targets(&path),
            Ask::AskForTargets => {
                let mut request = Request::to_read(PathPurpose::TakeTargets, self.document.file());
                request.kind = FileKind::Targets;
                self.files.choose(request, ctx);
            }
            Ask::AskWhereToKeepTargets => {
                let title = format!("{} targets", self.document.history.plan().title);
                let (purpose, kind) = (PathPurpose::KeepTargets, FileKind::Targets);
                let request = Request::to_write(purpose, kind, &title, self.document.file());
                self.files.choose(request, ctx);
            }
            Ask::SetPractice(rules) => {
                let kept = self.notebook.set_practice(rules);
                self.say_refused(kept);
            }
            Ask::RecordColour(reading) => {
                let readings = self.notebook.colours().with(reading);
                let readings = readings.map_err(|error| error.to_string());
                let kept = readings.and_then(|readings| self.notebook.set_colours(readings));
                self.say_refused(kept);
            }
            Ask::ForgetColour(index) => {
                let readings = self.notebook.colours().without(index);
                let kept = self.notebook.set_colours(readings);
                self.say_refused(kept);
            }
            _ => {}
        }
    }

    fn say_refused(&mut self, kept: Result<(), String>) {
        if let Err(reason) = kept {
            self.view.status = Some(Status::Refused(reason));
        }
    }

    pub(super) fn begin_rework(&mut self, kind: ReworkKind) {
        let is_open = |rework: &Rework| rework.kind() == kind;
        if !self.view.rework.as_ref().is_some_and(is_open) {
            let plan = self.document.history.plan();
            self.view.rework = Some(Rework::begun(kind, plan));
        }
    }

    /// Only what is about the plan as it is can be accepted.
    fn accept_rework(&mut self) {
        if self.computed.rework().is_pending() {
            return;
        }
        let answer = self.computed.rework().answer();
        let edit =
            answer.and_then(|answer| answer.found.outcome().map(|(_, _, edit)| edit.clone()));
        let Some(edit) = edit else {
            return;
        };
        self.view.rework = None;
        let label = edit.label(self.document.history.plan());
        self.apply(&edit);
        if !matches!(self.view.status, Some(Status::Refused(_))) {
            self.view.status = Some(Status::Done(label));
        }
    }

    fn take_sheet(&mut self, kind: SheetKind, path: &Path) {
        let Some(Rework::Carry(form)) = &mut self.view.rework else {
            return;
        };
        let parts = form.to.clone().into_parts();
        let target = Target::of(&parts);
        let taken = match kind {
            // A coffee that names no dose comes in that of the plan, whatever was tried before.
            SheetKind::Lot => read_lot(path).map(|lot| {
                let lot_before = self.document.history.plan().lot.clone();
                let target = Target {
                    lot: lot_before,
                    ..target
                };
                target.with_lot(lot)
            }),
            SheetKind::Machine => read_machine(path).map(|machine| Target { machine, ..target }),
            SheetKind::Room => read_room(path).map(|room| Target { room, ..target }),
        };
        let with = |Target { lot, machine, room }| PlanParts {
            lot,
            machine,
            room,
            ..parts
        };
        let trouble = match taken {
            Ok(target) => match Plan::new(with(target)) {
                Ok(plan) => {
                    form.to = plan;
                    self.view.dialog = None;
                    return;
                }
                Err(error) => Trouble::sheet(path, &error.to_string()),
            },
            Err(error) => Trouble::sheet(path, &error.to_string()),
        };
        self.view.dialog = Some(Dialog::Trouble(trouble));
    }

    /// The plan to start from is the one on the desk, whatever the file names.
    fn take_targets(&mut self, path: &Path) {
        match read_targets(path) {
            Ok(TargetsFile { targets, .. }) => {
                self.view.rework = Some(Rework::Shape(ShapeForm { targets }));
                self.view.dialog = None;
            }
            Err(error) => {
                let trouble = Trouble::of_file("These targets can't be taken", &error);
                self.view.dialog = Some(Dialog::Trouble(trouble));
            }
        }
    }

    fn keep_targets(&mut self, path: &Path) {
        let Some(Rework::Shape(form)) = &self.view.rework else {
            return;
        };
        let file = TargetsFile {
            from: self.document.file().map(Path::to_owned),
            targets: form.targets.clone(),
        };
        match save_targets(path, &file) {
            Ok(_) => {
                self.view.dialog = None;
                self.view.status = Some(Status::Done(format!("Saved {}", path.display())));
            }
            Err(error) => {
                let trouble = Trouble::of_file("The targets can't be saved", &error);
                self.view.dialog = Some(Dialog::Trouble(trouble));
            }
        }
    }

    /// Opens the notebook of the plan that is on the desk.
    pub(super) fn open_notebook(&mut self) {
        self.notebook = Notebook::open(self.document.file(), self.home_notebook.as_deref());
        if let Some(trouble) = self.notebook.trouble() {
            self.view.status = Some(Status::Refused(trouble.to_owned()));
        }
    }
}
