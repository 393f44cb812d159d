//! The bar at the foot: fold button, exact fields of what is selected, status line.

use super::{
    point_fields::{Place, PointRow},
    selected_fields,
    tools::{caption, sentence},
};
use crate::desk::{
    ask::Ask,
    commands::Command,
    layout::{DRAWER_BAR_PX, NARROW_WINDOW_PX},
    model::Model,
    paint::icons::{Icon, icon},
    theme::{Palette, Step, radius, space},
    view_state::{Status, ViewState},
    widgets::{buttons::icon_button, focus, sign::sign},
};
use chaffinch_craft::Severity;
use chaffinch_curve::{ControlPoint, Lock, PointId};
use eframe::egui::{
    Align, CursorIcon, Event, Key, Label, Layout, Popup, PopupKind, Rect, RectAlign, RichText,
    Role, Sense, Ui, Vec2, WidgetInfo, accesskit::Live, pos2, vec2,
};

/// Said where nothing is selected.
const HINT: &str = "Select a point to type its time and temperature";
/// Width of the choice of stretch, in points.
pub(super) const STRETCH_PX: f32 = 84.0;

/// Shows the bar.
pub fn ui(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    forget_refusal(view, ui);
    let is_narrow = ui.available_width() < NARROW_WINDOW_PX;
    let size = vec2(
        ui.available_width(),
        ui.available_height().min(DRAWER_BAR_PX),
    );
    ui.allocate_ui_with_layout(size, Layout::left_to_right(Align::Center), |ui| {
        ui.spacing_mut().item_spacing.x = if is_narrow { 6.0 } else { space::NEAR };
        fold_button(model, view.drawer_open, asks, ui);
        ui.separator();
        let meant = view.meant(&model.plan.curve);
        match *meant.as_slice() {
            [_, _, ..] => selected_fields::ui(model, &meant, is_narrow, view, asks, ui),
            [id] => one(model, id, is_narrow, view, asks, ui),
            [] => {
                ui.label(Step::Body.text(HINT).color(Palette::of(ui).text2));
            }
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            status_line(view, is_narrow, asks, ui);
        });
    });
}

/// Why something was refused is of no interest any more after Escape or when the next text is typed.
fn forget_refusal(view: &mut ViewState, ui: &Ui) {
    let is_over = ui.input(|input| {
        let mut events = input.events.iter();
        input.key_pressed(Key::Escape) || events.any(|event| matches!(event, Event::Text(_)))
    });
    if is_over && matches!(view.status, Some(Status::Refused(_))) {
        view.status = None;
    }
}

fn fold_button(model: &Model<'_>, is_open: bool, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let palette = Palette::of(ui);
    let head = ui
        .painter()
        .layout_no_wrap("Points".to_owned(), Step::Head.font(), palette.text);
    let counts = counts(model.plan.curve.points());
    let aside = ui
        .painter()
        .layout_no_wrap(counts.clone(), Step::Body.font(), palette.text2);
    let arrow_px = 22.0;
    let size = vec2(
        arrow_px + head.size().x + space::NEAR + aside.size().x + space::TIGHT,
        space::CONTROL_HEIGHT,
    );
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let spoken = format!("Points table, {counts}");
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &spoken));
    ui.accesskit_node_builder(response.id, |node| node.set_expanded(is_open));
    if response.hovered() {
        ui.painter()
            .rect_filled(rect, radius::FIELD, palette.hovered(palette.panel));
    }
    let sign = if is_open {
        Icon::FoldOpen
    } else {
        Icon::DrawerClosed
    };
    let square = Rect::from_center_size(rect.left_center() + vec2(10.0, 0.0), Vec2::splat(13.0));
    ui.painter().extend(icon(sign, square, palette.text2));
    let corner = rect.left_center() + vec2(arrow_px, -head.size().y / 2.0);
    let right = corner.x + head.size().x + space::NEAR;
    ui.painter().galley(corner, head, palette.text);
    let corner = pos2(right, rect.center().y - aside.size().y / 2.0);
    ui.painter().galley(corner, aside, palette.text2);
    focus::ring(ui, &response, radius::FIELD);
    let tip = Command::ToggleDrawer.tip(ui.ctx());
    if response
        .on_hover_cursor(CursorIcon::PointingHand)
        .on_hover_text(tip)
        .clicked()
    {
        asks.push(Ask::Do(Command::ToggleDrawer));
    }
}

/// "8 points, 1 locked".
fn counts(points: &[ControlPoint]) -> String {
    let locked = points
        .iter()
        .filter(|point| point.lock != Lock::Free)
        .count();
    match locked {
        0 => format!("{} points", points.len()),
        _ => format!("{} points, {locked} locked", points.len()),
    }
}

fn one(
    model: &Model<'_>,
    id: PointId,
    is_narrow: bool,
    view: &mut ViewState,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let index = model.plan.curve.index_of(id);
    let Some(row) = index.and_then(|index| PointRow::at(model, index, Place::Bar)) else {
        return;
    };
    let heading = format!(
        "Point {} of {}",
        row.number,
        model.plan.curve.points().len()
    );
    ui.label(heading_text(&heading, view));
    let captions = if is_narrow {
        ["", "", ""]
    } else {
        ["Time", "Temperature", "Rise"]
    };
    let captioned = |text: &str, ui: &mut Ui| {
        if !text.is_empty() {
            caption(text, ui);
        }
    };
    captioned(captions[0], ui);
    row.time(60.0, view, asks, ui);
    captioned(captions[1], ui);
    row.temp([58.0, 18.0], view, asks, ui);
    captioned(captions[2], ui);
    row.rise([54.0, 42.0], view, asks, ui);
    row.pin(if is_narrow { "" } else { "pinned" }, asks, ui);
    if !row.is_last {
        row.stretch(STRETCH_PX, asks, ui);
    }
    row.lock(if is_narrow { 92.0 } else { 132.0 }, asks, ui);
}

/// How many or which points; in stronger ink while a drag changes them.
pub(super) fn heading_text(heading: &str, view: &ViewState) -> RichText {
    let step = if view.drag.is_some() {
        Step::Head
    } else {
        Step::Strong
    };
    step.text(heading)
}

/// What was done or refused last; spoken when it changes, without taking the focus.
fn status_line(view: &ViewState, is_narrow: bool, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let palette = Palette::of(ui);
    let steps = if is_narrow {
        "Arrows: 1 s, 1 °C; Shift 10, Alt 0.1"
    } else {
        "Arrow keys: 1 s or 1 °C, with Shift 10, with Alt 0.1"
    };
    let (text, ink) = match &view.status {
        Some(Status::Refused(reason)) => (sentence(reason), palette.stop_text),
        Some(Status::Done(done) | Status::Removed(done)) => (sentence(done), palette.text2),
        None => (steps.to_owned(), palette.text3),
    };
    let is_refused = matches!(view.status, Some(Status::Refused(_)));
    if matches!(view.status, Some(Status::Removed(_)))
        && icon_button(ui, Icon::Undo, "Undo removing", "Put back what was removed").clicked()
    {
        asks.push(Ask::Do(Command::Undo));
    }
    let glyph_px = if is_refused { 18.0 + space::TIGHT } else { 0.0 };
    let width_px = (ui.available_width() - glyph_px).max(0.0);
    let whole_px = ui
        .painter()
        .layout_no_wrap(text.clone(), Step::Small.font(), ink)
        .size()
        .x;
    ui.spacing_mut().item_spacing.x = space::TIGHT;
    ui.scope(|ui| {
        ui.set_max_width(width_px);
        let words = ui.add(
            Label::new(Step::Small.text(&text).color(ink))
                .truncate()
                .sense(Sense::hover()),
        );
        if view.status.is_some() {
            ui.accesskit_node_builder(words.id, |node| node.set_live(Live::Polite));
        }
        if is_refused && whole_px > width_px {
            // Why something was refused must be readable in full without looking for it.
            Popup::from_response(&words)
                .kind(PopupKind::Tooltip)
                .align(RectAlign::TOP_END)
                .gap(space::INNER)
                .show(|ui| ui.label(text));
        } else {
            words.on_hover_text(text);
        }
    });
    if is_refused {
        sign(ui, Severity::Stop, palette.panel);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_name_locked_points_only_when_there_are_some() {
        let mut points = vec![
            ControlPoint::new(PointId(1), 0.0, 100.0),
            ControlPoint::new(PointId(2), 60.0, 120.0),
        ];
        assert_eq!(counts(&points), "2 points", "none locked");
        points[1].lock = Lock::Temp;
        assert_eq!(counts(&points), "2 points, 1 locked", "one locked");
    }
}
