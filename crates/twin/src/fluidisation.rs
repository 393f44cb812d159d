//! Whether the air lifts the bed and keeps the beans in it: minimum fluidising flow, pressure drop, terminal velocity.
//!
//! Wen and Yu (`AIChE` J. 12 (1966) 610), Ergun (Chem. Eng. Prog. 48 (1952) 89), Haider and Levenspiel (Powder Technol. 58 (1989)
//! 63); coefficients from memory. The first scatters by about ±25 %, so a bed near the limit is uncertain either way.

use crate::constants::{
    ERGUN_INERTIAL, ERGUN_VISCOUS, HAIDER_LEVENSPIEL_A, HAIDER_LEVENSPIEL_B, HAIDER_LEVENSPIEL_C,
    HAIDER_LEVENSPIEL_D, ISA_GRAVITY_M_PER_S2, WEN_YU_A, WEN_YU_B,
};

/// A grain in a gas.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grain {
    /// Diameter, in m.
    pub diameter_m: f64,
    /// Density of the grain, in kg/m³.
    pub density_kg_per_m3: f64,
    /// Density of the gas, in kg/m³, below that of the grain.
    pub gas_kg_per_m3: f64,
    /// Viscosity of the gas, in Pa s.
    pub viscosity_pa_s: f64,
}

impl Grain {
    /// Archimedes number `d³ ρ (ρ_p - ρ) g/μ²`.
    pub fn archimedes(&self) -> f64 {
        let excess = self.gas_kg_per_m3 * (self.density_kg_per_m3 - self.gas_kg_per_m3);
        self.diameter_m.powi(3) * excess * ISA_GRAVITY_M_PER_S2 / self.viscosity_pa_s.powi(2)
    }

    /// Mass flow of gas a square metre, in kg/(m² s), that just lifts the bed, by Wen and Yu.
    pub fn lifting_kg_per_m2_s(&self) -> f64 {
        let reynolds = (WEN_YU_A * WEN_YU_A + WEN_YU_B * self.archimedes()).sqrt() - WEN_YU_A;
        reynolds * self.viscosity_pa_s / self.diameter_m
    }

    /// The same where Ergun's pressure drop carries the weight of the bed, at a void share and a sphericity (both 0 to 1).
    pub fn lifting_by_ergun_kg_per_m2_s(&self, voidage: f64, sphericity: f64) -> f64 {
        // Written for the diameter `sphericity · d`: a Re² + b Re = Ar.
        let equivalent = Self {
            diameter_m: self.diameter_m * sphericity,
            ..*self
        };
        let a = ERGUN_INERTIAL / voidage.powi(3);
        let b = ERGUN_VISCOUS * (1.0 - voidage) / voidage.powi(3);
        let reynolds = ((b * b + 4.0 * a * equivalent.archimedes()).sqrt() - b) / (2.0 * a);
        reynolds * self.viscosity_pa_s / equivalent.diameter_m
    }

    /// Pressure drop, in Pa/m of bed, at a superficial speed in m/s, by Ergun.
    pub fn pressure_drop_pa_per_m(&self, speed_m_per_s: f64, voidage: f64, sphericity: f64) -> f64 {
        let diameter_m = self.diameter_m * sphericity;
        let solid = 1.0 - voidage;
        let viscous = ERGUN_VISCOUS * self.viscosity_pa_s * solid * solid
            / (voidage.powi(3) * diameter_m.powi(2));
        let inertial = ERGUN_INERTIAL * self.gas_kg_per_m3 * solid / (voidage.powi(3) * diameter_m);
        viscous * speed_m_per_s + inertial * speed_m_per_s * speed_m_per_s
    }

    /// Pressure drop, in Pa/m, that carries the weight of a bed of a void share.
    pub fn weight_pa_per_m(&self, voidage: f64) -> f64 {
        (1.0 - voidage) * (self.density_kg_per_m3 - self.gas_kg_per_m3) * ISA_GRAVITY_M_PER_S2
    }

    /// Speed, in m/s, at which a single sphere hangs in the gas; above it the gas carries the grain out.
    pub fn terminal_m_per_s(&self) -> f64 {
        /// The error at least halves each round, because drag falls with speed no faster than 1/Re.
        const ROUNDS: u32 = 50;
        let weight = 4.0 / 3.0 * self.archimedes();
        let reynolds = (0..ROUNDS).fold(weight / 24.0, |re, _| (weight / sphere_drag(re)).sqrt());
        reynolds * self.viscosity_pa_s / (self.gas_kg_per_m3 * self.diameter_m)
    }
}

/// Drag coefficient of a sphere, Reynolds number 0 to 2.6·10⁵ (Haider and Levenspiel).
pub fn sphere_drag(reynolds: f64) -> f64 {
    24.0 / reynolds * (1.0 + HAIDER_LEVENSPIEL_A * reynolds.powf(HAIDER_LEVENSPIEL_B))
        + HAIDER_LEVENSPIEL_C / (1.0 + HAIDER_LEVENSPIEL_D / reynolds)
}
