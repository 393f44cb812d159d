//! What is wanted of a curve, as squares and rows of a problem.

use super::{
    boundaries::ends,
    draw::Case,
    frame::Frame,
    ground::Ground,
    problem::Problem,
    programme::Row,
    spline::{Entries, Spline},
    targets::TargetName,
    within::Corridors,
};
use chaffinch_curve::{MAX_TEMP_C, MIN_TEMP_C};

/// Integral of the square of the rise's second derivative that costs 1, in °C²/s⁵: the rise changes how fast it falls by
/// 2 °C/min per minute within 100 s, over a roast of 500 s. Ours.
const UNIT_ROUGHNESS: f64 = 2e-7;
/// What the temperature's own second derivative costs beside it: 1 °C/s² squared over 1 s. Ours; it only decides where nothing else does.
const BEND_WEIGHT: f64 = 20.0;
/// Shift of a boundary's time that costs 1, in s. Ours.
const UNIT_SHIFT_S: f64 = 10.0;
/// … and in its square, in s: only so that there is one answer. Ours.
const STRICT_SHIFT_S: f64 = 100.0;
/// Shift of the start within what is wished that costs 1, in °C. Ours.
const UNIT_START_C: f64 = 0.3;
/// Distance from the old curve that costs 1 if all points have it, in °C. Ours: as good as nothing.
const UNIT_PULL_C: f64 = 300.0;
/// Slowest rise of a drawn curve, in °C/s (0.1 °C/min): every mark is passed once. Ours.
pub(super) const LEAST_RISE_C_PER_S: f64 = 0.1 / 60.0;
/// How much the rise bends at least on its way down, in °C/s²: above rounding, not to be seen.
const FALL_C_PER_S2: f64 = 1e-6;
/// How much it bends beside a peak that must stand at its place, in °C/s². Ours.
const PEAK_C_PER_S2: f64 = 2e-5;
/// A boundary moves no farther than this in one round, in s.
const LONGEST_STEP_S: f64 = 40.0;
/// °C/s in a °C/min.
const PER_MIN: f64 = 1.0 / 60.0;
/// °C/s² of a rise that climbs by 1 °C/min within 4 min. Ours: about how long a rise could climb.
const CLIMB_C_PER_S2: f64 = PER_MIN / 240.0;
/// Places in each piece at which rows stand that hold everywhere.
const PLACES: usize = 3;
/// … and for the greatest rise and the distance from the old curve, of which nothing may show between them.
const CLOSE_PLACES: usize = 6;

/// How the last round went through the boundaries: rise in °C/s and bend in °C/s² there.
pub(super) type Passages = Vec<(f64, f64)>;

/// How closely a curve is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Detail {
    /// So that nothing shows between the places.
    Whole,
    /// Half as close, for steps on the way.
    Glance,
}

/// A problem while it is put together.
pub(super) struct Sketch<'a> {
    case: &'a Case<'a>,
    frame: &'a Frame,
    spline: &'a Spline<'a>,
    problem: &'a mut Problem,
    /// In s, from charge to the drop.
    places_s: Vec<f64>,
    /// The same, closer.
    close_places_s: Vec<f64>,
}

impl<'a> Sketch<'a> {
    /// Nothing of it drawn yet.
    pub(super) fn new(
        case: &'a Case<'a>,
        frame: &'a Frame,
        spline: &'a Spline<'a>,
        problem: &'a mut Problem,
        detail: Detail,
    ) -> Self {
        let places_s = |count| places_s(spline.knots_s, frame.drop_s(), count);
        Self {
            case,
            frame,
            spline,
            problem,
            places_s: places_s(PLACES),
            close_places_s: places_s(match detail {
                Detail::Whole => CLOSE_PLACES,
                Detail::Glance => PLACES,
            }),
        }
    }

    /// Everything but the wishes for times; the boundaries may shift only where it is known how the last curve passed them.
    pub(super) fn all(&mut self, passages: Option<&Passages>, corridors: Option<&Corridors>) {
        self.smoothness();
        self.start();
        self.rules();
        self.boundaries(passages);
        self.peak();
        self.near();
        if let Some(corridors) = corridors {
            self.within(corridors);
        }
    }

    fn wish(&self, name: TargetName) -> Option<(f64, f64)> {
        self.case.times.wishes.wish(name).map(ends)
    }

    fn smoothness(&mut self) {
        let count = self.frame.knots.len();
        for piece in 0..count - 1 {
            let width_s = self.spline.width_s(piece);
            if 0 < piece && piece + 2 < count {
                self.problem
                    .square(&self.spline.third(piece), 0.0, width_s / UNIT_ROUGHNESS);
            }
            // Simpson's rule is exact for the square of a straight line.
            let (from, to) = (
                self.spline.knot_bend(piece),
                self.spline.knot_bend(piece + 1),
            );
            let middle: Entries = from
                .iter()
                .chain(&to)
                .map(|&(index, value)| (index, value / 2.0))
                .collect();
            for (bend, share) in [(&from, 1.0), (&middle, 4.0), (&to, 1.0)] {
                self.problem
                    .square(bend, 0.0, BEND_WEIGHT * width_s * share / 6.0);
            }
        }
        let pull = UNIT_PULL_C.powi(-2) / count as f64;
        for (index, knot) in self.frame.knots.iter().enumerate() {
            let was_c = self.case.old.temp_c(self.frame.was_s(knot.time_s));
            self.problem.square(&Spline::knot_temp(index), was_c, pull);
        }
        for row in self.spline.joints() {
            self.problem.hold(row);
        }
    }

    fn start(&mut self) {
        let start = Spline::knot_temp(0);
        let name = TargetName::StartTemp;
        let (ground, (least, most)) = match self.wish(name) {
            Some(ends) => (Ground::Wish(name), ends),
            None => (
                Ground::Start,
                (self.case.levels.start_c, self.case.levels.start_c),
            ),
        };
        self.problem
            .want(ground, Row::between(start.clone(), least, most), 1.0);
        self.problem
            .square(&start, self.case.levels.start_c, UNIT_START_C.powi(-2));
    }

    fn rules(&mut self) {
        let drop_c = self.case.levels.temps_c[2];
        let ceiling_c = self.case.plan.machine.ceiling_c.max(drop_c);
        for (index, knot) in self.frame.knots.iter().enumerate() {
            let temp = Spline::knot_temp(index);
            self.problem
                .hold(Row::between(temp.clone(), MIN_TEMP_C, MAX_TEMP_C));
            if let Some((number, temp_c)) = knot.held() {
                self.problem
                    .want(Ground::Locked(number), Row::equal(temp, temp_c), 1.0);
            } else if self.frame.drop_s() < knot.time_s {
                self.problem
                    .want(Ground::Ceiling, Row::at_most(temp, ceiling_c), 1.0);
            }
        }
        let behind = self.frame.knots.iter().map(|knot| knot.time_s);
        let behind = behind.filter(|&time_s| self.frame.drop_s() < time_s);
        for time_s in self.places_s.iter().copied().chain(behind) {
            let row = Row::at_least(self.spline.rise(time_s), LEAST_RISE_C_PER_S);
            self.problem.want(Ground::Rising, row, PER_MIN);
        }
    }

    fn boundaries(&mut self, passages: Option<&Passages>) {
        let first = self.spline.variables();
        for (index, &(boundary, level_c)) in self.case.levels.passed.iter().enumerate() {
            let at_s = self.frame.at_s[index];
            let shift = first + index;
            let passage = passages.map(|passages| passages[index]);
            let with = |mut entries: Entries, slope: f64| {
                if slope != 0.0 {
                    entries.push((shift, slope));
                }
                entries
            };
            let (rise, bend) = passage.unwrap_or_default();
            let row = Row::equal(with(self.spline.temp(at_s), rise), level_c);
            self.problem.want(Ground::Marks, row, 1.0);
            let farthest_s = if passage.is_some() {
                LONGEST_STEP_S
            } else {
                0.0
            };
            self.problem
                .hold(Row::between(vec![(shift, 1.0)], -farthest_s, farthest_s));
            self.keep_time(index, passage.is_some());
            let name = TargetName::Rise(boundary);
            if let Some((least, most)) = self.wish(name) {
                let entries = with(self.spline.rise(at_s), bend);
                let row = Row::between(entries, least * PER_MIN, most * PER_MIN);
                self.problem.want(Ground::Wish(name), row, PER_MIN);
            }
        }
    }

    /// Keeps a boundary near its time. What a shift costs grows with its size, not with its square: shaped again, the curve then stays,
    /// as what wasn't worth a longer shift the first time isn't the second time.
    fn keep_time(&mut self, index: usize, can_shift: bool) {
        let shift = self.spline.variables() + index;
        let size = shift + self.frame.at_s.len();
        let off_s = self.case.times.at_s[index] - self.frame.at_s[index];
        self.problem
            .square(&[(shift, 1.0)], off_s, STRICT_SHIFT_S.powi(-2));
        self.problem
            .square(&[(size, 1.0)], 0.0, STRICT_SHIFT_S.powi(-2));
        if can_shift {
            self.problem.line(size, 1.0 / UNIT_SHIFT_S);
            for sign in [-1.0, 1.0] {
                let row = Row::at_least(vec![(shift, sign), (size, 1.0)], sign * off_s);
                self.problem.hold(row);
            }
        }
    }

    /// Greatest rise, its time, and a rise that only falls behind it.
    fn peak(&mut self) {
        if let Some((_, most)) = self
            .wish(TargetName::PeakRise)
            .filter(|(_, most)| most.is_finite())
        {
            for &time_s in &self.close_places_s {
                let row = Row::at_most(self.spline.rise(time_s), most * PER_MIN);
                self.problem
                    .want(Ground::Wish(TargetName::PeakRise), row, PER_MIN);
            }
        }
        let Some(peak) = self.frame.peak_knot() else {
            return;
        };
        let peak_s = self.frame.knots[peak].time_s;
        if let Some((least, _)) = self
            .wish(TargetName::PeakRise)
            .filter(|(least, _)| least.is_finite())
        {
            let row = Row::at_least(self.spline.rise(peak_s), least * PER_MIN);
            self.problem
                .want(Ground::Wish(TargetName::PeakRise), row, PER_MIN);
        }
        let inner = 1..self.frame.knots.len() - 1;
        if self.wish(TargetName::PeakTime).is_some() {
            self.turn_at(
                peak,
                [peak.saturating_sub(1)].into_iter().chain([peak + 1]),
                PEAK_C_PER_S2,
                TargetName::PeakTime,
            );
            // A rise that only falls behind its peak is highest there anyway.
            let falls = self.wish(TargetName::FallingRise).is_some();
            let top = self.spline.rise(peak_s);
            for &time_s in &self.close_places_s {
                if time_s != peak_s && !falls {
                    let row = Row::at_least(difference(&top, &self.spline.rise(time_s)), 0.0);
                    self.problem
                        .want(Ground::Wish(TargetName::PeakTime), row, PER_MIN);
                }
            }
        }
        if self.wish(TargetName::FallingRise).is_some() {
            self.turn_at(peak, inner, FALL_C_PER_S2, TargetName::FallingRise);
        }
    }

    /// The rise bends up before the knot `peak` and down behind it, at each of `knots`, by at least `least`.
    fn turn_at(
        &mut self,
        peak: usize,
        knots: impl Iterator<Item = usize>,
        least: f64,
        name: TargetName,
    ) {
        let ground = Ground::Wish(name);
        let last = self.frame.knots.len() - 1;
        for knot in knots.filter(|&knot| 0 < knot && knot < last && knot != peak) {
            let bend = self.spline.knot_bend(knot);
            let row = if knot < peak {
                Row::at_least(bend, least)
            } else {
                Row::at_most(bend, -least)
            };
            self.problem.want(ground, row, CLIMB_C_PER_S2);
        }
        if 0 < peak && peak < last {
            self.problem.want(
                ground,
                Row::equal(self.spline.knot_bend(peak), 0.0),
                CLIMB_C_PER_S2,
            );
        }
    }

    fn near(&mut self) {
        let Some((_, most_c)) = self.wish(TargetName::NearCurve) else {
            return;
        };
        for &time_s in &self.close_places_s {
            let was_c = self.case.plan.curve.temp_c(time_s);
            let row = Row::between(self.spline.temp(time_s), was_c - most_c, was_c + most_c);
            self.problem
                .want(Ground::Wish(TargetName::NearCurve), row, 1.0);
        }
    }

    fn within(&mut self, corridors: &Corridors) {
        for (time_s, slowest, fastest) in corridors.rows(self.frame.drop_s()) {
            let row = Row::between(self.spline.rise(time_s), slowest, fastest);
            self.problem
                .want(Ground::Wish(TargetName::WithinReach), row, PER_MIN);
        }
    }
}

fn difference(of: &[(usize, f64)], less: &[(usize, f64)]) -> Entries {
    let mut entries = of.to_vec();
    for &(index, value) in less {
        match entries.iter_mut().find(|entry| entry.0 == index) {
            Some(entry) => entry.1 -= value,
            None => entries.push((index, -value)),
        }
    }
    entries
}

/// Places within every piece up to the drop, the drop among them.
fn places_s(knots_s: &[f64], drop_s: f64, count: usize) -> Vec<f64> {
    let pieces = knots_s.windows(2).flat_map(|pair| {
        let step_s = (pair[1] - pair[0]) / count as f64;
        (0..count).map(move |place| pair[0] + place as f64 * step_s)
    });
    let before = pieces.take_while(|&time_s| time_s < drop_s);
    before.chain([drop_s]).collect()
}
