//! How far the figures of the forecast may be trusted, in words; the numbers come from the model itself.

use chaffinch_craft::units::{self, CelsiusDifference, TempUnit};
use chaffinch_twin::trust;

/// The same caution for every figure that hangs on the model's own numbers.
const UNTIL_CALIBRATED: &str = "before roasts of your own have calibrated the model";

/// “3”: weight loss, ± in points.
pub(super) fn weight_loss_points() -> String {
    points(trust::WEIGHT_LOSS)
}

/// “7 °C”: a difference of temperatures to a whole degree, as far as trust goes.
pub(super) fn degrees(difference_k: f64, unit: TempUnit) -> String {
    let shown = CelsiusDifference(difference_k).shown(unit);
    format!("{} {}", units::format_number(shown, 0), unit.symbol())
}

/// A share as whole points of a hundred.
fn points(share: f64) -> String {
    units::format_share(share)
        .trim_end_matches(" %")
        .trim_end_matches(".0")
        .to_owned()
}

/// Trust in the weight loss.
pub(super) fn weight_loss() -> String {
    format!(
        "Good to ± {} points {UNTIL_CALIBRATED}.",
        weight_loss_points()
    )
}

/// Trust in temperatures inside the bean.
pub(super) fn bean_temperatures(unit: TempUnit) -> String {
    format!(
        "Good to ± {} at the surface and ± {} at the core {UNTIL_CALIBRATED}.",
        degrees(trust::SURFACE_K, unit),
        degrees(trust::CORE_K, unit)
    )
}

/// Trust in what the heater draws.
pub(super) fn heater() -> String {
    format!(
        "The greatest heater power is good to ± {} % {UNTIL_CALIBRATED}.",
        points(trust::HEATER_POWER)
    )
}

/// How many numbers nobody entered, and what follows.
pub(super) fn assumed((count, of): (usize, usize)) -> String {
    if count == 0 {
        return format!("All {of} numbers that it rests on were entered.");
    }
    format!(
        "{count} of the {of} numbers that it rests on are assumed. Enter your own in the sheets: until then it is a forecast for a machine that nobody owns."
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_carry_the_models_own_numbers() {
        assert_eq!(weight_loss_points(), "3", "0.03 as points");
        assert_eq!(degrees(7.0, TempUnit::Celsius), "7 °C", "as it is");
        // 7 × 9/5 = 12.6
        assert_eq!(
            degrees(7.0, TempUnit::Fahrenheit),
            "13 °F",
            "without the 32"
        );
        assert!(heater().contains("± 7 %"), "{}", heater());
    }
}
