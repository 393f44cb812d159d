//! The physical model of one machine with one lot in one room.
//!
//! SI units, temperatures in °C; no files, no clock, no randomness. [`Forecast::of`] answers for one curve, [`bands`] says how far
//! the answer spreads, [`roast`] and [`batch`] are the kernels below them. What the model is worth: `README.md` of the crate.
//!
//! # Example: can the machine follow this curve?
//! ```
//! use chaffinch_twin::{Forecast, LotParams, MachineParams, RoomParams, Setpoint};
//!
//! let temp_c: Vec<f64> = (0..=540).map(|s| 215.0 - 190.0 * (-f64::from(s) / 150.0).exp()).collect();
//! let setpoint = Setpoint::new(temp_c, vec![1.0; 541])?;
//! let low_mains = RoomParams { mains_v: 207.0, ..RoomParams::default() };
//! match Forecast::of(&MachineParams::default(), &LotParams::default(), &low_mains, &setpoint) {
//!     Ok(forecast) => assert!(forecast.figures.drop_probe_c < 210.0, "the heater is too weak"),
//!     Err(off) => panic!("no forecast: {:?}", off.limits),
//! }
//! # Ok::<(), chaffinch_twin::TwinError>(())
//! ```

#![cfg_attr(not(test), warn(unused_crate_dependencies))]

pub mod air;
pub mod bands;
pub mod batch;
mod bed;
mod charge;
mod constants;
mod controller;
mod cooling;
mod drops;
mod empty;
mod film;
pub mod fluidisation;
mod forecast;
mod hunting;
mod kinetics;
mod lag;
mod ledger;
mod lift;
mod lot;
mod low_discrepancy;
mod machine;
mod params;
mod quantile;
mod reach;
mod reference;
mod roast;
mod room;
mod setpoint;
mod shells;
mod start;
mod steady;
mod survey;
mod trace;
pub mod transfer;
pub mod trust;
mod twin_error;
mod validity;

pub use constants::J_PER_KWH;
pub use cooling::{COOL_C, Cooling};
pub use drops::{DropWish, Dropped, Drops, NoDrop};
pub use empty::{EMPTY_TARGET_C, empty_run_s};
pub use forecast::{Extreme, Figures, Forecast, Off};
pub use hunting::Hunting;
pub use ledger::Ledger;
pub use lot::LotParams;
pub use machine::{ControllerGains, FeedForward, MachineParams, ProbeParams};
pub use params::RoastParams;
pub use reach::{Bound, CONTROLLER_MISS_K, Cause, Reach};
pub use reference::reference_roast;
pub use roast::{SHELLS, roast, roast_in_steps};
pub use room::RoomParams;
pub use setpoint::Setpoint;
pub use shells::Shells;
pub use trace::Trace;
pub use twin_error::TwinError;
pub use validity::Limit;
