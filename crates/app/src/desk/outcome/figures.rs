//! Four large figures: drop temperature, drop time, development, development ratio.

use chaffinch_craft::units;
use chaffinch_curve::Reach;
use eframe::egui::{Role, Ui, WidgetInfo};

use super::{Missing, NOT_REACHED, no_development};
use crate::desk::{
    model::Model,
    theme::space,
    widgets::{
        card::plain_card,
        figure::Figure,
        tooltip::{Explanation, explained},
    },
};

/// Least width of the left figures, in points: room for their longest label.
const LEAST_LEFT_PX: f32 = 106.0;

/// One figure and what it means.
struct Outcome<'a> {
    label: &'a str,
    /// The formatted value and its unit.
    value: Option<(String, &'a str)>,
    /// What stands below a value.
    below: String,
    /// What stands there when there is none.
    missing: Missing,
    explanation: Explanation<'a>,
}

pub(super) fn ui(model: &Model<'_>, is_changing: bool, ui: &mut Ui) {
    plain_card(ui, |ui| {
        pair(ui, drop_figures(model), is_changing);
        ui.add_space(space::TIGHT);
        ui.separator();
        let wished = model.plan.lot.wished_development;
        let how = format!(
            "This lot aims for {} to {}.",
            units::format_share(wished.least()),
            units::format_share(wished.most())
        );
        pair(ui, development_figures(model, &how), is_changing);
    });
}

fn drop_figures<'a>(model: &Model<'a>) -> [Outcome<'a>; 2] {
    let drop = &model.derived.phases.drop;
    [
        Outcome {
            label: "Drop temperature",
            value: value(drop, |drop| {
                (
                    units::format_temp(drop.temp_c, model.unit),
                    model.unit.symbol(),
                )
            }),
            below: model.plan.finish().name.clone(),
            missing: NOT_REACHED,
            explanation: Explanation {
                what: "Bean temperature of the chosen finish, where the roast ends.",
                how: "Choose or drag a finish to change it.",
                source: "",
            },
        },
        Outcome {
            label: "Drop time",
            value: value(drop, |drop| (units::format_time(drop.time_s), "")),
            below: String::new(),
            missing: NOT_REACHED,
            explanation: Explanation {
                what: "Minutes and seconds from charge to drop.",
                how: "The first moment at which the curve reaches the chosen finish.",
                source: "",
            },
        },
    ]
}

fn development_figures<'a>(model: &Model<'a>, wished: &'a str) -> [Outcome<'a>; 2] {
    let phases = &model.derived.phases;
    let missing = no_development(phases.drop.is_reached());
    [
        Outcome {
            label: "Development",
            value: value(&phases.development_s, |&time_s| {
                (units::format_time(time_s), "")
            }),
            below: String::new(),
            missing,
            explanation: Explanation {
                what: "Minutes and seconds from first crack to drop.",
                how: "From the moment at which the curve reaches the mark “first crack”.",
                source: "",
            },
        },
        Outcome {
            label: "Ratio",
            value: value(&phases.development_ratio, |&ratio| {
                (
                    units::format_share(ratio).trim_end_matches(" %").to_owned(),
                    "%",
                )
            }),
            below: String::new(),
            missing,
            explanation: Explanation {
                what: "Development ratio: development time as a share of the time from charge to drop.",
                how: wished,
                source: "",
            },
        },
    ]
}

fn value<'a, T>(
    reach: &Reach<T>,
    format: impl FnOnce(&T) -> (String, &'a str),
) -> Option<(String, &'a str)> {
    reach.reached().map(format)
}

fn pair(ui: &mut Ui, outcomes: [Outcome<'_>; 2], is_changing: bool) {
    let width_px = ui.available_width();
    let left_px = (width_px / 2.0).max(LEAST_LEFT_PX);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        for (outcome, place_px) in outcomes.into_iter().zip([left_px, width_px - left_px]) {
            let reached = outcome.value.as_ref();
            let (value, unit) =
                reached.map_or(("–", ""), |(value, unit)| (value.as_str(), *unit));
            let below = if reached.is_some() {
                &outcome.below
            } else {
                outcome.missing.painted
            };
            let figure = Figure {
                label: outcome.label,
                value,
                unit,
                below,
                is_changing: is_changing && reached.is_some(),
            };
            let place = ui.scope(|ui| {
                ui.set_width(place_px);
                figure.show(ui)
            });
            if reached.is_none() {
                let spoken = format!("{}: {}", outcome.label, outcome.missing.spoken);
                let info = || WidgetInfo::labeled(Role::Label, true, &spoken);
                place.inner.widget_info(info);
            }
            explained(place.inner, &outcome.explanation);
        }
    });
}
