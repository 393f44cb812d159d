//! A number of the lot sheet with a badge that says how it came to be known: disc measured, half disc estimated, ring assumed.

use std::f32::consts::PI;

use chaffinch_craft::{Edit, Given, Knowledge, Lot, LotNumber, Plan, entry, units};
use eframe::egui::{
    CornerRadius, CursorIcon, Popup, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo,
    pos2, vec2,
};

use super::field_row::{accepted, field_row};
use crate::desk::{
    theme::{Palette, Step, radius, space},
    widgets::{focus, tooltip::Explanation, typed_field::TypedField},
};

/// Width of the field, in points.
const FIELD_PX: f32 = 52.0;
/// Room that an entry of the legend needs, in points.
const LEGEND_ENTRY_PX: f32 = 66.0;
/// Radius of a badge, in points.
const BADGE_RADIUS_PX: f32 = 4.5;

/// Shows the row of `number`; gives the edit of its value or of how it is known.
pub(super) fn ui(plan: &Plan, number: LotNumber, ui: &mut Ui) -> Option<Edit> {
    let given = plan.lot.number(number);
    field_row(ui, number.label(), |ui| {
        let badge_center = pos2(
            ui.max_rect().right() - 10.0,
            ui.cursor().top() + space::CONTROL_HEIGHT / 2.0,
        );
        let typed = value_field(plan, number, given, ui);
        let known = given.and_then(|given| {
            let knowledge = badge(ui, badge_center, number, given.knowledge)?;
            Some(Edit::LotNumber(number, Some(Given { knowledge, ..given })))
        });
        typed.or(known)
    })
}

fn value_field(plan: &Plan, number: LotNumber, given: Option<Given>, ui: &mut Ui) -> Option<Edit> {
    let (least, most) = number.range();
    let shown = given.map_or_else(String::new, |given| units::format_number_exact(given.value));
    let how = format!(
        "From {least} to {most}, in {}; clear the field if nobody knows.",
        number.unit()
    );
    let source = given.map_or_else(String::new, |given| {
        format!(
            "This value is {}: {}.",
            given.knowledge.word(),
            meaning(given.knowledge)
        )
    });
    let quantity = match number {
        LotNumber::Altitude => "Altitude",
        _ => number.label(),
    };
    let name = format!("{quantity} of the coffee");
    TypedField::new(number.label(), &name, &shown)
        .width_px(FIELD_PX)
        .unit(number.unit())
        .explained(Explanation {
            what: number.explanation(),
            how: &how,
            source: &source,
        })
        .show(ui, &|typed| {
            let wished = given_from(typed, number, given)?;
            accepted(plan, Edit::LotNumber(number, wished))
        })
}

/// What a typed text means; a new value keeps how the old one was known.
fn given_from(
    typed: &str,
    number: LotNumber,
    given: Option<Given>,
) -> Result<Option<Given>, String> {
    if typed.trim().is_empty() {
        return Ok(None);
    }
    // A unit with digits in it can't be told from a sum, so screen sizes are typed without.
    let unit = match number {
        LotNumber::ScreenSize => "",
        _ => number.unit(),
    };
    let value = entry::parse_number(typed, given.map(|given| given.value), unit)
        .map_err(|error| error.to_string())?;
    let knowledge = given.map_or_else(Knowledge::default, |given| given.knowledge);
    Ok(Some(Given { value, knowledge }))
}

fn meaning(knowledge: Knowledge) -> &'static str {
    match knowledge {
        Knowledge::Measured => "somebody measured it on this lot",
        Knowledge::Estimated => "reckoned from something else, or told by the seller",
        Knowledge::Assumed => "a usual value, because nobody knows",
    }
}

/// The badge, which opens a menu of the three kinds; gives the kind that is picked.
fn badge(ui: &mut Ui, center: Pos2, number: LotNumber, knowledge: Knowledge) -> Option<Knowledge> {
    let palette = Palette::of(ui);
    let rect = Rect::from_center_size(center, Vec2::new(20.0, space::CONTROL_HEIGHT));
    let response = ui.interact(
        rect,
        ui.make_persistent_id(("badge", number.label())),
        Sense::click(),
    );
    let spoken = format!("{}: {}", number.label(), knowledge.word());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, ui.is_enabled(), &spoken));
    if response.hovered() {
        ui.painter().rect_filled(
            rect,
            CornerRadius::same(radius::FIELD),
            palette.hovered(palette.raised),
        );
    }
    ui.painter()
        .extend(knowledge_sign(knowledge, center, palette));
    focus::ring(ui, &response, radius::FIELD);
    let picked = Popup::menu(&response)
        .show(|ui| menu(ui, knowledge))
        .and_then(|menu| menu.inner);
    let hint = format!("{spoken}, that is {}. Click to change.", meaning(knowledge));
    response
        .on_hover_cursor(CursorIcon::PointingHand)
        .on_hover_text(hint);
    picked
}

fn menu(ui: &mut Ui, current: Knowledge) -> Option<Knowledge> {
    let mut picked = None;
    for knowledge in Knowledge::ALL {
        ui.horizontal(|ui| {
            sign(ui, knowledge);
            let words = format!("{}: {}", knowledge.word(), meaning(knowledge));
            let row = ui.selectable_label(knowledge == current, Step::Body.text(words));
            if row.clicked() {
                picked = Some(knowledge);
            }
        });
    }
    picked.filter(|&knowledge| knowledge != current)
}

/// Says what the badges mean that the sheet of `lot` shows.
pub(super) fn legend(lot: &Lot, ui: &mut Ui) {
    let ink = Palette::of(ui).text3;
    let given: Vec<Given> = LotNumber::ALL
        .iter()
        .filter_map(|&number| lot.number(number))
        .collect();
    if given.is_empty() {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 3.0;
        ui.spacing_mut().interact_size.y = 16.0;
        for knowledge in Knowledge::ALL {
            if given.iter().all(|given| given.knowledge != knowledge) {
                continue;
            }
            if ui.available_size_before_wrap().x < LEGEND_ENTRY_PX {
                ui.end_row();
            }
            sign(ui, knowledge);
            ui.label(Step::Small.text(knowledge.word()).color(ink));
            ui.add_space(space::TIGHT);
        }
    });
}

fn sign(ui: &mut Ui, knowledge: Knowledge) {
    let (rect, _) = ui.allocate_exact_size(vec2(12.0, 16.0), Sense::hover());
    ui.painter()
        .extend(knowledge_sign(knowledge, rect.center(), Palette::of(ui)));
}

fn knowledge_sign(knowledge: Knowledge, center: Pos2, palette: &Palette) -> Vec<Shape> {
    let ink = palette.text2;
    let ring = Shape::circle_stroke(center, BADGE_RADIUS_PX, Stroke::new(1.5, ink));
    match knowledge {
        Knowledge::Measured => vec![Shape::circle_filled(center, BADGE_RADIUS_PX + 0.75, ink)],
        Knowledge::Estimated => {
            let left_half = (0_u8..=12).map(|step| {
                let angle = PI / 2.0 + PI * f32::from(step) / 12.0;
                center + BADGE_RADIUS_PX * Vec2::angled(angle)
            });
            vec![
                Shape::convex_polygon(left_half.collect(), ink, Stroke::NONE),
                ring,
            ]
        }
        Knowledge::Assumed => vec![ring],
    }
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, clippy::missing_assert_message, reason = "tests")]
    use super::*;

    #[test]
    fn a_new_value_keeps_how_the_old_one_was_known() {
        let old = Given {
            value: 742.0,
            knowledge: Knowledge::Estimated,
        };
        let new = Given {
            value: 750.0,
            ..old
        };
        let read = |typed| given_from(typed, LotNumber::Density, Some(old));
        assert_eq!(read("750 g/L"), Ok(Some(new)));
        assert_eq!(read("+8"), Ok(Some(new)));
    }

    #[test]
    fn an_emptied_field_means_that_nobody_knows() {
        let old = Given {
            value: 11.2,
            knowledge: Knowledge::Measured,
        };
        assert_eq!(given_from("  ", LotNumber::Moisture, Some(old)), Ok(None));
    }

    #[test]
    fn a_unit_that_does_not_fit_is_refused() {
        assert!(given_from("742 g", LotNumber::Density, None).is_err());
        assert!(given_from("18 mm", LotNumber::ScreenSize, None).is_err());
    }
}
