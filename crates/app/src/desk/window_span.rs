//! The part of each axis that the window shows: zoom, pan, fit, limits, and the way back.
//!
//! Time is shared by all lanes; each lane has its own span of values. Neither is saved with a plan or undone with it.
//! The numbers here are choices of layout, not of the trade.

/// A stretch of an axis, in the axis' unit; `from` lies below `to`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Lower end.
    pub from: f64,
    /// Upper end.
    pub to: f64,
}

/// How far a span may reach and how narrow it may get, in the axis' unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpanLimits {
    /// The widest span.
    pub widest: Span,
    /// The least width.
    pub least_width: f64,
}

/// Room kept free beside the data, as shares of the whole axis; together below 1.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Margins {
    /// Below the data, or left of it.
    pub start: f64,
    /// Above the data, or right of it.
    pub end: f64,
}

/// Limits of the time axis, in s.
pub const TIME_LIMITS: SpanLimits = SpanLimits {
    widest: Span {
        from: -60.0,
        to: 3_660.0,
    },
    least_width: 10.0,
};
/// Limits of the temperature axis, in °C.
pub const TEMP_LIMITS: SpanLimits = SpanLimits {
    widest: Span {
        from: -20.0,
        to: 340.0,
    },
    least_width: 5.0,
};
/// Limits of the axis of rates of rise, in °C/s: −60 to 180 °C/min, at least 1 °C/min.
pub const RISE_LIMITS: SpanLimits = SpanLimits {
    widest: Span {
        from: -1.0,
        to: 3.0,
    },
    least_width: 1.0 / 60.0,
};
/// Limits of the axis of efforts, in %.
pub const EFFORT_LIMITS: SpanLimits = SpanLimits {
    widest: Span {
        from: -20.0,
        to: 140.0,
    },
    least_width: 5.0,
};

/// Views kept for going back.
const MOST_VIEWS: usize = 100;

impl Span {
    /// Length, in the axis' unit.
    pub fn width(self) -> f64 {
        self.to - self.from
    }

    /// Whether `value` lies in the span, ends included.
    pub fn contains(self, value: f64) -> bool {
        self.from <= value && value <= self.to
    }

    /// Where `value` lies: 0 at `from`, 1 at `to`, beyond outside.
    pub fn share_of(self, value: f64) -> f64 {
        (value - self.from) / self.width()
    }

    /// The value at a share of the span; undoes [`Self::share_of`].
    pub fn value_at(self, share: f64) -> f64 {
        self.from + share * self.width()
    }

    /// The span `factor` times as wide, with `about` staying where it is on the screen unless a limit pushes it.
    ///
    /// `factor` below 1 zooms in. A factor that isn't positive and finite changes nothing.
    #[must_use]
    pub fn zoomed(self, factor: f64, about: f64, limits: SpanLimits) -> Self {
        if !(factor.is_finite() && factor > 0.0 && about.is_finite()) {
            return self;
        }
        let width = (self.width() * factor).clamp(limits.least_width, limits.widest.width());
        let from = about - self.share_of(about) * width;
        Self {
            from,
            to: from + width,
        }
        .within(limits)
    }

    /// The span moved by `distance`, stopping at the limits without changing its width.
    #[must_use]
    pub fn panned(self, distance: f64, limits: SpanLimits) -> Self {
        if !distance.is_finite() {
            return self;
        }
        Self {
            from: self.from + distance,
            to: self.to + distance,
        }
        .within(limits)
    }

    /// The span that shows all of `data` and keeps `margins` free; data of no width lands in the middle.
    #[must_use]
    pub fn fitting(data: Self, margins: Margins, limits: SpanLimits) -> Self {
        let room = (1.0 - margins.start - margins.end).max(f64::EPSILON);
        let width = (data.width() / room).max(limits.least_width);
        let spare = width * room - data.width();
        let from = data.from - spare / 2.0 - margins.start * width;
        Self {
            from,
            to: from + width,
        }
        .within(limits)
    }

    /// The nearest span that keeps the limits: widened or narrowed about its middle, then moved inside.
    #[must_use]
    pub fn within(self, limits: SpanLimits) -> Self {
        let widest = limits.widest;
        let width = self.width().clamp(limits.least_width, widest.width());
        let from = if width == self.width() {
            self.from
        } else {
            (self.from + self.to - width) / 2.0
        };
        let from = from.clamp(widest.from, (widest.to - width).max(widest.from));
        Self {
            from,
            to: (from + width).min(widest.to),
        }
    }
}

/// A lane with an axis of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Lane {
    /// Temperature, in °C.
    Temperature,
    /// Rate of rise, in °C/s.
    Rise,
    /// Effort of heater and air, in %.
    Effort,
}

impl Lane {
    /// All lanes from the top.
    pub const ALL: [Self; 3] = [Self::Temperature, Self::Rise, Self::Effort];

    /// Limits of the lane's value axis.
    pub fn limits(self) -> SpanLimits {
        match self {
            Self::Temperature => TEMP_LIMITS,
            Self::Rise => RISE_LIMITS,
            Self::Effort => EFFORT_LIMITS,
        }
    }
}

/// What the lanes show.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LaneView {
    /// The time axis of all lanes, in s.
    pub time_s: Span,
    /// Temperature lane, in °C.
    pub temp_c: Span,
    /// Lane of the rate of rise, in °C/s.
    pub rise_c_per_s: Span,
    /// Effort lane, in %.
    pub effort_percent: Span,
}

impl LaneView {
    /// The value axis of a lane.
    pub fn values(&self, lane: Lane) -> Span {
        match lane {
            Lane::Temperature => self.temp_c,
            Lane::Rise => self.rise_c_per_s,
            Lane::Effort => self.effort_percent,
        }
    }

    /// The same view with another value axis in one lane.
    #[must_use]
    pub fn with_values(self, lane: Lane, span: Span) -> Self {
        match lane {
            Lane::Temperature => Self {
                temp_c: span,
                ..self
            },
            Lane::Rise => Self {
                rise_c_per_s: span,
                ..self
            },
            Lane::Effort => Self {
                effort_percent: span,
                ..self
            },
        }
    }

    /// Zooms the shared time axis about a time in s.
    #[must_use]
    pub fn time_zoomed(self, factor: f64, about_s: f64) -> Self {
        Self {
            time_s: self.time_s.zoomed(factor, about_s, TIME_LIMITS),
            ..self
        }
    }

    /// Moves the shared time axis, in s.
    #[must_use]
    pub fn time_panned(self, distance_s: f64) -> Self {
        Self {
            time_s: self.time_s.panned(distance_s, TIME_LIMITS),
            ..self
        }
    }

    /// Zooms one lane's value axis about a value in the lane's unit.
    #[must_use]
    pub fn values_zoomed(self, lane: Lane, factor: f64, about: f64) -> Self {
        self.with_values(lane, self.values(lane).zoomed(factor, about, lane.limits()))
    }

    /// Moves one lane's value axis, in the lane's unit.
    #[must_use]
    pub fn values_panned(self, lane: Lane, distance: f64) -> Self {
        self.with_values(lane, self.values(lane).panned(distance, lane.limits()))
    }

    /// Shows all of a time stretch in s.
    #[must_use]
    pub fn time_fitted(self, data_s: Span, margins: Margins) -> Self {
        Self {
            time_s: Span::fitting(data_s, margins, TIME_LIMITS),
            ..self
        }
    }

    /// Shows all of a stretch of values in one lane, in its unit.
    #[must_use]
    pub fn values_fitted(self, lane: Lane, data: Span, margins: Margins) -> Self {
        self.with_values(lane, Span::fitting(data, margins, lane.limits()))
    }
}

/// Whether a new view belongs to the gesture of the view before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ViewStep {
    /// The next click of the same wheel, the next move of the same drag: one step back undoes them all.
    Continues,
    /// A gesture of its own.
    Begins,
}

/// The view, the views before it, and those that were gone back from.
#[derive(Clone, Debug, PartialEq)]
pub struct ViewHistory {
    earlier: Vec<LaneView>,
    current: LaneView,
    later: Vec<LaneView>,
}

impl ViewHistory {
    /// A history that begins with `view`.
    pub fn new(view: LaneView) -> Self {
        Self {
            earlier: Vec::new(),
            current: view,
            later: Vec::new(),
        }
    }

    /// The view that is shown.
    pub fn current(&self) -> LaneView {
        self.current
    }

    /// Goes to another view and forgets those gone back from; the view that is shown already is no step.
    ///
    /// The 100 views before it are kept.
    pub fn go(&mut self, view: LaneView, step: ViewStep) {
        if view == self.current {
            return;
        }
        if step == ViewStep::Begins || self.earlier.is_empty() {
            self.earlier.push(self.current);
            if self.earlier.len() > MOST_VIEWS {
                self.earlier.remove(0);
            }
        }
        self.current = view;
        self.later.clear();
    }

    /// Goes back to the view before the last gesture; `false` if there is none.
    pub fn back(&mut self) -> bool {
        let Some(view) = self.earlier.pop() else {
            return false;
        };
        self.later.push(std::mem::replace(&mut self.current, view));
        true
    }

    /// Returns to the view last gone back from; `false` if there is none.
    pub fn forward(&mut self) -> bool {
        let Some(view) = self.later.pop() else {
            return false;
        };
        self.earlier
            .push(std::mem::replace(&mut self.current, view));
        true
    }

    /// Whether [`Self::back`] would change the view.
    pub fn can_go_back(&self) -> bool {
        !self.earlier.is_empty()
    }

    /// Whether [`Self::forward`] would change the view.
    pub fn can_go_forward(&self) -> bool {
        !self.later.is_empty()
    }
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

    const SHOWN_S: Span = Span {
        from: 0.0,
        to: 600.0,
    };

    fn close(found: Span, from: f64, to: f64) {
        assert!(
            (found.from - from).abs() < 1e-9 && (found.to - to).abs() < 1e-9,
            "{found:?}, not {from} to {to}"
        );
    }

    fn view() -> LaneView {
        LaneView {
            time_s: SHOWN_S,
            temp_c: Span {
                from: 80.0,
                to: 240.0,
            },
            rise_c_per_s: Span { from: 0.0, to: 0.5 },
            effort_percent: Span {
                from: 0.0,
                to: 100.0,
            },
        }
    }

    /// A small deterministic walk of numbers in 0..1; the app crate has no property-test library.
    fn walk() -> impl Iterator<Item = f64> {
        std::iter::successors(Some(0.5_f64), |x| Some((x * 997.0 + 0.123).fract()))
    }

    #[test]
    fn zoom_keeps_the_value_under_the_pointer() {
        close(SHOWN_S.zoomed(0.5, 150.0, TIME_LIMITS), 75.0, 375.0);
        let zoomed = SHOWN_S.zoomed(0.3, 400.0, TIME_LIMITS);
        assert!((zoomed.share_of(400.0) - SHOWN_S.share_of(400.0)).abs() < 1e-12);
    }

    #[test]
    fn zoom_in_and_out_by_the_same_factor_returns() {
        close(
            SHOWN_S
                .zoomed(0.8, 222.0, TIME_LIMITS)
                .zoomed(1.25, 222.0, TIME_LIMITS),
            0.0,
            600.0,
        );
    }

    #[test]
    fn any_gesture_stays_within_the_limits_and_keeps_the_least_width() {
        let mut numbers = walk();
        let mut next = || numbers.next().unwrap();
        let mut span = SHOWN_S;
        for _ in 0..10_000 {
            span = match (next() * 3.0) as u8 {
                0 => span.zoomed(next() * 3.0, span.value_at(next()), TIME_LIMITS),
                1 => span.panned((next() - 0.5) * 4_000.0, TIME_LIMITS),
                _ => {
                    let from = next() * 3_600.0;
                    Span::fitting(
                        Span {
                            from,
                            to: from + next(),
                        },
                        Margins {
                            start: 0.1,
                            end: 0.05,
                        },
                        TIME_LIMITS,
                    )
                }
            };
            assert!(-60.0 <= span.from && span.to <= 3_660.0, "{span:?}");
            assert!(span.width() >= 10.0 - 1e-9, "{span:?}");
        }
    }

    #[test]
    fn pan_stops_at_the_limit_with_its_width() {
        close(SHOWN_S.panned(-500.0, TIME_LIMITS), -60.0, 540.0);
        close(SHOWN_S.panned(9_999.0, TIME_LIMITS), 3_060.0, 3_660.0);
        close(SHOWN_S.panned(f64::NAN, TIME_LIMITS), 0.0, 600.0);
    }

    #[test]
    fn fit_keeps_the_margins_free() {
        // 18 px of 180 at the foot, 9 at the head: the data takes 85 % of the axis.
        let margins = Margins {
            start: 0.1,
            end: 0.05,
        };
        let fitted = Span::fitting(
            Span {
                from: 100.0,
                to: 185.0,
            },
            margins,
            TEMP_LIMITS,
        );
        close(fitted, 90.0, 190.0);
        assert!((fitted.share_of(100.0) - 0.1).abs() < 1e-12);
    }

    #[test]
    fn a_level_curve_is_fitted_in_the_middle_of_the_free_room() {
        let fitted = Span::fitting(
            Span {
                from: 200.0,
                to: 200.0,
            },
            Margins {
                start: 0.2,
                end: 0.0,
            },
            TEMP_LIMITS,
        );
        close(fitted, 197.0, 202.0);
    }

    #[test]
    fn one_lane_zooms_alone_and_time_zooms_for_all() {
        let zoomed = view().values_zoomed(Lane::Temperature, 0.5, 160.0);
        assert_eq!(
            zoomed,
            LaneView {
                temp_c: Span {
                    from: 120.0,
                    to: 200.0
                },
                ..view()
            }
        );
        let zoomed = view().time_zoomed(0.5, 300.0);
        assert_eq!(
            zoomed,
            LaneView {
                time_s: Span {
                    from: 150.0,
                    to: 450.0
                },
                ..view()
            }
        );
        for lane in Lane::ALL {
            let span = view().values_zoomed(lane, 1e9, 0.0).values(lane);
            close(span, lane.limits().widest.from, lane.limits().widest.to);
        }
    }

    #[test]
    fn back_undoes_a_whole_gesture_and_forward_redoes_it() {
        let mut history = ViewHistory::new(view());
        assert!(!history.back());
        history.go(view().time_panned(5.0), ViewStep::Begins);
        history.go(view().time_panned(10.0), ViewStep::Continues);
        history.go(view().time_zoomed(0.5, 0.0), ViewStep::Begins);
        assert!(history.back());
        assert_eq!(history.current(), view().time_panned(10.0));
        assert!(history.back());
        assert_eq!(history.current(), view());
        assert!(history.forward() && history.forward() && !history.forward());
        assert_eq!(history.current(), view().time_zoomed(0.5, 0.0));
    }

    #[test]
    fn a_new_view_after_going_back_forgets_the_way_forward() {
        let mut history = ViewHistory::new(view());
        history.go(view().time_panned(5.0), ViewStep::Begins);
        history.back();
        history.go(view().time_panned(7.0), ViewStep::Begins);
        assert!(!history.can_go_forward() && history.can_go_back());
        history.go(view().time_panned(7.0), ViewStep::Begins);
        history.back();
        assert_eq!(
            history.current(),
            view(),
            "the view that is shown is no step"
        );
    }

    #[test]
    fn the_history_keeps_a_bounded_number_of_views() {
        let mut history = ViewHistory::new(view());
        for step in 1..=500 {
            history.go(view().time_panned(f64::from(step)), ViewStep::Begins);
        }
        let back = std::iter::from_fn(|| history.back().then_some(())).count();
        assert_eq!(back, 100);
    }
}
