//! The airflow schedule as a table.

use super::{
    points_table::{HEADER_PX, head_cell},
    tools::{ROW_PX, caption, read, slot, tipped_button},
};
use crate::desk::{
    ask::Ask,
    model::Model,
    paint::icons::Icon,
    theme::{Step, space},
    view_state::ViewState,
    widgets::{
        buttons::icon_button, segmented::segmented, tooltip::Explanation, typed_field::TypedField,
    },
};
use chaffinch_craft::{
    AirEdit, AirPoint, AirShape, AirflowSchedule, Edit, MIN_AIR_GAP_S,
    entry::{parse_percent, parse_time},
    units::{format_number_exact, format_time_field},
};
use eframe::egui::{Align, Layout, Ui};
use egui_extras::{Column, TableBuilder, TableRow};

const SHAPES: [(AirShape, &str); 2] = [(AirShape::Steps, "Steps"), (AirShape::Ramps, "Ramps")];
/// How long after the last point a new one comes, in s, if the schedule has room for it.
const NEW_POINT_AFTER_S: f64 = 60.0;
/// Widths of the columns of times and of settings, in points.
const TIME_PX: f32 = 84.0;
const PERCENT_PX: f32 = 96.0;
/// Widths of the columns, in points: number, time, setting, remove.
const WIDTHS_PX: [f32; 4] = [56.0, TIME_PX, PERCENT_PX, 40.0];

const TIME_ENTRY: Explanation<'static> = Explanation {
    what: "Time since charge at which the fan gets this setting.",
    how: "Type 9:30, 570 s or 9.5 min; +5 and -0:15 change it.",
    source: "",
};
const PERCENT_ENTRY: Explanation<'static> = Explanation {
    what: "Setting of the fan, in per cent of its full setting.",
    how: "0 to 100; +5 and -5 change it.",
    source: "",
};

/// Buttons and choices for the airflow.
pub(super) fn tools(model: &Model<'_>, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let schedule = &model.plan.airflow;
    if tipped_button("Add", "Add an airflow point after the last one", true, ui).clicked() {
        asks.push(Ask::Apply(Edit::Air(next_point(schedule))));
    }
    ui.add_space(space::NEAR);
    caption("Between points", ui);
    let chosen = SHAPES
        .iter()
        .position(|(shape, _)| *shape == schedule.shape());
    let labels = SHAPES.map(|(_, label)| label);
    if let Some(picked) = segmented(
        ui,
        "Airflow between points",
        &labels,
        chosen.unwrap_or_default(),
    ) {
        asks.push(Ask::Apply(Edit::Air(AirEdit::SetShape(SHAPES[picked].0))));
    }
}

/// A point after the last, at its setting; as late as the schedule allows when there is less room.
fn next_point(schedule: &AirflowSchedule) -> AirEdit {
    let (last_s, percent) = schedule
        .points()
        .last()
        .map_or((0.0, 100.0), |last| (last.time_s, last.percent));
    let time_s = (last_s + NEW_POINT_AFTER_S)
        .min(chaffinch_curve::MAX_TIME_S)
        .max(last_s + MIN_AIR_GAP_S);
    AirEdit::Insert { time_s, percent }
}

/// Shows the table over the place that is left.
pub(super) fn ui(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let mut table = TableBuilder::new(ui)
        .id_salt("airflow table")
        .striped(false)
        .cell_layout(Layout::left_to_right(Align::Center))
        .auto_shrink([false, false])
        // Otherwise the table asks for more than a low window has.
        .min_scrolled_height(0.0);
    for width_px in WIDTHS_PX {
        table = table.column(Column::exact(width_px).clip(true));
    }
    let header = |mut row: TableRow<'_, '_>| {
        for (text, side) in [
            ("Point", Align::Min),
            ("Time", Align::Max),
            ("Fan %", Align::Max),
            ("", Align::Min),
        ] {
            row.col(|ui| head_cell(text, side, ui));
        }
    };
    table.header(HEADER_PX, header).body(|mut body| {
        for (point, number) in model.plan.airflow.points().iter().zip(1..) {
            body.row(ROW_PX, |mut row| {
                air_row(model, (point, number), view, asks, &mut row);
            });
        }
    });
}

fn air_row(
    model: &Model<'_>,
    (point, number): (&AirPoint, usize),
    view: &mut ViewState,
    asks: &mut Vec<Ask>,
    row: &mut TableRow<'_, '_>,
) {
    row.col(|ui| {
        ui.add_space(space::INNER);
        ui.label(Step::Body.text(number.to_string()));
    });
    row.col(|ui| time_cell(model, (point, number), view, asks, ui));
    row.col(|ui| percent_cell(model, (point, number), view, asks, ui));
    row.col(|ui| remove_cell(point, number, asks, ui));
}

fn time_cell(
    model: &Model<'_>,
    (point, number): (&AirPoint, usize),
    view: &mut ViewState,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let AirPoint { id, time_s, .. } = *point;
    let (name, shown) = (
        format!("Time of airflow point {number}"),
        format_time_field(time_s),
    );
    let field = TypedField::new(("air time", id.0), &name, &shown)
        .width_px(TIME_PX)
        .explained(TIME_ENTRY);
    let parse = |text: &str| {
        read(model.plan, parse_time(text, time_s), |time_s| {
            moved(AirPoint { time_s, ..*point })
        })
    };
    let edit = ui
        .add_enabled_ui(number > 1, |ui| slot(field, TIME_PX, view, ui, &parse))
        .inner;
    asks.extend(edit.map(Ask::Apply));
}

fn percent_cell(
    model: &Model<'_>,
    (point, number): (&AirPoint, usize),
    view: &mut ViewState,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let AirPoint { id, percent, .. } = *point;
    let (name, shown) = (
        format!("Setting of airflow point {number}"),
        format_number_exact(percent),
    );
    let field = TypedField::new(("air percent", id.0), &name, &shown)
        .width_px(PERCENT_PX)
        .explained(PERCENT_ENTRY);
    let edit = slot(field, PERCENT_PX, view, ui, &|text| {
        read(model.plan, parse_percent(text, percent), |percent| {
            moved(AirPoint { percent, ..*point })
        })
    });
    asks.extend(edit.map(Ask::Apply));
}

fn moved(point: AirPoint) -> Edit {
    Edit::Air(AirEdit::Move {
        id: point.id,
        time_s: point.time_s,
        percent: point.percent,
    })
}

fn remove_cell(point: &AirPoint, number: usize, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let is_first = number == 1;
    let hint = if is_first {
        "the first one sets the fan at charge and stays"
    } else {
        ""
    };
    let name = format!("Remove airflow point {number}");
    let pressed = ui
        .add_enabled_ui(!is_first, |ui| icon_button(ui, Icon::Cross, &name, hint))
        .inner;
    if pressed.clicked() {
        asks.push(Ask::Apply(Edit::Air(AirEdit::Remove(point.id))));
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::missing_assert_message,
        reason = "a test may stop at the first surprise"
    )]
    use super::*;
    use chaffinch_craft::AirId;

    fn schedule(last_s: f64) -> AirflowSchedule {
        let point = |id, time_s, percent| AirPoint {
            id: AirId(id),
            time_s,
            percent,
        };
        AirflowSchedule::new(
            AirShape::Steps,
            vec![point(1, 0.0, 80.0), point(2, last_s, 65.0)],
        )
        .unwrap()
    }

    #[test]
    fn new_point_keeps_the_last_setting_and_is_accepted() {
        for (last_s, expected_s) in [(120.0, 180.0), (3570.0, 3600.0)] {
            let after = schedule(last_s)
                .edited(&next_point(&schedule(last_s)))
                .unwrap();
            let last = after.points()[2];
            assert_eq!((last.time_s, last.percent), (expected_s, 65.0));
        }
    }

    #[test]
    fn new_point_after_the_latest_time_is_refused_with_a_reason() {
        let refusal = schedule(3600.0)
            .edited(&next_point(&schedule(3600.0)))
            .unwrap_err();
        assert!(refusal.to_string().contains("3600"), "{refusal}");
    }
}
