//! The lists of the neutral format that come back as they went out: control points and airflow points.

use crate::{
    checked_list::{check_air, check_points, read_list},
    words::{LockWord, SegmentWord},
};
use chaffinch_craft::{AirId, AirPoint};
use chaffinch_curve::{ControlPoint, Lock, PointId, Segment};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

#[derive(Serialize, Deserialize)]
struct PointObject {
    time: f64,
    temperature: f64,
    /// In °C/s and exact: through °C/min it might not come back bit for bit.
    #[serde(default)]
    pinned_slope: Option<f64>,
    /// The slope came with an inserted point and goes when the curve changes there.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    is_slope_kept: bool,
    #[serde(default, with = "SegmentWord")]
    segment: Segment,
    #[serde(default, with = "LockWord")]
    lock: Lock,
}

#[derive(Serialize, Deserialize)]
struct AirPointObject {
    time: f64,
    percent: f64,
}

/// For `#[serde(with)]`: control points.
pub(super) mod points {
    use super::{
        ControlPoint, Deserializer, PointId, PointObject, Serializer, check_points, read_list,
    };

    pub(in crate::neutral) fn serialize<S: Serializer>(
        points: &[ControlPoint],
        serializer: S,
    ) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(points.iter().map(|point| PointObject {
            time: point.time_s,
            temperature: point.temp_c,
            pinned_slope: point.pinned_rise_c_per_s,
            is_slope_kept: point.is_rise_kept,
            segment: point.segment,
            lock: point.lock,
        }))
    }

    pub(in crate::neutral) fn deserialize<'de, D: Deserializer<'de>>(
        deserializer: D,
    ) -> Result<Vec<ControlPoint>, D::Error> {
        let convert = |number, object: PointObject| ControlPoint {
            id: PointId(number),
            time_s: object.time,
            temp_c: object.temperature,
            pinned_rise_c_per_s: object.pinned_slope,
            is_rise_kept: object.is_slope_kept,
            segment: object.segment,
            lock: object.lock,
        };
        read_list(deserializer, convert, check_points)
    }
}

/// For `#[serde(with)]`: airflow points.
pub(super) mod air {
    use super::{AirId, AirPoint, AirPointObject, Deserializer, Serializer, check_air, read_list};

    pub(in crate::neutral) fn serialize<S: Serializer>(
        points: &[AirPoint],
        serializer: S,
    ) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(points.iter().map(|point| AirPointObject {
            time: point.time_s,
            percent: point.percent,
        }))
    }

    pub(in crate::neutral) fn deserialize<'de, D: Deserializer<'de>>(
        deserializer: D,
    ) -> Result<Vec<AirPoint>, D::Error> {
        let convert = |number, object: AirPointObject| AirPoint {
            id: AirId(number),
            time_s: object.time,
            percent: object.percent,
        };
        read_list(deserializer, convert, check_air)
    }
}
