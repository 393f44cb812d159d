//! The views that show all of a plan, or a part of it.

use super::super::window_span::{
    AIRFLOW_LIMITS, Lane, LaneView, Margins, RISE_LIMITS, Span, TEMP_LIMITS, TIME_LIMITS,
};
use chaffinch_craft::{Derived, Plan};
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
/// Room below 0 % and above 100 %.
const AIR_MARGINS: Margins = Margins {
    start: 0.04,
    end: 0.24,
};
const AIR_RANGE_PERCENT: Span = Span {
    from: 0.0,
    to: 100.0,
};

/// Shows the whole plan with room for handles, legend and findings.
pub fn whole_plan(plan: &Plan, derived: &Derived) -> LaneView {
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
        time_s: Span::fitting(
            Span {
                from: 0.0,
                to: curve.end_s(),
            },
            TIME_MARGINS,
            TIME_LIMITS,
        ),
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
        airflow_percent: Span::fitting(AIR_RANGE_PERCENT, AIR_MARGINS, AIRFLOW_LIMITS),
    }
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
