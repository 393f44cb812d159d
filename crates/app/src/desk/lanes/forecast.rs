//! What the model foresees, in the temperature lane: corridor, spread, forecast and its drop, or why there is none.

use super::{
    super::{
        model::Model,
        paint::{
            dash::dashed,
            marks::marker,
            strokes::{LineRole, Marker},
        },
        theme::{Palette, Step},
    },
    frame::LaneFrame,
    line, reach, spread,
};
use chaffinch_craft::{
    Foreseen, no_forecast_text,
    units::{format_temp_shift_with_unit, format_time},
};
use eframe::egui::{
    CornerRadius, Painter, Rect,
    text::{LayoutJob, TextWrapping},
    vec2,
};

/// Draws corridor and spread on the lane's ground: goes under marks, boundaries and all lines.
pub(super) fn paint_ground(
    painter: &Painter,
    model: &Model<'_>,
    frame: &LaneFrame,
    palette: &Palette,
) {
    let corridor = &model.outlook.corridor;
    reach::paint_hatch(
        painter,
        &corridor.lowest_c,
        &corridor.highest_c,
        frame,
        palette,
    );
    if let Some(spread) = model.spread {
        spread::paint(painter, spread, frame, palette);
    }
    reach::paint_edges(painter, corridor, frame, palette);
}

/// Draws the forecast of the probe and a cross where it drops; goes under the curve.
pub(super) fn paint_line(
    painter: &Painter,
    model: &Model<'_>,
    frame: &LaneFrame,
    palette: &Palette,
) {
    let Some(foreseen) = model.outlook.foreseen() else {
        return;
    };
    paint_seconds(painter, &foreseen.trace.probe_c, 0, frame, palette);
    if let Some(drop_s) = foreseen.moments.drop_s {
        let at = frame.screen_from(drop_s, model.plan.finish().temp_c);
        let clipped = painter.with_clip_rect(frame.rect);
        clipped.extend(marker(Marker::Cross, at, palette.forecast, palette.chart));
    }
}

/// A forecast line through values that stand a second apart from second `from` on, in the lane's unit.
pub(super) fn paint_seconds(
    painter: &Painter,
    values: &[f64],
    from: usize,
    frame: &LaneFrame,
    palette: &Palette,
) {
    let role = LineRole::Forecast;
    let seconds = (from..).map(|second| second as f64);
    let places: Vec<line::Place> = seconds.zip(values.iter().copied()).collect();
    let path = line::thinned(&line::path(&places, 0.0, frame));
    painter.with_clip_rect(frame.rect).extend(dashed(
        &path,
        role.look().dash_px,
        role.stroke(palette),
        frame.rect,
    ));
}

/// Says below the lane's legend why there is no forecast, or that its spread is on its way.
pub(super) fn paint_words(
    painter: &Painter,
    model: &Model<'_>,
    frame: &LaneFrame,
    palette: &Palette,
) {
    if model.is_spread_pending {
        spread::paint_pending(painter, frame, palette);
    }
    let Some(reason) = no_forecast(model) else {
        return;
    };
    // Two sentences fit a line; outcome and findings have all of them.
    let sentences: Vec<&str> = reason.split(". ").take(2).collect();
    let reason = sentences.join(". ");
    let mut job = LayoutJob::simple_singleline(reason, Step::Small.font(), palette.text);
    job.wrap = TextWrapping::truncate_at_width(frame.rect.width() - 24.0);
    let words = painter.layout_job(job);
    let at = frame.rect.left_top() + vec2(12.0, 26.0);
    let plate = Rect::from_min_size(at, words.size()).expand2(vec2(5.0, 2.0));
    let painter = painter.with_clip_rect(frame.rect);
    let ground = palette.chart.gamma_multiply(0.85);
    painter.rect_filled(plate, CornerRadius::same(3), ground);
    painter.galley(at, words, palette.text);
}

/// Why there is no forecast; nothing where there is one.
pub(super) fn no_forecast(model: &Model<'_>) -> Option<String> {
    const HEAD: &str = "No forecast";
    let text = no_forecast_text(model.outlook.limits().first()?, model.unit);
    Some(if text.starts_with(HEAD) {
        text
    } else {
        format!("{HEAD}. {text}")
    })
}

/// What a screen reader hears of the temperature lane.
pub(super) fn spoken(model: &Model<'_>) -> String {
    let Some(foreseen) = model.outlook.foreseen() else {
        return no_forecast(model).unwrap_or_default();
    };
    let drop = foreseen.moments.drop_s.map_or_else(
        || "doesn't reach the finish".to_owned(),
        |drop_s| format!("drops at {}", format_time(drop_s)),
    );
    let spread = model.spread.and_then(|spread| spread.drop.time_s.as_ref());
    let spread = spread.map_or_else(String::new, |band| {
        format!(
            ", in 80 of 100 roasts between {} and {}",
            format_time(band.p10),
            format_time(band.p90)
        )
    });
    format!("Forecast {drop}{spread}; {}", miss(model, foreseen))
}

fn miss(model: &Model<'_>, foreseen: &Foreseen) -> String {
    let Some(met_s) = foreseen.met_s else {
        return "it never meets the curve".to_owned();
    };
    let miss = foreseen.greatest_miss_k;
    format!(
        "it meets the curve at {} and misses it by at most {} at {}",
        format_time(met_s as f64),
        format_temp_shift_with_unit(miss.value, model.unit),
        format_time(miss.time_s as f64)
    )
}

/// The second of the trace that a moment lies in; nothing outside the forecast.
pub(super) fn second_at(foreseen: &Foreseen, time_s: f64) -> Option<usize> {
    let second = time_s.round();
    let last = foreseen.trace.len().checked_sub(1)?;
    (0.0 <= second && second <= last as f64).then_some(second as usize)
}
