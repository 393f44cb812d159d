//! Colour differences, the calibration with readings of one's own, and what is said while there are too few.
#![allow(
    clippy::unwrap_used,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

use chaffinch_craft::{
    BroadColour, ColourCalibration, ColourForecast, ColourReading, ColourReadings, ColourSample,
    Lab, LevelWord, NotCalibrated, Outlook, Plan, ReadingError, RoastColour,
};
use proptest::prelude::*;

fn reading(dry_loss: f64, colour: RoastColour) -> ColourReading {
    ColourReading {
        day: "2026-11-26".parse().ok(),
        coffee: "Made-up lot".to_owned(),
        finish: "medium".to_owned(),
        drop_c: 212.0,
        dry_loss,
        sample: ColourSample::Ground,
        colour,
    }
}

fn calibration(readings: Vec<ColourReading>) -> ColourCalibration {
    ColourCalibration::of(&ColourReadings::new(readings).unwrap())
}

/// Readings on a line that falls by 1 disc for each tenth of a point, with some scatter.
fn discs(losses: &[f64]) -> Vec<ColourReading> {
    let scatter = [0.4, -0.3, 0.2, -0.5, 0.1, 0.3];
    let disc = |(loss, scatter): (&f64, &f64)| {
        reading(
            *loss,
            RoastColour::Disc(60.0 - 1_000.0 * (loss - 0.06) + scatter),
        )
    };
    losses
        .iter()
        .zip(scatter.iter().cycle())
        .map(disc)
        .collect()
}

/// Fields of a line of a reference file as numbers, without its first field.
fn numbers(line: &str) -> Option<Vec<f64>> {
    line.split(',')
        .skip(1)
        .map(|field| field.parse().ok())
        .collect()
}

#[test]
fn colour_difference_is_that_of_the_standard() {
    let file = include_str!("../../../tests/reference/12_colour/delta_e_ab.csv");
    let mut checked = 0;
    for line in file.lines().skip(1) {
        let row = numbers(line).unwrap();
        let lab = |at: usize| Lab {
            lightness: row[at],
            a: row[at + 1],
            b: row[at + 2],
        };
        let found = lab(0).difference(&lab(3));
        assert!((found - row[6]).abs() < 1e-12, "{line}: {found}");
        checked += 1;
    }
    assert_eq!(checked, 17, "pairs");
}

#[test]
fn scales_are_never_turned_into_one_another() {
    let lab = RoastColour::Lab(Lab {
        lightness: 24.0,
        a: 9.0,
        b: 12.0,
    });
    let disc = RoastColour::Disc(55.0);
    assert_eq!(lab.difference(&disc), None, "between two scales");
    // Ten readings of one scale calibrate nothing of the other.
    let found = calibration(discs(&[
        0.04, 0.05, 0.06, 0.07, 0.08, 0.045, 0.055, 0.065, 0.075, 0.08,
    ]));
    assert_eq!(found.lines().len(), 1, "one line");
    assert_eq!(found.miss(&reading(0.06, lab)), None, "of the other scale");
    assert!(found.miss(&reading(0.06, disc)).is_some(), "of its own");
}

#[test]
fn forecast_is_the_line_and_prediction_interval_of_the_reference() {
    let readings = include_str!("../../../tests/reference/10_stats/prediction_readings.csv");
    let expected = include_str!("../../../tests/reference/10_stats/prediction_interval.csv");
    let mut checked = 0;
    for set in ["five", "nine", "thirty"] {
        let own = |line: &&str| line.split(',').next() == Some(set);
        let readings = readings.lines().filter(own).map(|line| {
            let [dry_loss, lightness] = numbers(line).unwrap()[..] else {
                panic!("{line}");
            };
            let (a, b) = (9.0, 12.0);
            reading(dry_loss, RoastColour::Lab(Lab { lightness, a, b }))
        });
        let calibration = calibration(readings.collect());
        for line in expected.lines().filter(own) {
            let [dry_loss, mean, lower, upper] = numbers(line).unwrap()[..] else {
                panic!("{line}");
            };
            let ColourForecast::Calibrated(found) = calibration.forecast(0.14, dry_loss) else {
                panic!("{line}: no number");
            };
            let middle = found.colour.lightness();
            assert!((middle - mean).abs() < 1e-8, "{line}: {middle}");
            let ends = [middle - found.plus_minus, middle + found.plus_minus];
            for (found, expected) in ends.into_iter().zip([lower, upper]) {
                assert!((found - expected).abs() < 1e-8, "{line}: {found}");
            }
            checked += 1;
        }
    }
    assert_eq!(checked, 12, "three sets at four losses");
}

#[test]
fn too_few_readings_give_a_broad_range_and_say_how_many_are_missing() {
    for (count, missing) in [(0, 5), (1, 4), (4, 1)] {
        let losses = [0.04, 0.05, 0.06, 0.07];
        let found = calibration(discs(&losses[..count])).forecast(0.137, 0.06);
        let expected = ColourForecast::Broad(
            BroadColour {
                lightest: LevelWord::Light,
                darkest: LevelWord::Medium,
            },
            NotCalibrated::TooFew { missing },
        );
        assert_eq!(found, expected, "{count} readings");
        assert_eq!(found.words(), "light … medium", "words");
        assert!(
            found.basis().contains("no published source"),
            "{}",
            found.basis()
        );
    }
    // Three ground and two of whole beans are not five.
    let mut mixed = discs(&[0.04, 0.05, 0.06, 0.07, 0.08]);
    mixed[0].sample = ColourSample::WholeBean;
    mixed[1].sample = ColourSample::WholeBean;
    let found = calibration(mixed).forecast(0.137, 0.06);
    let why = NotCalibrated::TooFew { missing: 2 };
    assert!(
        matches!(found, ColourForecast::Broad(_, it) if it == why),
        "{found:?}"
    );
}

#[test]
fn outside_of_the_readings_only_a_broad_range_is_told() {
    let calibration = calibration(discs(&[0.05, 0.055, 0.06, 0.065, 0.07]));
    let inside = calibration.forecast(0.14, 0.07);
    assert!(
        matches!(inside, ColourForecast::Calibrated(_)),
        "{inside:?}"
    );
    for dry_loss in [0.0499, 0.0701] {
        let found = calibration.forecast(0.14, dry_loss);
        let ColourForecast::Broad(_, NotCalibrated::Outside { range, .. }) = found else {
            panic!("{dry_loss}: {found:?}");
        };
        assert_eq!(range, (0.05, 0.07), "range of the readings");
    }
}

#[test]
fn readings_that_tell_no_way_make_no_line() {
    let narrow = calibration(discs(&[0.06, 0.061, 0.062, 0.063, 0.064])).forecast(0.14, 0.062);
    assert!(
        matches!(
            narrow,
            ColourForecast::Broad(_, NotCalibrated::TooNarrow { .. })
        ),
        "{narrow:?}"
    );
    let mut upside_down = discs(&[0.04, 0.05, 0.06, 0.07, 0.08]);
    for reading in &mut upside_down {
        reading.dry_loss = 0.12 - reading.dry_loss;
    }
    let lighter = calibration(upside_down).forecast(0.14, 0.06);
    assert!(
        matches!(lighter, ColourForecast::Broad(_, NotCalibrated::NotDarker)),
        "{lighter:?}"
    );
}

#[test]
fn bad_readings_are_refused_with_what_and_how_much() {
    let refused = |change: fn(&mut ColourReading)| {
        let mut reading = reading(0.06, RoastColour::Disc(55.0));
        change(&mut reading);
        ColourReadings::default()
            .with(reading)
            .unwrap_err()
            .to_string()
    };
    let said = refused(|it| it.colour = RoastColour::Disc(96.0));
    assert_eq!(said, "disc is 96; expected 25 to 95", "disc");
    let said = refused(|it| {
        let (lightness, a, b) = (f64::NAN, 0.0, 0.0);
        it.colour = RoastColour::Lab(Lab { lightness, a, b });
    });
    assert_eq!(
        said, "lightness L* is NaN; expected 0 to 100",
        "not a number"
    );
    let said = refused(|it| it.dry_loss = 0.3);
    assert_eq!(
        said, "the dry-matter loss is 0.3; expected 0 to 0.25",
        "loss"
    );
    let said = refused(|it| it.drop_c = f64::INFINITY);
    assert!(said.contains("the drop is at inf °C"), "{said}");
    let said = refused(|it| it.coffee = "a\nb".to_owned());
    assert!(said.contains("the name of the coffee"), "{said}");
    let many = vec![reading(0.06, RoastColour::Disc(55.0)); 5_001];
    let found = ColourReadings::new(many);
    assert_eq!(
        found,
        Err(ReadingError::TooMany { found: 5_001 }),
        "too many"
    );
}

#[test]
fn reading_of_a_finish_takes_what_was_forecast_for_it() {
    let plan = Plan::fresh();
    let outlook = Outlook::of(&plan);
    let measured = (ColourSample::WholeBean, RoastColour::Disc(65.0));
    let mut taken = 0;
    for forecast in &outlook.finishes {
        let found = ColourReading::at_finish((&plan, &outlook), forecast.id, measured, None);
        let Some(drop) = forecast.dropped() else {
            assert_eq!(found, None, "no drop, no reading");
            continue;
        };
        let found = found.unwrap();
        assert_eq!(found.dry_loss, drop.dry_loss, "loss of the forecast");
        assert_eq!(
            found.drop_c,
            plan.finishes.get(forecast.id).unwrap().temp_c,
            "drop"
        );
        assert_eq!(found.check(), Ok(()), "fit to be kept");
        taken += 1;
    }
    assert!(0 < taken, "no finish of a new plan is forecast");
}

proptest! {
    /// The nearer the readings lie to a line, the narrower the range; and it is never narrower than their own scatter.
    #[test]
    fn range_is_at_least_as_wide_as_the_readings_scatter(
        values in prop::collection::vec((0.03..0.09_f64, -3.0..3.0_f64), 5..40),
    ) {
        let readings = values.iter().map(|(loss, scatter)| {
            reading(*loss, RoastColour::Disc(60.0 - 400.0 * (loss - 0.06) + scatter))
        });
        let readings: Vec<_> = readings.collect();
        let calibration = calibration(readings.clone());
        let mut inside = 0;
        for one in &readings {
            let ColourForecast::Calibrated(found) = calibration.forecast(0.14, one.dry_loss) else {
                // A narrow range or no darkening: nothing is told then.
                return Ok(());
            };
            let miss = calibration.miss(one).unwrap();
            inside += usize::from(miss <= found.plus_minus);
        }
        // By Chebyshev's inequality at least 1 - 1/1.28² of them, had the range 1.28 standard deviations.
        prop_assert!(0.39 * readings.len() as f64 <= inside as f64, "{inside} of {}", readings.len());
    }
}
