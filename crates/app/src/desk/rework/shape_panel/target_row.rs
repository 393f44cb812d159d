//! One target: its switch, what the curve gives, and, switched on, what is wished of it.

use super::amount;
use crate::desk::{
    model::Model,
    theme::{Palette, Step, space},
    widgets::{
        choice::choice, focus, sign::sign, tooltip::Explanation, typed_field::TypedField,
        value_slider::value_slider,
    },
};
use chaffinch_craft::{
    Severity,
    shape::{Met, ShapeError, Shaped, TargetName, TargetUnit, Targets, Wish, standing},
    units::TempUnit,
};
use eframe::egui::{Align, Layout, Ui};

/// Width of the choice between exactly, at least, at most and between, in points.
const KIND_PX: f32 = 84.0;
/// Width of a field, in points.
const FIELD_PX: f32 = 54.0;
/// Distance of what is below a switch from the left edge, in points.
const INDENT_PX: f32 = 24.0;
/// Room for a field and its unit before a slider that shares the line, in points.
const KINDS: [&str; 4] = ["exactly", "at least", "at most", "between"];

pub(super) fn ui(
    model: &Model<'_>,
    name: TargetName,
    targets: &mut Targets,
    found: Option<&Result<Shaped, ShapeError>>,
    ui: &mut Ui,
) {
    let wish = targets.wish(name);
    let standing = standing(name, model.plan, model.derived, model.outlook);
    let met = met(name, found).filter(|_| wish.is_some());
    let mut is_on = wish.is_some();
    head(model, name, standing, met, &mut is_on, ui);
    if is_on != wish.is_some() {
        switch(name, is_on, standing, model.unit, targets);
        return;
    }
    let Some(wish) = wish.filter(|_| name.facts().unit != TargetUnit::Nothing) else {
        return;
    };
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        ui.add_space(INDENT_PX);
        ui.vertical(|ui| {
            let wished = body(name, wish, standing, model.unit, ui);
            // The fields and sliders keep to what the target takes; what they don't, it refuses.
            if let Some(wished) = wished
                && let Ok(with) = targets.clone().with(name, wished)
            {
                *targets = with;
            }
        });
    });
}

fn met(name: TargetName, found: Option<&Result<Shaped, ShapeError>>) -> Option<&Met> {
    let shaped = found?.as_ref().ok()?;
    shaped.met.iter().find(|met| met.name == name)
}

/// Switch and name at the left; at the right what the new curve gives, or the old one where nothing is wished.
fn head(
    model: &Model<'_>,
    name: TargetName,
    standing: Option<f64>,
    met: Option<&Met>,
    is_on: &mut bool,
    ui: &mut Ui,
) {
    let palette = Palette::of(ui);
    let facts = name.facts();
    ui.horizontal(|ui| {
        let step = if *is_on { Step::Strong } else { Step::Body };
        let response = ui
            .checkbox(is_on, step.text(facts.label))
            .accessible_name(format!("Target: {}", facts.label))
            .on_hover_text(facts.explanation);
        focus::show(&response);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.spacing_mut().item_spacing.x = space::TIGHT;
            let is_missed = met.is_some_and(|met| 0.0 < met.miss);
            let value = met.map_or(standing, |met| met.found);
            let has_value = facts.unit != TargetUnit::Nothing;
            let words = match (value, met) {
                (Some(value), _) if has_value => name.shown(value, model.unit),
                (None, _) if has_value && name != TargetName::NearCurve => "not reached".to_owned(),
                (_, Some(_)) if is_missed => "does not hold".to_owned(),
                (_, Some(_)) => "holds".to_owned(),
                _ => String::new(),
            };
            let ink = if is_missed {
                palette.caution_text
            } else if met.is_some() {
                palette.text
            } else {
                palette.text3
            };
            ui.label(Step::Body.text(words).color(ink));
            if is_missed {
                sign(ui, Severity::Caution, palette.raised);
            }
        });
    });
}

/// A wish that is switched on starts from what the curve gives.
fn switch(
    name: TargetName,
    is_on: bool,
    standing: Option<f64>,
    unit: TempUnit,
    targets: &mut Targets,
) {
    let taken = std::mem::take(targets);
    *targets = if is_on {
        let wish = first_wish(name, standing, unit);
        let before = taken.clone();
        taken.with(name, wish).unwrap_or(before)
    } else {
        taken.without(name)
    };
}

fn first_wish(name: TargetName, standing: Option<f64>, unit: TempUnit) -> Wish {
    let facts = name.facts();
    let middle = f64::midpoint(facts.least, facts.most);
    let here = amount::rounded(name, standing.unwrap_or(middle), unit);
    let at_most = |value| Wish {
        least: None,
        most: Some(value),
    };
    match (facts.unit, name) {
        (TargetUnit::Nothing, _) => Wish::HOLDS,
        // A few °C leave room for a smoother curve.
        (_, TargetName::NearCurve) => at_most(5.0),
        (_, TargetName::PeakRise) => at_most(here),
        (_, TargetName::Airflow) => Wish::between(here.min(facts.most - 10.0), facts.most),
        _ => Wish::exactly(here),
    }
}

/// Kind, fields and slider; gives another wish if one was made.
fn body(
    name: TargetName,
    wish: Wish,
    standing: Option<f64>,
    unit: TempUnit,
    ui: &mut Ui,
) -> Option<Wish> {
    let mut wished = None;
    let kind = kind(wish);
    let label = name.facts().label;
    let value = wish.least.or(wish.most)?;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::TIGHT;
        if name == TargetName::NearCurve {
            ui.label(Step::Body.text("at most").color(Palette::of(ui).text2));
        } else {
            let picked = choice(ui, &format!("Kind of {label}"), KIND_PX, &KINDS, kind);
            wished = picked.map(|kind| as_kind(name, wish, kind));
        }
        for &end in ends(wish) {
            if let Some(value) = field(name, wish, end, unit, ui) {
                wished = Some(with_end(wish, end, value));
            }
        }
    });
    // Two ends are typed; one value can be slid.
    if kind != 3 {
        let mut slid = value;
        let span = amount::slide(name, standing.unwrap_or(value), value);
        let width_px = ui.available_width() - space::NEAR;
        let spoken = format!("Slide {label}");
        let response = value_slider(ui, &spoken, &mut slid, span, (amount::step(name), width_px));
        if response.changed() && slid != value {
            wished = Some(set(wish, slid));
        }
    }
    wished
}

/// Which ends of a wish have a field.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum End {
    Both,
    Least,
    Most,
}

fn ends(wish: Wish) -> &'static [End] {
    match kind(wish) {
        0 => &[End::Both],
        1 => &[End::Least],
        2 => &[End::Most],
        _ => &[End::Least, End::Most],
    }
}

/// Place among [`KINDS`].
fn kind(wish: Wish) -> usize {
    match (wish.least, wish.most) {
        (Some(least), Some(most)) if least == most => 0,
        (Some(_), None) => 1,
        (None, _) => 2,
        (Some(_), Some(_)) => 3,
    }
}

fn as_kind(name: TargetName, wish: Wish, kind: usize) -> Wish {
    let facts = name.facts();
    let value = wish.least.or(wish.most).unwrap_or(facts.least);
    match kind {
        0 => Wish::exactly(value),
        1 => Wish {
            least: Some(value),
            most: None,
        },
        2 => Wish {
            least: None,
            most: Some(wish.most.unwrap_or(value)),
        },
        _ => {
            // Two ends that are one would be “exactly” again.
            let apart = 10.0 * amount::step(name);
            let most = wish.most.filter(|&most| value < most);
            let most = most.unwrap_or(value + apart).min(facts.most);
            Wish::between(value.min(most - amount::step(name)), most)
        }
    }
}

fn set(wish: Wish, value: f64) -> Wish {
    Wish {
        least: wish.least.map(|_| value),
        most: wish.most.map(|_| value),
    }
}

fn with_end(wish: Wish, end: End, value: f64) -> Wish {
    match end {
        End::Both => Wish::exactly(value),
        End::Least => Wish {
            least: Some(value),
            ..wish
        },
        End::Most => Wish {
            most: Some(value),
            ..wish
        },
    }
}

fn field(name: TargetName, wish: Wish, end: End, unit: TempUnit, ui: &mut Ui) -> Option<f64> {
    let facts = name.facts();
    let now = match end {
        End::Both | End::Least => wish.least?,
        End::Most => wish.most?,
    };
    let spoken = match end {
        End::Both => facts.label.to_owned(),
        End::Least => format!("{} at least", facts.label),
        End::Most => format!("{} at most", facts.label),
    };
    let shown = amount::in_field(name, now, unit);
    let range = format!(
        "{} to {}",
        name.shown(facts.least, unit),
        name.shown(facts.most, unit)
    );
    TypedField::new(("target", facts.key, end as u8), &spoken, &shown)
        .width_px(FIELD_PX)
        .unit(amount::symbol(name, unit))
        .explained(Explanation {
            what: facts.explanation,
            how: &range,
            source: "",
        })
        .show(ui, &|typed| {
            let value = amount::read(name, typed, now, unit).map_err(|error| error.to_string())?;
            let wish = with_end(wish, end, value);
            match Targets::default().with(name, wish) {
                Ok(_) => Ok(value),
                Err(error) => Err(error.to_string()),
            }
        })
}
