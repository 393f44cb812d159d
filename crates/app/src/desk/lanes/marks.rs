//! Colour change and first crack: lines across the temperature lane, dragged up and down by line or label.

use super::{
    super::{
        ask::Ask,
        layout,
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
use chaffinch_craft::{Edit, MarkName, units::format_temp_with_unit};
use chaffinch_curve::{MAX_TEMP_C, MIN_TEMP_C};
use eframe::egui::{Align2, CursorIcon, Id, Painter, Rect, Sense, Stroke, Ui, pos2, vec2};

/// Half the height of the part of the line that can be grabbed.
const LINE_GRAB_PX: f32 = 4.0;

/// Draws the marks under the curve; call before the plot.
pub(super) fn paint(painter: &Painter, model: &Model<'_>, frame: &LaneFrame, palette: &Palette) {
    for mark in MarkName::ALL {
        let y = frame.screen_y_from_value(temp_c(model, mark));
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
    let palette = Palette::of(ui);
    for mark in MarkName::ALL {
        let temp_c = temp_c(model, mark);
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
        let corner = pos2(frame.rect.left() + 12.0, y - 4.0);
        let label = Rect::from_min_max(corner - vec2(0.0, size.y), corner + vec2(size.x, 0.0));
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
        let hit = Rect::from_center_size(
            label.center(),
            vec2(label.width() + 8.0, label.height().max(layout::HIT_PX)),
        );
        let hit = if seen {
            hit
        } else {
            Rect::from_center_size(label.center(), vec2(0.0, 0.0))
        };
        let grip = ui.interact(hit, id, Sense::click_and_drag());
        let spoken = Spoken {
            name: mark.label().to_owned(),
            number: temp_c,
            text: format_temp_with_unit(temp_c, model.unit),
        };
        let wish = slider::speak(ui, &grip, spoken, view);
        if grip.clicked() {
            grip.request_focus();
        }
        for response in [&grip, &on_line] {
            if response.hovered() || response.dragged() {
                ui.ctx().set_cursor_icon(CursorIcon::ResizeVertical);
            }
            if let Some(at) = slider::follow(ui, response, pos2(0.0, y), view, asks) {
                let wished_c = temp_on_grid(frame.value_from_screen_y(at.y), model.unit);
                asks.push(Ask::Drag(Edit::SetMark {
                    mark,
                    temp_c: wished_c,
                }));
            }
        }
        if let Some(wished_c) = wish.map(|wish| wished(wish, temp_c)) {
            asks.push(slider::ask(
                view,
                Edit::SetMark {
                    mark,
                    temp_c: wished_c,
                },
            ));
        }
        if !seen {
            continue;
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
            corner,
            Align2::LEFT_BOTTOM,
            text,
            step.font(),
            palette.text2,
        );
    }
}

fn temp_c(model: &Model<'_>, mark: MarkName) -> f64 {
    match mark {
        MarkName::ColourChange => model.plan.marks.colour_change_c,
        MarkName::FirstCrack => model.plan.marks.first_crack_c,
    }
}

fn wished(wish: Wish, temp_c: f64) -> f64 {
    match wish {
        Wish::Steps { value, .. } => temp_c + value * keys::TEMP_STEP_C,
        Wish::Number(number) => number,
        Wish::Least => MIN_TEMP_C,
        Wish::Most => MAX_TEMP_C,
    }
}
