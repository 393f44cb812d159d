//! One of many, folded away until it is asked for.

use eframe::egui::{ComboBox, Ui, Vec2};

use super::focus;
use crate::desk::{
    paint::icons::{Icon, icon},
    theme::{Palette, Step, radius},
};

/// Shows the chosen one of `labels`; a click or Enter opens the list. Gives the number of another one when it is picked.
///
/// `name` is spoken, and tells this choice from others in the same `ui`. A `chosen` past the end shows an empty choice.
pub fn choice(
    ui: &mut Ui,
    name: &str,
    width_px: f32,
    labels: &[&str],
    chosen: usize,
) -> Option<usize> {
    let mut picked = None;
    let shown = labels.get(chosen).copied().unwrap_or_default();
    let response = ComboBox::from_id_salt(name)
        .width(width_px)
        .truncate()
        .selected_text(Step::Body.text(shown))
        .icon(|ui, rect, look, _is_open| {
            let square = eframe::egui::Rect::from_center_size(rect.center(), Vec2::splat(12.0));
            ui.painter()
                .extend(icon(Icon::FoldOpen, square, look.fg_stroke.color));
        })
        .show_ui(ui, |ui| {
            for (index, label) in labels.iter().enumerate() {
                let ink = Palette::of(ui).text;
                let row = ui.selectable_label(index == chosen, Step::Body.text(*label).color(ink));
                if row.clicked() && index != chosen {
                    picked = Some(index);
                }
            }
        })
        .response
        .accessible_name(name);
    focus::ring(ui, &response, radius::BUTTON);
    picked
}
