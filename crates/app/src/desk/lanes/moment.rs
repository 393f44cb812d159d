//! What stands beside the pointer in a lane: what is drawn and what is foreseen at that moment.

use super::{
    super::{
        model::Model,
        theme::{Palette, Step},
    },
    forecast,
    frame::LaneFrame,
    line,
    readout::{self, Row},
};
use chaffinch_craft::units::{
    CelsiusDifference, TempUnit, format_number, format_rise_with_unit, format_share_whole,
    format_temp_with_unit, format_time,
};
use chaffinch_twin::trust;
use eframe::egui::{Painter, Pos2, Rect, Stroke, Vec2, vec2};

/// What the readout in a corner of the temperature lane keeps free at the head: the legend …
const LEGEND_ROOM: Vec2 = vec2(8.0, 32.0);
/// … and at the foot: the findings' rail.
const RAIL_ROOM: Vec2 = vec2(8.0, 28.0);

/// In the temperature lane: the curve, the forecast of the probe, the beans, and what heater and fan do.
pub(super) fn paint_temperature(
    painter: &Painter,
    model: &Model<'_>,
    frame: &LaneFrame,
    pointer: Pos2,
    palette: &Palette,
) {
    let Some(time_s) = time_on_curve(model, frame, pointer) else {
        return;
    };
    let curve = &model.plan.curve;
    let on_curve = frame.screen_from(time_s, curve.temp_c(time_s));
    let ring = Stroke::new(1.5, palette.setpoint);
    painter
        .with_clip_rect(frame.rect)
        .circle(on_curve, 3.0, palette.chart, ring);
    let strong = |text: String| (text, Step::Strong, palette.text);
    let small = |text: String| (text, Step::Small, palette.text2);
    let air = format!("air {:.0} %", model.plan.airflow.percent(time_s));
    let mut rows = vec![
        vec![
            strong(format_time(time_s)),
            strong(format_temp_with_unit(curve.temp_c(time_s), model.unit)),
        ],
        vec![
            small(format_rise_with_unit(
                curve.rise_c_per_s(time_s),
                model.unit,
            )),
            small(air),
        ],
    ];
    if let Some(foreseen) = model.outlook.foreseen()
        && let Some(second) = forecast::second_at(foreseen, time_s)
    {
        let trace = &foreseen.trace;
        let temp = |temp_c: f64| format_temp_with_unit(temp_c, model.unit);
        rows.push(vec![
            (
                format!("forecast {}", temp(trace.probe_c[second])),
                Step::Small,
                palette.forecast,
            ),
            small(format!(
                "heater {}",
                format_share_whole(trace.effort[second])
            )),
        ]);
        rows.push(vec![
            small(with_trust(
                "surface",
                trace.surface_c[second],
                trust::SURFACE_K,
                model.unit,
            )),
            small(with_trust(
                "core",
                trace.core_c[second],
                trust::CORE_K,
                model.unit,
            )),
        ]);
    }
    let room = Rect::from_min_max(frame.rect.min + LEGEND_ROOM, frame.rect.max - RAIL_ROOM);
    let lines = lines(model, frame);
    readout::in_corner(painter, room, pointer, &lines, &rows, palette);
}

/// Points of what the lane draws, a few pixels apart: curve, forecast, and the corridor's edges.
fn lines(model: &Model<'_>, frame: &LaneFrame) -> Vec<Pos2> {
    const STEP_PX: f64 = 4.0;
    let step = (STEP_PX / frame.px_per_s()).ceil().max(1.0) as usize;
    let samples = &model.derived.samples;
    let corridor = &model.outlook.corridor;
    let forecast = model.outlook.foreseen();
    let forecast = forecast.map_or(&[][..], |foreseen| &foreseen.trace.probe_c);
    let each_second = [forecast, &corridor.lowest_c, &corridor.highest_c];
    let curve = samples
        .time_s
        .iter()
        .copied()
        .zip(samples.temp_c.iter().copied());
    let foreseen = each_second
        .into_iter()
        .flat_map(|temps_c| line::each_second(temps_c.iter().copied()));
    let all = curve.step_by(step).chain(foreseen.step_by(step));
    all.map(|(time_s, temp_c)| frame.screen_from(time_s, temp_c))
        .collect()
}

/// In the rise lane: the rate that is drawn and the one that is foreseen.
pub(super) fn paint_rise(
    painter: &Painter,
    model: &Model<'_>,
    frame: &LaneFrame,
    pointer: Pos2,
    palette: &Palette,
) {
    let Some(time_s) = time_on_curve(model, frame, pointer) else {
        return;
    };
    let rise = |rise_c_per_s: f64| format_rise_with_unit(rise_c_per_s, model.unit);
    let mut rows = vec![time_row(
        time_s,
        rise(model.plan.curve.rise_c_per_s(time_s)),
        palette,
    )];
    if let Some(foreseen) = model.outlook.foreseen()
        && let Some(second) = forecast::second_at(foreseen, time_s)
    {
        let foreseen = rise(foreseen.rise_c_per_s[second]);
        rows.push(vec![(
            format!("forecast {foreseen}"),
            Step::Small,
            palette.forecast,
        )]);
    }
    readout::beside(painter, frame.rect, pointer, &rows, palette);
}

/// In the effort lane: heater and air, and what each could or must be.
pub(super) fn paint_effort(
    painter: &Painter,
    model: &Model<'_>,
    frame: &LaneFrame,
    pointer: Pos2,
    palette: &Palette,
) {
    let Some(time_s) = time_on_curve(model, frame, pointer) else {
        return;
    };
    let air = format!("air {:.0} %", model.plan.airflow.percent(time_s));
    let mut rows = vec![time_row(time_s, air, palette)];
    let small = |text: String| (text, Step::Small, palette.text2);
    if let Some(foreseen) = model.outlook.foreseen()
        && let Some(second) = forecast::second_at(foreseen, time_s)
    {
        let limit = format_share_whole(foreseen.effort_limit[second]);
        rows.push(vec![
            (
                format!(
                    "heater {}",
                    format_share_whole(foreseen.trace.effort[second])
                ),
                Step::Small,
                palette.heater,
            ),
            small(format!("of {limit}")),
        ]);
    }
    let least = model.outlook.least_air_percent.get(time_s.round() as usize);
    if let Some(least) = least {
        rows.push(vec![small(format!("least air {least:.0} %"))]);
    }
    readout::beside(painter, frame.rect, pointer, &rows, palette);
}

fn time_row(time_s: f64, value: String, palette: &Palette) -> Row {
    let strong = |text| (text, Step::Strong, palette.text);
    vec![strong(format_time(time_s)), strong(value)]
}

/// The moment under the pointer, if the curve reaches there.
fn time_on_curve(model: &Model<'_>, frame: &LaneFrame, pointer: Pos2) -> Option<f64> {
    let time_s = frame.time_from_screen_x(pointer.x);
    (0.0..=model.plan.curve.end_s())
        .contains(&time_s)
        .then_some(time_s)
}

/// A temperature of the beans with how far it may be trusted: "core 186 ±7 °C". No decimals: they would claim more.
fn with_trust(name: &str, temp_c: f64, trust_k: f64, unit: TempUnit) -> String {
    let shown = format_number(chaffinch_craft::units::Celsius(temp_c).shown(unit), 0);
    let within = format_number(CelsiusDifference(trust_k).shown(unit), 0);
    format!("{name} {shown} ±{within} {}", unit.symbol())
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, clippy::missing_assert_message, reason = "tests")]
    use super::*;

    #[test]
    fn beans_are_told_to_a_degree_with_their_trust() {
        assert_eq!(
            with_trust("core", 186.3, 7.0, TempUnit::Celsius),
            "core 186 ±7 °C"
        );
        // 186.3 °C is 367.34 °F; 7 K are 12.6 °F.
        assert_eq!(
            with_trust("core", 186.3, 7.0, TempUnit::Fahrenheit),
            "core 367 ±13 °F"
        );
    }
}
