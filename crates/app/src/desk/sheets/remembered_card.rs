//! A folding card that remembers for the session whether it is open.

use eframe::egui::Ui;

use crate::desk::widgets::card::folding_card;

/// How a card is shown until somebody folds or opens it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::desk) enum AtFirst {
    /// Open.
    Open,
    /// Folded.
    Folded,
}

/// Shows the card as [`folding_card`] does, open or folded as it was left.
pub(in crate::desk) fn remembered_card<R>(
    ui: &mut Ui,
    title: &str,
    words: [&str; 2],
    at_first: AtFirst,
    add_contents: impl FnOnce(&mut Ui) -> R,
) -> Option<R> {
    let id = ui.make_persistent_id(("is open", title));
    let was_open = ui
        .data(|data| data.get_temp(id))
        .unwrap_or(at_first == AtFirst::Open);
    let mut is_open = was_open;
    let answer = folding_card(ui, title, words, &mut is_open, add_contents);
    if is_open != was_open {
        ui.data_mut(|data| data.insert_temp(id, is_open));
    }
    answer
}
