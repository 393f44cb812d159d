//! What holds for every curve.

use chaffinch_curve::SetpointCurve;
use proptest::prelude::*;

use crate::random::{Variety, curve, shape};

/// Integral of `f` over a cubic piece: Gauss's two-point rule, exact up to degree 3 (Abramowitz and Stegun 25.4.30,
/// from memory).
fn gauss(f: impl Fn(f64) -> f64, from: f64, to: f64) -> f64 {
    let (middle, half) = (0.5 * (from + to), 0.5 * (to - from));
    let reach = half / 3.0_f64.sqrt();
    half * (f(middle - reach) + f(middle + reach))
}

fn any_curve(variety: Variety) -> impl Strategy<Value = SetpointCurve> {
    shape().prop_flat_map(move |shape| curve(shape, variety))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn monotone_stays_between_neighbours(
        curve in curve(chaffinch_curve::Shape::Monotone, Variety::Segments),
    ) {
        for pair in curve.points().windows(2) {
            let (low, high) = (pair[0].temp_c.min(pair[1].temp_c), pair[0].temp_c.max(pair[1].temp_c));
            for i in 0..=50 {
                let t = pair[0].time_s + (pair[1].time_s - pair[0].time_s) * f64::from(i) / 50.0;
                let temp_c = curve.temp_c(t);
                prop_assert!(low - 1e-10 <= temp_c && temp_c <= high + 1e-10, "{temp_c} at {t} s");
            }
        }
        prop_assert!(chaffinch_curve::overshoots(&curve, 1e-9).is_empty());
    }

    /// The `splines` crate gives `temp_c`, our own pieces give the samples.
    #[test]
    fn samples_agree_with_the_spline_and_the_exact_rise(curve in any_curve(Variety::Everything), step_s in 0.3..40.0) {
        let until_s = curve.end_s() + 7.0;
        let samples = curve.sample(step_s, until_s);
        prop_assert_eq!(samples.time_s.first(), Some(&0.0));
        prop_assert_eq!(samples.time_s.last(), Some(&until_s));
        prop_assert!(samples.time_s.is_sorted_by(|a, b| a < b && b - a < step_s * 1.000_001));
        let largest = samples.temp_c.iter().fold(1.0_f64, |largest, temp_c| largest.max(temp_c.abs()));
        for (i, &t) in samples.time_s.iter().enumerate() {
            prop_assert!((samples.temp_c[i] - curve.temp_c(t)).abs() <= 1e-12 * largest);
            prop_assert!((samples.rise_c_per_s[i] - curve.rise_c_per_s(t)).abs() <= 1e-12 * largest);
        }
    }

    #[test]
    fn derivatives_agree_with_finite_differences(curve in any_curve(Variety::Everything), part in 0.01..0.99) {
        for pair in curve.points().windows(2) {
            let width = pair[1].time_s - pair[0].time_s;
            let (t, h) = (pair[0].time_s + part * width, 1e-3 * width);
            let rise = (curve.temp_c(t + h) - curve.temp_c(t - h)) / (2.0 * h);
            let bend = (curve.rise_c_per_s(t + h) - curve.rise_c_per_s(t - h)) / (2.0 * h);
            let third = 1e-6 * width * width * (curve.bend_c_per_s2(t + h) - curve.bend_c_per_s2(t)).abs() / h;
            prop_assert!((rise - curve.rise_c_per_s(t)).abs() <= third + 1e-9 / h, "at {t} s");
            prop_assert!((bend - curve.bend_c_per_s2(t)).abs() <= 1e-9 / h / width.min(1.0), "at {t} s");
        }
    }

    #[test]
    fn integrals_give_back_the_curve(curve in any_curve(Variety::Everything), cut in 0.0..1.0) {
        let (mut area, mut temp_c) = (0.0, curve.temp_c(0.0));
        for pair in curve.points().windows(2) {
            let middle = pair[0].time_s + cut * (pair[1].time_s - pair[0].time_s);
            for (from, to) in [(pair[0].time_s, middle), (middle, pair[1].time_s)] {
                area += gauss(|t| curve.temp_c(t), from, to);
                temp_c += gauss(|t| curve.rise_c_per_s(t), from, to);
                prop_assert!((area - curve.area_c_s(0.0, to)).abs() <= 1e-9 * (1.0 + 320.0 * to));
                prop_assert!((temp_c - curve.temp_c(to)).abs() <= 1e-9 * 320.0);
            }
        }
        prop_assert_eq!(curve.area_c_s(3.0, 10.0), -curve.area_c_s(10.0, 3.0));
    }

    #[test]
    fn crossings_are_all_found_and_lie_on_the_level(curve in any_curve(Variety::Everything), level in 1.0..319.0) {
        let starts: Vec<f64> = curve.crossings(level).iter().map(|crossing| crossing.start()).collect();
        prop_assert!(starts.is_sorted());
        for &t in &starts {
            prop_assert!((curve.temp_c(t) - level).abs() <= 1e-8, "{} at {t} s", curve.temp_c(t));
        }
        let samples = curve.sample(curve.end_s() / 500.0, curve.end_s());
        for i in 1..samples.time_s.len() {
            let (before, after) = (samples.temp_c[i - 1] - level, samples.temp_c[i] - level);
            if before.abs().min(after.abs()) > 1e-6 && before * after < 0.0 {
                let between = samples.time_s[i - 1]..=samples.time_s[i];
                prop_assert!(starts.iter().any(|t| between.contains(t)), "none in {between:?}");
            }
        }
        let reach = samples.temp_c.iter().position(|&temp_c| temp_c >= level);
        if let Some(i) = reach {
            prop_assert!(curve.first_reach(level).unwrap() <= samples.time_s[i] + 1e-9);
        }
    }
}
