//! The grips of the measuring lines A and B: dragged sideways, moved by arrows, spoken by screen readers.

use super::{
    super::{
        model::Model,
        theme::{Palette, Step, radius},
        view_state::ViewState,
    },
    frame::LaneFrame,
    keys,
    slider::{self, Spoken, Wish},
};
use chaffinch_craft::units::{format_temp_with_unit, format_time};
use eframe::egui::{
    Align2, CornerRadius, CursorIcon, Id, PointerButton, Rect, Sense, Ui, Vec2, pos2,
};

/// Shows a grip for each measuring line; they change how the plan is looked at, never the plan.
pub(super) fn ui(model: &Model<'_>, view: &mut ViewState, frame: &LaneFrame, ui: &mut Ui) {
    let end_s = model.plan.curve.end_s();
    for (index, name) in ["A", "B"].into_iter().enumerate() {
        let Some(time_s) = view.measure_s[index] else {
            continue;
        };
        let center = pos2(frame.screen_x_from_time(time_s), frame.rect.top() + 30.0);
        let hit = Rect::from_center_size(center, Vec2::splat(super::hit_px(ui)));
        let id = Id::unique(("measuring-line", name));
        let response = ui.interact(hit, id, Sense::click_and_drag());
        let spoken = Spoken {
            name: format!("Measuring line {name}"),
            number: time_s,
            range: [0.0, end_s],
            text: format!(
                "{}, {}",
                format_time(time_s),
                format_temp_with_unit(model.plan.curve.temp_c(time_s), model.unit)
            ),
        };
        let mut wished_s = slider::speak(ui, &response, spoken).map(|wish| match wish {
            Wish::Steps { time, value } => time_s + (time + value) * keys::TIME_STEP_S,
            Wish::Number(number) => number,
            Wish::Least => 0.0,
            Wish::Most => end_s,
        });
        if response.clicked() {
            response.request_focus();
        }
        if response.dragged_by(PointerButton::Primary)
            && let Some(pointer) = response.interact_pointer_pos()
        {
            wished_s = Some(frame.time_from_screen_x(pointer.x).round());
        }
        if response.hovered() || response.dragged() {
            ui.ctx().set_cursor_icon(CursorIcon::ResizeHorizontal);
        }
        if let Some(wished_s) = wished_s {
            view.measure_s[index] = Some(wished_s.clamp(0.0, end_s));
        }
        let palette = Palette::of(ui);
        let tab = Rect::from_center_size(center, Vec2::splat(18.0));
        let painter = ui.painter().with_clip_rect(frame.rect.expand(9.0));
        painter.rect_filled(tab, CornerRadius::same(radius::FIELD), palette.accent);
        painter.text(
            center,
            Align2::CENTER_CENTER,
            name,
            Step::Strong.font(),
            palette.on_accent,
        );
        if response.has_focus() {
            super::focus_ring(&painter, tab.expand(2.0), palette);
        }
    }
}
