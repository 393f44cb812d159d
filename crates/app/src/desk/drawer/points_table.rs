//! The curve as a table: the accessible form of the chart.

use super::{
    point_fields::{Place, PointRow},
    tools::{ROW_PX, caption, command_button},
};
use crate::desk::{
    ask::Ask,
    commands::Command,
    model::Model,
    paint::icons::{Icon, icon},
    theme::{Palette, Step, radius, space},
    view_state::ViewState,
    widgets::{focus, segmented::segmented_with_tips},
};
use chaffinch_craft::Edit;
use chaffinch_curve::{PointEdit, PointId, SetpointCurve, Shape};
use eframe::egui::{Align, Layout, Modifiers, Rect, Role, Sense, Ui, Vec2, WidgetInfo, vec2};
use egui_extras::{Column, TableBuilder, TableRow};

/// Shapes, with what is said of them on hover.
const SHAPES: [(Shape, (&str, &str)); 2] = [
    (
        Shape::Monotone,
        (
            "No overshoot",
            "Monotone: between two points the curve stays between their temperatures; the rise has corners",
        ),
    ),
    (
        Shape::Smooth,
        (
            "Smooth",
            "The rise has no corners; the curve may overshoot a point",
        ),
    ),
];
/// Up to so many points every row is laid out, so that Tab and screen readers reach all; above, only what is in view.
const WHOLE_TABLE_ROWS: usize = 60;
/// Height of the line of heads, in points.
pub(super) const HEADER_PX: f32 = 20.0;
/// Widths of the columns, in points: number, time, temperature, rise, pinned, stretch, lock.
const WIDTHS_PX: [f32; 7] = [56.0, 84.0, 96.0, 96.0, 60.0, 104.0, 148.0];

/// Buttons and choices for the points.
pub(super) fn tools(model: &Model<'_>, view: &ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let has_points = !view.selection.is_empty() || view.current.is_some();
    command_button(Command::AddPoint, "Add", true, asks, ui);
    command_button(Command::Remove, "Remove", has_points, asks, ui);
    command_button(Command::Copy, "Copy", true, asks, ui);
    command_button(Command::Paste, "Paste…", true, asks, ui);
    let is_stretch = view.selection.len() > 1;
    command_button(
        Command::StraightenRise,
        "Straighten rise",
        is_stretch,
        asks,
        ui,
    );
    command_button(Command::EaseIntoDrop, "Ease into drop", true, asks, ui);
    ui.add_space(space::NEAR);
    caption("Shape", ui);
    let chosen = SHAPES
        .iter()
        .position(|(shape, _)| *shape == model.plan.curve.shape());
    let labels = SHAPES.map(|(_, words)| words);
    if let Some(picked) = segmented_with_tips(
        ui,
        "Shape of the curve",
        &labels,
        chosen.unwrap_or_default(),
    ) {
        asks.push(Ask::Apply(Edit::Points(PointEdit::SetShape(
            SHAPES[picked].0,
        ))));
    }
}

/// Shows the table over the place that is left.
pub(super) fn ui(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let count = model.plan.curve.points().len();
    let row_to_show = newly_current(model, view, ui);
    let mut table = TableBuilder::new(ui)
        .id_salt("points table")
        .striped(false)
        .sense(Sense::CLICK)
        .cell_layout(Layout::left_to_right(Align::Center))
        .auto_shrink([false, false])
        // Otherwise the table asks for more than a low window has.
        .min_scrolled_height(0.0);
    for width_px in WIDTHS_PX {
        table = table.column(Column::exact(width_px).clip(true));
    }
    if let Some(index) = row_to_show {
        table = table.scroll_to_row(index, None);
    }
    let symbols = [model.unit.symbol(), model.unit.rise_symbol()];
    table
        .header(HEADER_PX, |row| header(row, symbols))
        .body(|mut body| {
            let mut show = |mut row: TableRow<'_, '_>| {
                if let Some(facts) = PointRow::at(model, row.index(), Place::Table) {
                    point_row(&facts, model, view, asks, &mut row);
                }
            };
            if count <= WHOLE_TABLE_ROWS {
                for _ in 0..count {
                    body.row(ROW_PX, &mut show);
                }
            } else {
                body.rows(ROW_PX, count, show);
            }
        });
}

/// The row of the current point, in the frame in which it became current.
fn newly_current(model: &Model<'_>, view: &ViewState, ui: &Ui) -> Option<usize> {
    let id = ui.scope_id().with("current point shown last");
    let before = ui
        .data(|data| data.get_temp::<Option<PointId>>(id))
        .flatten();
    ui.data_mut(|data| data.insert_temp(id, view.current));
    let current = view.current.filter(|_| before != view.current);
    current.and_then(|id| model.plan.curve.index_of(id))
}

fn header(mut row: TableRow<'_, '_>, [temp, rise]: [&str; 2]) {
    let heads = [
        ("Point".to_owned(), Align::Min),
        ("Time".to_owned(), Align::Max),
        (format!("Temperature {temp}"), Align::Max),
        (format!("Rise {rise}"), Align::Max),
        ("Pinned".to_owned(), Align::Min),
        ("To the next point".to_owned(), Align::Min),
        ("Lock".to_owned(), Align::Min),
    ];
    for (text, side) in heads {
        row.col(|ui| head_cell(&text, side, ui));
    }
}

/// A word above a column, at the side where the column's values stand.
pub(super) fn head_cell(text: &str, side: Align, ui: &mut Ui) {
    let layout = match side {
        Align::Max => Layout::right_to_left(Align::Center),
        _ => Layout::left_to_right(Align::Center),
    };
    let words = Step::Small.text(text).color(Palette::of(ui).text2);
    ui.with_layout(layout, |ui| ui.label(words));
}

fn point_row(
    facts: &PointRow<'_>,
    model: &Model<'_>,
    view: &mut ViewState,
    asks: &mut Vec<Ask>,
    row: &mut TableRow<'_, '_>,
) {
    let id = facts.point.id;
    let standing = Standing {
        is_selected: view.selection.contains(&id),
        is_current: view.current == Some(id),
    };
    row.set_selected(standing.is_selected);
    let mut is_picked = false;
    row.col(|ui| is_picked = number_cell(facts.number, standing, ui));
    let [_, time_px, temp_px, rise_px, _, stretch_px, lock_px] = WIDTHS_PX;
    row.col(|ui| facts.time(time_px, view, asks, ui));
    row.col(|ui| facts.temp([temp_px, 0.0], view, asks, ui));
    row.col(|ui| facts.rise([rise_px, 0.0], view, asks, ui));
    row.col(|ui| {
        ui.add_space(space::NEAR);
        facts.pin("", asks, ui);
    });
    row.col(|ui| {
        plain_ink(ui);
        if !facts.is_last {
            facts.stretch(stretch_px, asks, ui);
        }
    });
    row.col(|ui| {
        plain_ink(ui);
        facts.lock(lock_px, asks, ui);
    });
    let ground = row.response();
    if is_picked || ground.clicked() {
        let modifiers = ground.ctx.input(|input| input.modifiers);
        pick(view, &model.plan.curve, id, modifiers);
    }
}

/// A selected row would have its words in the colour of the focus.
fn plain_ink(ui: &mut Ui) {
    ui.visuals_mut().override_text_color = None;
}

/// How a row stands out.
#[derive(Clone, Copy, Debug)]
struct Standing {
    is_selected: bool,
    is_current: bool,
}

/// The number of a point, as a button that selects its row. A dot stands beside a selected one, an arrow beside the
/// current one, so that colour isn't alone in saying it.
fn number_cell(number: usize, standing: Standing, ui: &mut Ui) -> bool {
    let palette = Palette::of(ui);
    let Standing {
        is_selected,
        is_current,
    } = standing;
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), ROW_PX - 2.0), Sense::click());
    let spoken = format!("Row of point {number}");
    response
        .widget_info(|| WidgetInfo::selected(Role::Button, ui.is_enabled(), is_selected, &spoken));
    let middle = rect.left_center() + vec2(12.0, 0.0);
    if is_current {
        let square = Rect::from_center_size(middle, Vec2::splat(11.0));
        ui.painter()
            .extend(icon(Icon::FoldClosed, square, palette.text));
    } else if is_selected {
        ui.painter().circle_filled(middle, 3.0, palette.text);
    }
    let step = if is_selected || is_current {
        Step::Strong
    } else {
        Step::Body
    };
    let words = ui
        .painter()
        .layout_no_wrap(number.to_string(), step.font(), palette.text);
    let corner = rect.right_center() - vec2(words.size().x + space::INNER, words.size().y / 2.0);
    ui.painter().galley(corner, words, palette.text);
    focus::ring(
        ui,
        &response.clone().with_new_rect(rect.shrink(3.0)),
        radius::FIELD,
    );
    response
        .on_hover_text(
            "Click to select; with Shift the rows between too, with Ctrl in or out one by one",
        )
        .clicked()
}

/// Selects by a click: plain only this point; with Ctrl in or out; with Shift all from the current point to it.
fn pick(view: &mut ViewState, curve: &SetpointCurve, id: PointId, modifiers: Modifiers) {
    let anchor = view.current.and_then(|current| curve.index_of(current));
    match (anchor, curve.index_of(id)) {
        (Some(anchor), Some(index)) if modifiers.shift => {
            let (first, last) = (anchor.min(index), anchor.max(index));
            // The current point stays, so that the next click with Shift counts from it again.
            view.selection = curve.points()[first..=last]
                .iter()
                .map(|point| point.id)
                .collect();
        }
        _ if modifiers.command => view.toggle(id),
        _ => view.select_only(id),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::missing_assert_message, reason = "the test's name says it")]
    use super::*;
    use chaffinch_craft::{Derived, Outlook, Plan};
    use chaffinch_curve::{ControlPoint, PointEdit};

    fn curve() -> SetpointCurve {
        let points = [(1, 0.0), (7, 60.0), (3, 120.0), (4, 180.0), (9, 240.0)];
        let point =
            |(id, time_s): (u32, f64)| ControlPoint::new(PointId(id), time_s, 100.0 + time_s / 4.0);
        let curve = &Plan::fresh().curve;
        curve
            .edited(&PointEdit::Replace(points.map(point).to_vec()))
            .unwrap_or_else(|_| curve.clone())
    }

    fn picked(clicks: &[(u32, Modifiers)]) -> (Vec<u32>, Option<u32>) {
        let plan = Plan::fresh();
        let mut view = ViewState::of(&plan, &Derived::of(&plan), &Outlook::of(&plan));
        for &(id, modifiers) in clicks {
            pick(&mut view, &curve(), PointId(id), modifiers);
        }
        let selected = view.selected(&curve()).into_iter().map(|id| id.0).collect();
        (selected, view.current.map(|id| id.0))
    }

    #[test]
    fn plain_click_selects_one_row() {
        assert_eq!(
            picked(&[(7, Modifiers::NONE), (4, Modifiers::NONE)]),
            (vec![4], Some(4))
        );
    }

    #[test]
    fn click_with_ctrl_takes_rows_in_and_out() {
        let clicks = [
            (7, Modifiers::NONE),
            (4, Modifiers::COMMAND),
            (9, Modifiers::COMMAND),
            (4, Modifiers::COMMAND),
        ];
        assert_eq!(picked(&clicks).0, [7, 9]);
    }

    #[test]
    fn clicks_with_shift_count_from_the_same_row() {
        let clicks = [(3, Modifiers::NONE), (9, Modifiers::SHIFT)];
        assert_eq!(picked(&clicks), (vec![3, 4, 9], Some(3)));
        let clicks = [
            (3, Modifiers::NONE),
            (9, Modifiers::SHIFT),
            (7, Modifiers::SHIFT),
        ];
        assert_eq!(picked(&clicks), (vec![7, 3], Some(3)));
    }

    #[test]
    fn click_with_shift_and_nothing_current_selects_one_row() {
        assert_eq!(picked(&[(3, Modifiers::SHIFT)]), (vec![3], Some(3)));
    }
}
