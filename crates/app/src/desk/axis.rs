//! Ticks of the axes: which values get a line, and what is written beside them.
//!
//! Time has its own ladder of steps, because 2:30 is round to a person and 250 s is not.
//! Temperatures, rates and shares step by 1, 2 or 5 times a power of ten, in the unit that is shown.
//! Pure; the sizes of labels are measured by the caller.

use chaffinch_craft::units::{Celsius, CelsiusPerSecond, TempUnit, format_number, format_time};

use super::window_span::Span;

/// The only steps of a time axis, in s: 1, 2, 5, 10, 15, 30 s, 1, 2, 5, 10 min.
pub const TIME_STEPS_S: [f64; 10] = [1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0];

/// The least clear space between two labels of the time axis, in px.
pub const LABEL_GAP_PX: f32 = 4.0;

/// More lines than any screen can show; a span that would need more gets none.
const MOST_TICKS: f64 = 4_000.0;

/// A line across a lane, with or without a label.
#[derive(Clone, Debug, PartialEq)]
pub struct Tick {
    /// Where, in the document's unit (s, °C, °C/s or %).
    pub at: f64,
    /// What is written there, without a unit: the axis names it once.
    pub label: Option<String>,
}

/// Ticks of a time axis `width_px` wide whose widest label takes `label_px`, rising; empty for an empty axis.
///
/// The step is the smallest of [`TIME_STEPS_S`] at which labels keep [`LABEL_GAP_PX`].
/// Where even 10 min is too narrow the lines stay at 10 min and only every second, third... has a label.
pub fn time_ticks(span_s: Span, width_px: f32, label_px: f32) -> Vec<Tick> {
    let Some(px_per_s) = scale(span_s, width_px) else {
        return Vec::new();
    };
    let needed_s = f64::from(label_px.max(0.0) + LABEL_GAP_PX) / px_per_s;
    let longest_s = TIME_STEPS_S[TIME_STEPS_S.len() - 1];
    let step_s = TIME_STEPS_S
        .into_iter()
        .find(|&step_s| needed_s <= step_s)
        .unwrap_or(longest_s);
    let lines_per_label = (needed_s / step_s).ceil().max(1.0);
    multiples(span_s, step_s)
        .map(|count| Tick {
            at: count * step_s,
            label: (count % lines_per_label == 0.0).then(|| format_time(count * step_s)),
        })
        .collect()
}

/// Ticks of a temperature axis, at least `gap_px` apart; `at` in °C, round in `unit`.
pub fn temp_ticks(span_c: Span, height_px: f32, gap_px: f32, unit: TempUnit) -> Vec<Tick> {
    let shown = |temp_c| Celsius(temp_c).shown(unit);
    decimal_ticks(span_c, height_px, gap_px, shown, |number| {
        Celsius::from_shown(number, unit).0
    })
}

/// Ticks of an axis of rates of rise, at least `gap_px` apart; `at` in °C/s, round in `unit` per minute.
pub fn rise_ticks(span_c_per_s: Span, height_px: f32, gap_px: f32, unit: TempUnit) -> Vec<Tick> {
    let shown = |rise_c_per_s| CelsiusPerSecond(rise_c_per_s).shown_per_min(unit);
    let stored = |number| CelsiusPerSecond::from_shown_per_min(number, unit).0;
    decimal_ticks(span_c_per_s, height_px, gap_px, shown, stored)
}

/// Ticks of an axis of per cent, at least `gap_px` apart.
pub fn percent_ticks(span_percent: Span, height_px: f32, gap_px: f32) -> Vec<Tick> {
    decimal_ticks(
        span_percent,
        height_px,
        gap_px,
        |percent| percent,
        |percent| percent,
    )
}

fn decimal_ticks(
    span: Span,
    height_px: f32,
    gap_px: f32,
    shown: impl Fn(f64) -> f64,
    stored: impl Fn(f64) -> f64,
) -> Vec<Tick> {
    let span = Span {
        from: shown(span.from),
        to: shown(span.to),
    };
    let Some(px_per_unit) = scale(span, height_px) else {
        return Vec::new();
    };
    let Some((step, decimals)) = decimal_step(f64::from(gap_px.max(1.0)) / px_per_unit) else {
        return Vec::new();
    };
    multiples(span, step)
        .map(|count| Tick {
            at: stored(count * step),
            label: Some(format_number(count * step, decimals)),
        })
        .collect()
}

/// The smallest 1, 2 or 5 times a power of ten that is at least `least`, and the decimals that write its multiples.
fn decimal_step(least: f64) -> Option<(f64, usize)> {
    const TOLERANCE: f64 = 1e-9;
    let power = least.log10().floor() as i32;
    // Ten is the next decade's one, and has one decimal less.
    [(1.0, power), (2.0, power), (5.0, power), (1.0, power + 1)]
        .into_iter()
        .map(|(digit, power)| (digit * 10_f64.powi(power), (-power).max(0) as usize))
        .find(|(step, _)| least <= step * (1.0 + TOLERANCE))
}

/// Pixels per unit, if there is anything to draw.
fn scale(span: Span, length_px: f32) -> Option<f64> {
    let px_per_unit = f64::from(length_px) / span.width();
    (px_per_unit.is_finite() && px_per_unit > 0.0).then_some(px_per_unit)
}

/// How often `step` goes into each of its multiples within the span, rising.
fn multiples(span: Span, step: f64) -> impl Iterator<Item = f64> {
    let (first, last) = ((span.from / step).ceil(), (span.to / step).floor());
    let count = last - first + 1.0;
    let count = if (0.0..=MOST_TICKS).contains(&count) {
        count as u32
    } else {
        0
    };
    (0..count).map(move |index| first + f64::from(index))
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        missing_docs,
        clippy::missing_assert_message,
        reason = "tests"
    )]
    use super::*;

    fn span(from: f64, to: f64) -> Span {
        Span { from, to }
    }

    fn labels(ticks: &[Tick]) -> Vec<&str> {
        ticks
            .iter()
            .filter_map(|tick| tick.label.as_deref())
            .collect()
    }

    #[test]
    fn labels_never_overlap_and_steps_are_on_the_ladder_from_320_to_3840_px() {
        // Target A1 of the design's feature table. Spans are all that the window's limits allow.
        for width_px in (320..=3840).step_by(16) {
            for span_s in [10.0, 17.0, 45.0, 60.0, 300.0, 555.0, 720.0, 1800.0, 3720.0] {
                for (from_s, label_px) in [(-60.0, 24.0), (0.0, 38.0), (13.7, 60.0), (0.0, 60.0)] {
                    check_ticks(width_px, span(from_s, from_s + span_s), label_px);
                }
            }
        }
    }

    fn check_ticks(width_px: u32, span_s: Span, label_px: f32) {
        let case = format!("{width_px} px, {span_s:?}, label {label_px} px");
        let ticks = time_ticks(span_s, width_px as f32, label_px);
        let px_per_s = f64::from(width_px) / span_s.width();
        let labelled: Vec<_> = ticks.iter().filter(|tick| tick.label.is_some()).collect();
        for pair in labelled.windows(2) {
            let apart_px = (pair[1].at - pair[0].at) * px_per_s;
            assert!(apart_px >= f64::from(label_px) + 3.99, "{case}: {apart_px}");
        }
        for pair in ticks.windows(2) {
            assert!(TIME_STEPS_S.contains(&(pair[1].at - pair[0].at)), "{case}");
        }
        assert!(
            !labelled.is_empty() || span_s.width() < 60.0 || width_px < 640,
            "{case}"
        );
    }

    #[test]
    fn time_ticks_are_round_minutes_and_read_as_a_clock() {
        assert_eq!(
            labels(&time_ticks(span(0.0, 600.0), 640.0, 36.0)),
            [
                "0:00", "1:00", "2:00", "3:00", "4:00", "5:00", "6:00", "7:00", "8:00", "9:00",
                "10:00"
            ]
        );
        assert_eq!(
            labels(&time_ticks(span(-40.0, 20.0), 320.0, 36.0)),
            ["−0:40", "−0:30", "−0:20", "−0:10", "0:00", "0:10", "0:20"]
        );
        assert_eq!(
            labels(&time_ticks(span(3500.0, 3700.0), 200.0, 48.0)),
            ["59:00", "1:00:00", "1:01:00"]
        );
    }

    #[test]
    fn lines_stay_at_ten_minutes_where_their_labels_no_longer_fit() {
        let ticks = time_ticks(span(0.0, 3600.0), 160.0, 40.0);
        assert_eq!(ticks.len(), 7);
        assert_eq!(labels(&ticks), ["0:00", "20:00", "40:00", "1:00:00"]);
    }

    #[test]
    fn temperature_ticks_are_round_in_the_shown_unit() {
        let ticks = temp_ticks(span(80.0, 240.0), 320.0, 32.0, TempUnit::Celsius);
        assert_eq!(
            labels(&ticks),
            ["80", "100", "120", "140", "160", "180", "200", "220", "240"]
        );
        let ticks = temp_ticks(span(80.0, 240.0), 320.0, 32.0, TempUnit::Fahrenheit);
        assert_eq!(labels(&ticks), ["200", "250", "300", "350", "400", "450"]);
        // 200 °F = 93.333... °C by the definition of the scale.
        assert!((ticks[0].at - 280.0 / 3.0).abs() < 1e-8);
    }

    #[test]
    fn rise_and_percent_ticks_have_the_decimals_of_their_step() {
        let ticks = rise_ticks(
            span(-0.1 / 60.0, 0.5 / 60.0),
            120.0,
            19.0,
            TempUnit::Celsius,
        );
        assert_eq!(
            labels(&ticks),
            ["−0.1", "0.0", "0.1", "0.2", "0.3", "0.4", "0.5"]
        );
        let ticks = rise_ticks(span(0.0, 0.5), 150.0, 30.0, TempUnit::Celsius);
        assert_eq!(labels(&ticks), ["0", "10", "20", "30"]);
        assert_eq!(
            labels(&percent_ticks(span(0.0, 100.0), 100.0, 24.0)),
            ["0", "50", "100"]
        );
    }

    #[test]
    fn an_empty_or_impossible_axis_has_no_ticks() {
        assert!(time_ticks(span(0.0, 0.0), 640.0, 40.0).is_empty());
        assert!(time_ticks(span(10.0, 0.0), 640.0, 40.0).is_empty());
        assert!(time_ticks(span(0.0, f64::NAN), 640.0, 40.0).is_empty());
        assert!(time_ticks(span(0.0, 600.0), 0.0, 40.0).is_empty());
        assert!(percent_ticks(span(0.0, f64::INFINITY), 100.0, 24.0).is_empty());
    }
}
