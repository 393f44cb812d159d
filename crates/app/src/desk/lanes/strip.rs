//! The phase strip: three segments over the shared time axis with name, duration and share; their borders move the
//! boundary in time.

use super::{
    super::{
        ask::Ask,
        model::Model,
        paint::{
            bands::{BandPattern, band},
            marks::marker,
            strokes::{LineRole, Marker},
        },
        theme::{Palette, Step},
        view_state::ViewState,
    },
    frame::LaneFrame,
    hit, keys,
    slider::{self, Spoken, Wish},
};
use chaffinch_craft::{
    Boundary, Edit, MarkName, boundary_limits_s,
    units::{format_share, format_time},
};
use chaffinch_curve::{Phase, Reach};
use eframe::egui::{
    Align2, Color32, CornerRadius, CursorIcon, Id, Painter, Pos2, Rect, Sense, Stroke, Ui, Vec2,
    pos2, vec2,
};

/// Middle of the forecast's triangles above the strip's foot.
const TRIANGLE_PX: f32 = 4.5;
/// Height of the pattern at the strip's foot.
const PATTERN_PX: f32 = 8.0;

/// Size of a border's grip.
const GRIP: Vec2 = vec2(6.0, 16.0);

/// Shows the strip; `frame` has the strip's rectangle and the shared time axis.
pub(super) fn ui(
    model: &Model<'_>,
    view: &mut ViewState,
    frame: &LaneFrame,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let palette = Palette::of(ui);
    paint(&ui.painter().clone(), model, view, frame, palette);
    let phases = &model.derived.phases;
    let mut borders: Vec<(Boundary, f64)> = [
        (
            Boundary::Mark(MarkName::ColourChange),
            &phases.colour_change,
        ),
        (Boundary::Mark(MarkName::FirstCrack), &phases.first_crack),
        (Boundary::Drop, &phases.drop),
    ]
    .into_iter()
    .filter_map(|(boundary, passage)| Some((boundary, passage.reached()?.time_s)))
    .collect();
    // A mark above the finish lies behind the drop.
    borders.sort_by(|one, other| one.1.total_cmp(&other.1));
    let centers: Vec<Pos2> = borders
        .iter()
        .map(|&(_, time_s)| pos2(frame.screen_x_from_time(time_s), frame.rect.center().y))
        .collect();
    let areas = hit::areas(&centers, super::hit_px(ui));
    for (&(boundary, time_s), area) in borders.iter().zip(areas) {
        border(model, view, frame, (boundary, time_s, area), asks, ui);
    }
}

fn paint(
    painter: &Painter,
    model: &Model<'_>,
    view: &ViewState,
    frame: &LaneFrame,
    palette: &Palette,
) {
    let clipped = painter.with_clip_rect(frame.rect);
    let phases = &model.derived.phases;
    let all: [(&str, &Reach<Phase>, Color32, BandPattern); 3] = [
        (
            "Drying",
            &phases.drying,
            palette.drying_strip,
            BandPattern::Plain,
        ),
        (
            "Browning",
            &phases.browning,
            palette.browning_strip,
            BandPattern::Dots,
        ),
        (
            "Development",
            &phases.development,
            palette.development_strip,
            BandPattern::Bars,
        ),
    ];
    for (name, phase, ground, pattern) in all {
        let Reach::At(phase) = phase else { continue };
        let rect = Rect::from_x_y_ranges(
            frame.screen_x_from_time(phase.start_s)..=frame.screen_x_from_time(phase.end_s),
            frame.rect.y_range(),
        );
        clipped.rect_filled(rect, CornerRadius::ZERO, ground);
        let foot = Rect::from_min_max(pos2(rect.left(), rect.bottom() - PATTERN_PX), rect.max);
        clipped.extend(band(pattern, foot.intersect(frame.rect), palette.control));
        segment_text(
            &clipped,
            rect.intersect(frame.rect),
            name,
            phase,
            view,
            palette,
        );
    }
    paint_forecast(&clipped, model, frame, palette);
    if let Reach::At(drop) = &phases.drop {
        let x = frame.screen_x_from_time(drop.time_s) + 8.0;
        if frame.rect.x_range().contains(x) {
            let at = pos2(x, frame.rect.top() + 12.0);
            painter.text(
                at,
                Align2::LEFT_CENTER,
                "Drop",
                Step::Strong.font(),
                palette.text,
            );
            painter.text(
                at + vec2(0.0, 15.0),
                Align2::LEFT_CENTER,
                format_time(drop.time_s),
                Step::Small.font(),
                palette.text2,
            );
        }
    }
}

/// Small triangles at the strip's foot where the forecast changes phase.
fn paint_forecast(painter: &Painter, model: &Model<'_>, frame: &LaneFrame, palette: &Palette) {
    let Some(foreseen) = model.outlook.foreseen() else {
        return;
    };
    let moments = &foreseen.moments;
    let ink = palette.forecast;
    for time_s in [
        moments.colour_change_s,
        moments.first_crack_s,
        moments.drop_s,
    ]
    .into_iter()
    .flatten()
    {
        let at = pos2(
            frame.screen_x_from_time(time_s),
            frame.rect.bottom() - TRIANGLE_PX,
        );
        painter.extend(marker(Marker::Triangle, at, ink, ink));
    }
}

/// Name and figures, as much of them as the segment holds.
fn segment_text(
    painter: &Painter,
    rect: Rect,
    name: &str,
    phase: &Phase,
    view: &ViewState,
    palette: &Palette,
) {
    let share = phase.share.reached().map(|&share| format_share(share));
    let duration = format_time(phase.duration_s);
    let long = share.map_or_else(|| duration.clone(), |share| format!("{duration} · {share}"));
    let figures = if view.gesture.is_some() {
        palette.text
    } else {
        palette.text2
    };
    let room = rect.width() - 12.0;
    for (line, choices, step, color) in [
        (0.0, vec![name.to_owned()], Step::Strong, palette.text),
        (15.0, vec![long, duration], Step::Small, figures),
    ] {
        for text in choices {
            let galley = painter.layout_no_wrap(text, step.font(), color);
            if galley.size().x <= room {
                let top = rect.top() + 4.0 + line;
                painter.galley(pos2(rect.left() + 10.0, top), galley, color);
                break;
            }
        }
    }
}

/// A border that can be dragged sideways.
fn border(
    model: &Model<'_>,
    view: &mut ViewState,
    frame: &LaneFrame,
    (boundary, time_s, area): (Boundary, f64, Rect),
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let palette = Palette::of(ui);
    let x = frame.screen_x_from_time(time_s);
    let seen = frame.rect.x_range().expand(1.0).contains(x);
    let hit = if seen {
        Rect::from_x_y_ranges(area.x_range(), frame.rect.y_range())
    } else {
        Rect::from_center_size(
            pos2(x, frame.rect.center().y),
            vec2(0.0, frame.rect.height()),
        )
    };
    // Limits of the drag are those of the plan it began with; later ones would creep with the drag itself.
    let limits_s = boundary_limits_s(model.history.before_gesture(), boundary);
    let id = Id::unique(("boundary", boundary.label()));
    let response = ui.interact(hit, id, Sense::click_and_drag());
    let spoken = Spoken {
        name: format!("Time of {}", boundary.label().to_lowercase()),
        number: time_s,
        range: limits_s.map_or([time_s; 2], |(least_s, most_s)| [least_s, most_s]),
        text: format_time(time_s),
    };
    let wish = slider::speak(ui, &response, spoken);
    if response.clicked() {
        response.request_focus();
    }
    if response.hovered() || response.dragged() {
        ui.ctx().set_cursor_icon(CursorIcon::ResizeHorizontal);
    }
    let allowed = |wished_s: f64| {
        limits_s.map_or(wished_s, |(least_s, most_s)| {
            wished_s.clamp(least_s, most_s.max(least_s))
        })
    };
    if let Some(at) = slider::follow(ui, &response, pos2(x, 0.0), view, asks) {
        let to_s = allowed(frame.time_from_screen_x(at.x).round());
        asks.push(Ask::Drag(Edit::MoveBoundary { boundary, to_s }));
    }
    let wished_s = wish.map(|wish| match wish {
        Wish::Steps { time, value } => time_s.round() + (time + value) * keys::TIME_STEP_S,
        Wish::Number(number) => number,
        Wish::Least => f64::NEG_INFINITY,
        Wish::Most => f64::INFINITY,
    });
    if let Some(wished_s) = wished_s {
        asks.push(slider::ask(
            ui,
            view,
            Edit::MoveBoundary {
                boundary,
                to_s: allowed(wished_s),
            },
        ));
    }
    if seen {
        let strong = response.hovered() || response.dragged();
        let width = if strong { 3.5 } else { 2.0 };
        let stroke = Stroke::new(width, LineRole::Curve.color(palette));
        ui.painter().vline(x, frame.rect.y_range(), stroke);
        // A grip, so that a border can be told from a line.
        let grip = Rect::from_center_size(pos2(x, frame.rect.center().y), GRIP);
        let round = CornerRadius::same(2);
        ui.painter().rect_filled(grip, round, stroke.color);
        if response.has_focus() {
            let ring =
                Rect::from_center_size(pos2(x, hit.center().y), vec2(10.0, frame.rect.height()));
            super::focus_ring(ui.painter(), ring, palette);
        }
    }
    response.on_hover_text(tip(boundary));
}

/// What dragging a border does.
fn tip(boundary: Boundary) -> &'static str {
    match boundary {
        Boundary::Mark(MarkName::ColourChange) => {
            "Drag sideways to move colour change in time; the curve beside it flexes, first crack and drop stay"
        }
        Boundary::Mark(MarkName::FirstCrack) => {
            "Drag sideways to move first crack in time; the curve beside it flexes, colour change and drop stay"
        }
        Boundary::Drop => {
            "Drag sideways to make development longer or shorter; colour change and first crack stay"
        }
    }
}
