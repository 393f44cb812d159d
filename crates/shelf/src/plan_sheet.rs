//! Where the numbers of each sheet stand in a plan, and how one that nobody knows is refused.

use chaffinch_craft::{
    Given, LotNumber, MachineNumber, Numbers, PlanParts, RoomNumber, SheetNumber, VariationNumber,
};
use serde::de::Error;

/// How many known names a refusal lists.
const MAX_LISTED: usize = 6;
/// Longest piece of an unknown name that a refusal repeats, in characters.
const MAX_NAME_CHARS: usize = 40;

/// A sheet of numbers that a plan has.
pub(crate) trait PlanSheet: SheetNumber {
    /// Puts the numbers into the plan.
    fn put(parts: &mut PlanParts, numbers: Numbers<Self>);
}

impl PlanSheet for LotNumber {
    fn put(parts: &mut PlanParts, numbers: Numbers<Self>) {
        parts.lot.numbers = numbers;
    }
}

impl PlanSheet for MachineNumber {
    fn put(parts: &mut PlanParts, numbers: Numbers<Self>) {
        parts.machine.numbers = numbers;
    }
}

impl PlanSheet for RoomNumber {
    fn put(parts: &mut PlanParts, numbers: Numbers<Self>) {
        parts.room.numbers = numbers;
    }
}

impl PlanSheet for VariationNumber {
    fn put(parts: &mut PlanParts, numbers: Numbers<Self>) {
        parts.variation = numbers;
    }
}

/// The number that files call `key`.
pub(crate) fn by_key<K: SheetNumber>(key: &str) -> Option<K> {
    K::ALL
        .iter()
        .copied()
        .find(|number| number.facts().key == key)
}

/// The refusal of a name that no number of the sheet has, with those that it may have been meant for, nearest first.
pub(crate) fn unknown<K: SheetNumber, E: Error>(found: &str) -> E {
    let keys = K::ALL.iter().map(|number| number.facts().key).collect();
    E::custom(format_args!(
        "the {} has no number “{}”; expected {}",
        K::SHEET,
        shown(found),
        nearest_first(found, keys),
    ))
}

/// As much of a name as a refusal repeats.
pub(crate) fn shown(name: &str) -> String {
    name.chars().take(MAX_NAME_CHARS).collect()
}

/// Which of `keys` an unknown name was probably meant for: “(nearest first) a, b or one of 7 more”.
pub(crate) fn nearest_first(found: &str, mut keys: Vec<&str>) -> String {
    let nearness = |key: &str| strsim::normalized_damerau_levenshtein(found, key);
    keys.sort_by(|a, b| nearness(b).total_cmp(&nearness(a)));
    let rest = keys.len().saturating_sub(MAX_LISTED);
    keys.truncate(MAX_LISTED);
    let more = if rest == 0 {
        String::new()
    } else {
        format!(" or one of {rest} more")
    };
    format!("(nearest first) {}{more}", keys.join(", "))
}

/// Keeps the number, which must not have been given before.
pub(crate) fn keep<K: SheetNumber, E: Error>(
    numbers: &mut Numbers<K>,
    number: K,
    given: Given,
) -> Result<(), E> {
    if numbers.entered(number).is_some() {
        return Err(twice(number));
    }
    numbers.set(number, Some(given));
    Ok(())
}

/// The refusal of a number that is given a second time.
pub(crate) fn twice<K: SheetNumber, E: Error>(number: K) -> E {
    E::custom(format_args!(
        "the number “{}” of the {} is given twice; remove one of the two",
        number.facts().key,
        K::SHEET
    ))
}

/// The value, if it lies in the number's range.
pub(crate) fn in_range<K: SheetNumber, E: Error>(number: K, given: Given) -> Result<Given, E> {
    let alone: Numbers<K> = [(number, given)].into_iter().collect();
    alone.check().map_err(E::custom)?;
    Ok(given)
}
