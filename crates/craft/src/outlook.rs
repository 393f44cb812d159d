//! What the physical model says a plan will do: the forecast beside what is drawn.
//!
//! Pure, like [`Derived`](crate::Derived), and computed beside it in every frame of a drag: about 0.2 ms for 10 min of roast.

use crate::{
    corridor::Corridor,
    findings::Finding,
    finish_forecast::{FinishForecast, RoastOn},
    forecast_findings,
    plan::{Plan, PlanParts},
    told,
    twin_sheets::TwinSheets,
};
use chaffinch_twin::{
    Extreme, Figures, Forecast, Limit, Off, Reach, RoastParams, Setpoint, Trace, TwinError,
    empty_run_s,
};

/// The probe counts as having met the curve within this, in K. Assumed: what a roaster would call “on the curve”.
pub const MET_K: f64 = 3.0;
/// … for this long, in s. Assumed.
const MET_FOR_S: usize = 10;
/// How long a roaster is taken to hold on behind the end of the curve until the probe reads the finish, in s. Assumed.
pub const HOLD_ON_S: usize = 60;
/// Hottest that the curve is carried on to while holding on, in °C: what the model takes.
const HOTTEST_HOLD_ON_C: f64 = 300.0;
/// Half the span, in s, that the probe's rise is read over.
const HALF_RISE_SPAN_S: usize = 5;

/// When the probe passes the marks and the finish, in s; nothing where it doesn't.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Moments {
    /// Colour change.
    pub colour_change_s: Option<f64>,
    /// First crack.
    pub first_crack_s: Option<f64>,
    /// The chosen finish: the drop.
    pub drop_s: Option<f64>,
}

impl Moments {
    /// Length of drying in s.
    pub fn drying_s(&self) -> Option<f64> {
        self.colour_change_s
    }

    /// Length of browning in s.
    pub fn browning_s(&self) -> Option<f64> {
        Some(self.first_crack_s? - self.colour_change_s?)
    }

    /// Length of development in s; nothing if the drop comes before first crack.
    pub fn development_s(&self) -> Option<f64> {
        Some(self.drop_s? - self.first_crack_s?).filter(|length_s| 0.0 <= *length_s)
    }

    /// Development as a share of the whole roast, 0–1.
    pub fn development_ratio(&self) -> Option<f64> {
        Some(self.development_s()? / self.drop_s?)
    }
}

/// A roast as the model foresees it.
#[derive(Clone, Debug, PartialEq)]
pub struct Foreseen {
    /// Everything second by second, from charge to the drop.
    pub trace: Trace,
    /// The controller's setpoint at the same seconds, in °C.
    pub setpoint_c: Vec<f64>,
    /// Rate of rise of the probe at the same seconds, in °C/s, over 10 s.
    pub rise_c_per_s: Vec<f64>,
    /// Greatest effort that the heater takes at the same seconds, 0–1: less than 1 where the inlet air would get too hot.
    pub effort_limit: Vec<f64>,
    /// The figures of the whole run; misses in them count from charge.
    pub figures: Figures,
    /// First second from which on the probe keeps within [`MET_K`] of the curve for 10 s; nothing if it never does.
    pub met_s: Option<usize>,
    /// Second from which misses are counted: where the probe, having met the curve, stops closing in; charge if it never meets it.
    pub judged_from_s: usize,
    /// Last whole second before the drawn drop, or before the end of a curve that doesn't reach its finish.
    pub drawn_drop_s: usize,
    /// Probe less setpoint where they differ most from [`Self::judged_from_s`] on and before the drawn drop, in K.
    pub greatest_miss_k: Extreme,
    /// Root mean square of probe less setpoint over the same time, in K.
    pub rms_miss_k: f64,
    /// When the probe passes marks and finish.
    pub moments: Moments,
}

/// What the model says of a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Outlook {
    /// The sheets that it rests on.
    pub sheets: TwinSheets,
    /// How many of the sheets' numbers nobody entered or knows, of how many.
    pub assumed: (usize, usize),
    /// The roast; or every reason why nothing can be said.
    pub roast: Result<Foreseen, Vec<Limit>>,
    /// What the controller is told, on to [`HOLD_ON_S`] behind the drawn drop; nothing where the model can't take it.
    pub setpoint: Option<Setpoint>,
    /// The fastest and the slowest rise that the machine can keep up along the curve, at 0, 1, 2, … s.
    pub reach: Option<Reach>,
    /// The same as temperatures around the curve.
    pub corridor: Corridor,
    /// Least fan setting that lifts the bed, in % of the full setting, at 0, 1, 2, … s; above 100 where the fan is too weak. Empty where
    /// the model can't say.
    pub least_air_percent: Vec<f64>,
    /// How long the empty machine at full heat takes to 90 °C, in s; nothing if it never gets there.
    pub empty_run_s: Option<f64>,
    /// Every finish of the ladder, in its order, from one roast that goes on; empty where the model can't take the plan's numbers.
    pub finishes: Vec<FinishForecast>,
    /// What the controller of that roast is told.
    pub(crate) going_on: Option<Setpoint>,
    /// What stands against the plan because of the forecast, worst first.
    pub findings: Vec<Finding>,
}

impl Outlook {
    /// Asks the model about `plan`.
    pub fn of(plan: &Plan) -> Self {
        let sheets = TwinSheets::of(plan);
        let setpoint = setpoint(plan);
        let answer = match &setpoint {
            Ok(setpoint) => Forecast::of(&sheets.machine, &sheets.lot, &sheets.room, setpoint),
            Err(error) => Err(Box::new(Off {
                limits: vec![Limit::Input(error.clone())],
                reach: None,
                lift: Vec::new(),
            })),
        };
        let setpoint = setpoint.ok();
        let params = RoastParams::new(&sheets.machine, &sheets.lot, &sheets.room).ok();
        let drawn_c = setpoint.as_ref().map_or(&[][..], Setpoint::temp_c);
        let (roast, reach, lift) = match answer {
            Ok(mut forecast) => {
                let lift = std::mem::take(&mut forecast.lift);
                let (foreseen, reach) = foreseen(plan, drawn_c, forecast, params.as_ref());
                (Ok(foreseen), Some(reach), lift)
            }
            Err(off) => (Err(off.limits), off.reach, off.lift),
        };
        let least_air_percent = setpoint.as_ref().map_or_else(Vec::new, |setpoint| {
            let exponent = sheets.machine.fan_exponent;
            let settings = setpoint.air_share().iter().zip(&lift);
            // The flow goes with a power of the setting, so the setting that just lifts goes with its inverse.
            settings
                .map(|(share, lift)| 100.0 * share / lift.powf(1.0 / exponent))
                .collect()
        });
        let corridor = reach
            .as_ref()
            .map_or_else(Corridor::default, |reach| Corridor::of(drawn_c, reach));
        let empty_run_s = params
            .as_ref()
            .and_then(|params| empty_run_s(&sheets.machine, params));
        let (finishes, going_on) = RoastOn::of(plan, &sheets).map_or_else(
            || (Vec::new(), None),
            |roast| (roast.finishes, Some(roast.setpoint)),
        );
        let mut outlook = Self {
            sheets,
            assumed: TwinSheets::assumed_count(plan),
            roast,
            setpoint,
            reach,
            corridor,
            least_air_percent,
            empty_run_s,
            finishes,
            going_on,
            findings: Vec::new(),
        };
        outlook.findings = forecast_findings::find(plan, &outlook);
        outlook
    }

    /// The roast, if one can be foreseen.
    pub fn foreseen(&self) -> Option<&Foreseen> {
        self.roast.as_ref().ok()
    }

    /// Why nothing can be foreseen; empty if something can.
    pub fn limits(&self) -> &[Limit] {
        self.roast.as_ref().err().map_or(&[], Vec::as_slice)
    }
}

/// What the controller is told once a second: the curve, and behind its end on at its last rise, until the probe reads the finish.
fn setpoint(plan: &PlanParts) -> Result<Setpoint, TwinError> {
    let finish_c = plan.finishes.chosen().temp_c;
    setpoint_until(plan, hold_on_until_s(plan, finish_c))?.dropping_at(finish_c)
}

/// Last second, in s, at which the roaster still waits for a finish at `finish_c`.
pub(crate) fn hold_on_until_s(plan: &PlanParts, finish_c: f64) -> usize {
    drawn_drop_s(plan, finish_c).ceil() as usize + HOLD_ON_S
}

/// When the curve reaches a finish at `finish_c`, or ends, in s.
fn drawn_drop_s(plan: &PlanParts, finish_c: f64) -> f64 {
    let curve = &plan.curve;
    curve.first_reach(finish_c).unwrap_or(curve.end_s())
}

/// What the controller is told until `last_s`, whatever the probe reads; behind the drawn drop no hotter than the model takes.
pub(crate) fn setpoint_until(plan: &PlanParts, last_s: usize) -> Result<Setpoint, TwinError> {
    let drop_s = drawn_drop_s(plan, plan.finishes.chosen().temp_c);
    let mut temps_c = told::temps_c(&plan.curve, last_s);
    for temp_c in temps_c.iter_mut().skip(drop_s.floor() as usize + 1) {
        *temp_c = temp_c.min(HOTTEST_HOLD_ON_C);
    }
    let air = told::air_shares(|time_s| plan.airflow.percent(time_s), last_s);
    Setpoint::new(temps_c, air)
}

fn foreseen(
    plan: &PlanParts,
    drawn_c: &[f64],
    forecast: Forecast,
    params: Option<&RoastParams>,
) -> (Foreseen, Reach) {
    let Forecast {
        trace,
        reach,
        figures,
        ..
    } = forecast;
    let setpoint_c = drawn_c[..trace.len()].to_vec();
    // Behind the drawn drop there is no curve to miss, only a roaster who waits.
    let drawn_drop_s = drawn_drop_s(plan, plan.finishes.chosen().temp_c) as usize;
    let misses_k: Vec<f64> = trace
        .probe_c
        .iter()
        .zip(&setpoint_c)
        .take(drawn_drop_s + 1)
        .map(|(probe, set)| probe - set)
        .collect();
    let met_s = met_s(&misses_k);
    let from_s = met_s.map_or(0, |met_s| settled_s(&misses_k, met_s));
    let moments = Moments {
        colour_change_s: trace.probe_passes_s(plan.marks.colour_change_c),
        first_crack_s: trace.probe_passes_s(plan.marks.first_crack_c),
        drop_s: trace.probe_passes_s(plan.finishes.chosen().temp_c),
    };
    let limit = |&flow_share: &f64| params.map_or(1.0, |params| params.effort_limit(flow_share));
    let foreseen = Foreseen {
        rise_c_per_s: rises_c_per_s(&trace.probe_c),
        effort_limit: trace.flow_share.iter().map(limit).collect(),
        greatest_miss_k: greatest(&misses_k, from_s),
        rms_miss_k: root_mean_square(&misses_k[from_s..]),
        trace,
        setpoint_c,
        figures,
        met_s,
        judged_from_s: from_s,
        drawn_drop_s,
        moments,
    };
    (foreseen, reach)
}

/// First second from which on the probe stays within [`MET_K`] of the curve for [`MET_FOR_S`]: a preheated probe that falls through
/// the curve after charge has not met it.
fn met_s(misses_k: &[f64]) -> Option<usize> {
    let is_near = |miss_k: &f64| miss_k.abs() <= MET_K;
    misses_k
        .windows(MET_FOR_S)
        .position(|window| window.iter().all(is_near))
}

/// First second from `met_s` on after which the miss no longer shrinks: what is left of catching up is no miss of its own.
fn settled_s(misses_k: &[f64], met_s: usize) -> usize {
    let closes_in = |pair: &[f64]| pair[1].abs() < pair[0].abs();
    let closing_s = misses_k[met_s..]
        .windows(2)
        .take_while(|pair| closes_in(pair));
    met_s + closing_s.count()
}

/// Rises over 10 s, or what there is of them at the ends.
fn rises_c_per_s(readings_c: &[f64]) -> Vec<f64> {
    let last = readings_c.len() - 1;
    let rise = |second: usize| {
        let from = second.saturating_sub(HALF_RISE_SPAN_S);
        let to = (second + HALF_RISE_SPAN_S).min(last);
        (readings_c[to] - readings_c[from]) / (to - from).max(1) as f64
    };
    (0..=last).map(rise).collect()
}

/// The value from `from_s` on that lies farthest from 0, and its second.
fn greatest(values: &[f64], from_s: usize) -> Extreme {
    let start = Extreme {
        value: 0.0,
        time_s: from_s,
    };
    let later = values.iter().enumerate().skip(from_s);
    later.fold(start, |best, (time_s, &value)| {
        if best.value.abs() < value.abs() {
            Extreme { value, time_s }
        } else {
            best
        }
    })
}

fn root_mean_square(values: &[f64]) -> f64 {
    (values.iter().map(|value| value * value).sum::<f64>() / values.len().max(1) as f64).sqrt()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]
    use super::*;
    use crate::Edit;
    use chaffinch_curve::{CurvePoint, PointEdit, PointId};

    #[test]
    fn probe_and_curve_have_met_once_they_stay_together_for_ten_seconds() {
        // Falls through the curve for 5 s, then comes back for good.
        let mut misses_k = vec![80.0, 40.0, 2.0, 1.0, 0.0, -1.0, -2.0, -20.0, -9.0];
        assert_eq!(met_s(&misses_k), None, "only passing through");
        misses_k.extend([-3.0; 9]);
        assert_eq!(met_s(&misses_k), None, "9 s together");
        misses_k.push(2.9);
        assert_eq!(met_s(&misses_k), Some(9), "10 s together");
        assert_eq!(met_s(&[]), None, "nothing");
    }

    #[test]
    fn misses_are_read_from_where_they_count() {
        let misses_k = [-80.0, -40.0, 1.0, -2.0, 1.5];
        let worst = greatest(&misses_k, 2);
        assert_eq!((worst.value, worst.time_s), (-2.0, 3), "farthest from 0");
        // (1 + 4 + 2.25) / 3 by hand.
        let expected = (7.25_f64 / 3.0).sqrt();
        let found = root_mean_square(&misses_k[2..]);
        assert!((found - expected).abs() < 1e-12, "{found}");
        assert_eq!(root_mean_square(&[]), 0.0, "nothing");
    }

    #[test]
    fn rise_is_read_over_ten_seconds_and_over_less_at_the_ends() {
        // 1 °C/s for 10 s, then 2 °C/s.
        let readings: Vec<f64> = (0..=30)
            .map(|second| f64::from(second) + f64::from((second - 10).max(0)))
            .collect();
        let rises = rises_c_per_s(&readings);
        for (second, expected) in [(0, 1.0), (5, 1.0), (10, 1.5), (15, 2.0), (30, 2.0)] {
            assert!(
                (rises[second] - expected).abs() < 1e-12,
                "{second}: {}",
                rises[second]
            );
        }
        assert_eq!(rises_c_per_s(&[20.0]), [0.0], "a single reading");
    }

    #[test]
    fn moments_divide_the_roast_into_phases() {
        let moments = Moments {
            colour_change_s: Some(150.0),
            first_crack_s: Some(375.0),
            drop_s: Some(500.0),
        };
        assert_eq!(moments.drying_s(), Some(150.0), "drying");
        assert_eq!(moments.browning_s(), Some(225.0), "browning");
        assert_eq!(moments.development_s(), Some(125.0), "development");
        assert_eq!(moments.development_ratio(), Some(0.25), "ratio");
        let early = Moments {
            drop_s: Some(300.0),
            ..moments
        };
        assert_eq!(early.development_s(), None, "drop before first crack");
        assert_eq!(Moments::default().development_ratio(), None, "nothing");
    }

    #[test]
    fn the_roaster_holds_on_for_a_minute_behind_the_drawn_drop() {
        let plan = Plan::fresh();
        let set = setpoint(&plan).unwrap();
        let drop_s = plan.curve.first_reach(plan.finish().temp_c).unwrap();
        assert_eq!(set.duration_s(), drop_s.ceil() as usize + HOLD_ON_S, "end");
        let (end_s, last_c) = (plan.curve.end_s() as usize, plan.curve.last().temp_c);
        let on = set.temp_c()[end_s + 10] - last_c;
        let rise_c_per_s = plan.curve.rise_c_per_s(plan.curve.end_s());
        assert!(
            (on - 10.0 * rise_c_per_s.max(told::LEAST_HOLD_ON_RISE_C_PER_S)).abs() < 1e-9,
            "{on} °C in 10 s behind the end"
        );
    }

    #[test]
    fn a_steep_end_does_not_leave_the_model() {
        // 150 °C/min at the end would pass 300 °C while holding on.
        let to = CurvePoint {
            time_s: 400.0,
            temp_c: 170.0,
        };
        let edits = [
            PointEdit::InsertAt { at: to },
            PointEdit::Move {
                id: PointId(2),
                to: CurvePoint {
                    time_s: 420.0,
                    temp_c: 220.0,
                },
            },
        ];
        let edits = edits.map(Edit::Points).to_vec();
        let plan = Plan::fresh().edited(&Edit::Together("", edits)).unwrap();
        let set = setpoint(&plan).unwrap();
        let hottest_c = set.temp_c().iter().copied().fold(0.0, f64::max);
        assert_eq!(hottest_c, HOTTEST_HOLD_ON_C, "held at what the model takes");
    }
}
