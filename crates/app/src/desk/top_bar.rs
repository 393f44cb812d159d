//! The one line above everything: plan, undo, units, theme, files, help.

use eframe::egui::{
    Align, Button, Color32, CornerRadius, CursorIcon, Id, Label, Layout, Popup, Response, Role,
    Sense, Shape, Stroke, StrokeKind, ThemePreference, Ui, UiBuilder, WidgetInfo,
    epaint::CubicBezierShape,
    pos2,
    text::{LayoutJob, TextWrapping},
    vec2,
};

use chaffinch_craft::{Edit, units::TempUnit};
use std::path::{Path, PathBuf};

use super::{
    ask::Ask,
    commands::Command,
    layout::NARROW_WINDOW_PX,
    model::Model,
    paint::icons::Icon,
    prefs::ThemeChoice,
    theme::{Palette, Step, radius, space},
    widgets::{
        buttons::{ButtonLook, button, icon_button},
        focus,
        segmented::segmented,
        typed_field::TypedField,
    },
};

/// Narrower than this, the theme is left to its key.
const THEME_SHOWN_PX: f32 = 1000.0;
/// Themes to choose from.
const THEMES: [(ThemeChoice, &str); 3] = [
    (ThemeChoice::System, "System"),
    (ThemeChoice::Light, "Light"),
    (ThemeChoice::Dark, "Dark"),
];
/// Widest title, in points.
const TITLE_PX: f32 = 260.0;
/// Side of the program's mark, in points.
const MARK_PX: f32 = 24.0;

/// Whether the plan is in its file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SavedState {
    /// It is.
    Saved {
        /// Local time of the last save as "09:41"; empty if it wasn't saved since it was opened.
        at: String,
    },
    /// It has changes that aren't.
    Changed,
    /// It has no file.
    NotSavedYet,
}

impl SavedState {
    fn words(&self) -> String {
        match self {
            Self::Saved { at } if at.is_empty() => "Saved".to_owned(),
            Self::Saved { at } => format!("Saved {at}"),
            Self::Changed => "Changed".to_owned(),
            Self::NotSavedYet => "Not saved yet".to_owned(),
        }
    }
}

/// Lays the bar out in `ui`, which is a horizontal strip of the window's width.
pub fn ui(model: &Model<'_>, saved: &SavedState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let window_px = ui.ctx().content_rect().width();
    ui.horizontal_centered(|ui| {
        ui.spacing_mut().item_spacing.x = space::NEAR;
        let right_px = remembered_px(ui, "right");
        let room_px = ui.available_width() - right_px - space::WIDE;
        left_part(model, saved, room_px, asks, ui);
        // Buttons shorten their words to the width that is left; here they must be measured whole.
        let start = ui.cursor().left().max(ui.max_rect().right() - right_px);
        let place = ui
            .max_rect()
            .with_min_x(start)
            .with_max_x(start + window_px);
        let layout = Layout::left_to_right(Align::Center);
        let builder = UiBuilder::new().max_rect(place).layout(layout);
        let right = ui.scope_builder(builder, |ui| right_part(model, window_px, asks, ui));
        remember_px(ui, "right", right.response.rect.width());
    });
}

fn left_part(
    model: &Model<'_>,
    saved: &SavedState,
    room_px: f32,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let is_wide = ui.ctx().content_rect().width() >= NARROW_WINDOW_PX;
    let left = ui.cursor().left();
    app_mark(ui);
    // What stands right of the title is as wide as it was in the frame before.
    let beside_px = remembered_px(ui, "beside");
    let title_px =
        (room_px - (ui.cursor().left() - left) - beside_px - space::NEAR).clamp(72.0, TITLE_PX);
    title(model, title_px, asks, ui);
    let beside = ui.cursor().left();
    saved_state(saved, model.file, ui);
    steps(model, asks, ui);
    remember_px(ui, "beside", ui.cursor().left() - beside);
    if is_wide && let Some(last) = model.history.past().last() {
        let last_px = (room_px - (ui.cursor().left() - left)).max(0.0);
        let words = Step::Body.text(last).color(Palette::of(ui).text2);
        ui.allocate_ui_with_layout(
            vec2(last_px, space::CONTROL_HEIGHT),
            Layout::left_to_right(Align::Center),
            |ui| ui.add(Label::new(words).truncate()),
        );
    }
}

/// The program's mark, as `assets/icon/chaffinch.svg` draws it. It keeps its colours in both themes.
fn app_mark(ui: &mut Ui) {
    let (rect, response) = ui.allocate_exact_size(vec2(MARK_PX, MARK_PX), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, "Chaffinch"));
    let (ink, chalk, yolk) = (
        Palette::LIGHT.chip,
        Palette::LIGHT.on_chip,
        Palette::LIGHT.select,
    );
    let scale = MARK_PX / 256.0;
    let at = |(x, y): (f32, f32)| rect.min + vec2(x, y) * scale;
    let painter = ui.painter();
    let edge = Stroke::new(1.0, Palette::of(ui).hairline);
    painter.rect(
        rect,
        CornerRadius::same(radius::BUTTON),
        ink,
        edge,
        StrokeKind::Outside,
    );
    let stroke = Stroke::new(18.0 * scale, chalk);
    for part in [
        [(46.0, 206.0), (58.0, 146.0), (94.0, 112.0), (136.0, 98.0)],
        [(136.0, 98.0), (178.0, 84.0), (194.0, 78.0), (212.0, 58.0)],
    ] {
        let part =
            CubicBezierShape::from_points_stroke(part.map(at), false, Color32::TRANSPARENT, stroke);
        painter.add(Shape::CubicBezier(part));
    }
    for (radius, colour) in [(36.0, ink), (26.0, yolk), (8.0, ink)] {
        painter.circle_filled(at((136.0, 98.0)), radius * scale, colour);
    }
}

/// Where the title is between a button and a field.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum TitleEdit {
    /// It was clicked in the frame before.
    Opening,
    /// It is a field.
    Open,
}

/// The title; a click, Enter or Space turns it into a field.
fn title(model: &Model<'_>, width_px: f32, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let id = Id::unique("title is edited");
    let edit = ui
        .data(|data| data.get_temp::<Option<TitleEdit>>(id))
        .flatten();
    let next = match edit {
        Some(edit) => title_field(model, edit, width_px, asks, ui),
        None => title_button(&model.plan.title, width_px, ui)
            .clicked()
            .then_some(TitleEdit::Opening),
    };
    ui.data_mut(|data| data.insert_temp(id, next));
}

fn title_field(
    model: &Model<'_>,
    edit: TitleEdit,
    width_px: f32,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) -> Option<TitleEdit> {
    let size = vec2(width_px, space::CONTROL_HEIGHT);
    let place = ui.allocate_ui_with_layout(size, Layout::top_down(Align::Min), |ui| {
        let field = ui.make_persistent_id(Id::unique("plan title"));
        // In the frame in which the field appears, so that it selects its text.
        if edit == TitleEdit::Opening {
            ui.memory_mut(|memory| memory.request_focus(field));
        }
        let typed = TypedField::new("plan title", "Title of the plan", &model.plan.title);
        // Any text is taken here; the plan itself says what it refuses.
        let parse = |text: &str| Ok::<_, String>(text.trim().to_owned());
        if let Some(text) = typed.words().width_px(width_px).show(ui, &parse) {
            asks.push(Ask::Apply(Edit::SetTitle(text)));
        }
        ui.memory(|memory| memory.has_focus(field))
            .then_some(TitleEdit::Open)
    });
    place.inner
}

fn title_button(title: &str, width_px: f32, ui: &mut Ui) -> Response {
    let palette = Palette::of(ui);
    let shown = if title.is_empty() {
        "Untitled plan"
    } else {
        title
    };
    let mut job = LayoutJob::simple_singleline(shown.to_owned(), Step::Title.font(), palette.text);
    job.wrap = TextWrapping::truncate_at_width(width_px);
    let words = ui.painter().layout_job(job);
    let size = vec2(words.size().x, space::CONTROL_HEIGHT);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Title: {shown}")));
    let corner = pos2(rect.left(), rect.center().y - words.size().y / 2.0);
    if response.hovered() {
        let foot = rect.center().y + words.size().y / 2.0;
        ui.painter()
            .hline(rect.x_range(), foot, Stroke::new(1.0, palette.control));
    }
    ui.painter().galley(corner, words, palette.text);
    focus::ring(ui, &response, radius::FIELD);
    response
        .on_hover_cursor(CursorIcon::Text)
        .on_hover_text("Change the title")
}

fn saved_state(saved: &SavedState, file: Option<&Path>, ui: &mut Ui) {
    let palette = Palette::of(ui);
    let (rect, _) = ui.allocate_exact_size(vec2(8.0, 8.0), Sense::hover());
    let (center, radius_px) = (rect.center(), 3.5);
    if matches!(saved, SavedState::Saved { .. }) {
        ui.painter()
            .circle_filled(center, radius_px, palette.accent);
    } else {
        ui.painter()
            .circle_stroke(center, radius_px, Stroke::new(1.5, palette.caution));
    }
    let words = ui.label(Step::Body.text(saved.words()).color(palette.text2));
    words.on_hover_text(match file {
        Some(file) => file.display().to_string(),
        None => "The plan has no file yet".to_owned(),
    });
}

fn steps(model: &Model<'_>, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let (past, future) = (model.history.past().last(), model.history.future().next());
    let steps = [
        (Icon::Undo, "Undo", Command::Undo, past),
        (Icon::Redo, "Redo", Command::Redo, future),
    ];
    ui.add_space(space::TIGHT);
    for (icon, name, command, step) in steps {
        let hint = match (step, &command.entry().key) {
            (Some(step), Some(key)) => {
                format!("{name}: {step} ({})", ui.ctx().format_shortcut(key))
            }
            (Some(step), None) => format!("{name}: {step}"),
            (None, _) => format!("{name}: there is no step"),
        };
        let response = ui
            .add_enabled_ui(step.is_some(), |ui| icon_button(ui, icon, name, ""))
            .inner;
        if response
            .on_hover_text(&hint)
            .on_disabled_hover_text(&hint)
            .clicked()
        {
            asks.push(Ask::Do(command));
        }
    }
}

fn right_part(model: &Model<'_>, window_px: f32, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let unit = usize::from(model.unit == TempUnit::Fahrenheit);
    if let Some(picked) = segmented(ui, "Units", &["°C", "°F"], unit) {
        asks.push(Ask::SetUnit(if picked == 1 {
            TempUnit::Fahrenheit
        } else {
            TempUnit::Celsius
        }));
    }
    if window_px >= THEME_SHOWN_PX {
        let shown = match ui.ctx().options(|options| options.theme_preference) {
            ThemePreference::System => ThemeChoice::System,
            ThemePreference::Light => ThemeChoice::Light,
            ThemePreference::Dark => ThemeChoice::Dark,
        };
        let index = THEMES.iter().position(|(choice, _)| *choice == shown);
        let labels = THEMES.map(|(_, label)| label);
        if let Some(picked) = segmented(ui, "Theme", &labels, index) {
            asks.push(Ask::SetTheme(THEMES[picked].0));
        }
    }
    ui.add_space(space::TIGHT);
    reworks(window_px, asks, ui);
    plan_menu(model.recent, asks, ui);
    command_button(Command::Save, "Save", asks, ui);
    export_menu(asks, ui);
    ui.add_space(space::TIGHT);
    command_link(Command::Cautions, "Cautions", asks, ui);
    command_link(Command::Keys, "Keys", asks, ui);
}

fn command_button(command: Command, label: &str, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let response = button(ui, ButtonLook::Plain, label).on_hover_text(command.tip(ui.ctx()));
    if response.clicked() {
        asks.push(Ask::Do(command));
    }
}

fn command_link(command: Command, label: &str, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let response = button(ui, ButtonLook::Link, label).on_hover_text(command.tip(ui.ctx()));
    if response.clicked() {
        asks.push(Ask::Do(command));
    }
}

/// What reworks the whole plan: two buttons, or where the window is narrow a menu.
fn reworks(window_px: f32, asks: &mut Vec<Ask>, ui: &mut Ui) {
    if NARROW_WINDOW_PX <= window_px {
        command_button(Command::CarryOver, "Carry over", asks, ui);
        command_button(Command::ShapeByTargets, "Shape", asks, ui);
        return;
    }
    let head = button(ui, ButtonLook::Plain, "Rework").on_hover_text(
        "Carry the plan over to another coffee, machine or room, or shape it by targets",
    );
    Popup::menu(&head).gap(space::TIGHT).show(|ui| {
        menu_command(Command::CarryOver, asks, ui);
        menu_command(Command::ShapeByTargets, asks, ui);
    });
}

fn plan_menu(recent: &[PathBuf], asks: &mut Vec<Ask>, ui: &mut Ui) {
    let head = button(ui, ButtonLook::Plain, "Plan")
        .on_hover_text("New plan, open, take up a recent one, save or export");
    let missing = Id::unique("missing recent files");
    if head.clicked() {
        // Asked once when the menu opens: a disk may be slow.
        let found: Vec<bool> = recent.iter().map(|file| !file.exists()).collect();
        ui.data_mut(|data| data.insert_temp(missing, found));
    }
    Popup::menu(&head).gap(space::TIGHT).show(|ui| {
        for command in [Command::New, Command::Open] {
            menu_command(command, asks, ui);
        }
        if !recent.is_empty() {
            ui.separator();
            let words = Step::Small.text("Recent files");
            ui.label(words.color(Palette::of(ui).text2));
            let missing = ui
                .data(|data| data.get_temp::<Vec<bool>>(missing))
                .unwrap_or_default();
            for (index, file) in recent.iter().enumerate() {
                let is_missing = missing.get(index).copied().unwrap_or(false);
                recent_file(file, is_missing, asks, ui);
            }
        }
        ui.separator();
        for command in [Command::SaveAs, Command::ExportCsv] {
            menu_command(command, asks, ui);
        }
        if !recent.is_empty() {
            ui.separator();
            if ui.button("Clear recent files").clicked() {
                asks.push(Ask::ClearRecent);
            }
        }
    });
}

fn recent_file(file: &Path, is_missing: bool, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let name = file
        .file_name()
        .unwrap_or(file.as_os_str())
        .to_string_lossy();
    let mut row = Button::new(Step::Body.text(name));
    if is_missing {
        row = row.right_text(Step::Small.text("missing").color(Palette::of(ui).stop_text));
    }
    let path = file.display().to_string();
    let response = ui.add_enabled(!is_missing, row).accessible_name(&path);
    if response
        .on_hover_text(&path)
        .on_disabled_hover_text(&path)
        .clicked()
    {
        asks.push(Ask::OpenFile(file.to_owned()));
    }
}

fn export_menu(asks: &mut Vec<Ask>, ui: &mut Ui) {
    let head = button(ui, ButtonLook::Primary, "Export…")
        .on_hover_text("Write the curve for a machine or another program");
    Popup::menu(&head).gap(space::TIGHT).show(|ui| {
        for (command, label) in [
            (Command::ExportJson, "Neutral JSON…"),
            (Command::ExportCsv, "Samples as CSV…"),
        ] {
            menu_row(command, label, asks, ui);
        }
    });
}

fn menu_command(command: Command, asks: &mut Vec<Ask>, ui: &mut Ui) {
    menu_row(command, command.entry().label, asks, ui);
}

fn menu_row(command: Command, label: &str, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let entry = command.entry();
    let mut row = Button::new(Step::Body.text(label));
    if let Some(key) = &entry.key {
        let key = ui.ctx().format_shortcut(key);
        row = row.right_text(Step::Small.text(key).color(Palette::of(ui).text2));
    }
    if ui.add(row).on_hover_text(entry.hint).clicked() {
        asks.push(Ask::Do(command));
    }
}

/// A width that was measured in the frame before, in points.
fn remembered_px(ui: &Ui, part: &str) -> f32 {
    let id = Id::unique(("top bar", part));
    ui.data(|data| data.get_temp(id)).unwrap_or(0.0)
}

/// Remembers a width; asks for another pass when it isn't what this one was laid out for.
fn remember_px(ui: &Ui, part: &str, width_px: f32) {
    let id = Id::unique(("top bar", part));
    if (remembered_px(ui, part) - width_px).abs() > 0.5 {
        ui.data_mut(|data| data.insert_temp(id, width_px));
        ui.ctx().request_discard("top bar changed its width");
    }
}
