//! The findings, worst first: what stands against the curve as drawn and as forecast, where, and a button that mends it.

use chaffinch_craft::{Finding, count_by_severity};
use eframe::egui::{Label, ScrollArea, Stroke, Ui};

use super::{
    ask::Ask,
    model::Model,
    theme::{Palette, Step},
    view_state::ViewState,
    widgets::{
        card::card,
        finding_card::{FindingAnswer, FindingCard},
    },
};

/// Lowest that the list may become when it scrolls, in points: one finding with as many lines as it may have and two rows of buttons.
const LEAST_LIST_PX: f32 = 130.0;

/// The card of findings; fills what is left of the column and scrolls inside when it must.
pub fn ui(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    let findings = model.findings;
    card(ui, "Findings", &count_by_severity(findings), |ui| {
        if findings.is_empty() {
            let words = "Nothing stands against this curve.";
            ui.add(Label::new(Step::Body.text(words).color(Palette::of(ui).text2)).wrap());
            return;
        }
        let height_px = ui.available_height().max(LEAST_LIST_PX);
        let list = ScrollArea::vertical()
            .id_salt("findings")
            .max_height(height_px)
            .auto_shrink([false, true]);
        list.show(ui, |ui| {
            for (index, finding) in findings.iter().enumerate() {
                if index > 0 {
                    ui.separator();
                }
                let is_lit = view.lit_s == Some((finding.from_s, finding.to_s));
                ui.push_id(index, |ui| row(model, index, finding, is_lit, asks, ui));
            }
        });
    });
}

fn row(
    model: &Model<'_>,
    index: usize,
    finding: &Finding,
    is_lit: bool,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let repair = model.repairs.get(index).and_then(Option::as_ref);
    let severity = finding.severity();
    let shown = ui.scope(|ui| {
        let card = FindingCard {
            severity,
            heading: finding.heading(),
            body: &finding.sentence(model.unit),
            repair: repair.map(|repair| repair.label.as_str()),
        };
        card.show(ui)
    });
    if is_lit {
        let edge = shown.response.rect;
        let ink = Palette::of(ui).severity(severity);
        ui.painter()
            .vline(edge.left() - 6.0, edge.y_range(), Stroke::new(2.0, ink));
    }
    match (shown.inner, repair) {
        (Some(FindingAnswer::Repair), Some(repair)) => asks.push(Ask::Apply(repair.edit.clone())),
        (Some(FindingAnswer::Show), _) => asks.push(Ask::Show {
            from_s: finding.from_s,
            to_s: finding.to_s,
        }),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, clippy::missing_assert_message, reason = "tests")]
    use super::*;
    use chaffinch_craft::FindingKind;

    #[test]
    fn findings_are_counted_in_words_worst_first() {
        let finding = |kind| Finding {
            kind,
            from_s: 0.0,
            to_s: 0.0,
        };
        let cools = || finding(FindingKind::Cools { by_c: 1.0 });
        let ceiling = FindingKind::DropAboveCeiling {
            drop_c: 240.0,
            ceiling_c: 235.0,
        };
        assert_eq!(count_by_severity(&[]), "");
        assert_eq!(
            count_by_severity(&[cools(), cools(), finding(ceiling)]),
            "1 stop, 2 cautions"
        );
        assert_eq!(
            count_by_severity(&[finding(FindingKind::Plateau)]),
            "1 note"
        );
    }
}
