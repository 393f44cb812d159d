//! Marks and finishes: where they were and where they go, and by which layer; each can be set by hand.

use super::at_first;
use crate::desk::{
    model::Model,
    paint::icons::Icon,
    sheets::{accepted, remembered_card},
    theme::{Palette, Step, space},
    widgets::{buttons::icon_button, tooltip::Explanation, typed_field::TypedField},
};
use chaffinch_craft::{
    Edit, FinishEdit,
    carry::{CarryOver, Level, LevelCarry},
    entry,
    units::{self, TempUnit},
};
use eframe::egui::{Align2, Label, Role, Sense, Ui, WidgetInfo, vec2};

/// Width of the field, in points.
const FIELD_PX: f32 = 56.0;
/// Room right of the name for the value before, in points.
const BEFORE_PX: f32 = 42.0;
/// Room for unit and cross behind the field, in points.
const BEHIND_PX: f32 = 50.0;

pub(super) fn ui(model: &Model<'_>, carried: &CarryOver, set: &mut Vec<(Level, f64)>, ui: &mut Ui) {
    let moved = summary(carried, model.unit);
    let words = ["before, after", moved.as_str()];
    let at_first = at_first(ui);
    remembered_card(ui, "Marks and finishes", words, at_first, |ui| {
        for level in &carried.levels {
            row(model, carried, level, set, ui);
        }
        let words = "Type a temperature to set one by hand.";
        ui.add(Label::new(Step::Small.text(words).color(Palette::of(ui).text3)).wrap());
    });
}

/// Where first crack and the drop go, for the folded card.
fn summary(carried: &CarryOver, unit: TempUnit) -> String {
    format!(
        "first crack {}, drop {}",
        units::format_temp_with_unit(carried.plan.marks.first_crack_c, unit),
        units::format_temp_with_unit(carried.plan.finish().temp_c, unit)
    )
}

fn row(
    model: &Model<'_>,
    carried: &CarryOver,
    level: &LevelCarry,
    set: &mut Vec<(Level, f64)>,
    ui: &mut Ui,
) {
    let unit = model.unit;
    let name = name(carried, level.level);
    let is_set = set.iter().any(|(set, _)| *set == level.level);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::TIGHT;
        before(&name, level, unit, ui);
        let spoken = format!("{name} after");
        // What was typed stays as it was; what was reckoned isn't known to a hundredth.
        let shown = if is_set {
            units::format_temp_field(level.after_c, unit)
        } else {
            units::format_temp(level.after_c, unit)
        };
        let typed = TypedField::new(("carried level", &name), &spoken, &shown)
            .width_px(FIELD_PX)
            .unit(unit.symbol())
            .explained(Explanation {
                what: "Where it goes in the new plan. Typed, it stays where you put it, whatever the layers say.",
                how: "Physics moves it so that it is passed at the same temperature of the core; practice by its rules.",
                source: "Common practice, no published source.",
            })
            .show(ui, &|typed| {
                let temp_c = entry::parse_temp(typed, level.after_c, unit)
                    .map_err(|error| error.to_string())?;
                accepted(&carried.plan, edit(level.level, temp_c)).map(|_| temp_c)
            });
        if let Some(temp_c) = typed {
            set.retain(|(other, _)| *other != level.level);
            set.push((level.level, temp_c));
        }
        if is_set {
            let name = format!("Leave {name} to the layers");
            if icon_button(ui, Icon::Cross, &name, "").clicked() {
                set.retain(|(other, _)| *other != level.level);
            }
        }
    });
    let words = if is_set {
        "set by hand".to_owned()
    } else {
        shares(level, unit)
    };
    ui.add(Label::new(Step::Small.text(words).color(Palette::of(ui).text3)).truncate());
}

/// Name and value before, in a place that leaves the field its own.
fn before(name: &str, level: &LevelCarry, unit: TempUnit, ui: &mut Ui) {
    let width_px = ui.available_width() - FIELD_PX - BEHIND_PX - 2.0 * space::TIGHT;
    let size = vec2(width_px, space::CONTROL_HEIGHT);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let text = units::format_temp(level.before_c, unit);
    let spoken = format!("{name} before: {text} {}", unit.symbol());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &spoken));
    let palette = Palette::of(ui);
    let mut job = eframe::egui::text::LayoutJob::simple_singleline(
        name.to_owned(),
        Step::Body.font(),
        palette.text,
    );
    job.wrap = eframe::egui::text::TextWrapping::truncate_at_width(width_px - BEFORE_PX);
    let painter = ui.painter();
    let words = painter.layout_job(job);
    let corner = rect.left_center() - vec2(0.0, words.size().y / 2.0);
    painter.galley(corner, words, palette.text);
    let font = Step::Body.font();
    painter.text(
        rect.right_center(),
        Align2::RIGHT_CENTER,
        text,
        font,
        palette.text2,
    );
    response.on_hover_text(spoken);
}

/// What each layer does to it at its full size.
fn shares(level: &LevelCarry, unit: TempUnit) -> String {
    let shift = |shift_k| units::format_temp_shift_with_unit(shift_k, unit);
    format!(
        "physics {}, practice {}",
        shift(level.physics_k),
        shift(level.practice_k)
    )
}

fn name(carried: &CarryOver, level: Level) -> String {
    match level {
        Level::Mark(mark) => mark.label().to_owned(),
        Level::Finish(id) => carried
            .plan
            .finishes
            .get(id)
            .map_or_else(String::new, |finish| format!("Finish {}", finish.name)),
    }
}

fn edit(level: Level, temp_c: f64) -> Edit {
    match level {
        Level::Mark(mark) => Edit::SetMark { mark, temp_c },
        Level::Finish(id) => Edit::Finish(FinishEdit::Move { id, temp_c }),
    }
}
