//! How the first plan behind the curve differs from the plan on the desk, in a few numbers.

use chaffinch_craft::{DifferenceFigures, limits::COMPARISON_BAND_C, units};
use eframe::egui::{Label, Ui};

use super::value_row::ValueRow;
use crate::desk::{
    model::{Behind, Model},
    theme::{Palette, Step},
    view_state::ViewState,
    widgets::tooltip::{Explanation, explained},
};

pub(super) fn ui(model: &Model<'_>, view: &mut ViewState, other: &Behind, ui: &mut Ui) {
    let head = format!("“{}” minus this plan", other.name);
    ui.add(Label::new(Step::Strong.text(&head)).wrap());
    if let Some(figures) = other.comparison.figures {
        rows(model, &figures, view.gesture.is_some(), ui);
    } else {
        let words = "The two share no moment when they are lined up like this.";
        ui.add(Label::new(Step::Small.text(words).color(Palette::of(ui).text2)).wrap());
    }
    if let Some(shift_s) = other.comparison.shift_s.filter(|shift_s| *shift_s != 0.0) {
        let value = units::format_time_shift(shift_s);
        ValueRow {
            label: "Shifted in time",
            value: &value,
            is_changing: view.gesture.is_some(),
        }
        .show(ui);
    }
    ui.checkbox(
        &mut view.difference_shown,
        Step::Body.text("Difference in the rise lane"),
    )
    .on_hover_text(format!(
        "Shows the difference in temperature, {head}, in the lane of the rate of rise"
    ));
}

fn rows(model: &Model<'_>, figures: &DifferenceFigures, is_changing: bool, ui: &mut Ui) {
    let shift = |shift_c| units::format_temp_shift_with_unit(shift_c, model.unit);
    let size = |size_c| units::format_temp_difference_with_unit(size_c, model.unit);
    let largest = format!(
        "{} at {}",
        shift(figures.largest_c),
        units::format_time(figures.largest_at_s)
    );
    let band = format!("Further off than {}", size(COMPARISON_BAND_C));
    let rows = [
        (
            "Mean",
            shift(figures.mean_c),
            "Mean of the differences, with their signs.",
        ),
        (
            "Typical size",
            size(figures.rms_c),
            "Root mean square: how far off the other plan is on the whole, whatever the sign.",
        ),
        (
            "Largest",
            largest,
            "The difference of greatest size, and when it occurs.",
        ),
        (
            &band,
            units::format_time(figures.outside_s),
            "How long the two are further apart than this.",
        ),
    ];
    for (label, value, what) in rows {
        let row = ValueRow {
            label,
            value: &value,
            is_changing,
        }
        .show(ui);
        let explanation = Explanation {
            what,
            how: "Computed each second that both plans have, up to the earlier drop.",
            source: "",
        };
        explained(row, &explanation);
    }
}
