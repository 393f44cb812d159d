//! Properties of curves and edits over random input.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

mod curves;
mod edits;
mod random;
