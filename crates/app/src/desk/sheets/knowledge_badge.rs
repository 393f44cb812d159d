//! The badge that says how a number came to be known: disc measured, half disc estimated, ring assumed.

use std::f32::consts::PI;

use chaffinch_craft::Knowledge;
use eframe::egui::{
    CornerRadius, CursorIcon, Id, Popup, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, Vec2,
    WidgetInfo, vec2,
};

use crate::desk::{
    theme::{Palette, Step, radius, space},
    widgets::focus,
};

/// Width of the place that the badge takes, in points.
pub(super) const WIDTH_PX: f32 = 20.0;
/// Room that an entry of the legend needs, in points.
const LEGEND_ENTRY_PX: f32 = 66.0;
/// Radius of a badge, in points.
const BADGE_RADIUS_PX: f32 = 4.5;

/// What was picked in the badge's menu.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Picked {
    /// The value is known like this.
    Known(Knowledge),
    /// Nobody knows: back to the usual value.
    Back,
}

/// The badge of one number.
#[derive(Clone, Copy, Debug)]
pub(super) struct Badge<'a> {
    /// The number's label.
    pub(super) label: &'a str,
    /// How it is known.
    pub(super) knowledge: Knowledge,
    /// Words for going back to the usual value, if that can be asked.
    pub(super) back: Option<&'a str>,
}

/// What a kind of knowledge means, for a sentence.
pub(super) fn meaning(knowledge: Knowledge) -> &'static str {
    match knowledge {
        Knowledge::Measured => "somebody measured it",
        Knowledge::Estimated => "reckoned from something else, or told by the seller or maker",
        Knowledge::Assumed => "a usual value, because nobody knows",
    }
}

impl Badge<'_> {
    /// Shows the badge around `center`; it opens a menu. Gives what is picked there.
    pub(super) fn show(self, ui: &mut Ui, id: Id, center: Pos2) -> Option<Picked> {
        let palette = Palette::of(ui);
        let rect = Rect::from_center_size(center, vec2(WIDTH_PX, space::CONTROL_HEIGHT));
        let response = ui.interact(rect, id, Sense::click());
        let spoken = format!("{}: {}", self.label, self.knowledge.word());
        response.widget_info(|| WidgetInfo::labeled(Role::Button, ui.is_enabled(), &spoken));
        if response.hovered() {
            ui.painter().rect_filled(
                rect,
                CornerRadius::same(radius::FIELD),
                palette.hovered(palette.raised),
            );
        }
        ui.painter()
            .extend(knowledge_sign(self.knowledge, center, palette));
        focus::ring(ui, &response, radius::FIELD);
        let picked = Popup::menu(&response)
            .show(|ui| self.menu(ui))
            .and_then(|menu| menu.inner);
        let hint = format!(
            "{spoken}, that is {}. Click to change.",
            meaning(self.knowledge)
        );
        response
            .on_hover_cursor(CursorIcon::PointingHand)
            .on_hover_text(hint);
        picked
    }

    fn menu(self, ui: &mut Ui) -> Option<Picked> {
        let mut picked = None;
        for knowledge in Knowledge::ALL {
            ui.horizontal(|ui| {
                sign(ui, knowledge);
                let words = format!("{}: {}", knowledge.word(), meaning(knowledge));
                let row = ui.selectable_label(knowledge == self.knowledge, Step::Body.text(words));
                if row.clicked() && knowledge != self.knowledge {
                    picked = Some(Picked::Known(knowledge));
                }
            });
        }
        if let Some(back) = self.back {
            ui.separator();
            if ui.selectable_label(false, Step::Body.text(back)).clicked() {
                picked = Some(Picked::Back);
            }
        }
        picked
    }
}

/// Says what the badges of `kinds` mean.
pub(super) fn legend(kinds: &[Knowledge], ui: &mut Ui) {
    let ink = Palette::of(ui).text3;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 3.0;
        ui.spacing_mut().interact_size.y = 16.0;
        for &knowledge in kinds {
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
