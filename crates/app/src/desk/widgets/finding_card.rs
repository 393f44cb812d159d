//! One finding: glyph, heading, what and where, a button that mends it, and "Show".
//!
//! A long text is cut, so that the button stays in sight; "More" shows the rest. Screen readers hear all of it.

use chaffinch_craft::Severity;
use eframe::egui::{Id, Label, Role, Ui, WidgetInfo, text::LayoutJob};

use super::{
    buttons::{ButtonLook, button},
    sign::sign,
};
use crate::desk::theme::{Palette, Step, space};

/// Lines of the text that stand until the rest is asked for.
const MOST_LINES: usize = 4;

/// What a finding says.
#[derive(Clone, Copy, Debug)]
pub struct FindingCard<'a> {
    /// How grave it is.
    pub severity: Severity,
    /// Heading, a few words.
    pub heading: &'a str,
    /// A sentence or two: what was found and where.
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
                let id = ui.make_persistent_id(("whole text", self.heading));
                let length = self.words(id, ui, palette);
                ui.add_space(2.0);
                self.buttons(id, length, ui)
            })
            .inner
        })
        .inner
    }

    /// Heading and text; returns how much of the text is shown.
    fn words(&self, id: Id, ui: &mut Ui, palette: &Palette) -> Length {
        let ink = palette.severity_text(self.severity);
        let spoken = format!("{}: {}", spoken_word(self.severity), self.heading);
        let heading = Label::new(Step::Strong.text(self.heading).color(ink)).wrap();
        ui.add(heading)
            .widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
        let body = |most_lines: usize| {
            let mut job = LayoutJob::simple(
                self.body.to_owned(),
                Step::Finding.font(),
                palette.text,
                ui.available_width(),
            );
            job.wrap.max_rows = most_lines;
            ui.painter().layout_job(job)
        };
        let cut = body(MOST_LINES);
        let (words, length) = match (cut.elided, is_whole(ui, id)) {
            (false, _) => (cut, Length::Short),
            (true, false) => (cut, Length::Cut),
            (true, true) => (body(usize::MAX), Length::Whole),
        };
        ui.add(Label::new(words).show_tooltip_when_elided(false));
        length
    }

    fn buttons(&self, id: Id, length: Length, ui: &mut Ui) -> Option<FindingAnswer> {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = space::NEAR;
            let is_mended = self.repair.is_some_and(|words| {
                let response = button(ui, ButtonLook::Plain, words);
                response.clicked()
            });
            let show = button(ui, ButtonLook::Link, "Show")
                .accessible_name(format!("Show: {}", self.heading));
            self.more(id, length, ui);
            match (is_mended, show.clicked()) {
                (true, _) => Some(FindingAnswer::Repair),
                (false, true) => Some(FindingAnswer::Show),
                (false, false) => None,
            }
        })
        .inner
    }

    /// The link that shows the rest of a long text, or hides it again.
    fn more(&self, id: Id, length: Length, ui: &mut Ui) {
        let (label, is_whole) = match length {
            Length::Short => return,
            Length::Cut => ("More", false),
            Length::Whole => ("Less", true),
        };
        let link = button(ui, ButtonLook::Link, label)
            .accessible_name(format!("{label}: {}", self.heading));
        ui.ctx()
            .accesskit_node_builder(link.id, |node| node.set_expanded(is_whole));
        if link.clicked() {
            ui.data_mut(|data| data.insert_temp(id, !is_whole));
        }
    }
}

/// How much of a text is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Length {
    /// All of it; it is short.
    Short,
    /// Its beginning.
    Cut,
    /// All of it; it was asked for.
    Whole,
}

fn is_whole(ui: &Ui, id: Id) -> bool {
    ui.data(|data| data.get_temp(id).unwrap_or(false))
}

/// The weight as the first word of a spoken sentence.
fn spoken_word(severity: Severity) -> &'static str {
    match severity {
        Severity::Note => "Note",
        Severity::Caution => "Caution",
        Severity::Stop => "Stop",
    }
}
