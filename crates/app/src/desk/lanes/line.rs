//! The places that a drawn line passes through: equal steps, and every moment at which the line has a corner.
//!
//! Steps alone would cut corners off and miss a control point by up to a step, which is seen once the view is zoomed in.

use chaffinch_craft::{AirShape, AirflowSchedule};
use chaffinch_curve::{Samples, SetpointCurve};
use eframe::egui::Pos2;
use egui_plot::{PlotPoint, PlotPoints};
use std::ops::Range;

use super::frame::LaneFrame;

/// A moment in s and a value in the lane's unit.
pub(super) type Place = (f64, f64);

/// How long before a corner the rise is read a second time, in s, so that a jump is drawn upright.
const BEFORE_CORNER_S: f64 = 1e-6;
/// Nearer than this, two moments are one unless the value jumps between them, in s: two of the above.
const SAME_MOMENT_S: f64 = 2.0 * BEFORE_CORNER_S;
/// A stretch shorter than this, in s, is drawn through places of its own …
const SHORT_STRETCH_S: f64 = 8.0;
/// … at so many equal steps.
const SHORT_STRETCH_PLACES: u32 = 8;
/// Points of a smooth line nearer than this look the same without one of them, in points of the screen.
pub(super) const COLUMN_PX: f32 = 3.0;
/// What a line may miss its points by, in points of the screen: less than can be seen.
const THIN_PX: f32 = 0.1;
/// From the least to the greatest slope.
const ANY_SLOPE: (f32, f32) = (f32::NEG_INFINITY, f32::INFINITY);
/// Nearer than this, two values are one, in °C or °C/s: far less than a pixel in any view.
const SAME_VALUE: f64 = 1e-6;

/// The curve's temperatures, in °C, from `from_s` to `to_s`; `samples` are the curve's own.
pub(super) fn temperature(
    curve: &SetpointCurve,
    samples: &Samples,
    [from_s, to_s]: [f64; 2],
) -> Vec<Place> {
    let corners = curve.points().iter().map(|point| point.time_s);
    let exact = |time_s: f64| (time_s, curve.temp_c(time_s));
    through(samples, &samples.temp_c, corners, exact, [from_s, to_s])
}

/// The curve's rates of rise, in °C/s, from `from_s` to `to_s`; `samples` are the curve's own.
pub(super) fn rise(
    curve: &SetpointCurve,
    samples: &Samples,
    [from_s, to_s]: [f64; 2],
) -> Vec<Place> {
    let points = curve.points().iter();
    let corners = points.flat_map(|point| [point.time_s - BEFORE_CORNER_S, point.time_s]);
    // A short stretch may rise and fall between two samples, so it gets places of its own.
    let short = curve
        .points()
        .windows(2)
        .filter(|pair| pair[1].time_s - pair[0].time_s < SHORT_STRETCH_S)
        .flat_map(|pair| {
            let step_s = (pair[1].time_s - pair[0].time_s) / f64::from(SHORT_STRETCH_PLACES);
            (1..SHORT_STRETCH_PLACES).map(move |index| pair[0].time_s + f64::from(index) * step_s)
        });
    let corners = corners.chain(short);
    let exact = |time_s: f64| (time_s, curve.rise_c_per_s(time_s));
    through(
        samples,
        &samples.rise_c_per_s,
        corners,
        exact,
        [from_s, to_s],
    )
}

fn through(
    samples: &Samples,
    values: &[f64],
    corners: impl Iterator<Item = f64>,
    exact: impl Fn(f64) -> Place,
    [from_s, to_s]: [f64; 2],
) -> Vec<Place> {
    let inside = |time_s: f64| from_s < time_s && time_s < to_s;
    let mut places: Vec<Place> = vec![exact(from_s)];
    let steps = samples.time_s.iter().copied().zip(values.iter().copied());
    places.extend(steps.filter(|&(time_s, _)| inside(time_s)));
    places.extend(corners.filter(|&time_s| inside(time_s)).map(&exact));
    places.push(exact(to_s));
    places.sort_by(|one, other| one.0.total_cmp(&other.0));
    // Two places on one spot have no direction between them, and a line through them is drawn badly.
    places.dedup_by(|next, last| {
        next.0 - last.0 <= SAME_MOMENT_S && (next.1 - last.1).abs() < SAME_VALUE
    });
    places
}

/// The fan's settings, in %, from the start to `end_s`, with upright steps where the schedule has steps.
pub(super) fn airflow(air: &AirflowSchedule, end_s: f64) -> Vec<Place> {
    let mut places: Vec<Place> = Vec::new();
    for point in air.points().iter().filter(|point| point.time_s <= end_s) {
        if air.shape() == AirShape::Steps
            && let Some(&(_, before_percent)) = places.last()
        {
            places.push((point.time_s, before_percent));
        }
        places.push((point.time_s, point.percent));
    }
    places.push((end_s, air.percent(end_s)));
    places
}

/// The places as points of a plot.
pub(super) fn plot_points(places: &[Place]) -> PlotPoints<'static> {
    let point = |&(time_s, value): &Place| PlotPoint::new(time_s, value);
    PlotPoints::Owned(places.iter().map(point).collect())
}

/// Values that stand at 0, 1, 2, … s, as places.
pub(super) fn each_second(values: impl IntoIterator<Item = f64>) -> Vec<Place> {
    let seconds = (0_u32..).map(f64::from);
    seconds.zip(values).collect()
}

/// The seconds of a list with one value a second that a lane shows, and one more at each side.
pub(super) fn shown_seconds(frame: &LaneFrame, len: usize) -> Range<usize> {
    // A float below 0 becomes 0.
    let from = frame.time_s.from.floor() as usize;
    let end = frame.time_s.to.ceil() as usize + 1;
    from.min(len)..end.min(len)
}

/// A path without the points that lie within [`THIN_PX`], up or down, of the straight line between those that stay; the ends stay.
///
/// From each point that stays, only the slopes of lines that pass all points since are kept: one look at each point.
pub(super) fn thinned(path: &[Pos2]) -> Vec<Pos2> {
    let Some(&first) = path.first() else {
        return Vec::new();
    };
    let mut kept = vec![first];
    let (mut anchor, mut last, mut slopes) = (first, first, ANY_SLOPE);
    for &at in &path[1..] {
        let mut per_px = 1.0 / (at.x - anchor.x);
        let mut slope = (at.y - anchor.y) * per_px;
        if last != anchor && !(slopes.0 <= slope && slope <= slopes.1) {
            kept.push(last);
            (anchor, slopes) = (last, ANY_SLOPE);
            per_px = 1.0 / (at.x - anchor.x);
            slope = (at.y - anchor.y) * per_px;
        }
        if anchor.x < at.x {
            let spare = THIN_PX * per_px;
            slopes = (slopes.0.max(slope - spare), slopes.1.min(slope + spare));
        } else {
            // Upright: there is no slope to keep to.
            kept.push(at);
            (anchor, slopes) = (at, ANY_SLOPE);
        }
        last = at;
    }
    if last != anchor {
        kept.push(last);
    }
    kept
}

/// The places on the screen, moved by `shift_s` in time.
pub(super) fn path(places: &[Place], shift_s: f64, frame: &LaneFrame) -> Vec<Pos2> {
    let place = |&(time_s, value): &Place| frame.screen_from(time_s + shift_s, value);
    places.iter().map(place).collect()
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::missing_assert_message,
        missing_docs,
        reason = "tests"
    )]
    use super::super::super::window_span::Span;
    use super::*;
    use chaffinch_craft::{AirId, AirPoint};
    use chaffinch_curve::{ControlPoint, PointId, Segment, Shape};
    use eframe::egui::{Rect, pos2};

    /// 100 °C, straight to 150 °C at 60.4 s, straight to 180 °C at 120 s.
    fn curve() -> SetpointCurve {
        let mut points: Vec<ControlPoint> = [(0.0, 100.0), (60.4, 150.0), (120.0, 180.0)]
            .iter()
            .zip(1..)
            .map(|(&(time_s, temp_c), id)| ControlPoint::new(PointId(id), time_s, temp_c))
            .collect();
        for point in &mut points {
            point.segment = Segment::Straight;
        }
        SetpointCurve::new(Shape::Monotone, points).unwrap()
    }

    #[test]
    fn line_passes_through_control_points_between_the_steps_and_ends_where_it_should() {
        let curve = curve();
        let samples = curve.sample(3.0, curve.end_s());
        let places = temperature(&curve, &samples, [0.0, 100.5]);
        assert!(places.contains(&(60.4, 150.0)), "{places:?}");
        assert_eq!(places.last().unwrap().0, 100.5);
        assert!(places.windows(2).all(|pair| pair[0].0 <= pair[1].0));
    }

    /// Two places on one spot made egui draw the stretch beside them half as wide.
    #[test]
    fn no_two_places_lie_on_one_spot() {
        let curve = curve();
        let samples = curve.sample(0.4, curve.end_s());
        for places in [
            temperature(&curve, &samples, [0.0, 120.0]),
            rise(&curve, &samples, [0.0, 120.0]),
        ] {
            let is_apart = |pair: &[Place]| {
                pair[1].0 - pair[0].0 > SAME_MOMENT_S || (pair[1].1 - pair[0].1).abs() > SAME_VALUE
            };
            assert!(places.windows(2).all(is_apart), "{places:?}");
        }
    }

    #[test]
    fn jump_of_the_rise_at_a_corner_is_upright() {
        let curve = curve();
        let samples = curve.sample(3.0, curve.end_s());
        let places = rise(&curve, &samples, [0.0, 120.0]);
        let corner = places.iter().position(|place| place.0 == 60.4).unwrap();
        let (before, after) = (places[corner - 1], places[corner]);
        assert!(after.0 - before.0 < 1e-5, "{before:?} {after:?}");
        // 50 °C in 60.4 s, then 30 °C in 59.6 s, by hand.
        assert!((before.1 - 50.0 / 60.4).abs() < 1e-9, "{before:?}");
        assert!((after.1 - 30.0 / 59.6).abs() < 1e-9, "{after:?}");
    }

    #[test]
    fn steps_of_the_fan_are_upright_and_ramps_are_not() {
        let points = [(0.0, 80.0), (60.0, 70.0)];
        let points = points.iter().zip(1..);
        let points = points.map(|(&(time_s, percent), id)| AirPoint {
            id: AirId(id),
            time_s,
            percent,
        });
        let points: Vec<AirPoint> = points.collect();
        let air = |shape| AirflowSchedule::new(shape, points.clone()).unwrap();
        assert_eq!(
            airflow(&air(AirShape::Steps), 90.0),
            [(0.0, 80.0), (60.0, 80.0), (60.0, 70.0), (90.0, 70.0)]
        );
        assert_eq!(
            airflow(&air(AirShape::Ramps), 90.0),
            [(0.0, 80.0), (60.0, 70.0), (90.0, 70.0)]
        );
    }

    #[test]
    fn a_peak_inside_a_stretch_of_one_second_is_drawn() {
        let points = [(0.0, 100.0), (60.0, 130.0), (61.0, 140.0), (120.0, 160.0)];
        let points = points
            .iter()
            .zip(1..)
            .map(|(&(time_s, temp_c), id)| ControlPoint::new(PointId(id), time_s, temp_c));
        let curve = SetpointCurve::new(Shape::Monotone, points.collect()).unwrap();
        let peak = curve.interpolant().slope_extrema(60.0, 61.0).highest.y;
        let places = rise(&curve, &curve.sample(1.0, 120.0), [0.0, 120.0]);
        let drawn = places.iter().map(|place| place.1).fold(0.0, f64::max);
        assert!(drawn > 0.9 * peak, "{drawn} of {peak}");
    }

    #[test]
    fn thinning_keeps_both_ends_and_jumps_and_no_point_is_missed() {
        let flat = |x: u8| -> f32 { if x < 50 { 0.0 } else { 40.0 } };
        let wavy = |x: u8| 30.0 * (f32::from(x) / 30.0).sin();
        for (height, most) in [(&flat as &dyn Fn(u8) -> f32, 4), (&wavy, 30)] {
            let path: Vec<Pos2> = (0..100).map(|x| pos2(f32::from(x), height(x))).collect();
            let kept = thinned(&path);
            assert_eq!((kept[0], kept[kept.len() - 1]), (path[0], path[99]));
            assert!(kept.len() <= most, "{} of 100", kept.len());
            for at in &path {
                let after = kept.iter().position(|other| at.x <= other.x).unwrap();
                let (one, other) = (kept[after.max(1) - 1], kept[after.max(1)]);
                let share = (at.x - one.x) / (other.x - one.x);
                let away = (one.lerp(other, share).y - at.y).abs();
                assert!(away <= THIN_PX + 1e-4, "{away} at {at:?}");
            }
        }
    }

    #[test]
    fn thinning_keeps_upright_steps_and_does_no_harm_to_little() {
        let steps = [
            (0.0, 5.0),
            (10.0, 5.0),
            (10.0, 9.0),
            (20.0, 9.0),
            (20.0, 2.0),
            (30.0, 2.0),
        ]
        .map(|(x, y)| pos2(x, y));
        assert_eq!(thinned(&steps), steps);
        assert!(thinned(&[]).is_empty());
        assert_eq!(thinned(&steps[..1]), steps[..1]);
        assert_eq!(thinned(&[steps[0]; 3]), [steps[0]; 3]);
    }

    #[test]
    fn seconds_that_are_shown_reach_one_beyond_the_lane() {
        let frame = |from: f64, to: f64| LaneFrame {
            rect: Rect::from_min_max(pos2(0.0, 0.0), pos2(100.0, 100.0)),
            time_s: Span { from, to },
            values: Span { from: 0.0, to: 1.0 },
        };
        assert_eq!(shown_seconds(&frame(-60.0, 20.5), 500), 0..22);
        assert_eq!(shown_seconds(&frame(99.5, 200.0), 150), 99..150);
        assert_eq!(shown_seconds(&frame(600.0, 700.0), 150), 150..150);
        assert_eq!(
            each_second([5.0, 6.0]),
            [(0.0, 5.0), (1.0, 6.0)],
            "one value a second"
        );
    }
}
