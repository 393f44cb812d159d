//! The computed parts of the neutral format, and the document that holds all parts, in the order of the file.

use super::drawing::{AirflowObject, CurveObject};
use super::number_list;
use super::sheets::{LotObject, MachineObject, RoomObject};
use super::units::Units;
use crate::samples::SampleColumns;
use chaffinch_craft::Variation;
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct Document<'a> {
    pub(super) format: &'static str,
    pub(super) version: &'static str,
    pub(super) generator: Generator,
    pub(super) title: &'a str,
    pub(super) notes: &'a str,
    pub(super) units: Units<&'static str>,
    pub(super) curve: CurveObject,
    pub(super) airflow: AirflowObject,
    pub(super) marks: Vec<Mark>,
    pub(super) finishes: Vec<Finish<'a>>,
    pub(super) phases: Vec<Phase>,
    pub(super) drop: Drop<'a>,
    pub(super) lot: LotObject,
    pub(super) machine: MachineObject,
    pub(super) room: RoomObject,
    #[serde(with = "number_list")]
    pub(super) variation: Variation,
    pub(super) samples: SampleColumns,
}

#[derive(Serialize)]
pub(super) struct Generator {
    pub(super) name: &'static str,
    pub(super) version: &'static str,
}

impl Generator {
    /// This program.
    pub(super) const THIS: Self = Self {
        name: "Chaffinch",
        version: env!("CARGO_PKG_VERSION"),
    };
}

/// When a temperature is first reached, and how fast the curve climbs there.
#[derive(Serialize)]
pub(super) struct Passage {
    pub(super) time: f64,
    pub(super) rate_of_rise: f64,
}

#[derive(Serialize)]
pub(super) struct Mark {
    pub(super) name: &'static str,
    pub(super) temperature: f64,
    pub(super) reached: Option<Passage>,
}

#[derive(Serialize)]
pub(super) struct Finish<'a> {
    pub(super) name: &'a str,
    pub(super) temperature: f64,
    pub(super) chosen: bool,
    pub(super) reached: Option<Passage>,
    pub(super) development_time: Option<f64>,
    pub(super) development_ratio: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct Phase {
    pub(super) name: &'static str,
    pub(super) reached: Option<Span>,
}

#[derive(Serialize)]
pub(super) struct Span {
    pub(super) start: f64,
    pub(super) end: f64,
    pub(super) duration: f64,
    pub(super) share: Option<f64>,
    pub(super) mean_rate_of_rise: f64,
    pub(super) peak_rate_of_rise: f64,
    pub(super) peak_time: f64,
}

#[derive(Serialize)]
pub(super) struct Drop<'a> {
    pub(super) finish: &'a str,
    pub(super) temperature: f64,
    pub(super) reached: Option<Passage>,
    pub(super) development_time: Option<f64>,
    pub(super) development_ratio: Option<f64>,
}
