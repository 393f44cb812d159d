//! Curve and airflow: written and read through the same structs.

use super::lists;
use crate::{
    text_error::TextError,
    words::{AirShapeWord, ShapeWord},
};
use chaffinch_craft::{AirPoint, AirShape, AirflowSchedule};
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
