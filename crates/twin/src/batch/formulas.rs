//! The few formulas that need an exponential, as polynomials fit for lanes: no division, no table, no bit tricks.
//! A wide range is brought into reach of a short polynomial by fitting a root of the function and multiplying the result back; three
//! exponentials of the same temperature share one root.
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

/// `exp(-1100 K (1/T - 1/T_top))`: its fifth power is the exotherm's factor, within 5e-6.
const BASE: [f64; 8] = [
    0.494_954_585_369_352_4,
    0.468_975_309_917_947_2,
    0.059_313_329_320_041_66,
    -0.027_559_696_390_777_294,
    0.004_311_074_571_719_087,
    0.000_386_365_443_445_496,
    -0.000_621_219_300_133_174_3,
    0.000_241_155_995_142_045_07,
];
/// What the ninth power lacks to the factor of the drying law, within 7e-5.
const DRYING_REST: [f64; 4] = [
    1.006_989_015_887_738_4,
    -0.009_453_876_292_445_972,
    0.003_828_629_518_066_97,
    -0.001_436_770_526_128_354_8,
];
/// What the fourteenth power lacks to that of the loss of dry matter, within 3e-5.
const DRY_LOSS_REST: [f64; 5] = [
    0.860_270_546_843_349_1,
    0.174_352_382_515_150_3,
    -0.042_864_346_572_197_135,
    0.010_345_784_920_483_173,
    -0.002_146_356_190_886_086_8,
];
/// Where the decays end.
const DECAY_RANGE: f64 = 32.0;
/// `exp(-y)` for 0 to 1; its 32nd power is within 3e-5 of `exp(-32 y)`.
const DECAY_ROOT: [f64; 6] = [
    0.999_999_326_990_491_5,
    -0.999_957_515_380_255_4,
    0.499_543_060_534_910_9,
    -0.164_803_912_645_970_44,
    0.038_107_706_434_854_56,
    -0.005_009_472_339_263_132,
];

/// Arrhenius factors of the reactions at one mean bean temperature, relative to [`BEAN_TOP_K`].
#[derive(Clone, Copy)]
pub(super) struct Factors<L> {
    pub(super) drying: L,
    pub(super) exotherm: L,
    pub(super) dry_loss: L,
}

/// The scaled mean bean temperature, its square, and [`BASE`] there.
pub(super) struct Base<L> {
    x: L,
    square: L,
    value: L,
}

/// Coefficients of a roast's transfer units, over [`DECAY_RANGE`], in powers of the scaled film temperature.
///
/// `still` and `moving` are transfer units a W/(m K) of the air's conductivity and a unit of its flow group (see `film.rs`).
#[inline(always)]
pub(super) fn film_units<L: Lane>(isa: L::Isa, still: L, moving: L) -> [L; 6] {
    let mut coefficients = [still; 6];
    for i in 0..coefficients.len() {
        let group = moving * L::splat(isa, FILM_GROUP[i] / DECAY_RANGE);
        coefficients[i] = if i < FILM_CONDUCTIVITY.len() {
            still.mul_add(L::splat(isa, FILM_CONDUCTIVITY[i] / DECAY_RANGE), group)
        } else {
            group
        };
    }
    coefficients
}

/// Transfer units over [`DECAY_RANGE`] where inlet air and surface add up to `twice_film_c`, and the base of the reactions' factors
/// at a mean bean temperature.
///
/// Both at once, line by line: neither chain of operations then waits for its own last result (3 % of the time of a roast in double precision).
#[inline(always)]
pub(super) fn units_and_base<L: Lane>(
    isa: L::Isa,
    coefficients: &[L; 6],
    twice_film_c: L,
    mean_c: L,
) -> (L, Base<L>) {
    let [a0, a1, a2, a3, a4, a5] = *coefficients;
    let [b0, b1, b2, b3, b4, b5, b6, b7] = BASE;
    let film = scaled(
        isa,
        twice_film_c,
        2.0 * FILM_MIDDLE_C,
        2.0 * FILM_HALF_WIDTH_K,
    );
    let x = scaled(isa, mean_c, BEAN_MIDDLE_C, BEAN_HALF_WIDTH_K);
    let film_square = film * film;
    let square = x * x;
    let film_high = film.mul_add(a5, a4);
    let high = pair(isa, b6, b7, x);
    let film_middle = film.mul_add(a3, a2);
    let low_middle = pair(isa, b2, b3, x);
    let film_low = film.mul_add(a1, a0);
    let middle = pair(isa, b4, b5, x);
    let film_upper = film_square.mul_add(film_high, film_middle);
    let low = pair(isa, b0, b1, x);
    let units = film_square.mul_add(film_upper, film_low);
    let upper = square.mul_add(high, middle);
    let lower = square.mul_add(low_middle, low);
    let value = (square * square).mul_add(upper, lower);
    (units, Base { x, square, value })
}

/// `exp(-32 y)` of two numbers from 0 (from 1 on it stays at `exp(-32)`), and the reactions' factors; line by line as above.
#[inline(always)]
pub(super) fn decays_and_factors<L: Lane>(
    isa: L::Isa,
    [y, z]: [L; 2],
    base: &Base<L>,
) -> ([L; 2], Factors<L>) {
    let [c0, c1, c2, c3, c4, c5] = DECAY_ROOT;
    let [d0, d1, d2, d3] = DRYING_REST;
    let [l0, l1, l2, l3, l4] = DRY_LOSS_REST;
    let Base { x, square, value } = *base;
    let [y, z] = [y.at_most(L::splat(isa, 1.0)), z.at_most(L::splat(isa, 1.0))];
    let second = value * value;
    let [y_square, z_square] = [y * y, z * z];
    let fourth = second * second;
    let [y_high, z_high] = [pair(isa, c4, c5, y), pair(isa, c4, c5, z)];
    let drying_high = pair(isa, d2, d3, x);
    let dry_loss_middle = pair(isa, l2, l3, x);
    let [y_middle, z_middle] = [pair(isa, c2, c3, y), pair(isa, c2, c3, z)];
    let fifth = fourth * value;
    let [y_low, z_low] = [pair(isa, c0, c1, y), pair(isa, c0, c1, z)];
    let drying_low = pair(isa, d0, d1, x);
    let dry_loss_low = pair(isa, l0, l1, x);
    let y_upper = y_square.mul_add(y_high, y_middle);
    let z_upper = z_square.mul_add(z_high, z_middle);
    let ninth = fifth * fourth;
    let dry_loss_high = square.mul_add(L::splat(isa, l4), dry_loss_middle);
    let y = y_square.mul_add(y_upper, y_low);
    let z = z_square.mul_add(z_upper, z_low);
    let drying_rest = square.mul_add(drying_high, drying_low);
    let dry_loss_rest = square.mul_add(dry_loss_high, dry_loss_low);
    let [y, z] = [y * y, z * z];
    let fourteenth = ninth * fifth;
    let [y, z] = [y * y, z * z];
    let drying = ninth * drying_rest;
    let [y, z] = [y * y, z * z];
    let dry_loss = fourteenth * dry_loss_rest;
    let [y, z] = [y * y, z * z];
    let factors = Factors {
        drying,
        exotherm: fifth,
        dry_loss,
    };
    ([y * y, z * z], factors)
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
    let y = (x * L::splat(isa, 1.0 / DECAY_RANGE)).at_most(L::splat(isa, 1.0));
    let square = y * y;
    let [c0, c1, c2, c3, c4, c5] = DECAY_ROOT;
    let high = square.mul_add(pair(isa, c4, c5, y), pair(isa, c2, c3, y));
    let root = square.mul_add(high, pair(isa, c0, c1, y));
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

    fn factors(mean_c: f64) -> Factors<Double<pulp::Scalar, 1>> {
        let (_, base) = units_and_base(ISA, &[lane(0.0); 6], lane(0.0), lane(mean_c));
        decays_and_factors(ISA, [lane(0.0); 2], &base).1
    }

    #[test]
    fn arrhenius_factors_are_exponentials() {
        for kelvin in 264..=543 {
            let kelvin = f64::from(kelvin);
            let found = factors(kelvin - ZERO_C_K);
            let exact =
                |activation_k: f64| (-activation_k * (1.0 / kelvin - 1.0 / BEAN_TOP_K)).exp();
            let off = |found, activation_k| (number(found) / exact(activation_k) - 1.0).abs();
            assert!(off(found.drying, DRYING_ACTIVATION_K) < 7e-5);
            assert!(off(found.exotherm, EXOTHERM_ACTIVATION_K) < 5e-6);
            assert!(off(found.dry_loss, DRY_LOSS_ACTIVATION_K) < 3e-5);
        }
    }

    #[test]
    fn rates_stand_still_outside_their_range() {
        let at = |celsius| number(factors(celsius).drying);
        assert_eq!(at(270.0 + 50.0), at(270.0));
        assert_eq!(at(-10.0 - 50.0), at(-10.0));
    }

    #[test]
    fn decay_is_an_exponential() {
        for step in 0..=320 {
            let x = f64::from(step) / 10.0;
            assert!((number(decay(ISA, lane(x))) / (-x).exp() - 1.0).abs() < 3e-5);
        }
        assert!(number(decay(ISA, lane(500.0))) < 1.3e-14);
    }

    #[test]
    fn decays_side_by_side_are_the_same() {
        let (_, base) = units_and_base(ISA, &[lane(0.0); 6], lane(0.0), lane(100.0));
        for step in 0..=40 {
            let (x, z) = (f64::from(step), f64::from(step) * 0.3);
            let exponents = [lane(x / DECAY_RANGE), lane(z / DECAY_RANGE)];
            let ([at_x, at_z], _) = decays_and_factors(ISA, exponents, &base);
            assert_eq!(number(at_x), number(decay(ISA, lane(x))));
            assert!((number(at_z) / number(decay(ISA, lane(z))) - 1.0).abs() < 1e-13);
        }
    }

    #[test]
    fn units_of_a_roast_are_those_of_its_film() {
        let (still, moving) = (30.0, 0.2);
        let coefficients = film_units(ISA, lane(still), lane(moving));
        for film_c in [-20.0, 20.0, 180.0, 370.0] {
            let (found, _) = units_and_base(ISA, &coefficients, lane(2.0 * film_c), lane(100.0));
            let (conductivity, group) = film(ISA, lane(film_c));
            let exact = still * number(conductivity) + moving * number(group);
            assert!((number(found) * DECAY_RANGE / exact - 1.0).abs() < 1e-14);
        }
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
