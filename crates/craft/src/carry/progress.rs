//! How far the work is, and whether somebody stopped it.

use std::{
    cell::Cell,
    sync::atomic::{AtomicBool, Ordering},
};

/// Counts roasts, tells the share done, and looks at the flag.
pub(super) struct Progress<'a> {
    is_cancelled: &'a AtomicBool,
    tell: &'a dyn Fn(f64),
    roasts: Cell<usize>,
    expected: Cell<usize>,
}

impl<'a> Progress<'a> {
    /// Nothing done yet.
    pub(super) fn new(is_cancelled: &'a AtomicBool, tell: &'a dyn Fn(f64)) -> Self {
        Self {
            is_cancelled,
            tell,
            roasts: Cell::new(0),
            expected: Cell::new(1),
        }
    }

    /// How many roasts the work is expected to take in all.
    pub(super) fn expect(&self, roasts: usize) {
        self.expected.set(roasts.max(1));
    }

    /// One more is done. The share told never reaches 1 before the end and never falls.
    pub(super) fn one_roast_more(&self) {
        self.roasts.set(self.roasts.get() + 1);
        let (done, expected) = (self.roasts.get() as f64, self.expected.get() as f64);
        (self.tell)(done / (done + (expected - done).max(1.0)));
    }

    /// Everything is done.
    pub(super) fn finish(&self) {
        (self.tell)(1.0);
    }

    /// Whether somebody stopped the work.
    pub(super) fn is_cancelled(&self) -> bool {
        self.is_cancelled.load(Ordering::Relaxed)
    }
}
