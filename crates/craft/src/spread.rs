//! How far a forecast spreads under the plan's everyday variation: many roasts, meant for a worker.

use crate::{
    finish_forecast::FinishSpread,
    finishes::FinishId,
    outlook::{Foreseen, Outlook},
    plan::PlanParts,
    twin_sheets::TwinSheets,
};
use chaffinch_twin::{
    Setpoint, TwinError,
    bands::{self, Band, BandsRequest, FigureBands, LossBands, MarkBand, SpanBand},
};
use std::sync::atomic::AtomicBool;

/// Everything that the roasts need, apart from the plan; can be sent to a worker.
#[derive(Clone, Debug, PartialEq)]
pub struct SpreadRequest {
    sheets: TwinSheets,
    setpoint: Setpoint,
    judged_from_s: usize,
    drawn_drop_s: usize,
    drop_s: usize,
    /// Last second in which the roaster waits for the chosen finish.
    hold_on_until_s: usize,
    /// Finishes that are forecast to be reached, and the seconds of their drops.
    finishes: Vec<(FinishId, usize)>,
    /// Colour change, first crack and finish, in °C.
    marks_c: [f64; 3],
}

/// The spread of a forecast; all bands hold values below which 1, 10, 50, 90 and 99 of 100 roasts lie.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// Reading of the probe at 0, 1, 2, … s until the forecast drop, in °C.
    pub reading_c: Vec<Band>,
    /// Greatest miss from where the probe stops closing in to the drawn drop, in K, with its sign.
    pub miss_k: Band,
    /// The figures at the second of the forecast drop.
    pub figures: FigureBands,
    /// Time of colour change.
    pub colour_change: MarkBand,
    /// Time of first crack.
    pub first_crack: MarkBand,
    /// Time of the drop, if the roaster drops at the temperature; a roast counts as reached only within the time to hold on.
    pub drop: MarkBand,
    /// From colour change to first crack.
    pub browning: SpanBand,
    /// From first crack to drop.
    pub development: SpanBand,
    /// What the beans have lost at each finish that is forecast to be reached, in the order of the ladder.
    pub finishes: Vec<FinishSpread>,
}

/// From this share on, that roasts reach a mark needs no saying: 98 of 100 roasts, as the outer bands have it.
const NEARLY_ALL_SHARE: f64 = 0.98;

/// Whether so many roasts reach a mark that their share needs no saying.
pub fn is_reached_by_nearly_all(mark: &MarkBand) -> bool {
    NEARLY_ALL_SHARE < mark.reached_share
}

/// What "±" says of a spread about `value`: how far the farther end of what 80 of 100 roasts fall into lies from it; in the band's unit.
/// Where the band is not centred on the value, half its width would claim too much.
pub fn spread_about(value: f64, band: &Band) -> f64 {
    (band.p90 - value).max(value - band.p10)
}

impl SpreadRequest {
    /// What to ask; nothing where there is no forecast.
    pub fn of(plan: &PlanParts, outlook: &Outlook) -> Option<Self> {
        let Foreseen {
            trace,
            judged_from_s,
            drawn_drop_s,
            ..
        } = outlook.foreseen()?;
        let drops = outlook.finishes.iter();
        let finishes: Vec<(FinishId, usize)> = drops
            .filter_map(|finish| Some((finish.id, finish.dropped()?.at_s)))
            .collect();
        let hold_on_until_s = outlook.setpoint.as_ref()?.duration_s();
        let seconds = finishes.iter().map(|(_, at_s)| *at_s);
        // No further than the last drop: every second costs a thousand roasts their share of time.
        let last_s = seconds.chain([hold_on_until_s]).max()?;
        Some(Self {
            sheets: outlook.sheets.clone(),
            setpoint: outlook.going_on.clone()?.ending_by(last_s),
            hold_on_until_s,
            finishes,
            judged_from_s: *judged_from_s,
            drawn_drop_s: *drawn_drop_s,
            drop_s: trace.len() - 1,
            marks_c: [
                plan.marks.colour_change_c,
                plan.marks.first_crack_c,
                plan.finishes.chosen().temp_c,
            ],
        })
    }

    /// Runs the roasts on all cores of the current thread pool, about 10 to 20 ms; nothing if `is_cancelled` was set meanwhile.
    ///
    /// # Errors
    /// [`TwinError`]: a sheet holds a number that the model can't take.
    pub fn run(&self, is_cancelled: &AtomicBool) -> Result<Option<Spread>, TwinError> {
        let [colour_c, crack_c, finish_c] = self.marks_c;
        let sheets = (&self.sheets.machine, &self.sheets.lot, &self.sheets.room);
        let request = BandsRequest {
            variation: self.sheets.variation.clone(),
            marks_c: self.marks_c.to_vec(),
            spans_c: vec![(colour_c, crack_c), (crack_c, finish_c)],
            figures_at_s: Some(self.drop_s),
            miss_between_s: Some((self.judged_from_s, self.drawn_drop_s)),
            crossings_until_s: Some(self.hold_on_until_s),
            losses_at_s: self.losses_at_s(),
            ..BandsRequest::default()
        };
        let Some(found) = bands::bands(sheets, &self.setpoint, &request, is_cancelled)? else {
            return Ok(None);
        };
        let (Ok([colour_change, first_crack, drop]), Ok([browning, development])) = (
            <[_; 3]>::try_from(found.marks),
            <[_; 2]>::try_from(found.spans),
        ) else {
            // As many as were asked for come back.
            return Ok(None);
        };
        Ok(Some(Spread {
            reading_c: found.reading_c,
            miss_k: found.miss_k,
            figures: found.figures,
            colour_change,
            first_crack,
            drop,
            browning,
            development,
            finishes: self.finish_spreads(&found.losses),
        }))
    }

    /// The seconds of the drops, rising, each once.
    fn losses_at_s(&self) -> Vec<usize> {
        let mut seconds: Vec<usize> = self.finishes.iter().map(|(_, at_s)| *at_s).collect();
        seconds.sort_unstable();
        seconds.dedup();
        seconds
    }

    /// The bands of `losses`, which stand in the order of [`Self::losses_at_s`], given to the finishes.
    fn finish_spreads(&self, losses: &[LossBands]) -> Vec<FinishSpread> {
        let seconds = self.losses_at_s();
        let spread = |&(id, at_s): &(FinishId, usize)| {
            let place = seconds.binary_search(&at_s).ok()?;
            let found = losses.get(place)?;
            Some(FinishSpread {
                id,
                weight_loss: found.weight,
                dry_loss: found.dry,
            })
        };
        self.finishes.iter().filter_map(spread).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_farther_end_of_a_band_is_what_plus_minus_says() {
        let band = Band {
            p01: 0.0,
            p10: 438.0,
            p50: 440.0,
            p90: 450.0,
            p99: 500.0,
        };
        let about = |value| spread_about(value, &band);
        assert!((about(444.0) - 6.0).abs() < 1e-12, "half of 12");
        assert!((about(452.0) - 14.0).abs() < 1e-12, "above the band");
        assert!((about(440.0) - 10.0).abs() < 1e-12, "off its middle");
    }

    #[test]
    fn two_of_a_hundred_that_miss_a_mark_are_worth_saying() {
        let reached = |reached_share| {
            is_reached_by_nearly_all(&MarkBand {
                temp_c: 210.0,
                reached_share,
                time_s: None,
            })
        };
        assert!(reached(1.0) && reached(0.981), "fewer miss it");
        assert!(!reached(0.98) && !reached(0.47), "two or more miss it");
    }
}
