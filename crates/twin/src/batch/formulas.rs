//! The few formulas that need an exponential, as polynomials fit for lanes: no division, no table, no bit tricks.
//! A wide range is brought into reach of a short polynomial by fitting a root of the function and squaring the result back.
//! Coefficients: weighted minimax fits made with `numpy`; the tests below hold them against the exact functions.

use super::lanes::Lane;
use crate::constants::ZERO_C_K;
use crate::film::{FILM_CONDUCTIVITY, FILM_GROUP, FILM_HALF_WIDTH_K, FILM_MIDDLE_C};

/// Middle of the range of mean bean temperatures, -10 to 270 °C, in °C; beyond its ends the rates stay as at the ends.
const BEAN_MIDDLE_C: f64 = BEAN_TOP_K - BEAN_HALF_WIDTH_K - ZERO_C_K;
/// Half of that range, in K.
const BEAN_HALF_WIDTH_K: f64 = 140.0;
/// Top of that range, in K, where the Arrhenius factors below are 1.
pub(crate) const BEAN_TOP_K: f64 = 543.15;

/// Eighth root of `exp(-E (1/T - 1/T_top))` for the drying law, within 2e-6 of the law when squared back.
const DRYING_ROOT: [f64; 8] = [
    0.453_698_860_218_497_9,
    0.483_086_164_755_171_6,
    0.089_425_756_681_629_14,
    -0.029_086_881_747_561_88,
    0.002_037_885_215_801_171,
    0.001_421_853_032_827_991,
    -0.000_771_376_479_202_778_9,
    0.000_187_969_389_404_463_17,
];
/// The same for the exotherm, within 4e-6.
const EXOTHERM_ROOT: [f64; 8] = [
    0.644_322_503_756_398_7,
    0.381_564_906_240_536_7,
    -0.019_527_801_173_281_713,
    -0.010_134_284_199_249_697,
    0.004_986_737_533_357_086,
    -0.001_480_431_651_302_908_2,
    0.000_252_616_458_728_738_2,
    0.000_016_196_124_917_861_2,
];
/// The same for the loss of dry matter, within 4e-5.
const DRY_LOSS_ROOT: [f64; 8] = [
    0.286_628_082_575_898_9,
    0.482_547_221_662_164_35,
    0.238_615_816_027_947_5,
    0.003_945_354_141_428_908,
    -0.014_869_957_021_882_54,
    0.003_116_717_698_114_002,
    0.000_492_788_716_483_616_4,
    -0.000_479_816_923_882_436_8,
];
/// `exp(-y)` for 0 to 1; its 32nd power is within 9e-7 of `exp(-32 y)`.
const DECAY_ROOT: [f64; 7] = [
    1.0,
    -0.999_998_547_077_094_3,
    0.499_973_892_268_772,
    -0.166_506_213_671_557_18,
    0.041_202_294_985_834_72,
    -0.007_633_695_101_078_558,
    0.000_841_719_549_523_389_8,
];

/// Arrhenius factors at one mean bean temperature, relative to [`BEAN_TOP_K`].
#[derive(Clone, Copy)]
pub(crate) struct Arrhenius<L> {
    pub(crate) drying: L,
    pub(crate) exotherm: L,
    pub(crate) dry_loss: L,
}

impl<L: Lane> Arrhenius<L> {
    #[inline(always)]
    pub(crate) fn at(isa: L::Isa, mean_c: L) -> Self {
        let x = scaled(isa, mean_c, BEAN_MIDDLE_C, BEAN_HALF_WIDTH_K);
        Self {
            drying: eighth_power(seventh_degree(isa, &DRYING_ROOT, x)),
            exotherm: eighth_power(seventh_degree(isa, &EXOTHERM_ROOT, x)),
            dry_loss: eighth_power(seventh_degree(isa, &DRY_LOSS_ROOT, x)),
        }
    }
}

/// Air conductivity and flow group at a film temperature (see `film.rs`), over 250 to 650 K.
#[inline(always)]
pub(crate) fn film<L: Lane>(isa: L::Isa, film_c: L) -> (L, L) {
    let x = scaled(isa, film_c, FILM_MIDDLE_C, FILM_HALF_WIDTH_K);
    let square = x * x;
    let [a0, a1, a2, a3, a4] = FILM_CONDUCTIVITY;
    let low = pair(isa, a0, a1, x);
    let conductivity = square.mul_add(square.mul_add(L::splat(isa, a4), pair(isa, a2, a3, x)), low);
    let [b0, b1, b2, b3, b4, b5] = FILM_GROUP;
    let high = square.mul_add(pair(isa, b4, b5, x), pair(isa, b2, b3, x));
    (conductivity, square.mul_add(high, pair(isa, b0, b1, x)))
}

/// `exp(-x)` for x from 0; from 32 on it stays at `exp(-32)`.
#[inline(always)]
pub(crate) fn decay<L: Lane>(isa: L::Isa, x: L) -> L {
    let y = (x * L::splat(isa, 1.0 / 32.0)).at_most(L::splat(isa, 1.0));
    let square = y * y;
    let [c0, c1, c2, c3, c4, c5, c6] = DECAY_ROOT;
    let high = square.mul_add(L::splat(isa, c6), pair(isa, c4, c5, y));
    let middle = square.mul_add(high, pair(isa, c2, c3, y));
    let root = square.mul_add(middle, pair(isa, c0, c1, y));
    let second = root * root;
    let fourth = second * second;
    eighth_power(fourth)
}

/// `(value - middle)/half_width`, kept inside -1 to 1.
#[inline(always)]
fn scaled<L: Lane>(isa: L::Isa, value: L, middle: f64, half_width: f64) -> L {
    let per_width = L::splat(isa, 1.0 / half_width);
    let x = value.mul_add(per_width, L::splat(isa, -middle / half_width));
    x.at_least(L::splat(isa, -1.0)).at_most(L::splat(isa, 1.0))
}

#[inline(always)]
fn pair<L: Lane>(isa: L::Isa, low: f64, high: f64, x: L) -> L {
    x.mul_add(L::splat(isa, high), L::splat(isa, low))
}

/// A polynomial in pairs (Estrin), so that its parts don't wait for each other.
#[inline(always)]
fn seventh_degree<L: Lane>(isa: L::Isa, c: &[f64; 8], x: L) -> L {
    let square = x * x;
    let low = square.mul_add(pair(isa, c[2], c[3], x), pair(isa, c[0], c[1], x));
    let high = square.mul_add(pair(isa, c[6], c[7], x), pair(isa, c[4], c[5], x));
    (square * square).mul_add(high, low)
}

#[inline(always)]
fn eighth_power<L: Lane>(x: L) -> L {
    let second = x * x;
    let fourth = second * second;
    fourth * fourth
}

#[cfg(test)]
mod tests {
    #![allow(clippy::missing_assert_message, reason = "the values say it")]
    use super::*;
    use crate::air;
    use crate::batch::lanes::Double;
    use crate::constants::{DRY_LOSS_ACTIVATION_K, DRYING_ACTIVATION_K, EXOTHERM_ACTIVATION_K};

    const ISA: pulp::Scalar = pulp::Scalar;

    fn lane(value: f64) -> Double<pulp::Scalar, 1> {
        Double::splat(ISA, value)
    }

    fn number(value: Double<pulp::Scalar, 1>) -> f64 {
        let mut out = [0.0];
        value.store(&mut out);
        out[0]
    }

    #[test]
    fn arrhenius_factors_are_exponentials() {
        for kelvin in 264..=543 {
            let kelvin = f64::from(kelvin);
            let found = Arrhenius::at(ISA, lane(kelvin - ZERO_C_K));
            let exact =
                |activation_k: f64| (-activation_k * (1.0 / kelvin - 1.0 / BEAN_TOP_K)).exp();
            let off = |found, activation_k| (number(found) / exact(activation_k) - 1.0).abs();
            assert!(off(found.drying, DRYING_ACTIVATION_K) < 2e-6);
            assert!(off(found.exotherm, EXOTHERM_ACTIVATION_K) < 4e-6);
            assert!(off(found.dry_loss, DRY_LOSS_ACTIVATION_K) < 4e-5);
        }
    }

    #[test]
    fn rates_stand_still_outside_their_range() {
        let at = |celsius| number(Arrhenius::at(ISA, lane(celsius)).drying);
        assert_eq!(at(270.0 + 50.0), at(270.0));
        assert_eq!(at(-10.0 - 50.0), at(-10.0));
    }

    #[test]
    fn decay_is_an_exponential() {
        for step in 0..=320 {
            let x = f64::from(step) / 10.0;
            assert!((number(decay(ISA, lane(x))) / (-x).exp() - 1.0).abs() < 9e-7);
        }
        assert!(number(decay(ISA, lane(500.0))) < 1.3e-14);
    }

    #[test]
    fn film_follows_the_air() {
        for kelvin in 250..=650 {
            let kelvin = f64::from(kelvin);
            let (conductivity, group) = film(ISA, lane(kelvin - ZERO_C_K));
            let exact = air::conductivity_w_per_m_k(kelvin);
            let exact_group =
                exact / air::viscosity_pa_s(kelvin).sqrt() * air::prandtl(kelvin).cbrt();
            assert!((number(conductivity) / exact - 1.0).abs() < 3e-5);
            assert!((number(group) / exact_group - 1.0).abs() < 3e-5);
        }
    }
}
