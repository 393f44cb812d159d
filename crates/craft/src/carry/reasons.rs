//! Why the curve changes: each thing that differs, by itself, on the curve that was carried from.

use super::{keep::Keep, sensitivity::is_same_coffee};
use crate::{
    lot::{Lot, LotNumber},
    machine::MachineNumber,
    outlook::Outlook,
    plan::PlanParts,
    room::RoomNumber,
    sheet::{NumberFacts, Numbers, SheetNumber, SheetUnit},
    twin_sheets::TwinSheets,
    units::{TempUnit, format_number, format_temp_difference_with_unit},
};
use chaffinch_twin::{Forecast, LotParams};

/// Below this, in K, an effect is called none. Ours: half of what is shown.
const NO_EFFECT_K: f64 = 0.05;

/// One thing that differs and what it does by itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Reason {
    /// What differs.
    pub difference: Difference,
    /// What it does on the old curve; nothing where it can't be told apart, because nothing can be foreseen with it alone.
    pub effect: Option<Effect>,
}

/// What one difference does on the old curve at the moment of first crack (of the drop if first crack comes later).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effect {
    /// Change of the core's temperature, in K: below 0 it lags more.
    pub core_k: f64,
    /// Change of surface less core, in K.
    pub spread_k: f64,
}

/// A thing that differs between two sets of sheets.
#[derive(Clone, Debug, PartialEq)]
pub enum Difference {
    /// A number: its facts, before and after.
    Number {
        /// What it is.
        facts: &'static NumberFacts,
        /// Its value before, in the unit of the sheet.
        from: f64,
        /// Its value after.
        to: f64,
    },
    /// Diameter of the beans, in m.
    BeanSize {
        /// Before.
        from_m: f64,
        /// After.
        to_m: f64,
    },
    /// Several numbers of the machine (with the mains, which only makes sense with its machine): their nouns.
    Machine(Vec<&'static str>),
}

impl Difference {
    /// What differs, as the head of a sentence: “Denser by 42 g/L”.
    fn text(&self, unit: TempUnit) -> String {
        match self {
            Self::Number { facts, from, to } => {
                let is_more = from < to;
                let word = match (facts.key, is_more) {
                    ("density_g_per_l", true) => "Denser".to_owned(),
                    ("density_g_per_l", false) => "Less dense".to_owned(),
                    ("moisture_percent", true) => "Wetter".to_owned(),
                    ("moisture_percent", false) => "Drier".to_owned(),
                    // Only the room's altitude works by itself; the coffee's works by what is reckoned from it.
                    ("altitude_m", true) => "Room higher".to_owned(),
                    ("altitude_m", false) => "Room lower".to_owned(),
                    (_, true) => format!("Higher {}", facts.noun),
                    (_, false) => format!("Lower {}", facts.noun),
                };
                format!("{word} by {}", amount((to - from).abs(), facts, unit))
            }
            Self::BeanSize { from_m, to_m } => {
                let word = if from_m < to_m { "Larger" } else { "Smaller" };
                let by_mm = (to_m - from_m).abs() * 1e3;
                format!("{word} beans by {} mm", shortest(by_mm))
            }
            Self::Machine(nouns) => format!("Another machine ({})", nouns.join(", ")),
        }
    }
}

impl Reason {
    /// The reason in one sentence, with what it asks of a curve that keeps the history, as if the machine could follow.
    pub fn sentence(&self, keep: Keep, unit: TempUnit) -> String {
        let what = self.difference.text(unit);
        match self.effect {
            None => format!(
                "{what}: what it does by itself can't be told, because nothing can be foreseen with it alone."
            ),
            Some(effect) if keep == Keep::SurfaceToCore => {
                format!("{what}: {}.", effect.on_spread(unit))
            }
            Some(effect) => format!("{what}: {}.", effect.on_core(keep, unit)),
        }
    }
}

impl Effect {
    fn on_spread(self, unit: TempUnit) -> String {
        if self.spread_k.abs() < NO_EFFECT_K {
            return "surface and core stay as far apart as they were".to_owned();
        }
        let by = format_temp_difference_with_unit(self.spread_k.abs(), unit);
        let (how, asked) = if 0.0 < self.spread_k {
            ("further apart", "longer")
        } else {
            ("closer", "shorter")
        };
        format!(
            "surface and core are {by} {how} at first crack, which by itself asks for a {asked} roast"
        )
    }

    fn on_core(self, keep: Keep, unit: TempUnit) -> String {
        if self.core_k.abs() < NO_EFFECT_K {
            return "the core hardly notices".to_owned();
        }
        let by = format_temp_difference_with_unit(self.core_k.abs(), unit);
        let (how, asked) = if self.core_k < 0.0 {
            ("more", "hotter")
        } else {
            ("less", "cooler")
        };
        let so = match keep {
            Keep::PhaseClock => "and stays so, because the curve is kept".to_owned(),
            Keep::BrowningWork => format!("which by itself asks for {asked} browning"),
            Keep::CoreHistory | Keep::SurfaceToCore => {
                format!("which by itself asks for a {asked} curve")
            }
        };
        format!("the core lags {by} {how} at first crack, {so}")
    }
}

/// A difference of one number with its unit.
fn amount(by: f64, facts: &NumberFacts, unit: TempUnit) -> String {
    match facts.unit {
        // A difference of two percentages is not a percentage.
        SheetUnit::Plain("%") => format!("{} points", shortest(by)),
        SheetUnit::Plain("") => shortest(by),
        SheetUnit::Plain(symbol) => format!("{} {symbol}", shortest(by)),
        SheetUnit::Temperature | SheetUnit::TemperatureDifference => {
            format_temp_difference_with_unit(by, unit)
        }
    }
}

/// To about two digits, without needless zeros.
fn shortest(size: f64) -> String {
    let decimals = match size {
        size if 10.0 <= size => 0,
        size if 1.0 <= size => 1,
        size if 0.1 <= size => 2,
        _ => 3,
    };
    let text = format_number(size, decimals);
    if decimals == 0 {
        text
    } else {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    }
}

/// Everything that differs between the sheets of `from` and `to`, each by itself. Costs a forecast for each.
pub(super) fn reasons(from: &PlanParts, from_outlook: &Outlook, to: &PlanParts) -> Vec<Reason> {
    let (old, new) = (TwinSheets::of(from), TwinSheets::of(to));
    let alone = Alone {
        from: from_outlook,
        old: &old,
    };
    let mut reasons = Vec::new();
    if !is_same_coffee(&from.lot, &to.lot) || from.lot != to.lot {
        lot_reasons(&alone, (&from.lot, &to.lot), &new.lot, &mut reasons);
    }
    let with_mains = changed(&from.room.numbers, &to.room.numbers, RoomNumber::Mains).is_some();
    let machine_nouns = machine_nouns(from, to, with_mains);
    let with_machine = !machine_nouns.is_empty();
    if with_machine {
        let mut room = old.room.clone();
        room.mains_v = new.room.mains_v;
        reasons.push(Reason {
            difference: Difference::Machine(machine_nouns),
            effect: alone.effect(&TwinSheets {
                machine: new.machine.clone(),
                room,
                ..old.clone()
            }),
        });
    }
    for number in RoomNumber::ALL {
        // It went with the machine, without which it makes no sense.
        if with_machine && *number == RoomNumber::Mains {
            continue;
        }
        let Some((value, is_new)) = changed(&from.room.numbers, &to.room.numbers, *number) else {
            continue;
        };
        let mut room = old.room.clone();
        match number {
            RoomNumber::Altitude => room.altitude_m = new.room.altitude_m,
            RoomNumber::AirTemp => room.ambient_c = new.room.ambient_c,
            RoomNumber::Humidity => room.humidity_percent = new.room.humidity_percent,
            RoomNumber::Mains => room.mains_v = new.room.mains_v,
        }
        reasons.push(Reason {
            difference: Difference::Number {
                facts: number.facts(),
                from: value,
                to: is_new,
            },
            effect: alone.effect(&TwinSheets {
                room,
                ..old.clone()
            }),
        });
    }
    reasons
}

fn lot_reasons(alone: &Alone<'_>, lots: (&Lot, &Lot), new: &LotParams, reasons: &mut Vec<Reason>) {
    let old = &alone.old.lot;
    let mut push = |difference, lot| {
        reasons.push(Reason {
            difference,
            effect: alone.effect(&TwinSheets {
                lot,
                ..alone.old.clone()
            }),
        });
    };
    let (from_m, to_m) = (old.bean_diameter_m, new.bean_diameter_m);
    for &number in LotNumber::ALL {
        let mut lot = old.clone();
        match number {
            LotNumber::Density => lot.bean_density_kg_per_m3 = new.bean_density_kg_per_m3,
            LotNumber::Moisture => lot.moisture_wb = new.moisture_wb,
            LotNumber::Dose => lot.dose_kg = new.dose_kg,
            LotNumber::Conductivity => lot.conductivity_w_per_m_k = new.conductivity_w_per_m_k,
            LotNumber::Drying => lot.drying = new.drying,
            LotNumber::Exotherm => lot.exotherm = new.exotherm,
            LotNumber::DryLoss => lot.dry_loss = new.dry_loss,
            LotNumber::ScreenSize => {
                lot.bean_diameter_m = to_m;
                if from_m != to_m {
                    push(Difference::BeanSize { from_m, to_m }, lot);
                }
                continue;
            }
            // The altitude works by what is reckoned from it, the weight of 100 beans by the size.
            LotNumber::Altitude | LotNumber::Latitude | LotNumber::HundredBeans => continue,
        }
        if let Some((from, to)) = changed(&lots.0.numbers, &lots.1.numbers, number) {
            let facts = number.facts();
            push(Difference::Number { facts, from, to }, lot);
        }
    }
}

/// Nouns of the machine's numbers that differ, the mains with them, at most three and “more”; empty if the machine stays.
fn machine_nouns(from: &PlanParts, to: &PlanParts, with_mains: bool) -> Vec<&'static str> {
    const MOST_NOUNS: usize = 3;
    let (from_numbers, to_numbers) = (&from.machine.numbers, &to.machine.numbers);
    let differing = MachineNumber::ALL.iter().filter(|&&number| {
        let value = |numbers: &Numbers<_>| numbers.known(number).map(|given| given.value);
        value(from_numbers) != value(to_numbers)
    });
    let mut nouns: Vec<&str> = differing.map(|number| number.facts().noun).collect();
    if from.machine.feed_forward != to.machine.feed_forward {
        nouns.push("controller");
    }
    if with_mains && !nouns.is_empty() {
        nouns.insert(0, RoomNumber::Mains.facts().noun);
    }
    if MOST_NOUNS < nouns.len() {
        nouns.truncate(MOST_NOUNS);
        nouns.push("more");
    }
    nouns
}

/// A number known on both sides that differs.
fn changed<K: SheetNumber>(from: &Numbers<K>, to: &Numbers<K>, number: K) -> Option<(f64, f64)> {
    let (from, to) = (from.known(number)?, to.known(number)?);
    (from.value != to.value).then_some((from.value, to.value))
}

/// The old roast, in which one thing at a time is changed.
struct Alone<'a> {
    from: &'a Outlook,
    old: &'a TwinSheets,
}

impl Alone<'_> {
    fn effect(&self, sheets: &TwinSheets) -> Option<Effect> {
        let foreseen = self.from.foreseen()?;
        let setpoint = self.from.setpoint.as_ref()?;
        let forecast = Forecast::of(&sheets.machine, &sheets.lot, &sheets.room, setpoint).ok()?;
        let crack_s = foreseen.moments.first_crack_s;
        let old = &foreseen.trace;
        let last = old.len().min(forecast.trace.len()) - 1;
        let second = crack_s
            .map_or(last, |time_s| time_s.round() as usize)
            .min(last);
        let new = &forecast.trace;
        let core_k = new.core_c[second] - old.core_c[second];
        let surface_k = new.surface_c[second] - old.surface_c[second];
        Some(Effect {
            core_k,
            spread_k: surface_k - core_k,
        })
    }
}
