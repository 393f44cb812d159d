//! What changes the lanes' sizes: borders to drag, and arrows that fold a lane to its head.

use super::{
    super::{
        paint::icons::{Icon, icon},
        theme::{Palette, Step},
        view_state::ViewState,
    },
    place::Places,
    sizes::LaneBorder,
};
use eframe::egui::{
    Align2, CornerRadius, CursorIcon, Id, Key, Modifiers, Rect, Role, Sense, Stroke, StrokeKind,
    Ui, Vec2, WidgetInfo, pos2, vec2,
};

/// How far one press of an arrow key moves a border, in points.
const KEY_STEP_PX: f32 = 8.0;

/// Shows both borders and both fold arrows.
pub(super) fn ui(view: &mut ViewState, places: &Places, ui: &mut Ui) {
    let height_px = places.effort.bottom() - places.temperature.top();
    let borders = [
        (
            LaneBorder::BelowTemperature,
            places.temperature,
            places.difference.unwrap_or(places.rise),
            "Border below temperature",
        ),
        (
            LaneBorder::BelowRise,
            places.rise,
            places.effort,
            "Border below rate of rise",
        ),
    ];
    for (border, above, below, name) in borders {
        let gap = Rect::from_x_y_ranges(above.x_range(), above.bottom()..=below.top());
        let moved_px = border_ui(gap, name, ui);
        if moved_px != 0.0 {
            view.lane_sizes.move_border(border, moved_px / height_px);
        }
    }
    let sizes = &mut view.lane_sizes;
    fold_ui(places.rise, "rate of rise", &mut sizes.is_rise_folded, ui);
    fold_ui(places.effort, "effort", &mut sizes.is_effort_folded, ui);
    if let Some(difference) = places.difference {
        let is_folded = &mut sizes.is_difference_folded;
        fold_ui(difference, "what changes", is_folded, ui);
    }
}

/// A gap that can be dragged up and down; returns by how much it was.
fn border_ui(gap: Rect, name: &str, ui: &mut Ui) -> f32 {
    let response = ui.interact(
        gap,
        Id::unique(("lane-border", name)),
        Sense::click_and_drag(),
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Splitter, true, name));
    if response.hovered() || response.dragged() || response.has_focus() {
        ui.ctx().set_cursor_icon(CursorIcon::ResizeVertical);
        let palette = Palette::of(ui);
        let color = if response.has_focus() {
            palette.accent
        } else {
            palette.control
        };
        ui.painter()
            .hline(gap.x_range(), gap.center().y, Stroke::new(2.0, color));
    }
    let mut moved_px = response.drag_delta().y;
    if response.has_focus() {
        super::keys::keep_arrows(ui, response.id);
        let count =
            |key| ui.input_mut(|input| input.count_and_consume_key(Modifiers::NONE, key)) as f32;
        moved_px += KEY_STEP_PX * (count(Key::ArrowDown) - count(Key::ArrowUp));
    }
    moved_px
}

fn fold_ui(lane: Rect, name: &str, is_folded: &mut bool, ui: &mut Ui) {
    let hit = Rect::from_center_size(lane.right_top() + vec2(14.0, 11.0), Vec2::splat(22.0));
    let response = ui.interact(hit, Id::unique(("fold-lane", name)), Sense::click());
    let verb = if *is_folded { "Open" } else { "Fold" };
    let label = format!("{verb} the lane of {name}");
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, label.clone()));
    let palette = Palette::of(ui);
    let shape = if *is_folded {
        Icon::FoldClosed
    } else {
        Icon::FoldOpen
    };
    let ink = if response.hovered() {
        palette.text
    } else {
        palette.text3
    };
    let square = Rect::from_center_size(hit.center(), Vec2::splat(12.0));
    ui.painter().extend(icon(shape, square, ink));
    if response.has_focus() {
        super::focus_ring(ui.painter(), square.expand(3.0), palette);
    }
    if response.clicked() {
        *is_folded = !*is_folded;
    }
    response.on_hover_text(label);
}

/// Draws a lane that is folded to its head.
pub(super) fn paint_folded(lane: Rect, head: &str, ui: &Ui) {
    let palette = Palette::of(ui);
    let frame = Stroke::new(1.0, palette.lane_frame());
    ui.painter().rect(
        lane,
        CornerRadius::ZERO,
        palette.chart,
        frame,
        StrokeKind::Inside,
    );
    ui.painter().text(
        pos2(lane.left() + 12.0, lane.center().y),
        Align2::LEFT_CENTER,
        head,
        Step::Strong.font(),
        palette.text2,
    );
}
