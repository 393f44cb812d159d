//! The forecast second by second as CSV (RFC 4180: comma, CRLF, quotes where needed), units in the header.

use crate::{csv_text::csv_text, forecast_columns::ForecastColumns};
use chaffinch_craft::Outlook;

/// The forecast at 0, 1, 2, … s from charge to drop; nothing where there is no forecast.
pub fn forecast_csv(outlook: &Outlook) -> Option<String> {
    let columns = ForecastColumns::of(outlook)?;
    Some(csv_text(&[
        ("Time (s)", &columns.time),
        ("Setpoint (°C)", &columns.setpoint),
        ("Probe (°C)", &columns.probe),
        ("Rate of rise (°C/min)", &columns.rate_of_rise),
        ("Bean surface (°C)", &columns.surface),
        ("Bean core (°C)", &columns.core),
        ("Inlet air (°C)", &columns.inlet),
        ("Outlet air (°C)", &columns.outlet),
        ("Heater power (W)", &columns.heater_power),
        ("Heater effort (%)", &columns.effort),
        ("Greatest heater effort (%)", &columns.effort_limit),
        ("Airflow (%)", &columns.airflow),
        ("Least airflow (%)", &columns.least_airflow),
        ("Fastest rise (°C/min)", &columns.fastest),
        ("Slowest rise (°C/min)", &columns.slowest),
        ("Moisture (%)", &columns.moisture),
        ("Weight loss (%)", &columns.weight_loss),
    ]))
}
