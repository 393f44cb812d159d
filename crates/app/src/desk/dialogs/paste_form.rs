//! A pasted text on its way to the curve: how it is read, and the points that it would give.

use chaffinch_craft::{Edit, Plan, units::TempUnit};
use chaffinch_curve::{
    ControlPoint, CurveError, CurvePoint, MAX_POINTS, PointEdit, PointId, Segment, SetpointCurve,
};
use chaffinch_shelf::table_text::{PastedPoints, TimeUnit, Unstated, read_points};

/// A text with what was read from it; it is read once, and again only when somebody says how to.
#[derive(Clone, Debug, PartialEq)]
pub struct PasteForm {
    text: String,
    unstated: Unstated,
    is_unit_chosen: bool,
    read: Result<PastedPoints, String>,
}

impl PasteForm {
    /// Reads `text`. Where it doesn't say the unit of its temperatures, `shown` is tried first, and a person asked.
    pub fn new(text: String, shown: TempUnit) -> Self {
        let unstated = Unstated {
            temp_unit: shown,
            ..Unstated::default()
        };
        let read = read(&text, unstated);
        Self {
            text,
            unstated,
            is_unit_chosen: false,
            read,
        }
    }

    /// What was read.
    ///
    /// # Errors
    /// The text can't be read; the words say why and where.
    pub fn read(&self) -> Result<&PastedPoints, &str> {
        self.read.as_ref().map_err(String::as_str)
    }

    /// How the text is read where it says nothing.
    pub fn unstated(&self) -> Unstated {
        self.unstated
    }

    /// Whether the text leaves open in which unit its temperatures are, and nobody has said it yet.
    pub fn needs_unit(&self) -> bool {
        let is_stated = |pasted: &PastedPoints| pasted.understood.is_temp_unit_stated;
        !self.is_unit_chosen && self.read.as_ref().is_ok_and(|pasted| !is_stated(pasted))
    }

    /// Says in which unit temperatures are.
    pub fn choose_temp_unit(&mut self, unit: TempUnit) {
        self.is_unit_chosen = true;
        self.unstated.temp_unit = unit;
        self.read = read(&self.text, self.unstated);
    }

    /// Says in which unit times that are plain numbers are.
    pub fn choose_time_unit(&mut self, unit: TimeUnit) {
        self.unstated.time_unit = unit;
        self.read = read(&self.text, self.unstated);
    }

    /// The edit that puts the points in place of the plan's, as they are read now.
    ///
    /// # Errors
    /// - The text can't be read.
    /// - The plan refuses the points.
    pub fn edit(&self, plan: &Plan) -> Result<Edit, String> {
        let points = &self.read.as_ref().map_err(String::clone)?.points;
        let found = points.len();
        if MAX_POINTS < found {
            // Said before the work is done: a table may have a hundred thousand rows.
            return Err(CurveError::TooManyPoints { found }.to_string());
        }
        let edit = Edit::Points(PointEdit::Replace(replacement(&plan.curve, points)));
        match plan.edited(&edit) {
            Ok(_) => Ok(edit),
            Err(refusal) => Err(refusal.to_string()),
        }
    }
}

fn read(text: &str, unstated: Unstated) -> Result<PastedPoints, String> {
    read_points(text, unstated).map_err(|error| error.to_string())
}

/// The pasted places as control points: one at the time of a point of `curve` is that point, the others are new.
///
/// A stretch that was a hold and is no longer level becomes curved; a pinned rise stays where the point stays.
fn replacement(curve: &SetpointCurve, pasted: &[CurvePoint]) -> Vec<ControlPoint> {
    let mut new_ids = (curve.next_id().0..).map(PointId);
    let mut points: Vec<ControlPoint> = Vec::with_capacity(pasted.len());
    for place in pasted {
        let known = curve
            .points()
            .iter()
            .find(|point| point.time_s == place.time_s);
        points.push(match known {
            Some(known) if known.temp_c == place.temp_c => *known,
            Some(known) => ControlPoint {
                temp_c: place.temp_c,
                pinned_rise_c_per_s: None,
                ..*known
            },
            None => {
                let id = new_ids.next().unwrap_or(curve.next_id());
                ControlPoint::new(id, place.time_s, place.temp_c)
            }
        });
    }
    for i in 1..points.len() {
        if points[i - 1].segment == Segment::Hold && points[i - 1].temp_c != points[i].temp_c {
            points[i - 1].segment = Segment::Curved;
        }
    }
    points
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::missing_assert_message,
        reason = "a test may stop at the first surprise"
    )]
    use super::*;
    use chaffinch_curve::{Lock, Shape};

    fn curve() -> SetpointCurve {
        let mut points = [
            (4, 0.0, 105.0),
            (2, 120.0, 150.0),
            (9, 180.0, 150.0),
            (5, 480.0, 214.0),
        ]
        .map(|(id, time_s, temp_c)| ControlPoint::new(PointId(id), time_s, temp_c));
        points[1].segment = Segment::Hold;
        points[2].lock = Lock::Both;
        points[3].pinned_rise_c_per_s = Some(0.1);
        SetpointCurve::new(Shape::Monotone, points.to_vec()).unwrap()
    }

    fn places(curve: &SetpointCurve) -> Vec<CurvePoint> {
        curve.points().iter().map(ControlPoint::place).collect()
    }

    #[test]
    fn points_pasted_back_unchanged_are_the_same_points() {
        assert_eq!(replacement(&curve(), &places(&curve())), curve().points());
    }

    #[test]
    fn point_at_a_new_temperature_keeps_its_name_and_a_broken_hold_becomes_curved() {
        let mut pasted = places(&curve());
        pasted[1].temp_c = 145.0;
        let points = replacement(&curve(), &pasted);
        assert_eq!(
            (points[1].id, points[1].segment),
            (PointId(2), Segment::Curved)
        );
        assert!(curve().edited(&PointEdit::Replace(points)).is_ok());
    }

    #[test]
    fn new_times_become_new_points_with_names_of_their_own() {
        let mut pasted = places(&curve());
        for time_s in [200.0, 300.0] {
            pasted.insert(
                pasted.len() - 1,
                CurvePoint {
                    time_s,
                    temp_c: 190.0,
                },
            );
        }
        let ids: Vec<u32> = replacement(&curve(), &pasted)
            .iter()
            .map(|point| point.id.0)
            .collect();
        assert_eq!(ids, [4, 2, 9, 10, 11, 5]);
    }

    #[test]
    fn table_without_a_locked_point_is_refused_and_the_point_is_named() {
        let mut pasted = places(&curve());
        pasted.remove(2);
        let edit = PointEdit::Replace(replacement(&curve(), &pasted));
        let reason = curve().edited(&edit).unwrap_err().to_string();
        assert!(reason.contains("point 3 is locked"), "{reason}");
    }

    #[test]
    fn unit_is_asked_for_only_where_the_text_leaves_it_open() {
        let mut form = PasteForm::new("0\t221\n480\t417.2".to_owned(), TempUnit::Fahrenheit);
        assert!(form.needs_unit());
        // 417.2 °F are 214 °C.
        assert_eq!(form.read().unwrap().points[1].temp_c, 214.0);
        form.choose_temp_unit(TempUnit::Celsius);
        assert!(!form.needs_unit());
        assert_eq!(form.read().unwrap().points[1].temp_c, 417.2);
        let text = "Time\tTemperature (°C)\n0\t105\n480\t214".to_owned();
        assert!(!PasteForm::new(text, TempUnit::Fahrenheit).needs_unit());
    }

    #[test]
    fn plain_times_can_be_read_as_minutes() {
        let mut form = PasteForm::new("0\t105\n8\t214".to_owned(), TempUnit::Celsius);
        form.choose_time_unit(TimeUnit::Minutes);
        assert_eq!(form.read().unwrap().points[1].time_s, 480.0);
    }

    #[test]
    fn more_points_than_a_curve_holds_are_refused_with_both_numbers() {
        let edit = |count: usize| {
            let rows: Vec<String> = (0..count).map(|row| format!("{row}\t150")).collect();
            PasteForm::new(rows.join("\n"), TempUnit::Celsius).edit(&Plan::fresh())
        };
        assert!(edit(MAX_POINTS).is_ok());
        let reason = edit(MAX_POINTS + 1).unwrap_err();
        assert!(reason.contains("201") && reason.contains("200"), "{reason}");
    }
}
