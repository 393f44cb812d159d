//! A slider in the look of the house, for a value that a field beside it shows.

use eframe::egui::{Response, Slider, Stroke, Ui};
use std::ops::RangeInclusive;

use super::focus;
use crate::desk::theme::{Palette, radius};

/// Shows a slider of `width_px` over `span`, in steps of `step`; it is spoken as `name`.
pub fn value_slider(
    ui: &mut Ui,
    name: &str,
    value: &mut f64,
    span: RangeInclusive<f64>,
    (step, width_px): (f64, f32),
) -> Response {
    let palette = Palette::of(ui);
    ui.scope(|ui| {
        ui.spacing_mut().slider_width = width_px;
        let visuals = ui.visuals_mut();
        visuals.widgets.inactive.bg_fill = palette.hairline;
        visuals.selection.bg_fill = palette.setpoint;
        for look in [
            &mut visuals.widgets.inactive,
            &mut visuals.widgets.hovered,
            &mut visuals.widgets.active,
        ] {
            look.fg_stroke = Stroke::new(2.0, palette.setpoint);
        }
        let slider = Slider::new(value, span)
            .step_by(step)
            .show_value(false)
            .trailing_fill(true);
        let response = ui.add(slider).accessible_name(name);
        focus::ring(ui, &response, radius::FIELD);
        response
    })
    .inner
}
