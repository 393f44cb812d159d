//! The left column folded to a rail: a named tab for each sheet, and the lines of the plans behind the curve.

use std::f32::consts::FRAC_PI_2;

use eframe::egui::{
    Align, Align2, CornerRadius, CursorIcon, Layout, Role, Sense, Stroke, StrokeKind, Ui,
    WidgetInfo, epaint::TextShape, vec2,
};

use super::Sheet;
use crate::desk::{
    ask::Ask,
    model::Model,
    paint::strokes::LOGS,
    rework::Rework,
    theme::{Palette, Step, radius, space},
    view_state::ViewState,
    widgets::{focus, swatch::line_sample},
};

/// Width of a tab, in points.
const TAB_PX: f32 = 28.0;

/// The rail. A tab opens the column over the chart at its sheet; when the column is open there, the same tab closes it, another one
/// goes to its own sheet.
pub fn rail(model: &Model<'_>, view: &mut ViewState, _asks: &mut Vec<Ask>, ui: &mut Ui) {
    ui.with_layout(Layout::top_down(Align::Center), |ui| {
        ui.spacing_mut().item_spacing.y = space::NEAR;
        let is_carried = matches!(view.rework, Some(Rework::Carry(_)));
        let sheets = if is_carried {
            &Sheet::TARGET[..]
        } else {
            &Sheet::ALL[..]
        };
        let last: Option<Sheet> = ui.data(|data| data.get_temp(Sheet::last_id()));
        for &sheet in sheets {
            let is_open = view.left_open && last == Some(sheet);
            if tab(ui, sheet, is_open) {
                view.left_open = !is_open;
                sheet.unfold(view);
                ui.data_mut(|data| {
                    data.insert_temp(Sheet::wish_id(), sheet);
                    data.insert_temp(Sheet::last_id(), sheet);
                });
            }
        }
        for (index, behind) in model.behind.iter().enumerate() {
            let sample = line_sample(ui, LOGS[index % LOGS.len()], Palette::of(ui).panel);
            sample.on_hover_text(&behind.name);
        }
    });
}

/// A tab with its name turned upwards; says whether it was pressed.
fn tab(ui: &mut Ui, sheet: Sheet, is_open: bool) -> bool {
    let palette = Palette::of(ui);
    let label = sheet.short_label();
    let words = ui
        .painter()
        .layout_no_wrap(label.to_owned(), Step::Body.font(), palette.text);
    let size = vec2(TAB_PX, words.size().x + 2.0 * space::INNER);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let spoken = format!("Sheet: {label}");
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &spoken));
    ui.accesskit_node_builder(response.id, |node| node.set_expanded(is_open));
    let ground = if response.is_pointer_button_down_on() {
        palette.pressed(palette.raised)
    } else if response.hovered() {
        palette.hovered(palette.raised)
    } else {
        palette.raised
    };
    let corner = CornerRadius::same(radius::BUTTON);
    ui.painter().rect(
        rect,
        corner,
        ground,
        Stroke::new(1.0, palette.control),
        StrokeKind::Inside,
    );
    let place = rect.center() - words.size() / 2.0;
    let turned = TextShape::new(place, words, palette.text)
        .with_angle_and_anchor(-FRAC_PI_2, Align2::CENTER_CENTER);
    ui.painter().add(turned);
    focus::ring(ui, &response, radius::BUTTON);
    let hint = if is_open {
        "Fold the sheets"
    } else {
        "Open this sheet over the chart"
    };
    response
        .on_hover_cursor(CursorIcon::PointingHand)
        .on_hover_text(hint)
        .clicked()
}
