//! The samples of a plan as CSV, units in the header.

use crate::{csv_text::csv_text, samples::SampleColumns};
use chaffinch_craft::Plan;

/// The plan's curve and airflow each second from charge to the curve's end, and at the end.
pub fn samples_csv(plan: &Plan) -> String {
    let columns = SampleColumns::of(plan);
    csv_text(&[
        ("Time (s)", &columns.time),
        ("Temperature (°C)", &columns.temperature),
        ("Rate of rise (°C/min)", &columns.rate_of_rise),
        ("Airflow (%)", &columns.airflow),
    ])
}
