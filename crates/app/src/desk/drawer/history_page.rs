//! The steps that were made and those that can be made again; a click goes there.

use super::tools::{caption, command_button};
use crate::desk::{
    ask::Ask,
    commands::Command,
    model::Model,
    theme::{Palette, Step, radius, space},
    widgets::focus,
};
use chaffinch_craft::MAX_STEPS;
use eframe::egui::{CursorIcon, Role, ScrollArea, Sense, Ui, WidgetInfo, pos2, vec2};

const ROW_PX: f32 = 22.0;
/// Where the words of a step begin, in points.
const WORDS_PX: f32 = 56.0;

/// Undo, redo and where the plan stands.
pub(super) fn tools(model: &Model<'_>, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let (past, future) = (model.history.past().len(), model.history.future().len());
    command_button(Command::Undo, "Undo step", past > 0, asks, ui);
    command_button(Command::Redo, "Redo step", future > 0, asks, ui);
    ui.add_space(space::NEAR);
    caption(&format!("Step {past} of {}", past + future), ui);
}

/// Shows the list over the place that is left.
pub(super) fn ui(model: &Model<'_>, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let now = model.history.past().len();
    let origin = if now < MAX_STEPS {
        "As opened"
    } else {
        "Oldest state that is kept"
    };
    let steps = std::iter::once(origin)
        .chain(model.history.past())
        .chain(model.history.future());
    let steps: Vec<&str> = steps.collect();
    let place = ui.scope_id().with("step shown last");
    let was = ui.data(|data| data.get_temp::<usize>(place));
    ui.data_mut(|data| data.insert_temp(place, now));
    ui.spacing_mut().item_spacing.y = 0.0;
    let mut area = ScrollArea::vertical()
        .id_salt("history")
        .auto_shrink([false, false]);
    if was != Some(now) {
        // Bring the step into view that the plan stands at, with one before it.
        area = area.vertical_scroll_offset(now.saturating_sub(1) as f32 * ROW_PX);
    }
    area.show_rows(ui, ROW_PX, steps.len(), |ui, rows| {
        for number in rows {
            if step_row(number, steps[number], number.cmp(&now), ui) {
                asks.push(Ask::JumpTo(number));
            }
        }
    });
}

/// One step; says whether it was asked for. Steps to come are set in weaker ink, the one that stands says "now".
fn step_row(number: usize, label: &str, order: std::cmp::Ordering, ui: &mut Ui) -> bool {
    let palette = Palette::of(ui);
    let size = vec2(ui.available_width().min(420.0), ROW_PX);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let (step, ink, word) = match order {
        std::cmp::Ordering::Less => (Step::Body, palette.text, ""),
        std::cmp::Ordering::Equal => (Step::Strong, palette.text, "now"),
        std::cmp::Ordering::Greater => (Step::Body, palette.text3, "undone"),
    };
    let is_now = order.is_eq();
    let spoken = format!("Step {number}: {label}");
    response.widget_info(|| WidgetInfo::selected(Role::Button, ui.is_enabled(), is_now, &spoken));
    if is_now || response.hovered() {
        ui.painter()
            .rect_filled(rect, radius::FIELD, palette.hovered(palette.panel));
    }
    let write = |text: String, step: Step, ink, x: f32, is_right: bool| {
        let words = ui.painter().layout_no_wrap(text, step.font(), ink);
        let left = if is_right { x - words.size().x } else { x };
        ui.painter().galley(
            pos2(left, rect.center().y - words.size().y / 2.0),
            words,
            ink,
        );
    };
    write(
        number.to_string(),
        Step::Small,
        palette.text3,
        rect.left() + WORDS_PX - space::INNER,
        true,
    );
    write(label.to_owned(), step, ink, rect.left() + WORDS_PX, false);
    write(
        word.to_owned(),
        Step::Small,
        palette.text2,
        rect.right() - space::NEAR,
        true,
    );
    focus::ring(
        ui,
        &response.clone().with_new_rect(rect.shrink(3.0)),
        radius::FIELD,
    );
    let tip = if is_now {
        "The plan stands here"
    } else {
        "Go to the plan as it was after this step"
    };
    response
        .on_hover_cursor(CursorIcon::PointingHand)
        .on_hover_text(tip)
        .clicked()
        && !is_now
}
