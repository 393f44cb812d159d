//! Points from the clipboard: what was understood of them, and their use in place of the curve's points.

use super::{
    modal::{ASKING_PX, Opening, buttons, modal_at, paragraph},
    paste_form::PasteForm,
};
use crate::desk::{
    ask::Ask,
    model::Model,
    theme::{Palette, Step, space},
    widgets::{
        buttons::{ButtonLook, button},
        segmented::segmented,
        sign::sign,
    },
};
use chaffinch_craft::{
    Plan, Severity,
    units::{TempUnit, format_temp_field, format_time_field},
};
use chaffinch_shelf::table_text::{
    DecimalMark, Delimiter, PastedPoints, TimeFormat, TimeUnit, Understood,
};
use eframe::egui::{Align, Align2, Label, Layout, RichText, Ui, vec2};

/// Rows that the preview shows.
const PREVIEW_ROWS: usize = 6;
/// Widths of the preview's columns, in points: row, time, temperature.
const PREVIEW_WIDTHS_PX: [f32; 3] = [40.0, 96.0, 136.0];
/// Height of a row of the preview, in points.
const PREVIEW_ROW_PX: f32 = 16.0;
/// Units that a text may leave open, and their names.
const TEMP_UNITS: [TempUnit; 2] = [TempUnit::Celsius, TempUnit::Fahrenheit];
const TIME_UNITS: [(TimeUnit, &str); 2] = [
    (TimeUnit::Seconds, "seconds"),
    (TimeUnit::Minutes, "minutes"),
];

/// Shows the dialog, below the curve's end, so that the curve stays in sight with the preview over it.
pub(super) fn ui(model: &Model<'_>, form: &mut PasteForm, asks: &mut Vec<Ask>, ui: &Ui) {
    modal_at(
        ui,
        "Paste points",
        (ASKING_PX, Align2::RIGHT_BOTTOM),
        asks,
        |ui, opening, asks| match form.read() {
            Ok(pasted) => {
                let understood = pasted.understood.clone();
                preview(pasted, form.needs_unit(), ui);
                open_units(form, &understood, ui);
                use_or_leave(model.plan, form, opening, asks, ui);
            }
            Err(reason) => {
                refusal(
                    "The clipboard holds no table of points that can be read.",
                    reason,
                    ui,
                );
                leave(opening, asks, ui);
            }
        },
    );
}

fn preview(pasted: &PastedPoints, needs_unit: bool, ui: &mut Ui) {
    paragraph(
        ui,
        &understood_line(pasted.points.len(), &pasted.understood),
    );
    ui.add_space(space::TIGHT);
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = space::TIGHT;
        rows(pasted, needs_unit, ui);
    });
    ui.add_space(space::TIGHT);
}

/// The first rows as the text has them, so that they can be recognised.
fn rows(pasted: &PastedPoints, needs_unit: bool, ui: &mut Ui) {
    let palette = Palette::of(ui);
    let unit = pasted.understood.temp_unit;
    let doubt = if needs_unit { "?" } else { "" };
    let temp_head = format!("Temperature {}{doubt}", unit.symbol());
    let heads = ["Row", "Time", &temp_head].map(str::to_owned);
    preview_row(
        heads.map(|head| Step::Small.text(head).color(palette.text2)),
        ui,
    );
    for (point, number) in pasted.points.iter().take(PREVIEW_ROWS).zip(1..) {
        let texts = [
            format!("{number}"),
            format_time_field(point.time_s),
            format_temp_field(point.temp_c, unit),
        ];
        preview_row(
            texts.map(|text| Step::Body.text(text).color(palette.text)),
            ui,
        );
    }
    let rest = pasted.points.len().saturating_sub(PREVIEW_ROWS);
    if rest > 0 {
        ui.label(
            Step::Small
                .text(format!("and {rest} more"))
                .color(palette.text3),
        );
    }
}

/// The choices of units that the text leaves open.
fn open_units(form: &mut PasteForm, understood: &Understood, ui: &mut Ui) {
    if !understood.is_time_stated {
        let labels = TIME_UNITS.map(|(_, name)| name);
        let chosen = TIME_UNITS
            .iter()
            .position(|(unit, _)| *unit == form.unstated().time_unit);
        if let Some(picked) = unit_row("The times are in", &labels, chosen, ui) {
            form.choose_time_unit(TIME_UNITS[picked].0);
        }
    }
    if !understood.is_temp_unit_stated {
        let labels = TEMP_UNITS.map(TempUnit::symbol);
        let chosen = TEMP_UNITS
            .iter()
            .position(|unit| !form.needs_unit() && *unit == form.unstated().temp_unit);
        if let Some(picked) = unit_row("The temperatures are in", &labels, chosen, ui) {
            form.choose_temp_unit(TEMP_UNITS[picked]);
        }
    }
}

fn unit_row(label: &str, labels: &[&str], chosen: Option<usize>, ui: &mut Ui) -> Option<usize> {
    ui.horizontal(|ui| {
        ui.label(Step::Body.text(label).color(Palette::of(ui).text));
        segmented(ui, label, labels, chosen)
    })
    .inner
}

fn preview_row(texts: [RichText; 3], ui: &mut Ui) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        for (text, width_px) in texts.into_iter().zip(PREVIEW_WIDTHS_PX) {
            let size = vec2(width_px, PREVIEW_ROW_PX);
            ui.allocate_ui_with_layout(size, Layout::right_to_left(Align::Center), |ui| {
                ui.label(text)
            });
        }
    });
}

fn understood_line(rows: usize, understood: &Understood) -> String {
    let between = match understood.delimiter {
        Delimiter::Tab => "tabs",
        Delimiter::Semicolon => "semicolons",
        Delimiter::Comma => "commas",
    };
    let mark = match understood.decimal_mark {
        Some(DecimalMark::Dot) => ", a dot before decimals",
        Some(DecimalMark::Comma) => ", a comma before decimals",
        None => "",
    };
    let header = if understood.has_header {
        ", names in the first row"
    } else {
        ""
    };
    let points = if rows == 1 { "point" } else { "points" };
    format!(
        "{rows} {points}, with {between} between columns{mark}{header}.{}{}",
        stated_units(understood),
        left_out(&understood.left_out)
    )
}

/// Which columns don't become part of a point; many are counted.
fn left_out(columns: &[String]) -> String {
    match columns {
        [] => String::new(),
        [only] => format!(" Left out: {}.", shortened(only)),
        [first, second] => format!(" Left out: {} and {}.", shortened(first), shortened(second)),
        [first, others @ ..] => format!(
            " Left out: {} and {} more columns.",
            shortened(first),
            others.len()
        ),
    }
}

/// A header's cell may be as long as the text.
fn shortened(name: &str) -> String {
    const MOST_CHARS: usize = 32;
    match name.char_indices().nth(MOST_CHARS) {
        Some((end, _)) => format!("{}…", &name[..end]),
        None => name.to_owned(),
    }
}

/// The units that the text states itself; the others are asked for.
fn stated_units(understood: &Understood) -> String {
    let time = match understood.time {
        TimeFormat::Seconds => "seconds",
        TimeFormat::Minutes => "minutes",
        TimeFormat::Clock => "m:ss",
    };
    let unit = understood.temp_unit.symbol();
    match (understood.is_time_stated, understood.is_temp_unit_stated) {
        (true, true) => format!(" Time in {time}; temperature in {unit}."),
        (true, false) => format!(" Time in {time}; the unit of temperature isn't stated."),
        (false, true) => format!(" Temperature in {unit}; the unit of time isn't stated."),
        (false, false) => " The units aren't stated.".to_owned(),
    }
}

fn use_or_leave(plan: &Plan, form: &PasteForm, opening: Opening, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let edit = form.edit(plan);
    match &edit {
        Err(reason) => refusal(
            "These points can't take the place of the curve's.",
            reason,
            ui,
        ),
        Ok(_) if form.needs_unit() => {
            let ink = Palette::of(ui).caution_text;
            let words = "Choose °C or °F first: the table doesn't say which.";
            ui.add(Label::new(Step::Strong.text(words).color(ink)).wrap());
        }
        Ok(_) => paragraph(
            ui,
            "They take the place of all points of the curve, as one step that can be undone. \
             A point at the same time as before keeps its lock and the kind of its stretch.",
        ),
    }
    let edit = edit.ok().filter(|_| !form.needs_unit());
    buttons(ui, |ui| {
        let apply = ui
            .add_enabled_ui(edit.is_some(), |ui| {
                button(ui, ButtonLook::Primary, "Replace all points")
            })
            .inner;
        let cancel = button(ui, ButtonLook::Plain, "Cancel");
        opening.focus(if edit.is_some() { &apply } else { &cancel });
        if cancel.clicked() {
            asks.push(Ask::CloseDialog);
        }
        if let Some(edit) = edit.filter(|_| apply.clicked()) {
            asks.extend([Ask::Apply(edit), Ask::CloseDialog]);
        }
    });
}

fn leave(opening: Opening, asks: &mut Vec<Ask>, ui: &mut Ui) {
    buttons(ui, |ui| {
        let close = button(ui, ButtonLook::Primary, "Close");
        opening.focus(&close);
        if close.clicked() {
            asks.push(Ask::CloseDialog);
        }
    });
}

fn refusal(heading: &str, reason: &str, ui: &mut Ui) {
    let palette = Palette::of(ui);
    ui.horizontal_top(|ui| {
        sign(ui, Severity::Stop, palette.raised);
        ui.vertical(|ui| {
            ui.add(Label::new(Step::Strong.text(heading).color(palette.stop_text)).wrap());
            let words = crate::desk::drawer::sentence(reason);
            ui.add(
                Label::new(Step::Body.text(words).color(palette.text))
                    .wrap()
                    .selectable(true),
            );
        });
    });
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::missing_assert_message,
        reason = "a test may stop at the first surprise"
    )]
    use super::*;

    #[test]
    fn preview_says_how_the_table_was_read_and_what_it_leaves_open() {
        let line = |text: &str| {
            let form = PasteForm::new(text.to_owned(), TempUnit::Celsius);
            let pasted = form.read().unwrap();
            understood_line(pasted.points.len(), &pasted.understood)
        };
        let open = line("0;105,5\n480;214");
        assert!(
            open.contains("semicolons") && open.contains("a comma before decimals"),
            "{open}"
        );
        assert!(open.contains("The units aren't stated."), "{open}");
        let stated = line("Time (m:ss)\tTemperature (°F)\n0:00\t221\n8:00\t417.2");
        assert!(
            stated.contains("Time in m:ss; temperature in °F."),
            "{stated}"
        );
        assert!(stated.contains("names in the first row"), "{stated}");
    }
}
