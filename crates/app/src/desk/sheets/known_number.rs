//! A number of a sheet: its value in the unit of the window, and a badge that says how it came to be known.
//!
//! What nobody entered shows its usual value in weaker ink, as assumed; an emptied field goes back to it.

use chaffinch_craft::{
    Edit, Given, Knowledge, NumberFacts, NumberName, PlanError, Refusal, SheetUnit, entry,
    units::{self, Celsius, CelsiusDifference, TempUnit},
};
use eframe::egui::{Label, Ui, pos2};

use super::{
    field_row::labelled_row,
    knowledge_badge::{self, Badge, Picked},
};
use crate::desk::{
    ask::Ask,
    model::Model,
    rework::Before,
    theme::{Palette, Step, space},
    widgets::{tooltip::Explanation, typed_field::TypedField},
};

/// Width of the field, in points.
const FIELD_PX: f32 = 52.0;
/// Narrowest field, in points: three digits.
const LEAST_FIELD_PX: f32 = 40.0;
/// Room for a unit of usual length, in points; fields line up in front of it.
const UNIT_PX: f32 = 27.0;

/// Shows the rows of `numbers`; pushes what is asked in them.
pub(super) fn rows(
    model: &Model<'_>,
    numbers: impl IntoIterator<Item = NumberName>,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    for number in numbers {
        asks.extend(row(model, number, ui).map(Ask::Apply));
    }
}

/// Shows the row of `number`; gives the edit of its value or of how it is known.
fn row(model: &Model<'_>, number: NumberName, ui: &mut Ui) -> Option<Edit> {
    let state = Number::of(model, number);
    let [label_px, field_px] = widths_px(ui, state.facts.label, state.symbol());
    let edit = labelled_row(ui, (state.facts.label, label_px), |ui| {
        let badge_center = pos2(
            ui.max_rect().right() - knowledge_badge::WIDTH_PX / 2.0,
            ui.cursor().top() + space::CONTROL_HEIGHT / 2.0,
        );
        let typed = state.field(model, field_px, ui);
        let picked = state.badge(badge_center, ui);
        typed.or(picked)
    });
    state.beside(model, ui);
    edit
}

/// A small line below a row, for what it is compared with.
pub(super) fn small_line(words: &str, ui: &mut Ui) {
    let ink = Palette::of(ui).text2;
    ui.add(Label::new(Step::Small.text(words).color(ink)).wrap());
}

/// “Was 240 °C”: what the plan has that is carried to this sheet.
pub(super) fn was_line(before: &str, ui: &mut Ui) {
    small_line(&format!("Was {before}"), ui);
}

/// Widths, in points, of the label and of the field in front of `unit`. Fields of a card line up; a long label takes from its
/// field's width.
pub(super) fn widths_px(ui: &Ui, label: &str, unit: &str) -> [f32; 2] {
    let ink = Palette::of(ui).text;
    let width_px = |words: &str, step: Step| {
        let painter = ui.painter();
        let words = painter.layout_no_wrap(words.to_owned(), step.font(), ink);
        words.size().x.ceil()
    };
    let unit_px = width_px(unit, Step::Small);
    let room_px = ui.available_width() - knowledge_badge::WIDTH_PX - 2.0 * space::TIGHT;
    let lined_up_px = room_px - unit_px.max(UNIT_PX) - FIELD_PX;
    let label_px = lined_up_px.max(width_px(label, Step::Body));
    let field_px = (room_px - unit_px - label_px).clamp(LEAST_FIELD_PX, FIELD_PX);
    [label_px, field_px]
}

/// One number as it stands in the plan.
#[derive(Clone, Copy, Debug)]
struct Number {
    name: NumberName,
    facts: &'static NumberFacts,
    /// What is taken while nobody knows.
    usual: Option<f64>,
    entered: Option<Given>,
    known: Option<Given>,
    /// In a plan that is carried to: how far the value may be off, if only the altitude of the coffee tells it.
    told_within: Option<f64>,
    shown_in: TempUnit,
}

impl Number {
    fn of(model: &Model<'_>, name: NumberName) -> Self {
        let entered = name.entered(model.plan);
        let carried = model.carried.as_ref();
        let told = carried.and_then(|carried| carried.told_by_altitude(name));
        let spread = carried
            .and_then(|carried| carried.guess(name))
            .map(|guess| guess.spread);
        Self {
            name,
            facts: name.facts(),
            usual: told.or_else(|| name.usual(model.plan)),
            entered,
            known: carried.map_or_else(|| name.known(model.plan), |carried| carried.known(name)),
            told_within: told.filter(|_| entered.is_none()).and(spread),
            shown_in: model.unit,
        }
    }

    /// In a plan that is carried to: what the number was, and what to do if measuring it helps most.
    fn beside(&self, model: &Model<'_>, ui: &mut Ui) {
        let Some(carried) = &model.carried else {
            return;
        };
        match carried.before(self.name) {
            Some(Before::Value(before)) => was_line(&self.with_unit(before), ui),
            Some(Before::Unknown) => was_line("not known", ui),
            None => {}
        }
        if carried.narrowing.map(NumberName::Lot) == Some(self.name)
            && let Some(guess) = carried.guess(self.name)
        {
            let words = format!("To narrow the result most, {}", guess.measurement());
            small_line(&words, ui);
        }
    }

    fn symbol(&self) -> &'static str {
        self.facts.unit.symbol(self.shown_in)
    }

    fn field(&self, model: &Model<'_>, width_px: f32, ui: &mut Ui) -> Option<Edit> {
        let shown = self
            .known
            .map_or_else(String::new, |known| self.in_field(known.value));
        let (name, how, source) = (self.spoken_name(), self.range_words(), self.origin_words());
        let mut field =
            TypedField::new(("number", self.name.sheet(), self.facts.key), &name, &shown)
                .width_px(width_px)
                .unit(self.symbol())
                .explained(Explanation {
                    what: self.facts.explanation,
                    how: &how,
                    source: &source,
                });
        if self.entered.is_none() && self.known.is_some() {
            field = field.suggested();
        }
        let edit = field.show(ui, &|typed| {
            let wished = self.read(typed)?;
            if wished == self.entered {
                return Ok(None);
            }
            let edit = Edit::Number(self.name, wished);
            match model.plan.edited(&edit) {
                Ok(_) => Ok(Some(edit)),
                Err(refusal) => Err(self.refusal_words(&refusal)),
            }
        });
        edit.flatten()
    }

    fn badge(&self, center: eframe::egui::Pos2, ui: &mut Ui) -> Option<Edit> {
        let known = self.known?;
        let usual = self.usual.filter(|_| self.entered.is_some());
        let back =
            usual.map(|usual| format!("Nobody knows: take the usual {}", self.with_unit(usual)));
        let badge = Badge {
            label: self.facts.label,
            knowledge: known.knowledge,
            back: back.as_deref(),
        };
        let id = ui.make_persistent_id(("badge", self.name.sheet(), self.facts.key));
        let given = match badge.show(ui, id, center)? {
            Picked::Known(knowledge) => Some(Given { knowledge, ..known }),
            Picked::Back => None,
        };
        Some(Edit::Number(self.name, given))
    }

    /// What a typed text means. A new value keeps how a measured or estimated one was known; in the place of an assumption it
    /// counts as measured.
    fn read(&self, typed: &str) -> Result<Option<Given>, String> {
        if typed.trim().is_empty() {
            return Ok(None);
        }
        let current = self.known.map(|known| known.value);
        let value = match self.facts.unit {
            SheetUnit::Plain(symbol) if self.is_signed() => {
                entry::parse_signed_number(typed, typeable(symbol))
            }
            SheetUnit::Plain(symbol) => entry::parse_number(typed, current, typeable(symbol)),
            SheetUnit::Temperature => entry::parse_temp(typed, current, self.shown_in),
            SheetUnit::TemperatureDifference => entry::parse_temp_shift(typed, self.shown_in),
        };
        let value = value.map_err(|error| error.to_string())?;
        let knowledge = match self.entered.map(|entered| entered.knowledge) {
            Some(Knowledge::Estimated) => Knowledge::Estimated,
            _ => Knowledge::Measured,
        };
        Ok(Some(Given { value, knowledge }))
    }

    /// Whether a leading sign belongs to the number, as in a latitude, and doesn't mean a change.
    fn is_signed(&self) -> bool {
        self.facts.unit == SheetUnit::Plain("°")
    }

    /// Why the plan refuses; a range in the unit of the window.
    fn refusal_words(&self, refusal: &Refusal) -> String {
        let Refusal::Plan(PlanError::Number(error)) = refusal else {
            return refusal.to_string();
        };
        format!(
            "{} is out of range; expected {} to {}",
            self.with_unit(error.found),
            self.in_words(error.facts.least),
            self.with_unit(error.facts.most)
        )
    }

    /// A value as the field shows it. In the field of a difference a leading sign belongs to the number.
    fn in_field(&self, value: f64) -> String {
        match self.facts.unit {
            SheetUnit::Plain(_) if self.is_signed() => self.in_words(value),
            SheetUnit::Plain(_) => units::format_number_exact(value),
            SheetUnit::Temperature => units::format_temp_field(value, self.shown_in),
            SheetUnit::TemperatureDifference => self.in_words(value),
        }
    }

    /// A value as a sentence shows it, without its unit; temperatures to 0.01.
    fn in_words(&self, value: f64) -> String {
        const DECIMALS: usize = 2;
        let degrees = match self.facts.unit {
            SheetUnit::Plain(_) => {
                let text = units::format_number_exact(value);
                return text.trim_start_matches('=').to_owned();
            }
            SheetUnit::Temperature => Celsius(value).shown(self.shown_in),
            SheetUnit::TemperatureDifference => CelsiusDifference(value).shown(self.shown_in),
        };
        let text = units::format_number(degrees, DECIMALS);
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    }

    fn with_unit(&self, value: f64) -> String {
        let text = format!("{} {}", self.in_words(value), self.symbol());
        text.trim_end().to_owned()
    }

    /// The field's name in the window: “Heater power of the machine”.
    fn spoken_name(&self) -> String {
        let noun = self.facts.noun;
        let first = noun.chars().next().map_or(0, char::len_utf8);
        let (first, rest) = noun.split_at(first);
        let noun = format!("{}{rest}", first.to_uppercase());
        match self.name {
            // “Spread of the dose” says all of it.
            NumberName::Variation(_) => noun,
            _ => format!("{noun} of the {}", self.name.sheet()),
        }
    }

    fn range_words(&self) -> String {
        let [least, most] = [self.facts.least, self.facts.most].map(|end| self.in_words(end));
        let unit = match self.symbol() {
            "" => String::new(),
            symbol => format!(", in {symbol}"),
        };
        let back = self.usual.map_or_else(
            || "if nobody knows".to_owned(),
            |usual| {
                let what = self.told_within.map_or("the usual", |_| "the estimated");
                format!("to go back to {what} {}", self.with_unit(usual))
            },
        );
        format!("From {least} to {most}{unit}; clear the field {back}.")
    }

    /// Where the value came from.
    fn origin_words(&self) -> String {
        match (self.entered, self.known) {
            (Some(entered), _) => format!(
                "This value is {}: {}.",
                entered.knowledge.word(),
                knowledge_badge::meaning(entered.knowledge)
            ),
            (None, Some(_)) => match self.told_within {
                Some(spread) => format!(
                    "Nobody entered a value: this one is estimated from the altitude, ± {} (common practice, no published source).",
                    self.with_unit(spread)
                ),
                None => "Nobody entered a value: this is a usual one, assumed.".to_owned(),
            },
            (None, None) => String::new(),
        }
    }
}

/// `symbol` if it can be typed behind a number: with digits, brackets or raised figures it couldn't be told from a sum.
fn typeable(symbol: &str) -> &str {
    let is_plain = |sign: char| sign.is_alphabetic() || matches!(sign, '%' | '°' | '/');
    if symbol.chars().all(is_plain) {
        symbol
    } else {
        ""
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        missing_docs,
        clippy::missing_assert_message,
        clippy::unwrap_used,
        reason = "tests"
    )]
    use super::*;
    use chaffinch_craft::{LotNumber, MachineNumber, RoomNumber, VariationNumber};

    /// A number with this value and knowledge; one that nobody entered has its usual value.
    fn number(name: NumberName, entered: Option<(f64, Knowledge)>, unit: TempUnit) -> Number {
        let entered = entered.map(|(value, knowledge)| Given { value, knowledge });
        let usual = name.facts().usual.map(|value| Given {
            value,
            knowledge: Knowledge::Assumed,
        });
        Number {
            name,
            facts: name.facts(),
            usual: name.facts().usual,
            entered,
            known: entered.or(usual),
            told_within: None,
            shown_in: unit,
        }
    }

    const DENSITY: NumberName = NumberName::Lot(LotNumber::Density);
    const PREHEAT: NumberName = NumberName::Machine(MachineNumber::Preheat);
    const PROBE_OFFSET: NumberName = NumberName::Machine(MachineNumber::ProbeOffset);
    const C: TempUnit = TempUnit::Celsius;
    const F: TempUnit = TempUnit::Fahrenheit;

    fn read(number: Number, typed: &str) -> (f64, Knowledge) {
        let given = number.read(typed).unwrap().unwrap();
        (given.value, given.knowledge)
    }

    #[test]
    fn a_new_value_keeps_how_the_old_one_was_known_unless_that_was_assumed() {
        for (old, new) in [
            (Knowledge::Measured, Knowledge::Measured),
            (Knowledge::Estimated, Knowledge::Estimated),
            (Knowledge::Assumed, Knowledge::Measured),
        ] {
            let density = number(DENSITY, Some((742.0, old)), C);
            assert_eq!(read(density, "750 g/L"), (750.0, new));
            assert_eq!(read(density, "+8"), (750.0, new));
        }
    }

    #[test]
    fn a_change_of_what_nobody_entered_counts_from_the_usual_value() {
        let power = number(NumberName::Machine(MachineNumber::HeaterPower), None, C);
        assert_eq!(read(power, "+50"), (1650.0, Knowledge::Measured));
        assert_eq!(read(power, "1500 W"), (1500.0, Knowledge::Measured));
    }

    #[test]
    fn a_latitude_may_be_typed_with_its_sign() {
        let latitude = NumberName::Lot(LotNumber::Latitude);
        let unknown = number(latitude, None, C);
        assert_eq!(read(unknown, "-20").0, -20.0);
        let south = number(latitude, Some((-20.0, Knowledge::Measured)), C);
        assert_eq!(south.in_field(-20.0), "−20");
        assert_eq!(read(south, "−5").0, -5.0);
        assert_eq!(read(south, &south.in_field(-20.0)).0, -20.0);
    }

    #[test]
    fn an_emptied_field_means_that_nobody_knows() {
        let moisture = number(
            NumberName::Lot(LotNumber::Moisture),
            Some((11.2, Knowledge::Measured)),
            C,
        );
        assert_eq!(moisture.read("  "), Ok(None));
    }

    #[test]
    fn a_unit_that_does_not_fit_is_refused() {
        assert!(number(DENSITY, None, C).read("742 g").is_err());
        let screen = number(NumberName::Lot(LotNumber::ScreenSize), None, C);
        assert!(screen.read("18 mm").is_err());
        assert!(screen.read("18").is_ok());
    }

    /// From memory: 180 °C = 356 °F, a difference of 5 °C is one of 9 °F.
    #[test]
    fn temperatures_and_their_differences_are_typed_and_shown_in_the_unit_of_the_window() {
        let preheat = number(PREHEAT, Some((180.0, Knowledge::Measured)), F);
        assert_eq!(preheat.in_field(180.0), "356");
        assert_eq!(read(preheat, "392").0, 200.0);
        assert_eq!(read(preheat, "180 °C").0, 180.0);
        assert_eq!(
            preheat.range_words(),
            "From 68 to 572, in °F; clear the field if nobody knows."
        );
        let offset = number(PROBE_OFFSET, Some((-5.0, Knowledge::Measured)), F);
        assert_eq!(offset.in_field(-5.0), "−9");
        assert_eq!(read(offset, "−9").0, -5.0);
        assert_eq!(read(offset, "4.5").0, 2.5);
        let ranges = offset.range_words();
        assert!(ranges.starts_with("From −36 to 36, in °F;"), "{ranges}");
        let air = number(NumberName::Variation(VariationNumber::Air), None, F);
        assert_eq!(air.in_field(3.0), "5.4");
        // A ninth has no end: what was typed comes back all the same.
        assert_eq!(air.in_field(read(air, "1").0), "1");
        assert_eq!(preheat.in_words(read(preheat, "600").0), "600");
    }

    #[test]
    fn units_that_cannot_be_told_from_a_sum_are_not_typed() {
        for symbol in ["g/L", "%", "°C", "%/°C", "J/°C", ""] {
            assert_eq!(typeable(symbol), symbol);
        }
        for symbol in ["1/64 in", "cm²", "W/(m·K)"] {
            assert_eq!(typeable(symbol), "");
        }
    }

    #[test]
    fn names_say_number_and_sheet() {
        let name = |name| number(name, None, C).spoken_name();
        assert_eq!(
            name(NumberName::Room(RoomNumber::Mains)),
            "Mains voltage of the room"
        );
        assert_eq!(
            name(NumberName::Variation(VariationNumber::Dose)),
            "Spread of the dose"
        );
    }
}
