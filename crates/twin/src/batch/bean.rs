//! Conduction in the bean on four radii instead of shells: the even polynomial of sixth degree through them.
//!
//! The radii are Gauss-Radau points in `s = (r/R)²` under the weight of the sphere's volume, the last one the surface. With the same
//! points as quadrature, Galerkin's method keeps the heat exactly and leaves a diagonal of heat capacities, as shells do; but its error
//! falls with every power of the profile: four points leave 0.005 K in a roast where eight equal shells leave 0.14 K (both against 96
//! shells). Villadsen and Michelsen, Solution of Differential Equation Models by Polynomial Approximation, 1978, from memory; the tests
//! hold every number below.

use super::lanes::Lane;

/// Radii at which the bean's temperature is kept, centre side first; the last one is the surface.
pub(super) const NODES: usize = 4;

/// Share of the bean's mass that each node stands for.
const SHARE: [f64; NODES] = [
    0.137_034_258_685_491_16,
    0.377_694_923_750_255_15,
    0.401_937_484_230_920_35,
    1.0 / 12.0,
];

/// Conduction between the nodes, `∫ s^(3/2) l_i' l_j' ds`, as a factor on the conduction scale `8π n k R`; rows sum to 0.
const ACROSS: [[f64; NODES]; NODES] = [
    [
        0.544_781_163_449_106_2,
        -0.698_729_723_907_016_5,
        0.222_596_037_884_338_32,
        -0.068_647_477_426_428_07,
    ],
    [
        -0.698_729_723_907_016_5,
        2.721_774_252_067_417_5,
        -2.569_506_903_546_482_6,
        0.546_462_375_386_082,
    ],
    [
        0.222_596_037_884_338_32,
        -2.569_506_903_546_482_6,
        8.401_114_652_510_687,
        -6.054_203_786_848_543,
    ],
    [
        -0.068_647_477_426_428_07,
        0.546_462_375_386_082,
        -6.054_203_786_848_543,
        5.576_388_888_888_889,
    ],
];

/// What each node adds to the temperature at the centre.
const TO_CENTRE: [f64; NODES] = [
    1.931_283_963_464_966_3,
    -1.719_258_250_226_236_4,
    1.334_849_286_761_27,
    -0.546_875,
];

/// The beans' matter in the middle of a second, in units of half a second over the conduction scale.
#[derive(Clone, Copy)]
pub(super) struct Matter<L> {
    /// Heat capacity at 0 °C.
    pub(super) heat: L,
    /// Its rise, per °C.
    pub(super) heat_rise: L,
    /// Heat set free less heat of drying, in K.
    pub(super) source: L,
}

/// Air beside the surface.
#[derive(Clone, Copy)]
pub(super) struct Air<L> {
    pub(super) inlet_c: L,
    /// Conductance from inlet air to surface, over the conduction scale.
    pub(super) taken: L,
}

/// Mean over the bean's mass.
#[inline(always)]
pub(super) fn mean<L: Lane>(isa: L::Isa, node_c: &[L; NODES]) -> L {
    weighted(isa, &SHARE, node_c)
}

/// Temperature at the centre.
#[inline(always)]
pub(super) fn centre<L: Lane>(isa: L::Isa, node_c: &[L; NODES]) -> L {
    weighted(isa, &TO_CENTRE, node_c)
}

#[inline(always)]
fn weighted<L: Lane>(isa: L::Isa, [w1, w2, w3, w4]: &[f64; NODES], node_c: &[L; NODES]) -> L {
    let inner = node_c[0].mul_add(L::splat(isa, *w1), node_c[1] * L::splat(isa, *w2));
    let outer = node_c[2].mul_add(L::splat(isa, *w3), node_c[3] * L::splat(isa, *w4));
    inner + outer
}

/// How far each node goes in half a second from `node_c` by a backward-Euler step, with the heat capacities of `ahead_c`, where the
/// nodes are expected then.
///
/// Only neighbours are coupled implicitly. The other three conductances are small beside the heat capacities, so heat over them is
/// taken at `ahead_c`; that is of second order too, keeps the heat, and leaves a chain instead of a full matrix.
#[inline(always)]
pub(super) fn half_step<L: Lane>(
    isa: L::Isa,
    node_c: &[L; NODES],
    ahead_c: &[L; NODES],
    matter: &Matter<L>,
    air: &Air<L>,
) -> [L; NODES] {
    let diagonal = [
        held(isa, matter, ahead_c[0], 0),
        held(isa, matter, ahead_c[1], 1),
        held(isa, matter, ahead_c[2], 2),
        held(isa, matter, ahead_c[3], 3) + air.taken,
    ];
    solve(isa, &diagonal, &pull(isa, node_c, ahead_c, matter, air))
}

/// Heat capacity of node `i` and its conductances to its neighbours.
#[inline(always)]
fn held<L: Lane>(isa: L::Isa, matter: &Matter<L>, ahead_c: L, i: usize) -> L {
    let inner = if i == 0 { 0.0 } else { ACROSS[i - 1][i] };
    let outer = if i + 1 == NODES {
        0.0
    } else {
        ACROSS[i][i + 1]
    };
    let heat = matter.heat_rise.mul_add(ahead_c, matter.heat);
    heat.mul_add(L::splat(isa, SHARE[i]), L::splat(isa, -inner - outer))
}

/// Right sides: heat into each node at its present temperature. Differences between nodes keep single precision sharp.
#[inline(always)]
fn pull<L: Lane>(
    isa: L::Isa,
    node_c: &[L; NODES],
    ahead_c: &[L; NODES],
    matter: &Matter<L>,
    air: &Air<L>,
) -> [L; NODES] {
    let to1 = inward(isa, node_c, 0, 1);
    let to2 = inward(isa, node_c, 1, 2);
    let to3 = inward(isa, node_c, 2, 3);
    let far1 = inward(isa, ahead_c, 0, 2);
    let across = inward(isa, ahead_c, 0, 3);
    let far2 = inward(isa, ahead_c, 1, 3);
    let from_air = air.taken * (air.inlet_c - node_c[3]);
    [
        freed(isa, matter, to1 + (far1 + across), 0),
        freed(isa, matter, to2 - (to1 - far2), 1),
        freed(isa, matter, to3 - (to2 + far1), 2),
        freed(isa, matter, from_air - (to3 + (across + far2)), 3),
    ]
}

/// Heat from node `j` to node `i`.
#[inline(always)]
fn inward<L: Lane>(isa: L::Isa, temp_c: &[L; NODES], i: usize, j: usize) -> L {
    (temp_c[j] - temp_c[i]) * L::splat(isa, -ACROSS[i][j])
}

/// `heat` and what the matter of node `i` itself sets free.
#[inline(always)]
fn freed<L: Lane>(isa: L::Isa, matter: &Matter<L>, heat: L, i: usize) -> L {
    matter.source.mul_add(L::splat(isa, SHARE[i]), heat)
}

/// Solves `(diagonal + neighbours in ACROSS) x = pull` from both ends to the middle; the three divisions that this takes are made one.
#[inline(always)]
fn solve<L: Lane>(isa: L::Isa, diagonal: &[L; NODES], pull: &[L; NODES]) -> [L; NODES] {
    let [a1, a2, a3, a4] = *diagonal;
    let [r1, r2, r3, r4] = *pull;
    let [f12, f23, f34] = [ACROSS[0][1], ACROSS[1][2], ACROSS[2][3]];
    let [s12, s23, s34] = [L::splat(isa, f12), L::splat(isa, f23), L::splat(isa, f34)];
    // Rows 2 and 3 times the ends' diagonals, the ends eliminated.
    let b2 = a1.mul_add(a2, L::splat(isa, -f12 * f12));
    let b3 = a4.mul_add(a3, L::splat(isa, -f34 * f34));
    let y2 = a1.mul_add(r2, -(s12 * r1));
    let y3 = a4.mul_add(r3, -(s34 * r4));
    let side2 = a1 * s23;
    let side3 = a4 * s23;
    let ends = a1 * a4;
    let middle = b2.mul_add(b3, -(side2 * side3));
    let quotient = L::splat(isa, 1.0) / (middle * ends);
    let per_middle = quotient * ends;
    let per_ends = quotient * middle;
    let d2 = b3.mul_add(y2, -(side2 * y3)) * per_middle;
    let d3 = b2.mul_add(y3, -(side3 * y2)) * per_middle;
    let d1 = d2.neg_mul_add(s12, r1) * (per_ends * a4);
    let d4 = d3.neg_mul_add(s34, r4) * (per_ends * a1);
    [d1, d2, d3, d4]
}

#[cfg(test)]
mod tests {
    #![allow(clippy::missing_assert_message, reason = "the values say it")]
    use super::*;

    /// Nodes in `s`: zeros of the Jacobi polynomial P₃ with exponents 1 and 1/2 on 0 to 1, and 1; computed with mpmath.
    const SQUARES: [f64; NODES] = [
        0.131_854_292_535_555_8,
        0.458_581_257_157_595,
        0.809_564_450_306_849_2,
        1.0,
    ];

    #[test]
    fn shares_integrate_even_powers_over_the_sphere() {
        // Mean of r^(2 k) over a sphere of radius 1 is 3/(2 k + 3); Gauss-Radau with four points is exact to k = 6.
        for k in 0..=6 {
            let sum: f64 = SHARE
                .iter()
                .zip(SQUARES)
                .map(|(share, s)| share * s.powi(k))
                .sum();
            assert!((sum - 3.0 / f64::from(2 * k + 3)).abs() < 1e-14);
        }
    }

    #[test]
    fn conduction_is_exact_for_even_powers() {
        // ∫ s^(3/2) (s^a)' (s^b)' ds over 0 to 1 is a b/(a + b + 1/2).
        for (a, b) in [(1, 1), (1, 2), (2, 2), (1, 3), (2, 3), (3, 3)] {
            let mut sum = 0.0;
            for i in 0..NODES {
                for j in 0..NODES {
                    sum += SQUARES[i].powi(a) * ACROSS[i][j] * SQUARES[j].powi(b);
                }
            }
            assert!((sum - f64::from(a * b) / (f64::from(a + b) + 0.5)).abs() < 1e-13);
        }
        for row in ACROSS {
            assert!(row.iter().sum::<f64>().abs() < 1e-14);
        }
    }

    #[test]
    fn centre_is_exact_for_even_powers() {
        for k in 0..=3 {
            let sum: f64 = TO_CENTRE
                .iter()
                .zip(SQUARES)
                .map(|(to_centre, s)| to_centre * s.powi(k))
                .sum();
            let at_centre = if k == 0 { 1.0 } else { 0.0 };
            assert!((sum - at_centre).abs() < 1e-13);
        }
    }

    #[test]
    fn solution_fulfils_the_equations() {
        use crate::batch::lanes::Double;
        let isa = pulp::Scalar;
        let lane = |value: f64| Double::<pulp::Scalar, 1>::splat(isa, value);
        let number = |value: Double<pulp::Scalar, 1>| {
            let mut out = [0.0];
            value.store(&mut out);
            out[0]
        };
        let (diagonal, pull) = ([7.0, 20.0, 31.0, 11.0], [3.0, -2.0, 5.0, 40.0]);
        let x = solve(isa, &diagonal.map(lane), &pull.map(lane)).map(number);
        for i in 0..NODES {
            let beside: f64 = (0..NODES)
                .filter(|j| j.abs_diff(i) == 1)
                .map(|j| ACROSS[i][j] * x[j])
                .sum();
            assert!((diagonal[i] * x[i] + beside - pull[i]).abs() < 1e-12);
        }
    }
}
