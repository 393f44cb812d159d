//! Points to and from the clipboard of a spreadsheet.
//!
//! egui turns the usual keys into events; these count for points only while no text field has the focus.

use super::{
    ask::Ask,
    commands::Command,
    dialogs::{Dialog, PasteForm},
    model::Model,
    view_state::ViewState,
};
use chaffinch_craft::units::TempUnit;
use chaffinch_shelf::table_text::{Row, points_to_tsv};
use eframe::egui::{Event, Ui};

/// The selected points, or all when none is selected, as a table for a spreadsheet.
pub fn copy_points(model: &Model<'_>, view: &ViewState) -> String {
    let takes_all = view.selection.is_empty();
    let points = model.plan.curve.points().iter().zip(&model.derived.points);
    let rows: Vec<Row> = points
        .filter(|(point, _)| takes_all || view.selection.contains(&point.id))
        .map(|(point, facts)| Row {
            time_s: point.time_s,
            temp_c: point.temp_c,
            rise_c_per_s: facts.rise_c_per_s,
        })
        .collect();
    points_to_tsv(&rows)
}

/// Turns the clipboard's events of this frame into asks, unless a text field or a dialog takes them. A pasted table that
/// doesn't say its unit is tried in the one that is `shown`.
pub fn take_events(view: &ViewState, shown: TempUnit, asks: &mut Vec<Ask>, ui: &Ui) {
    if view.dialog.is_some() || ui.ctx().text_edit_focused() {
        return;
    }
    ui.input(|input| {
        asks.extend(input.events.iter().filter_map(|event| match event {
            Event::Copy => Some(Ask::Do(Command::Copy)),
            Event::Paste(text) => {
                let form = PasteForm::new(text.clone(), shown);
                Some(Ask::Open(Dialog::Paste(form)))
            }
            _ => None,
        }));
    });
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::missing_assert_message,
        reason = "a test may stop at the first surprise"
    )]
    use super::*;
    use chaffinch_craft::{Derived, History, Outlook, Plan};
    use chaffinch_shelf::table_text::{Unstated, read_points};
    use eframe::egui::{Context, RawInput};

    fn copied(selects_last: bool) -> (Plan, String) {
        let plan = Plan::fresh();
        let (derived, outlook) = (Derived::of(&plan), Outlook::of(&plan));
        let history = History::of_unsaved(plan.clone());
        let mut view = ViewState::of(&plan, &derived, &outlook);
        if selects_last {
            view.select_only(plan.curve.last().id);
        }
        let text = copy_points(&Model::new(&plan, &derived, &outlook, &history), &view);
        (plan, text)
    }

    #[test]
    fn copied_points_read_back_as_the_same_places() {
        let (plan, text) = copied(false);
        let places: Vec<_> = plan
            .curve
            .points()
            .iter()
            .map(chaffinch_curve::ControlPoint::place)
            .collect();
        assert_eq!(
            read_points(&text, Unstated::default()).unwrap().points,
            places
        );
    }

    #[test]
    fn only_selected_points_are_copied_when_some_are() {
        let (plan, text) = copied(true);
        assert_eq!(
            read_points(&text, Unstated::default()).unwrap().points,
            [plan.curve.last().place()]
        );
    }

    /// What a paste asks for while a text field has the focus or not.
    fn asked_on_paste(is_typing: bool) -> Vec<Ask> {
        let plan = Plan::fresh();
        let view = ViewState::of(&plan, &Derived::of(&plan), &Outlook::of(&plan));
        let (ctx, mut asks, mut text) = (Context::default(), Vec::new(), String::new());
        for events in [
            Vec::new(),
            vec![Event::Paste("0\t105\n480\t214".to_owned())],
        ] {
            let input = RawInput {
                events,
                ..RawInput::default()
            };
            let output = ctx.run_ui(input, |ui| {
                take_events(&view, TempUnit::Celsius, &mut asks, ui);
                let field = ui.text_edit_singleline(&mut text);
                if is_typing {
                    field.request_focus();
                }
            });
            output.drop_without_applying_deltas();
        }
        asks
    }

    #[test]
    fn paste_opens_the_preview_only_when_no_text_field_takes_it() {
        let asks = asked_on_paste(false);
        assert!(
            matches!(&asks[..], [Ask::Open(Dialog::Paste(form))] if form.read().is_ok()),
            "{asks:?}"
        );
        let asks = asked_on_paste(true);
        assert!(asks.is_empty(), "{asks:?}");
    }
}
