//! The foot of the window: a bar that is always there, and the drawer that opens above it.
//!
//! The bar holds the exact fields of the current point and the status line; the drawer holds the curve and the airflow
//! as tables, transforms by numbers, the history, and the rules of practice of the notebook.

mod air_table;
mod bar;
mod history_page;
mod point_fields;
mod points_table;
mod practice_page;
mod selected_fields;
mod tools;
mod transform_page;

#[cfg(test)]
mod tests;

use super::{
    ask::Ask,
    model::Model,
    theme::{Palette, space},
    view_state::{DrawerPage, ViewState},
    widgets::segmented::segmented,
};
use eframe::egui::{Stroke, Ui};

pub use bar::ui as bar;
pub(super) use tools::sentence;

const PAGES: [(DrawerPage, &str); 5] = [
    (DrawerPage::Points, "Points"),
    (DrawerPage::Airflow, "Airflow"),
    (DrawerPage::Transform, "Move and stretch"),
    (DrawerPage::History, "History"),
    (DrawerPage::Practice, "Practice"),
];

/// Shows the open drawer over the place that is left: pages and their tools in one line, or two where the window is
/// narrow, the page below.
pub fn ui(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    ui.horizontal_wrapped(|ui| {
        let labels = PAGES.map(|(_, label)| label);
        let open = PAGES.iter().position(|(page, _)| *page == view.drawer_page);
        if let Some(picked) = segmented(ui, "Page", &labels, open.unwrap_or_default()) {
            view.drawer_page = PAGES[picked].0;
        }
        ui.add_space(space::WIDE);
        match view.drawer_page {
            DrawerPage::Points => points_table::tools(model, view, asks, ui),
            DrawerPage::Airflow => air_table::tools(model, asks, ui),
            DrawerPage::Transform => transform_page::tools(model, view, ui),
            DrawerPage::History => history_page::tools(model, asks, ui),
            DrawerPage::Practice => practice_page::tools(model, view, asks, ui),
        }
    });
    let below = ui.cursor().top() + 1.0;
    ui.painter().hline(
        ui.max_rect().x_range(),
        below,
        Stroke::new(1.0, Palette::of(ui).hairline),
    );
    ui.add_space(space::TIGHT);
    match view.drawer_page {
        DrawerPage::Points => points_table::ui(model, view, asks, ui),
        DrawerPage::Airflow => air_table::ui(model, view, asks, ui),
        DrawerPage::Transform => transform_page::ui(model, view, asks, ui),
        DrawerPage::History => history_page::ui(model, asks, ui),
        DrawerPage::Practice => practice_page::ui(model, view, asks, ui),
    }
}
