//! The ladder of finishes: tabs in the right gutter, joined to their true height by bent leaders.
//!
//! Tabs keep their distance whatever the temperatures, so close finishes never overlap. A click chooses, a drag moves
//! the temperature, the menu (right click, or Enter) renames, removes and adds.

use super::{
    super::{
        ask::Ask,
        layout,
        model::Model,
        paint::strokes::LineRole,
        snapping::temp_on_grid,
        theme::{Palette, Step},
        view_state::{HeldScales, ViewState},
        widgets::typed_field::TypedField,
    },
    frame::LaneFrame,
    keys,
    slider::{self, Spoken, Wish},
};
use chaffinch_craft::{
    Edit, Finish, FinishEdit,
    entry::parse_temp,
    units::{Celsius, format_temp, format_temp_field, format_temp_with_unit},
};
use chaffinch_curve::{MAX_TEMP_C, MIN_TEMP_C, Reach};
use eframe::egui::{
    Align2, Color32, CursorIcon, Id, Key, Modifiers, Painter, Popup, PopupCloseBehavior, Pos2,
    Rect, Response, Sense, SetOpenCommand, Shape, Stroke, Ui, pos2,
    text::{LayoutJob, TextWrapping},
    vec2,
};

/// Length of a tab's point, and of the leader's bend.
const POINT_PX: f32 = 7.0;
/// What a tab needs beside its name and number, in points.
const TAB_MARGINS_PX: f32 = 34.0;

/// Shows the ladder; returns where the chosen tab is.
pub(super) fn ui(
    model: &Model<'_>,
    view: &mut ViewState,
    frame: &LaneFrame,
    gutter: Rect,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) -> Pos2 {
    let palette = Palette::of(ui);
    let finishes = model.plan.finishes.finishes();
    let top = HeldScales::kept(
        &mut view.held.ladder_top_px,
        ladder_top(model, frame, gutter),
        view.gesture.is_some(),
    );
    ui.painter().text(
        pos2(gutter.right() - 8.0, top - 14.0),
        Align2::RIGHT_CENTER,
        format!("Finish {}", model.unit.symbol()),
        Step::Small.font(),
        palette.text2,
    );
    let mut chosen_at = gutter.center();
    // Hottest on top, as in the lane.
    for (row, finish) in finishes.iter().rev().enumerate() {
        let y = top + row as f32 * layout::FINISH_STEP_PX;
        let tab = Rect::from_min_max(
            pos2(gutter.left() + 12.0, y),
            pos2(gutter.right() - 6.0, y + layout::FINISH_TAB_PX),
        );
        let is_chosen = finish.id == model.plan.finish().id;
        if is_chosen {
            chosen_at = tab.left_center();
        }
        let response = tab_ui(model, view, frame, (finish, tab), asks, ui);
        paint_leader(ui.painter(), model, frame, finish, tab, palette, &response);
        paint_tab(ui.painter(), model, finish, tab, palette, &response);
        menu(model, finish, &response, asks);
    }
    chosen_at
}

/// Room that the tabs need for their names and numbers, in a centre so wide.
pub(super) fn gutter_px(model: &Model<'_>, centre_px: f32, ui: &Ui) -> f32 {
    let width = |text: &str, step: Step| {
        let galley =
            ui.painter()
                .layout_no_wrap(text.to_owned(), step.font(), Color32::PLACEHOLDER);
        galley.size().x
    };
    let finishes = model.plan.finishes.finishes().iter();
    let tabs = finishes.map(|finish| {
        width(&finish.name, Step::Strong)
            + width(&format_temp(finish.temp_c, model.unit), Step::Small)
    });
    let most = (layout::RIGHT_GUTTER_SHARE * centre_px).max(layout::LEAST_RIGHT_GUTTER_PX);
    (tabs.fold(0.0, f32::max) + TAB_MARGINS_PX).clamp(layout::LEAST_RIGHT_GUTTER_PX, most)
}

/// The ladder is centred on the chosen finish's height as far as the gutter allows.
fn ladder_top(model: &Model<'_>, frame: &LaneFrame, gutter: Rect) -> f32 {
    let finishes = model.plan.finishes.finishes();
    let height = finishes.len() as f32 * layout::FINISH_STEP_PX;
    let middle: f64 =
        finishes.iter().map(|finish| finish.temp_c).sum::<f64>() / finishes.len() as f64;
    let wished = frame.screen_y_from_value(middle) - height / 2.0;
    let least = gutter.top() + 34.0;
    wished.clamp(least, (frame.rect.bottom() - height).max(least))
}

fn tab_ui(
    model: &Model<'_>,
    view: &mut ViewState,
    frame: &LaneFrame,
    (finish, tab): (&Finish, Rect),
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) -> Response {
    let id = Id::unique(("finish", finish.id.0));
    let hit = Rect::from_center_size(tab.center(), vec2(tab.width(), super::hit_px(ui)));
    let response = ui.interact(hit, id, Sense::click_and_drag());
    let is_chosen = finish.id == model.plan.finish().id;
    let spoken = Spoken {
        name: format!("Finish {}", finish.name),
        number: Celsius(finish.temp_c).shown(model.unit),
        range: [MIN_TEMP_C, MAX_TEMP_C].map(|temp_c| Celsius(temp_c).shown(model.unit)),
        text: format!(
            "{}{}",
            format_temp_with_unit(finish.temp_c, model.unit),
            if is_chosen { ", chosen" } else { "" }
        ),
    };
    let wish = slider::speak(ui, &response, spoken);
    let space = response.has_focus()
        && ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Space));
    if keys::clicked(ui, &response) || space {
        response.request_focus();
        asks.push(Ask::Apply(Edit::Finish(FinishEdit::Choose(finish.id))));
    }
    if response.hovered() {
        ui.ctx().set_cursor_icon(CursorIcon::ResizeVertical);
    }
    let true_y = frame.screen_y_from_value(finish.temp_c);
    if let Some(at) = slider::follow(ui, &response, pos2(0.0, true_y), view, asks) {
        let wished_c = temp_on_grid(frame.value_from_screen_y(at.y), model.unit);
        let temp_c = wished_c.clamp(MIN_TEMP_C, MAX_TEMP_C);
        asks.push(Ask::Drag(Edit::Finish(FinishEdit::Move {
            id: finish.id,
            temp_c,
        })));
    }
    if let Some(wish) = wish {
        let temp_c = match wish {
            Wish::Steps { value, .. } => finish.temp_c + value * keys::TEMP_STEP_C,
            Wish::Number(number) => Celsius::from_shown(number, model.unit).0,
            Wish::Least => MIN_TEMP_C,
            Wish::Most => MAX_TEMP_C,
        };
        asks.push(slider::ask(
            ui,
            view,
            Edit::Finish(FinishEdit::Move {
                id: finish.id,
                temp_c,
            }),
        ));
    }
    response.on_hover_text(
        "Click to drop here; drag up or down to change the temperature; right click for more",
    )
}

/// The bent line from the tab to the place where the curve reaches the finish.
fn paint_leader(
    painter: &Painter,
    model: &Model<'_>,
    frame: &LaneFrame,
    finish: &Finish,
    tab: Rect,
    palette: &Palette,
    response: &Response,
) {
    let y = frame.screen_y_from_value(finish.temp_c);
    if !frame.rect.y_range().contains(y) {
        return;
    }
    let is_chosen = finish.id == model.plan.finish().id;
    let role = if is_chosen {
        LineRole::FinishChosen
    } else {
        LineRole::Finish
    };
    let outcome = model
        .derived
        .finishes
        .iter()
        .find(|outcome| outcome.id == finish.id);
    let from_x = match outcome.map(|outcome| &outcome.drop) {
        Some(Reach::At(drop)) => frame.screen_x_from_time(drop.time_s),
        _ => frame.rect.right() - 14.0,
    };
    let mut stroke = role.stroke(palette);
    if response.hovered() || response.dragged() {
        stroke.width += 0.75;
    }
    let edge = frame.rect.right();
    let path = vec![
        pos2(from_x.clamp(frame.rect.left(), edge), y),
        pos2(edge + 2.0, y),
        pos2(tab.left() - POINT_PX, tab.center().y),
    ];
    painter.add(Shape::line(path, stroke));
}

fn paint_tab(
    painter: &Painter,
    model: &Model<'_>,
    finish: &Finish,
    tab: Rect,
    palette: &Palette,
    response: &Response,
) {
    let is_chosen = finish.id == model.plan.finish().id;
    let ground = if is_chosen {
        palette.chip
    } else {
        palette.raised
    };
    let ground = if response.hovered() && !is_chosen {
        palette.hovered(ground)
    } else {
        ground
    };
    let outline = vec![
        pos2(tab.left() - POINT_PX, tab.center().y),
        tab.left_top(),
        tab.right_top(),
        tab.right_bottom(),
        tab.left_bottom(),
    ];
    let edge = if is_chosen {
        Stroke::NONE
    } else {
        Stroke::new(1.0, palette.control)
    };
    painter.add(Shape::convex_polygon(outline, ground, edge));
    if response.has_focus() {
        super::focus_ring(painter, tab.expand(2.0), palette);
    }
    let ink = if is_chosen {
        palette.on_chip
    } else {
        palette.text
    };
    let number = painter.text(
        tab.right_center() - vec2(6.0, 0.0),
        Align2::RIGHT_CENTER,
        format_temp(finish.temp_c, model.unit),
        Step::Small.font(),
        ink,
    );
    let mut name = LayoutJob::simple_singleline(finish.name.clone(), Step::Strong.font(), ink);
    name.wrap = TextWrapping::truncate_at_width(number.left() - tab.left() - 6.0);
    let name = painter.layout_job(name);
    let top = tab.center().y - name.size().y / 2.0;
    painter.galley(pos2(tab.left() + 2.0, top), name, ink);
}

/// Name, exact temperature, remove, add.
fn menu(model: &Model<'_>, finish: &Finish, response: &Response, asks: &mut Vec<Ask>) {
    let enter = response.has_focus()
        && response
            .ctx
            .input_mut(|input| input.consume_key(Modifiers::NONE, Key::Enter));
    let open = (response.secondary_clicked() || enter).then_some(SetOpenCommand::Bool(true));
    Popup::from_response(response)
        .id(response.id.with("menu"))
        .open_memory(open)
        .close_behavior(PopupCloseBehavior::CloseOnClickOutside)
        .show(|ui| {
            ui.set_width(210.0);
            let mut push = |edit| asks.push(Ask::Apply(Edit::Finish(edit)));
            let label = format!("Name of finish {}", finish.name);
            let name = TypedField::new(response.id.with("name"), &label, &finish.name)
                .words()
                .width_px(180.0)
                .show(ui, &|text| Ok(text.to_owned()));
            if let Some(name) = name {
                push(FinishEdit::Rename {
                    id: finish.id,
                    name,
                });
            }
            let label = format!("Temperature of finish {}", finish.name);
            let shown = format_temp_field(finish.temp_c, model.unit);
            let moved = TypedField::new(response.id.with("temperature"), &label, &shown)
                .unit(model.unit.symbol())
                .show(ui, &|text| {
                    parse_temp(text, finish.temp_c, model.unit).map_err(|error| error.to_string())
                });
            if let Some(temp_c) = moved {
                push(FinishEdit::Move {
                    id: finish.id,
                    temp_c,
                });
            }
            ui.horizontal(|ui| {
                if ui.button("Remove").clicked() {
                    push(FinishEdit::Remove(finish.id));
                    ui.close();
                }
                if ui.button("Add finish above").clicked() {
                    push(model.plan.finishes.added_above(finish));
                    ui.close();
                }
            });
        });
}
