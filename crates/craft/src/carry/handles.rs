//! The freedom of a search: which numbers of a curve may change, and the curve for each choice of them.
//!
//! Points joined by holds share one number; locked coordinates have none.

use super::stretch::stretched_times_s;
use chaffinch_curve::{ControlPoint, CurveError, MIN_TEMP_C, Segment, SetpointCurve};

/// Most that a gap between two points is stretched or squeezed, as a logarithm: a factor of two. Ours: more is another roast.
const MOST_LOG_STRETCH: f64 = std::f64::consts::LN_2;
/// Weight of a free number being zero, in K a K. Ours: it decides only what the history leaves open, as before the probe meets the curve.
const REST_WEIGHT: f64 = 0.03;
/// Weight of a bend in the shifts, in K a K. Ours: as above.
const BEND_WEIGHT: f64 = 0.5;
/// Weight of a difference to the next shift, in K a K, before probe and curve meet. Ours: the probe isn't on the curve yet, so what it
/// does there says little about the curve, which therefore follows what comes after.
const UNMET_WEIGHT: f64 = 3.0;
/// Weight of a difference between neighbours' stretches, in K; the same before probe and curve meet; and of a stretch by itself. Ours:
/// as above.
const STRETCH_WEIGHTS: (f64, f64, f64) = (2.0, 20.0, 0.3);
/// Gap, in s, at which a difference between neighbours' shifts weighs 1 where the smallest change is looked for. Ours.
const SLOPE_GAP_S: f64 = 60.0;

/// Most free numbers. Ours: each costs a roast a step, and a curve with more points than this was traced, not drawn.
const MOST_FREE: usize = 40;

/// What a search may change.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Freedom {
    /// Every temperature.
    Temps,
    /// The temperatures of points at or after this time, in s, as little and as evenly as possible.
    LateTemps(f64),
    /// Every gap between two points in time.
    Gaps,
}

/// Which two free numbers move a point (or a gap), and the share of the second.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Slot {
    before: usize,
    after: usize,
    share: f64,
}

/// A curve with its free numbers.
#[derive(Clone, Debug)]
pub(super) struct Handles<'a> {
    curve: &'a SetpointCurve,
    freedom: Freedom,
    ceiling_c: f64,
    met_s: f64,
    /// Of each point (or of the gap behind it): what moves it; nothing where it stays.
    slots: Vec<Option<Slot>>,
    count: usize,
}

impl<'a> Handles<'a> {
    /// The free numbers of `curve`, which the probe meets at `met_s` (s); no point is moved above `ceiling_c` (°C) that isn't there
    /// already.
    pub(super) fn new(
        curve: &'a SetpointCurve,
        freedom: Freedom,
        ceiling_c: f64,
        met_s: f64,
    ) -> Self {
        let (slots, count) = match freedom {
            Freedom::Temps => temp_slots(curve.points(), 0.0),
            Freedom::LateTemps(from_s) => temp_slots(curve.points(), from_s),
            Freedom::Gaps => gap_slots(curve.points()),
        };
        Self {
            curve,
            freedom,
            ceiling_c,
            met_s,
            slots,
            count,
        }
    }

    /// How many numbers are free.
    pub(super) fn count(&self) -> usize {
        self.count
    }

    /// The step of a free number in a difference quotient: 0.02 K, or 0.02 % of a gap.
    pub(super) fn step(&self) -> f64 {
        match self.freedom {
            Freedom::Temps | Freedom::LateTemps(_) => 0.02,
            Freedom::Gaps => 2e-4,
        }
    }

    fn of_slot(&self, index: usize, free: &[f64]) -> f64 {
        self.slots[index].map_or(0.0, |slot| {
            let (before, after) = (free[slot.before], free[slot.after]);
            before + slot.share * (after - before)
        })
    }

    /// The points for a choice of the free numbers.
    pub(super) fn points(&self, free: &[f64]) -> Vec<ControlPoint> {
        let points = self.curve.points();
        match self.freedom {
            Freedom::Temps | Freedom::LateTemps(_) => {
                let moved = |(index, point): (usize, &ControlPoint)| {
                    let top_c = self.ceiling_c.max(point.temp_c);
                    let temp_c =
                        (point.temp_c + self.of_slot(index, free)).clamp(MIN_TEMP_C, top_c);
                    ControlPoint { temp_c, ..*point }
                };
                points.iter().enumerate().map(moved).collect()
            }
            Freedom::Gaps => {
                let logs = self.logs(free);
                let times_s = stretched_times_s(points, &logs);
                with_times(points, &times_s, &logs)
            }
        }
    }

    /// The curve for a choice of the free numbers.
    ///
    /// # Errors
    /// [`CurveError`] where the points break a rule, such as the longest time.
    pub(super) fn curve(&self, free: &[f64]) -> Result<SetpointCurve, CurveError> {
        SetpointCurve::new(self.curve.shape(), self.points(free))
    }

    fn logs(&self, free: &[f64]) -> Vec<f64> {
        (0..self.slots.len() - 1)
            .map(|gap| {
                self.of_slot(gap, free)
                    .clamp(-MOST_LOG_STRETCH, MOST_LOG_STRETCH)
            })
            .collect()
    }

    /// What keeps the search well posed, in K: linear in the free numbers and all 0 where they are.
    pub(super) fn regularisation_k(&self, free: &[f64], into: &mut Vec<f64>) {
        let points = self.curve.points();
        let is_unmet = |index: usize| points[index].time_s < self.met_s || index == 0;
        match self.freedom {
            Freedom::Temps => {
                into.extend(free.iter().map(|shift_k| REST_WEIGHT * shift_k));
                let shift_k = |index: usize| self.of_slot(index, free);
                for index in (0..points.len() - 1).take_while(|&index| is_unmet(index)) {
                    into.push(UNMET_WEIGHT * (shift_k(index) - shift_k(index + 1)));
                }
                for index in 1..points.len() - 1 {
                    let (before, here, after) =
                        (&points[index - 1], &points[index], &points[index + 1]);
                    let share = (here.time_s - before.time_s) / (after.time_s - before.time_s);
                    let between_k =
                        shift_k(index - 1) + share * (shift_k(index + 1) - shift_k(index - 1));
                    into.push(BEND_WEIGHT * (shift_k(index) - between_k));
                }
            }
            Freedom::LateTemps(_) => {
                into.extend(free.iter().map(|shift_k| REST_WEIGHT * shift_k));
                for index in 1..points.len() {
                    let gap_s = points[index].time_s - points[index - 1].time_s;
                    let step_k = self.of_slot(index, free) - self.of_slot(index - 1, free);
                    into.push((SLOPE_GAP_S / gap_s).sqrt() * step_k);
                }
            }
            Freedom::Gaps => {
                let (slope, unmet_slope, rest) = STRETCH_WEIGHTS;
                into.extend(free.iter().map(|log| rest * log));
                for gap in 0..points.len().saturating_sub(2) {
                    let weight = if is_unmet(gap) { unmet_slope } else { slope };
                    into.push(weight * (self.of_slot(gap + 1, free) - self.of_slot(gap, free)));
                }
            }
        }
    }
}

/// The points at other times; rises that are pinned fall as the gaps round them grow.
pub(super) fn with_times(
    points: &[ControlPoint],
    times_s: &[f64],
    logs: &[f64],
) -> Vec<ControlPoint> {
    let last = points.len() - 1;
    let slowed = |index: usize| {
        let before = logs[index.saturating_sub(1)];
        let after = logs[index.min(last - 1)];
        (-(before + after) / 2.0).exp()
    };
    let moved = |(index, point): (usize, &ControlPoint)| ControlPoint {
        time_s: times_s[index],
        pinned_rise_c_per_s: point.pinned_rise_c_per_s.map(|rise| rise * slowed(index)),
        ..*point
    };
    points.iter().enumerate().map(moved).collect()
}

/// Runs of points that holds join, which have one temperature and move as one: first and last index.
fn hold_groups(points: &[ControlPoint]) -> Vec<(usize, usize)> {
    let mut groups = Vec::new();
    let mut first = 0;
    while first < points.len() {
        let mut last = first;
        while last + 1 < points.len() && points[last].segment == Segment::Hold {
            last += 1;
        }
        groups.push((first, last));
        first = last + 1;
    }
    groups
}

/// Which temperatures stay: those that are locked, and those that holds join to them.
pub(super) fn fixed_temps(points: &[ControlPoint]) -> Vec<bool> {
    let mut fixed = Vec::with_capacity(points.len());
    for (first, last) in hold_groups(points) {
        let is_fixed = points[first..=last]
            .iter()
            .any(|point| point.lock.holds_temp());
        fixed.resize(last + 1, is_fixed);
    }
    fixed
}

fn temp_slots(points: &[ControlPoint], from_s: f64) -> (Vec<Option<Slot>>, usize) {
    let fixed = fixed_temps(points);
    let is_free = |group: &(usize, usize)| !fixed[group.0] && from_s <= points[group.0].time_s;
    let groups: Vec<_> = hold_groups(points).into_iter().filter(is_free).collect();
    shared_slots(points, &groups)
}

fn gap_slots(points: &[ControlPoint]) -> (Vec<Option<Slot>>, usize) {
    let last = points.len() - 1;
    let mut gaps = Vec::new();
    let mut from = 0;
    while from < last {
        let anchor = (from + 1..=last).find(|&i| points[i].lock.holds_time());
        let to = anchor.unwrap_or(last);
        // A single gap between two locked times has nothing to give.
        if anchor.is_none() || from + 1 < to {
            gaps.extend((from..to).map(|gap| (gap, gap)));
        }
        from = to;
    }
    shared_slots(points, &gaps)
}

/// A free number for each group of points; where there are more groups than [`MOST_FREE`], for so many of them evenly, and those
/// between two move with both by their time.
fn shared_slots(points: &[ControlPoint], groups: &[(usize, usize)]) -> (Vec<Option<Slot>>, usize) {
    let count = groups.len().min(MOST_FREE);
    let mut slots = vec![None; points.len()];
    // Group of a free number: the first and the last group always have one of their own.
    let node = |number: usize| number * (groups.len() - 1) / (count - 1).max(1);
    let time_s = |group: usize| points[groups[group].0].time_s;
    let mut before = 0;
    for (index, &(first, last)) in groups.iter().enumerate() {
        while before + 1 < count && node(before + 1) <= index {
            before += 1;
        }
        let after = (before + 1).min(count - 1);
        let (start_s, end_s) = (time_s(node(before)), time_s(node(after)));
        let share = if start_s < end_s {
            (time_s(index) - start_s) / (end_s - start_s)
        } else {
            0.0
        };
        slots[first..=last].fill(Some(Slot {
            before,
            after,
            share,
        }));
    }
    (slots, count)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]
    use super::*;
    use chaffinch_curve::{Lock, PointId, Shape};

    fn curve(count: u32) -> SetpointCurve {
        let points = (0..count).map(|id| {
            ControlPoint::new(
                PointId(id),
                5.0 * f64::from(id),
                100.0 + f64::from(id) / 2.0,
            )
        });
        SetpointCurve::new(Shape::Monotone, points.collect()).unwrap()
    }

    #[test]
    fn each_free_point_has_a_number_and_locked_ones_and_holds_share_none_or_one() {
        let mut points = curve(6).points().to_vec();
        points[1].lock = Lock::Temp;
        points[3].segment = Segment::Hold;
        points[4].temp_c = points[3].temp_c;
        let curve = SetpointCurve::new(Shape::Monotone, points).unwrap();
        let handles = Handles::new(&curve, Freedom::Temps, 250.0, 0.0);
        assert_eq!(handles.count(), 4, "points 0, 2, 3 with 4, 5");
        let moved = handles.points(&[1.0, 2.0, 3.0, 4.0]);
        let shifts: Vec<f64> = moved
            .iter()
            .zip(curve.points())
            .map(|(new, old)| new.temp_c - old.temp_c)
            .collect();
        assert_eq!(shifts, [1.0, 0.0, 2.0, 3.0, 3.0, 4.0], "shifts");
    }

    #[test]
    fn many_points_move_by_few_numbers_along_straight_lines() {
        let curve = curve(200);
        for freedom in [Freedom::Temps, Freedom::LateTemps(0.0)] {
            let handles = Handles::new(&curve, freedom, 250.0, 0.0);
            assert_eq!(handles.count(), MOST_FREE, "numbers");
            // Numbers that lie on a line over time move every point on that line.
            let line: Vec<f64> = (0..MOST_FREE)
                .map(|number| (number * 199 / (MOST_FREE - 1)) as f64 / 100.0)
                .collect();
            for (index, (new, old)) in handles.points(&line).iter().zip(curve.points()).enumerate()
            {
                let expected_k = index as f64 / 100.0;
                assert!(
                    (new.temp_c - old.temp_c - expected_k).abs() < 1e-9,
                    "{index}: {new:?}"
                );
            }
        }
        let gaps = Handles::new(&curve, Freedom::Gaps, 250.0, 0.0);
        assert_eq!(gaps.count(), MOST_FREE, "gaps");
        assert_eq!(gaps.points(&[0.0; MOST_FREE]), curve.points(), "no stretch");
    }

    #[test]
    fn nothing_passes_the_ceiling_that_was_below_it() {
        let curve = curve(6);
        let handles = Handles::new(&curve, Freedom::Temps, 101.0, 0.0);
        let moved = handles.points(&[5.0; 6]);
        assert!(
            moved
                .iter()
                .zip(curve.points())
                .all(|(new, old)| new.temp_c <= old.temp_c.max(101.0)),
            "{moved:?}"
        );
    }
}
