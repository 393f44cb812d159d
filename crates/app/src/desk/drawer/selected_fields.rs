//! Fields that change all selected points at once.

use super::{
    bar::{STRETCH_PX, heading_text},
    point_fields::{LOCKS, RISE_ENTRY, STRETCHES, TEMP_ENTRY, read_rise},
    tools::{caption, show_in, slot, slot_ui, take_focus},
};
use crate::desk::{
    ask::Ask,
    model::Model,
    view_state::ViewState,
    widgets::{choice::choice, tooltip::Explanation, typed_field::TypedField},
};
use chaffinch_craft::{
    Edit,
    entry::{parse_temp, parse_time_shift},
    units::{format_rise_exact, format_temp_exact},
};
use chaffinch_curve::{ControlPoint, CurvePoint, Offset, PointEdit, PointId};
use eframe::egui::Ui;

/// Shown where the selected points differ.
const MIXED: &str = "mixed";

/// Shows the fields for the points `ids`, two or more.
pub(super) fn ui(
    model: &Model<'_>,
    ids: &[PointId],
    view: &mut ViewState,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let curve = &model.plan.curve;
    let points: Vec<&ControlPoint> = ids.iter().filter_map(|&id| curve.point(id)).collect();
    ui.label(heading_text(&format!("{} points", points.len()), view));
    caption("Move by", ui);
    shift_field(ids, view, asks, ui);
    temp_field(model, &points, view, asks, ui);
    rise_field(model, &points, view, asks, ui);
    let last = curve.last().id;
    let inner: Vec<&ControlPoint> = points
        .iter()
        .copied()
        .filter(|point| point.id != last)
        .collect();
    let segment = common(inner.iter().map(|point| point.segment));
    if let Some(segment) = pick(
        ui,
        "Stretch after the selected points",
        STRETCH_PX,
        &STRETCHES,
        segment,
    ) {
        let edits = inner.iter().map(|point| PointEdit::SetSegment {
            id: point.id,
            segment,
        });
        asks.push(together("Changed stretches after points", edits));
    }
    let lock = common(points.iter().map(|point| point.lock));
    if let Some(lock) = pick(ui, "Lock of the selected points", 92.0, &LOCKS, lock) {
        asks.push(Ask::Apply(Edit::Points(PointEdit::SetLock {
            ids: ids.to_vec(),
            lock,
        })));
    }
}

fn shift_field(ids: &[PointId], view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let explanation = Explanation {
        what: "Moves the selected points in time, their spacing kept.",
        how: "Type 0:15 or 15 for later, -0:15 for earlier.",
        source: "",
    };
    let field = TypedField::new("shift all", "Move the selected points in time", "0:00")
        .width_px(52.0)
        .explained(explanation);
    let mut place = slot_ui(52.0, ui);
    take_focus("shift all", view, &place);
    if let Some(time_s) = show_in(&mut place, field, view, &parse_time_shift) {
        let by = Offset {
            time_s,
            temp_c: 0.0,
        };
        asks.push(Ask::Apply(Edit::Points(PointEdit::Shift {
            ids: ids.to_vec(),
            by,
        })));
    }
}

fn temp_field(
    model: &Model<'_>,
    points: &[&ControlPoint],
    view: &mut ViewState,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let unit = model.unit;
    let shown = common(points.iter().map(|point| point.temp_c)).map_or_else(
        || MIXED.to_owned(),
        |temp_c| format_temp_exact(temp_c, unit),
    );
    let field = TypedField::new(
        "temperature of all",
        "Temperature of the selected points",
        &shown,
    )
    .width_px(58.0)
    .unit(unit.symbol())
    .explained(TEMP_ENTRY);
    // A change such as +5 counts for each point from its own temperature.
    let parse = |text: &str| {
        points
            .iter()
            .map(|point| parse_temp(text, point.temp_c, unit))
            .collect()
    };
    let typed: Option<Vec<f64>> = slot(field, 76.0, view, ui, &parse);
    if let Some(temps_c) = typed {
        let edits = points
            .iter()
            .zip(temps_c)
            .map(|(point, temp_c)| PointEdit::Move {
                id: point.id,
                to: CurvePoint {
                    temp_c,
                    ..point.place()
                },
            });
        asks.push(together("Changed temperature of points", edits));
    }
}

fn rise_field(
    model: &Model<'_>,
    points: &[&ControlPoint],
    view: &mut ViewState,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let unit = model.unit;
    let shown = match common(points.iter().map(|point| point.pinned_rise_c_per_s)) {
        Some(Some(rise_c_per_s)) => format_rise_exact(rise_c_per_s, unit),
        Some(None) => "free".to_owned(),
        None => MIXED.to_owned(),
    };
    let field = TypedField::new("rise of all", "Pinned rise of the selected points", &shown)
        .width_px(54.0)
        .unit(unit.rise_symbol())
        .explained(RISE_ENTRY);
    let parse = |text: &str| read_rise(text, None::<f64>, unit);
    if let Some(rise_c_per_s) = slot(field, 96.0, view, ui, &parse) {
        let edits = points.iter().map(|point| PointEdit::PinRise {
            id: point.id,
            rise_c_per_s,
        });
        asks.push(together("Changed rise at points", edits));
    }
}

fn together(label: &'static str, edits: impl Iterator<Item = PointEdit>) -> Ask {
    Ask::Apply(Edit::Together(label, edits.map(Edit::Points).collect()))
}

/// A choice that may stand at nothing, where the points differ.
fn pick<T: Copy + PartialEq>(
    ui: &mut Ui,
    name: &str,
    width_px: f32,
    options: &[(T, &'static str)],
    chosen: Option<T>,
) -> Option<T> {
    let mut labels: Vec<&str> = options.iter().map(|(_, label)| *label).collect();
    let index = options
        .iter()
        .position(|(option, _)| Some(*option) == chosen);
    if index.is_none() {
        labels.push(MIXED);
    }
    let picked = choice(ui, name, width_px, &labels, index.unwrap_or(options.len()));
    picked
        .and_then(|picked| options.get(picked))
        .map(|(option, _)| *option)
}

/// The value that all share.
fn common<T: PartialEq>(mut values: impl Iterator<Item = T>) -> Option<T> {
    let first = values.next()?;
    values.all(|value| value == first).then_some(first)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn common_value_is_found_only_where_all_agree() {
        assert_eq!(common([2, 2, 2].into_iter()), Some(2), "all agree");
        assert_eq!(common([2, 3].into_iter()), None, "they differ");
        assert_eq!(common(std::iter::empty::<u8>()), None, "nothing there");
    }
}
