//! A bean as `N` spherical shells of equal thickness, with conductances that are exact for any parabola `a + b r²`.
//!
//! The mean of such a parabola over a shell sits at `r̄² = (3/5)(r⁵ - r₋⁵)/(r³ - r₋³)`; between two such points the flux
//! `4π k r² · 2 b r` at the edge gives the conductance `8π k r³/(r̄₊² - r̄²)` for one bean.

/// Geometry of `N` shells in units of the bean radius.
#[derive(Debug, Clone, PartialEq)]
pub struct Shells<const N: usize> {
    /// Share of the bean's mass in each shell, inner first; sums to 1.
    pub mass_share: [f64; N],
    /// Conductance across the outer edge of each shell, as a factor on [`crate::RoastParams::conduction_w_per_k`]; the last
    /// one leads to the surface.
    pub conductance: [f64; N],
    /// Centre temperature is `T₁ - centre · (T₂ - T₁)`.
    pub centre: f64,
}

impl<const N: usize> Default for Shells<N> {
    fn default() -> Self {
        Self::new()
    }
}

impl<const N: usize> Shells<N> {
    /// Shells of equal thickness. `N` is at least 2.
    pub fn new() -> Self {
        const {
            assert!(
                2 <= N,
                "a bean needs two shells to have a centre and a surface"
            );
        }
        let edge = |i: usize| i as f64 / N as f64;
        let cubes = |i: usize| edge(i + 1).powi(3) - edge(i).powi(3);
        let mean_square = |i: usize| {
            if i == N {
                return 1.0;
            }
            0.6 * (edge(i + 1).powi(5) - edge(i).powi(5)) / cubes(i)
        };
        let conductance = |i: usize| edge(i + 1).powi(3) / (mean_square(i + 1) - mean_square(i));
        Self {
            mass_share: std::array::from_fn(cubes),
            conductance: std::array::from_fn(conductance),
            centre: mean_square(0) / (mean_square(1) - mean_square(0)),
        }
    }

    /// Mean over the bean's mass.
    pub fn mean(&self, shell_c: &[f64; N]) -> f64 {
        self.mass_share
            .iter()
            .zip(shell_c)
            .map(|(share, c)| share * c)
            .sum()
    }

    /// Temperature at the centre, from the parabola through the two inner shells.
    pub fn centre_c(&self, shell_c: &[f64; N]) -> f64 {
        shell_c[0] - self.centre * (shell_c[1] - shell_c[0])
    }
}
