//! Sample quantiles, by one stated method: Hyndman and Fan's type 8, median-unbiased whatever the distribution
//! (The American Statistician 50 (1996) 361), the one its authors recommend. Equal to `median_unbiased` of `numpy.quantile`.

/// Values below which each share of `shares` (0 to 1) of `values` lies; `values` is put in a new order.
/// Not-a-number counts as greater than every number; an empty sample gives not-a-number.
pub(crate) fn quantiles<const N: usize>(values: &mut [f64], shares: [f64; N]) -> [f64; N] {
    values.sort_unstable_by(f64::total_cmp);
    shares.map(|share| sorted_quantile(values, share))
}

fn sorted_quantile(sorted: &[f64], share: f64) -> f64 {
    const THIRD: f64 = 1.0 / 3.0;
    let count = sorted.len();
    let Some(last) = count.checked_sub(1) else {
        return f64::NAN;
    };
    // Place counted from 0: h - 1, where h = (n + 1/3) p + 1/3.
    let place = ((count as f64 + THIRD) * share + THIRD - 1.0).clamp(0.0, last as f64);
    let below = place as usize;
    let above = (below + 1).min(last);
    sorted[below] + (place - below as f64) * (sorted[above] - sorted[below])
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::missing_assert_message,
        clippy::unwrap_used,
        reason = "the values say it"
    )]
    use super::*;

    #[test]
    fn quantiles_are_numpys_median_unbiased_ones() {
        // numpy.quantile, NumPy 2.4.6.
        let samples = include_str!("../../../tests/reference/10_stats/samples.csv");
        let mut checked = 0;
        for line in include_str!("../../../tests/reference/10_stats/quantiles.csv").lines() {
            let [sample, "median_unbiased", share, expected] = *line.split(',').collect::<Vec<_>>()
            else {
                continue;
            };
            let mut values: Vec<f64> = samples
                .lines()
                .filter_map(|row| row.strip_prefix(sample)?.strip_prefix(',')?.parse().ok())
                .collect();
            let [found] = quantiles(&mut values, [share.parse().unwrap()]);
            let expected: f64 = expected.parse().unwrap();
            assert!(
                (found - expected).abs() <= 1e-12 * expected.abs(),
                "{line}: {found}"
            );
            checked += 1;
        }
        assert_eq!(checked, 27);
    }

    #[test]
    fn empty_sample_has_no_quantile() {
        assert!(quantiles(&mut [], [0.5])[0].is_nan());
    }
}
