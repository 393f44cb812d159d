//! Marks and finishes by name and number: the typed form of what the temperature lane drags.

use chaffinch_craft::{Edit, Finish, FinishEdit, MarkName, entry, limits::MAX_FINISHES, units};
use eframe::egui::Ui;

use super::{
    AtFirst,
    field_row::{accepted, labelled_row},
    remembered_card,
};
use crate::desk::{
    ask::Ask,
    model::Model,
    paint::icons::Icon,
    theme::space,
    widgets::{
        buttons::{ButtonLook, icon_button, wide_button},
        tooltip::Explanation,
        typed_field::TypedField,
    },
};

/// Width of a temperature field, in points.
const TEMP_FIELD_PX: f32 = 56.0;
/// Width of the names of marks and finishes, in points.
const NAME_FIELD_PX: f32 = 84.0;

pub(super) fn ui(model: &Model<'_>, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let marks = &model.plan.marks;
    let summary = format!(
        "{}, {}, {} finishes",
        units::format_temp_with_unit(marks.colour_change_c, model.unit),
        units::format_temp_with_unit(marks.first_crack_c, model.unit),
        model.plan.finishes.finishes().len()
    );
    remembered_card(
        ui,
        "Marks and finishes",
        ["", &summary],
        AtFirst::Folded,
        |ui| {
            let marks = [
                (MarkName::ColourChange, marks.colour_change_c),
                (MarkName::FirstCrack, marks.first_crack_c),
            ];
            for (mark, temp_c) in marks {
                asks.extend(mark_row(model, mark, temp_c, ui).map(Ask::Apply));
            }
            ui.separator();
            for finish in model.plan.finishes.finishes().iter().rev() {
                asks.extend(
                    finish_row(model, finish, ui).map(|edit| Ask::Apply(Edit::Finish(edit))),
                );
            }
            asks.extend(add_button(model, ui).map(|edit| Ask::Apply(Edit::Finish(edit))));
        },
    );
}

fn mark_row(model: &Model<'_>, mark: MarkName, temp_c: f64, ui: &mut Ui) -> Option<Edit> {
    let what = match mark {
        MarkName::ColourChange => {
            "Bean temperature at which green turns yellow-brown: drying ends, browning begins."
        }
        MarkName::FirstCrack => {
            "Bean temperature at which first crack is expected: browning ends, development begins."
        }
    };
    let name = format!("Temperature of {}", mark.label().to_lowercase());
    labelled_row(ui, (mark.label(), NAME_FIELD_PX), |ui| {
        let edit_of = |temp_c| Edit::SetMark { mark, temp_c };
        temp_field(model, &name, what, temp_c, ui, &edit_of).map(edit_of)
    })
}

fn finish_row(model: &Model<'_>, finish: &Finish, ui: &mut Ui) -> Option<FinishEdit> {
    let id = finish.id;
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::TIGHT;
        let name = format!("Name of finish {}", finish.name);
        let renamed = TypedField::new(("finish name", id.0), &name, &finish.name)
            .words()
            .width_px(NAME_FIELD_PX)
            .show(ui, &|typed| {
                let edit = FinishEdit::Rename {
                    id,
                    name: typed.to_owned(),
                };
                accepted(model.plan, Edit::Finish(edit.clone())).map(|_| edit)
            });
        let name = format!("Temperature of finish {}", finish.name);
        let what = "Bean temperature at which to drop for this finish.";
        let move_to = |temp_c| FinishEdit::Move { id, temp_c };
        let edit_of = |temp_c| Edit::Finish(move_to(temp_c));
        let moved = temp_field(model, &name, what, finish.temp_c, ui, &edit_of).map(move_to);
        let is_last = model.plan.finishes.finishes().len() == 1;
        let hint = if is_last {
            "a plan needs at least one"
        } else {
            ""
        };
        let name = format!("Remove finish {}", finish.name);
        let remove = ui.add_enabled_ui(!is_last, |ui| {
            icon_button(ui, Icon::Cross, &name, hint).clicked()
        });
        renamed
            .or(moved)
            .or(remove.inner.then_some(FinishEdit::Remove(id)))
    })
    .inner
}

/// A field for a temperature; gives a new one in °C if the plan takes the edit that `edit_of` makes of it.
fn temp_field(
    model: &Model<'_>,
    name: &str,
    what: &str,
    temp_c: f64,
    ui: &mut Ui,
    edit_of: &dyn Fn(f64) -> Edit,
) -> Option<f64> {
    TypedField::new(name, name, &units::format_temp_field(temp_c, model.unit))
        .width_px(TEMP_FIELD_PX)
        .unit(model.unit.symbol())
        .explained(Explanation {
            what,
            how: "Usual values differ from machine to machine, because probes do.",
            source: "Common practice, no published source.",
        })
        .show(ui, &|typed| {
            let temp_c =
                entry::parse_temp(typed, temp_c, model.unit).map_err(|error| error.to_string())?;
            accepted(model.plan, edit_of(temp_c)).map(|_| temp_c)
        })
}

/// Adds a finish at the chosen one's temperature, ready to be named and moved.
fn add_button(model: &Model<'_>, ui: &mut Ui) -> Option<FinishEdit> {
    let finishes = model.plan.finishes.finishes();
    let has_room = finishes.len() < MAX_FINISHES;
    let add = ui.add_enabled_ui(has_room, |ui| {
        wide_button(ui, ButtonLook::Plain, "Add finish")
    });
    let response = add
        .inner
        .on_hover_text("Add another temperature to drop at; then name it and set its temperature")
        .on_disabled_hover_text(format!("A ladder holds at most {MAX_FINISHES} finishes"));
    let is_free = |name: &String| finishes.iter().all(|finish| finish.name != *name);
    response.clicked().then(|| FinishEdit::Add {
        name: (1..=MAX_FINISHES)
            .map(|number| format!("finish {number}"))
            .find(is_free)
            .unwrap_or_default(),
        temp_c: model.plan.finish().temp_c,
    })
}
