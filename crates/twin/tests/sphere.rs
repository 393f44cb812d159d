//! Conduction in the shells against the analytic series of a sphere in air. Source and tolerances: `tests/reference/06_sphere`.
#![allow(
    missing_docs,
    clippy::missing_assert_message,
    clippy::unwrap_used,
    reason = "tests"
)]

mod table;

use chaffinch_twin::Shells;
use table::{Table, close};

/// Shell means at each of the sorted Fourier numbers, from 0, under air at `air(fo)`; classical fourth order, finely stepped.
fn march<const N: usize>(biot: f64, air: impl Fn(f64) -> f64, stops: &[f64]) -> Vec<[f64; N]> {
    let shells = Shells::<N>::new();
    // In units where k, R and the volumetric heat capacity are 1: share · dT/dFo = 6 · conductance · ΔT; air film 3 Bi.
    let film = 3.0 * biot;
    let edge = shells.conductance.map(|c| 6.0 * c);
    let outer = film * edge[N - 1] / (film + edge[N - 1]);
    let rate = |t: &[f64; N], fo: f64| {
        let mut out = [0.0; N];
        let mut inside = 0.0;
        for i in 0..N {
            let outside = if i + 1 == N {
                outer * (air(fo) - t[i])
            } else {
                edge[i] * (t[i + 1] - t[i])
            };
            out[i] = (outside - inside) / shells.mass_share[i];
            inside = outside;
        }
        out
    };
    let moved = |t: &[f64; N], r: &[f64; N], span: f64| std::array::from_fn(|i| t[i] + span * r[i]);
    let (mut t, mut fo) = ([0.0; N], 0.0);
    let mut found = Vec::new();
    for &stop in stops {
        let steps = ((stop - fo) * 40.0 * (N * N) as f64).ceil().max(1.0);
        let h = (stop - fo) / steps;
        for _ in 0..steps as usize {
            let a = rate(&t, fo);
            let b = rate(&moved(&t, &a, h / 2.0), fo + h / 2.0);
            let c = rate(&moved(&t, &b, h / 2.0), fo + h / 2.0);
            let d = rate(&moved(&t, &c, h), fo + h);
            t = std::array::from_fn(|i| t[i] + h / 6.0 * (a[i] + 2.0 * b[i] + 2.0 * c[i] + d[i]));
            fo += h;
        }
        fo = stop;
        found.push(t);
    }
    found
}

/// Centre, mean and surface of the shells in air.
fn points<const N: usize>(t: &[f64; N], biot: f64, air: f64) -> [f64; 3] {
    let shells = Shells::<N>::new();
    let (film, outer) = (3.0 * biot, 6.0 * shells.conductance[N - 1]);
    [
        shells.centre_c(t),
        shells.mean(t),
        (film * air + outer * t[N - 1]) / (film + outer),
    ]
}

const BIOTS: [f64; 7] = [0.05, 0.1, 0.5, 1.0, 2.0, 5.0, 10.0];

/// Greatest error of centre, mean and surface after a step of the air from 0 to 1, from Fo 0.2 on.
fn step_error<const N: usize>(biot: f64) -> f64 {
    let profile = Table::read("06_sphere/theta_profile.csv");
    let means = Table::read("06_sphere/theta_mean.csv");
    let mut expected: Vec<(f64, usize, f64)> = Vec::new();
    for [bi, fo, r, theta] in profile.columns(["Bi", "Fo", "r_over_R", "theta=(T-Tinf)/(Ti-Tinf)"])
    {
        if bi == biot && 0.2 <= fo && r != 0.5 {
            expected.push((fo, if r == 0.0 { 0 } else { 2 }, 1.0 - theta));
        }
    }
    for [bi, fo, theta] in means.columns(["Bi", "Fo", "theta_volume_mean"]) {
        if bi == biot && 0.2 <= fo {
            expected.push((fo, 1, 1.0 - theta));
        }
    }
    assert!(12 <= expected.len());
    expected.sort_by(|a, b| a.0.total_cmp(&b.0));
    let stops: Vec<f64> = expected.iter().map(|e| e.0).collect();
    let found = march::<N>(biot, |_| 1.0, &stops);
    let errors = expected
        .iter()
        .zip(&found)
        .map(|((_, place, e), t)| (points(t, biot, 1.0)[*place] - e).abs());
    errors.fold(0.0, f64::max)
}

#[test]
fn eight_shells_follow_the_series_after_a_step() {
    for biot in BIOTS {
        let error = step_error::<8>(biot);
        let allowed = if biot <= 5.0 { 2e-3 } else { 5e-3 };
        assert!(error < allowed, "Bi {biot}: {error:e}");
    }
}

#[test]
fn shells_converge_with_the_square_of_their_number() {
    for biot in [0.5, 1.0, 2.0, 5.0] {
        let errors = [
            step_error::<4>(biot),
            step_error::<8>(biot),
            step_error::<16>(biot),
            step_error::<32>(biot),
        ];
        // Four shells are too few for the leading term alone: the factor is 2.9 to 8 shells at Bi 2, then near 4.
        assert!(2.5 < errors[0] / errors[1], "Bi {biot}: {errors:?}");
        for pair in errors[1..].windows(2) {
            let factor = pair[0] / pair[1];
            assert!((3.0..6.0).contains(&factor), "Bi {biot}: {errors:?}");
        }
    }
}

#[test]
fn eight_shells_follow_the_series_in_warming_air() {
    let table = Table::read("06_sphere/ramp_ambient.csv");
    for biot in BIOTS {
        let rows = table.columns(["Bi", "Fo", "r_over_R", "(T-Ti)/(b R^2/alpha)"]);
        let rows: Vec<_> = rows
            .filter(|&[bi, fo, r, _]| bi == biot && 0.2 <= fo && r != 0.5)
            .collect();
        let stops: Vec<f64> = rows.iter().map(|row| row[1]).collect();
        for ([_, fo, r, expected], t) in rows.iter().zip(march::<8>(biot, |fo| fo, &stops)) {
            let found = points(&t, biot, *fo)[if *r == 0.0 { 0 } else { 2 }];
            // In units of the air's own rise until then.
            assert!(
                (found - expected).abs() < 2e-3 * fo.max(1.0),
                "Bi {biot} Fo {fo} r {r}: {found} {expected}"
            );
        }
    }
}

#[test]
fn slowest_decay_has_the_handbook_eigenvalue() {
    let table = Table::read("06_sphere/one_term_table.csv");
    let names = ["Bi", "zeta1_printed_from_memory", "C1_printed_from_memory"];
    let mut seen = 0;
    for [biot, zeta, c1] in table.columns(names) {
        if 10.0 < biot {
            continue;
        }
        seen += 1;
        let [one, two] = march::<32>(biot, |_| 1.0, &[1.0, 1.5])[..] else {
            panic!("two stops")
        };
        let [centre_one, centre_two] = [one, two].map(|t| 1.0 - points(&t, biot, 1.0)[0]);
        let found = ((centre_one / centre_two).ln() / 0.5).sqrt();
        close(found, zeta, 1e-3);
        close(centre_one * (found * found).exp(), c1, 2e-3);
    }
    assert_eq!(seen, 9);
}
