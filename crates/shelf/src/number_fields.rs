//! The numbers of a sheet in plan files: one field a number, `heater_power_w: (1600.0, measured)`, in the sheet's order.
//!
//! Only what somebody entered is written. For `#[serde(with)]`.

use crate::{
    checked_value::judged_numbers,
    plan_sheet::{PlanSheet, by_key, in_range, keep, twice, unknown},
    words::KnowledgeWord,
};
use chaffinch_craft::{Given, Knowledge, Numbers};
use serde::{
    Deserialize, Deserializer, Serialize, Serializer,
    de::{DeserializeSeed, Error, MapAccess, Visitor},
    ser::SerializeStruct,
};
use std::{fmt, marker::PhantomData};

/// A figure and how it is known, side by side in one line: `(1960.0, measured)`.
#[derive(Clone, Copy, Serialize, Deserialize)]
#[serde(rename = "number")]
pub(crate) struct GivenFile(f64, #[serde(with = "KnowledgeWord")] Knowledge);

impl From<GivenFile> for Given {
    fn from(GivenFile(value, knowledge): GivenFile) -> Self {
        Self { value, knowledge }
    }
}

/// Whether nobody entered anything.
pub(crate) fn is_blank<K: PlanSheet>(numbers: &Numbers<K>) -> bool {
    numbers.all_entered().next().is_none()
}

pub(crate) fn serialize<K: PlanSheet, S: Serializer>(
    numbers: &Numbers<K>,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    let mut fields = serializer.serialize_struct("numbers", numbers.all_entered().count())?;
    for (number, Given { value, knowledge }) in numbers.all_entered() {
        fields.serialize_field(number.facts().key, &GivenFile(value, knowledge))?;
    }
    fields.end()
}

pub(crate) fn deserialize<'de, K: PlanSheet, D: Deserializer<'de>>(
    deserializer: D,
) -> Result<Numbers<K>, D::Error> {
    let numbers = deserializer.deserialize_struct("numbers", &[], FieldsVisitor(PhantomData))?;
    judged_numbers(numbers)
}

struct FieldsVisitor<K>(PhantomData<K>);

impl<'de, K: PlanSheet> Visitor<'de> for FieldsVisitor<K> {
    type Value = Numbers<K>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the numbers of the {}", K::SHEET)
    }

    fn visit_map<A: MapAccess<'de>>(self, mut fields: A) -> Result<Numbers<K>, A::Error> {
        let mut numbers = Numbers::default();
        while let Some(number) = fields.next_key_seed(NameSeed(&numbers))? {
            let given = fields.next_value_seed(ValueSeed(number))?;
            keep(&mut numbers, number, given)?;
        }
        Ok(numbers)
    }
}

/// A number's name that is known and comes for the first time; judged here, where the reader knows its place.
struct NameSeed<'a, K>(&'a Numbers<K>);

impl<'de, K: PlanSheet> DeserializeSeed<'de> for NameSeed<'_, K> {
    type Value = K;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<K, D::Error> {
        deserializer.deserialize_identifier(self)
    }
}

impl<K: PlanSheet> Visitor<'_> for NameSeed<'_, K> {
    type Value = K;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the name of a number of the {}", K::SHEET)
    }

    fn visit_str<E: Error>(self, key: &str) -> Result<K, E> {
        let number = by_key(key).ok_or_else(|| unknown::<K, E>(key))?;
        match self.0.entered(number) {
            Some(_) => Err(twice(number)),
            None => Ok(number),
        }
    }
}

struct ValueSeed<K>(K);

impl<'de, K: PlanSheet> DeserializeSeed<'de> for ValueSeed<K> {
    type Value = Given;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Given, D::Error> {
        in_range(self.0, GivenFile::deserialize(deserializer)?.into())
    }
}
