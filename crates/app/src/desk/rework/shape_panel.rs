//! Shaping by targets: what is wished of the curve, and what comes of it.
//!
//! Every target stands in the list with what the curve gives now; switched on, it gets a wish that starts from there. Head and outcome
//! stay in place, the list between them scrolls.

mod amount;
mod outcome;
mod target_row;

use super::{
    form::ShapeForm,
    head,
    worker::{Found, Reworked},
};
use crate::desk::{
    ask::Ask,
    layout::LOW_WINDOW_PX,
    model::Model,
    theme::{Palette, Step, space},
    view_state::ViewState,
    widgets::{
        buttons::{ButtonLook, button},
        card::card,
    },
};
use chaffinch_craft::{
    Boundary::{Drop, Mark},
    MarkName::{ColourChange, FirstCrack},
    shape::{ShapeError, Shaped, TargetName, Targets},
};
use chaffinch_curve::PhaseName::{Browning, Development, Drying};
use eframe::egui::{Label, ScrollArea, Ui};

/// Height of what comes of it, in points, and in a low window.
const OUTCOME_PX: f32 = 190.0;
const OUTCOME_LOW_PX: f32 = 128.0;

/// The targets in the groups that they are shown in.
const GROUPS: [(&str, &[TargetName]); 5] = [
    (
        "When",
        &[
            TargetName::Time(Mark(ColourChange)),
            TargetName::Time(Mark(FirstCrack)),
            TargetName::Time(Drop),
        ],
    ),
    (
        "How long",
        &[
            TargetName::Length(Drying),
            TargetName::Length(Browning),
            TargetName::Length(Development),
            TargetName::Share(Drying),
            TargetName::Share(Browning),
            TargetName::Share(Development),
        ],
    ),
    (
        "How fast",
        &[
            TargetName::FallingRise,
            TargetName::PeakRise,
            TargetName::PeakTime,
            TargetName::Rise(Mark(ColourChange)),
            TargetName::Rise(Mark(FirstCrack)),
            TargetName::Rise(Drop),
        ],
    ),
    (
        "How hot",
        &[
            TargetName::StartTemp,
            TargetName::Temp(Mark(ColourChange)),
            TargetName::Temp(Mark(FirstCrack)),
            TargetName::Temp(Drop),
        ],
    ),
    (
        "Bounds",
        &[
            TargetName::WithinReach,
            TargetName::Airflow,
            TargetName::NearCurve,
        ],
    ),
];

pub(super) fn ui(
    model: &Model<'_>,
    form: &mut ShapeForm,
    _view: &mut ViewState,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let sentence = "Switch on what the curve shall do; the smoothest curve that does it is drawn.";
    head::ui(model, "Shape by targets", sentence, asks, ui);
    ui.add_space(space::TIGHT);
    let found = model.rework.and_then(shaped);
    // What comes of it has a place of its own, so that the list doesn't move under the hand that switches.
    let outcome_px = if ui.content_rect().height() < LOW_WINDOW_PX {
        OUTCOME_LOW_PX
    } else {
        OUTCOME_PX
    };
    ScrollArea::vertical()
        .id_salt("shape by targets")
        .max_height(ui.available_height() - outcome_px - space::NEAR)
        .auto_shrink(false)
        .show(ui, |ui| cards(model, form, found, asks, ui));
    ui.add_space(space::TIGHT);
    outcome::ui(model, found, ui);
}

/// What came of shaping, if the answer is about that.
fn shaped(answer: &Reworked) -> Option<&Result<Shaped, ShapeError>> {
    match &answer.found {
        Found::Shape(found) => Some(found),
        Found::Carry(_) => None,
    }
}

fn cards(
    model: &Model<'_>,
    form: &mut ShapeForm,
    found: Option<&Result<Shaped, ShapeError>>,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    for (heading, names) in GROUPS {
        let on = (names.iter())
            .filter(|name| form.targets.wish(**name).is_some())
            .count();
        let aside = match on {
            0 => String::new(),
            on => format!("{on} on"),
        };
        card(ui, heading, &aside, |ui| {
            for &name in names {
                target_row::ui(model, name, &mut form.targets, found, ui);
            }
        });
        ui.add_space(space::TIGHT);
    }
    ui.horizontal_wrapped(|ui| {
        if button(ui, ButtonLook::Link, "From file…").clicked() {
            asks.push(Ask::AskForTargets);
        }
        if form.targets.all().next().is_none() {
            return;
        }
        if button(ui, ButtonLook::Link, "Save targets…").clicked() {
            asks.push(Ask::AskWhereToKeepTargets);
        }
        if button(ui, ButtonLook::Link, "Switch all off").clicked() {
            form.targets = Targets::default();
        }
    });
    let words = "What isn't wished stays as near as may be to what it is. Pins, straight lines and holds give way; locked points don't.";
    ui.add(Label::new(Step::Small.text(words).color(Palette::of(ui).text3)).wrap());
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_target_stands_in_one_group() {
        let shown: Vec<TargetName> = GROUPS
            .iter()
            .flat_map(|(_, names)| *names)
            .copied()
            .collect();
        let once: BTreeSet<TargetName> = shown.iter().copied().collect();
        assert_eq!(shown.len(), once.len(), "none stands twice");
        assert_eq!(once, TargetName::ALL.into_iter().collect(), "all stand");
    }
}
