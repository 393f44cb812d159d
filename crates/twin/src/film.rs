//! Heat transfer between air and beans as two polynomials of the film temperature, so that a step needs no powers.
//!
//! Ranz and Marshall: `Nu = 2 + 0.6 Re^(1/2) Pr^(1/3)`, so `h d = 2 k + 0.6 (G d/A)^(1/2) · k mu^(-1/2) Pr^(1/3)`: what depends on
//! temperature is `k(T)` and one group. Both are Chebyshev fits of the formulas in `air.rs` over 250-650 K, with a relative
//! error below 3e-5 (tested); the reference integrator uses the formulas themselves.

use crate::constants::ZERO_C_K;

/// Middle of the fitted range, in °C (450 K).
pub(crate) const FILM_MIDDLE_C: f64 = 450.0 - ZERO_C_K;
/// Half width of the fitted range, in K.
pub(crate) const FILM_HALF_WIDTH_K: f64 = 200.0;
/// `k` in W/(m K), as a polynomial of `(T - middle)/half width`, constant term first.
pub(crate) const FILM_CONDUCTIVITY: [f64; 5] = [
    0.037_107_542_268_493_394,
    0.013_495_280_313_257_916,
    -0.001_194_313_941_021_110_7,
    0.000_141_879_329_370_120_37,
    -6.549_195_132_681_067_5e-6,
];
/// `k mu^(-1/2) Pr^(1/3)` in W/(m K) (Pa s)^(-1/2), likewise.
pub(crate) const FILM_GROUP: [f64; 6] = [
    6.549_866_812_808_416,
    1.249_716_294_288_842_5,
    -0.217_035_551_251_961_1,
    0.050_115_985_274_610_17,
    -0.014_148_040_393_225_774,
    0.003_781_630_908_576_199_8,
];

/// Value of a polynomial, constant term first.
#[inline]
pub(crate) fn horner<const M: usize>(coefficients: &[f64; M], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::missing_assert_message, reason = "the values say it")]
    use super::*;
    use crate::air;

    #[test]
    fn polynomials_reproduce_the_formulas() {
        for kelvin in 250..=650 {
            let kelvin = f64::from(kelvin);
            let x = (kelvin - ZERO_C_K - FILM_MIDDLE_C) / FILM_HALF_WIDTH_K;
            let k = air::conductivity_w_per_m_k(kelvin);
            let group = k / air::viscosity_pa_s(kelvin).sqrt() * air::prandtl(kelvin).cbrt();
            assert!((horner(&FILM_CONDUCTIVITY, x) / k - 1.0).abs() < 3e-5);
            assert!((horner(&FILM_GROUP, x) / group - 1.0).abs() < 3e-5);
        }
    }
}
