//! The plan file as it lies on the disk, and its conversion to and from the model, written out by hand.
//!
//! The structs are renamed to the words that an error message should use.
//! Ids are not kept: points, airflow points and finishes are numbered from 1 in file order when they are read.

use crate::{
    checked_list::{check_air, check_finishes, check_points, read_list},
    checked_value, number_fields,
    sheet_files::{LotFile, MachineFile, RoomFile},
    text_error::{TextError, printable},
    version::PLAN_FILE_VERSION,
    words::{AirShapeWord, LockWord, SegmentWord, ShapeWord},
};
use chaffinch_craft::{
    AirId, AirPoint, AirShape, AirflowSchedule, Finish, FinishId, FinishLadder, Plan, PlanParts,
    Variation,
};
use chaffinch_curve::{ControlPoint, Lock, Marks, PointId, Segment, SetpointCurve, Shape};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A whole plan file.
#[derive(Serialize, Deserialize)]
#[serde(rename = "Plan", deny_unknown_fields)]
pub(crate) struct PlanFile {
    version: u32,
    #[serde(deserialize_with = "checked_value::title")]
    title: String,
    #[serde(deserialize_with = "checked_value::notes")]
    notes: String,
    curve: CurveFile,
    airflow: AirflowFile,
    marks: MarksFile,
    finishes: FinishesFile,
    lot: LotFile,
    machine: MachineFile,
    room: RoomFile,
    #[serde(
        default,
        with = "number_fields",
        skip_serializing_if = "number_fields::is_blank"
    )]
    variation: Variation,
}

/// Only the version: read first, so that a newer file is called newer and not broken.
#[derive(Deserialize)]
#[serde(rename = "Plan")]
pub(crate) struct VersionOnly {
    pub(crate) version: u32,
}

#[derive(Serialize, Deserialize)]
#[serde(rename = "curve", deny_unknown_fields)]
pub(crate) struct CurveFile {
    #[serde(with = "ShapeWord")]
    shape: Shape,
    #[serde(serialize_with = "write_points", deserialize_with = "read_points")]
    points: Vec<ControlPoint>,
}

#[derive(Serialize, Deserialize)]
#[serde(rename = "point", deny_unknown_fields)]
struct PointFile {
    time_s: f64,
    temp_c: f64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pinned_rise_c_per_s: Option<f64>,
    /// The pinned rise came with an inserted point and goes when the curve changes there.
    #[serde(default, skip_serializing_if = "is_default")]
    is_rise_kept: bool,
    #[serde(default, with = "SegmentWord", skip_serializing_if = "is_default")]
    segment: Segment,
    #[serde(default, with = "LockWord", skip_serializing_if = "is_default")]
    lock: Lock,
}

#[derive(Serialize, Deserialize)]
#[serde(rename = "airflow", deny_unknown_fields)]
pub(crate) struct AirflowFile {
    #[serde(with = "AirShapeWord")]
    shape: AirShape,
    #[serde(serialize_with = "write_air", deserialize_with = "read_air")]
    points: Vec<AirPoint>,
}

#[derive(Serialize, Deserialize)]
#[serde(rename = "airflow_point", deny_unknown_fields)]
struct AirPointFile {
    time_s: f64,
    percent: f64,
}

#[derive(Serialize, Deserialize)]
#[serde(rename = "marks", deny_unknown_fields)]
pub(crate) struct MarksFile {
    colour_change_c: f64,
    first_crack_c: f64,
}

#[derive(Serialize, Deserialize)]
#[serde(rename = "finishes", deny_unknown_fields)]
pub(crate) struct FinishesFile {
    chosen: String,
    #[serde(serialize_with = "write_finishes", deserialize_with = "read_finishes")]
    ladder: Vec<Finish>,
}

#[derive(Serialize, Deserialize)]
#[serde(rename = "finish", deny_unknown_fields)]
struct FinishFile {
    name: String,
    temp_c: f64,
}

impl PlanFile {
    pub(crate) fn of(plan: &Plan) -> Self {
        Self {
            version: PLAN_FILE_VERSION,
            title: plan.title.clone(),
            notes: plan.notes.clone(),
            curve: CurveFile {
                shape: plan.curve.shape(),
                points: plan.curve.points().to_vec(),
            },
            airflow: AirflowFile {
                shape: plan.airflow.shape(),
                points: plan.airflow.points().to_vec(),
            },
            marks: MarksFile {
                colour_change_c: plan.marks.colour_change_c,
                first_crack_c: plan.marks.first_crack_c,
            },
            finishes: FinishesFile {
                chosen: plan.finish().name.clone(),
                ladder: plan.finishes.finishes().to_vec(),
            },
            lot: LotFile::of(&plan.lot),
            machine: MachineFile::of(&plan.machine),
            room: RoomFile::of(&plan.room),
            variation: plan.variation.clone(),
        }
    }

    pub(crate) fn into_plan(self) -> Result<Plan, TextError> {
        Ok(Plan::new(PlanParts {
            title: self.title,
            notes: self.notes,
            curve: self.curve.into_curve()?,
            airflow: self.airflow.into_airflow()?,
            marks: self.marks.into_marks(),
            finishes: self.finishes.into_ladder()?,
            lot: self.lot.into_lot()?,
            machine: self.machine.into_machine(),
            room: self.room.into_room(),
            variation: self.variation,
        })?)
    }
}

impl CurveFile {
    pub(crate) fn into_curve(self) -> Result<SetpointCurve, TextError> {
        Ok(SetpointCurve::new(self.shape, self.points)?)
    }
}

impl AirflowFile {
    pub(crate) fn into_airflow(self) -> Result<AirflowSchedule, TextError> {
        Ok(AirflowSchedule::new(self.shape, self.points)?)
    }
}

impl MarksFile {
    pub(crate) fn into_marks(self) -> Marks {
        Marks {
            colour_change_c: self.colour_change_c,
            first_crack_c: self.first_crack_c,
        }
    }
}

impl FinishesFile {
    pub(crate) fn into_ladder(self) -> Result<FinishLadder, TextError> {
        let chosen = self.ladder.iter().find(|finish| finish.name == self.chosen);
        let unknown = || TextError::ChosenUnknown {
            found: printable(&self.chosen),
        };
        let chosen = chosen.ok_or_else(unknown)?.id;
        Ok(FinishLadder::new(self.ladder, chosen)?)
    }
}

fn write_points<S: Serializer>(points: &[ControlPoint], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_seq(points.iter().map(|point| PointFile {
        time_s: point.time_s,
        temp_c: point.temp_c,
        pinned_rise_c_per_s: point.pinned_rise_c_per_s,
        is_rise_kept: point.is_rise_kept,
        segment: point.segment,
        lock: point.lock,
    }))
}

fn read_points<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<ControlPoint>, D::Error> {
    let convert = |number, file: PointFile| ControlPoint {
        id: PointId(number),
        time_s: file.time_s,
        temp_c: file.temp_c,
        pinned_rise_c_per_s: file.pinned_rise_c_per_s,
        is_rise_kept: file.is_rise_kept,
        segment: file.segment,
        lock: file.lock,
    };
    read_list(deserializer, convert, check_points)
}

fn write_air<S: Serializer>(points: &[AirPoint], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_seq(points.iter().map(|point| AirPointFile {
        time_s: point.time_s,
        percent: point.percent,
    }))
}

fn read_air<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<AirPoint>, D::Error> {
    let convert = |number, file: AirPointFile| AirPoint {
        id: AirId(number),
        time_s: file.time_s,
        percent: file.percent,
    };
    read_list(deserializer, convert, check_air)
}

fn write_finishes<S: Serializer>(finishes: &[Finish], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_seq(finishes.iter().map(|finish| FinishFile {
        name: finish.name.clone(),
        temp_c: finish.temp_c,
    }))
}

fn read_finishes<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Finish>, D::Error> {
    let convert = |number, file: FinishFile| Finish {
        id: FinishId(number),
        name: file.name,
        temp_c: file.temp_c,
    };
    read_list(deserializer, convert, check_finishes)
}

fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}
