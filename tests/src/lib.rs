//! Nothing: the checks of this package are its integration tests in `tests/` and its benchmarks in `benches/`.
//!
//! They stand apart from the crates that they check because they see what a user sees: the window without a screen, the
//! exported files, the colours on the screen, the rules of the house. The package's README lists them.
