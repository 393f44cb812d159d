//! The samples of a plan as CSV (RFC 4180: comma, CRLF, quotes where needed), units in the header.

use crate::samples::SampleColumns;
use chaffinch_craft::Plan;
use csv::{Terminator, WriterBuilder};

/// The plan's curve and airflow each second from charge to the curve's end, and at the end.
///
/// # Panics
/// Never: writing to memory doesn't fail, and numbers are UTF-8.
#[expect(clippy::expect_used, reason = "writing numbers to memory doesn't fail")]
pub fn samples_csv(plan: &Plan) -> String {
    let columns = SampleColumns::of(plan);
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .from_writer(Vec::new());
    let header = [
        "Time (s)",
        "Temperature (°C)",
        "Rate of rise (°C/min)",
        "Airflow (%)",
    ];
    writer
        .write_record(header)
        .expect("memory takes the header");
    let lists = [
        &columns.time,
        &columns.temperature,
        &columns.rate_of_rise,
        &columns.airflow,
    ];
    for row in 0..columns.time.len() {
        writer
            .write_record(lists.map(|list| list[row].to_string()))
            .expect("memory takes a row");
    }
    String::from_utf8(writer.into_inner().expect("memory takes all rows"))
        .expect("numbers are UTF-8")
}
