//! The headless command: one file a verb, the same road as the window without the pointer.
//!
//! Data goes to standard output, errors to standard error. Exit codes: 0 fine, 1 findings or invalid input, 2 wrong use.

mod arguments;
mod carry;
mod check;
mod compare;
mod completions;
mod error;
mod export;
mod forecast;
mod import;
mod input;
mod manual;
mod new;
mod output;
mod schema;
mod shape;
mod summary;

pub use arguments::{Cli, Verb};
use error::CommandError;
use miette::{MietteHandlerOpts, Report};
use std::{io::Write, process::ExitCode};

/// How a verb ended, if no error stopped it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Outcome {
    /// Nothing stands against the input.
    Fine,
    /// Something stands against the input; it was said on standard output or standard error.
    Findings,
}

/// Does what the command line says; without a verb the window opens, on the file if one was named.
pub fn run(cli: Cli) -> ExitCode {
    let Some(verb) = cli.verb else {
        return crate::open_window(cli.file);
    };
    match run_verb(verb) {
        Ok(Outcome::Fine) => ExitCode::SUCCESS,
        Ok(Outcome::Findings) => ExitCode::from(1),
        Err(error) => {
            let code = error.exit_code();
            tell(error);
            code
        }
    }
}

fn run_verb(verb: Verb) -> Result<Outcome, CommandError> {
    match verb {
        Verb::Summary { plan, format, unit } => summary::run(&plan, format, unit.into()),
        Verb::Forecast {
            plan,
            format,
            output,
            is_single,
            unit,
        } => forecast::run(
            &plan,
            forecast::Wish {
                format,
                output: output.as_deref(),
                is_single,
                unit: unit.into(),
            },
        ),
        Verb::Compare {
            plan,
            other,
            align,
            format,
            unit,
        } => compare::run([&plan, &other], align.into(), format, unit.into()),
        Verb::Carry(wish) => carry::run(&wish),
        Verb::Shape(wish) => shape::run(&wish),
        Verb::Export { plan, output, unit } => export::run(&plan, &output, unit.into()),
        Verb::Import {
            file,
            output,
            force,
        } => import::run(&file, &output, force),
        Verb::Check {
            files,
            format,
            unit,
        } => check::run(&files, format, unit.into()),
        Verb::New { output, force } => new::run(&output, force),
        Verb::Schema { of } => schema::run(of),
        Verb::Completions { shell } => completions::run(shell),
        Verb::Manual { output } => manual::run(&output),
    }
}

/// Writes an error to standard error: what, where in the file, how to mend it. Lines aren't broken, so paths stay whole.
fn tell(error: CommandError) {
    // A second call of `set_hook` is refused, which is what is wanted: one handler for the whole run.
    let _ = miette::set_hook(Box::new(|_| {
        Box::new(
            MietteHandlerOpts::new()
                .wrap_lines(false)
                .context_lines(1)
                .build(),
        )
    }));
    // Nobody is left to tell if standard error is closed.
    let _ = writeln!(std::io::stderr(), "{:?}", Report::new(error));
}
