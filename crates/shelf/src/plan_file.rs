//! The plan file as it lies on the disk, and its conversion to and from the model, written out by hand.
//!
//! The structs are renamed to the words that an error message should use.
//! Ids are not kept: points, airflow points and finishes are numbered from 1 in file order when they are read.

use crate::{
    checked_list::{check_air, check_finishes, check_points, read_list},
    checked_value,
    text_error::{TextError, printable},
    version::PLAN_FILE_VERSION,
    words::{AirShapeWord, KnowledgeWord, LockWord, SegmentWord, ShapeWord},
};
use chaffinch_craft::{
    AirId, AirPoint, AirShape, AirflowSchedule, Finish, FinishId, FinishLadder, Given, Knowledge,
    Lot, Machine, Plan, PlanParts, RatioRange, Room,
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
}

/// Only the version: read first, so that a newer file is called newer and not broken.
#[derive(Deserialize)]
#[serde(rename = "Plan")]
pub(crate) struct VersionOnly {
    pub(crate) version: u32,
}

#[derive(Serialize, Deserialize)]
#[serde(rename = "curve", deny_unknown_fields)]
struct CurveFile {
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
struct AirflowFile {
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
struct MarksFile {
    colour_change_c: f64,
    first_crack_c: f64,
}

#[derive(Serialize, Deserialize)]
#[serde(rename = "finishes", deny_unknown_fields)]
struct FinishesFile {
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

#[derive(Serialize, Deserialize)]
#[serde(rename = "lot", deny_unknown_fields)]
struct LotFile {
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
    #[serde(
        default,
        deserialize_with = "checked_value::altitude",
        skip_serializing_if = "Option::is_none"
    )]
    altitude_m: Option<GivenFile>,
    #[serde(
        default,
        deserialize_with = "checked_value::density",
        skip_serializing_if = "Option::is_none"
    )]
    density_g_per_l: Option<GivenFile>,
    #[serde(
        default,
        deserialize_with = "checked_value::moisture",
        skip_serializing_if = "Option::is_none"
    )]
    moisture_percent: Option<GivenFile>,
    #[serde(
        default,
        deserialize_with = "checked_value::screen_size",
        skip_serializing_if = "Option::is_none"
    )]
    screen_size_64ths_inch: Option<GivenFile>,
    wished_development_ratio: (f64, f64),
}

/// A figure and how it is known, side by side in one line: `(1960.0, measured)`.
#[derive(Clone, Copy, Serialize, Deserialize)]
struct GivenFile(f64, #[serde(with = "KnowledgeWord")] Knowledge);

impl From<GivenFile> for Given {
    fn from(GivenFile(value, knowledge): GivenFile) -> Self {
        Self { value, knowledge }
    }
}

#[derive(Serialize, Deserialize)]
#[serde(rename = "machine", deny_unknown_fields)]
struct MachineFile {
    #[serde(deserialize_with = "checked_value::machine_name")]
    name: String,
    #[serde(deserialize_with = "checked_value::machine_ceiling")]
    ceiling_c: f64,
}

#[derive(Serialize, Deserialize)]
#[serde(rename = "room", deny_unknown_fields)]
struct RoomFile {
    #[serde(deserialize_with = "checked_value::room_name")]
    name: String,
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
            machine: MachineFile {
                name: plan.machine.name.clone(),
                ceiling_c: plan.machine.ceiling_c,
            },
            room: RoomFile {
                name: plan.room.name.clone(),
            },
        }
    }

    pub(crate) fn into_plan(self) -> Result<Plan, TextError> {
        let parts = PlanParts {
            title: self.title,
            notes: self.notes,
            curve: SetpointCurve::new(self.curve.shape, self.curve.points)?,
            airflow: AirflowSchedule::new(self.airflow.shape, self.airflow.points)?,
            marks: Marks {
                colour_change_c: self.marks.colour_change_c,
                first_crack_c: self.marks.first_crack_c,
            },
            finishes: self.finishes.into_ladder()?,
            lot: self.lot.into_lot()?,
            machine: Machine {
                name: self.machine.name,
                ceiling_c: self.machine.ceiling_c,
            },
            room: Room {
                name: self.room.name,
            },
        };
        Ok(Plan::new(parts)?)
    }
}

impl FinishesFile {
    fn into_ladder(self) -> Result<FinishLadder, TextError> {
        let chosen = self.ladder.iter().find(|finish| finish.name == self.chosen);
        let unknown = || TextError::ChosenUnknown {
            found: printable(&self.chosen),
        };
        let chosen = chosen.ok_or_else(unknown)?.id;
        Ok(FinishLadder::new(self.ladder, chosen)?)
    }
}

impl LotFile {
    fn of(lot: &Lot) -> Self {
        let given =
            |given: Option<Given>| given.map(|known| GivenFile(known.value, known.knowledge));
        Self {
            name: lot.name.clone(),
            origin: lot.origin.clone(),
            process: lot.process.clone(),
            harvest: lot.harvest.clone(),
            notes: lot.notes.clone(),
            altitude_m: given(lot.altitude_m),
            density_g_per_l: given(lot.density_g_per_l),
            moisture_percent: given(lot.moisture_percent),
            screen_size_64ths_inch: given(lot.screen_size),
            wished_development_ratio: (
                lot.wished_development.least(),
                lot.wished_development.most(),
            ),
        }
    }

    fn into_lot(self) -> Result<Lot, TextError> {
        let given = |file: Option<GivenFile>| file.map(Given::from);
        let (least, most) = self.wished_development_ratio;
        Ok(Lot {
            name: self.name,
            origin: self.origin,
            process: self.process,
            harvest: self.harvest,
            notes: self.notes,
            altitude_m: given(self.altitude_m),
            density_g_per_l: given(self.density_g_per_l),
            moisture_percent: given(self.moisture_percent),
            screen_size: given(self.screen_size_64ths_inch),
            wished_development: RatioRange::new(least, most)?,
        })
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
