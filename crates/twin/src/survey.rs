//! The walk over all seconds of one roast in the processor's lanes, for what each second has to say on its own.
//!
//! Every function is `#[inline(always)]` and none holds a closure, also those that implement [`Survey`] (see `batch/lanes.rs`).

#![allow(
    clippy::inline_always,
    reason = "only what is inlined runs with the instructions that were chosen at run time"
)]

use pulp::{Arch, Simd, WithSimd};

use crate::batch::lanes::{Double, Lane, MOST_DOUBLES};

/// A calculation whose seconds don't need each other.
pub(crate) trait Survey {
    /// How many seconds there are.
    fn seconds(&self) -> usize;
    /// Works out the seconds from `at` that fill the lanes, and stores them.
    fn block<L: Lane>(&mut self, isa: L::Isa, at: usize);
}

/// Works out all seconds, with the best instructions that the processor has. A second may be worked out twice.
pub(crate) fn walk(survey: impl Survey) {
    let arch = if survey.seconds() < MOST_DOUBLES {
        Arch::Scalar
    } else {
        Arch::new()
    };
    arch.dispatch(Walk(survey));
}

/// A survey under way: chosen by the instruction set, which a trait of ours can't be for a foreign one.
struct Walk<W>(W);

impl<W: Survey> WithSimd for Walk<W> {
    type Output = ();
    #[inline(always)]
    fn with_simd<S: Simd>(self, isa: S) {
        if S::IS_SCALAR {
            self.run::<Double<S, 1>>(isa);
        } else {
            self.run::<Double<S, 2>>(isa);
        }
    }
}

impl<W: Survey> Walk<W> {
    #[inline(always)]
    fn run<L: Lane>(mut self, isa: L::Isa) {
        let len = self.0.seconds();
        let mut row = 0;
        while row < len {
            // The last block overlaps the one before.
            self.0.block::<L>(isa, row.min(len - L::WIDTH));
            row += L::WIDTH;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Doubles each number.
    struct Doubled<'a>(&'a [f64], &'a mut [f64]);

    impl Survey for Doubled<'_> {
        fn seconds(&self) -> usize {
            self.0.len()
        }

        #[inline(always)]
        fn block<L: Lane>(&mut self, isa: L::Isa, at: usize) {
            let number = L::load(isa, &self.0[at..]);
            (number + number).store(&mut self.1[at..]);
        }
    }

    #[test]
    fn every_second_is_worked_out_whatever_the_length() {
        for len in 0..=3 * MOST_DOUBLES {
            let numbers: Vec<f64> = (0..len).map(|second| second as f64 + 1.0).collect();
            let mut found = vec![0.0; len];
            walk(Doubled(&numbers, &mut found));
            let expected: Vec<f64> = numbers.iter().map(|number| number + number).collect();
            assert_eq!(found, expected, "{len} seconds");
        }
    }
}
