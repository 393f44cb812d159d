//! How far a figure of the forecast may be trusted before the roaster's own roasts have calibrated the model.
//!
//! From the sensitivity study of the design notes (one parameter at a time over its stated range, curve followed in closed loop).

/// Bean surface at the drop, ± in K.
pub const SURFACE_K: f64 = 2.0;
/// Bean centre, ± in K.
pub const CORE_K: f64 = 7.0;
/// Weight loss, ± as a share of the green weight.
pub const WEIGHT_LOSS: f64 = 0.03;
/// Greatest heater power, ± as a share.
pub const HEATER_POWER: f64 = 0.07;
/// Airflow over the least that lifts the bed, ± as a share: how far measured beds scatter about Wen and Yu's correlation (common
/// textbook figure, from memory).
pub const LIFT: f64 = 0.25;
/// What the forecast is not: shown wherever it is shown first.
pub const CAUTION: &str =
    "A forecast is a planning aid, not a safety device: never leave a roast unattended.";
