//! `shape`: the smoothest curve that meets what is wished, with what gives way where not all of it can be.

use super::{
    CommandError, Outcome,
    arguments::{Format, ShapeArguments},
    error::{check_not_input, check_plan_output},
    input::read,
    output::print,
};
use chaffinch_craft::{Plan, shape::shape, shape_text};
use chaffinch_shelf::{ShapeReport, read_targets, save_plan};
use std::{path::PathBuf, sync::atomic::AtomicBool};

pub(super) fn run(wish: &ShapeArguments) -> Result<Outcome, CommandError> {
    // Wrong use is told before anything is read or worked out.
    check_plan_output(&wish.output, wish.force)?;
    check_not_input(&wish.targets, &wish.output)?;
    let file = read_targets(&wish.targets)?;
    let from: Option<&PathBuf> = wish.from.as_ref().or(file.from.as_ref());
    let plan = match from {
        Some(path) => {
            check_not_input(path, &wish.output)?;
            read(path)?
        }
        None => Plan::fresh(),
    };
    // Nobody cancels a command but by ending it.
    let shaped = shape(&plan, &file.targets, &AtomicBool::new(false), &|_| ())?;
    save_plan(&shaped.plan, &wish.output)?;
    match wish.format {
        Format::Text => {
            let text = shape_text(&plan, &shaped, wish.unit.into());
            print(&format!("{text}\nWritten to {}\n", wish.output.display()))?;
        }
        Format::Json => {
            print(&ShapeReport::of(&plan, &shaped).to_json())?;
        }
    }
    Ok(if shaped.is_all_met() {
        Outcome::Fine
    } else {
        Outcome::Findings
    })
}
