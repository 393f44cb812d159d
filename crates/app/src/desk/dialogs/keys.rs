//! All keys in one list that can be searched.

use eframe::egui::{Align, Context, Id, Label, Layout, ScrollArea, TextEdit, Ui, vec2};

use super::modal::{READING_PX, buttons, modal, scroll_height_px};
use crate::desk::{
    ask::Ask,
    commands::{Group, TABLE},
    theme::{Palette, Step, space},
    widgets::buttons::{ButtonLook, button},
};

/// Width of the column of keys, in points.
const KEYS_PX: f32 = 168.0;
/// Height of a row, in points.
const ROW_PX: f32 = 18.0;

/// Keys of a point, mark, finish or boundary that has the focus; they belong to no command.
const HANDLE_KEYS: [(&str, &str); 11] = [
    ("Tab, Shift+Tab", "Go to the next or previous point"),
    ("Left, right", "Earlier or later by 1 s"),
    ("Up, down", "Hotter or cooler by 1 °C"),
    ("Shift with an arrow", "Ten times as far"),
    (
        "Alt with an arrow",
        "A tenth as far; elsewhere left and right change the view",
    ),
    ("Page Up, Page Down", "Hotter or cooler by ten steps"),
    ("Home, End", "To the lowest or highest that is allowed"),
    ("Enter", "Type the exact time and temperature"),
    ("Delete", "Remove the selected points"),
    ("Escape", "Give up the drag, or select nothing"),
    ("Alt while dragging", "Move freely, without snapping"),
];

/// One line of the list.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Row {
    keys: String,
    label: String,
    hint: String,
}

/// Shows the keys.
pub(super) fn ui(asks: &mut Vec<Ask>, ui: &Ui) {
    let id = Id::unique("searched key");
    let mut searched = ui
        .data(|data| data.get_temp::<String>(id))
        .unwrap_or_default();
    modal(ui, "Keys", READING_PX, asks, |ui, opening, asks| {
        let field = TextEdit::singleline(&mut searched)
            .hint_text("Search")
            .desired_width(f32::INFINITY);
        opening.focus(&ui.add(field).accessible_name("Search the keys"));
        let scroll = ScrollArea::vertical()
            .max_height(scroll_height_px(ui))
            .auto_shrink([false, true]);
        scroll.show(ui, |ui| sections(ui, &searched));
        buttons(ui, |ui| {
            if button(ui, ButtonLook::Primary, "Close").clicked() {
                asks.push(Ask::CloseDialog);
            }
        });
    });
    ui.data_mut(|data| data.insert_temp(id, searched));
}

fn sections(ui: &mut Ui, searched: &str) {
    let mut is_empty = true;
    let groups = Group::ALL.map(|group| (group.label(), command_rows(ui.ctx(), group)));
    for (heading, rows) in groups.into_iter().chain([("At a handle", handle_rows())]) {
        let found: Vec<Row> = rows
            .into_iter()
            .filter(|row| matches(row, searched))
            .collect();
        if found.is_empty() {
            continue;
        }
        is_empty = false;
        ui.label(Step::Head.text(heading));
        for row in &found {
            line(ui, row);
        }
        ui.add_space(space::NEAR);
    }
    if is_empty {
        ui.label(Step::Body.text(format!("No key has to do with “{searched}”.")));
    }
}

fn line(ui: &mut Ui, row: &Row) {
    let palette = Palette::of(ui);
    let layout = Layout::left_to_right(Align::Center);
    ui.allocate_ui_with_layout(vec2(ui.available_width(), ROW_PX), layout, |ui| {
        ui.allocate_ui_with_layout(vec2(KEYS_PX, ROW_PX), layout, |ui| {
            ui.set_width(KEYS_PX);
            ui.label(Step::Strong.text(&row.keys).color(palette.text));
        });
        ui.label(Step::Body.text(&row.label).color(palette.text));
        ui.add(Label::new(Step::Small.text(&row.hint).color(palette.text2)).truncate());
    });
}

/// The commands of a group; keys of the same command stand in one row.
fn command_rows(ctx: &Context, group: Group) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    for entry in TABLE.iter().filter(|entry| entry.group == group) {
        let Some(key) = entry.key else { continue };
        let key = ctx.format_shortcut(&key);
        match rows.iter_mut().find(|row| row.label == entry.label) {
            Some(row) => row.keys = format!("{} or {key}", row.keys),
            None => rows.push(Row {
                keys: key,
                label: entry.label.to_owned(),
                hint: entry.hint.to_owned(),
            }),
        }
    }
    rows
}

fn handle_rows() -> Vec<Row> {
    let row = |(keys, label): (&str, &str)| Row {
        keys: keys.to_owned(),
        label: label.to_owned(),
        hint: String::new(),
    };
    HANDLE_KEYS.into_iter().map(row).collect()
}

/// Every searched word is found somewhere in the row.
fn matches(row: &Row, searched: &str) -> bool {
    let text = format!("{} {} {}", row.keys, row.label, row.hint).to_lowercase();
    searched
        .to_lowercase()
        .split_whitespace()
        .all(|word| text.contains(word))
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, clippy::missing_assert_message, reason = "tests")]
    use super::*;

    fn found(searched: &str) -> Vec<String> {
        let ctx = Context::default();
        let rows = Group::ALL
            .into_iter()
            .flat_map(|group| command_rows(&ctx, group));
        let rows = rows.chain(handle_rows());
        rows.filter(|row| matches(row, searched))
            .map(|row| row.label)
            .collect()
    }

    #[test]
    fn search_finds_by_words_in_any_order_and_case() {
        assert_eq!(found("SAVE another"), ["Save as…"]);
        assert_eq!(found("another save"), ["Save as…"]);
        assert!(found("kettle").is_empty());
    }

    #[test]
    fn every_command_has_one_row() {
        let mut labels = found("");
        let all = labels.len();
        labels.sort();
        labels.dedup();
        assert_eq!(labels.len(), all);
        for entry in TABLE {
            assert!(
                labels.iter().any(|label| label == entry.label),
                "{}",
                entry.label
            );
        }
    }
}
