//! A raised frame with a head; some fold to one line of what matters.

use eframe::egui::{
    Align, CursorIcon, Frame, InnerResponse, Label, Layout, Margin, Rect, Role, Sense, Stroke, Ui,
    Vec2, WidgetInfo, collapsing_header::CollapsingState, vec2,
};

use super::focus;
use crate::desk::{
    layout::LOW_WINDOW_PX,
    paint::icons::{Icon, icon},
    theme::{Palette, Step, radius, space},
};

/// Room that the fold arrow takes before the title, in points.
const ARROW_PX: f32 = 16.0;

/// What a folding card says besides its title; each may be empty.
#[derive(Clone, Copy, Debug, Default)]
pub struct CardWords<'a> {
    /// Beside the title while the card is open.
    pub aside: &'a str,
    /// Beside the title while it is folded.
    pub folded_aside: &'a str,
    /// Below the title while it is folded.
    pub summary: &'a str,
}

/// A card without a head, as wide as its place.
pub fn plain_card<R>(ui: &mut Ui, add_contents: impl FnOnce(&mut Ui) -> R) -> InnerResponse<R> {
    let palette = Palette::of(ui);
    let is_low = ui.content_rect().height() < LOW_WINDOW_PX;
    Frame::new()
        .fill(palette.raised)
        .stroke(Stroke::new(1.0, palette.hairline))
        .corner_radius(radius::CARD)
        .inner_margin(Margin::symmetric(12, if is_low { 8 } else { 12 }))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            add_contents(ui)
        })
}

/// A card headed by `title`, with `aside` in small letters at the right (may be empty).
pub fn card<R>(
    ui: &mut Ui,
    title: &str,
    aside: &str,
    add_contents: impl FnOnce(&mut Ui) -> R,
) -> InnerResponse<R> {
    plain_card(ui, |ui| {
        ui.horizontal(|ui| {
            ui.label(Step::Head.text(title));
            aside_at_right(ui, aside);
        });
        ui.add_space(space::TIGHT);
        add_contents(ui)
    })
}

/// A card that folds. Open, it shows `aside` beside its title and the contents below; folded, `summary` is all that stays.
///
/// Turns `is_open` when its head is clicked, or pressed with Enter or Space. Gives the answer of `add_contents` when they were shown.
pub fn folding_card<R>(
    ui: &mut Ui,
    title: &str,
    [aside, summary]: [&str; 2],
    is_open: &mut bool,
    add_contents: impl FnOnce(&mut Ui) -> R,
) -> Option<R> {
    let words = CardWords {
        aside,
        folded_aside: "",
        summary,
    };
    folding_card_saying(ui, title, words, is_open, add_contents)
}

/// As [`folding_card`], which may say something beside its title when it is folded, too.
pub fn folding_card_saying<R>(
    ui: &mut Ui,
    title: &str,
    words: CardWords<'_>,
    is_open: &mut bool,
    add_contents: impl FnOnce(&mut Ui) -> R,
) -> Option<R> {
    plain_card(ui, |ui| {
        let head = Head {
            title,
            spoken: title,
            step: Step::Head,
            asides: [words.folded_aside, words.aside],
        };
        head.show(ui, is_open);
        if !*is_open {
            summary_line(ui, words.summary);
        }
        folding_body(ui, title, *is_open, add_contents)
    })
    .inner
}

/// A part of a card that folds, under a smaller head; `spoken` tells it from parts of other cards with the same title.
///
/// Turns `is_open` as [`folding_card`] does.
pub fn folding_part<R>(
    ui: &mut Ui,
    [title, spoken]: [&str; 2],
    summary: &str,
    is_open: &mut bool,
    add_contents: impl FnOnce(&mut Ui) -> R,
) -> Option<R> {
    let head = Head {
        title,
        spoken,
        step: Step::Body,
        asides: [summary, ""],
    };
    head.show(ui, is_open);
    folding_body(ui, spoken, *is_open, add_contents)
}

fn summary_line(ui: &mut Ui, summary: &str) {
    if !summary.is_empty() {
        let words = Step::Small.text(summary).color(Palette::of(ui).text2);
        ui.add(Label::new(words).truncate());
    }
}

fn folding_body<R>(
    ui: &mut Ui,
    id_salt: &str,
    is_open: bool,
    add_contents: impl FnOnce(&mut Ui) -> R,
) -> Option<R> {
    let id = ui.make_persistent_id(id_salt);
    let mut fold = CollapsingState::load_with_default_open(ui.ctx(), id, is_open);
    fold.set_open(is_open);
    let body = fold.show_body_unindented(ui, |ui| {
        ui.add_space(space::TIGHT);
        add_contents(ui)
    });
    body.map(|body| body.inner)
}

/// The head of something that folds.
struct Head<'a> {
    title: &'a str,
    spoken: &'a str,
    step: Step,
    /// In small letters at the right: folded, open.
    asides: [&'a str; 2],
}

impl Head<'_> {
    fn show(&self, ui: &mut Ui, is_open: &mut bool) {
        let size = vec2(ui.available_width(), 20.0);
        let (rect, mut response) = ui.allocate_exact_size(size, Sense::click());
        if response.clicked() {
            *is_open = !*is_open;
            response.mark_changed();
        }
        response.widget_info(|| WidgetInfo::labeled(Role::Button, ui.is_enabled(), self.spoken));
        ui.accesskit_node_builder(response.id, |node| node.set_expanded(*is_open));
        let palette = Palette::of(ui);
        let ink = if response.hovered() {
            palette.text
        } else {
            palette.text2
        };
        let arrow = Rect::from_center_size(rect.left_center() + vec2(6.0, 0.0), Vec2::splat(13.0));
        let sign = if *is_open {
            Icon::FoldOpen
        } else {
            Icon::FoldClosed
        };
        ui.painter().extend(icon(sign, arrow, ink));
        let words =
            ui.painter()
                .layout_no_wrap(self.title.to_owned(), self.step.font(), palette.text);
        let corner = rect.left_center() + vec2(ARROW_PX, -words.size().y / 2.0);
        let left = corner.x + words.size().x + space::NEAR;
        ui.painter().galley(corner, words, palette.text);
        // An empty place would still move the cursor up into the head.
        let aside = self.asides[usize::from(*is_open)];
        if !aside.is_empty() {
            let place = rect.with_min_x(left.min(rect.right()));
            let builder = eframe::egui::UiBuilder::new().max_rect(place);
            ui.scope_builder(builder, |ui| aside_at_right(ui, aside));
        }
        focus::ring(
            ui,
            &response.on_hover_cursor(CursorIcon::PointingHand),
            radius::FIELD,
        );
    }
}

fn aside_at_right(ui: &mut Ui, aside: &str) {
    if !aside.is_empty() {
        let words = Step::Small.text(aside).color(Palette::of(ui).text3);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.add(Label::new(words).truncate());
        });
    }
}
