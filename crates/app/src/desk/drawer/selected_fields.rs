//! Fields that change all selected points at once.

use super::{
    bar::{STRETCH_PX, heading_text},
    point_fields::{LOCKS, RISE_ENTRY, STRETCHES, read_rise},
    tools::{bar_slot, caption, read},
};
use crate::desk::{
    ask::Ask,
    model::Model,
    view_state::ViewState,
    widgets::{choice::choice, tooltip::Explanation, typed_field::TypedField},
};
use chaffinch_craft::{
    Edit,
    entry::{parse_temp_shift, parse_time_shift},
    units::format_rise_field,
};
use chaffinch_curve::{ControlPoint, Offset, PointEdit, PointId};
use eframe::egui::Ui;

/// Shown where the selected points differ.
const MIXED: &str = "mixed";

/// Shows the fields for the points `ids`, two or more.
pub(super) fn ui(
    model: &Model<'_>,
    ids: &[PointId],
    is_narrow: bool,
    view: &mut ViewState,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let curve = &model.plan.curve;
    let points: Vec<&ControlPoint> = ids.iter().filter_map(|&id| curve.point(id)).collect();
    ui.label(heading_text(&format!("{} points", points.len()), view));
    // A plain number moves times and temperatures and sets the rise; the words before a field must say so.
    caption(
        if is_narrow {
            "Move by"
        } else {
            "Move in time by"
        },
        ui,
    );
    let edits = [
        time_field(model, ids, view, ui),
        {
            if !is_narrow {
                caption("Move temperature by", ui);
            }
            temp_field(model, ids, view, ui)
        },
        {
            caption("Set rise to", ui);
            rise_field(model, &points, view, ui)
        },
        run_choice(&points, curve.last().id, ui),
        lock_choice(&points, ids, ui),
    ];
    asks.extend(edits.into_iter().flatten().map(Ask::Apply));
}

fn time_field(
    model: &Model<'_>,
    ids: &[PointId],
    view: &mut ViewState,
    ui: &mut Ui,
) -> Option<Edit> {
    let explanation = Explanation {
        what: "Moves the selected points in time, their spacing kept.",
        how: "Type 0:15 or 15 for later, -0:15 for earlier.",
        source: "",
    };
    let field = TypedField::new("shift all", "Move the selected points in time by", "0:00")
        .width_px(52.0)
        .explained(explanation);
    bar_slot(field, (52.0, true), view, ui, &|text| {
        read(model.plan, parse_time_shift(text), |time_s| {
            shifted(
                ids,
                Offset {
                    time_s,
                    temp_c: 0.0,
                },
            )
        })
    })
}

fn temp_field(
    model: &Model<'_>,
    ids: &[PointId],
    view: &mut ViewState,
    ui: &mut Ui,
) -> Option<Edit> {
    let unit = model.unit;
    let explanation = Explanation {
        what: "Moves the selected points in temperature, each from its own.",
        how: "Type 5 for hotter, -5 for cooler.",
        source: "",
    };
    let name = "Move the temperature of the selected points by";
    let field = TypedField::new("temperature of all", name, "0")
        .width_px(46.0)
        .unit(unit.symbol())
        .explained(explanation);
    bar_slot(field, (64.0, false), view, ui, &|text| {
        read(model.plan, parse_temp_shift(text, unit), |temp_c| {
            shifted(
                ids,
                Offset {
                    time_s: 0.0,
                    temp_c,
                },
            )
        })
    })
}

fn rise_field(
    model: &Model<'_>,
    points: &[&ControlPoint],
    view: &mut ViewState,
    ui: &mut Ui,
) -> Option<Edit> {
    let unit = model.unit;
    let shown = match common(points.iter().map(|point| point.rise_by_hand_c_per_s())) {
        Some(Some(rise_c_per_s)) => format_rise_field(rise_c_per_s, unit),
        Some(None) => "free".to_owned(),
        None => MIXED.to_owned(),
    };
    let explanation = Explanation {
        what: "Pins the rate of rise of all selected points to one number.",
        ..RISE_ENTRY
    };
    let name = "Set the rise of the selected points to";
    let field = TypedField::new("rise of all", name, &shown)
        .width_px(54.0)
        .unit(unit.rise_symbol())
        .explained(explanation);
    bar_slot(field, (96.0, false), view, ui, &|text| {
        read(model.plan, read_rise(text, None::<f64>, unit), |rise| {
            let edits = points.iter().map(|point| PointEdit::PinRise {
                id: point.id,
                rise_c_per_s: rise,
            });
            together("Changed rise at points", edits)
        })
    })
}

/// How the curve runs from each of the points to the next; the `last` of the curve has none.
fn run_choice(points: &[&ControlPoint], last: PointId, ui: &mut Ui) -> Option<Edit> {
    let inner = points.iter().filter(|point| point.id != last);
    let segment = common(inner.clone().map(|point| point.segment));
    let name = "From the selected points to the next";
    let segment = pick(ui, name, STRETCH_PX, &STRETCHES, segment)?;
    let edits = inner.map(|point| PointEdit::SetSegment {
        id: point.id,
        segment,
    });
    Some(together("Changed the curve after points", edits))
}

fn lock_choice(points: &[&ControlPoint], ids: &[PointId], ui: &mut Ui) -> Option<Edit> {
    let lock = common(points.iter().map(|point| point.lock));
    let lock = pick(ui, "Lock of the selected points", 92.0, &LOCKS, lock)?;
    Some(Edit::Points(PointEdit::SetLock {
        ids: ids.to_vec(),
        lock,
    }))
}

fn shifted(ids: &[PointId], by: Offset) -> Edit {
    Edit::Points(PointEdit::Shift {
        ids: ids.to_vec(),
        by,
    })
}

fn together(label: &'static str, edits: impl Iterator<Item = PointEdit>) -> Edit {
    Edit::Together(label, edits.map(Edit::Points).collect())
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
