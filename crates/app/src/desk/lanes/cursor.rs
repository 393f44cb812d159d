//! One cursor through all lanes: the moment under the pointer, what the curve is there, and the measuring lines.

use super::{
    super::{
        model::Model,
        paint::{dash::dashed, strokes::LineRole},
        theme::{Palette, Step, radius},
        view_state::ViewState,
    },
    frame::LaneFrame,
};
use chaffinch_craft::units::{
    format_rise_with_unit, format_temp_with_unit, format_time, format_time_field,
};
use chaffinch_curve::PointId;
use eframe::egui::{Color32, CornerRadius, Painter, Pos2, Rect, Stroke, StrokeKind, pos2, vec2};

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

/// Says beside the pointer what the curve is at that moment.
pub(super) fn paint_moment(
    painter: &Painter,
    model: &Model<'_>,
    frame: &LaneFrame,
    pointer: Pos2,
    palette: &Palette,
) {
    let time_s = frame.time_from_screen_x(pointer.x);
    let curve = &model.plan.curve;
    if !(0.0..=curve.end_s()).contains(&time_s) {
        return;
    }
    let on_curve = frame.screen_from(time_s, curve.temp_c(time_s));
    let ring = Stroke::new(1.5, palette.setpoint);
    painter
        .with_clip_rect(frame.rect)
        .circle(on_curve, 3.0, palette.chart, ring);
    let lines = [
        vec![
            (format_time(time_s), Step::Strong, palette.text),
            (
                format_temp_with_unit(curve.temp_c(time_s), model.unit),
                Step::Strong,
                palette.text,
            ),
        ],
        vec![
            (
                format_rise_with_unit(curve.rise_c_per_s(time_s), model.unit),
                Step::Small,
                palette.text2,
            ),
            (
                format!("air {:.0} %", model.plan.airflow.percent(time_s)),
                Step::Small,
                palette.text2,
            ),
        ],
    ];
    readout(painter, frame.rect, pointer, &lines, palette);
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
    readout(painter, frame.rect, center, &lines, palette);
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

/// A small raised card beside `at`, inside `bounds`, its lines set left and right.
fn readout(
    painter: &Painter,
    bounds: Rect,
    at: Pos2,
    lines: &[Vec<(String, Step, Color32)>],
    palette: &Palette,
) {
    const LINE_PX: f32 = 17.0;
    const GAP_PX: f32 = 14.0;
    let galleys: Vec<Vec<_>> = lines
        .iter()
        .map(|line| {
            let lay_out = |(text, step, color): &(String, Step, Color32)| {
                painter.layout_no_wrap(text.clone(), step.font(), *color)
            };
            line.iter().map(lay_out).collect()
        })
        .collect();
    let width = galleys
        .iter()
        .map(|line| {
            line.iter().map(|galley| galley.size().x).sum::<f32>()
                + GAP_PX * (line.len() - 1) as f32
        })
        .fold(0.0, f32::max);
    let size = vec2(width + 20.0, LINE_PX * lines.len() as f32 + 12.0);
    // Below and to the right of the place, as the curve climbs away from there; on the other side at an edge.
    let mut corner = at + vec2(18.0, 22.0);
    if corner.x + size.x > bounds.right() {
        corner.x = at.x - 18.0 - size.x;
    }
    if corner.y + size.y > bounds.bottom() {
        corner.y = at.y - 22.0 - size.y;
    }
    let card = Rect::from_min_size(corner, size);
    painter.rect(
        card,
        CornerRadius::same(radius::BUTTON),
        palette.raised,
        Stroke::new(1.0, palette.control),
        StrokeKind::Inside,
    );
    for (row, line) in galleys.into_iter().enumerate() {
        let top = card.top() + 6.0 + row as f32 * LINE_PX;
        let last = line.len() - 1;
        for (column, galley) in line.into_iter().enumerate() {
            let x = if column == last && last > 0 {
                card.right() - 10.0 - galley.size().x
            } else {
                card.left() + 10.0
            };
            let y = top + (LINE_PX - galley.size().y) / 2.0;
            painter.galley(pos2(x, y), galley, palette.text);
        }
    }
}
