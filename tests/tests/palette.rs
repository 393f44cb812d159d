//! Contrast of the palette (WCAG 2.2, success criteria 1.4.3, 1.4.6 and 1.4.11) and difference of lines that share a lane
//! (CIEDE2000, Sharma et al. 2005) as seen with normal and with three kinds of colour-blind vision (Machado et al. 2009).
//!
//! CIEDE2000 and sRGB come from the `palette` crate; they, the contrast and the simulation are themselves checked against
//! `reference/12_colour`. The demand of 15 for lines in one lane is the design's own; no published threshold is known to us.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "tests may stop at the first surprise; the names say what is checked"
)]

use std::path::Path;

use chaffinch::desk::theme::{Palette, Step};
use eframe::egui::{Color32, Theme};
use palette::{FromColor, Lab, LinSrgb, Srgb, color_difference::Ciede2000, white_point::D65};

type Named = (&'static str, Color32);
type Matrix = [[f64; 3]; 3];

/// Least contrast of a line with its ground: WCAG 2.2, 1.4.11.
const LINE: f64 = 3.0;
/// Least contrast of text: WCAG 2.2, 1.4.3 (level AA).
const TEXT: f64 = 4.5;
/// Least contrast of body text: WCAG 2.2, 1.4.6 (level AAA).
const BODY: f64 = 7.0;
/// Least CIEDE2000 between two lines in one lane; this project's own demand.
const APART: f64 = 15.0;

fn rows(file: &str) -> Vec<csv::StringRecord> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("reference/12_colour")
        .join(file);
    let rows: Vec<_> = csv::Reader::from_path(path)
        .unwrap()
        .records()
        .map(Result::unwrap)
        .collect();
    assert!(!rows.is_empty(), "{file} holds cases");
    rows
}

fn number(row: &csv::StringRecord, column: usize) -> f64 {
    row[column].parse().unwrap()
}

fn linear(color: Color32) -> LinSrgb<f64> {
    Srgb::new(color.r(), color.g(), color.b())
        .into_format::<f64>()
        .into_linear()
}

/// WCAG 2.2, "contrast ratio" and "relative luminance": 1 to 21.
fn contrast(a: Color32, b: Color32) -> f64 {
    let [a, b] = [a, b]
        .map(linear)
        .map(|c| 0.2126 * c.red + 0.7152 * c.green + 0.0722 * c.blue);
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

fn seen(color: LinSrgb<f64>, vision: &Matrix) -> LinSrgb<f64> {
    let [r, g, b] = vision.map(|row| {
        (row[0] * color.red + row[1] * color.green + row[2] * color.blue).clamp(0.0, 1.0)
    });
    LinSrgb::new(r, g, b)
}

fn difference(a: LinSrgb<f64>, b: LinSrgb<f64>) -> f64 {
    Lab::<D65, f64>::from_color(a).difference(Lab::from_color(b))
}

/// Normal vision and the three dichromacies (severity 1).
fn visions() -> Vec<(String, Matrix)> {
    let mut all = vec![(
        "normal".to_owned(),
        [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
    )];
    for row in rows("cvd_matrices_machado.csv")
        .iter()
        .filter(|row| number(row, 1) == 1.0)
    {
        if all.last().unwrap().0 != row[0] {
            all.push((row[0].to_owned(), Matrix::default()));
        }
        let line = row[2].parse::<usize>().unwrap() - 1;
        all.last_mut().unwrap().1[line] = [3, 4, 5].map(|column| number(row, column));
    }
    assert_eq!(all.len(), 4);
    all
}

fn themes() -> [(&'static str, &'static Palette); 2] {
    [
        ("light", Palette::of_theme(Theme::Light)),
        ("dark", Palette::of_theme(Theme::Dark)),
    ]
}

fn lane_grounds(p: &Palette) -> Vec<Named> {
    vec![
        ("chart", p.chart),
        ("drying", p.drying),
        ("browning", p.browning),
        ("development", p.development),
        ("drying as drawn", p.lane_tint(p.drying)),
        ("browning as drawn", p.lane_tint(p.browning)),
        ("development as drawn", p.lane_tint(p.development)),
    ]
}

fn bands(p: &Palette) -> Vec<Named> {
    vec![("band_outer", p.band_outer), ("band_inner", p.band_inner)]
}

fn logs(p: &Palette) -> Vec<Named> {
    vec![
        ("log1", p.log1),
        ("log2", p.log2),
        ("log3", p.log3),
        ("log4", p.log4),
    ]
}

fn demand(theme: &str, ink: Named, grounds: &[Named], least: f64) {
    for ground in grounds {
        let found = contrast(ink.1, ground.1);
        assert!(
            found >= least,
            "{theme}: {} on {} is {found:.2}, below {least}",
            ink.0,
            ground.0
        );
    }
}

#[test]
fn ciede2000_agrees_with_sharma_2005() {
    for row in rows("ciede2000_sharma.csv") {
        let [l1, a1, b1, l2, a2, b2, printed] =
            [1, 2, 3, 4, 5, 6, 7].map(|column| number(&row, column));
        let found = Lab::<D65, f64>::new(l1, a1, b1).difference(Lab::new(l2, a2, b2));
        assert!(
            (found - printed).abs() < 6e-5,
            "pair {}: {found} against {printed}",
            &row[0]
        );
    }
}

#[test]
fn contrast_agrees_with_an_independent_implementation() {
    for row in rows("wcag_contrast.csv") {
        let color = |first: usize| {
            let [r, g, b] = [0, 1, 2].map(|offset| row[first + offset].parse::<u8>().unwrap());
            Color32::from_rgb(r, g, b)
        };
        let (found, expected) = (contrast(color(0), color(3)), number(&row, 8));
        assert!(
            (found - expected).abs() < 1e-6 * expected,
            "{row:?}: {found}"
        );
    }
}

#[test]
fn simulated_vision_agrees_with_colour_science() {
    let visions = visions();
    for row in rows("cvd_simulated.csv")
        .iter()
        .filter(|row| number(row, 1) == 1.0)
    {
        let (_, matrix) = visions.iter().find(|(kind, _)| *kind == row[0]).unwrap();
        let [r, g, b] = [2, 3, 4].map(|column| row[column].parse::<u8>().unwrap());
        let found: Srgb<f64> = Srgb::from_linear(seen(linear(Color32::from_rgb(r, g, b)), matrix));
        for (value, column) in [found.red, found.green, found.blue].into_iter().zip(5..8) {
            assert!(
                (value - number(row, column)).abs() < 1e-3,
                "{row:?}: {value} in column {column}"
            );
        }
    }
}

#[test]
fn lines_stand_out_from_every_ground_they_cross() {
    for (theme, p) in themes() {
        let everywhere = [lane_grounds(p), bands(p)].concat();
        let mut lines = logs(p);
        lines.extend([
            ("setpoint", p.setpoint),
            ("forecast", p.forecast),
            ("rate", p.rate),
            ("mark", p.mark),
            ("note", p.note),
            ("caution", p.caution),
            ("stop", p.stop),
            ("accent", p.accent),
        ]);
        for line in lines {
            demand(theme, line, &everywhere, LINE);
        }
        // The effort lane has no forecast spread.
        demand(theme, ("heater", p.heater), &lane_grounds(p), LINE);
        demand(theme, ("air", p.air), &lane_grounds(p), LINE);
    }
}

#[test]
fn translucent_strokes_stand_out_as_drawn() {
    for (theme, p) in themes() {
        for (name, ink, grounds) in [
            (
                "spread edge",
                p.spread_edge(),
                [lane_grounds(p), bands(p)[..1].to_vec()].concat(),
            ),
            ("phase boundary", p.boundary_line(), lane_grounds(p)),
            ("finish leader", p.leader_line(), lane_grounds(p)),
        ] {
            for ground in grounds {
                demand(theme, (name, ground.1.blend(ink)), &[ground], LINE);
            }
        }
    }
}

#[test]
fn text_is_readable_on_every_surface() {
    for (theme, p) in themes() {
        let surfaces = [("panel", p.panel), ("raised", p.raised)];
        let strips = [
            ("drying_strip", p.drying_strip),
            ("browning_strip", p.browning_strip),
            ("development_strip", p.development_strip),
        ];
        let field = [("field", p.field)];
        let grounds = [&surfaces[..], &lane_grounds(p)].concat();
        let desk = [("desk", p.desk)];
        demand(
            theme,
            ("text", p.text),
            &[&grounds[..], &strips, &field, &desk].concat(),
            BODY,
        );
        demand(
            theme,
            ("text2", p.text2),
            &[&grounds[..], &field].concat(),
            BODY,
        );
        demand(theme, ("text2", p.text2), &strips, TEXT);
        demand(theme, ("text3", p.text3), &grounds, TEXT);
        for heading in [
            ("note_text", p.note_text),
            ("caution_text", p.caution_text),
            ("stop_text", p.stop_text),
            ("forecast", p.forecast),
            ("accent", p.accent),
        ] {
            demand(theme, heading, &surfaces, TEXT);
        }
        demand(
            theme,
            ("on_accent", p.on_accent),
            &[("accent", p.accent)],
            TEXT,
        );
        demand(theme, ("on_chip", p.on_chip), &[("chip", p.chip)], BODY);
        demand(
            theme,
            ("text under the pointer", p.text),
            &[("hovered", p.hovered(p.raised))],
            BODY,
        );
        demand(
            theme,
            ("text on a pressed button", p.text),
            &[("pressed", p.pressed(p.raised))],
            BODY,
        );
    }
}

#[test]
fn controls_and_focus_are_visible() {
    for (theme, p) in themes() {
        let surfaces = [("panel", p.panel), ("raised", p.raised), ("field", p.field)];
        demand(theme, ("control", p.control), &surfaces, LINE);
        demand(
            theme,
            ("accent", p.accent),
            &[("desk", p.desk), ("panel", p.panel), ("raised", p.raised)],
            LINE,
        );
        demand(
            theme,
            ("dot of a selected handle", p.select_dot()),
            &[("select", p.select)],
            LINE,
        );
    }
}

#[test]
fn lines_that_share_a_lane_differ_in_every_vision() {
    for (theme, p) in themes() {
        let lead = |names: &[Named]| names.to_vec();
        let lanes = [
            (
                "temperature",
                [
                    lead(&[
                        ("setpoint", p.setpoint),
                        ("forecast", p.forecast),
                        ("mark", p.mark),
                    ]),
                    logs(p),
                ]
                .concat(),
            ),
            (
                "rate of rise",
                [
                    lead(&[("rate", p.rate), ("forecast", p.forecast), ("mark", p.mark)]),
                    logs(p),
                ]
                .concat(),
            ),
            (
                "effort",
                [
                    lead(&[("heater", p.heater), ("air", p.air), ("mark", p.mark)]),
                    logs(p),
                ]
                .concat(),
            ),
            (
                "findings rail",
                lead(&[
                    ("setpoint", p.setpoint),
                    ("forecast", p.forecast),
                    ("mark", p.mark),
                    ("note", p.note),
                    ("caution", p.caution),
                    ("stop", p.stop),
                ]),
            ),
        ];
        for (vision, matrix) in visions() {
            for (lane, lines) in &lanes {
                let pairs = lines
                    .iter()
                    .enumerate()
                    .flat_map(|(index, one)| lines[..index].iter().map(move |other| (one, other)));
                for ((one, a), (other, b)) in pairs {
                    let found = difference(seen(linear(*a), &matrix), seen(linear(*b), &matrix));
                    assert!(
                        found >= APART,
                        "{theme}, {lane}, {vision}: {one} and {other} differ by {found:.1}"
                    );
                }
            }
        }
    }
}

#[test]
fn nothing_is_set_smaller_than_eleven_points() {
    assert!(Step::ALL.iter().all(|step| step.font().size >= 11.0));
}
