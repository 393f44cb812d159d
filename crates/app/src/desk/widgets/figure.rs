//! An outcome number: label, large figure, unit, and a small line beneath.

use std::sync::Arc;

use eframe::egui::{
    Rangef, Response, Role, Sense, Stroke, TextFormat, Ui, WidgetInfo,
    text::{LayoutJob, TextWrapping},
    vec2,
};

use crate::desk::theme::{Palette, Step};

/// One outcome number.
#[derive(Clone, Copy, Debug)]
pub struct Figure<'a> {
    /// What it is.
    pub label: &'a str,
    /// The number, formatted.
    pub value: &'a str,
    /// Its unit; empty for m:ss.
    pub unit: &'a str,
    /// Small line beneath; may be empty.
    pub below: &'a str,
    /// The gesture in hand changes it: the figure is underlined for as long as it lasts.
    pub is_changing: bool,
}

impl Figure<'_> {
    /// Shows it over the width that is left, as one thing to a screen reader ("Drop time: 7:20").
    ///
    /// The response covers all of it, for an explanation on hover.
    pub fn show(&self, ui: &mut Ui) -> Response {
        let palette = Palette::of(ui);
        let width_px = ui.available_width();
        let lines = [
            words(self.label, Step::Body, palette),
            self.number(palette),
            words(self.below, Step::Small, palette),
        ]
        .map(|mut job| {
            job.wrap = TextWrapping::truncate_at_width(width_px);
            ui.fonts_mut(|fonts| fonts.layout_job(job))
        });
        let count = if self.below.is_empty() { 2 } else { 3 };
        let lines = &lines[..count];
        let wanted_px = lines.iter().map(|line| line.size().x).fold(0.0, f32::max);
        let height_px = lines.iter().map(|line| line.size().y).sum();
        let (rect, response) = ui.allocate_exact_size(vec2(wanted_px, height_px), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, self.spoken()));
        let mut corner = rect.min;
        for (index, line) in lines.iter().enumerate() {
            let bottom = corner.y + line.size().y;
            if index == 1 && self.is_changing {
                let under = Rangef::new(corner.x, corner.x + line.size().x);
                let stroke = Stroke::new(2.0, palette.accent);
                ui.painter().hline(under, bottom - 1.0, stroke);
            }
            ui.painter().galley(corner, Arc::clone(line), palette.text);
            corner.y = bottom;
        }
        response
    }

    fn number(&self, palette: &Palette) -> LayoutJob {
        let mut job = LayoutJob::default();
        job.append(
            self.value,
            0.0,
            TextFormat::simple(Step::Figure.font(), palette.text),
        );
        if !self.unit.is_empty() {
            let mut unit = TextFormat::simple(Step::Body.font(), palette.text2);
            unit.valign = eframe::egui::Align::BOTTOM;
            unit.line_height = Some(21.0);
            job.append(self.unit, 3.0, unit);
        }
        job
    }

    fn spoken(&self) -> String {
        let unit = if self.unit.is_empty() { "" } else { " " };
        format!("{}: {}{unit}{}", self.label, self.value, self.unit)
    }
}

fn words(words: &str, step: Step, palette: &Palette) -> LayoutJob {
    let format = TextFormat::simple(step.font(), palette.text2);
    LayoutJob::single_section(words.to_owned(), format)
}
