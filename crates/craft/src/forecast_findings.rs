//! What stands against a plan because of the forecast: found here, worded in `forecast_kind.rs`.
//!
//! One cause is told once: a miss that follows from a stretch beyond reach, or a heater at its limit in one, is not told again; and
//! outside the model's validity only the reasons are told, because nothing else can be relied on there.

use crate::{
    findings::{Finding, FindingKind, worst_first},
    forecast_kind::{ForecastKind, HotPart, ReachEnd},
    limits,
    outlook::{Foreseen, Outlook},
    plan::Plan,
};
use chaffinch_twin::{Cause, Limit, Reach};

/// All findings of the forecast, worst first, then by time. The findings of `outlook` itself are not read.
pub(crate) fn find(plan: &Plan, outlook: &Outlook) -> Vec<Finding> {
    let case = Case {
        plan,
        outlook,
        drawn_drop_s: plan.curve.first_reach(plan.finish().temp_c),
    };
    let mut found: Vec<Finding> = case.above_ceiling().into_iter().collect();
    match &outlook.roast {
        Ok(foreseen) => {
            let beyond = case.beyond_reach();
            found.extend(case.finish_not_reached(foreseen));
            found.extend(case.meets_late(foreseen, &beyond));
            found.extend(case.off_the_curve(foreseen, &beyond));
            found.extend(case.heater_at_limit(foreseen, &beyond));
            found.extend(case.hunts(foreseen));
            found.extend(beyond);
        }
        Err(limits) => found.extend(limits.iter().map(|limit| case.no_forecast(limit))),
    }
    worst_first(found)
}

struct Case<'a> {
    plan: &'a Plan,
    outlook: &'a Outlook,
    /// Where the curve reaches the chosen finish, in s.
    drawn_drop_s: Option<f64>,
}

impl Case<'_> {
    /// A finding from one second to another. Holding on behind the curve's end counts as its end: there is nothing to look at there.
    fn finding(&self, kind: ForecastKind, (from, to): (usize, usize)) -> Finding {
        let end_s = self.plan.curve.end_s();
        Finding {
            kind: FindingKind::Forecast(kind),
            from_s: (from as f64).min(end_s),
            to_s: (to as f64).min(end_s),
        }
    }

    /// Last whole second that is drawn and roasted.
    fn last_drawn(&self) -> usize {
        let drop_s = self.drawn_drop_s.unwrap_or_else(|| self.plan.curve.end_s());
        drop_s.floor() as usize
    }

    fn no_forecast(&self, limit: &Limit) -> Finding {
        let least = &self.outlook.least_air_percent;
        let place = match limit {
            Limit::BedRests { time_s, .. } => {
                let rests = |second: usize| {
                    let set = self.outlook.setpoint.as_ref();
                    let share = set.and_then(|set| set.air_share().get(second));
                    share.is_some_and(|share| share * 100.0 < least[second])
                };
                let to = (*time_s..least.len()).take_while(|&second| rests(second));
                (*time_s, to.last().unwrap_or(*time_s))
            }
            Limit::BeansCarriedOut { time_s, .. } | Limit::BeansTooHot { time_s, .. } => {
                (*time_s, *time_s)
            }
            Limit::Duration { .. } => (self.last_drawn(), self.last_drawn()),
            Limit::Input(_)
            | Limit::Moisture { .. }
            | Limit::BeanSize { .. }
            | Limit::Dose { .. } => (0, 0),
        };
        let limit = limit.clone();
        self.finding(ForecastKind::NoForecast { limit }, place)
    }

    /// The hottest of curve, probe and beans, if it passes the ceiling; nothing where the drop itself lies above it, which is said
    /// of the drawn curve. Without a forecast the curve alone counts.
    fn above_ceiling(&self) -> Option<Finding> {
        let ceiling_c = self.plan.machine.ceiling_c;
        if ceiling_c < self.plan.finish().temp_c {
            return None;
        }
        let last = self.last_drawn() as f64;
        let drawn = self.plan.curve.interpolant().extrema(0.0, last).highest;
        let second = drawn.x.round() as usize;
        let mut hottest = (HotPart::Curve, drawn.y, (second, second));
        if let Some(foreseen) = self.outlook.foreseen() {
            let trace = &foreseen.trace;
            // The last sample is the first whole second after the drop.
            let until = trace.len() - usize::from(foreseen.moments.drop_s.is_some());
            for (part, temps_c) in [
                (HotPart::Probe, &trace.probe_c[..until]),
                (HotPart::Beans, &trace.surface_c[..until]),
            ] {
                let highest_c = temps_c.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                let above = |second: usize| ceiling_c < temps_c[second];
                let place = runs(0..temps_c.len(), above, usize::MAX).pop();
                if let Some(place) = place.filter(|_| hottest.1 < highest_c) {
                    hottest = (part, highest_c, place);
                }
            }
        }
        let (part, highest_c, place) = hottest;
        let kind = ForecastKind::AboveCeiling {
            part,
            highest_c,
            ceiling_c,
        };
        (ceiling_c < highest_c).then(|| self.finding(kind, place))
    }

    fn finish_not_reached(&self, foreseen: &Foreseen) -> Option<Finding> {
        self.drawn_drop_s?;
        if foreseen.moments.drop_s.is_some() {
            return None;
        }
        let finish = self.plan.finish();
        let probe_c = foreseen.trace.probe_c.iter().copied();
        let kind = ForecastKind::FinishNotReached {
            name: finish.name.clone(),
            temp_c: finish.temp_c,
            highest_c: probe_c.fold(f64::NEG_INFINITY, f64::max),
        };
        Some(self.finding(kind, (self.last_drawn(), self.last_drawn())))
    }

    fn meets_late(&self, foreseen: &Foreseen, beyond: &[Finding]) -> Option<Finding> {
        let is_told = match foreseen.met_s {
            Some(met_s) => met_s as f64 <= limits::SOON_MET_S,
            // They never meet because the machine can't follow.
            None => !beyond.is_empty(),
        };
        if is_told {
            return None;
        }
        let kind = ForecastKind::MeetsLate {
            probe_c: foreseen.trace.probe_c[0],
            curve_c: foreseen.setpoint_c[0],
            met_s: foreseen.met_s.map(|met_s| met_s as f64),
        };
        let last = foreseen.trace.len() - 1;
        Some(self.finding(kind, (0, foreseen.met_s.unwrap_or(last))))
    }

    /// Where the curve is steeper or flatter than the machine can follow.
    fn beyond_reach(&self) -> Vec<Finding> {
        let Some(reach) = &self.outlook.reach else {
            return Vec::new();
        };
        let until = reach.fastest.len().min(self.last_drawn() + 1);
        let drawn: Vec<f64> = (0..until)
            .map(|second| self.plan.curve.rise_c_per_s(second as f64))
            .collect();
        let ends = [ReachEnd::Fastest, ReachEnd::Slowest];
        ends.into_iter()
            .flat_map(|end| self.beyond(reach, end, &drawn))
            .collect()
    }

    fn beyond(&self, reach: &Reach, end: ReachEnd, drawn: &[f64]) -> Vec<Finding> {
        let (bounds, sign) = match end {
            ReachEnd::Fastest => (&reach.fastest, 1.0),
            ReachEnd::Slowest => (&reach.slowest, -1.0),
        };
        let excess = |second: usize| {
            let bound = &bounds[second];
            if self.is_told_elsewhere(bound.cause) {
                return 0.0;
            }
            sign * (drawn[second] - bound.rise_c_per_s)
        };
        let is_beyond = |second: usize| limits::REACH_MARGIN_C_PER_S < excess(second);
        let stretches = runs(0..drawn.len(), is_beyond, limits::JOINED_GAP_S as usize);
        let long =
            |&(from, to): &(usize, usize)| limits::LEAST_BEYOND_REACH_S <= (to - from + 1) as f64;
        let finding = |(from, to)| {
            let seconds = from..=to;
            let worst = seconds
                .max_by(|&a, &b| excess(a).total_cmp(&excess(b)))
                .unwrap_or(from);
            let kind = ForecastKind::BeyondReach {
                end,
                worst_s: worst as f64,
                drawn_c_per_s: drawn[worst],
                reach_c_per_s: bounds[worst].rise_c_per_s,
                cause: bounds[worst].cause,
            };
            self.finding(kind, (from, to))
        };
        stretches.into_iter().filter(long).map(finding).collect()
    }

    /// What the controller fails at is told by the size of the miss, and a drop above the ceiling by the drawn curve.
    fn is_told_elsewhere(&self, cause: Cause) -> bool {
        match cause {
            Cause::ControllerLag => true,
            Cause::TemperatureCeiling => self.plan.machine.ceiling_c < self.plan.finish().temp_c,
            _ => false,
        }
    }

    fn off_the_curve(&self, foreseen: &Foreseen, beyond: &[Finding]) -> Vec<Finding> {
        let Some(met_s) = foreseen.met_s else {
            return Vec::new();
        };
        let trace = &foreseen.trace;
        let miss_k = |second: usize| trace.probe_c[second] - foreseen.setpoint_c[second];
        let is_off = |second: usize| limits::MOST_MISS_K < miss_k(second).abs();
        // Behind the drawn drop there is no curve to leave, and a controller that hunts leaves any.
        let hunts_s = foreseen.figures.hunting.map(|hunting| hunting.from_s);
        let until = (foreseen.drawn_drop_s + 1)
            .min(trace.len())
            .min(hunts_s.unwrap_or(usize::MAX));
        let stretches = runs(met_s..until, is_off, limits::JOINED_GAP_S as usize);
        let is_told = |&(from, to): &(usize, usize)| {
            let overlaps = |told: &Finding| {
                told.from_s <= to as f64 && from as f64 <= told.to_s + limits::REACH_AFTERMATH_S
            };
            beyond.iter().any(overlaps)
        };
        let finding = |(from, to)| {
            let seconds = from..=to;
            let worst = seconds
                .max_by(|&a, &b| miss_k(a).abs().total_cmp(&miss_k(b).abs()))
                .unwrap_or(from);
            let kind = ForecastKind::OffTheCurve {
                miss_k: miss_k(worst),
                worst_s: worst as f64,
                cause: cause_at(foreseen, worst),
            };
            self.finding(kind, (from, to))
        };
        let stretches = stretches.into_iter().filter(|place| !is_told(place));
        stretches.map(finding).collect()
    }

    fn heater_at_limit(&self, foreseen: &Foreseen, beyond: &[Finding]) -> Option<Finding> {
        let met_s = foreseen.met_s?;
        if foreseen.figures.hunting.is_some() {
            // It goes from one limit to the other; that is no lack of heat.
            return None;
        }
        let (effort, limit) = (&foreseen.trace.effort, &foreseen.effort_limit);
        // The effort of the last second is for a second that is not roasted.
        let last = effort.len() - 1;
        let is_limited = |&second: &usize| limit[second] <= effort[second];
        let for_s = (met_s..last).filter(is_limited).count() as f64;
        if for_s < limits::LEAST_LIMITED_S {
            return None;
        }
        let stretches = runs(met_s..last, |second| is_limited(&second), 0);
        let (from, to) = stretches.into_iter().max_by_key(|(from, to)| to - from)?;
        let is_told = |told: &Finding| told.from_s <= to as f64 && from as f64 <= told.to_s;
        if beyond.iter().any(is_told) {
            return None;
        }
        let kind = ForecastKind::HeaterAtLimit {
            for_s,
            cause: cause_at(foreseen, from),
        };
        Some(self.finding(kind, (from, to)))
    }

    fn hunts(&self, foreseen: &Foreseen) -> Option<Finding> {
        let hunting = foreseen.figures.hunting?;
        let kind = ForecastKind::Hunts {
            swing: hunting.swing,
            period_s: hunting.period_s,
        };
        Some(self.finding(kind, (hunting.from_s, foreseen.trace.len() - 1)))
    }
}

/// What binds the heater at one second; the controller where nothing does.
fn cause_at(foreseen: &Foreseen, second: usize) -> Cause {
    let (effort, limit) = (foreseen.trace.effort[second], foreseen.effort_limit[second]);
    if effort <= 0.0 {
        Cause::HeaterOff
    } else if effort < limit {
        Cause::ControllerLag
    } else if limit < 1.0 {
        Cause::InletCeiling
    } else {
        Cause::HeaterCeiling
    }
}

/// First and last of the seconds that follow each other and for which `is` holds; runs at most `joined` seconds apart are one.
fn runs(
    seconds: std::ops::Range<usize>,
    is: impl Fn(usize) -> bool,
    joined: usize,
) -> Vec<(usize, usize)> {
    let mut found: Vec<(usize, usize)> = Vec::new();
    for second in seconds.filter(|&second| is(second)) {
        match found.last_mut() {
            Some((_, to)) if second - *to <= joined.saturating_add(1) => *to = second,
            _ => found.push((second, second)),
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_are_joined_over_short_gaps_only() {
        let marked = [2, 3, 4, 7, 12];
        let found = |joined| runs(0..20, |second| marked.contains(&second), joined);
        assert_eq!(found(0), [(2, 4), (7, 7), (12, 12)], "no gap");
        assert_eq!(found(2), [(2, 7), (12, 12)], "a gap of two");
        assert_eq!(found(usize::MAX), [(2, 12)], "any gap");
    }
}
