//! What a rework adds to the lanes of temperature and effort: the new plan beside the old one, and how uncertain it is.

use super::{
    super::{
        model::Model,
        paint::{dash::dashed, ribbon::ribbon, strokes::LineRole},
        rework::Found,
        theme::Palette,
        view_state::ViewState,
        window_span::ViewStep,
    },
    fit,
    frame::LaneFrame,
    ground::LegendEntry,
    line,
};
use chaffinch_craft::{
    carry::{CarryBand, CarryOver},
    units::{format_share_whole, percent_from_share},
};
use eframe::egui::{Color32, Painter, Pos2, Stroke, Ui};

/// How strongly the band is tinted.
const BAND_SHARE: f32 = 0.16;
/// Dash of the band's edges, on and off, in points; and their width.
const EDGE_DASH_PX: [f32; 2] = [1.0, 3.0];
const EDGE_PX: f32 = 1.0;

/// What the curve and the preview are called in a legend.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct CurveNames {
    /// The plan on the desk.
    pub(super) curve: &'static str,
    /// Its rate of rise.
    pub(super) rate: &'static str,
    /// The plan as it would be.
    pub(super) preview: &'static str,
}

/// While a rework is looked at, the two curves are the old and the new one.
pub(super) fn curve_names(model: &Model<'_>) -> CurveNames {
    if model.rework.is_some() {
        CurveNames {
            curve: "Old",
            rate: "Old",
            preview: "New",
        }
    } else {
        CurveNames {
            curve: "Curve",
            rate: "Drawn",
            preview: "Preview",
        }
    }
}

/// Grows a view of the whole plan to the whole of the reworked one, once each time that this ends elsewhere; not under a held button.
pub(super) fn grow_view(model: &Model<'_>, view: &mut ViewState, ui: &Ui) {
    let outcome = model.rework.and_then(|reworked| reworked.found.outcome());
    let Some((plan, after, _)) = outcome else {
        view.held.rework_end_s = None;
        return;
    };
    let end_s = Some(plan.curve.end_s());
    if view.held.rework_end_s == end_s || ui.input(|input| input.pointer.any_down()) {
        return;
    }
    view.held.rework_end_s = end_s;
    let before = fit::whole_plan(model.plan, model.derived, model.outlook);
    let shown = view.lanes.current();
    let grown = fit::grown(shown, &before, plan, (&after.derived, &after.outlook));
    view.lanes.go(grown, ViewStep::Continues);
}

/// The band round the new curve from what nobody measured; goes under both curves.
pub(super) fn paint_band(
    painter: &Painter,
    model: &Model<'_>,
    frame: &LaneFrame,
    palette: &Palette,
) {
    let Some(band) = band(model) else {
        return;
    };
    let step = (line::COLUMN_PX / frame.px_per_s() as f32).floor().max(1.0) as usize;
    let path = |temps_c: &[f64]| -> Vec<Pos2> {
        let seconds = line::shown_seconds(frame, temps_c.len()).step_by(step);
        seconds
            .map(|second| frame.screen_from(second as f64, temps_c[second]))
            .collect()
    };
    let [lowest, highest] = [path(&band.lowest_c), path(&band.highest_c)];
    let tint = band_tint(palette);
    painter
        .with_clip_rect(frame.rect)
        .add(ribbon(&lowest, &highest, tint));
    let stroke = Stroke::new(EDGE_PX, palette.accent);
    for edge in [lowest, highest] {
        painter.extend(dashed(&edge, &EDGE_DASH_PX, stroke, frame.rect));
    }
}

/// The tint of the band.
pub(super) fn band_tint(palette: &Palette) -> Color32 {
    palette.accent.gamma_multiply(BAND_SHARE)
}

/// Whether the new curve has a band.
pub(super) fn has_band(model: &Model<'_>) -> bool {
    carried(model).is_some_and(|found| !found.sensitivities.is_empty())
}

fn band(model: &Model<'_>) -> Option<CarryBand> {
    carried(model)?.band_c()
}

fn carried<'a>(model: &Model<'a>) -> Option<&'a CarryOver> {
    match &model.rework?.found {
        Found::Carry(found) => found.as_ref().as_ref().ok(),
        Found::Shape(_) => None,
    }
}

/// The new plan's heater and fan, over those of the old one.
pub(super) fn paint_effort(
    painter: &Painter,
    model: &Model<'_>,
    frame: &LaneFrame,
    palette: &Palette,
) {
    let Some((plan, after, _)) = model.rework.and_then(|reworked| reworked.found.outcome()) else {
        return;
    };
    if let Some(foreseen) = after.outlook.foreseen() {
        let efforts = foreseen.trace.effort.iter().copied();
        let places = line::each_second(efforts.map(percent_from_share));
        paint_line(painter, &places, frame, LineRole::PreviewHeater, palette);
    }
    let end_s = after.derived.end_of_roast_s(plan);
    let places = line::airflow(&plan.airflow, end_s);
    paint_line(painter, &places, frame, LineRole::PreviewAir, palette);
}

fn paint_line(
    painter: &Painter,
    places: &[line::Place],
    frame: &LaneFrame,
    role: LineRole,
    palette: &Palette,
) {
    let path = line::thinned(&line::path(places, 0.0, frame));
    let clipped = painter.with_clip_rect(frame.rect);
    let stroke = role.stroke(palette);
    clipped.extend(dashed(&path, role.look().dash_px, stroke, frame.rect));
}

/// What the effort lane's legend says of the new plan.
pub(super) fn effort_entries(model: &Model<'_>) -> Vec<LegendEntry<'static>> {
    let outcome = model.rework.and_then(|reworked| reworked.found.outcome());
    let Some((_, after, _)) = outcome else {
        return Vec::new();
    };
    let heater = after.outlook.foreseen().is_some();
    let heater = heater.then(|| LegendEntry::line(LineRole::PreviewHeater, "New heater"));
    let air = LegendEntry::line(LineRole::PreviewAir, "New air");
    heater.into_iter().chain([air]).collect()
}

/// What a screen reader hears of the new plan's effort, to go behind that of the old one.
pub(super) fn spoken_effort(model: &Model<'_>) -> String {
    let outcome = model.rework.and_then(|reworked| reworked.found.outcome());
    let Some((plan, after, _)) = outcome else {
        return String::new();
    };
    let end_s = after.derived.end_of_roast_s(plan);
    let air = format!("air {:.0} %", plan.airflow.percent(end_s));
    let foreseen = after.outlook.foreseen();
    let last = foreseen.and_then(|foreseen| foreseen.trace.effort.last());
    match last {
        Some(&effort) => format!("; new: heater {}, {air}", format_share_whole(effort)),
        None => format!("; new: {air}, heater not foreseen"),
    }
}

/// Where the lines of the new effort run, for words that make way for them.
pub(super) fn effort_points(model: &Model<'_>, frame: &LaneFrame) -> Vec<Pos2> {
    let outcome = model.rework.and_then(|reworked| reworked.found.outcome());
    let foreseen = outcome.and_then(|(_, after, _)| after.outlook.foreseen());
    let efforts = foreseen.map_or(&[][..], |foreseen| &foreseen.trace.effort);
    let place = |(second, &effort): (usize, &f64)| {
        frame.screen_from(second as f64, percent_from_share(effort))
    };
    efforts.iter().enumerate().map(place).collect()
}
