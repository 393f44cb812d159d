//! Lists that are judged while they are read.
//!
//! The rules of points and finishes live in the model. Asking it after each item makes a broken rule an error of the
//! reader, which then knows the line and column; it also stops at the first item too many, however long the file is.

use chaffinch_craft::{
    AirError, AirPoint, AirShape, AirflowSchedule, Finish, FinishError, FinishLadder,
};
use chaffinch_curve::{ControlPoint, CurveError, MAX_TIME_S, PointId, SetpointCurve, Shape};
use serde::{
    Deserialize, Deserializer,
    de::{Error, SeqAccess, Visitor},
};
use std::{fmt, marker::PhantomData};

/// Reads a list of `Item`s as model values, numbered from 1, and calls `check` on all so far after each.
///
/// # Errors
/// What the format says of an item, or what `check` says.
pub(crate) fn read_list<'de, D, Item, T, E>(
    deserializer: D,
    convert: fn(u32, Item) -> T,
    check: fn(&[T]) -> Result<(), E>,
) -> Result<Vec<T>, D::Error>
where
    D: Deserializer<'de>,
    Item: Deserialize<'de>,
    E: fmt::Display,
{
    deserializer.deserialize_seq(ListVisitor {
        convert,
        check,
        item: PhantomData,
    })
}

struct ListVisitor<Item, T, E> {
    convert: fn(u32, Item) -> T,
    check: fn(&[T]) -> Result<(), E>,
    item: PhantomData<Item>,
}

impl<'de, Item: Deserialize<'de>, T, E: fmt::Display> Visitor<'de> for ListVisitor<Item, T, E> {
    type Value = Vec<T>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a list")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Vec<T>, A::Error> {
        let mut list = Vec::new();
        while let Some(item) = items.next_element()? {
            let number = u32::try_from(list.len() + 1).map_err(A::Error::custom)?;
            list.push((self.convert)(number, item));
            (self.check)(&list).map_err(A::Error::custom)?;
        }
        Ok(list)
    }
}

/// Whether a curve may begin with these points.
pub(crate) fn check_points(so_far: &[ControlPoint]) -> Result<(), CurveError> {
    let mut points = so_far.to_vec();
    if let [only] = so_far {
        // A curve needs two points; a follower lets the first be judged alone.
        points.push(ControlPoint::new(PointId(0), MAX_TIME_S, only.temp_c));
    }
    SetpointCurve::new(Shape::Monotone, points).map(drop)
}

/// Whether a schedule may begin with these points.
pub(crate) fn check_air(so_far: &[AirPoint]) -> Result<(), AirError> {
    AirflowSchedule::new(AirShape::Steps, so_far.to_vec()).map(drop)
}

/// Whether a ladder may have these finishes.
pub(crate) fn check_finishes(so_far: &[Finish]) -> Result<(), FinishError> {
    let chosen = so_far.first().ok_or(FinishError::Empty)?.id;
    FinishLadder::new(so_far.to_vec(), chosen).map(drop)
}
