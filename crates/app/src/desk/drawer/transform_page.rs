//! Moving, stretching and scaling points by numbers, with the result shown before it is applied.

use super::tools::{caption, sentence, slot};
use crate::desk::{
    ask::Ask,
    model::Model,
    outcome::{NOT_REACHED, no_development},
    theme::{Palette, Step, space},
    transform::{scope, wished},
    view_state::ViewState,
    widgets::{
        buttons::{ButtonLook, button},
        choice::choice,
        segmented::segmented,
        sign::sign,
        tooltip::Explanation,
        typed_field::TypedField,
    },
};
use chaffinch_craft::{
    Derived, Edit, Pivot, Severity, StretchBy, TransformKind,
    entry::{EntryError, parse_number, parse_temp, parse_temp_shift, parse_time, parse_time_shift},
    units::{
        CelsiusDifference, format_number_exact, format_temp_field, format_time, format_time_exact,
        format_time_field, round_to_billionth,
    },
};
use chaffinch_curve::Reach;
use eframe::egui::{Label, Ui};

const FIELD_PX: f32 = 76.0;
const UNIT_PX: f32 = 22.0;

/// What is done, and to which points.
pub(super) fn tools(model: &Model<'_>, view: &mut ViewState, ui: &mut Ui) {
    let labels = TransformKind::ALL.map(TransformKind::label);
    let chosen = TransformKind::ALL
        .iter()
        .position(|kind| *kind == view.transform.kind);
    if let Some(picked) = segmented(ui, "Transform", &labels, chosen.unwrap_or_default()) {
        view.transform.kind = TransformKind::ALL[picked];
    }
    ui.add_space(space::NEAR);
    let count = model.plan.curve.points().len();
    let words = match view.selection.len() {
        0 => format!("All {count} points"),
        1 => "The selected point".to_owned(),
        selected => format!("{selected} selected points of {count}"),
    };
    caption(&words, ui);
}

/// Shows the page over the place that is left.
pub(super) fn ui(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    ui.add_space(space::TIGHT);
    ui.horizontal(|ui| match view.transform.kind {
        TransformKind::Shift => shift_fields(model, view, ui),
        TransformKind::Stretch => stretch_fields(model, view, ui),
        TransformKind::Scale => scale_fields(model, view, ui),
    });
    ui.add_space(space::NEAR);
    let wish = wished(model.plan, view);
    ui.horizontal(|ui| {
        let is_ready = matches!(wish, Ok(Some(_)));
        let apply = ui
            .add_enabled_ui(is_ready, |ui| button(ui, ButtonLook::Primary, "Apply"))
            .inner;
        let apply = apply.on_hover_text("Make this one step of the history");
        if apply.clicked()
            && let Ok(Some(edit)) = &wish
        {
            apply_now(edit.clone(), view, asks);
        }
        let clear =
            button(ui, ButtonLook::Link, "Clear").on_hover_text("Put the amounts back to nothing");
        if clear.clicked() {
            view.transform.clear_amounts();
        }
    });
    ui.add_space(space::TIGHT);
    match &wish {
        Err(reason) => refusal(&sentence(&reason.to_string()), ui),
        Ok(None) => outcome_line(
            "Type an amount; the chart shows the result before it is applied.",
            ui,
        ),
        Ok(Some(_)) => outcome_line(&before_and_after(model), ui),
    }
}

fn apply_now(edit: Edit, view: &mut ViewState, asks: &mut Vec<Ask>) {
    asks.push(Ask::Apply(edit));
    view.transform.clear_amounts();
}

fn shift_fields(model: &Model<'_>, view: &mut ViewState, ui: &mut Ui) {
    let shift = view.transform.shift;
    let in_time = signed(shift.time_s, format_time_exact(shift.time_s.abs()));
    let entry = Explanation {
        what: "How much later the points come.",
        how: "Type 0:15 or 15 for later, -0:15 for earlier.",
        source: "",
    };
    caption("Later by", ui);
    if let Some(time_s) = amount(
        ("Later by", &in_time, ""),
        entry,
        view,
        ui,
        &parse_time_shift,
    ) {
        view.transform.shift.time_s = time_s;
    }
    ui.add_space(space::INNER);
    let unit = model.unit;
    let size = round_to_billionth(CelsiusDifference(shift.temp_c).shown(unit).abs());
    let in_temp = signed(shift.temp_c, size.to_string());
    let entry = Explanation {
        what: "How much hotter the points become.",
        how: "Type 2.5 for hotter, -2.5 for cooler.",
        source: "",
    };
    caption("Hotter by", ui);
    let parse = |text: &str| parse_temp_shift(text, unit);
    if let Some(temp_c) = amount(
        ("Hotter by", &in_temp, unit.symbol()),
        entry,
        view,
        ui,
        &parse,
    ) {
        view.transform.shift.temp_c = temp_c;
    }
}

fn stretch_fields(model: &Model<'_>, view: &mut ViewState, ui: &mut Ui) {
    let ways = StretchBy::ALL.map(StretchBy::label);
    let chosen = StretchBy::ALL
        .iter()
        .position(|way| *way == view.transform.stretch_by);
    if let Some(picked) = segmented(ui, "Stretch", &ways, chosen.unwrap_or_default()) {
        view.transform.stretch_by = StretchBy::ALL[picked];
    }
    match view.transform.stretch_by {
        StretchBy::Factor => factor_field("Factor of time", view.transform.time_factor, view, ui)
            .into_iter()
            .for_each(|factor| view.transform.time_factor = factor),
        StretchBy::NewEnd => new_end_field(model, view, ui),
    }
    ui.add_space(space::INNER);
    caption("What stays", ui);
    let labels = Pivot::ALL.map(Pivot::label);
    let chosen = Pivot::ALL
        .iter()
        .position(|pivot| *pivot == view.transform.pivot);
    if let Some(picked) = choice(
        ui,
        "Time that stays",
        144.0,
        &labels,
        chosen.unwrap_or_default(),
    ) {
        view.transform.pivot = Pivot::ALL[picked];
    }
    if view.transform.pivot == Pivot::Typed {
        let now_s = view.transform.typed_pivot_s;
        let entry = Explanation {
            what: "Time that stays where it is.",
            how: "Type 3:20 or 200 s.",
            source: "",
        };
        let shown = format_time_field(now_s);
        let parse = |text: &str| parse_time(text, now_s);
        if let Some(time_s) = stay(
            ("Typed time that stays", &shown, ""),
            entry,
            view,
            ui,
            &parse,
        ) {
            view.transform.typed_pivot_s = time_s;
        }
    } else if let Ok(pivot_s) = view.transform.pivot_s(&scope(model.plan, view)) {
        ui.label(
            Step::Body
                .text(format!("at {}", format_time_field(pivot_s)))
                .color(Palette::of(ui).text3),
        );
    }
}

fn new_end_field(model: &Model<'_>, view: &mut ViewState, ui: &mut Ui) {
    let scope = scope(model.plan, view);
    let end_s = scope.points().last().map_or(0.0, |last| last.time_s);
    let entry = Explanation {
        what: "Time that the last of the points gets.",
        how: "Type 8:30, or +15 for later than it is; the points before follow in proportion.",
        source: "",
    };
    let as_it_is = format_time_field(end_s);
    let shown = view
        .transform
        .new_end_s
        .map_or_else(|| as_it_is.clone(), format_time_field);
    // The end as it is shown may be rounded, and must not count as another one.
    let parse = |text: &str| match text {
        text if text == as_it_is => Ok(None),
        text => parse_time(text, end_s).map(Some),
    };
    if let Some(new_end_s) = amount(("New end", &shown, ""), entry, view, ui, &parse) {
        view.transform.new_end_s = new_end_s;
    }
}

fn scale_fields(model: &Model<'_>, view: &mut ViewState, ui: &mut Ui) {
    caption("Factor", ui);
    if let Some(factor) = factor_field(
        "Factor of temperature",
        view.transform.temp_factor,
        view,
        ui,
    ) {
        view.transform.temp_factor = factor;
    }
    ui.add_space(space::INNER);
    caption("What stays", ui);
    let unit = model.unit;
    let now_c = view.transform.pivot_c(&scope(model.plan, view));
    let entry = Explanation {
        what: "Temperature that stays; points there don't move.",
        how: "That of the first point unless you type another.",
        source: "",
    };
    let shown = format_temp_field(now_c, unit);
    let parse = |text: &str| parse_temp(text, now_c, unit);
    if let Some(temp_c) = stay(
        ("Temperature that stays", &shown, unit.symbol()),
        entry,
        view,
        ui,
        &parse,
    ) {
        view.transform.pivot_c = Some(temp_c);
    }
}

fn factor_field(name: &str, factor: f64, view: &mut ViewState, ui: &mut Ui) -> Option<f64> {
    let entry = Explanation {
        what: "1 changes nothing, 1.1 stretches by a tenth, 0.9 shrinks by a tenth.",
        how: "Above 0, so that nothing is mirrored. +0.1 and *1.1 count from 1.",
        source: "",
    };
    let shown = format_number_exact(factor);
    amount((name, &shown, ""), entry, view, ui, &|text| {
        parse_number(text, 1.0, "")
    })
}

/// A field for an amount; the chart shows what comes of it while it is typed.
fn amount<T>(
    words: (&str, &str, &str),
    entry: Explanation<'_>,
    view: &mut ViewState,
    ui: &mut Ui,
    parse: &dyn Fn(&str) -> Result<T, EntryError>,
) -> Option<T> {
    let (field, width_px) = field(words, entry);
    slot(field.live(), width_px, view, ui, &|text| {
        parse(text).map_err(|error| error.to_string())
    })
}

/// A field for what stays; applied when it is left, because changes such as +5 count from where it is.
fn stay(
    words: (&str, &str, &str),
    entry: Explanation<'_>,
    view: &mut ViewState,
    ui: &mut Ui,
    parse: &dyn Fn(&str) -> Result<f64, EntryError>,
) -> Option<f64> {
    let (field, width_px) = field(words, entry);
    slot(field, width_px, view, ui, &|text| {
        parse(text).map_err(|error| error.to_string())
    })
}

/// A field and the width of its place, in points.
fn field<'a>(
    (name, shown, unit): (&'a str, &'a str, &'a str),
    entry: Explanation<'a>,
) -> (TypedField<'a>, f32) {
    let unit_px = if unit.is_empty() { 0.0 } else { UNIT_PX };
    let field = TypedField::new(name, name, shown)
        .width_px(FIELD_PX)
        .unit(unit)
        .explained(entry);
    (field, FIELD_PX + unit_px)
}

/// A size with the sign of `value` before it; a field of shifts reads it back.
fn signed(value: f64, size: String) -> String {
    if value < 0.0 {
        format!("−{size}")
    } else {
        size
    }
}

/// What the drop and the development are and would be.
fn before_and_after(model: &Model<'_>) -> String {
    let figures = |derived: &Derived| {
        let phases = &derived.phases;
        let drop_s = phases.drop.map(|drop| drop.time_s);
        [
            time_or(NOT_REACHED.spoken, drop_s),
            time_or(
                no_development(phases.drop.is_reached()).spoken,
                phases.development_s,
            ),
        ]
    };
    let [drop, development] = figures(model.derived);
    let Some(ghost) = model.ghost else {
        return format!("Drop now {drop}, development {development}.");
    };
    let [new_drop, new_development] = figures(&ghost.derived);
    format!("Drop {drop}, then {new_drop}. Development {development}, then {new_development}.")
}

fn time_or(missing: &str, time_s: Reach<f64>) -> String {
    time_s
        .reached()
        .map_or_else(|| missing.to_owned(), |&time_s| format_time(time_s))
}

fn outcome_line(text: &str, ui: &mut Ui) {
    ui.add(Label::new(Step::Body.text(text).color(Palette::of(ui).text2)).wrap());
}

fn refusal(reason: &str, ui: &mut Ui) {
    let palette = Palette::of(ui);
    ui.horizontal_top(|ui| {
        sign(ui, Severity::Stop, palette.panel);
        ui.add(Label::new(Step::Body.text(reason).color(palette.stop_text)).wrap());
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shown_shifts_are_read_back_to_the_same_number() {
        for shift_s in [0.0, 0.5, -15.0, 75.25, -600.1] {
            let shown = signed(shift_s, format_time_exact(shift_s.abs()));
            assert_eq!(parse_time_shift(&shown), Ok(shift_s), "{shown}");
        }
    }
}
