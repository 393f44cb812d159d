//! One row of a sheet: a label and its field.

use chaffinch_craft::{Edit, Plan};
use eframe::egui::{Align2, Sense, Ui, vec2};

use crate::desk::{
    theme::{Palette, Step, space},
    widgets::{tooltip::Explanation, typed_field::TypedField},
};

/// Width of the labels, in points.
const LABEL_PX: f32 = 76.0;

/// Shows `label` and, right of it, what `add_field` adds.
///
/// The label is only painted: the field itself carries a name that is unique in the window.
pub(super) fn field_row<R>(ui: &mut Ui, label: &str, add_field: impl FnOnce(&mut Ui) -> R) -> R {
    labelled_row(ui, (label, LABEL_PX), add_field)
}

/// As [`field_row`], with a label of another width in points.
pub(super) fn labelled_row<R>(
    ui: &mut Ui,
    (label, label_px): (&str, f32),
    add_field: impl FnOnce(&mut Ui) -> R,
) -> R {
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::TIGHT;
        let size = vec2(label_px, space::CONTROL_HEIGHT);
        let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
        let ink = Palette::of(ui).text2;
        ui.painter().text(
            rect.left_center(),
            Align2::LEFT_CENTER,
            label,
            Step::Body.font(),
            ink,
        );
        add_field(ui)
    })
    .inner
}

/// `edit` if the plan takes it, else the plan's reason, for the field that it was typed in.
pub(in crate::desk) fn accepted(plan: &Plan, edit: Edit) -> Result<Edit, String> {
    match plan.edited(&edit) {
        Ok(_) => Ok(edit),
        Err(refusal) => Err(refusal.to_string()),
    }
}

/// A row for one line of words.
#[derive(Clone, Copy, Debug)]
pub(super) struct WordsRow<'a> {
    /// What stands before the field.
    pub(super) label: &'a str,
    /// The field's name in the window.
    pub(super) name: &'a str,
    /// What it holds.
    pub(super) text: &'a str,
    /// What belongs there.
    pub(super) hint: &'a str,
}

impl WordsRow<'_> {
    /// Shows the row; gives the edit that `edit_of` makes of new words, once they are entered and the plan takes them.
    pub(super) fn show(
        self,
        plan: &Plan,
        ui: &mut Ui,
        edit_of: &dyn Fn(String) -> Edit,
    ) -> Option<Edit> {
        field_row(ui, self.label, |ui| {
            TypedField::new(self.name, self.name, self.text)
                .words()
                .width_px(ui.available_width())
                .explained(Explanation {
                    what: self.hint,
                    ..Explanation::default()
                })
                .show(ui, &|typed| {
                    accepted(plan, edit_of(typed.trim().to_owned()))
                })
        })
    }
}
