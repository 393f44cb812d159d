//! What is typed about a roast colour that was measured, until it is recorded.

use crate::desk::model::Model;
use chaffinch_craft::{
    CalendarDay, ColourReading, ColourSample, ColourScale, FinishId, Lab, Plan, RoastColour,
    entry::{parse_number, parse_signed_number},
};

/// The form; everything stays as it was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ColourForm {
    /// The finish at which the coffee was dropped.
    pub(super) finish: FinishId,
    /// The scale that it was measured on.
    pub(super) scale: ColourScale,
    /// What was measured.
    pub(super) sample: ColourSample,
    /// L*, a* and b*.
    pub(super) lab: [String; 3],
    /// The disc.
    pub(super) disc: String,
    /// The day; may be empty.
    pub(super) day: String,
}

impl ColourForm {
    /// An empty form about the chosen finish, of today.
    pub fn of(plan: &Plan) -> Self {
        Self {
            finish: plan.finish().id,
            scale: ColourScale::Lab,
            sample: ColourSample::Ground,
            lab: Default::default(),
            disc: String::new(),
            day: jiff::Zoned::now().strftime("%Y-%m-%d").to_string(),
        }
    }

    /// Whether nothing of the colour was typed yet.
    pub(super) fn is_blank(&self) -> bool {
        let typed = match self.scale {
            ColourScale::Lab => &self.lab[..],
            ColourScale::Disc => std::slice::from_ref(&self.disc),
        };
        typed.iter().all(|text| text.trim().is_empty())
    }

    /// Forgets the colour, so that the next one can be typed.
    pub(super) fn clear(&mut self) {
        self.lab = Default::default();
        self.disc.clear();
    }

    /// The reading as it is typed; or what is wrong with it.
    pub(super) fn reading(&self, model: &Model<'_>) -> Result<ColourReading, String> {
        let colour = self.colour()?;
        let day = match self.day.trim() {
            "" => None,
            day => Some(
                day.parse::<CalendarDay>()
                    .map_err(|error| error.to_string())?,
            ),
        };
        let (of, measured) = ((&**model.plan, model.outlook), (self.sample, colour));
        let reading = ColourReading::at_finish(of, self.finish, measured, day);
        let reading = reading.ok_or(
            "there is no forecast for this finish, and a reading needs the loss that it says; choose another finish",
        )?;
        reading.check().map_err(|error| error.to_string())?;
        Ok(reading)
    }

    fn colour(&self) -> Result<RoastColour, String> {
        let signed = |name: &str, text: &str| {
            parse_signed_number(text, "").map_err(|error| format!("{name}: {error}"))
        };
        let plain = |name: &str, text: &str| {
            parse_number(text, None, "").map_err(|error| format!("{name}: {error}"))
        };
        let colour = match self.scale {
            ColourScale::Lab => {
                let [lightness, a, b] = &self.lab;
                RoastColour::Lab(Lab {
                    lightness: plain("L*", lightness)?,
                    a: signed("a*", a)?,
                    b: signed("b*", b)?,
                })
            }
            ColourScale::Disc => RoastColour::Disc(plain("disc", &self.disc)?),
        };
        colour.check().map_err(|error| error.to_string())?;
        Ok(colour)
    }
}
