//! A dragged point follows the pointer before anything is laid out, so that one layout shows all figures where the pointer is.
//!
//! Other drags are known only when their handles are laid out; their frames are laid out twice.

use super::{
    super::{
        ask::Ask,
        lanes::{follow::follow, handles::handle_id},
    },
    Workbench,
};
use eframe::egui::Context;

impl Workbench {
    /// Moves the points that are being dragged to where the pointer is now, in the lane as it stood in the last frame; nothing in a
    /// drag moves the lane.
    pub(super) fn follow_pointer(&mut self, ctx: &Context) {
        let (Some(drag), Some(lane)) = (&mut self.view.drag, &self.lane) else {
            return;
        };
        let (pointer, is_down, modifiers) = ctx.input(|input| {
            let pointer = &input.pointer;
            (
                pointer.interact_pos(),
                pointer.primary_down(),
                input.modifiers,
            )
        });
        let is_dragged = is_down && ctx.dragged_id() == Some(handle_id(drag.grabbed));
        if let Some(pointer) = pointer.filter(|_| is_dragged) {
            let edit = follow(drag, pointer, modifiers, lane, self.prefs.unit());
            self.carry_out(Ask::Drag(edit), ctx);
        }
    }
}
