//! Repairs of what the forecast holds against a plan: ease the slope, start later, less coffee, other air, a cooler finish or preheat.

use crate::{
    air_repairs,
    curve_repairs::{cooler_finish, lower_finish, shifted},
    edit::{Edit, NumberName},
    forecast_kind::{ForecastKind, ReachEnd},
    knowledge::{Given, Knowledge},
    limits,
    lot::LotNumber,
    machine::MachineNumber,
    repair::{Case, Repair},
    units::{format_temp_with_unit, format_time, format_time_shift},
};
use chaffinch_curve::{ControlPoint, CurvePoint, Offset, PointEdit, PointId};
use chaffinch_twin::{Cause, Limit};

/// Length of the stretch before the drop, in s, whose airflow is changed where the probe doesn't reach the finish. Ours.
const LAST_STRETCH_S: f64 = 180.0;

/// The repair of a finding of the forecast.
pub(crate) fn suggest(case: &Case<'_>, kind: &ForecastKind) -> Option<Repair> {
    match kind {
        ForecastKind::NoForecast { limit } => bring_back(case, limit),
        ForecastKind::FinishNotReached { temp_c, .. } => {
            let from_s = (case.finding.to_s - LAST_STRETCH_S).max(0.0);
            lower_dose(case)
                .or_else(|| air_repairs::lower(case, (from_s, case.finding.to_s)))
                .or_else(|| cooler_finish(case, *temp_c))
        }
        ForecastKind::AboveCeiling {
            highest_c,
            ceiling_c,
            ..
        } => cooler_preheat(case, *ceiling_c)
            .or_else(|| lower_finish(case, case.plan.finish().temp_c - (highest_c - ceiling_c))),
        ForecastKind::BeyondReach {
            end,
            worst_s,
            cause,
            ..
        } => follow(case, *end, *worst_s, *cause),
        ForecastKind::OffTheCurve {
            miss_k,
            worst_s,
            cause,
        } => {
            let end = if *miss_k < 0.0 {
                ReachEnd::Fastest
            } else {
                ReachEnd::Slowest
            };
            follow(case, end, *worst_s, *cause)
        }
        ForecastKind::MeetsLate { probe_c, .. } => start_later(case)
            .or_else(|| start_lower(case, *probe_c))
            .or_else(|| start_at_probe(case, *probe_c))
            .or_else(|| lower_dose(case)),
        ForecastKind::HeaterAtLimit { cause, .. } => spare_heat(case, *cause)
            .or_else(|| lower_dose(case))
            .or_else(|| ease_later(case, case.finding.from_s)),
        ForecastKind::Hunts { .. } => None,
    }
}

/// What lets a forecast be made again.
fn bring_back(case: &Case<'_>, limit: &Limit) -> Option<Repair> {
    match limit {
        Limit::BedRests { .. } => air_repairs::lift(case),
        Limit::BeansCarriedOut {
            time_s,
            speed_m_per_s,
            terminal_m_per_s,
        } => air_repairs::hold_down(case, *time_s as f64, terminal_m_per_s / speed_m_per_s),
        Limit::Dose {
            found_kg, min_kg, ..
        } => {
            let bound = if found_kg < min_kg {
                MachineNumber::LeastDose
            } else {
                MachineNumber::GreatestDose
            };
            let bound = case.plan.machine.numbers.known(bound)?;
            case.first_mending([dose(case, bound.value)?])
        }
        Limit::BeansTooHot { .. } => lower_finish(case, case.plan.finish().temp_c),
        Limit::Input(_)
        | Limit::Moisture { .. }
        | Limit::BeanSize { .. }
        | Limit::Duration { .. } => None,
    }
}

/// Brings curve and machine together where the one is too steep or too flat for the other.
fn follow(case: &Case<'_>, end: ReachEnd, worst_s: f64, cause: Cause) -> Option<Repair> {
    match end {
        ReachEnd::Fastest => ease_later(case, worst_s)
            .or_else(|| ease_by_temp(case, worst_s, end))
            .or_else(|| lower_dose(case))
            .or_else(|| spare_heat(case, cause)),
        ReachEnd::Slowest => ease_by_temp(case, worst_s, end)
            .or_else(|| air_repairs::raise(case, (case.finding.from_s, case.finding.to_s))),
    }
}

/// Less air where the heater's power binds, more where its air gets too hot.
fn spare_heat(case: &Case<'_>, cause: Cause) -> Option<Repair> {
    let place_s = (case.finding.from_s, case.finding.to_s);
    match cause {
        Cause::HeaterCeiling => air_repairs::lower(case, place_s),
        Cause::InletCeiling => air_repairs::raise(case, place_s),
        _ => None,
    }
}

/// The first point behind `time_s`, by its place in the curve.
fn point_after(case: &Case<'_>, time_s: f64) -> Option<usize> {
    let points = case.plan.curve.points();
    points.iter().position(|point| time_s < point.time_s)
}

/// Takes the points behind `time_s` later, together, so that the slope before them eases.
fn ease_later(case: &Case<'_>, time_s: f64) -> Option<Repair> {
    let index = point_after(case, time_s)?;
    let ids = ids(&case.plan.curve.points()[index..]);
    case.least_mending(limits::MAX_REPAIR_TIME_STEPS, |steps| {
        let by_s = f64::from(steps) * limits::REPAIR_STEP_S;
        Some(Repair {
            label: format!("Ease to point {}, {}", index + 1, format_time_shift(by_s)),
            edit: later(ids.clone(), by_s),
        })
    })
}

/// Eases a slope by the temperature of its ends. One too steep: the point before it up, else the one behind it down. One too flat:
/// the other way round.
fn ease_by_temp(case: &Case<'_>, time_s: f64, end: ReachEnd) -> Option<Repair> {
    let index = point_after(case, time_s)?;
    let sign = match end {
        ReachEnd::Fastest => 1,
        ReachEnd::Slowest => -1,
    };
    let points = case.plan.curve.points();
    // The first point is where the roast starts, which is no matter of slope.
    let before = index.checked_sub(1).filter(|&before| before != 0);
    let moves = [before.map(|before| (before, sign)), Some((index, -sign))];
    moves.into_iter().flatten().find_map(|(index, sign)| {
        let point = &points[index];
        case.least_mending(limits::MAX_REPAIR_STEPS / 4, |steps| {
            let word = if sign < 0 { "Lower" } else { "Lift" };
            Some(Repair {
                label: format!("{word} point {}", index + 1),
                edit: Edit::Points(shifted(point, sign * steps)),
            })
        })
    })
}

/// Takes all points but the first later, so that the probe has time to get to the curve.
fn start_later(case: &Case<'_>) -> Option<Repair> {
    let points = case.plan.curve.points();
    let ids = ids(&points[1..]);
    case.least_mending(limits::MAX_REPAIR_TIME_STEPS / 2, |steps| {
        let by_s = f64::from(steps) * limits::REPAIR_STEP_S;
        Some(Repair {
            label: format!("Start {} later", format_time(by_s)),
            edit: later(ids.clone(), by_s),
        })
    })
}

/// Starts the curve lower, nearer to the probe.
fn start_lower(case: &Case<'_>, probe_c: f64) -> Option<Repair> {
    let curve_c = case.plan.curve.points()[0].temp_c;
    case.least_mending(limits::MAX_REPAIR_START_STEPS, |steps| {
        let temp_c = curve_c - f64::from(steps) * limits::REPAIR_START_STEP_C;
        (probe_c < temp_c).then(|| Repair {
            label: format!("Start at {}", format_temp_with_unit(temp_c, case.unit)),
            edit: first_at(case, temp_c),
        })
    })
}

/// Starts the curve where the probe is, and takes the rest as much later as the machine needs.
fn start_at_probe(case: &Case<'_>, probe_c: f64) -> Option<Repair> {
    let points = case.plan.curve.points();
    // A probe hotter than the curve falls when it meets the beans; the curve should not begin up there.
    if points[0].temp_c <= probe_c {
        return None;
    }
    let temp_c = (probe_c / limits::REPAIR_STEP_C).ceil() * limits::REPAIR_STEP_C;
    let ids = ids(&points[1..]);
    case.least_mending(limits::MAX_REPAIR_TIME_STEPS / 2, |steps| {
        let by_s = f64::from(steps) * limits::REPAIR_STEP_S;
        let temp = format_temp_with_unit(temp_c, case.unit);
        Some(Repair {
            label: format!("Start at {temp}, {} later", format_time(by_s)),
            edit: Edit::Together(
                "Started where the probe is",
                vec![first_at(case, temp_c), later(ids.clone(), by_s)],
            ),
        })
    })
}

fn first_at(case: &Case<'_>, temp_c: f64) -> Edit {
    let first = &case.plan.curve.points()[0];
    let to = CurvePoint {
        temp_c,
        ..first.place()
    };
    Edit::Points(PointEdit::Move { id: first.id, to })
}

fn ids(points: &[ControlPoint]) -> Vec<PointId> {
    points.iter().map(|point| point.id).collect()
}

fn later(ids: Vec<PointId>, time_s: f64) -> Edit {
    let by = Offset {
        time_s,
        temp_c: 0.0,
    };
    Edit::Points(PointEdit::Shift { ids, by })
}

/// Holds the empty machine no hotter than the probe may read, where it was held hotter. How well the preheat is known stays.
fn cooler_preheat(case: &Case<'_>, ceiling_c: f64) -> Option<Repair> {
    let numbers = &case.plan.machine.numbers;
    let preheat = numbers.entered(MachineNumber::Preheat)?;
    let offset = numbers.known(MachineNumber::ProbeOffset);
    let most_c = ceiling_c - offset.map_or(0.0, |offset| offset.value);
    let whole_c = (most_c / limits::REPAIR_STEP_C).floor() * limits::REPAIR_STEP_C;
    case.least_mending(limits::MAX_REPAIR_FINISH_STEPS, |steps| {
        let value = whole_c - f64::from(steps - 1) * limits::REPAIR_STEP_C;
        let given = Given { value, ..preheat };
        (value < preheat.value).then(|| Repair {
            label: format!("Preheat to {}", format_temp_with_unit(value, case.unit)),
            edit: Edit::Number(NumberName::Machine(MachineNumber::Preheat), Some(given)),
        })
    })
}

/// Charges less, in whole steps, but not less than the machine's least.
fn lower_dose(case: &Case<'_>) -> Option<Repair> {
    let known_g = case.plan.lot.numbers.known(LotNumber::Dose)?.value;
    let least_g = case.plan.machine.numbers.known(MachineNumber::LeastDose)?;
    let whole_steps = (known_g / limits::REPAIR_STEP_G).ceil();
    case.least_mending(limits::MAX_REPAIR_DOSE_STEPS, |steps| {
        let dose_g = (whole_steps - f64::from(steps)) * limits::REPAIR_STEP_G;
        dose(case, dose_g).filter(|_| least_g.value <= dose_g)
    })
}

/// Another dose. What is charged is weighed, so the new number counts as measured.
fn dose(case: &Case<'_>, value: f64) -> Option<Repair> {
    let known = case.plan.lot.numbers.known(LotNumber::Dose)?;
    let word = if value < known.value {
        "Lower"
    } else {
        "Raise"
    };
    let given = Given {
        value,
        knowledge: Knowledge::Measured,
    };
    Some(Repair {
        label: format!("{word} the dose to {value} g"),
        edit: Edit::Number(NumberName::Lot(LotNumber::Dose), Some(given)),
    })
}
