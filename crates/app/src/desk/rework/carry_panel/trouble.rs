//! Why nothing came of carrying over, and what to do.

use crate::desk::{
    rework::form::CarryForm,
    theme::{Palette, Step, space},
    widgets::{
        buttons::{ButtonLook, button},
        card::plain_card,
        sign::sign,
    },
};
use chaffinch_craft::{Severity, carry::CarryError};
use eframe::egui::{Label, Role, Ui, WidgetInfo};

/// Shows the reason, what to do, and a button where one press does it.
pub(super) fn ui(error: &CarryError, form: &mut CarryForm, ui: &mut Ui) {
    plain_card(ui, |ui| {
        ui.horizontal_top(|ui| {
            let palette = Palette::of(ui);
            sign(ui, Severity::Stop, palette.raised);
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = space::TIGHT;
                let heading = "It can't be carried over";
                let ink = palette.severity_text(Severity::Stop);
                let spoken = format!("Stop: {heading}");
                ui.add(Label::new(Step::Strong.text(heading).color(ink)).wrap())
                    .widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
                let found = Step::Finding.text(sentence(error)).color(palette.text);
                ui.add(Label::new(found).wrap());
                let advice = Step::Finding.text(advice(error, form)).color(palette.text2);
                ui.add(Label::new(advice).wrap());
                mend(error, form, ui);
            });
        });
    });
    ui.add_space(space::TIGHT);
}

/// The reason with a capital letter and a full stop.
fn sentence(error: &CarryError) -> String {
    let text = error.to_string();
    let mut letters = text.chars();
    let first: String = letters
        .next()
        .into_iter()
        .flat_map(char::to_uppercase)
        .collect();
    format!("{first}{}.", letters.as_str().trim_end_matches('.'))
}

fn advice(error: &CarryError, form: &CarryForm) -> &'static str {
    match error {
        CarryError::Cancelled => "Go on, or leave it.",
        CarryError::Percent { .. } => "Set how far to go between 0 and 100 %.",
        CarryError::NoHistory { .. } => {
            "Leave this, and mend the plan first: its findings say how."
        }
        CarryError::NoForecast { .. } => {
            "Change the coffee, machine or room on the left: a smaller dose, another machine, mains that fit."
        }
        CarryError::MarksTooClose => "The plan stays as it is until then.",
        CarryError::NoCurve => "The plan stays as it is.",
        CarryError::Sheet(_) => "Mend the number on the left.",
        CarryError::Refused(_) if form.set_levels.is_empty() => {
            "Go less far, keep something else, or switch the physics off: the change is too large for this plan."
        }
        CarryError::Refused(_) => "Leave marks and finishes to the layers.",
    }
}

/// One press that takes the cause away, where there is one.
fn mend(error: &CarryError, form: &mut CarryForm, ui: &mut Ui) {
    let words = match error {
        CarryError::MarksTooClose => "Switch practice off",
        CarryError::NoCurve => "Switch physics off",
        CarryError::Refused(_) if !form.set_levels.is_empty() => "Leave all to the layers",
        _ => return,
    };
    if !button(ui, ButtonLook::Plain, words).clicked() {
        return;
    }
    match error {
        CarryError::MarksTooClose => form.practice = false,
        CarryError::NoCurve => form.physics = false,
        _ => form.set_levels.clear(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reasons_are_sentences() {
        let error = CarryError::Percent { found: 120.0 };
        assert_eq!(
            sentence(&error),
            "120 % of the carry-over was asked for; expected 0 to 100 %.",
            "one full stop"
        );
        let error = CarryError::NoCurve;
        assert!(sentence(&error).starts_with("No curve"), "a capital letter");
    }
}
