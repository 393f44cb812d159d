//! Drying, roasting exotherm and dry-matter loss as bulk laws at the mean bean temperature.
//!
//! Schwartzberg 2002 for the first two (from memory, low confidence for the exotherm), our own fit for the third. The laws say
//! nothing about single shells, so they are not evaluated there.

use crate::constants::{
    BEAN_HEAT_J_PER_KG_K, BEAN_HEAT_RISE_J_PER_KG_K2, BEAN_WATER_HEAT_J_PER_KG_K,
    DRY_LOSS_ACTIVATION_K, DRY_LOSS_CEILING, DRY_LOSS_RATE_PER_S, DRY_LOSS_REFERENCE_K,
    DRYING_ACTIVATION_K, DRYING_HEAT_J_PER_KG, EXOTHERM_ACTIVATION_K, EXOTHERM_PREFACTOR_W_PER_KG,
    EXOTHERM_TOTAL_J_PER_KG, ZERO_C_K,
};
use crate::params::RoastParams;

/// What has become of the beans' matter; all per kg of dry matter at charge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Matter {
    /// Water, in kg.
    pub(crate) moisture_db: f64,
    /// Heat set free by roasting, in J.
    pub(crate) released_j: f64,
    /// Dry matter lost, in kg.
    pub(crate) dry_loss: f64,
}

impl Matter {
    /// Green beans.
    pub(crate) fn green(params: &RoastParams) -> Self {
        Self {
            moisture_db: params.moisture_db,
            released_j: 0.0,
            dry_loss: 0.0,
        }
    }

    /// This plus `span_s` of the rates of change `per_s`.
    pub(crate) fn after(&self, per_s: &Self, span_s: f64) -> Self {
        Self {
            moisture_db: self.moisture_db + span_s * per_s.moisture_db,
            released_j: self.released_j + span_s * per_s.released_j,
            dry_loss: self.dry_loss + span_s * per_s.dry_loss,
        }
    }

    /// Rates of change, a second, at a mean bean temperature in °C.
    pub(crate) fn rates(&self, params: &RoastParams, mean_c: f64) -> Self {
        let per_k = 1.0 / (mean_c + ZERO_C_K);
        let dried = params.drying_per_s * self.moisture_db * self.moisture_db;
        let unreleased = 1.0 - self.released_j * (1.0 / EXOTHERM_TOTAL_J_PER_KG);
        let unlost = 1.0 - self.dry_loss * (1.0 / DRY_LOSS_CEILING);
        Self {
            moisture_db: -dried * (-DRYING_ACTIVATION_K * per_k).exp(),
            released_j: params.exotherm
                * EXOTHERM_PREFACTOR_W_PER_KG
                * (-EXOTHERM_ACTIVATION_K * per_k).exp()
                * unreleased,
            dry_loss: params.dry_loss
                * DRY_LOSS_RATE_PER_S
                * (DRY_LOSS_ACTIVATION_K * (1.0 / DRY_LOSS_REFERENCE_K - per_k)).exp()
                * unlost,
        }
    }

    /// Heat that these rates of change bring, in W per kg of dry matter at charge: exotherm less drying.
    pub(crate) fn source_w_per_kg(&self) -> f64 {
        DRYING_HEAT_J_PER_KG * self.moisture_db + self.released_j
    }

    /// Heat capacity at a temperature in °C, in J/K per kg of dry matter at charge.
    pub(crate) fn heat_j_per_kg_k(&self, temp_c: f64) -> f64 {
        (1.0 - self.dry_loss) * (BEAN_HEAT_J_PER_KG_K + BEAN_HEAT_RISE_J_PER_KG_K2 * temp_c)
            + BEAN_WATER_HEAT_J_PER_KG_K * self.moisture_db
    }

    /// Water as a share of the weight of the moment.
    pub(crate) fn moisture_wb(&self) -> f64 {
        self.moisture_db / (1.0 - self.dry_loss + self.moisture_db)
    }

    /// Share of the green weight that has gone.
    pub(crate) fn weight_loss(&self, params: &RoastParams) -> f64 {
        1.0 - (1.0 - self.dry_loss + self.moisture_db) / (1.0 + params.moisture_db)
    }
}

/// Heat held by dry bean matter above 0 °C, in J/kg.
pub(crate) fn dry_heat_j_per_kg(temp_c: f64) -> f64 {
    temp_c * (BEAN_HEAT_J_PER_KG_K + 0.5 * BEAN_HEAT_RISE_J_PER_KG_K2 * temp_c)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::missing_assert_message, reason = "tests")]
    use super::*;

    #[test]
    fn drying_heat_is_that_of_steam_and_its_binding() {
        // IAPWS-IF97 by iapws 1.5.5, `tests/reference/04_air`; binding adds to it, by less than a third (from memory).
        let path = concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/../../tests/reference/04_air/water_saturation.csv"
        );
        let mut reader = csv::Reader::from_path(path).unwrap();
        let rows = reader.records().map(|row| {
            let row = row.unwrap();
            (
                row[0].parse().unwrap(),
                row[1].parse::<f64>().unwrap() * 1e3,
            )
        });
        let at_boiling: Vec<(f64, f64)> = rows.filter(|row: &(f64, f64)| row.0 == 100.0).collect();
        let [(_, steam_j_per_kg)] = at_boiling[..] else {
            panic!("one row at 100 °C")
        };
        let binding = DRYING_HEAT_J_PER_KG / steam_j_per_kg - 1.0;
        assert!(0.0 < binding && binding < 1.0 / 3.0, "{binding}");
    }

    #[test]
    fn heat_capacity_is_that_of_the_notes() {
        // Schwartzberg 2002, from memory, as the design notes work it out: kJ/(kg K) of wet bean.
        let green = Matter {
            moisture_db: 0.126,
            released_j: 0.0,
            dry_loss: 0.0,
        };
        assert!((green.heat_j_per_kg_k(20.0) / 1.126 - 1660.0).abs() < 5.0);
        let roasted = Matter {
            moisture_db: 0.04,
            released_j: 0.0,
            dry_loss: 0.0,
        };
        assert!((roasted.heat_j_per_kg_k(200.0) / 1.04 - 2600.0).abs() < 10.0);
    }
}
