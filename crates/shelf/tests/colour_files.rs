//! Readings of roast colour in a notebook: they come back as they went out, and a bad file is refused with what was found and where.
#![allow(
    clippy::unwrap_used,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

use chaffinch_craft::{
    CalendarDay, ColourReading, ColourReadings, ColourSample, Lab, MAX_READINGS, RoastColour,
};
use chaffinch_shelf::{COLOURS_FILE, ShelfError, TextError, read_colours, save_colours};
use proptest::{prelude::*, sample::select};
use std::{fs, path::PathBuf};
use tempfile::TempDir;

const TEXT: &str = r##"// Chaffinch colour readings: drop in °C, dry_loss the share of dry matter that was forecast to be gone, colour L*a*b* or a disc of 25 to 95.
colours(
  version: 1,
  readings: [
    (day: "2026-11-26", coffee: r#"Made-up “hill” \ lot"#, finish: "medium", drop_c: 212.0, dry_loss: 0.0625, sample: ground, colour: disc(57.5)),
    (drop_c: 206.0, dry_loss: 0.05, sample: whole_bean, colour: lab(lightness: 24.25, a: 9.0, b: -1.5)),
  ],
)
"##;

fn at(text: &str) -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(COLOURS_FILE);
    fs::write(&path, text).unwrap();
    (folder, path)
}

fn readings() -> Vec<ColourReading> {
    vec![
        ColourReading {
            day: CalendarDay::new(2026, 11, 26),
            coffee: "Made-up “hill” \\ lot".to_owned(),
            finish: "medium".to_owned(),
            drop_c: 212.0,
            dry_loss: 0.0625,
            sample: ColourSample::Ground,
            colour: RoastColour::Disc(57.5),
        },
        ColourReading {
            day: None,
            coffee: String::new(),
            finish: String::new(),
            drop_c: 206.0,
            dry_loss: 0.05,
            sample: ColourSample::WholeBean,
            colour: RoastColour::Lab(Lab {
                lightness: 24.25,
                a: 9.0,
                b: -1.5,
            }),
        },
    ]
}

/// What is said of the text with `from` replaced; the file must stay as it is.
fn said_of(from: &str, to: &str) -> (String, Option<usize>) {
    assert!(TEXT.contains(from), "{from} is not in the text");
    let text = TEXT.replacen(from, to, 1);
    let (_folder, path) = at(&text);
    let error = read_colours(&path).unwrap_err();
    assert_eq!(fs::read_to_string(&path).unwrap(), text, "left alone");
    let ShelfError::Text { source, .. } = error else {
        panic!("{error}");
    };
    (source.to_string(), source.place().map(|place| place.line))
}

#[test]
fn file_is_as_it_is_documented_and_the_same_content_gives_the_same_bytes() {
    let (_folder, path) = at(TEXT);
    let found = read_colours(&path).unwrap();
    assert_eq!(found.all(), readings(), "read");
    let copy = path.with_file_name("copy.ron");
    save_colours(&copy, &found).unwrap();
    assert_eq!(fs::read_to_string(copy).unwrap(), TEXT, "written");
}

#[test]
fn no_readings_are_kept_too() {
    let (_folder, path) = at("");
    save_colours(&path, &ColourReadings::default()).unwrap();
    assert_eq!(
        read_colours(&path).unwrap(),
        ColourReadings::default(),
        "none"
    );
}

#[test]
fn bad_values_are_refused_where_they_stand() {
    for (from, to, expected) in [
        ("disc(57.5)", "disc(20.0)", "disc is 20; expected 25 to 95"),
        (
            "lightness: 24.25",
            "lightness: 101.0",
            "lightness L* is 101; expected 0 to 100",
        ),
        (
            "dry_loss: 0.0625",
            "dry_loss: 0.5",
            "the dry-matter loss is 0.5; expected 0 to 0.25",
        ),
        ("drop_c: 212.0", "drop_c: 999.0", "the drop is at 999 °C"),
        ("2026-11-26", "2026-11-31", "“2026-11-31” is no day"),
        ("ground", "beans", "beans"),
        ("drop_c: 212.0, ", "", "drop_c"),
        ("finish: \"medium\"", "hue: 3", "hue"),
        ("disc(57.5)", "disc(inf)", "disc is inf"),
    ] {
        let (said, line) = said_of(from, to);
        assert!(said.contains(expected), "{to}: {said}");
        let line = line.unwrap();
        assert!((5..=6).contains(&line), "{to}: line {line}, {said}");
        assert!(said.contains("colours file"), "{said}");
    }
}

#[test]
fn other_documents_and_versions_are_called_what_they_are() {
    let newer = said_of("version: 1", "version: 2").0;
    assert!(
        newer.contains("version 2, and this program reads version 1"),
        "{newer}"
    );
    let other = said_of("colours(", "practice(").0;
    assert!(
        other.contains("this is a practice file; expected a colours file"),
        "{other}"
    );
    let (_folder, path) = at(" \n");
    let error = read_colours(&path).unwrap_err();
    let is_empty = matches!(
        &error,
        ShelfError::Text {
            source: TextError::Nothing { .. },
            ..
        }
    );
    assert!(is_empty, "{error}");
}

#[test]
fn one_reading_too_many_is_refused() {
    let one = "    (drop_c: 206.0, dry_loss: 0.05, sample: ground, colour: disc(65.0)),\n";
    let list = |count| format!("colours(version: 1, readings: [\n{}])\n", one.repeat(count));
    let (_folder, path) = at(&list(MAX_READINGS));
    assert_eq!(
        read_colours(&path).unwrap().all().len(),
        MAX_READINGS,
        "all"
    );
    let (_folder, path) = at(&list(MAX_READINGS + 1));
    let said = read_colours(&path).unwrap_err().to_string();
    assert!(said.contains("at most 5000 are kept"), "{said}");
}

fn reading() -> impl Strategy<Value = ColourReading> {
    let colour = prop_oneof![
        (25.0..=95.0_f64).prop_map(RoastColour::Disc),
        (0.0..=100.0_f64, -60.0..=60.0_f64, -60.0..=60.0_f64)
            .prop_map(|(lightness, a, b)| RoastColour::Lab(Lab { lightness, a, b })),
    ];
    (
        prop::option::of((1900..2100_u16, 1..=12_u8, 1..=28_u8)),
        ("[^\\p{Cc}]{0,12}", "[^\\p{Cc}]{0,12}"),
        (0.0..=320.0_f64, 0.0..=0.25_f64),
        select(ColourSample::ALL.to_vec()),
        colour,
    )
        .prop_map(
            |(day, (coffee, finish), (drop_c, dry_loss), sample, colour)| ColourReading {
                day: day.and_then(|(year, month, day)| CalendarDay::new(year, month, day)),
                coffee,
                finish,
                drop_c,
                dry_loss,
                sample,
                colour,
            },
        )
}

proptest! {
    #[test]
    fn readings_come_back_as_they_went_out(readings in prop::collection::vec(reading(), 0..6)) {
        let readings = ColourReadings::new(readings).unwrap();
        let (_folder, path) = at("");
        save_colours(&path, &readings).unwrap();
        prop_assert_eq!(read_colours(&path).unwrap(), readings);
    }

    #[test]
    fn cut_or_damaged_text_never_panics(from in 0..TEXT.len(), length in 0..40_usize, put in "[ -~]{0,3}") {
        let (from, to) = (TEXT.floor_char_boundary(from), TEXT.floor_char_boundary(from + length));
        let text = format!("{}{put}{}", &TEXT[..from], &TEXT[to.max(from)..]);
        let (_folder, path) = at(&text);
        // Either is well; the answer is not the point.
        let _ = read_colours(&path);
    }
}
