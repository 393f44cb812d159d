//! The beans in the chamber: dose, water, size, density, and factors on the laws that nobody has measured for this lot.

use std::f64::consts::PI;

use crate::TwinError;
use crate::twin_error::in_range;

/// One dose of green beans.
#[derive(Debug, Clone, PartialEq)]
pub struct LotParams {
    /// Green beans charged, in kg, 0.01 to 5.
    pub dose_kg: f64,
    /// Water, as a share of the green weight (wet basis), 0.03 to 0.2.
    pub moisture_wb: f64,
    /// Density of one green bean, in kg/m³, 900 to 1,450.
    pub bean_density_kg_per_m3: f64,
    /// Diameter of the sphere of one green bean's volume, in m, 0.004 to 0.009.
    pub bean_diameter_m: f64,
    /// Heat conductivity of a bean, in W/(m K), 0.05 to 0.5.
    pub conductivity_w_per_m_k: f64,
    /// Factor on the drying law, 0 to 5.
    pub drying: f64,
    /// Factor on the heat that roasting sets free, 0 to 2. The least certain number of the model.
    pub exotherm: f64,
    /// Factor on the loss of dry matter, 0 to 3.
    pub dry_loss: f64,
}

impl Default for LotParams {
    /// 200 g of an invented mid-grown washed lot; density and size assumed.
    fn default() -> Self {
        Self {
            dose_kg: 0.2,
            moisture_wb: 0.112,
            bean_density_kg_per_m3: 1200.0,
            bean_diameter_m: 6.3e-3,
            conductivity_w_per_m_k: 0.15,
            drying: 1.0,
            exotherm: 1.0,
            dry_loss: 1.0,
        }
    }
}

impl LotParams {
    /// Checks every number against its range.
    ///
    /// # Errors
    /// [`TwinError::OutOfRange`] for the first number outside.
    pub fn check(&self) -> Result<(), TwinError> {
        in_range("dose", "kg", self.dose_kg, 0.01..=5.0)?;
        in_range("moisture", "kg/kg wet basis", self.moisture_wb, 0.03..=0.2)?;
        in_range(
            "bean density",
            "kg/m³",
            self.bean_density_kg_per_m3,
            900.0..=1_450.0,
        )?;
        in_range("bean diameter", "m", self.bean_diameter_m, 0.004..=0.009)?;
        in_range(
            "bean conductivity",
            "W/(m K)",
            self.conductivity_w_per_m_k,
            0.05..=0.5,
        )?;
        in_range("drying factor", "", self.drying, 0.0..=5.0)?;
        in_range("exotherm factor", "", self.exotherm, 0.0..=2.0)?;
        in_range("dry-matter loss factor", "", self.dry_loss, 0.0..=3.0)
    }

    /// Dry matter of the dose, in kg.
    pub fn dry_mass_kg(&self) -> f64 {
        self.dose_kg * (1.0 - self.moisture_wb)
    }

    /// Water at charge, in kg per kg of dry matter.
    pub fn moisture_db(&self) -> f64 {
        self.moisture_wb / (1.0 - self.moisture_wb)
    }

    /// Number of beans in the dose, not rounded.
    pub fn bean_count(&self) -> f64 {
        self.dose_kg / (self.bean_density_kg_per_m3 * PI * self.bean_diameter_m.powi(3) / 6.0)
    }

    /// Surface of all beans as spheres, in m².
    pub fn bean_area_m2(&self) -> f64 {
        self.bean_count() * PI * self.bean_diameter_m.powi(2)
    }
}
