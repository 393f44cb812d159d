//! `carry`: a plan reworked for another coffee, machine or room, with what changed and why.
//!
//! Where the machine can't deliver it, the nearest curve is written all the same, and the exit code says so.

use super::{
    CommandError, Outcome,
    arguments::{CarryArguments, Format, Layer},
    error::{check_not_input, check_plan_output},
    input::read,
    output::print,
};
use chaffinch_craft::{
    Edit, Plan,
    carry::{CarryError, CarryRequest, PracticeRules, Target, carry, carry_text},
};
use chaffinch_shelf::{
    CarryReport, PRACTICE_FILE, RulesUsed, notebook_of, read_lot, read_machine, read_practice,
    read_room, save_plan,
};
use std::{
    path::{Path, PathBuf},
    sync::atomic::AtomicBool,
};

/// What is said of rules that come from no file.
const USUAL_RULES: &str = "the usual ones (common practice, no published source)";

/// The rules of practice and where they were found, in words.
struct Rules {
    rules: PracticeRules,
    found: String,
}

pub(super) fn run(wish: &CarryArguments) -> Result<Outcome, CommandError> {
    // Wrong use is told before anything is read or worked out.
    check_plan_output(&wish.output, wish.force)?;
    for input in inputs(wish) {
        check_not_input(input, &wish.output)?;
    }
    let from = read(&wish.plan)?;
    let rules = rules(wish)?;
    let mut request = CarryRequest::new(&from, target(wish, &from)?);
    request.keep = wish.keep.into();
    request.percent = wish.by;
    request.physics = !wish.without.contains(&Layer::Physics);
    request.practice = rules.as_ref().map(|found| &found.rules);
    // Nobody cancels a command but by ending it.
    let mut carried = carry(&request, &AtomicBool::new(false), &|_| ())?;
    if let Some(title) = &wish.title {
        let titled = carried.plan.edited(&Edit::SetTitle(title.clone()));
        carried.plan = titled.map_err(CarryError::from)?;
    }
    save_plan(&carried.plan, &wish.output)?;
    match wish.format {
        Format::Text => {
            let text = carry_text(&from, &carried, wish.unit.into());
            let found = rules.as_ref().map_or("none", |rules| &rules.found);
            print(&format!(
                "{text}\nRules of practice: {found}\nWritten to {}\n",
                wish.output.display()
            ))?;
        }
        Format::Json => {
            let rules = rules
                .as_ref()
                .map(|Rules { rules, found }| RulesUsed { rules, found });
            print(&CarryReport::of(&from, &carried, rules).to_json())?;
        }
    }
    Ok(if carried.is_delivered() {
        Outcome::Fine
    } else {
        Outcome::Findings
    })
}

/// Every file that is read, which none may be written over.
fn inputs(wish: &CarryArguments) -> impl Iterator<Item = &Path> {
    let others = [&wish.to, &wish.machine, &wish.room, &wish.practice];
    let others = others.into_iter().flatten().map(PathBuf::as_path);
    std::iter::once(wish.plan.as_path()).chain(others)
}

/// The sheets to carry to: those named, the plan's own for the others.
fn target(wish: &CarryArguments, from: &Plan) -> Result<Target, CommandError> {
    let mut target = Target::of(from);
    if let Some(path) = &wish.to {
        target = target.with_lot(read_lot(path)?);
    }
    if let Some(path) = &wish.machine {
        target.machine = read_machine(path)?;
    }
    if let Some(path) = &wish.room {
        target.room = read_room(path)?;
    }
    Ok(target)
}

/// The rules of the file named, of the plan's notebook, or the usual ones; nothing if practice is switched off.
fn rules(wish: &CarryArguments) -> Result<Option<Rules>, CommandError> {
    if wish.without.contains(&Layer::Practice) {
        return Ok(None);
    }
    let in_notebook = notebook_of(&wish.plan).join(PRACTICE_FILE);
    let file = match &wish.practice {
        Some(path) => Some(path.clone()),
        None => in_notebook.exists().then_some(in_notebook),
    };
    Ok(Some(match file {
        Some(path) => {
            check_not_input(&path, &wish.output)?;
            Rules {
                rules: read_practice(&path)?,
                found: format!("those of {}", path.display()),
            }
        }
        None => Rules {
            rules: PracticeRules::default(),
            found: USUAL_RULES.to_owned(),
        },
    }))
}
