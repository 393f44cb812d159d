//! The band round a carried curve: where it could lie, as far as it hangs on numbers that nobody measured.

use super::{CarryOver, Shift};
use chaffinch_curve::{ControlPoint, SetpointCurve};

/// Edges of the band, second by second.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct CarryBand {
    /// Lower edge, in °C, at 0, 1, 2, … s up to the curve's end.
    pub lowest_c: Vec<f64>,
    /// Upper edge, in °C; as many.
    pub highest_c: Vec<f64>,
}

impl CarryBand {
    /// The widest half of the band, in K.
    pub fn half_width_k(&self) -> f64 {
        let pairs = self.lowest_c.iter().zip(&self.highest_c);
        pairs.fold(0.0, |widest, (lowest_c, highest_c)| {
            (0.5 * (highest_c - lowest_c)).max(widest)
        })
    }
}

impl CarryOver {
    /// The band round the new curve: 95 of 100, if the guesses are independent and the curve follows them in proportion; as far as the
    /// carry-over was applied, so that at 0 % it has no width.
    ///
    /// Half widths between two points are reckoned in proportion to time. A half width in time counts as the temperatures that the
    /// curve has within it, earlier and later. Nothing where no number is guessed, or physics is switched off.
    pub fn band_c(&self) -> Option<CarryBand> {
        let halves = self.band();
        let is_wide = |half: &Shift| 0.0 < half.temp_k || 0.0 < half.time_s;
        if !halves.iter().any(is_wide) {
            return None;
        }
        Some(around(&self.plan.curve, &halves, self.percent / 100.0))
    }
}

/// The band round `curve` of `share` of the half widths at its points.
fn around(curve: &SetpointCurve, halves: &[Shift], share: f64) -> CarryBand {
    let end_s = curve.end_s();
    let last = end_s.floor().max(0.0) as usize;
    let mut band = CarryBand::default();
    for second in 0..=last {
        let time_s = second as f64;
        let half = between_points(curve.points(), halves, time_s);
        let (temp_k, within_s) = (share * half.temp_k, share * half.time_s);
        let from_s = (time_s - within_s).max(0.0);
        let to_s = (time_s + within_s).min(end_s);
        let [lowest_c, highest_c] = extent_c(curve, from_s, time_s, to_s);
        band.lowest_c.push(lowest_c - temp_k);
        band.highest_c.push(highest_c + temp_k);
    }
    band
}

/// Lowest and highest temperature, in °C, from `from_s` to `to_s`, looked at each second and at both ends.
fn extent_c(curve: &SetpointCurve, from_s: f64, at_s: f64, to_s: f64) -> [f64; 2] {
    let here_c = curve.temp_c(at_s);
    let mut extent = [here_c, here_c];
    let mut look = |time_s: f64| {
        let temp_c = curve.temp_c(time_s);
        extent = [extent[0].min(temp_c), extent[1].max(temp_c)];
    };
    let mut time_s = from_s;
    while time_s < to_s {
        look(time_s);
        time_s += 1.0;
    }
    look(to_s);
    extent
}

/// The half widths at a moment; before the first and after the last point they stay.
fn between_points(points: &[ControlPoint], halves: &[Shift], time_s: f64) -> Shift {
    let after = points.partition_point(|point| point.time_s <= time_s);
    let at = |index: usize| halves.get(index).copied().unwrap_or_default();
    if after == 0 {
        return at(0);
    }
    let before = after - 1;
    if points.len() <= after {
        return at(before);
    }
    let (one, other) = (at(before), at(after));
    let span_s = points[after].time_s - points[before].time_s;
    let share = (time_s - points[before].time_s) / span_s;
    let mixed = |a: f64, b: f64| a + share * (b - a);
    Shift {
        time_s: mixed(one.time_s, other.time_s),
        temp_k: mixed(one.temp_k, other.temp_k),
        rise_c_per_s: 0.0,
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]
    use super::*;
    use chaffinch_curve::{PointId, Segment, Shape};

    /// Straight from 100 °C to 160 °C in 60 s, then flat until 100 s.
    fn curve() -> SetpointCurve {
        let places = [(0.0, 100.0), (60.0, 160.0), (100.0, 160.0)];
        let points = places.iter().zip(1..).map(|(&(time_s, temp_c), id)| {
            let mut point = ControlPoint::new(PointId(id), time_s, temp_c);
            point.segment = Segment::Straight;
            point
        });
        SetpointCurve::new(Shape::Monotone, points.collect()).unwrap()
    }

    fn half(time_s: f64, temp_k: f64) -> Shift {
        Shift {
            time_s,
            temp_k,
            rise_c_per_s: 0.0,
        }
    }

    #[test]
    fn half_widths_in_temperature_are_added_and_lie_between_those_of_the_points() {
        let halves = [half(0.0, 0.0), half(0.0, 6.0), half(0.0, 2.0)];
        let band = around(&curve(), &halves, 1.0);
        assert_eq!(band.lowest_c.len(), 101, "one a second");
        // By hand: at 30 s 130 °C ± 3 K, at 60 s 160 °C ± 6 K, at 80 s 160 °C ± 4 K.
        for (second, temp_c, half_k) in [(30, 130.0, 3.0), (60, 160.0, 6.0), (80, 160.0, 4.0)] {
            let (low, high) = (band.lowest_c[second], band.highest_c[second]);
            assert!((low - (temp_c - half_k)).abs() < 1e-9, "{second} s: {low}");
            assert!(
                (high - (temp_c + half_k)).abs() < 1e-9,
                "{second} s: {high}"
            );
        }
        assert!((band.half_width_k() - 6.0).abs() < 1e-9, "widest");
        let half_way = around(&curve(), &halves, 0.5);
        assert!((half_way.half_width_k() - 3.0).abs() < 1e-9, "half way");
        assert!(
            around(&curve(), &halves, 0.0).half_width_k() < 1e-12,
            "none"
        );
    }

    #[test]
    fn half_widths_in_time_become_the_temperatures_within_them() {
        let halves = [half(0.0, 0.0), half(10.0, 0.0), half(10.0, 0.0)];
        let band = around(&curve(), &halves, 1.0);
        // By hand: at 60 s between 50 s (150 °C) and 70 s (160 °C, flat); at 90 s flat; at 30 s ± 5 s of 1 °C/s.
        assert!((band.lowest_c[60] - 150.0).abs() < 1e-9, "before the knee");
        assert!((band.highest_c[60] - 160.0).abs() < 1e-9, "after the knee");
        assert!(
            (band.highest_c[90] - band.lowest_c[90]).abs() < 1e-9,
            "flat"
        );
        assert!((band.lowest_c[30] - 125.0).abs() < 1e-9, "earlier");
        assert!((band.highest_c[30] - 135.0).abs() < 1e-9, "later");
    }
}
