//! The spline of a smooth curve as rows: everything about it is linear in the temperatures and bends at its knots.
//!
//! A natural cubic spline in its classical form (de Boor, "A Practical Guide to Splines", chapter IV; from memory): between two knots
//! the second derivative runs straight from M₀ to M₁, so the rise is a quadratic and the temperature a cubic, and neighbouring pieces
//! join without a corner where h₀M₀ + 2(h₀+h₁)M₁ + h₁M₂ = 6(secant₁ − secant₀). Keeping the bends as variables beside the temperatures
//! leaves every row with a handful of numbers, and makes “the rise never turns up” a bound on variables, exact between knots too.

use super::programme::Row;

/// Bends are kept in this many °C/s², so that they are of the size of one.
const BEND_UNIT: f64 = 1e-3;

/// Numbers of a row.
pub(super) type Entries = Vec<(usize, f64)>;

/// Where the variables of a spline with these knots stand: temperatures first, then bends.
#[derive(Clone, Debug)]
pub(super) struct Spline<'a> {
    /// Times of the knots, in s, rising; at least two.
    pub(super) knots_s: &'a [f64],
}

impl Spline<'_> {
    /// How many variables it takes.
    pub(super) fn variables(&self) -> usize {
        2 * self.knots_s.len()
    }

    /// Temperature at a knot, in °C.
    pub(super) fn knot_temp(knot: usize) -> Entries {
        vec![(knot, 1.0)]
    }

    /// Second derivative at a knot, in °C/s².
    pub(super) fn knot_bend(&self, knot: usize) -> Entries {
        vec![(self.knots_s.len() + knot, BEND_UNIT)]
    }

    /// Temperature at `time_s` between the first and the last knot, in °C.
    pub(super) fn temp(&self, time_s: f64) -> Entries {
        let place = self.place(time_s);
        let (a, b) = (place.before, place.after);
        let sixth = place.width_s * place.width_s / 6.0 * BEND_UNIT;
        self.entries(
            &place,
            [a, b, (a * a * a - a) * sixth, (b * b * b - b) * sixth],
        )
    }

    /// Rise at `time_s`, in °C/s.
    pub(super) fn rise(&self, time_s: f64) -> Entries {
        let place = self.place(time_s);
        let (a, b, h) = (place.before, place.after, place.width_s);
        let sixth = h / 6.0 * BEND_UNIT;
        self.entries(
            &place,
            [
                -1.0 / h,
                1.0 / h,
                -(3.0 * a * a - 1.0) * sixth,
                (3.0 * b * b - 1.0) * sixth,
            ],
        )
    }

    /// Third derivative between a knot and the next, in °C/s³.
    pub(super) fn third(&self, knot: usize) -> Entries {
        let unit = BEND_UNIT / self.width_s(knot);
        let bend = self.knots_s.len() + knot;
        vec![(bend, -unit), (bend + 1, unit)]
    }

    /// Time from a knot to the next, in s.
    pub(super) fn width_s(&self, knot: usize) -> f64 {
        self.knots_s[knot + 1] - self.knots_s[knot]
    }

    /// What makes the variables a natural spline.
    pub(super) fn joints(&self) -> Vec<Row> {
        let count = self.knots_s.len();
        let joint = |knot: usize| {
            let (before_s, after_s) = (self.width_s(knot - 1), self.width_s(knot));
            let bend = |index: usize, value: f64| (count + index, value * BEND_UNIT / 6.0);
            let entries = vec![
                (knot - 1, -1.0 / before_s),
                (knot, 1.0 / before_s + 1.0 / after_s),
                (knot + 1, -1.0 / after_s),
                bend(knot - 1, before_s),
                bend(knot, 2.0 * (before_s + after_s)),
                bend(knot + 1, after_s),
            ];
            Row::equal(entries, 0.0)
        };
        let ends = [0, count - 1].map(|knot| Row::equal(self.knot_bend(knot), 0.0));
        ends.into_iter().chain((1..count - 1).map(joint)).collect()
    }

    /// Temperature, rise and bend at `time_s` of a solution.
    pub(super) fn at(&self, x: &[f64], time_s: f64) -> (f64, f64, f64) {
        let sum = |entries: Entries| entries.iter().map(|&(index, value)| value * x[index]).sum();
        let place = self.place(time_s);
        let bend = |knot: usize| x[self.knots_s.len() + knot] * BEND_UNIT;
        let bend = place.before * bend(place.knot) + place.after * bend(place.knot + 1);
        (sum(self.temp(time_s)), sum(self.rise(time_s)), bend)
    }

    fn place(&self, time_s: f64) -> Place {
        let behind = self.knots_s.partition_point(|&knot_s| knot_s <= time_s);
        let knot = behind.clamp(1, self.knots_s.len() - 1) - 1;
        let width_s = self.width_s(knot);
        let after = (time_s - self.knots_s[knot]) / width_s;
        Place {
            knot,
            width_s,
            before: 1.0 - after,
            after,
        }
    }

    fn entries(&self, place: &Place, values: [f64; 4]) -> Entries {
        let (temp, bend) = (place.knot, self.knots_s.len() + place.knot);
        let all = [temp, temp + 1, bend, bend + 1].into_iter().zip(values);
        all.filter(|(_, value)| *value != 0.0).collect()
    }
}

/// A time between two knots: weights of the knot before and of the one after.
struct Place {
    knot: usize,
    width_s: f64,
    before: f64,
    after: f64,
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]
    use super::*;
    use chaffinch_curve::{ControlPoint, PointId, SetpointCurve, Shape};

    #[test]
    fn rows_say_what_the_curve_itself_says() {
        // The smooth curve of the curve crate, solved on its own way, is the reference.
        let knots_s = [0.0, 30.0, 75.0, 160.0, 240.0, 371.5];
        let temps_c = [80.0, 108.0, 131.0, 158.0, 180.0, 204.0];
        let points = (0..).zip(knots_s.iter().zip(temps_c));
        let points =
            points.map(|(id, (&time_s, temp_c))| ControlPoint::new(PointId(id), time_s, temp_c));
        let curve = SetpointCurve::new(Shape::Smooth, points.collect()).unwrap();
        let spline = Spline { knots_s: &knots_s };
        let bends = knots_s.iter().enumerate().map(|(knot, &time_s)| {
            // At the ends the curve says what lies inside; natural ends have none.
            if knot == 0 || knot == knots_s.len() - 1 {
                0.0
            } else {
                curve.bend_c_per_s2(time_s) / BEND_UNIT
            }
        });
        let x: Vec<f64> = temps_c.iter().copied().chain(bends).collect();
        for row in spline.joints() {
            let value: f64 = row
                .entries
                .iter()
                .map(|&(index, value)| value * x[index])
                .sum();
            assert!(value.abs() < 1e-12, "{row:?} gives {value}");
        }
        for step in 0..=743 {
            let time_s = f64::from(step) * 0.5;
            let (temp_c, rise, bend) = spline.at(&x, time_s);
            assert!(
                (temp_c - curve.temp_c(time_s)).abs() < 1e-10,
                "{time_s}: {temp_c}"
            );
            assert!(
                (rise - curve.rise_c_per_s(time_s)).abs() < 1e-12,
                "{time_s}: {rise}"
            );
            assert!(
                (bend - curve.bend_c_per_s2(time_s)).abs() < 1e-12,
                "{time_s}: {bend}"
            );
        }
        let third: f64 = spline
            .third(2)
            .iter()
            .map(|&(index, value)| value * x[index])
            .sum();
        let found = (curve.bend_c_per_s2(150.0) - curve.bend_c_per_s2(100.0)) / 50.0;
        assert!((third - found).abs() < 1e-14, "{third} {found}");
    }
}
