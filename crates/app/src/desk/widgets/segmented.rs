//! Two or more choices side by side, one of them taken.

use eframe::egui::{
    CornerRadius, CursorIcon, Rect, Response, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo,
    pos2, vec2,
};

use super::focus;
use crate::desk::theme::{Palette, Step, radius, space};

/// Space inside a segment at each side of its words, in points.
const SIDE_PX: f32 = 10.0;
/// Distance between the frame and the chip in it, in points.
const INSET_PX: f32 = 2.0;

/// Shows `labels` with number `chosen` taken, if any is; gives the number of another one when it is picked.
///
/// `name` is put before each label for screen readers ("Units: °C"). Tab walks the segments, Space picks.
pub fn segmented(
    ui: &mut Ui,
    name: &str,
    labels: &[&str],
    chosen: impl Into<Option<usize>>,
) -> Option<usize> {
    let labels: Vec<(&str, &str)> = labels.iter().map(|&label| (label, "")).collect();
    segmented_with_tips(ui, name, &labels, chosen)
}

/// As [`segmented`], with a tip on hover behind each label; an empty one is left out.
pub fn segmented_with_tips(
    ui: &mut Ui,
    name: &str,
    labels: &[(&str, &str)],
    chosen: impl Into<Option<usize>>,
) -> Option<usize> {
    let chosen = chosen.into();
    let widths: Vec<f32> = labels
        .iter()
        .map(|(label, _)| segment_width(ui, label))
        .collect();
    let size = vec2(
        widths.iter().sum::<f32>() + 2.0 * INSET_PX,
        space::CONTROL_HEIGHT,
    );
    let (frame, whole) = ui.allocate_exact_size(size, Sense::hover());
    let palette = Palette::of(ui);
    let border = if ui.is_enabled() {
        palette.control
    } else {
        palette.hairline
    };
    let corner = CornerRadius::same(radius::BUTTON);
    ui.painter().rect(
        frame,
        corner,
        palette.raised,
        Stroke::new(1.0, border),
        StrokeKind::Inside,
    );
    let mut left = frame.left() + INSET_PX;
    let mut picked = None;
    let mut focused = None;
    for (index, ((label, tip), width)) in labels.iter().zip(widths).enumerate() {
        let top_left = pos2(left, frame.top() + INSET_PX);
        let rect = Rect::from_min_size(top_left, vec2(width, frame.height() - 2.0 * INSET_PX));
        let response = ui.interact(rect, whole.id.with(index), Sense::click());
        let is_chosen = chosen == Some(index);
        let spoken = format!("{name}: {label}");
        response.widget_info(|| {
            WidgetInfo::selected(Role::RadioButton, ui.is_enabled(), is_chosen, &spoken)
        });
        paint_segment(ui, &response, label, is_chosen);
        if response.clicked() && !is_chosen {
            picked = Some(index);
        }
        let mut response = response.on_hover_cursor(CursorIcon::PointingHand);
        if !tip.is_empty() {
            response = response.on_hover_text(*tip);
        }
        focused = response.has_focus().then_some(response).or(focused);
        left += width;
    }
    // Last, so that no neighbour covers it.
    if let Some(response) = focused {
        focus::ring(ui, &response, radius::FIELD);
    }
    picked
}

fn segment_width(ui: &Ui, label: &str) -> f32 {
    // The heavier face is the wider one, so that nothing moves when the choice does.
    let words =
        ui.painter()
            .layout_no_wrap(label.to_owned(), Step::Strong.font(), Palette::of(ui).text);
    words.size().x.ceil() + 2.0 * SIDE_PX
}

fn paint_segment(ui: &Ui, response: &Response, label: &str, is_chosen: bool) {
    let palette = Palette::of(ui);
    let (ground, ink, step) = if is_chosen {
        (palette.chip, palette.on_chip, Step::Strong)
    } else if response.is_pointer_button_down_on() {
        (palette.pressed(palette.raised), palette.text, Step::Body)
    } else if response.hovered() {
        (palette.hovered(palette.raised), palette.text, Step::Body)
    } else {
        (palette.raised, palette.text2, Step::Body)
    };
    let painter = ui.painter();
    painter.rect_filled(response.rect, CornerRadius::same(radius::FIELD), ground);
    let words = painter.layout_no_wrap(label.to_owned(), step.font(), ink);
    painter.galley(response.rect.center() - words.size() / 2.0, words, ink);
}
