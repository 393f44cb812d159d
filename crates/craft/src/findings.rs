//! What stands against a plan: values with a place, a size and a plain sentence.
//!
//! A finding never blocks editing. What concerns the course of the curve is found in `shape_findings.rs`, what concerns the
//! forecast in `forecast_findings.rs`; thresholds lie in `limits.rs`; the mending edit, where one can be computed, in `repair.rs`.

use crate::{
    derived::Derived,
    edit::MarkName,
    forecast_kind::ForecastKind,
    limits,
    outlook::Outlook,
    plan::Plan,
    shape_findings::JudgedCurve,
    units::{
        CelsiusDifference, TempUnit, format_rise_with_unit, format_share, format_temp_with_unit,
        format_time,
    },
};
use chaffinch_curve::Phases;

/// How much a finding weighs; the worst sorts last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Good to know.
    Note,
    /// Look at it before roasting.
    Caution,
    /// This plan can't be roasted as it is.
    Stop,
}

impl Severity {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Caution => "caution",
            Self::Stop => "stop",
        }
    }
}

/// What was found, with its size.
#[derive(Clone, Debug, PartialEq)]
pub enum FindingKind {
    /// The curve never reaches the chosen finish.
    FinishNotReached {
        /// The finish's name.
        name: String,
        /// Its temperature in °C.
        temp_c: f64,
        /// The highest temperature of the curve in °C.
        highest_c: f64,
    },
    /// A mark lies at or above the chosen finish, so a phase never begins.
    MarkAboveFinish {
        /// The mark.
        mark: MarkName,
        /// Its temperature in °C.
        mark_c: f64,
        /// The finish's temperature in °C.
        finish_c: f64,
    },
    /// The drop is planned above the machine's ceiling.
    DropAboveCeiling {
        /// The drop temperature in °C.
        drop_c: f64,
        /// The ceiling in °C.
        ceiling_c: f64,
    },
    /// The rate of rise climbs again after its peak.
    RiseTurnsUp {
        /// By how much, in °C/s.
        gain_c_per_s: f64,
    },
    /// The rate of rise falls a lot in a short time.
    RiseFallsSteeply {
        /// By how much, in °C/s.
        loss_c_per_s: f64,
    },
    /// The curve falls before the drop.
    Cools {
        /// By how much, in °C.
        by_c: f64,
    },
    /// The curve stands nearly still before the drop.
    Plateau,
    /// The development ratio is outside the lot's wished range.
    DevelopmentOutside {
        /// The ratio, 0–1.
        ratio: f64,
        /// The least wished ratio.
        least: f64,
        /// The greatest wished ratio.
        most: f64,
    },
    /// The curve leaves the range of the two points beside it.
    Overshoot {
        /// By how much, in °C.
        by_c: f64,
    },
    /// The forecast says so.
    Forecast(ForecastKind),
}

impl FindingKind {
    /// Whether both are of one kind, whatever their sizes.
    pub(crate) fn is_like(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Forecast(kind), Self::Forecast(other)) => kind.is_like(other),
            _ => std::mem::discriminant(self) == std::mem::discriminant(other),
        }
    }
}

/// One finding with its place on the time axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// What was found.
    pub kind: FindingKind,
    /// Where it begins, in s.
    pub from_s: f64,
    /// Where it ends, in s; the same as `from_s` for a single moment.
    pub to_s: f64,
}

impl Finding {
    /// How much it weighs.
    pub fn severity(&self) -> Severity {
        match &self.kind {
            FindingKind::Forecast(kind) => kind.severity(),
            FindingKind::FinishNotReached { .. } | FindingKind::DropAboveCeiling { .. } => {
                Severity::Stop
            }
            FindingKind::MarkAboveFinish { .. }
            | FindingKind::RiseTurnsUp { .. }
            | FindingKind::RiseFallsSteeply { .. }
            | FindingKind::Cools { .. } => Severity::Caution,
            FindingKind::Plateau
            | FindingKind::DevelopmentOutside { .. }
            | FindingKind::Overshoot { .. } => Severity::Note,
        }
    }

    /// A few words that name it.
    pub fn heading(&self) -> &'static str {
        match &self.kind {
            FindingKind::Forecast(kind) => kind.heading(),
            FindingKind::FinishNotReached { .. } => "Finish not reached",
            FindingKind::MarkAboveFinish {
                mark: MarkName::ColourChange,
                ..
            } => "Colour change above the finish",
            FindingKind::MarkAboveFinish { .. } => "First crack above the finish",
            FindingKind::DropAboveCeiling { .. } => "Drop above the ceiling",
            FindingKind::RiseTurnsUp { .. } => "Rise turns up again",
            FindingKind::RiseFallsSteeply { .. } => "Rise falls off steeply",
            FindingKind::Cools { .. } => "Curve falls before the drop",
            FindingKind::Plateau => "Curve stands nearly still",
            FindingKind::DevelopmentOutside { ratio, least, .. } if ratio < least => {
                "Short development"
            }
            FindingKind::DevelopmentOutside { .. } => "Long development",
            FindingKind::Overshoot { .. } => "Curve overshoots its points",
        }
    }

    /// The finding in one or two plain sentences, temperatures in `unit`.
    pub fn sentence(&self, unit: TempUnit) -> String {
        let temp = |temp_c| format_temp_with_unit(temp_c, unit);
        let (from, to) = (format_time(self.from_s), format_time(self.to_s));
        match &self.kind {
            FindingKind::Forecast(kind) => kind.sentence((self.from_s, self.to_s), unit),
            FindingKind::FinishNotReached {
                name,
                temp_c,
                highest_c,
            } => format!(
                "The curve gets no hotter than {} and never reaches “{name}” at {}.",
                temp(*highest_c),
                temp(*temp_c)
            ),
            FindingKind::MarkAboveFinish {
                mark,
                mark_c,
                finish_c,
            } => format!(
                "{} is expected at {}, but the roast drops at {}.",
                mark.label(),
                temp(*mark_c),
                temp(*finish_c)
            ),
            FindingKind::DropAboveCeiling { drop_c, ceiling_c } => format!(
                "The drop at {} lies above this machine's ceiling of {}.",
                temp(*drop_c),
                temp(*ceiling_c)
            ),
            FindingKind::RiseTurnsUp { gain_c_per_s } => format!(
                "From {from} to {to} the rate of rise climbs by {} after its peak.",
                format_rise_with_unit(*gain_c_per_s, unit)
            ),
            FindingKind::RiseFallsSteeply { loss_c_per_s } => format!(
                "From {from} to {to} the rate of rise loses {}.",
                format_rise_with_unit(*loss_c_per_s, unit)
            ),
            FindingKind::Cools { by_c } => format!(
                "From {from} to {to} the curve falls by {}.",
                size_text(*by_c, unit)
            ),
            FindingKind::Plateau => format!(
                "From {from} to {to} the curve rises by less than {}.",
                format_rise_with_unit(limits::PLATEAU_MAX_RISE_C_PER_S, unit)
            ),
            FindingKind::DevelopmentOutside { ratio, least, most } => format!(
                "Development takes {} of the roast; this lot aims for {} to {}.",
                format_share(*ratio),
                format_share(*least),
                format_share(*most)
            ),
            FindingKind::Overshoot { by_c } => format!(
                "At {from} the curve leaves the range of the points beside it by {}.",
                size_text(*by_c, unit)
            ),
        }
    }
}

/// A difference without its sign: “1.5 °C”.
fn size_text(by_c: f64, unit: TempUnit) -> String {
    format!(
        "{:.1} {}",
        CelsiusDifference(by_c.abs()).shown(unit),
        unit.symbol()
    )
}

/// "1 stop, 2 cautions", worst first; empty without findings.
pub fn count_by_severity(findings: &[Finding]) -> String {
    let worst_first = [Severity::Stop, Severity::Caution, Severity::Note];
    let counts = worst_first.into_iter().filter_map(|severity| {
        let of = findings.iter();
        let count = of.filter(|found| found.severity() == severity).count();
        let plural = if count == 1 { "" } else { "s" };
        (count > 0).then(|| format!("{count} {}{plural}", severity.word()))
    });
    counts.collect::<Vec<_>>().join(", ")
}

/// All that stands against a plan, drawn and foreseen, worst first, then by time. Both must be of the same plan.
pub fn all_findings(derived: &Derived, outlook: &Outlook) -> Vec<Finding> {
    worst_first([&derived.findings[..], &outlook.findings].concat())
}

/// All findings of the drawn curve, worst first, then by time.
pub(crate) fn find(plan: &Plan, phases: &Phases) -> Vec<Finding> {
    let mut found = Vec::new();
    find_about_finish(plan, phases, &mut found);
    found.extend(JudgedCurve::of(&plan.curve, phases).findings());
    worst_first(found)
}

/// The same, worst first, then by time.
pub(crate) fn worst_first(mut found: Vec<Finding>) -> Vec<Finding> {
    found.sort_by(|a, b| (b.severity().cmp(&a.severity())).then(a.from_s.total_cmp(&b.from_s)));
    found
}

fn find_about_finish(plan: &Plan, phases: &Phases, found: &mut Vec<Finding>) {
    let finish = plan.finish();
    let end_s = phases.end_s(&plan.curve);
    let at = |time_s, kind| Finding {
        kind,
        from_s: time_s,
        to_s: time_s,
    };
    if !phases.drop.is_reached() {
        let highest = plan.curve.interpolant().extrema(0.0, end_s).highest;
        let kind = FindingKind::FinishNotReached {
            name: finish.name.clone(),
            temp_c: finish.temp_c,
            highest_c: highest.y,
        };
        found.push(at(highest.x, kind));
    }
    for mark in MarkName::ALL {
        let mark_c = mark.temp_c(&plan.marks);
        if mark_c >= finish.temp_c {
            let kind = FindingKind::MarkAboveFinish {
                mark,
                mark_c,
                finish_c: finish.temp_c,
            };
            found.push(at(end_s, kind));
        }
    }
    if finish.temp_c > plan.machine.ceiling_c {
        let kind = FindingKind::DropAboveCeiling {
            drop_c: finish.temp_c,
            ceiling_c: plan.machine.ceiling_c,
        };
        found.push(at(end_s, kind));
    }
    let wished = plan.lot.wished_development;
    if let (Some(&ratio), Some(development)) = (
        phases.development_ratio.reached(),
        phases.development.reached(),
    ) && !(wished.least()..=wished.most()).contains(&ratio)
    {
        found.push(Finding {
            kind: FindingKind::DevelopmentOutside {
                ratio,
                least: wished.least(),
                most: wished.most(),
            },
            from_s: development.start_s,
            to_s: development.end_s,
        });
    }
}
