//! Heat transfer from moving air to spheres: Nusselt number against Reynolds and Prandtl number.
//!
//! The model uses Ranz and Marshall (a single sphere) times the machine's contact factor; the packed-bed correlations say how
//! far apart the literature is: about a factor of two at the same air speed.

use crate::constants::{RANZ_MARSHALL_FLOW, RANZ_MARSHALL_STILL};

pub(crate) const STILL: f64 = RANZ_MARSHALL_STILL;
pub(crate) const FLOW: f64 = RANZ_MARSHALL_FLOW;

/// Single sphere, Re 0 to 5·10⁴ (Ranz and Marshall, Chem. Eng. Prog. 48 (1952) 141; coefficients from memory).
pub fn ranz_marshall(reynolds: f64, prandtl: f64) -> f64 {
    STILL + FLOW * reynolds.sqrt() * prandtl.cbrt()
}

/// Single sphere with equal viscosities at film and surface, Re 3.5 to 7.6·10⁴ (Whitaker, `AIChE` J. 18 (1972) 361; from memory).
pub fn whitaker(reynolds: f64, prandtl: f64) -> f64 {
    2.0 + (0.4 * reynolds.sqrt() + 0.06 * reynolds.powf(2.0 / 3.0)) * prandtl.powf(0.4)
}

/// Packed and fluidised beds of a void share of 0.35 to 1, Re to 10⁵ (Gunn, Int. J. Heat Mass Transfer 21 (1978) 467; from memory).
pub fn gunn(reynolds: f64, prandtl: f64, voidage: f64) -> f64 {
    let still = 7.0 - 10.0 * voidage + 5.0 * voidage.powi(2);
    let slow = 1.0 + 0.7 * reynolds.powf(0.2) * prandtl.cbrt();
    let fast = 1.33 - 2.4 * voidage + 1.2 * voidage.powi(2);
    still * slow + fast * reynolds.powf(0.7) * prandtl.cbrt()
}

/// Packed beds, Re 15 to 8,500 (Wakao and Kagei 1982; from memory).
pub fn wakao_kagei(reynolds: f64, prandtl: f64) -> f64 {
    2.0 + 1.1 * reynolds.powf(0.6) * prandtl.cbrt()
}
