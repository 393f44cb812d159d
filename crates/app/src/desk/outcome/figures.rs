//! Four large figures: drop temperature, drop time, development, development ratio; drawn, and under each as forecast.

use chaffinch_craft::{
    spread_about,
    units::{self, CelsiusDifference},
};
use chaffinch_curve::Reach;
use eframe::egui::{Role, Ui, WidgetInfo};

use super::{
    Missing, NOT_REACHED, forecast_line, is_window_low, no_development,
    said::{CRACK, FOLLOWING, SPREAD, Said, Sayings},
};
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
const LEAST_LEFT_PX: f32 = 107.0;

/// One figure and what it means.
struct Outcome<'a> {
    label: &'a str,
    /// The formatted value and its unit.
    value: Option<(String, &'a str)>,
    /// What stands below when there is none.
    missing: Missing,
    explanation: Explanation<'a>,
    /// What the forecast says of it, and what that means.
    said: &'a Said,
    forecast: Explanation<'a>,
}

pub(super) fn ui(model: &Model<'_>, sayings: &Sayings, is_changing: bool, ui: &mut Ui) {
    let dropped = drop_words(model);
    plain_card(ui, |ui| {
        pair(ui, drop_figures(model, sayings, &dropped), is_changing);
        if !is_window_low(ui) {
            ui.add_space(space::TIGHT);
        }
        ui.separator();
        let wished = model.plan.lot.wished_development;
        let how = format!(
            "This lot aims for {} to {}.",
            units::format_share(wished.least()),
            units::format_share(wished.most())
        );
        pair(ui, development_figures(model, sayings, &how), is_changing);
    });
}

/// Which finish the drop belongs to, and how many roasts get there; both change with the plan.
struct DropWords {
    finish: String,
    reached: String,
    by_clock: String,
}

fn drop_words(model: &Model<'_>) -> DropWords {
    let finish = &model.plan.finish().name;
    let reached = model.spread.map_or_else(String::new, |spread| {
        format!(
            "When the probe reads the finish. {} of roasts that vary from day to day get there.",
            units::format_share(spread.drop.reached_share)
        )
    });
    let by_clock = model.spread.map_or_else(String::new, |spread| {
        let about_k = spread_about(model.plan.finish().temp_c, &spread.figures.drop_reading_c);
        format!(
            "Dropped by the clock, at the forecast time, it would read this ± {} {}.",
            units::format_number(CelsiusDifference(about_k).shown(model.unit), 1),
            model.unit.symbol()
        )
    });
    DropWords {
        by_clock,
        finish: format!("The chosen finish is “{finish}”. Choose or drag a finish to change it."),
        reached,
    }
}

fn drop_figures<'a>(
    model: &Model<'a>,
    sayings: &'a Sayings,
    words: &'a DropWords,
) -> [Outcome<'a>; 2] {
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
            missing: NOT_REACHED,
            explanation: Explanation {
                what: "Bean temperature of the chosen finish, where the roast ends.",
                how: &words.finish,
                source: "",
            },
            said: &sayings.drop_temp,
            forecast: Explanation {
                what: "You drop when the probe reads the finish, so every roast that gets there drops at it.",
                how: &words.by_clock,
                source: FOLLOWING,
            },
        },
        Outcome {
            label: "Drop time",
            value: value(drop, |drop| (units::format_time(drop.time_s), "")),
            missing: NOT_REACHED,
            explanation: Explanation {
                what: "Minutes and seconds from charge to drop.",
                how: "The first moment at which the curve reaches the chosen finish.",
                source: "",
            },
            said: &sayings.drop_time,
            forecast: Explanation {
                what: &words.reached,
                how: SPREAD,
                source: FOLLOWING,
            },
        },
    ]
}

fn development_figures<'a>(
    model: &Model<'a>,
    sayings: &'a Sayings,
    wished: &'a str,
) -> [Outcome<'a>; 2] {
    let phases = &model.derived.phases;
    let missing = no_development(phases.drop.is_reached());
    let forecast = Explanation {
        what: "From the moment the probe passes the mark “first crack” until it reads the finish.",
        how: SPREAD,
        source: CRACK,
    };
    [
        Outcome {
            label: "Development",
            value: value(&phases.development_s, |&time_s| {
                (units::format_time(time_s), "")
            }),
            missing,
            explanation: Explanation {
                what: "Minutes and seconds from first crack to drop.",
                how: "From the moment at which the curve reaches the mark “first crack”.",
                source: "",
            },
            said: &sayings.development,
            forecast,
        },
        Outcome {
            label: "Ratio",
            value: value(&phases.development_ratio, |&ratio| {
                (
                    units::format_share(ratio).trim_end_matches(" %").to_owned(),
                    "%",
                )
            }),
            missing,
            explanation: Explanation {
                what: "Development ratio: development time as a share of the time from charge to drop.",
                how: wished,
                source: "",
            },
            said: &sayings.ratio,
            forecast,
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
                ""
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
            ui.vertical(|ui| {
                ui.set_width(place_px);
                ui.spacing_mut().item_spacing.y = 0.0;
                let shown = figure.show(ui);
                if reached.is_none() {
                    let spoken = format!("{}: {}", outcome.label, outcome.missing.spoken);
                    shown.widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
                }
                explained(shown, &outcome.explanation);
                let (label, said) = (outcome.label, outcome.said);
                forecast_line::show(ui, label, said, is_changing, &outcome.forecast);
            });
        }
    });
}
