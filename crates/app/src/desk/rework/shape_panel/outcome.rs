//! What came of shaping: whether all wishes are met, what contradicts what, and what else changed.

use crate::desk::{
    drawer::sentence,
    model::Model,
    sheets::ValueRow,
    theme::{Palette, Step, space},
    widgets::{card::card, sign::sign},
};
use chaffinch_craft::{
    Derived, Severity,
    shape::{ShapeError, Shaped},
    units::{format_share, format_time},
};
use eframe::egui::{Label, ScrollArea, Ui};

/// Opacity of figures that are about an older wish.
const OLD_OPACITY: f32 = 0.6;

/// Shows the card over the height that is left; what is longer scrolls.
pub(super) fn ui(model: &Model<'_>, found: Option<&Result<Shaped, ShapeError>>, ui: &mut Ui) {
    let aside = match found {
        Some(Ok(shaped)) => {
            let met = shaped.met.iter().filter(|met| met.miss == 0.0).count();
            format!("{met} of {} met", shaped.met.len())
        }
        _ => String::new(),
    };
    card(ui, "What comes of it", &aside, |ui| {
        ScrollArea::vertical()
            .id_salt("what comes of shaping")
            .auto_shrink(false)
            .show(ui, |ui| match found {
                None => quiet(ui, "Nothing is wished yet."),
                Some(Err(error)) => said(ui, Severity::Stop, &sentence(&error.to_string())),
                Some(Ok(shaped)) => outcome(model, shaped, ui),
            });
    });
}

fn outcome(model: &Model<'_>, shaped: &Shaped, ui: &mut Ui) {
    ui.scope(|ui| {
        if model.is_rework_pending {
            ui.multiply_opacity(OLD_OPACITY);
        }
        for conflict in &shaped.conflicts {
            let words = shaped.conflict_line(conflict, model.unit);
            said(ui, Severity::Caution, &words);
        }
        for (label, of) in [
            ("Drop", drop_words as fn(&Derived) -> String),
            ("Development", development_words),
            ("Ratio", ratio_words),
        ] {
            let (before, after) = (of(&shaped.before.derived), of(&shaped.after.derived));
            ValueRow {
                label,
                value: &format!("{before} → {after}"),
                is_changing: false,
            }
            .show(ui);
        }
        ui.add_space(space::TIGHT);
        for line in shaped.other_lines(model.unit) {
            quiet(ui, &line);
        }
    });
}

fn drop_words(derived: &Derived) -> String {
    let drop = derived.phases.drop;
    drop.reached()
        .map_or_else(|| "not reached".to_owned(), |drop| format_time(drop.time_s))
}

fn development_words(derived: &Derived) -> String {
    let development_s = derived.phases.development_s.reached();
    development_s.map_or_else(|| "none".to_owned(), |time_s| format_time(*time_s))
}

/// Of development; in a row of its own, since a narrow panel has no room for both.
fn ratio_words(derived: &Derived) -> String {
    let ratio = derived.phases.development_ratio.reached();
    ratio.map_or_else(|| "none".to_owned(), |ratio| format_share(*ratio))
}

fn quiet(ui: &mut Ui, words: &str) {
    let ink = Palette::of(ui).text2;
    ui.add(Label::new(Step::Small.text(words).color(ink)).wrap());
}

fn said(ui: &mut Ui, severity: Severity, words: &str) {
    let palette = Palette::of(ui);
    ui.horizontal_top(|ui| {
        sign(ui, severity, palette.raised);
        ui.add(Label::new(Step::Body.text(words).color(palette.text)).wrap());
    });
}
