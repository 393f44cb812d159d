//! Curve, airflow and the sheets of lot, machine and room: written and read through the same structs.

use super::lists;
use crate::{
    checked_value,
    text_error::TextError,
    words::{AirShapeWord, KnowledgeWord, ShapeWord},
};
use chaffinch_craft::{
    AirPoint, AirShape, AirflowSchedule, Given, Knowledge, Lot, Machine, RatioRange, Room,
};
use chaffinch_curve::{ControlPoint, SetpointCurve, Shape};
use serde::{Deserialize, Serialize};

#[derive(Serialize, Deserialize)]
pub(super) struct CurveObject {
    #[serde(with = "ShapeWord")]
    shape: Shape,
    #[serde(with = "lists::points")]
    points: Vec<ControlPoint>,
}

#[derive(Serialize, Deserialize)]
pub(super) struct AirflowObject {
    #[serde(with = "AirShapeWord")]
    shape: AirShape,
    #[serde(with = "lists::air")]
    points: Vec<AirPoint>,
}

#[derive(Serialize, Deserialize)]
pub(super) struct LotObject {
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
    #[serde(deserialize_with = "checked_value::altitude")]
    altitude: Option<GivenObject>,
    #[serde(deserialize_with = "checked_value::density")]
    density: Option<GivenObject>,
    #[serde(deserialize_with = "checked_value::moisture")]
    moisture: Option<GivenObject>,
    #[serde(deserialize_with = "checked_value::screen_size")]
    screen_size: Option<GivenObject>,
    wished_development_ratio: RangeObject,
}

#[derive(Clone, Copy, Serialize, Deserialize)]
struct GivenObject {
    value: f64,
    #[serde(with = "KnowledgeWord")]
    knowledge: Knowledge,
}

impl From<GivenObject> for Given {
    fn from(GivenObject { value, knowledge }: GivenObject) -> Self {
        Self { value, knowledge }
    }
}

#[derive(Serialize, Deserialize)]
struct RangeObject {
    least: f64,
    most: f64,
}

#[derive(Serialize, Deserialize)]
pub(super) struct MachineObject {
    #[serde(deserialize_with = "checked_value::machine_name")]
    name: String,
    #[serde(deserialize_with = "checked_value::machine_ceiling")]
    ceiling: f64,
}

#[derive(Serialize, Deserialize)]
pub(super) struct RoomObject {
    #[serde(deserialize_with = "checked_value::room_name")]
    name: String,
}

impl CurveObject {
    pub(super) fn of(curve: &SetpointCurve) -> Self {
        Self {
            shape: curve.shape(),
            points: curve.points().to_vec(),
        }
    }

    pub(super) fn into_curve(self) -> Result<SetpointCurve, TextError> {
        Ok(SetpointCurve::new(self.shape, self.points)?)
    }
}

impl AirflowObject {
    pub(super) fn of(airflow: &AirflowSchedule) -> Self {
        Self {
            shape: airflow.shape(),
            points: airflow.points().to_vec(),
        }
    }

    pub(super) fn into_airflow(self) -> Result<AirflowSchedule, TextError> {
        Ok(AirflowSchedule::new(self.shape, self.points)?)
    }
}

impl LotObject {
    pub(super) fn of(lot: &Lot) -> Self {
        let given = |given: Option<Given>| {
            given.map(|Given { value, knowledge }| GivenObject { value, knowledge })
        };
        Self {
            name: lot.name.clone(),
            origin: lot.origin.clone(),
            process: lot.process.clone(),
            harvest: lot.harvest.clone(),
            notes: lot.notes.clone(),
            altitude: given(lot.altitude_m),
            density: given(lot.density_g_per_l),
            moisture: given(lot.moisture_percent),
            screen_size: given(lot.screen_size),
            wished_development_ratio: RangeObject {
                least: lot.wished_development.least(),
                most: lot.wished_development.most(),
            },
        }
    }

    pub(super) fn into_lot(self) -> Result<Lot, TextError> {
        let given = |object: Option<GivenObject>| object.map(Given::from);
        let RangeObject { least, most } = self.wished_development_ratio;
        Ok(Lot {
            name: self.name,
            origin: self.origin,
            process: self.process,
            harvest: self.harvest,
            notes: self.notes,
            altitude_m: given(self.altitude),
            density_g_per_l: given(self.density),
            moisture_percent: given(self.moisture),
            screen_size: given(self.screen_size),
            wished_development: RatioRange::new(least, most)?,
        })
    }
}

impl MachineObject {
    pub(super) fn of(machine: &Machine) -> Self {
        Self {
            name: machine.name.clone(),
            ceiling: machine.ceiling_c,
        }
    }

    pub(super) fn into_machine(self) -> Machine {
        Machine {
            name: self.name,
            ceiling_c: self.ceiling,
        }
    }
}

impl RoomObject {
    pub(super) fn of(room: &Room) -> Self {
        Self {
            name: room.name.clone(),
        }
    }

    pub(super) fn into_room(self) -> Room {
        Room { name: self.name }
    }
}
