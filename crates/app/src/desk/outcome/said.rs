//! What the forecast says of the figures that are drawn as well, with its spread.

use chaffinch_craft::{Foreseen, Spread, is_reached_by_nearly_all, spread_about, units};
use chaffinch_curve::PhaseName;
use chaffinch_twin::bands::Band;

use super::{BEFORE_FIRST_CRACK, Missing, NOT_REACHED};
use crate::desk::model::Model;

/// Where the forecast ends and the spread begins, for every explanation.
pub(super) const SPREAD: &str = "± reaches to the farther end of what 80 of 100 roasts fall into under the everyday variation of its \
sheet. What the model itself gets wrong isn't in it, but for the beans' own heat.";
/// How far a time of the forecast may be trusted.
pub(super) const FOLLOWING: &str = "Whether this machine can follow the curve is what the model is best at, and no better than \
the numbers of machine, room and coffee.";
/// The same for what begins at first crack.
pub(super) const CRACK: &str =
    "The model knows no crack: first crack is where the probe passes your mark.";

/// Above this, a spread of time is written as a clock, in s.
const CLOCK_FROM_S: f64 = 60.0;

/// What the forecast says of one figure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Said {
    /// There is no forecast.
    Nothing,
    /// There is one, but it doesn't get there.
    Missing(Missing),
    /// A value that not every roast gets to.
    Reached {
        /// The value with its unit, formatted.
        value: String,
        /// The share of roasts that get there under everyday variation, formatted.
        share: String,
    },
    /// A value.
    Value {
        /// The value, formatted.
        value: String,
        /// Half its spread, formatted; empty while that is being worked out.
        spread: String,
        /// The unit of both; empty for m:ss.
        unit: &'static str,
    },
}

impl Said {
    /// For a narrow row.
    pub(super) fn painted(&self) -> String {
        match self {
            Self::Reached { share, .. } => format!("{share} reach it"),
            _ => self.words(|missing| missing.painted),
        }
    }

    /// The same without the unit, which stands at the figure above.
    pub(super) fn without_unit(&self) -> String {
        let mut said = self.clone();
        if let Self::Value { unit, .. } = &mut said {
            *unit = "";
        }
        said.painted()
    }

    /// To be spoken.
    pub(super) fn spoken(&self) -> String {
        self.words(|missing| missing.spoken)
    }

    /// The value alone; a dash where there is none.
    pub(super) fn brief(&self) -> &str {
        match self {
            Self::Value { value, .. } | Self::Reached { value, .. } => value,
            Self::Nothing | Self::Missing(_) => "–",
        }
    }

    fn words(&self, missing: impl Fn(Missing) -> &'static str) -> String {
        match self {
            Self::Nothing => "no forecast".to_owned(),
            Self::Missing(why) => missing(*why).to_owned(),
            Self::Reached { value, share } => format!("{value}, reached in {share} of roasts"),
            Self::Value {
                value,
                spread,
                unit,
            } => {
                let spread = if spread.is_empty() {
                    String::new()
                } else {
                    format!(" ± {spread}")
                };
                format!("{value}{spread} {unit}").trim_end().to_owned()
            }
        }
    }

    /// A time in s, with the band that it lies in.
    fn time(time_s: Option<f64>, missing: Missing, band_s: Option<Band>) -> Self {
        let Some(time_s) = time_s else {
            return Self::Missing(missing);
        };
        let spread =
            band_s.map_or_else(String::new, |band_s| match spread_about(time_s, &band_s) {
                half_s if half_s < CLOCK_FROM_S => format!("{} s", spread_number(half_s, 0)),
                half_s => units::format_time(half_s),
            });
        Self::Value {
            value: units::format_time(time_s),
            spread,
            unit: "",
        }
    }
}

/// A spread with so many decimals, or one more where it would look like none at all.
fn spread_number(half: f64, decimals: usize) -> String {
    let number = units::format_number(half, decimals);
    if number.chars().all(|digit| matches!(digit, '0' | '.')) {
        units::format_number(half, decimals + 1)
    } else {
        number
    }
}

/// What the forecast says of every figure that the curve has too.
pub(super) struct Sayings {
    pub(super) drop_temp: Said,
    pub(super) drop_time: Said,
    pub(super) development: Said,
    pub(super) ratio: Said,
    drying: Said,
    browning: Said,
}

impl Sayings {
    /// As the model stands.
    pub(super) fn of(model: &Model<'_>) -> Self {
        let Some(foreseen) = model.outlook.foreseen() else {
            return Self {
                drop_temp: Said::Nothing,
                drop_time: Said::Nothing,
                development: Said::Nothing,
                ratio: Said::Nothing,
                drying: Said::Nothing,
                browning: Said::Nothing,
            };
        };
        let (moments, spread) = (&foreseen.moments, model.spread);
        let no_development = if moments.drop_s.is_some() {
            BEFORE_FIRST_CRACK
        } else {
            NOT_REACHED
        };
        Self {
            drop_temp: drop_temp(model, foreseen),
            drop_time: Said::time(
                moments.drop_s,
                NOT_REACHED,
                spread.and_then(|spread| spread.drop.time_s),
            ),
            development: Said::time(
                moments.development_s(),
                no_development,
                spread.and_then(|spread| spread.development.duration_s),
            ),
            ratio: ratio(foreseen, no_development, spread),
            drying: Said::time(
                moments.drying_s(),
                NOT_REACHED,
                spread.and_then(|spread| spread.colour_change.time_s),
            ),
            browning: Said::time(
                moments.browning_s(),
                NOT_REACHED,
                spread.and_then(|spread| spread.browning.duration_s),
            ),
        }
    }

    /// Length of a phase.
    pub(super) fn phase(&self, name: PhaseName) -> &Said {
        match name {
            PhaseName::Drying => &self.drying,
            PhaseName::Browning => &self.browning,
            PhaseName::Development => &self.development,
        }
    }
}

/// The roaster drops at the finish, so that is what the probe reads in every roast that gets there: no spread, but a share.
fn drop_temp(model: &Model<'_>, foreseen: &Foreseen) -> Said {
    if foreseen.moments.drop_s.is_none() {
        return Said::Missing(NOT_REACHED);
    }
    let finish_c = model.plan.finish().temp_c;
    if let Some(spread) = model.spread
        && !is_reached_by_nearly_all(&spread.drop)
    {
        return Said::Reached {
            value: units::format_temp_with_unit(finish_c, model.unit),
            share: units::format_share_whole(spread.drop.reached_share),
        };
    }
    Said::Value {
        value: units::format_temp(finish_c, model.unit),
        spread: String::new(),
        unit: model.unit.symbol(),
    }
}

fn ratio(foreseen: &Foreseen, missing: Missing, spread: Option<&Spread>) -> Said {
    let Some(ratio) = foreseen.moments.development_ratio() else {
        return Said::Missing(missing);
    };
    let bare = |share| units::format_share(share).trim_end_matches(" %").to_owned();
    let band = spread.and_then(|spread| spread.development.share);
    Said::Value {
        value: bare(ratio),
        spread: band.map_or_else(String::new, |band| {
            spread_number(units::percent_from_share(spread_about(ratio, &band)), 1)
        }),
        unit: "%",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn band(p10: f64, p90: f64) -> Band {
        Band {
            p01: p10 - 1.0,
            p10,
            p50: f64::midpoint(p10, p90),
            p90,
            p99: p90 + 1.0,
        }
    }

    #[test]
    fn value_stands_alone_until_its_spread_is_there() {
        let pending = Said::time(Some(444.0), NOT_REACHED, None);
        assert_eq!(pending.painted(), "7:24", "pending");
        let whole = Said::time(Some(444.0), NOT_REACHED, Some(band(438.0, 450.0)));
        assert_eq!(whole.painted(), "7:24 ± 6 s", "by hand: half of 12 s");
        assert_eq!(whole.brief(), "7:24", "in the table");
        let narrow = Said::time(Some(444.0), NOT_REACHED, Some(band(443.6, 444.4)));
        assert_eq!(narrow.painted(), "7:24 ± 0.4 s", "by hand: half of 0.8 s");
        let wide = Said::time(Some(444.0), NOT_REACHED, Some(band(344.0, 544.0)));
        assert_eq!(wide.painted(), "7:24 ± 1:40", "half of 200 s as a clock");
    }

    #[test]
    fn what_is_missing_is_said_and_never_a_number() {
        let missing = Said::time(None, BEFORE_FIRST_CRACK, Some(band(1.0, 2.0)));
        assert_eq!(missing.painted(), "before crack", "painted");
        assert_eq!(missing.spoken(), "before first crack", "spoken");
        assert_eq!(Said::Nothing.painted(), "no forecast", "off");
        assert_eq!(Said::Nothing.brief(), "–", "in the table");
    }

    #[test]
    fn what_not_every_roast_reaches_says_how_many_do() {
        let said = Said::Reached {
            value: "210 °C".to_owned(),
            share: "47 %".to_owned(),
        };
        assert_eq!(said.painted(), "47 % reach it", "where it is narrow");
        let spoken = "210 °C, reached in 47 % of roasts";
        assert_eq!(said.spoken(), spoken, "in full");
    }

    #[test]
    fn unit_comes_last() {
        let said = Said::Value {
            value: "19.0".to_owned(),
            spread: "1.2".to_owned(),
            unit: "%",
        };
        assert_eq!(said.painted(), "19.0 ± 1.2 %", "one unit for both");
        assert_eq!(said.without_unit(), "19.0 ± 1.2", "where it is narrow");
    }
}
