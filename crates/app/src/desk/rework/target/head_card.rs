//! What a plan is carried to, in one line, and the files to take its sheets from.

use chaffinch_craft::PlanParts;
use eframe::egui::{Label, Ui};

use crate::desk::{
    ask::{Ask, SheetKind},
    theme::{Palette, Step, space},
    widgets::{
        buttons::{ButtonLook, wide_button},
        card::card,
    },
};

/// The files that a sheet may be taken from.
const FILES: [(SheetKind, &str, &str); 3] = [
    (
        SheetKind::Lot,
        "Coffee from file…",
        "Take the coffee out of a plan or a coffee file; the dose stays where the file names none",
    ),
    (
        SheetKind::Machine,
        "Machine from file…",
        "Take the machine out of a plan or a machine file",
    ),
    (
        SheetKind::Room,
        "Room from file…",
        "Take the room out of a plan or a room file",
    ),
];

/// Shows the card.
pub(in crate::desk::rework) fn head_card(
    from: &PlanParts,
    to: &PlanParts,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    card(ui, "Carried to", "", |ui| {
        let line = target_line(from, to);
        let ink = Palette::of(ui).text2;
        ui.add(Label::new(Step::Body.text(&line).color(ink)).truncate())
            .on_hover_text(&line);
        ui.add_space(space::TIGHT);
        for (kind, label, hint) in FILES {
            let button = wide_button(ui, ButtonLook::Plain, label).on_hover_text(hint);
            if button.clicked() {
                asks.push(Ask::AskForSheet(kind));
            }
        }
    });
}

/// “Low meadow, Kestrel 250, back room”; what stays the plan's own isn't named.
fn target_line(from: &PlanParts, to: &PlanParts) -> String {
    let named = |name: &str, otherwise: &str| {
        if name.is_empty() {
            otherwise.to_owned()
        } else {
            name.to_owned()
        }
    };
    let parts = [
        (from.lot != to.lot).then(|| named(&to.lot.name, "another coffee")),
        (from.machine != to.machine).then(|| named(&to.machine.name, "another machine")),
        (from.room != to.room).then(|| named(&to.room.name, "another room")),
    ];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    if parts.is_empty() {
        return "Nothing differs yet".to_owned();
    }
    let line = parts.join(", ");
    // Names stay as they were given.
    match line.strip_prefix("another") {
        Some(rest) => format!("Another{rest}"),
        None => line,
    }
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, clippy::missing_assert_message, reason = "tests")]
    use super::*;
    use chaffinch_craft::Plan;

    #[test]
    fn only_what_differs_is_named() {
        let from = Plan::fresh().into_parts();
        assert!(target_line(&from, &from).starts_with("Nothing differs"));
        let mut to = from.clone();
        to.lot.name = "Low meadow".to_owned();
        to.room.name = String::new();
        to.room.numbers.set(
            chaffinch_craft::RoomNumber::Mains,
            Some(chaffinch_craft::Given {
                value: 110.0,
                knowledge: chaffinch_craft::Knowledge::Measured,
            }),
        );
        assert_eq!(target_line(&from, &to), "Low meadow, another room");
        to.lot.name = String::new();
        to.lot.origin = "elsewhere".to_owned();
        assert_eq!(target_line(&from, &to), "Another coffee, another room");
        to.lot.name = "über der Wiese".to_owned();
        assert_eq!(target_line(&from, &to), "über der Wiese, another room");
    }
}
