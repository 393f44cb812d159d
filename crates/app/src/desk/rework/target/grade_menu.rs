//! The altitude grades of producing countries as presets for an altitude.

use chaffinch_craft::{
    carry::{ALTITUDE_GRADES, AltitudeGrade, GRADES_TEXT},
    units::format_number,
};
use eframe::egui::{Align, Button, Label, Layout, Popup, Response, ScrollArea, Ui};

use crate::desk::theme::{Palette, Step, space};

/// Width of the menu, in points.
const WIDTH_PX: f32 = 272.0;
/// Room that is kept above and below the list in a low window, in points.
const AROUND_PX: f32 = 160.0;

/// Lists the grades below `head`, a button, when it is pressed; gives the one that is picked.
pub(in crate::desk) fn grade_menu(head: &Response) -> Option<&'static AltitudeGrade> {
    let height_px = (head.ctx.content_rect().height() - AROUND_PX).max(120.0);
    let menu = Popup::menu(head).gap(space::TIGHT).show(|ui| {
        ui.set_width(WIDTH_PX);
        let ink = Palette::of(ui).text2;
        // A menu stretches its lines to both edges, which words don't need.
        ui.with_layout(Layout::top_down(Align::Min), |ui| {
            ui.add(Label::new(Step::Small.text(GRADES_TEXT).color(ink)).wrap());
        });
        ScrollArea::vertical()
            .max_height(height_px)
            .show(ui, rows)
            .inner
    });
    menu.and_then(|menu| menu.inner)
}

fn rows(ui: &mut Ui) -> Option<&'static AltitudeGrade> {
    let mut picked = None;
    let mut country = "";
    for grade in &ALTITUDE_GRADES {
        if country != grade.country {
            country = grade.country;
            ui.separator();
            let ink = Palette::of(ui).text2;
            ui.label(Step::Small.text(country).color(ink));
        }
        let range = Step::Small.text(grade.range_words());
        let row =
            Button::new(Step::Body.text(grade.name)).right_text(range.color(Palette::of(ui).text2));
        let spoken = format!("{country}, {}, {}", grade.name, grade.range_words());
        let response = ui.add(row).accessible_name(&spoken);
        if response.on_hover_text(tip(grade)).clicked() {
            picked = Some(grade);
        }
    }
    if picked.is_some() {
        ui.close();
    }
    picked
}

/// What is set, and where the grade's figures come from.
fn tip(grade: &AltitudeGrade) -> String {
    let source = grade.source;
    match grade.altitude_m() {
        Some(altitude_m) => format!(
            "Sets {} m, the middle of the grade or 100 m inside its only end. Source: {source}.",
            format_number(altitude_m, 0)
        ),
        None => format!("Names no altitude. Source: {source}."),
    }
}
