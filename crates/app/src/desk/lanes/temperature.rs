//! The temperature lane: the drawn curve with its control points, marks, findings and plans behind.

use super::{
    super::{
        ask::Ask,
        commands::Command,
        model::Model,
        paint::{dash::dashed, strokes::LineRole},
        theme::Palette,
        view_state::ViewState,
        window_span::Lane,
    },
    behind, cursor,
    frame::LaneFrame,
    ground::{self, LegendEntry},
    handles, marks, navigate, rail,
};
use crate::desk::axis;
use chaffinch_craft::Edit;
use chaffinch_curve::{PointEdit, Samples};
use eframe::egui::{
    CornerRadius, Painter, PointerButton, Pos2, Rect, Response, Stroke, StrokeKind, Ui, vec2,
};
use egui_plot::{Line, PlotPoint, PlotPoints};

/// Least distance between two lines of the grid.
pub(super) const GRID_GAP_PX: f32 = 34.0;

/// Shows the lane.
pub(super) fn ui(
    model: &Model<'_>,
    view: &mut ViewState,
    frame: &LaneFrame,
    time_ticks: &[axis::Tick],
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let palette = Palette::of(ui);
    let ticks = axis::temp_ticks(frame.values, frame.rect.height(), GRID_GAP_PX, model.unit);
    let painter = ui.painter().clone();
    let phases = &model.derived.phases;
    ground::paint(&painter, frame, phases, time_ticks, &ticks, palette);
    marks::paint(&painter, model, frame, palette);
    ground::paint_boundaries(&painter, frame, phases, palette);
    behind::paint(&painter, model, frame, behind::Figure::Temperature, palette);
    paint_past_drop(&painter, model, frame, palette);
    if let Some(ghost) = model.ghost {
        let path = path(&ghost.derived.samples, frame);
        let stroke = Stroke::new(2.0, palette.accent);
        painter.extend(dashed(&path, &[6.0, 3.0], stroke, frame.rect));
    }
    let until_s = model.derived.end_of_roast_s(model.plan);
    let response = frame.show_plot(ui, "Temperature lane", |plot| {
        let points = plot_points(&model.derived.samples, until_s, |index| {
            model.derived.samples.temp_c[index]
        });
        plot.line(
            Line::new("Curve", points)
                .color(palette.setpoint)
                .width(LineRole::Curve.look().width_px)
                .allow_hover(false),
        );
    });
    cursor::paint_lines(&painter, view, frame, palette);
    navigate::navigate(ui, &response, frame, Lane::Temperature, &mut view.lanes);
    background(model, view, frame, &response, asks, ui);
    marks::ui(model, view, frame, asks, ui);
    rail::ui(model, frame, ui);
    let hovered = handles::ui(model, view, frame, asks, ui);
    ground::paint_axis(&painter, frame, &ticks, model.unit.symbol(), palette);
    legend(model, frame, &painter, palette);
    if let Some(id) = hovered {
        cursor::paint_point(&painter, model, view, frame, id, palette);
    } else if let Some(pointer) = response.hover_pos()
        && view.gesture.is_none()
        && view.box_from.is_none()
    {
        cursor::paint_moment(&painter, model, frame, pointer, palette);
    }
}

fn legend(model: &Model<'_>, frame: &LaneFrame, painter: &Painter, palette: &Palette) {
    let mut entries = vec![LegendEntry {
        role: LineRole::Curve,
        name: "Curve",
    }];
    for (index, behind) in model.behind.iter().enumerate() {
        entries.push(LegendEntry {
            role: behind::role(index),
            name: &behind.name,
        });
    }
    let at = frame.rect.left_top() + vec2(12.0, 14.0);
    ground::paint_head(painter, frame, at, "Temperature", &entries, palette);
}

/// Samples up to `until_s` as plot points.
pub(super) fn plot_points(
    samples: &Samples,
    until_s: f64,
    value: impl Fn(usize) -> f64,
) -> PlotPoints<'static> {
    let points: Vec<PlotPoint> = samples
        .time_s
        .iter()
        .enumerate()
        .take_while(|&(_, &time_s)| time_s <= until_s)
        .map(|(index, &time_s)| PlotPoint::new(time_s, value(index)))
        .collect();
    PlotPoints::Owned(points)
}

fn path(samples: &Samples, frame: &LaneFrame) -> Vec<Pos2> {
    let places = samples.time_s.iter().zip(&samples.temp_c);
    places
        .map(|(&time_s, &temp_c)| frame.screen_from(time_s, temp_c))
        .collect()
}

/// The curve behind the drop is drawn thin and dashed: it won't be roasted.
fn paint_past_drop(painter: &Painter, model: &Model<'_>, frame: &LaneFrame, palette: &Palette) {
    let drop_s = model.derived.end_of_roast_s(model.plan);
    let samples = &model.derived.samples;
    let first = samples
        .time_s
        .partition_point(|&time_s| time_s < drop_s)
        .saturating_sub(1);
    let places = samples.time_s[first..].iter().zip(&samples.temp_c[first..]);
    let path: Vec<Pos2> = places
        .map(|(&time_s, &temp_c)| frame.screen_from(time_s, temp_c))
        .collect();
    let look = LineRole::PastDrop.look();
    painter.extend(dashed(
        &path,
        look.dash_px,
        LineRole::PastDrop.stroke(palette),
        frame.rect,
    ));
}

/// Clicks and drags beside all handles: hover, add by double click, box selection.
fn background(
    model: &Model<'_>,
    view: &mut ViewState,
    frame: &LaneFrame,
    response: &Response,
    asks: &mut Vec<Ask>,
    ui: &Ui,
) {
    let modifiers = ui.input(|input| input.modifiers);
    if response.double_clicked_by(PointerButton::Primary)
        && let Some(at) = response.interact_pointer_pos()
    {
        let edit = if modifiers.command {
            PointEdit::InsertAt {
                at: frame.curve_from_screen(at),
            }
        } else {
            PointEdit::InsertOnCurve {
                time_s: frame.time_from_screen_x(at.x).round(),
            }
        };
        asks.push(Ask::Apply(Edit::Points(edit)));
    } else if response.clicked() {
        asks.push(Ask::Do(Command::SelectNone));
    }
    if response.drag_started_by(PointerButton::Primary) {
        view.box_from = ui.input(|input| input.pointer.press_origin());
    }
    let (Some(from), Some(to)) = (view.box_from, response.interact_pointer_pos()) else {
        return;
    };
    let area = Rect::from_two_pos(from, to);
    if response.drag_stopped_by(PointerButton::Primary) {
        view.box_from = None;
        if !modifiers.shift {
            view.selection.clear();
        }
        for point in model.plan.curve.points() {
            if area.contains(frame.screen_from(point.time_s, point.temp_c)) {
                view.selection.insert(point.id);
                view.current = Some(point.id);
            }
        }
        return;
    }
    let palette = Palette::of(ui);
    ui.painter().with_clip_rect(frame.rect).rect(
        area,
        CornerRadius::ZERO,
        palette.halo(),
        Stroke::new(1.0, palette.setpoint),
        StrokeKind::Inside,
    );
}
