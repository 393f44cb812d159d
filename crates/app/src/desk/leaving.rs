//! Leaving a plan: for another one, for a file, or for good. What was typed reaches the plan first, and unsaved work is
//! never lost without a question.

use super::{
    ask::Ask,
    commands::Command,
    dialogs::{Dialog, GoOn, PathPurpose, Trouble},
    document::Document,
    files::Request,
    workbench::Workbench,
};
use eframe::egui::{Context, Ui, ViewportCommand};
use std::path::PathBuf;

impl Workbench {
    /// If a field is being typed in, leaves it and puts `ask` off to the next frame: what was typed reaches the plan when
    /// its field is left, and that takes a frame. Says whether it did.
    pub(super) fn leaves_fields(&mut self, ask: Ask, ctx: &Context) -> bool {
        if !ctx.text_edit_focused() {
            return false;
        }
        ctx.memory_mut(|memory| {
            if let Some(id) = memory.focused() {
                memory.surrender_focus(id);
            }
        });
        self.next_frame.push(ask);
        ctx.request_repaint();
        true
    }

    /// Does it at once, or asks first if unsaved work would be lost.
    pub(super) fn guarded(&mut self, go_on: GoOn, ctx: &Context) {
        match self.document.guard(go_on.clone()) {
            Some(dialog) => self.view.dialog = Some(dialog),
            None => self.go_on(go_on, ctx),
        }
    }

    pub(super) fn go_on(&mut self, go_on: GoOn, ctx: &Context) {
        match go_on {
            GoOn::New => self.put_on_desk(Document::fresh()),
            GoOn::Open => {
                let request = Request::to_read(PathPurpose::Open, self.document.file());
                self.files.choose(request, ctx);
            }
            GoOn::OpenFile(path) => self.open(&path),
            GoOn::Quit => {
                self.may_close = true;
                ctx.send_viewport_cmd(ViewportCommand::Close);
            }
        }
    }

    /// Opens a file that was dropped on the window.
    pub(super) fn dropped_files(asks: &mut Vec<Ask>, ui: &Ui) {
        let dropped: Vec<PathBuf> = ui.input(|input| {
            let files = input.raw.dropped_files.iter();
            files.map(|file| file.path().to_owned()).collect()
        });
        match dropped.as_slice() {
            [] => {}
            [path] => asks.push(Ask::OpenFile(path.clone())),
            paths => asks.push(Ask::Open(Dialog::Trouble(Trouble {
                heading: "One plan at a time".to_owned(),
                text: format!(
                    "{} files were dropped, and one was expected. Drop a single plan or neutral JSON file.",
                    paths.len()
                ),
                offers_save_as: false,
            }))),
        }
    }

    /// Asks before the window closes over unsaved work, counting what is typed and not applied yet.
    pub(super) fn closing(&mut self, ctx: &Context) {
        if !ctx.input(|input| input.viewport().close_requested()) || self.may_close {
            return;
        }
        if self.leaves_fields(Ask::Quit, ctx) {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
        } else if let Some(dialog) = self.document.guard(GoOn::Quit) {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            self.view.dialog = Some(dialog);
        }
    }
}

/// Whether the command works on the plan as a whole, so that a half-typed field must be read first.
pub(super) fn needs_all_typed(command: Command) -> bool {
    matches!(
        command,
        Command::New
            | Command::Open
            | Command::Save
            | Command::SaveAs
            | Command::ExportJson
            | Command::ExportCsv
    )
}
