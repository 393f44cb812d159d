//! For tests of the real window: writes where the handles are to the file named by `CHAFFINCH_PLACES`.
//!
//! Lines `point NUMBER X Y` in physical pixels of the window, and `frames COUNT` with the frames drawn so far, so that
//! a script can drag a point with the mouse and see that an idle window draws nothing. Without the variable nothing
//! is written.

use super::workbench::Workbench;
use eframe::egui::Context;
use std::{fmt::Write, path::PathBuf};

/// Names the file.
const VARIABLE: &str = "CHAFFINCH_PLACES";

/// Writes places and frames, if asked to.
#[derive(Debug)]
pub(super) struct Places {
    file: Option<PathBuf>,
    frames: u64,
}

impl Places {
    /// Looks whether anybody asked.
    pub(super) fn from_environment() -> Self {
        Self {
            file: std::env::var_os(VARIABLE).map(PathBuf::from),
            frames: 0,
        }
    }

    /// Writes the places of this frame.
    pub(super) fn write(&mut self, workbench: &Workbench, ctx: &Context) {
        let Some(file) = &self.file else { return };
        self.frames += 1;
        let mut text = String::new();
        if let Some(lane) = workbench.lane() {
            let points = workbench.document().history.plan().curve.points();
            for (point, number) in points.iter().zip(1..) {
                let at = lane.screen_from(point.time_s, point.temp_c) * ctx.pixels_per_point();
                // Writing to a String can't fail.
                let _ = writeln!(text, "point {number} {:.1} {:.1}", at.x, at.y);
            }
        }
        let _ = writeln!(text, "frames {}", self.frames);
        if let Err(error) = std::fs::write(file, text) {
            log::warn!("{} can't be written: {error}", file.display());
        }
    }
}
