//! A field that shows a formatted value and takes a typed one.
//!
//! Enter or leaving the field applies, Escape puts the value back. Text that can't be used stays as it was typed, with the
//! reason beneath it, until it is mended or the value changes from elsewhere. Text that wasn't changed applies nothing, so
//! what is shown may be rounded.

use chaffinch_craft::Severity;
use eframe::egui::{
    Align2, CornerRadius, Frame, Id, Key, Label, Margin, Modifiers, Response, Stroke, StrokeKind,
    TextEdit, Ui, Vec2,
    text::{CCursor, CCursorRange},
    text_edit::TextEditState,
    vec2,
};

use super::{
    focus,
    sign::sign,
    tooltip::{Explanation, explained},
};
use crate::desk::theme::{Palette, Step, radius};

/// Where the text stands in its field.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Side {
    /// Numbers.
    #[default]
    Right,
    /// Words.
    Left,
}

/// A field for one value. Build it anew each frame with the value as it stands.
#[derive(Clone, Copy, Debug)]
pub struct TypedField<'a> {
    id_salt: Id,
    name: &'a str,
    shown: &'a str,
    unit: &'a str,
    width_px: f32,
    side: Side,
    timing: Timing,
    standing: Standing,
    explanation: Option<Explanation<'a>>,
}

/// When a typed text is applied.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Timing {
    /// When the field is left.
    #[default]
    Left,
    /// With each change that can be used, too.
    Typed,
}

/// What the shown value counts for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Standing {
    /// It is the value.
    #[default]
    Entered,
    /// It is taken for want of a value.
    Suggested,
}

/// What is being typed, or was typed and refused.
#[derive(Clone, Debug)]
struct Draft {
    text: String,
    /// Something was typed, though it may have come back to what was shown.
    was_typed: bool,
    /// The value that the draft set out from; when it has changed elsewhere, the draft is out of date.
    from: String,
    refusal: Option<String>,
}

impl<'a> TypedField<'a> {
    /// A field that is spoken as `name` and shows `shown`. `id_salt` tells it from others in the same `Ui`.
    pub fn new(
        id_salt: impl std::hash::Hash + std::fmt::Debug,
        name: &'a str,
        shown: &'a str,
    ) -> Self {
        Self {
            id_salt: Id::unique(id_salt),
            name,
            shown,
            unit: "",
            width_px: 62.0,
            side: Side::Right,
            timing: Timing::Left,
            standing: Standing::Entered,
            explanation: None,
        }
    }

    /// Unit, written after the field.
    #[must_use]
    pub fn unit(mut self, unit: &'a str) -> Self {
        self.unit = unit;
        self
    }

    /// Width of the field without its unit, in points; 62 otherwise.
    #[must_use]
    pub fn width_px(mut self, width_px: f32) -> Self {
        self.width_px = width_px;
        self
    }

    /// Left-aligned, for words instead of numbers.
    #[must_use]
    pub fn words(mut self) -> Self {
        self.side = Side::Left;
        self
    }

    /// Applies each change of the text that can be used, for a preview; Escape applies what was shown at first. A change
    /// such as +5 must then count from a value that stays while it is typed.
    #[must_use]
    pub fn live(mut self) -> Self {
        self.timing = Timing::Typed;
        self
    }

    /// What is shown is only a suggestion: it stands in weaker ink, and typing the same again takes it up.
    #[must_use]
    pub fn suggested(mut self) -> Self {
        self.standing = Standing::Suggested;
        self
    }

    /// The field's id when it is shown in `ui`.
    pub fn id(&self, ui: &Ui) -> Id {
        ui.make_persistent_id(self.id_salt)
    }

    /// Gives the keyboard back to the field of `id`, all of its refused text selected.
    pub fn take_up_again(ui: &Ui, id: Id) {
        let draft = ui.data(|data| data.get_temp::<Option<Draft>>(id)).flatten();
        let length = draft.map_or(0, |draft| draft.text.chars().count());
        let mut state = TextEditState::load(ui.ctx(), id).unwrap_or_default();
        select_all(&mut state, length);
        state.store(ui.ctx(), id);
        ui.memory_mut(|memory| memory.request_focus(id));
    }

    /// Explanation on hover.
    #[must_use]
    pub fn explained(mut self, explanation: Explanation<'a>) -> Self {
        self.explanation = Some(explanation);
        self
    }

    /// Shows the field; gives what `parse` makes of the text when it is applied and differs from what was shown.
    ///
    /// `parse` answers a text that it can't use with the reason: what was found, what is expected.
    pub fn show<T>(self, ui: &mut Ui, parse: &dyn Fn(&str) -> Result<T, String>) -> Option<T> {
        let id = self.id(ui);
        // In the frame in which the field is left, the draft still counts.
        let is_focused =
            ui.memory(|memory| memory.has_focus(id) || memory.had_focus_last_frame(id));
        let mut draft = ui
            .data(|data| data.get_temp::<Option<Draft>>(id))
            .flatten()
            .filter(|draft| draft.from == self.shown || (is_focused && draft.text != draft.from));
        let applied = ui.vertical(|ui| {
            let response = self.edit_line(ui, id, &mut draft);
            let applied = self
                .preview(&response, draft.as_ref(), parse)
                .or_else(|| self.finish(ui, &response, &mut draft, parse));
            if let Some(reason) = draft.as_ref().and_then(|draft| draft.refusal.as_deref()) {
                refusal_line(ui, reason);
            }
            applied
        });
        ui.data_mut(|data| data.insert_temp(id, draft));
        applied.inner
    }

    fn edit_line(&self, ui: &mut Ui, id: Id, draft: &mut Option<Draft>) -> Response {
        let mut text = draft
            .as_ref()
            .map_or_else(|| self.shown.to_owned(), |draft| draft.text.clone());
        let response = ui
            .horizontal(|ui| {
                let response = self.text_edit(ui, id, &mut text);
                if !self.unit.is_empty() {
                    let unit = Step::Small.text(self.unit).color(Palette::of(ui).text3);
                    ui.label(unit);
                }
                response
            })
            .inner;
        if response.gained_focus() || response.changed() {
            let (from, refusal, had_typed) = draft.take().map_or_else(
                || (self.shown.to_owned(), None, false),
                |draft| (draft.from, draft.refusal, draft.was_typed),
            );
            *draft = Some(Draft {
                text,
                was_typed: had_typed || response.changed(),
                from,
                refusal: refusal.filter(|_| !response.changed()),
            });
        }
        let is_refused = draft.as_ref().is_some_and(|draft| draft.refusal.is_some());
        focus::show(&response);
        paint_border(ui, &response, is_refused);
        self.explain(response, draft.as_ref())
    }

    /// On hover, and for who comes by keyboard until something is typed.
    fn explain(&self, response: Response, draft: Option<&Draft>) -> Response {
        let Some(explanation) = &self.explanation else {
            return response;
        };
        let is_untouched = draft.is_none_or(|draft| draft.text == draft.from);
        if response.has_focus() && is_untouched && !response.hovered() {
            explanation.show_above(&response);
        }
        explained(response, explanation)
    }

    fn text_edit(&self, ui: &mut Ui, id: Id, text: &mut String) -> Response {
        let palette = Palette::of(ui);
        let align = match self.side {
            Side::Right => Align2::RIGHT_CENTER,
            Side::Left => Align2::LEFT_CENTER,
        };
        let length = text.chars().count();
        let ink = if self.standing == Standing::Suggested && text.as_str() == self.shown {
            palette.text3
        } else {
            palette.text
        };
        let mut output = TextEdit::singleline(text)
            .id(id)
            .font(Step::Body.font())
            .text_color(ink)
            .align(align)
            .desired_width(self.width_px - 16.0)
            .min_size(vec2(self.width_px, 22.0))
            .frame(
                Frame::new()
                    .fill(palette.field)
                    .corner_radius(radius::FIELD)
                    .inner_margin(Margin::symmetric(8, 3)),
            )
            .show(ui);
        if output.response.response.gained_focus() {
            select_all(&mut output.state, length);
            output.state.store(ui.ctx(), id);
        }
        output.response.response.accessible_name(self.name)
    }

    /// What a field that applies while typing makes of a change.
    fn preview<T>(
        &self,
        response: &Response,
        draft: Option<&Draft>,
        parse: &dyn Fn(&str) -> Result<T, String>,
    ) -> Option<T> {
        let is_due = self.timing == Timing::Typed && response.changed() && !response.lost_focus();
        draft
            .filter(|_| is_due)
            .and_then(|draft| parse(&draft.text).ok())
    }

    /// Applies, reverts or refuses when the field is left.
    fn finish<T>(
        &self,
        ui: &Ui,
        response: &Response,
        draft: &mut Option<Draft>,
        parse: &dyn Fn(&str) -> Result<T, String>,
    ) -> Option<T> {
        if !response.lost_focus() {
            return None;
        }
        let mut left = draft.take()?;
        // Consumed, so that the same press doesn't drop the selection as well.
        if ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape)) {
            let is_applied = self.timing == Timing::Typed && left.from != self.shown;
            return is_applied.then(|| parse(&left.from).ok()).flatten();
        }
        let is_taken_up = self.standing == Standing::Suggested && left.was_typed;
        if left.text == self.shown && !is_taken_up {
            return None;
        }
        match parse(&left.text) {
            Ok(value) => Some(value),
            Err(reason) => {
                left.refusal = Some(reason);
                left.from.clear();
                left.from.push_str(self.shown);
                *draft = Some(left);
                None
            }
        }
    }
}

fn select_all(state: &mut TextEditState, length: usize) {
    let all = CCursorRange::two(CCursor::new(0), CCursor::new(length));
    state.cursor.set_char_range(Some(all));
}

fn paint_border(ui: &Ui, response: &Response, is_refused: bool) {
    let palette = Palette::of(ui);
    let border = if response.has_focus() {
        Stroke::new(2.0, palette.accent)
    } else if is_refused {
        Stroke::new(1.5, palette.stop)
    } else if !ui.is_enabled() {
        Stroke::new(1.0, palette.hairline)
    } else if response.hovered() {
        Stroke::new(1.0, palette.text2)
    } else {
        Stroke::new(1.0, palette.control)
    };
    let corner = CornerRadius::same(radius::FIELD);
    ui.painter()
        .rect_stroke(response.rect, corner, border, StrokeKind::Inside);
}

fn refusal_line(ui: &mut Ui, reason: &str) {
    let palette = Palette::of(ui);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing = Vec2::splat(4.0);
        sign(ui, Severity::Stop, palette.raised);
        ui.add(Label::new(Step::Small.text(reason).color(palette.stop_text)).wrap());
    });
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, clippy::missing_assert_message, reason = "tests")]
    use super::*;
    use crate::desk::theme;
    use eframe::egui::{Context, Event, PointerButton, Pos2, RawInput, Rect};

    /// A field alone in a window.
    struct Desk {
        ctx: Context,
        shown: &'static str,
        is_live: bool,
        is_suggested: bool,
        refused: bool,
    }

    impl Desk {
        fn new(shown: &'static str) -> Self {
            let ctx = Context::default();
            theme::install(&ctx);
            let mut desk = Self {
                ctx,
                shown,
                is_live: false,
                is_suggested: false,
                refused: false,
            };
            desk.frame(Vec::new());
            desk
        }

        fn frame(&mut self, events: Vec<Event>) -> Option<f64> {
            let screen_rect = Some(Rect::from_min_size(Pos2::ZERO, vec2(400.0, 200.0)));
            let input = RawInput {
                screen_rect,
                events,
                ..RawInput::default()
            };
            let (mut applied, mut height_px) = (None, 0.0);
            let output = self.ctx.run_ui(input, |ui| {
                let top = ui.cursor().top();
                let mut field = TypedField::new("density", "Density", self.shown);
                if self.is_live {
                    field = field.live();
                }
                if self.is_suggested {
                    field = field.suggested();
                }
                applied = field.show(ui, &|text| {
                    text.parse::<f64>()
                        .map_err(|_| format!("{text} is not a number"))
                });
                height_px = ui.cursor().top() - top;
            });
            output.drop_without_applying_deltas();
            // The reason takes a line of its own.
            self.refused = height_px > 40.0;
            applied
        }

        fn click(&mut self) {
            for is_pressed in [true, false] {
                let pos = Pos2::new(30.0, 20.0);
                let click = Event::PointerButton {
                    pos,
                    button: PointerButton::Primary,
                    pressed: is_pressed,
                    modifiers: Modifiers::NONE,
                };
                self.frame(vec![Event::PointerMoved(pos), click]);
            }
        }

        /// Clicks into the field, which selects all of it, and types over it.
        fn type_over(&mut self, text: &str) -> Option<f64> {
            self.click();
            self.frame(vec![Event::Key {
                key: Key::A,
                physical_key: None,
                pressed: true,
                repeat: false,
                modifiers: Modifiers::COMMAND,
            }]);
            self.frame(vec![Event::Text(text.to_owned())])
        }

        fn press(&mut self, key: Key) -> Option<f64> {
            let event = |pressed| Event::Key {
                key,
                physical_key: None,
                pressed,
                repeat: false,
                modifiers: Modifiers::NONE,
            };
            let first = self.frame(vec![event(true), event(false)]);
            first.or(self.frame(Vec::new()))
        }
    }

    #[test]
    fn enter_and_tab_apply_what_was_typed() {
        for key in [Key::Enter, Key::Tab] {
            let mut desk = Desk::new("742");
            desk.type_over("688.5");
            assert_eq!(desk.press(key), Some(688.5), "{key:?}");
        }
    }

    #[test]
    fn escape_puts_the_value_back() {
        let mut desk = Desk::new("742");
        desk.type_over("688.5");
        assert_eq!(desk.press(Key::Escape), None);
        assert!(!desk.refused);
        assert_eq!(desk.frame(Vec::new()), None);
    }

    #[test]
    fn text_that_is_no_number_stays_with_a_reason_until_the_value_changes() {
        let mut desk = Desk::new("742");
        desk.type_over("12x");
        assert_eq!(desk.press(Key::Enter), None);
        desk.frame(Vec::new());
        assert!(desk.refused, "the reason is shown");
        desk.type_over("12");
        assert!(!desk.refused, "typing again takes the reason away");
        desk.type_over("12y");
        desk.press(Key::Enter);
        desk.shown = "700";
        desk.frame(Vec::new());
        assert!(
            !desk.refused,
            "a value from elsewhere takes the place of the draft"
        );
    }

    #[test]
    fn a_value_that_changes_under_the_cursor_is_not_overwritten() {
        let mut desk = Desk::new("742");
        desk.type_over("742");
        desk.shown = "700";
        desk.frame(Vec::new());
        assert_eq!(desk.press(Key::Enter), None);
        assert!(!desk.refused);
    }

    #[test]
    fn what_was_typed_is_applied_though_the_value_changed_meanwhile() {
        let mut desk = Desk::new("742");
        desk.type_over("688");
        desk.shown = "700";
        desk.frame(Vec::new());
        assert_eq!(desk.press(Key::Enter), Some(688.0));
    }

    #[test]
    fn leaving_without_a_change_applies_nothing() {
        let mut desk = Desk::new("742");
        desk.type_over("742");
        assert_eq!(desk.press(Key::Enter), None);
        assert!(!desk.refused);
    }

    #[test]
    fn a_suggestion_is_taken_up_by_typing_it_and_not_by_passing_through() {
        let mut desk = Desk::new("742");
        desk.is_suggested = true;
        desk.type_over("742");
        assert_eq!(desk.press(Key::Enter), Some(742.0));
        desk.type_over("742");
        assert_eq!(desk.press(Key::Escape), None);
        desk.click();
        assert_eq!(desk.press(Key::Tab), None);
    }

    #[test]
    fn live_field_applies_while_typing_what_can_be_used_and_escape_takes_it_back() {
        let mut desk = Desk::new("742");
        assert_eq!(desk.type_over("74"), None, "other fields wait");
        desk.press(Key::Escape);
        desk.is_live = true;
        assert_eq!(desk.type_over("70"), Some(70.0));
        desk.shown = "70";
        assert_eq!(desk.frame(vec![Event::Text("x".to_owned())]), None);
        assert!(!desk.refused, "no reason while it is being typed");
        assert_eq!(desk.press(Key::Escape), Some(742.0));
    }
}
