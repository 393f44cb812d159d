//! How far to go from the old plan to the new one.

use crate::desk::{
    theme::{Palette, Step, space},
    widgets::{tooltip::Explanation, typed_field::TypedField, value_slider::value_slider},
};
use chaffinch_craft::{entry, units};
use eframe::egui::{Sense, Ui, vec2};

/// Width of the field beside the slider, in points.
const FIELD_PX: f32 = 48.0;
/// Room for its unit, in points.
const UNIT_PX: f32 = 20.0;
/// Steps of the slider, in %.
const STEP_PERCENT: f64 = 1.0;

/// Shows slider and field in one row; both change `percent`, 0 to 100.
pub(super) fn ui(percent: &mut f64, ui: &mut Ui) {
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::NEAR;
        label(ui);
        let width_px = ui.available_width() - FIELD_PX - UNIT_PX - space::NEAR;
        value_slider(ui, "How far", percent, 0.0..=100.0, (STEP_PERCENT, width_px));
        let shown = units::format_number(*percent, 0);
        let now = *percent;
        let typed = TypedField::new("how far", "How far in per cent", &shown)
            .width_px(FIELD_PX)
            .unit("%")
            .explained(Explanation {
                what: "How much of the change is applied: 0 % is the old curve, 100 % the whole change.",
                how: "Curve, airflow, marks and finishes go this part of the way. The sheets are those carried to in any case.",
                source: "",
            })
            .show(ui, &|typed| parse(typed, now));
        if let Some(typed) = typed {
            *percent = typed;
        }
    });
}

/// Painted only: slider and field carry names of their own.
fn label(ui: &mut Ui) {
    let palette = Palette::of(ui);
    let font = Step::Body.font();
    let words = ui
        .painter()
        .layout_no_wrap("How far".to_owned(), font, palette.text);
    let size = vec2(words.size().x, space::CONTROL_HEIGHT);
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    let corner = rect.left_center() - vec2(0.0, words.size().y / 2.0);
    ui.painter().galley(corner, words, palette.text);
}

fn parse(typed: &str, now_percent: f64) -> Result<f64, String> {
    let percent = entry::parse_percent(typed, now_percent).map_err(|error| error.to_string())?;
    if (0.0..=100.0).contains(&percent) {
        Ok(percent)
    } else {
        let found = units::format_number(percent, 0);
        Err(format!("{found} % was found; expected 0 to 100 %"))
    }
}
