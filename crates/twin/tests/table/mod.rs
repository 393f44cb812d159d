//! Reads a table of check values.
#![allow(dead_code, reason = "each test file uses its own share")]

use std::path::Path;

/// Rows of numbers under names; a cell that is no number reads as NaN.
pub(crate) struct Table {
    names: Vec<String>,
    rows: Vec<Vec<f64>>,
}

impl Table {
    /// Reads `tests/reference/NAME` of the workspace.
    pub(crate) fn read(name: &str) -> Self {
        let path = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../../tests/reference")
            .join(name);
        let mut reader = csv::Reader::from_path(path).unwrap();
        let names = reader.headers().unwrap().iter().map(String::from).collect();
        let cells = |row: csv::StringRecord| {
            row.iter()
                .map(|cell| cell.parse().unwrap_or(f64::NAN))
                .collect()
        };
        let rows: Vec<Vec<f64>> = reader.records().map(|row| cells(row.unwrap())).collect();
        assert!(!rows.is_empty(), "{name} has rows");
        Self { names, rows }
    }

    /// The named columns of every row.
    pub(crate) fn columns<const M: usize>(
        &self,
        names: [&str; M],
    ) -> impl Iterator<Item = [f64; M]> {
        let places = names.map(|name| {
            self.names
                .iter()
                .position(|n| n == name)
                .unwrap_or_else(|| panic!("no {name}"))
        });
        self.rows
            .iter()
            .map(move |row| places.map(|place| row[place]))
    }
}

/// Asserts that `found` is within a relative tolerance of `expected`.
#[track_caller]
pub(crate) fn close(found: f64, expected: f64, relative: f64) {
    assert!(
        (found - expected).abs() <= relative * expected.abs(),
        "{found} is not within {relative:e} of {expected}"
    );
}
