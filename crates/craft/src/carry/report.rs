//! A carry-over in plain words: the note of origin in the new plan, and the list of what changed and why.

use super::{CarryOver, CarryRequest, Keep, Level, Practice, Shift, text};
use crate::{
    edit::NumberName,
    limits,
    lot::LotNumber,
    machine::MachineNumber,
    room::RoomNumber,
    sheet::SheetNumber,
    units::{
        TempUnit, format_number, format_rise_with_unit, format_temp_difference_with_unit,
        format_temp_shift_with_unit, format_temp_with_unit, format_time,
    },
};
use chaffinch_twin::trust;

/// A history that is missed by more than this, in K, is worth more points. Ours: a seventh of what the core is trusted to.
const POINTS_WOULD_HELP_K: f64 = 1.0;
/// What “within” is never less than, in K: the last digit shown.
const LEAST_SHOWN_K: f64 = 0.1;

/// Share by which the mains may differ from the machine's rated voltage before it is remarked on. EN 50160 lets public mains differ by
/// 10 % (from memory); the rest is for the lead to the machine. Assumed.
const MAINS_TOLERANCE: f64 = 0.2;

/// The notes of the new plan: where it came from, and below it the notes of the old one, if both fit.
pub(super) fn noted(request: &CarryRequest<'_>, practice: &Practice) -> String {
    let from = request.from;
    let old_notes = &from.notes;
    if is_unchanged(request) {
        return old_notes.clone();
    }
    let lot = |name: &str| {
        if name.is_empty() {
            "an unnamed coffee".to_owned()
        } else {
            format!("“{name}”")
        }
    };
    let layers = match (request.physics, practice) {
        (true, Practice::Applied { .. }) => "physics and practice",
        (true, _) => "physics",
        (false, Practice::Applied { .. }) => "practice",
        (false, _) => "no layer",
    };
    let origin = format!(
        "Carried over from “{}” ({}) to {}; kept: {}; by: {layers}; {} %.",
        from.title,
        lot(&from.lot.name),
        lot(&request.to.lot.name),
        request.keep.label().to_lowercase(),
        format_number(request.percent, 0),
    );
    let both = if old_notes.is_empty() {
        origin
    } else {
        format!("{origin}\n\n{old_notes}")
    };
    if both.len() <= limits::MAX_NOTES_BYTES {
        both
    } else {
        old_notes.clone()
    }
}

/// Whether the sheets carried to are those carried from.
fn is_unchanged(request: &CarryRequest<'_>) -> bool {
    let (from, to) = (request.from, &request.to);
    from.lot == to.lot && from.machine == to.machine && from.room == to.room
}

impl CarryOver {
    /// What changed and why, a line each: reasons, layers with their sizes, marks, airflow, what is missing, what to measure.
    pub fn lines(&self, unit: TempUnit) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        lines.extend(self.mains_line());
        lines.extend(
            self.reasons
                .iter()
                .map(|reason| reason.sentence(self.keep, unit)),
        );
        lines.push(self.physics_line(unit));
        lines.push(self.practice_line(unit));
        if self.percent < 100.0 {
            let percent = format_number(self.percent, 0);
            lines.push(format!("Of both, {percent} % are applied."));
        }
        lines.push(self.your_roasts.sentence());
        lines.extend(self.level_lines(unit));
        if self.air_factor != 1.0 {
            lines.push(format!(
                "The fan's settings are multiplied by {} so that the bed is lifted as before.",
                format_number(self.air_factor, 2)
            ));
        }
        lines.extend(self.left_line(unit));
        lines.extend(self.shortfall_line(unit));
        lines.extend(self.undelivered_line());
        lines.extend(self.measurement_line(unit));
        lines
    }

    /// A socket that doesn't fit the rating plate: whatever is foreseen of such a pair is no plan to roast by.
    pub(super) fn mains_line(&self) -> Option<String> {
        let known_v = |name: NumberName| name.known(&self.plan).map(|given| given.value);
        let mains_v = known_v(NumberName::Room(RoomNumber::Mains))?;
        let rated_v = known_v(NumberName::Machine(MachineNumber::RatedVoltage))?;
        if (1.0 - MAINS_TOLERANCE..=1.0 + MAINS_TOLERANCE).contains(&(mains_v / rated_v)) {
            return None;
        }
        Some(format!(
            "Caution: the machine is rated for {} V and the room's mains is {} V. Heat goes with the square of the voltage; don't connect a machine to mains that its rating plate doesn't name, and enter a room that fits.",
            format_number(rated_v, 0),
            format_number(mains_v, 0)
        ))
    }

    fn physics_line(&self, unit: TempUnit) -> String {
        if !self.physics {
            return "Physics is switched off.".to_owned();
        }
        if self.keep == Keep::PhaseClock {
            return "Physics leaves the curve as it is: only the heater's effort changes."
                .to_owned();
        }
        let trust = format_temp_difference_with_unit(trust::CORE_K, unit);
        let shifts = self.points.iter().map(|point| &point.physics);
        format!(
            "Physics moves the curve by {}. The core itself is known to ± {trust} before your own roasts have calibrated the model.",
            sizes(&shifts, unit)
        )
    }

    fn practice_line(&self, unit: TempUnit) -> String {
        match self.practice {
            Practice::Off => "Practice is switched off.".to_owned(),
            Practice::NoAltitude => {
                "Practice changes nothing: it needs the altitude of growth of both coffees."
                    .to_owned()
            }
            Practice::Applied { from_m, to_m } if from_m == to_m => format!(
                "Practice changes nothing: both coffees grew at {} m (equivalent altitudes).",
                format_number(to_m, 0)
            ),
            Practice::Applied { from_m, to_m } => {
                let shifts = self.points.iter().map(|point| &point.practice);
                format!(
                    "Practice moves the curve by {}, for growing at {} m instead of {} m (equivalent altitudes; common practice, no published source).",
                    sizes(&shifts, unit),
                    format_number(to_m, 0),
                    format_number(from_m, 0)
                )
            }
        }
    }

    fn level_lines(&self, unit: TempUnit) -> Vec<String> {
        let line = |name: &str, before_c: f64, after_c: f64| {
            format!(
                "{name}: {} instead of {}.",
                format_temp_with_unit(after_c, unit),
                format_temp_with_unit(before_c, unit)
            )
        };
        let is_moved = |before_c: f64, after_c: f64| {
            format_temp_with_unit(before_c, unit) != format_temp_with_unit(after_c, unit)
        };
        let moved = self
            .levels
            .iter()
            .filter(|level| is_moved(level.before_c, level.after_c));
        moved
            .filter_map(|level| {
                let name = match level.level {
                    Level::Mark(mark) => mark.label().to_owned(),
                    Level::Finish(id) => format!("Finish “{}”", self.plan.finishes.get(id)?.name),
                };
                Some(line(&name, level.before_c, level.after_c))
            })
            .collect()
    }

    /// How well the history is kept; nothing where no course of temperatures is, or where the machine falls short.
    fn left_line(&self, unit: TempUnit) -> Option<String> {
        let left = self.left.filter(|_| self.shortfall.is_none())?;
        let what = match self.keep {
            Keep::CoreHistory => "the core",
            Keep::SurfaceToCore => "the difference of surface and core",
            Keep::PhaseClock | Keep::BrowningWork => return None,
        };
        let size_k = left.greatest_k.value.abs();
        let more = if size_k < POINTS_WOULD_HELP_K {
            ""
        } else {
            "; more points, or fewer locks, may bring it nearer"
        };
        Some(format!(
            "By physics alone and in full, {what} keeps to its history within {} from {} on, farthest off at {}{more}.",
            format_temp_difference_with_unit(size_k.max(LEAST_SHOWN_K), unit),
            format_time(left.from_s as f64),
            format_time(left.greatest_k.time_s as f64)
        ))
    }

    pub(super) fn shortfall_line(&self, unit: TempUnit) -> Option<String> {
        let shortfall = self.shortfall?;
        let greatest = shortfall.greatest_core_k;
        let what = if self.keep == Keep::SurfaceToCore {
            "the difference of surface and core"
        } else {
            "the core"
        };
        Some(format!(
            "This machine can't deliver it ({} for {} s more than before): {what} misses what was kept by {} at {}, and the core by {} at the drop. This is the nearest curve within reach.",
            shortfall.cause.words(),
            shortfall.longer_s,
            format_temp_shift_with_unit(greatest.value, unit),
            format_time(greatest.time_s as f64),
            format_temp_shift_with_unit(shortfall.drop_core_k, unit),
        ))
    }

    pub(super) fn measurement_line(&self, unit: TempUnit) -> Option<String> {
        let sensitivity = self.narrowing()?;
        let (guess, facts) = (sensitivity.guess, sensitivity.guess.number.facts());
        let size = if sensitivity.rms_k < sensitivity.rms_s {
            format!("{} s", format_number(sensitivity.rms_s, 0))
        } else {
            format_temp_difference_with_unit(sensitivity.rms_k, unit)
        };
        let (value, spread) = (
            format_number(guess.value, 1),
            format_number(guess.spread, 1),
        );
        let amount = if guess.number == LotNumber::ScreenSize {
            format!("screen {value} ± {spread}")
        } else {
            format!("{value} ± {spread} {}", facts.unit.kept_symbol())
        };
        Some(format!(
            "To narrow the result most, {}: the {} is {} ({amount}, common practice, no published source), which leaves the curve open by ± {size}.",
            guess.measurement(),
            if guess.number == LotNumber::ScreenSize {
                "bean size"
            } else {
                facts.noun
            },
            guess.knowledge.word(),
        ))
    }

    /// The measurement that would narrow the result most; nothing where all that can be measured is, or nothing would move.
    pub fn narrowing(&self) -> Option<&super::Sensitivity> {
        let is_useful = |sensitivity: &&super::Sensitivity| {
            sensitivity.guess.can_be_measured() && 0.0 < sensitivity.rms_k + sensitivity.rms_s
        };
        self.sensitivities.iter().find(is_useful)
    }

    /// Half the width of the band round each point from all numbers that nobody measured, as temperature and time: 95 of 100, if the
    /// guesses are independent and the curve follows them in proportion.
    pub fn band(&self) -> Vec<Shift> {
        let root = |index: usize, of: fn(&super::Sensitivity) -> &Vec<f64>| {
            let squares = self
                .sensitivities
                .iter()
                .map(|found| of(found)[index].powi(2));
            // Begun at 0, because the sum of nothing is −0.
            squares.fold(0.0, |sum: f64, square| sum + square).sqrt()
        };
        (0..self.points.len())
            .map(|index| Shift {
                time_s: root(index, |found| &found.times_s),
                temp_k: root(index, |found| &found.temps_k),
                rise_c_per_s: 0.0,
            })
            .collect()
    }
}

/// Least and greatest of the shifts in temperature, rise and time, in a sentence.
fn sizes<'a>(shifts: &(impl Iterator<Item = &'a Shift> + Clone), unit: TempUnit) -> String {
    let shifts: Vec<Shift> = shifts.clone().copied().collect();
    let [temp, rise, time] = spans(&shifts, unit);
    if shifts.iter().any(|shift| shift.time_s != 0.0) {
        format!("{temp} and {rise}, in time by {time}")
    } else {
        format!("{temp} and {rise}")
    }
}

/// Least and greatest of the shifts in temperature, rise and time, each as “least to greatest”.
pub(super) fn spans(shifts: &[Shift], unit: TempUnit) -> [String; 3] {
    let range = |of: fn(&Shift) -> f64| {
        let none = (f64::INFINITY, f64::NEG_INFINITY);
        shifts.iter().map(of).fold(none, |(least, most), value| {
            (least.min(value), most.max(value))
        })
    };
    let (least_k, most_k) = range(|shift| shift.temp_k);
    let (slowest, fastest) = range(|shift| shift.rise_c_per_s);
    let (earliest_s, latest_s) = range(|shift| shift.time_s);
    [
        format!(
            "{} to {}",
            format_temp_shift_with_unit(least_k, unit),
            format_temp_shift_with_unit(most_k, unit)
        ),
        format!(
            "{} to {}",
            rise_shift(slowest, unit),
            rise_shift(fastest, unit)
        ),
        text::time_span(earliest_s, latest_s),
    ]
}

/// A change of the rate of rise with its sign.
pub(super) fn rise_shift(rise_c_per_s: f64, unit: TempUnit) -> String {
    let text = format_rise_with_unit(rise_c_per_s, unit);
    if 0.0 < rise_c_per_s && !text.starts_with("0.0 ") {
        format!("+{text}")
    } else {
        text
    }
}
