//! The explanation card of a value: what it is, how it is computed, where that comes from.

use eframe::egui::{Frame, Label, RectAlign, Response, Tooltip, Ui};

use crate::desk::theme::{Palette, Step};

/// Widest explanation, in points.
const WIDTH_PX: f32 = 288.0;

/// Three plain texts; an empty one is left out.
#[derive(Clone, Copy, Debug, Default)]
pub struct Explanation<'a> {
    /// What the value is.
    pub what: &'a str,
    /// How it is computed, and its range.
    pub how: &'a str,
    /// Where this comes from.
    pub source: &'a str,
}

impl Explanation<'_> {
    /// Shows it now, for a reader who came by keyboard; above `response`, so that the fields to come stay in sight.
    pub(super) fn show_above(&self, response: &Response) {
        let mut tooltip = Tooltip::for_widget(response);
        tooltip.popup = tooltip
            .popup
            .align(RectAlign::TOP_START)
            .align_alternatives(&[RectAlign::RIGHT_START]);
        tooltip.show(|ui| self.ui(ui));
    }

    fn ui(&self, ui: &mut Ui) {
        Frame::new().inner_margin(6).show(ui, |ui| self.lines(ui));
    }

    fn lines(&self, ui: &mut Ui) {
        let palette = Palette::of(ui);
        ui.set_max_width(WIDTH_PX);
        ui.spacing_mut().item_spacing.y = 6.0;
        for (text, step, color) in [
            (self.what, Step::Body, palette.text),
            (self.how, Step::Small, palette.text2),
            (self.source, Step::Small, palette.text3),
        ] {
            if !text.is_empty() {
                ui.add(Label::new(step.text(text).color(color)).wrap());
            }
        }
    }
}

/// Shows `explanation` while the pointer rests on `response`, and gives it to screen readers as its description.
pub fn explained(response: Response, explanation: &Explanation<'_>) -> Response {
    let spoken = [explanation.what, explanation.how, explanation.source]
        .into_iter()
        .filter(|text| !text.is_empty())
        .collect::<Vec<_>>()
        .join(" ");
    response
        .ctx
        .accesskit_node_builder(response.id, |node| node.set_description(spoken));
    response.on_hover_ui(|ui| explanation.ui(ui))
}
