//! A read-only row: what it is at the left, its value at the right.

use eframe::egui::{Align2, Response, Role, Sense, Ui, WidgetInfo, vec2};

use crate::desk::theme::{Palette, Step};

/// Height of a row, in points.
const HEIGHT_PX: f32 = 20.0;

/// One value with its name.
#[derive(Clone, Copy, Debug)]
pub(in crate::desk) struct ValueRow<'a> {
    /// What it is.
    pub(in crate::desk) label: &'a str,
    /// The value with its unit.
    pub(in crate::desk) value: &'a str,
    /// The gesture in hand changes it: it is set in stronger ink for as long as it lasts.
    pub(in crate::desk) is_changing: bool,
}

impl ValueRow<'_> {
    /// Shows the row over the width that is left; spoken as one text.
    pub(in crate::desk) fn show(self, ui: &mut Ui) -> Response {
        let size = vec2(ui.available_width(), HEIGHT_PX);
        let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
        let spoken = format!("{}: {}", self.label, self.value);
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
        let palette = Palette::of(ui);
        let (step, ink) = if self.is_changing {
            (Step::Strong, palette.text)
        } else {
            (Step::Body, palette.text)
        };
        let painter = ui.painter();
        painter.text(
            rect.left_center(),
            Align2::LEFT_CENTER,
            self.label,
            Step::Body.font(),
            palette.text2,
        );
        painter.text(
            rect.right_center(),
            Align2::RIGHT_CENTER,
            self.value,
            step.font(),
            ink,
        );
        response
    }
}
