//! Lines of other plans behind the curve, each with its own dash and marker.

use super::{
    super::{
        model::{Behind, Model},
        paint::{
            dash::dashed,
            marks::marker,
            strokes::{LOGS, LineRole},
        },
        theme::Palette,
    },
    frame::LaneFrame,
};
use chaffinch_curve::Samples;
use eframe::egui::{Painter, Pos2};

/// Distance of markers along a line, in s.
const MARKER_EVERY_S: f64 = 75.0;
/// Step of the drawn line, in s.
const LINE_STEP_S: f64 = 3.0;

/// The look of the plan at this place in the list; they repeat after four.
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
    let samples: Samples = curve.sample(LINE_STEP_S, curve.end_s());
    let values: Vec<f64> = match figure {
        Figure::Temperature => samples.temp_c,
        Figure::Rise => samples.rise_c_per_s,
        Figure::Airflow => {
            let percent = |&time_s: &f64| behind.plan.airflow.percent(time_s);
            samples.time_s.iter().map(percent).collect()
        }
    };
    let path: Vec<Pos2> = samples
        .time_s
        .iter()
        .zip(&values)
        .map(|(&time_s, &value)| frame.screen_from(time_s + shift_s, value))
        .collect();
    let look = role.look();
    painter.extend(dashed(
        &path,
        look.dash_px,
        role.stroke(palette),
        frame.rect,
    ));
    let every = (MARKER_EVERY_S / LINE_STEP_S) as usize;
    if let Some(kind) = look.marker {
        for &at in path.iter().skip(every / 2).step_by(every) {
            if frame.rect.contains(at) {
                painter.extend(marker(kind, at, role.color(palette), palette.chart));
            }
        }
    }
}
