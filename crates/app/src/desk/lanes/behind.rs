//! Lines of other plans behind the curve, each with its own dash and marker.

use super::{
    super::{
        layout,
        model::{Behind, Model},
        paint::{
            dash::dashed,
            marks::marker,
            strokes::{LOGS, LineRole},
        },
        theme::{Palette, Step},
    },
    frame::LaneFrame,
    line,
};
use chaffinch_curve::Samples;
use eframe::egui::{CornerRadius, Painter, Rect, pos2};

/// Distance of markers along a line, in s.
const MARKER_EVERY_S: f64 = 75.0;
/// Height of a row of the key, in points.
const KEY_ROW_PX: f32 = 16.0;
/// Width of the key, in points; longer names are cut at the lane's edge.
const KEY_WIDTH_PX: f32 = 210.0;
/// Width of a line's sample in the key, in points.
const SAMPLE_PX: f32 = 30.0;
/// Step of the drawn line, in s.
const LINE_STEP_S: f64 = 3.0;

/// The look of the plan at this place in the list; they repeat after six.
pub fn role(index: usize) -> LineRole {
    LOGS[index % LOGS.len()]
}

/// Which figure of a plan is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Figure {
    /// Temperature, in °C.
    Temperature,
    /// Rate of rise, in °C/s.
    Rise,
    /// Airflow, in %.
    Airflow,
}

/// Draws all plans behind the curve.
pub fn paint(
    painter: &Painter,
    model: &Model<'_>,
    frame: &LaneFrame,
    figure: Figure,
    palette: &Palette,
) {
    for (index, behind) in model.behind.iter().enumerate() {
        paint_one(painter, behind, frame, figure, role(index), palette);
    }
}

/// Names the plans behind, each with a sample of its line, on the free ground below the rising curve.
pub fn paint_key(painter: &Painter, model: &Model<'_>, frame: &LaneFrame, palette: &Palette) {
    let rows = model.behind.len() as f32;
    let foot = frame.rect.bottom() - layout::RAIL_PX - 10.0;
    for (index, behind) in model.behind.iter().enumerate() {
        let name = behind.name.clone();
        let galley = painter.layout_no_wrap(name, Step::Small.font(), palette.text2);
        let y = foot - (rows - index as f32 - 0.5) * KEY_ROW_PX;
        let left = frame.rect.right() - 12.0 - KEY_WIDTH_PX;
        let painter = painter.with_clip_rect(frame.rect);
        let plate = Rect::from_min_max(
            pos2(left - 6.0, y - KEY_ROW_PX / 2.0),
            pos2(frame.rect.right() - 6.0, y + KEY_ROW_PX / 2.0),
        );
        painter.rect_filled(
            plate,
            CornerRadius::ZERO,
            palette.chart.gamma_multiply(0.85),
        );
        let role = role(index);
        let look = role.look();
        let sample = [pos2(left, y), pos2(left + SAMPLE_PX, y)];
        painter.extend(dashed(
            &sample,
            look.dash_px,
            role.stroke(palette),
            frame.rect,
        ));
        if let Some(kind) = look.marker {
            let middle = pos2(left + SAMPLE_PX / 2.0, y);
            painter.extend(marker(kind, middle, role.color(palette), palette.chart));
        }
        let corner = pos2(left + SAMPLE_PX + 8.0, y - galley.size().y / 2.0);
        painter.galley(corner, galley, palette.text2);
    }
}

fn paint_one(
    painter: &Painter,
    behind: &Behind,
    frame: &LaneFrame,
    figure: Figure,
    role: LineRole,
    palette: &Palette,
) {
    let shift_s = behind.comparison.shift_s.unwrap_or(0.0);
    let curve = &behind.plan.curve;
    let end_s = curve.end_s();
    let samples: Samples = curve.sample(LINE_STEP_S, end_s);
    let places = match figure {
        Figure::Temperature => line::temperature(curve, &samples, [0.0, end_s]),
        Figure::Rise => line::rise(curve, &samples, [0.0, end_s]),
        Figure::Airflow => line::airflow(&behind.plan.airflow, end_s),
    };
    let value = |time_s: f64| match figure {
        Figure::Temperature => curve.temp_c(time_s),
        Figure::Rise => curve.rise_c_per_s(time_s),
        Figure::Airflow => behind.plan.airflow.percent(time_s),
    };
    let look = role.look();
    let painter = painter.with_clip_rect(frame.rect);
    painter.extend(dashed(
        &line::path(&places, shift_s, frame),
        look.dash_px,
        role.stroke(palette),
        frame.rect,
    ));
    if let Some(kind) = look.marker {
        let count = (end_s / MARKER_EVERY_S).round() as u32;
        for number in 0..count {
            let time_s = (f64::from(number) + 0.5) * MARKER_EVERY_S;
            let at = frame.screen_from(time_s + shift_s, value(time_s));
            if time_s <= end_s && frame.rect.contains(at) {
                painter.extend(marker(kind, at, role.color(palette), palette.chart));
            }
        }
    }
}
