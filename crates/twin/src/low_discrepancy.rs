//! A seeded low-discrepancy sequence and the normal deviates made from it, so that a few thousand roasts fill the space of
//! everyday variation evenly and the same seed always gives the same roasts.
//! Sobol's sequence with the direction numbers of Joe and Kuo (SIAM J. Sci. Comput. 30 (2008) 2635), moved by a random digital shift
//! (L'Ecuyer and Lemieux 2002), which keeps the evenness and never yields 0 or 1.

/// Greatest number of dimensions.
pub(crate) const DIMENSIONS: usize = 8;

const BITS: usize = 32;

/// Degree, inner coefficients and first direction numbers of dimensions 2 to 8: Joe and Kuo 2008, file `new-joe-kuo-6`, from
/// memory; a test compares them with those of `scipy`.
const JOE_KUO: [(usize, u32, [u32; 5]); DIMENSIONS - 1] = [
    (1, 0, [1, 0, 0, 0, 0]),
    (2, 1, [1, 3, 0, 0, 0]),
    (3, 1, [1, 3, 1, 0, 0]),
    (3, 2, [1, 1, 1, 0, 0]),
    (4, 1, [1, 1, 3, 3, 0]),
    (4, 4, [1, 3, 5, 13, 0]),
    (5, 2, [1, 1, 5, 5, 17]),
];

/// Sobol points with a digital shift.
#[derive(Debug, Clone)]
pub(crate) struct Sobol {
    directions: [[u32; BITS]; DIMENSIONS],
    shift: [u32; DIMENSIONS],
}

impl Sobol {
    /// The sequence for one seed.
    pub(crate) fn new(seed: u64) -> Self {
        let mut state = seed;
        Self {
            directions: directions(),
            shift: std::array::from_fn(|_| split_mix(&mut state)),
        }
    }

    /// Point `index` of the sequence, each coordinate strictly between 0 and 1.
    pub(crate) fn point(&self, index: u32) -> [f64; DIMENSIONS] {
        std::array::from_fn(|d| {
            let bits = raw(&self.directions[d], index) ^ self.shift[d];
            (f64::from(bits) + 0.5) / (f64::from(u32::MAX) + 1.0)
        })
    }
}

/// The unshifted coordinate as 32 binary places (Antonov and Saleev's Gray-code order, as `scipy` has them).
fn raw(directions: &[u32; BITS], index: u32) -> u32 {
    let gray = index ^ (index >> 1);
    directions
        .iter()
        .enumerate()
        .filter(|(bit, _)| gray >> bit & 1 == 1)
        .fold(0, |sum, (_, v)| sum ^ v)
}

fn directions() -> [[u32; BITS]; DIMENSIONS] {
    let mut all = [[0; BITS]; DIMENSIONS];
    for (bit, v) in all[0].iter_mut().enumerate() {
        *v = 1 << (BITS - 1 - bit);
    }
    for (v, (degree, inner, first)) in all[1..].iter_mut().zip(JOE_KUO) {
        for bit in 0..BITS {
            v[bit] = if bit < degree {
                first[bit] << (BITS - 1 - bit)
            } else {
                let start = v[bit - degree] ^ (v[bit - degree] >> degree);
                (1..degree)
                    .filter(|k| inner >> (degree - 1 - k) & 1 == 1)
                    .fold(start, |sum, k| sum ^ v[bit - k])
            };
        }
    }
    all
}

/// Upper half of one step of `SplitMix64` (Steele, Lea and Flood, OOPSLA 2014).
fn split_mix(state: &mut u64) -> u32 {
    *state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
    let mut z = *state;
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((z ^ (z >> 31)) >> 32) as u32
}

/// Standard normal deviate below which a share `p` of all lies, for 0 < `p` < 1.
/// Wichura 1988, algorithm AS 241 (PPND16), relative accuracy 1e-16; coefficients from memory, held by a test against mpmath.
pub(crate) fn normal_quantile(p: f64) -> f64 {
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.425 * 0.425 - q * q;
        return q * ratio(r, &CENTRE);
    }
    let r = (-(p.min(1.0 - p)).ln()).sqrt();
    let magnitude = if r <= 5.0 {
        ratio(r - 1.6, &SHOULDER)
    } else {
        ratio(r - 5.0, &TAIL)
    };
    magnitude.copysign(q)
}

fn ratio(r: f64, [over, under]: &[[f64; 8]; 2]) -> f64 {
    let horner = |all: &[f64; 8]| all.iter().rev().fold(0.0, |sum, c| sum * r + c);
    horner(over) / horner(under)
}

const CENTRE: [[f64; 8]; 2] = [
    [
        3.387_132_872_796_366_6,
        1.331_416_678_917_843_8e2,
        1.971_590_950_306_551_4e3,
        1.373_169_376_550_946e4,
        4.592_195_393_154_987e4,
        6.726_577_092_700_87e4,
        3.343_057_558_358_813e4,
        2.509_080_928_730_122_7e3,
    ],
    [
        1.0,
        4.231_333_070_160_091e1,
        6.871_870_074_920_579e2,
        5.394_196_021_424_751e3,
        2.121_379_430_158_66e4,
        3.930_789_580_009_271e4,
        2.872_908_573_572_194_3e4,
        5.226_495_278_852_854e3,
    ],
];
const SHOULDER: [[f64; 8]; 2] = [
    [
        1.423_437_110_749_683_5,
        4.630_337_846_156_546,
        5.769_497_221_460_691,
        3.647_848_324_763_204_5,
        1.270_458_252_452_368_4,
        2.417_807_251_774_506e-1,
        2.272_384_498_926_918_4e-2,
        7.745_450_142_783_414e-4,
    ],
    [
        1.0,
        2.053_191_626_637_759,
        1.676_384_830_183_803_8,
        6.897_673_349_851e-1,
        1.481_039_764_274_800_8e-1,
        1.519_866_656_361_645_7e-2,
        5.475_938_084_995_345e-4,
        1.050_750_071_644_416_9e-9,
    ],
];
const TAIL: [[f64; 8]; 2] = [
    [
        6.657_904_643_501_103,
        5.463_784_911_164_114,
        1.784_826_539_917_291_3,
        2.965_605_718_285_048_7e-1,
        2.653_218_952_657_612_4e-2,
        1.242_660_947_388_078_4e-3,
        2.711_555_568_743_487_6e-5,
        2.010_334_399_292_288_1e-7,
    ],
    [
        1.0,
        5.998_322_065_558_88e-1,
        1.369_298_809_227_358e-1,
        1.487_536_129_085_061_5e-2,
        7.868_691_311_456_133e-4,
        1.846_318_317_510_054_7e-5,
        1.421_511_758_316_446e-7,
        2.044_263_103_389_939_8e-15,
    ],
];

#[cfg(test)]
mod tests {
    #![allow(
        clippy::missing_assert_message,
        clippy::unwrap_used,
        reason = "the values say it"
    )]
    use super::*;

    /// Rows of a table with one head line.
    fn rows(table: &str) -> Vec<Vec<f64>> {
        table
            .lines()
            .skip(1)
            .map(|line| line.split(',').map(|cell| cell.parse().unwrap()).collect())
            .collect()
    }

    #[test]
    fn unshifted_points_are_scipys() {
        // scipy.stats.qmc.Sobol(8, scramble=False), SciPy 1.17.1.
        let all = directions();
        for row in rows(include_str!(
            "../../../tests/reference/10_stats/sobol_d8.csv"
        )) {
            for (d, expected) in row[1..].iter().enumerate() {
                let found = f64::from(raw(&all[d], row[0] as u32)) / (f64::from(u32::MAX) + 1.0);
                assert_eq!(found, *expected, "point {}, dimension {d}", row[0]);
            }
        }
    }

    #[test]
    fn shift_keeps_the_evenness() {
        // Any 2^m points of a digital (t, s)-sequence put the same number into each half of every coordinate, shifted or not.
        let sequence = Sobol::new(7);
        let points: Vec<_> = (0..1024).map(|index| sequence.point(index)).collect();
        for d in 0..DIMENSIONS {
            for cell in 0..64 {
                let inside = points
                    .iter()
                    .filter(|point| (point[d] * 64.0) as usize == cell)
                    .count();
                assert_eq!(inside, 16);
            }
            assert!(points.iter().all(|point| 0.0 < point[d] && point[d] < 1.0));
        }
        assert_ne!(Sobol::new(8).point(5), sequence.point(5));
        assert_eq!(Sobol::new(7).point(5), sequence.point(5));
    }

    #[test]
    fn normal_quantiles_are_mpmaths() {
        for row in rows(include_str!(
            "../../../tests/reference/10_stats/normal_quantile.csv"
        )) {
            let found = normal_quantile(row[0]);
            assert!(
                (found - row[1]).abs() <= 1e-13 * row[1].abs().max(1.0),
                "{row:?}: {found}"
            );
        }
    }
}
