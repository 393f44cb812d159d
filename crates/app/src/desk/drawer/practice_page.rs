//! The rules of practice as a table: what roasters do with coffee grown higher or lower, beyond physics.
//!
//! They belong to the notebook, so they hold for all its plans, and changing them is no step of a plan's history.

use super::{
    points_table::{HEADER_PX, head_cell},
    tools::{ROW_PX, caption, slot, tipped_button},
};
use crate::desk::{
    ask::Ask,
    model::Model,
    notebook::Notebook,
    rework::grade_menu,
    theme::{Palette, Step, space},
    view_state::ViewState,
    widgets::{
        buttons::{ButtonLook, button},
        tooltip::Explanation,
        typed_field::TypedField,
    },
};
use chaffinch_craft::{
    SheetUnit,
    carry::{AltitudeGrade, PracticeRules, Rule, RuleError, RuleName},
    entry::{parse_number, parse_signed_number, parse_temp_shift},
    units::{CelsiusDifference, TempUnit, format_number, format_number_exact, round_to_billionth},
};
use chaffinch_shelf::PRACTICE_FILE;
use eframe::egui::{Align, Label, Layout, Ui};
use egui_extras::{Column, TableBuilder, TableRow};

/// Width of the field of an altitude and of one of a rule, in points.
const ALTITUDE_PX: f32 = 56.0;
const FIELD_PX: f32 = 58.0;
/// Room for a unit behind a field, in points.
const UNIT_PX: f32 = 24.0;
/// Widths of the columns of a rule's name, its two numbers, and its button, in points.
const WIDTHS_PX: [f32; 4] = [140.0, 96.0, 96.0, 76.0];
/// Narrowest column of reasons, in points.
const LEAST_WHY_PX: f32 = 120.0;

const REFERENCE: Explanation<'static> = Explanation {
    what: "The altitude that the rules count from. Coffee grown there is roasted as it is drawn.",
    how: "0 to 3500 m; equivalent altitudes count, which allow for the latitude.",
    source: "1400 m unless you say otherwise: about the middle of where specialty arabica grows, assumed.",
};

/// The altitude that the rules count from, and all rules as usual.
pub(super) fn tools(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let rules = model.notebook.practice();
    let reference_m = rules.reference_m();
    caption("Counted from", ui);
    let name = "Altitude that the rules count from";
    let shown = format_number_exact(reference_m);
    let field = TypedField::new("reference altitude", name, &shown)
        .width_px(ALTITUDE_PX)
        .unit("m")
        .explained(REFERENCE);
    let typed = slot(field, ALTITUDE_PX + UNIT_PX, view, ui, &|typed| {
        let altitude_m =
            parse_number(typed, reference_m, "m").map_err(|error| error.to_string())?;
        from_altitude(rules, altitude_m)
    });
    asks.extend(typed.map(Ask::SetPractice));
    let head = button(ui, ButtonLook::Plain, "By altitude grade…")
        .on_hover_text("Counts from a producing country's altitude grade; approximate");
    let graded = grade_menu(&head)
        .and_then(AltitudeGrade::altitude_m)
        .and_then(|altitude_m| from_altitude(rules, altitude_m).ok());
    asks.extend(graded.map(Ask::SetPractice));
    let usual = PracticeRules::default();
    let tip = "Puts every rule and the altitude back to the usual values, which are common practice without a published source";
    if tipped_button("All as usual", tip, *rules != usual, ui).clicked() {
        asks.push(Ask::SetPractice(usual));
    }
}

fn from_altitude(rules: &PracticeRules, altitude_m: f64) -> Result<PracticeRules, String> {
    let rules = rules.clone().from_altitude(altitude_m);
    rules.map_err(|error| error.to_string())
}

/// Shows the table over the place that is left, and below it where the rules are kept.
pub(super) fn ui(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    kept_line(model.notebook, ui);
    let mut table = TableBuilder::new(ui)
        .id_salt("rules of practice")
        .striped(false)
        .cell_layout(Layout::left_to_right(Align::Center))
        .auto_shrink([false, false])
        // Otherwise the table asks for more than a low window has.
        .min_scrolled_height(0.0);
    for width_px in WIDTHS_PX {
        table = table.column(Column::exact(width_px).clip(true));
    }
    table = table.column(Column::remainder().at_least(LEAST_WHY_PX).clip(true));
    let header = |mut row: TableRow<'_, '_>| {
        for (text, side) in [
            ("Rule", Align::Min),
            ("For each 100 m", Align::Max),
            ("At most", Align::Max),
            ("", Align::Min),
            ("Why: common practice, no published source", Align::Min),
        ] {
            row.col(|ui| head_cell(text, side, ui));
        }
    };
    table.header(HEADER_PX, header).body(|mut body| {
        for name in RuleName::ALL {
            body.row(ROW_PX, |mut row| {
                rule_row(model, name, view, asks, &mut row);
            });
        }
    });
}

/// Where the rules are kept; why not, if they can't be.
fn kept_line(notebook: &Notebook, ui: &mut Ui) {
    let palette = Palette::of(ui);
    let (words, ink) = match (notebook.trouble(), notebook.folder()) {
        (Some(trouble), _) => (
            format!("The usual rules hold for this session, and the file is left alone: {trouble}"),
            palette.caution_text,
        ),
        (None, Some(folder)) => (
            format!(
                "Common practice, no published source; put your own in their place. Kept for all plans of this notebook in {}",
                folder.join(PRACTICE_FILE).display()
            ),
            palette.text2,
        ),
        (None, None) => (
            "Common practice, no published source; put your own in their place. Without a notebook they hold for this session only"
                .to_owned(),
            palette.text2,
        ),
    };
    ui.add(Label::new(Step::Small.text(&words).color(ink)).truncate())
        .on_hover_text(words);
}

fn rule_row(
    model: &Model<'_>,
    name: RuleName,
    view: &mut ViewState,
    asks: &mut Vec<Ask>,
    row: &mut TableRow<'_, '_>,
) {
    let facts = name.facts();
    let (rules, unit) = (model.notebook.practice(), model.unit);
    let rule = rules.rule(name);
    row.col(|ui| {
        ui.add_space(space::TIGHT);
        ui.label(Step::Body.text(facts.label));
    });
    let entry = Entry { rules, name, unit };
    let steepest = entry.with_unit(facts.steepest);
    let how = format!("At most {steepest} either way; below 0 it is the other way round.");
    let per_100_m = Explanation {
        what: "By how much it changes for each 100 m that the coffee grew higher.",
        how: &how,
        source: facts.explanation,
    };
    row.col(|ui| {
        let label = format!("{}: for each 100 m", facts.label);
        let changed = |per_100_m| Rule { per_100_m, ..rule };
        let ask = entry.field((&label, rule.per_100_m), per_100_m, &changed, view, ui);
        asks.extend(ask.map(Ask::SetPractice));
    });
    let how = format!("0 to {}.", entry.with_unit(facts.widest));
    let most = Explanation {
        what: "The most that it may come to either way, however high or low the coffee grew.",
        how: &how,
        source: facts.explanation,
    };
    row.col(|ui| {
        let label = format!("{}: at most", facts.label);
        let changed = |most| Rule { most, ..rule };
        let ask = entry.field((&label, rule.most), most, &changed, view, ui);
        asks.extend(ask.map(Ask::SetPractice));
    });
    row.col(|ui| {
        ui.add_space(space::NEAR);
        if rule == facts.usual {
            ui.label(Step::Body.text("as usual").color(Palette::of(ui).text3));
            return;
        }
        let label = "Usual";
        let tip = format!(
            "Back to the usual {} for each 100 m, at most {}",
            entry.with_unit(facts.usual.per_100_m),
            entry.with_unit(facts.usual.most)
        );
        let back = button(ui, ButtonLook::Plain, label).on_hover_text(tip);
        let back = back.accessible_name(format!("{}: back to usual", facts.label));
        if back.clicked()
            && let Ok(rules) = rules.clone().with(name, facts.usual)
        {
            asks.push(Ask::SetPractice(rules));
        }
    });
    row.col(|ui| {
        let ink = Palette::of(ui).text2;
        let words = Step::Small.text(facts.explanation).color(ink);
        ui.add(Label::new(words).truncate())
            .on_hover_text(facts.explanation);
    });
}

/// What a rule's fields read and write; changes of temperature in the unit of the window.
#[derive(Clone, Copy)]
struct Entry<'a> {
    rules: &'a PracticeRules,
    name: RuleName,
    unit: TempUnit,
}

impl Entry<'_> {
    fn is_temp(self) -> bool {
        self.name.facts().unit == SheetUnit::TemperatureDifference
    }

    fn symbol(self) -> &'static str {
        self.name.facts().unit.symbol(self.unit)
    }

    /// A field for one number of the rule; gives the table with the rule that `changed` makes of what is typed.
    fn field(
        self,
        (label, value): (&str, f64),
        explanation: Explanation<'_>,
        changed: &dyn Fn(f64) -> Rule,
        view: &mut ViewState,
        ui: &mut Ui,
    ) -> Option<PracticeRules> {
        let shown = self.in_words(value);
        ui.add_space(WIDTHS_PX[1] - FIELD_PX - UNIT_PX - 2.0 * space::TIGHT);
        let field = TypedField::new(label, label, &shown)
            .width_px(FIELD_PX)
            .unit(self.symbol())
            .explained(explanation);
        slot(field, FIELD_PX + UNIT_PX, view, ui, &|typed| {
            let value = self.read(typed)?;
            let rules = self.rules.clone().with(self.name, changed(value));
            rules.map_err(|error| self.refusal(&error))
        })
    }

    /// A leading sign belongs to the number: rules may go either way.
    fn read(self, typed: &str) -> Result<f64, String> {
        let read = if self.is_temp() {
            parse_temp_shift(typed, self.unit)
        } else {
            parse_signed_number(typed, self.symbol())
        };
        read.map_err(|error| error.to_string())
    }

    fn in_words(self, value: f64) -> String {
        const DECIMALS: usize = 3;
        let shown = if self.is_temp() {
            round_to_billionth(CelsiusDifference(value).shown(self.unit))
        } else {
            value
        };
        let text = format_number(shown, DECIMALS);
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    }

    fn with_unit(self, value: f64) -> String {
        format!("{} {}", self.in_words(value), self.symbol())
    }

    /// Why the table doesn't take a number, in the unit of the window.
    fn refusal(self, error: &RuleError) -> String {
        match *error {
            RuleError::TooSteep {
                label, found, most, ..
            } => format!(
                "{label} changes by {} for each 100 m; expected at most {} either way",
                self.with_unit(found),
                self.with_unit(most)
            ),
            RuleError::TooWide {
                label, found, most, ..
            } => format!(
                "{label} may change by {}; expected 0 to {}",
                self.with_unit(found),
                self.with_unit(most)
            ),
            RuleError::Reference { .. } => error.to_string(),
        }
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
    use chaffinch_craft::carry::REFERENCE_ALTITUDE_M;

    fn entry(rules: &PracticeRules, name: RuleName, unit: TempUnit) -> Entry<'_> {
        Entry { rules, name, unit }
    }

    #[test]
    fn numbers_are_read_as_they_are_shown_with_their_sign() {
        let rules = PracticeRules::default();
        let rise = entry(&rules, RuleName::DryingRise, TempUnit::Celsius);
        assert_eq!(rise.in_words(-0.5), "−0.5");
        for typed in ["−0.5", "-0.5 %", "-0.50"] {
            assert_eq!(rise.read(typed), Ok(-0.5), "{typed}");
        }
        assert!(rise.read("much").is_err());
        let drop = entry(&rules, RuleName::Drop, TempUnit::Fahrenheit);
        // A difference of 0.5 °C is one of 0.9 °F.
        assert_eq!(drop.in_words(0.5), "0.9");
        assert_eq!(drop.read("0.9"), Ok(0.5));
        assert_eq!(drop.in_words(10.0), "18");
    }

    #[test]
    fn refusals_speak_in_the_unit_of_the_window() {
        let rules = PracticeRules::default();
        let drop = entry(&rules, RuleName::Drop, TempUnit::Fahrenheit);
        let steep = Rule {
            per_100_m: 2.0,
            most: 1.0,
        };
        let error = rules.clone().with(RuleName::Drop, steep).unwrap_err();
        // 2 °C are 3.6 °F, the bound of 1 °C is 1.8 °F.
        assert_eq!(
            drop.refusal(&error),
            "Drop changes by 3.6 °F for each 100 m; expected at most 1.8 °F either way"
        );
    }

    #[test]
    fn usual_reference_is_the_one_that_the_field_names() {
        assert!(
            REFERENCE
                .source
                .contains(&format_number(REFERENCE_ALTITUDE_M, 0))
        );
    }
}
