//! How much of a sheet rests on usual values that nobody entered, for the head of its card.

use chaffinch_craft::{Knowledge, Numbers, SheetNumber};

/// How many numbers of a sheet are assumed, of how many that have a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Assumed {
    count: usize,
    of: usize,
}

impl Assumed {
    /// Counts them.
    pub(super) fn of<K: SheetNumber>(numbers: &Numbers<K>) -> Self {
        let known = K::ALL.iter().filter_map(|&number| numbers.known(number));
        known.fold(Self { count: 0, of: 0 }, |so_far, given| Self {
            count: so_far.count + usize::from(given.knowledge == Knowledge::Assumed),
            of: so_far.of + 1,
        })
    }

    /// Nobody entered anything that counts.
    pub(super) fn is_all(self) -> bool {
        self.count == self.of
    }

    /// “24 of 26 assumed”; nothing if none is.
    pub(super) fn words(self) -> String {
        match self.count {
            0 => String::new(),
            count if count == self.of => format!("all {count} assumed"),
            count => format!("{count} of {} assumed", self.of),
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, clippy::missing_assert_message, reason = "tests")]
    use super::*;
    use chaffinch_craft::{Given, RoomNumber};

    #[test]
    fn entered_numbers_are_not_assumed_unless_they_say_so() {
        let mut numbers = Numbers::<RoomNumber>::default();
        let words = |numbers: &Numbers<RoomNumber>| Assumed::of(numbers).words();
        assert_eq!(words(&numbers), "all 4 assumed");
        assert!(Assumed::of(&numbers).is_all());
        for (left, number) in [3, 2, 1, 0].into_iter().zip(RoomNumber::ALL) {
            let given = |knowledge| {
                Some(Given {
                    value: 20.0,
                    knowledge,
                })
            };
            numbers.set(*number, given(Knowledge::Assumed));
            assert_eq!(Assumed::of(&numbers).count, left + 1);
            numbers.set(*number, given(Knowledge::Estimated));
            assert_eq!(Assumed::of(&numbers).count, left);
        }
        assert_eq!(words(&numbers), "");
        assert!(!Assumed::of(&numbers).is_all());
    }
}
