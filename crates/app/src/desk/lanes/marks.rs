//! Colour change and first crack: lines across the temperature lane, dragged up and down by line or label.

use super::{
    super::{
        ask::Ask,
        model::Model,
        paint::{
            dash::dashed,
            strokes::{LineRole, Marker},
        },
        snapping::temp_on_grid,
        theme::{Palette, Step},
        view_state::ViewState,
    },
    frame::LaneFrame,
    keys,
    slider::{self, Spoken, Wish},
};
use chaffinch_craft::{
    Edit, MarkName, mark_limits_c,
    units::{Celsius, TempUnit, format_temp_with_unit},
};
use chaffinch_curve::{MAX_TEMP_C, MIN_TEMP_C};
use eframe::egui::{Align2, CursorIcon, Id, Painter, Rect, Sense, Stroke, Ui, Vec2, pos2, vec2};
use std::cmp::Ordering;

/// Half the height of the part of the line that can be grabbed.
const LINE_GRAB_PX: f32 = 4.0;
/// Distance of a label from the lane's left edge.
const LABEL_INSET_PX: f32 = 12.0;
/// Distance that a label keeps from where the curve crosses its line: a handle may lie there.
const CLEAR_OF_CURVE_PX: f32 = 16.0;

/// Draws the marks under the curve; call before the plot.
pub(super) fn paint(painter: &Painter, model: &Model<'_>, frame: &LaneFrame, palette: &Palette) {
    for mark in MarkName::ALL {
        let y = frame.screen_y_from_value(mark.temp_c(&model.plan.marks));
        if !frame.rect.y_range().contains(y) {
            continue;
        }
        let look = LineRole::Mark.look();
        let path = [pos2(frame.rect.left(), y), pos2(frame.rect.right(), y)];
        let stroke = LineRole::Mark.stroke(palette);
        painter.extend(dashed(&path, look.dash_px, stroke, frame.rect));
        painter.extend(super::super::paint::marks::marker(
            Marker::Arrow,
            pos2(frame.rect.left() + 3.0, y),
            palette.mark,
            palette.chart,
        ));
    }
}

/// Shows the grips of the marks; call after the plot and before the control points, which win where both lie.
pub(super) fn ui(
    model: &Model<'_>,
    view: &mut ViewState,
    frame: &LaneFrame,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    for mark in MarkName::ALL {
        grip_ui(model, view, frame, mark, asks, ui);
    }
}

fn grip_ui(
    model: &Model<'_>,
    view: &mut ViewState,
    frame: &LaneFrame,
    mark: MarkName,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let palette = Palette::of(ui);
    let temp_c = mark.temp_c(&model.plan.marks);
    let limits_c: [f64; 2] = mark_limits_c(model.plan, mark).into();
    let y = frame.screen_y_from_value(temp_c);
    let text = format!(
        "{}, {}",
        mark.label(),
        format_temp_with_unit(temp_c, model.unit)
    );
    let size = ui
        .painter()
        .layout_no_wrap(text.clone(), Step::Small.font(), palette.text2)
        .size();
    let label = label_rect(model, frame, mark, size);
    let seen = frame.rect.y_range().contains(y);
    let line = Rect::from_x_y_ranges(frame.rect.x_range(), y - LINE_GRAB_PX..=y + LINE_GRAB_PX);
    let id = Id::unique(("mark", mark.label()));
    let line = if seen {
        line.intersect(frame.rect)
    } else {
        Rect::NOTHING
    };
    // Keys and readers have the label; the line would be a second stop for Tab.
    let on_line = ui.interact(line, id.with("line"), Sense::DRAG);
    let hit = vec2(label.width() + 8.0, label.height().max(super::hit_px(ui)));
    let hit = Rect::from_center_size(label.center(), if seen { hit } else { Vec2::ZERO });
    let grip = ui.interact(hit, id, Sense::click_and_drag());
    let spoken = Spoken {
        name: mark.label().to_owned(),
        number: Celsius(temp_c).shown(model.unit),
        range: limits_c.map(|limit_c| Celsius(limit_c).shown(model.unit)),
        text: format_temp_with_unit(temp_c, model.unit),
    };
    let wish = slider::speak(ui, &grip, spoken);
    if grip.clicked() {
        grip.request_focus();
    }
    for response in [&grip, &on_line] {
        if response.hovered() || response.dragged() {
            ui.ctx().set_cursor_icon(CursorIcon::ResizeVertical);
        }
        if let Some(at) = slider::follow(ui, response, pos2(0.0, y), view, asks) {
            let wished_c = temp_on_grid(frame.value_from_screen_y(at.y), model.unit);
            let (edit, stop) = moved(model, mark, wished_c);
            asks.push(Ask::Drag(edit));
            asks.extend(stop);
        }
    }
    if let Some(wish) = wish {
        let wished_c = wished(wish, temp_c, limits_c, model.unit);
        let (edit, stop) = moved(model, mark, wished_c);
        asks.push(slider::ask(ui, view, edit));
        asks.extend(stop);
    }
    if !seen {
        return;
    }
    let painter = ui.painter().with_clip_rect(frame.rect);
    let strong = grip.hovered() || on_line.hovered() || grip.dragged() || on_line.dragged();
    if strong {
        let stroke = Stroke::new(LineRole::Mark.look().width_px + 0.75, palette.mark);
        painter.hline(frame.rect.x_range(), y, stroke);
    }
    if grip.has_focus() {
        super::focus_ring(&painter, label.expand2(vec2(4.0, 2.0)), palette);
    }
    let step = if strong { Step::Strong } else { Step::Small };
    painter.text(
        label.left_bottom(),
        Align2::LEFT_BOTTOM,
        text,
        step.font(),
        palette.text2,
    );
}

/// Where the label of a mark lies: at the left, above its line; where it would run into the curve there, behind the
/// curve and below the line.
fn label_rect(model: &Model<'_>, frame: &LaneFrame, mark: MarkName, size: Vec2) -> Rect {
    let y = frame.screen_y_from_value(mark.temp_c(&model.plan.marks));
    let phases = &model.derived.phases;
    let passage = match mark {
        MarkName::ColourChange => &phases.colour_change,
        MarkName::FirstCrack => &phases.first_crack,
    };
    let left = frame.rect.left() + LABEL_INSET_PX;
    let crossing = passage
        .reached()
        .map(|passage| frame.screen_x_from_time(passage.time_s))
        .filter(|x| frame.rect.x_range().contains(*x) && *x < left + size.x + CLEAR_OF_CURVE_PX);
    let top_left = match crossing {
        Some(x) => pos2(x + CLEAR_OF_CURVE_PX, y + 4.0),
        None => pos2(left, y - 4.0 - size.y),
    };
    Rect::from_min_size(top_left, size)
}

fn wished(wish: Wish, temp_c: f64, [least_c, most_c]: [f64; 2], unit: TempUnit) -> f64 {
    match wish {
        Wish::Steps { value, .. } => temp_c + value * keys::TEMP_STEP_C,
        Wish::Number(number) => Celsius::from_shown(number, unit).0,
        Wish::Least => least_c,
        Wish::Most => most_c,
    }
}

/// Draws the machine's ceiling, named at the right edge; it is set in the machine sheet and can't be dragged.
pub(super) fn paint_ceiling(
    painter: &Painter,
    model: &Model<'_>,
    frame: &LaneFrame,
    palette: &Palette,
) {
    let ceiling_c = model.plan.machine.ceiling_c;
    let y = frame.screen_y_from_value(ceiling_c);
    if !frame.rect.y_range().contains(y) {
        return;
    }
    let path = [pos2(frame.rect.left(), y), pos2(frame.rect.right(), y)];
    let look = LineRole::Mark.look();
    painter.extend(dashed(
        &path,
        look.dash_px,
        LineRole::Mark.stroke(palette),
        frame.rect,
    ));
    painter.text(
        pos2(frame.rect.right() - 8.0, y - 3.0),
        Align2::RIGHT_BOTTOM,
        format!("Ceiling, {}", format_temp_with_unit(ceiling_c, model.unit)),
        Step::Small.font(),
        palette.text2,
    );
}

/// Moves a mark as near to `wished_c` as it may be; with it comes what to say if that is not there.
fn moved(model: &Model<'_>, mark: MarkName, wished_c: f64) -> (Edit, Option<Ask>) {
    let (least_c, most_c) = mark_limits_c(model.plan, mark);
    let temp_c = wished_c.clamp(least_c, most_c);
    let edit = Edit::SetMark { mark, temp_c };
    (edit, stopped(model, mark, wished_c, temp_c))
}

/// Says what keeps a mark from where it is wished; asked for after the move, which clears the status line.
fn stopped(model: &Model<'_>, mark: MarkName, wished_c: f64, temp_c: f64) -> Option<Ask> {
    let shown = |temp_c| format_temp_with_unit(temp_c, model.unit);
    let marks = &model.plan.marks;
    Some(Ask::Say(match (mark, wished_c.partial_cmp(&temp_c)?) {
        (_, Ordering::Equal) => return None,
        (MarkName::ColourChange, Ordering::Greater) => {
            format!(
                "Colour change stays below first crack, {}",
                shown(marks.first_crack_c)
            )
        }
        (MarkName::FirstCrack, Ordering::Less) => {
            format!(
                "First crack stays above colour change, {}",
                shown(marks.colour_change_c)
            )
        }
        (MarkName::ColourChange, Ordering::Less) => {
            format!("A mark goes no lower than {}", shown(MIN_TEMP_C))
        }
        (MarkName::FirstCrack, Ordering::Greater) => {
            format!("A mark goes no higher than {}", shown(MAX_TEMP_C))
        }
    }))
}
