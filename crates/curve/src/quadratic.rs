//! Real roots of a quadratic inside a span; rates of rise and turning points are made of them.

/// `a + b s + c s²`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Quadratic {
    pub(crate) a: f64,
    pub(crate) b: f64,
    pub(crate) c: f64,
}

impl Quadratic {
    pub(crate) fn value(self, s: f64) -> f64 {
        (self.c * s + self.b) * s + self.a
    }

    /// Roots of `value(s) = level` strictly between 0 and `width`, ascending; none where the quadratic is constant.
    pub(crate) fn roots(self, level: f64, width: f64) -> impl Iterator<Item = f64> {
        let a = self.a - level;
        let discriminant = self.b * self.b - 4.0 * self.c * a;
        // The form that subtracts no near-equal numbers; a division by zero gives a root that the filter drops.
        let q = -0.5 * (self.b + discriminant.sqrt().copysign(self.b));
        let (r0, r1) = (q / self.c, a / q);
        [r0.min(r1), r0.max(r1)]
            .into_iter()
            .filter(move |s| 0.0 < *s && *s < width)
    }

    /// The same quadratic counted from `offset`.
    pub(crate) fn counted_from(self, offset: f64) -> Self {
        Self {
            a: self.value(offset),
            b: self.b + 2.0 * self.c * offset,
            c: self.c,
        }
    }

    /// This quadratic less `other`.
    pub(crate) fn minus(self, other: Self) -> Self {
        Self {
            a: self.a - other.a,
            b: self.b - other.b,
            c: self.c - other.c,
        }
    }

    /// Largest value between `from` and `to` (0 or more).
    pub(crate) fn highest(self, from: f64, to: f64) -> f64 {
        let ends = self.value(from).max(self.value(to));
        let vertex = self.vertex(to).filter(|s| from < *s);
        vertex.map_or(ends, |s| self.value(s).max(ends))
    }

    /// The parts of 0 to `width` whose values keep `is_wanted`, which may change only at `levels`.
    pub(crate) fn parts(
        self,
        width: f64,
        levels: &[f64],
        is_wanted: impl Fn(f64) -> bool,
    ) -> Vec<(f64, f64)> {
        let mut cuts = vec![0.0, width];
        cuts.extend(levels.iter().flat_map(|&level| self.roots(level, width)));
        cuts.sort_by(f64::total_cmp);
        let parts = cuts.windows(2).map(|pair| (pair[0], pair[1]));
        parts
            .filter(|&(from, to)| from < to && is_wanted(self.value(0.5 * (from + to))))
            .collect()
    }

    /// Where the quadratic turns, if strictly between 0 and `width`.
    pub(crate) fn vertex(self, width: f64) -> Option<f64> {
        let s = -0.5 * self.b / self.c;
        (0.0 < s && s < width).then_some(s)
    }
}
