//! The plan file of version 1: the lot had four numbers, machine and room had none, and a ceiling went up to 320 °C.

use crate::{
    carried_over::{CarriedOver, lowered_ceiling},
    checked_value,
    number_fields::GivenFile,
    plan_file::{AirflowFile, CurveFile, FinishesFile, MarksFile},
    plan_sheet::in_range,
    text_error::TextError,
};
use chaffinch_craft::{
    Given, Lot, LotNumber, Machine, Plan, PlanParts, RatioRange, Room, Variation,
};
use serde::{Deserialize, Deserializer};

/// A whole plan file of version 1.
#[derive(Deserialize)]
#[serde(rename = "Plan", deny_unknown_fields)]
pub(crate) struct PlanFile1 {
    #[serde(rename = "version")]
    _version: u32,
    #[serde(deserialize_with = "checked_value::title")]
    title: String,
    #[serde(deserialize_with = "checked_value::notes")]
    notes: String,
    curve: CurveFile,
    airflow: AirflowFile,
    marks: MarksFile,
    finishes: FinishesFile,
    lot: LotFile1,
    machine: MachineFile1,
    room: RoomFile1,
}

#[derive(Deserialize)]
#[serde(rename = "lot", deny_unknown_fields)]
struct LotFile1 {
    #[serde(deserialize_with = "checked_value::lot_name")]
    name: String,
    #[serde(deserialize_with = "checked_value::lot_origin")]
    origin: String,
    #[serde(deserialize_with = "checked_value::lot_process")]
    process: String,
    #[serde(deserialize_with = "checked_value::lot_harvest")]
    harvest: String,
    #[serde(deserialize_with = "checked_value::lot_notes")]
    notes: String,
    #[serde(default, deserialize_with = "altitude")]
    altitude_m: Option<Given>,
    #[serde(default, deserialize_with = "density")]
    density_g_per_l: Option<Given>,
    #[serde(default, deserialize_with = "moisture")]
    moisture_percent: Option<Given>,
    #[serde(default, deserialize_with = "screen_size")]
    screen_size_64ths_inch: Option<Given>,
    wished_development_ratio: (f64, f64),
}

#[derive(Deserialize)]
#[serde(rename = "machine", deny_unknown_fields)]
struct MachineFile1 {
    #[serde(deserialize_with = "checked_value::machine_name")]
    name: String,
    #[serde(deserialize_with = "checked_value::old_ceiling")]
    ceiling_c: f64,
}

#[derive(Deserialize)]
#[serde(rename = "room", deny_unknown_fields)]
struct RoomFile1 {
    #[serde(deserialize_with = "checked_value::room_name")]
    name: String,
}

macro_rules! numbers {
    ($($name:ident => $number:ident;)+) => { $(
        fn $name<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<Given>, D::Error> {
            let given = Option::<GivenFile>::deserialize(deserializer)?;
            given.map(|given| in_range(LotNumber::$number, given.into())).transpose()
        }
    )+ };
}

numbers! {
    altitude => Altitude;
    density => Density;
    moisture => Moisture;
    screen_size => ScreenSize;
}

impl PlanFile1 {
    /// The plan, and what had to be changed for it.
    pub(crate) fn into_plan(self) -> Result<(Plan, Vec<CarriedOver>), TextError> {
        let (ceiling_c, told) = lowered_ceiling(self.machine.ceiling_c);
        let plan = Plan::new(PlanParts {
            title: self.title,
            notes: self.notes,
            curve: self.curve.into_curve()?,
            airflow: self.airflow.into_airflow()?,
            marks: self.marks.into_marks(),
            finishes: self.finishes.into_ladder()?,
            lot: self.lot.into_lot()?,
            machine: Machine {
                name: self.machine.name,
                ceiling_c,
                ..Machine::default()
            },
            room: Room {
                name: self.room.name,
                ..Room::default()
            },
            variation: Variation::default(),
        })?;
        Ok((plan, told.into_iter().collect()))
    }
}

impl LotFile1 {
    fn into_lot(self) -> Result<Lot, TextError> {
        let (least, most) = self.wished_development_ratio;
        let numbers = [
            (LotNumber::Altitude, self.altitude_m),
            (LotNumber::Density, self.density_g_per_l),
            (LotNumber::Moisture, self.moisture_percent),
            (LotNumber::ScreenSize, self.screen_size_64ths_inch),
        ];
        let entered = numbers
            .into_iter()
            .filter_map(|(number, given)| Some((number, given?)));
        Ok(Lot {
            name: self.name,
            origin: self.origin,
            process: self.process,
            harvest: self.harvest,
            notes: self.notes,
            numbers: entered.collect(),
            wished_development: RatioRange::new(least, most)?,
        })
    }
}
