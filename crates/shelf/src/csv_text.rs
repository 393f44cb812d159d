//! Columns of numbers as CSV text (RFC 4180: comma, CRLF, quotes where needed), a header above them.

use csv::{Terminator, WriterBuilder};

/// The columns side by side, each with its header; as many rows as the shortest has.
///
/// # Panics
/// Never: writing to memory doesn't fail, and numbers are UTF-8.
#[expect(clippy::expect_used, reason = "writing numbers to memory doesn't fail")]
pub(crate) fn csv_text(columns: &[(&str, &[f64])]) -> String {
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .from_writer(Vec::new());
    writer
        .write_record(columns.iter().map(|(header, _)| header))
        .expect("memory takes the header");
    let rows = columns.iter().map(|(_, list)| list.len()).min();
    for row in 0..rows.unwrap_or_default() {
        writer
            .write_record(columns.iter().map(|(_, list)| list[row].to_string()))
            .expect("memory takes a row");
    }
    String::from_utf8(writer.into_inner().expect("memory takes all rows"))
        .expect("numbers are UTF-8")
}
