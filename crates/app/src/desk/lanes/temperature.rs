//! The temperature lane: the drawn curve with its control points, forecast and reach, marks, findings and plans behind.

use super::{
    super::{
        ask::Ask,
        commands::Command,
        model::Model,
        paint::{dash::dashed, strokes::LineRole},
        snapping::temp_on_grid,
        theme::Palette,
        transform,
        view_state::ViewState,
        window_span::Lane,
    },
    behind, cursor, forecast,
    frame::{self, LaneFrame},
    ground::{self, Behind, LegendEntry},
    handles, line, marks, measure, moment, navigate, rail, reworked, stretches,
};
use crate::desk::axis;
use chaffinch_craft::{Edit, units::TempUnit};
use chaffinch_curve::{CurvePoint, PointEdit};
use eframe::egui::{
    CornerRadius, Painter, PointerButton, Rect, Response, Stroke, StrokeKind, Ui, pos2, vec2,
};
use egui_plot::Line;

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
    forecast::paint_ground(&painter, model, frame, palette);
    marks::paint(&painter, model, frame, palette);
    marks::paint_ceiling(&painter, model, frame, palette);
    ground::paint_boundaries(&painter, frame, phases, palette);
    behind::paint(&painter, model, frame, behind::Figure::Temperature, palette);
    behind::paint_key(&painter, model, frame, palette);
    paint_pivot(&painter, model, view, frame, palette);
    paint_past_drop(&painter, model, frame, palette);
    reworked::paint_band(&painter, model, frame, palette);
    if let Some(ghost) = model.ghost {
        let curve = &ghost.plan.curve;
        let places = line::temperature(curve, &ghost.derived.samples, [0.0, curve.end_s()]);
        let path = line::path(&places, 0.0, frame);
        let look = LineRole::Preview.look();
        let stroke = LineRole::Preview.stroke(palette);
        painter.extend(dashed(&path, look.dash_px, stroke, frame.rect));
    }
    forecast::paint_line(&painter, model, frame, palette);
    let until_s = model.derived.end_of_roast_s(model.plan);
    let response = frame.show_plot(ui, "Temperature lane", |plot| {
        let places = line::temperature(&model.plan.curve, &model.derived.samples, [0.0, until_s]);
        plot.line(
            Line::new("Curve", line::plot_points(&places))
                .color(palette.setpoint)
                .width(LineRole::Curve.look().width_px)
                .allow_hover(false),
        );
    });
    frame::speak(ui, &response, || forecast::spoken(model));
    stretches::paint(&painter, model, frame, palette);
    cursor::paint_lines(&painter, view, frame, palette);
    navigate::navigate(
        ui,
        &response,
        frame,
        Some(Lane::Temperature),
        &mut view.lanes,
    );
    background(model, view, frame, &response, asks, ui);
    marks::ui(model, view, frame, asks, ui);
    rail::ui(model, Lane::Temperature, frame, asks, ui);
    measure::ui(model, view, frame, ui);
    let hovered = handles::ui(model, view, frame, asks, ui);
    ground::paint_axis(&painter, frame, &ticks, model.unit.symbol(), palette);
    legend(model, frame, &painter, palette);
    forecast::paint_words(&painter, model, frame, palette);
    if let Some(id) = hovered {
        cursor::paint_point(&painter, model, view, frame, id, palette);
    } else if let Some(pointer) = response.hover_pos()
        && view.gesture.is_none()
        && view.box_from.is_none()
    {
        moment::paint_temperature(&painter, model, frame, pointer, palette);
    }
}

/// Plans behind have a key of their own.
fn legend(model: &Model<'_>, frame: &LaneFrame, painter: &Painter, palette: &Palette) {
    let names = reworked::curve_names(model);
    let mut entries = vec![LegendEntry::line(LineRole::Curve, names.curve)];
    if model.outlook.foreseen().is_some() {
        entries.push(LegendEntry {
            role: LineRole::Forecast,
            name: "Forecast",
            behind: if model.spread.is_some() {
                Behind::Spread
            } else {
                Behind::Nothing
            },
        });
    }
    if !model.outlook.corridor.highest_c.is_empty() {
        entries.push(LegendEntry {
            role: LineRole::ReachEdge,
            name: "Reach",
            behind: Behind::Hatch,
        });
    }
    if model.ghost.is_some() {
        // Behind the curve that it is to be compared with.
        let preview = LegendEntry {
            role: LineRole::Preview,
            name: names.preview,
            behind: if reworked::has_band(model) {
                Behind::Guessed
            } else {
                Behind::Nothing
            },
        };
        entries.insert(1, preview);
    }
    let at = frame.rect.left_top() + vec2(12.0, 14.0);
    ground::paint_head(painter, frame, at, "Temperature", &entries, palette);
}

/// The temperature that stays while the drawer's form scales temperatures.
fn paint_pivot(
    painter: &Painter,
    model: &Model<'_>,
    view: &ViewState,
    frame: &LaneFrame,
    palette: &Palette,
) {
    let Some(pivot_c) = transform::shown_pivot_c(model.plan, view) else {
        return;
    };
    let y = frame.screen_y_from_value(pivot_c);
    let path = [pos2(frame.rect.left(), y), pos2(frame.rect.right(), y)];
    let stroke = Stroke::new(1.5, palette.accent);
    painter.extend(dashed(&path, &[2.0, 4.0], stroke, frame.rect));
}

/// The curve behind the drop is drawn thin and dashed: it won't be roasted.
fn paint_past_drop(painter: &Painter, model: &Model<'_>, frame: &LaneFrame, palette: &Palette) {
    let drop_s = model.derived.end_of_roast_s(model.plan);
    let curve = &model.plan.curve;
    let places = line::temperature(curve, &model.derived.samples, [drop_s, curve.end_s()]);
    let look = LineRole::PastDrop.look();
    painter.extend(dashed(
        &line::path(&places, 0.0, frame),
        look.dash_px,
        LineRole::PastDrop.stroke(palette),
        frame.rect,
    ));
}

/// The nearest place that can be read and typed; the same grid that a drag snaps to.
fn on_grid(at: CurvePoint, unit: TempUnit) -> CurvePoint {
    CurvePoint {
        time_s: at.time_s.round(),
        temp_c: temp_on_grid(at.temp_c, unit),
    }
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
                at: on_grid(frame.curve_from_screen(at), model.unit),
            }
        } else {
            PointEdit::InsertOnCurve {
                time_s: frame.time_from_screen_x(at.x).round(),
            }
        };
        asks.push(Ask::Apply(Edit::Points(edit)));
    } else if response.clicked() {
        asks.push(Ask::Do(Command::SelectNone));
        // The keyboard follows the pointer into the chart.
        asks.push(Ask::Do(Command::FocusCurve));
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
