//! One cursor through all lanes: the moment under the pointer, what a point is, and the measuring lines.

use super::{
    super::{
        model::Model,
        paint::{dash::dashed, strokes::LineRole},
        theme::{Palette, Step},
        view_state::ViewState,
    },
    frame::LaneFrame,
    readout,
};
use chaffinch_craft::units::{format_rise_with_unit, format_temp_with_unit, format_time_field};
use chaffinch_curve::PointId;
use eframe::egui::{CornerRadius, Painter, Pos2, Rect, Stroke, StrokeKind, pos2};

/// Draws the moment under the pointer and the measuring lines through one lane.
pub(super) fn paint_lines(
    painter: &Painter,
    view: &ViewState,
    frame: &LaneFrame,
    palette: &Palette,
) {
    let painter = painter.with_clip_rect(frame.rect);
    if let Some(time_s) = view.hover_s {
        let x = frame.screen_x_from_time(time_s);
        painter.vline(x, frame.rect.y_range(), Stroke::new(1.0, palette.text3));
    }
    for time_s in view.measure_s.iter().flatten() {
        let x = frame.screen_x_from_time(*time_s);
        let path = [pos2(x, frame.rect.top()), pos2(x, frame.rect.bottom())];
        let stroke = Stroke::new(1.5, palette.accent);
        painter.extend(dashed(&path, &[4.0, 2.0], stroke, frame.rect));
    }
    if let Some((from_s, to_s)) = view.lit_s {
        let lit = Rect::from_x_y_ranges(
            frame.screen_x_from_time(from_s) - 3.0..=frame.screen_x_from_time(to_s) + 3.0,
            frame.rect.y_range(),
        );
        painter.rect_stroke(
            lit,
            CornerRadius::same(2),
            Stroke::new(1.5, palette.accent),
            StrokeKind::Inside,
        );
    }
}

/// Says beside a point which one it is and where it stands; while a limit stops a drag, which limit.
pub(super) fn paint_point(
    painter: &Painter,
    model: &Model<'_>,
    view: &ViewState,
    frame: &LaneFrame,
    id: PointId,
    palette: &Palette,
) {
    let Some(index) = model.plan.curve.index_of(id) else {
        return;
    };
    let point = model.plan.curve.points()[index];
    let center = frame.screen_from(point.time_s, point.temp_c);
    let rise_c_per_s = model
        .derived
        .points
        .get(index)
        .map_or(0.0, |facts| facts.rise_c_per_s);
    let mut lines = vec![
        vec![
            (format!("Point {}", index + 1), Step::Body, palette.text2),
            (format_time_field(point.time_s), Step::Head, palette.text),
        ],
        vec![
            (
                format_rise_with_unit(rise_c_per_s, model.unit),
                Step::Body,
                palette.text2,
            ),
            (
                format_temp_with_unit(point.temp_c, model.unit),
                Step::Head,
                palette.text,
            ),
        ],
    ];
    if let Some(drag) = &view.drag {
        for limit in &drag.stopped_by {
            lines.push(vec![(limit.to_string(), Step::Small, palette.stop_text)]);
        }
        paint_guides(painter, frame, center, palette);
    }
    readout::beside(painter, frame.rect, center, &lines, palette);
}

/// Thin guides from a dragged point to both axes.
fn paint_guides(painter: &Painter, frame: &LaneFrame, center: Pos2, palette: &Palette) {
    let stroke = Stroke::new(1.0, palette.boundary_line());
    let dash = LineRole::Boundary.look().dash_px;
    for end in [
        pos2(frame.rect.left(), center.y),
        pos2(center.x, frame.rect.bottom()),
    ] {
        painter.extend(dashed(&[center, end], dash, stroke, frame.rect));
    }
}
