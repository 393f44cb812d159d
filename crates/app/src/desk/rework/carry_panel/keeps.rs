//! What stays the same: four choices, each with a picture of what stays equal; the sentence of one of them stands below.

use super::{at_first, keep_picture};
use crate::desk::{
    paint::icons::{Icon, icon},
    sheets::remembered_card,
    theme::{Palette, Step, radius, space},
    widgets::focus,
};
use chaffinch_craft::carry::Keep;
use eframe::egui::{
    Align2, CornerRadius, CursorIcon, Label, Rect, Response, Role, Sense, Stroke, StrokeKind, Ui,
    Vec2, WidgetInfo, pos2, vec2,
};

/// Height of a picture, in points.
const PICTURE_PX: f32 = 46.0;
/// Height of the line with the name, in points.
const NAME_PX: f32 = 20.0;
/// Space around the picture, in points.
const INSET_PX: f32 = 6.0;
/// Choices in a row.
const COLUMNS: usize = 2;

/// Shows the four choices; changes `keep` when another one is picked.
pub(super) fn ui(keep: &mut Keep, ui: &mut Ui) {
    let words = ["", keep.label()];
    let at_first = at_first(ui);
    remembered_card(ui, "What stays the same", words, at_first, |ui| {
        let width_px = (ui.available_width() - space::NEAR) / COLUMNS as f32;
        let rows = Keep::ALL.chunks(COLUMNS);
        let told = rows.filter_map(|choices| row(choices, keep, width_px, ui));
        let told = told.last().unwrap_or(*keep);
        sentence(told, ui);
    });
}

/// Choices side by side; gives the one that is pointed at or has the focus.
fn row(choices: &[Keep], keep: &mut Keep, width_px: f32, ui: &mut Ui) -> Option<Keep> {
    let mut told = None;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::NEAR;
        for &choice in choices {
            let response = tile(choice, choice == *keep, width_px, ui);
            if response.clicked() {
                *keep = choice;
            }
            if response.hovered() || response.has_focus() {
                told = Some(choice);
            }
        }
    });
    told
}

/// The sentence of `keep` over the place of the longest one, so that nothing jumps when the pointer passes over the choices.
fn sentence(keep: Keep, ui: &mut Ui) {
    let (font, ink) = (Step::Small.font(), Palette::of(ui).text2);
    let width_px = ui.available_width();
    let heights = Keep::ALL.map(|keep| {
        let words = keep.sentence().to_owned();
        let laid_out = ui.painter().layout(words, font.clone(), ink, width_px);
        laid_out.size().y
    });
    let height_px = heights.into_iter().fold(0.0, f32::max);
    let (rect, _) = ui.allocate_exact_size(vec2(width_px, height_px), Sense::hover());
    let words = Step::Small.text(keep.sentence()).color(ink);
    let builder = eframe::egui::UiBuilder::new().max_rect(rect);
    ui.scope_builder(builder, |ui| {
        ui.add(Label::new(words).wrap());
    });
}

fn tile(keep: Keep, is_chosen: bool, width_px: f32, ui: &mut Ui) -> Response {
    let size = vec2(width_px, 2.0 * INSET_PX + PICTURE_PX + NAME_PX);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let name = format!("Keep: {}", keep.label());
    response
        .widget_info(|| WidgetInfo::selected(Role::RadioButton, ui.is_enabled(), is_chosen, &name));
    ui.accesskit_node_builder(response.id, |node| {
        node.set_description(format!(
            "{} Picture: {}",
            keep.sentence(),
            keep_picture::words(keep)
        ));
    });
    let palette = Palette::of(ui);
    let ground = match (response.is_pointer_button_down_on(), response.hovered()) {
        (true, _) => palette.pressed(palette.chart),
        (false, true) => palette.hovered(palette.chart),
        (false, false) => palette.chart,
    };
    let border = if is_chosen {
        Stroke::new(2.0, palette.setpoint)
    } else {
        Stroke::new(1.0, palette.control)
    };
    let corner = CornerRadius::same(radius::BUTTON);
    ui.painter()
        .rect(rect, corner, ground, border, StrokeKind::Inside);
    let picture = Rect::from_min_size(
        rect.min + Vec2::splat(INSET_PX),
        vec2(width_px - 2.0 * INSET_PX, PICTURE_PX),
    );
    ui.painter()
        .extend(keep_picture::shapes(keep, picture, ground, palette));
    name_line(keep, is_chosen, rect, ui);
    focus::ring(ui, &response, radius::BUTTON);
    response.on_hover_cursor(CursorIcon::PointingHand)
}

/// The name at the foot of the tile, checked if it is the chosen one.
fn name_line(keep: Keep, is_chosen: bool, tile: Rect, ui: &Ui) {
    const CHECK_PX: f32 = 12.0;
    let palette = Palette::of(ui);
    let y = tile.bottom() - INSET_PX - NAME_PX / 2.0 + 2.0;
    let mut left = tile.left() + INSET_PX + 2.0;
    let step = if is_chosen { Step::Strong } else { Step::Body };
    if is_chosen {
        let center = pos2(left + CHECK_PX / 2.0, y);
        let place = Rect::from_center_size(center, Vec2::splat(CHECK_PX));
        ui.painter().extend(icon(Icon::Check, place, palette.text));
        left += CHECK_PX + space::TIGHT;
    }
    let place = pos2(left, y);
    ui.painter().text(
        place,
        Align2::LEFT_CENTER,
        keep.label(),
        step.font(),
        palette.text,
    );
}
