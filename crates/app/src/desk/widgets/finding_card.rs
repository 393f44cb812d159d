//! One finding: glyph, heading, what and where, a button that mends it, and "Show".

use chaffinch_craft::Severity;
use eframe::egui::{Label, Role, Ui, WidgetInfo};

use super::{
    buttons::{ButtonLook, button},
    sign::sign,
};
use crate::desk::theme::{Palette, Step, space};

/// What a finding says.
#[derive(Clone, Copy, Debug)]
pub struct FindingCard<'a> {
    /// How grave it is.
    pub severity: Severity,
    /// Heading, a few words.
    pub heading: &'a str,
    /// One or two lines: what was found and where.
    pub body: &'a str,
    /// Words of the button that mends it; `None` when nothing can be mended with one press.
    pub repair: Option<&'a str>,
}

/// What was asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FindingAnswer {
    /// Mend it.
    Repair,
    /// Show the place on the curve.
    Show,
}

impl FindingCard<'_> {
    /// Shows it over the width that is left.
    pub fn show(&self, ui: &mut Ui) -> Option<FindingAnswer> {
        ui.horizontal_top(|ui| {
            let palette = Palette::of(ui);
            sign(ui, self.severity, palette.raised);
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 2.0;
                self.words(ui, palette);
                ui.add_space(2.0);
                self.buttons(ui)
            })
            .inner
        })
        .inner
    }

    fn words(&self, ui: &mut Ui, palette: &Palette) {
        let ink = palette.severity_text(self.severity);
        let spoken = format!("{}: {}", spoken_word(self.severity), self.heading);
        let heading = Label::new(Step::Strong.text(self.heading).color(ink)).wrap();
        ui.add(heading)
            .widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
        ui.add(Label::new(Step::Finding.text(self.body).color(palette.text)).wrap());
    }

    fn buttons(&self, ui: &mut Ui) -> Option<FindingAnswer> {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = space::NEAR;
            let is_mended = self.repair.is_some_and(|words| {
                let response = button(ui, ButtonLook::Plain, words);
                response.clicked()
            });
            let show = button(ui, ButtonLook::Link, "Show")
                .accessible_name(format!("Show: {}", self.heading));
            match (is_mended, show.clicked()) {
                (true, _) => Some(FindingAnswer::Repair),
                (false, true) => Some(FindingAnswer::Show),
                (false, false) => None,
            }
        })
        .inner
    }
}

/// The weight as the first word of a spoken sentence.
fn spoken_word(severity: Severity) -> &'static str {
    match severity {
        Severity::Note => "Note",
        Severity::Caution => "Caution",
        Severity::Stop => "Stop",
    }
}
