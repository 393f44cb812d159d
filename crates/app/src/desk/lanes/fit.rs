//! The views that show all of a plan, or a part of it.

use super::super::window_span::{
    EFFORT_LIMITS, Lane, LaneView, Margins, RISE_LIMITS, Span, TEMP_LIMITS, TIME_LIMITS,
};
use chaffinch_craft::{Derived, Outlook, Plan};
use chaffinch_curve::ControlPoint;

/// Room right of the last point, so that a curve can be prolonged by dragging.
const TIME_MARGINS: Margins = Margins {
    start: 0.0,
    end: 0.1,
};
/// Room at the foot for the findings' rail and at the head for the legend.
const VALUE_MARGINS: Margins = Margins {
    start: 0.08,
    end: 0.14,
};
/// Room around a selection.
const SELECTION_MARGINS: Margins = Margins {
    start: 0.15,
    end: 0.15,
};
/// A view narrower than this share of the whole was zoomed into on purpose.
const CLOSE_UP: f64 = 0.4;
/// Room right of the forecast's end, for the values that are written there.
const FORECAST_MARGINS: Margins = Margins {
    start: 0.0,
    end: 0.08,
};
/// Room below 0 % for the findings' rail and above 100 % for half a handle.
const EFFORT_MARGINS: Margins = Margins {
    start: 0.2,
    end: 0.1,
};
const EFFORT_RANGE_PERCENT: Span = Span {
    from: 0.0,
    to: 100.0,
};

/// Shows the whole plan and its forecast with room for handles, legend and findings.
pub fn whole_plan(plan: &Plan, derived: &Derived, outlook: &Outlook) -> LaneView {
    let curve = &plan.curve;
    let ends = curve.interpolant().extrema(0.0, curve.end_s());
    let hottest_c = plan
        .finishes
        .finishes()
        .iter()
        .map(|finish| finish.temp_c)
        .fold(ends.highest.y, f64::max);
    let rises = &derived.samples.rise_c_per_s;
    let steepest = rises.iter().copied().fold(0.0, f64::max);
    let slowest = rises.iter().copied().fold(0.0, f64::min);
    LaneView {
        time_s: whole_time(curve.end_s(), forecast_end_s(outlook)),
        temp_c: Span::fitting(
            Span {
                from: ends.lowest.y,
                to: hottest_c,
            },
            VALUE_MARGINS,
            TEMP_LIMITS,
        ),
        rise_c_per_s: Span::fitting(
            Span {
                from: slowest,
                to: steepest,
            },
            Margins {
                start: 0.04,
                end: 0.2,
            },
            RISE_LIMITS,
        ),
        effort_percent: Span::fitting(EFFORT_RANGE_PERCENT, EFFORT_MARGINS, EFFORT_LIMITS),
    }
}

/// The time axis that holds the curve, and the forecast if there is one.
fn whole_time(curve_end_s: f64, forecast_end_s: Option<f64>) -> Span {
    // Fitting may round the start away from 0, and the first label with it.
    let fitting = |to: f64, margins| Span {
        from: 0.0,
        ..Span::fitting(Span { from: 0.0, to }, margins, TIME_LIMITS)
    };
    let drawn = fitting(curve_end_s, TIME_MARGINS);
    match forecast_end_s.map(|end_s| fitting(end_s, FORECAST_MARGINS)) {
        Some(foreseen) if drawn.to < foreseen.to => foreseen,
        _ => drawn,
    }
}

/// Where the forecast ends, in s: at its drop, or where the roaster gives up waiting for it.
fn forecast_end_s(outlook: &Outlook) -> Option<f64> {
    let trace = &outlook.foreseen()?.trace;
    trace.len().checked_sub(1).map(|last| last as f64)
}

/// The same view with time and the lanes of temperature and rise grown to the whole plan, if what is drawn leaves them; never
/// narrowed. `before` showed the whole plan before it changed: it tells what was fitted from what was zoomed into.
pub fn grown(
    view: LaneView,
    before: &LaneView,
    plan: &Plan,
    (derived, outlook): (&Derived, &Outlook),
) -> LaneView {
    let whole = whole_plan(plan, derived, outlook);
    let mut grown = view;
    for lane in [Lane::Temperature, Lane::Rise] {
        let (shown, all) = (view.values(lane), whole.values(lane));
        // Only what was fitted before grows: a span that was zoomed into stays what the user made it.
        let is_close_up = shown.width() < CLOSE_UP * before.values(lane).width();
        let (lowest, highest) = data_of(lane, plan, derived);
        let is_whole = shown.contains(lowest) && shown.contains(highest);
        if !is_close_up && !is_whole {
            grown = grown.with_values(lane, all);
        }
    }
    let is_close_up = view.time_s.width() < CLOSE_UP * before.time_s.width();
    let end_s =
        forecast_end_s(outlook).map_or(plan.curve.end_s(), |end_s| end_s.max(plan.curve.end_s()));
    if view.time_s.from <= 0.0 && view.time_s.to < end_s && !is_close_up {
        grown.time_s = whole.time_s;
    }
    grown
}

/// Lowest and highest value that a lane draws of the plan itself.
fn data_of(lane: Lane, plan: &Plan, derived: &Derived) -> (f64, f64) {
    if lane == Lane::Rise {
        let rises = derived.samples.rise_c_per_s.iter().copied();
        return (rises.clone().fold(0.0, f64::min), rises.fold(0.0, f64::max));
    }
    let ends = plan.curve.interpolant().extrema(0.0, plan.curve.end_s());
    (ends.lowest.y, ends.highest.y)
}

/// Shows these points with room around them; the other lanes' values stay.
pub fn points(view: LaneView, points: &[ControlPoint]) -> LaneView {
    let Some(first) = points.first() else {
        return view;
    };
    let span = |value: fn(&ControlPoint) -> f64| {
        let start = Span {
            from: value(first),
            to: value(first),
        };
        points.iter().map(value).fold(start, |span, value| Span {
            from: span.from.min(value),
            to: span.to.max(value),
        })
    };
    view.time_fitted(span(|point| point.time_s), SELECTION_MARGINS)
        .values_fitted(
            Lane::Temperature,
            span(|point| point.temp_c),
            SELECTION_MARGINS,
        )
}

/// Moves the time axis so that the stretch is seen, zooming out only if it must.
pub fn stretch(view: LaneView, from_s: f64, to_s: f64) -> LaneView {
    let inside = view.time_s.contains(from_s) && view.time_s.contains(to_s);
    if inside {
        return view;
    }
    if to_s - from_s < view.time_s.width() {
        let middle_s = f64::midpoint(from_s, to_s);
        let now_s = f64::midpoint(view.time_s.from, view.time_s.to);
        return view.time_panned(middle_s - now_s);
    }
    view.time_fitted(
        Span {
            from: from_s,
            to: to_s,
        },
        SELECTION_MARGINS,
    )
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]
    use super::*;
    use chaffinch_craft::Edit;
    use chaffinch_curve::{CurvePoint, PointEdit};

    #[test]
    fn lanes_grow_to_what_is_drawn_and_close_ups_stay() {
        let plan = Plan::fresh();
        let before = whole_plan(&plan, &Derived::of(&plan), &Outlook::of(&plan));
        let steep = PointEdit::InsertAt {
            at: CurvePoint {
                time_s: 60.0,
                temp_c: 160.0,
            },
        };
        let plan = plan.edited(&Edit::Points(steep)).unwrap();
        let (derived, outlook) = (Derived::of(&plan), Outlook::of(&plan));
        let steepest = derived
            .samples
            .rise_c_per_s
            .iter()
            .copied()
            .fold(0.0, f64::max);
        assert!(!before.rise_c_per_s.contains(steepest), "the case");
        assert!(
            grown(before, &before, &plan, (&derived, &outlook))
                .rise_c_per_s
                .contains(steepest),
            "grown"
        );
        let close_up = before.values_zoomed(Lane::Rise, 0.05, 0.2);
        assert_eq!(
            grown(close_up, &before, &plan, (&derived, &outlook)).rise_c_per_s,
            close_up.rise_c_per_s,
            "close-up"
        );
    }

    #[test]
    fn time_holds_curve_and_forecast_with_room_behind_both() {
        let drawn = whole_time(480.0, None);
        assert!((drawn.to - 480.0 / 0.9).abs() < 1e-9, "a tenth: {drawn:?}");
        assert_eq!(whole_time(480.0, Some(470.0)), drawn, "ends before");
        let late = whole_time(480.0, Some(552.0));
        assert!((late.to - 600.0).abs() < 1e-9, "8 % of 600 s: {late:?}");
    }
}
