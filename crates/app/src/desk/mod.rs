//! The window: one file a panel or lane.
//!
//! `workbench` owns the plan's history and carries out what the views ask; everything else draws a
//! [`model::Model`] and pushes [`ask::Ask`]s.

pub mod ask;
pub mod axis;
pub mod backroom;
mod carry_out;
mod carry_out_hand;
mod carry_out_rework;
pub mod clipboard;
pub mod commands;
pub mod computed;
pub mod dialogs;
pub mod document;
pub mod drag;
pub mod drawer;
pub mod files;
pub mod findings_list;
pub mod hints;
pub mod lanes;
pub mod layout;
mod leaving;
pub mod missing_libraries;
pub mod model;
pub mod notebook;
pub mod outcome;
pub mod paint;
mod places;
pub mod prefs;
pub mod rework;
pub mod sheets;
pub mod snapping;
pub mod start;
pub mod theme;
pub mod top_bar;
pub mod transform;
pub mod view_state;
pub mod widgets;
pub mod window_span;
pub mod workbench;
