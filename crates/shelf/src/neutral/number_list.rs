//! The numbers of a sheet in neutral JSON: a list of entries with name, unit, value and how it is known.
//!
//! Names that this program doesn't know are passed over, as an additive format asks. For `#[serde(with)]`.

use super::units::ucum;
use crate::{
    checked_value::judged_numbers,
    plan_sheet::{PlanSheet, by_key, in_range, keep},
    text_error::printable,
    words::KnowledgeWord,
};
use chaffinch_craft::{Given, Knowledge, Numbers};
use serde::{
    Deserialize, Deserializer, Serialize, Serializer,
    de::{DeserializeSeed, Error, SeqAccess, Visitor},
};
use std::{borrow::Cow, fmt, marker::PhantomData};

/// Most entries that are read: all of ours and room for others', but no endless list.
const MAX_ENTRIES: usize = 200;

#[derive(Serialize, Deserialize)]
struct Entry<'a> {
    name: Cow<'a, str>,
    unit: Option<Cow<'a, str>>,
    value: f64,
    #[serde(with = "KnowledgeWord")]
    knowledge: Knowledge,
}

pub(super) fn serialize<K: PlanSheet, S: Serializer>(
    numbers: &Numbers<K>,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    serializer.collect_seq(
        numbers
            .all_entered()
            .map(|(number, Given { value, knowledge })| Entry {
                name: number.facts().key.into(),
                unit: ucum(number.facts().unit).map(Cow::Borrowed),
                value,
                knowledge,
            }),
    )
}

pub(super) fn deserialize<'de, K: PlanSheet, D: Deserializer<'de>>(
    deserializer: D,
) -> Result<Numbers<K>, D::Error> {
    judged_numbers(deserializer.deserialize_seq(ListVisitor(PhantomData))?)
}

struct ListVisitor<K>(PhantomData<K>);

impl<'de, K: PlanSheet> Visitor<'de> for ListVisitor<K> {
    type Value = Numbers<K>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "a list of the numbers of the {}", K::SHEET)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut entries: A) -> Result<Numbers<K>, A::Error> {
        let mut numbers = Numbers::default();
        let mut count = 0;
        while let Some(()) = entries.next_element_seed(EntrySeed(&mut numbers))? {
            count += 1;
            if MAX_ENTRIES < count {
                return Err(A::Error::custom(format_args!(
                    "{count} numbers of the {} found, at most {MAX_ENTRIES} expected: remove some",
                    K::SHEET
                )));
            }
        }
        Ok(numbers)
    }
}

/// Reads one entry into the numbers; judged here, where the reader knows its place.
struct EntrySeed<'a, K>(&'a mut Numbers<K>);

impl<'de, K: PlanSheet> DeserializeSeed<'de> for EntrySeed<'_, K> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        let entry = Entry::deserialize(deserializer)?;
        let Some(number) = by_key::<K>(&entry.name) else {
            return Ok(());
        };
        let expected = ucum(number.facts().unit).unwrap_or_default();
        if let Some(found) = entry.unit.filter(|unit| unit != expected) {
            return Err(D::Error::custom(format_args!(
                "the unit of “{}” of the {} is “{}”; expected “{expected}”, so convert the number and name that unit",
                number.facts().key,
                K::SHEET,
                printable(&found),
            )));
        }
        let given = Given {
            value: entry.value,
            knowledge: entry.knowledge,
        };
        keep(self.0, number, in_range(number, given)?)
    }
}
