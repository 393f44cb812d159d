//! Plans laid behind the curve: which line is whose, how they are lined up, and how the first one differs.

use chaffinch_craft::{Alignment, units};
use eframe::egui::{Align, Align2, Label, Layout, Role, Sense, Ui, WidgetInfo, vec2};

use super::{difference, field_row::field_row};
use crate::desk::{
    ask::Ask,
    commands::Command,
    model::{Behind, Model},
    paint::{icons::Icon, strokes::LOGS},
    theme::{Palette, Step, space},
    view_state::ViewState,
    widgets::{
        buttons::{ButtonLook, icon_button, wide_button},
        card::folding_card,
        choice::choice,
        swatch::line_sample,
    },
};

pub(super) fn ui(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let count = match model.behind.len() {
        0 => "none".to_owned(),
        1 => "1 plan".to_owned(),
        count => format!("{count} plans"),
    };
    let mut is_open = !view.folds.behind;
    folding_card(ui, "Plans behind", [&count, &count], &mut is_open, |ui| {
        for (index, behind) in model.behind.iter().enumerate() {
            if row(model, index, behind, ui) {
                asks.push(Ask::Unpin(index));
            }
        }
        if let Some(first) = model.behind.first() {
            alignment(model, view, ui);
            ui.separator();
            difference::ui(model, view, first, ui);
        } else {
            let words = "Lay another plan behind the curve to see where the two part.";
            ui.add(Label::new(Step::Small.text(words).color(Palette::of(ui).text3)).wrap());
        }
        ui.add_space(space::TIGHT);
        pin_button(model, asks, ui);
    });
    view.folds.behind = !is_open;
}

/// One plan with its line; says whether it shall be taken away.
fn row(model: &Model<'_>, index: usize, behind: &Behind, ui: &mut Ui) -> bool {
    let palette = Palette::of(ui);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::TIGHT;
        line_sample(ui, LOGS[index % LOGS.len()], palette.raised);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let name = format!("Take {} away (plan {} behind)", behind.name, index + 1);
            let remove = icon_button(ui, Icon::Cross, &name, "");
            drop_temp(model, behind, ui);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                ui.add(Label::new(Step::Body.text(&behind.name).color(palette.text)).truncate())
                    .on_hover_text(&behind.name);
            });
            remove.clicked()
        })
        .inner
    })
    .inner
}

/// The temperature at which the other plan drops, in small letters.
fn drop_temp(model: &Model<'_>, behind: &Behind, ui: &mut Ui) {
    let drop_c = behind.plan.finish().temp_c;
    let shown = units::format_temp_with_unit(drop_c, model.unit);
    let (rect, response) =
        ui.allocate_exact_size(vec2(50.0, space::CONTROL_HEIGHT), Sense::hover());
    let spoken = format!("{} drops at {shown}", behind.name);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
    let ink = Palette::of(ui).text2;
    ui.painter().text(
        rect.right_center(),
        Align2::RIGHT_CENTER,
        shown,
        Step::Small.font(),
        ink,
    );
    response.on_hover_text(spoken);
}

fn alignment(model: &Model<'_>, view: &mut ViewState, ui: &mut Ui) {
    let chosen = Alignment::ALL.iter().position(|&way| way == view.alignment);
    let labels = Alignment::ALL.map(Alignment::label);
    field_row(ui, "Lined up at", |ui| {
        let width_px = ui.available_width();
        if let Some(picked) = choice(
            ui,
            "Line plans up at",
            width_px,
            &labels,
            chosen.unwrap_or(0),
        ) {
            view.alignment = Alignment::ALL[picked];
        }
    });
    let is_refused = |behind: &&Behind| behind.comparison.shift_s.is_none();
    if let Some(refused) = model.behind.iter().find(is_refused) {
        let place = model.alignment.label().to_lowercase();
        let words = format!(
            "This plan or “{}” never reaches {place}, so they are lined up at charge.",
            refused.name
        );
        ui.add(Label::new(Step::Small.text(words).color(Palette::of(ui).caution_text)).wrap());
    }
}

fn pin_button(model: &Model<'_>, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let has_room = model.behind.len() < LOGS.len();
    let entry = Command::Pin.entry();
    let button = ui.add_enabled_ui(has_room, |ui| {
        wide_button(ui, ButtonLook::Plain, entry.label)
    });
    let response = button
        .inner
        .on_hover_text(Command::Pin.tip(ui))
        .on_disabled_hover_text("Six plans can be told apart; take one away first");
    if response.clicked() {
        asks.push(Ask::Do(Command::Pin));
    }
}
