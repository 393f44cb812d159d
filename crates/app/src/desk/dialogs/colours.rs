//! A roast colour that was measured: a small form, and the readings of the notebook below it.

use chaffinch_craft::{ColourCalibration, ColourSample, ColourScale, units};
use eframe::egui::{Label, ScrollArea, TextEdit, Ui, vec2};

use super::{
    colour_form::ColourForm,
    modal::{Opening, READING_PX, buttons, modal, paragraph, scroll_height_px},
};
use crate::desk::{
    ask::Ask,
    model::Model,
    paint::icons::Icon,
    theme::{Palette, Step, space},
    widgets::{
        buttons::{ButtonLook, button, icon_button},
        choice::choice,
        segmented::segmented,
    },
};

/// Width of the words before a field, of a number's field, of the day's, and of the choice of a finish, in points.
const LABEL_PX: f32 = 88.0;
const NUMBER_PX: f32 = 56.0;
const DAY_PX: f32 = 104.0;
const FINISH_PX: f32 = 180.0;
/// Height that the form takes of the dialog, in points: what is left is for the readings.
const FORM_PX: f32 = 230.0;
/// Least height for the readings, in points.
const LEAST_LIST_PX: f32 = 72.0;
/// Room at the right of a reading for the button that removes it, in points.
const REMOVE_PX: f32 = 48.0;

pub(super) fn ui(model: &Model<'_>, form: &mut ColourForm, asks: &mut Vec<Ask>, ui: &Ui) {
    let colours = ColourCalibration::of(model.notebook.colours());
    modal(ui, "Roast colour", READING_PX, asks, |ui, opening, asks| {
        paragraph(
            ui,
            "Write down what you measured. The two scales are never turned into one another, and beans and grounds are kept apart.",
        );
        fields(model, form, opening, ui);
        let reading = form.reading(model);
        verdict_line(model, form, reading.as_ref().err(), ui);
        let record = ui
            .add_enabled_ui(reading.is_ok(), |ui| {
                button(ui, ButtonLook::Primary, "Record")
            })
            .inner;
        if let (true, Ok(reading)) = (record.clicked(), reading) {
            asks.push(Ask::RecordColour(reading));
            form.clear();
        }
        ui.separator();
        list(model, &colours, asks, ui);
        buttons(ui, |ui| {
            if button(ui, ButtonLook::Plain, "Close").clicked() {
                asks.push(Ask::CloseDialog);
            }
        });
    });
}

fn fields(model: &Model<'_>, form: &mut ColourForm, opening: Opening, ui: &mut Ui) {
    ui.spacing_mut().item_spacing.y = space::TIGHT;
    labelled("Dropped at", ui, |ui| {
        let finishes = model.plan.finishes.finishes();
        let names: Vec<&str> = finishes.iter().map(|finish| finish.name.as_str()).collect();
        let chosen = finishes.iter().position(|finish| finish.id == form.finish);
        let chosen = chosen.unwrap_or(names.len());
        if let Some(picked) = choice(ui, "Finish of the reading", FINISH_PX, &names, chosen) {
            form.finish = finishes[picked].id;
        }
    });
    labelled("Measured on", ui, |ui| {
        let labels = ColourSample::ALL.map(ColourSample::words);
        let chosen = ColourSample::ALL.iter().position(|it| *it == form.sample);
        if let Some(picked) = segmented(ui, "Measured on", &labels, chosen) {
            form.sample = ColourSample::ALL[picked];
        }
    });
    labelled("Scale", ui, |ui| {
        let labels = ColourScale::ALL.map(ColourScale::label);
        let chosen = ColourScale::ALL.iter().position(|it| *it == form.scale);
        if let Some(picked) = segmented(ui, "Scale of the colour", &labels, chosen) {
            form.scale = ColourScale::ALL[picked];
        }
    });
    labelled("Colour", ui, |ui| match form.scale {
        ColourScale::Lab => {
            let names = ["L*", "a*", "b*"].into_iter();
            let fields = names.zip(&mut form.lab);
            let shown = fields.map(|(name, text)| field(name, text, NUMBER_PX, ui));
            let shown: Vec<_> = shown.collect();
            if let Some(first) = shown.first() {
                opening.focus(first);
            }
        }
        ColourScale::Disc => {
            opening.focus(&field("disc", &mut form.disc, NUMBER_PX, ui));
            small("25 darkest to 95 lightest", ui);
        }
    });
    labelled("Day", ui, |ui| {
        field("", &mut form.day, DAY_PX, ui).accessible_name("Day of the reading");
        small("year-month-day; may be left out", ui);
    });
}

fn labelled(label: &str, ui: &mut Ui, add_field: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        ui.set_min_height(space::CONTROL_HEIGHT);
        let words = Label::new(Step::Body.text(label).color(Palette::of(ui).text2));
        ui.allocate_ui(vec2(LABEL_PX, space::CONTROL_HEIGHT), |ui| {
            ui.set_min_width(LABEL_PX);
            ui.add(words);
        });
        add_field(ui);
    });
}

fn field(name: &str, text: &mut String, width_px: f32, ui: &mut Ui) -> eframe::egui::Response {
    if !name.is_empty() {
        small(name, ui);
    }
    ui.add(TextEdit::singleline(text).desired_width(width_px))
        .accessible_name(format!("Colour {name}"))
}

fn small(words: &str, ui: &mut Ui) {
    ui.label(Step::Small.text(words).color(Palette::of(ui).text2));
}

/// What is wrong with the form, once something was typed; else what the reading will stand for.
fn verdict_line(model: &Model<'_>, form: &ColourForm, wrong: Option<&String>, ui: &mut Ui) {
    let palette = Palette::of(ui);
    let forecast = model.outlook.finishes.iter();
    let mut forecast = forecast.filter(|forecast| forecast.id == form.finish);
    let drop = forecast.find_map(|forecast| forecast.dropped());
    let (words, ink) = match (wrong, drop) {
        (Some(wrong), Some(_)) if !form.is_blank() => (wrong.clone(), palette.stop_text),
        (_, Some(drop)) => (
            format!(
                "Kept with the forecast dry-matter loss of {} at this finish.",
                units::format_share(drop.dry_loss)
            ),
            palette.text2,
        ),
        (_, None) => (
            "There is no forecast for this finish, so no reading can be kept with it.".to_owned(),
            palette.stop_text,
        ),
    };
    ui.add(Label::new(Step::Small.text(words).color(ink)).wrap());
}

/// The readings, latest first, each with how far it lies off the line.
fn list(model: &Model<'_>, colours: &ColourCalibration, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let readings = model.notebook.colours().all();
    for sentence in colours.sentences() {
        small_wrapped(&sentence, ui);
    }
    if let Some(trouble) = model.notebook.trouble() {
        small_wrapped(trouble, ui);
    }
    let height_px = (scroll_height_px(ui) - FORM_PX).max(LEAST_LIST_PX);
    let scroll = ScrollArea::vertical()
        .id_salt("colour readings")
        .max_height(height_px);
    scroll.show(ui, |ui| {
        for (index, reading) in readings.iter().enumerate().rev() {
            let words = reading.words(model.unit);
            let off = colours.miss(reading).map_or_else(String::new, |miss| {
                let name = reading.colour.scale().difference_name();
                format!(" ({} {name} off the line)", units::format_number(miss, 1))
            });
            ui.horizontal(|ui| {
                let room = vec2(ui.available_width() - REMOVE_PX, space::CONTROL_HEIGHT);
                ui.allocate_ui(room, |ui| {
                    ui.set_min_width(room.x);
                    let line = Step::Body.text(format!("{words}{off}"));
                    ui.add(Label::new(line.color(Palette::of(ui).text)).wrap());
                });
                let name = format!("Remove reading {}", index + 1);
                if icon_button(ui, Icon::Cross, &name, "").clicked() {
                    asks.push(Ask::ForgetColour(index));
                }
            });
        }
    });
}

fn small_wrapped(words: &str, ui: &mut Ui) {
    let ink = Palette::of(ui).text2;
    ui.add(Label::new(Step::Small.text(words).color(ink)).wrap());
}
