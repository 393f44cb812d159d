//! The command line as types; its help is the command's documentation and its manual.

use chaffinch_craft::{Alignment, MarkName, units::TempUnit};
use clap::{Parser, Subcommand, ValueEnum, ValueHint};
use clap_complete::Shell;
use std::path::PathBuf;

const EXIT_CODES: &str = "\
Exit codes:
  0  fine
  1  findings or invalid input: a file that can't be read or written, a plan with a finding of the kind “stop” or \
“caution” (check), or one that the model can't answer for (forecast); notes don't count
  2  wrong use: an unknown option, a file name that doesn't fit, a file that would be overwritten";

/// Draw a roast's setpoint curve and see what machine and beans make of it. Without a verb, the window opens.
#[derive(Debug, Parser)]
#[command(name = "chaffinch", version, after_help = EXIT_CODES, args_conflicts_with_subcommands = true)]
pub struct Cli {
    /// The plan to open in the window
    #[arg(value_name = "PLAN", value_hint = ValueHint::FilePath)]
    pub file: Option<PathBuf>,
    /// What to do without a window
    #[command(subcommand)]
    pub verb: Option<Verb>,
}

/// What the command can do.
#[derive(Debug, Subcommand)]
pub enum Verb {
    /// Print what follows from a plan: phases, development, finishes and findings, drawn and forecast
    #[command(after_help = EXIT_CODES)]
    Summary {
        /// The plan: a plan file or a neutral JSON file
        #[arg(value_hint = ValueHint::FilePath)]
        plan: PathBuf,
        /// For people or for programs
        #[arg(long, value_enum, default_value_t)]
        format: Format,
        /// Unit of temperature in text; JSON is always in °C
        #[arg(long, value_enum, default_value_t)]
        unit: Unit,
    },
    /// Print what machine and beans will do with a plan, as the physical model foresees it
    ///
    /// A forecast is a planning aid, not a safety device. Where the model can't answer, the reasons are printed and the exit code
    /// is 1.
    #[command(after_help = EXIT_CODES)]
    Forecast {
        /// The plan: a plan file or a neutral JSON file
        #[arg(value_hint = ValueHint::FilePath)]
        plan: PathBuf,
        /// For people, for programs, or the course second by second for a spreadsheet; by default what the extension of the output
        /// says, or else text
        #[arg(long, value_enum)]
        format: Option<ForecastFormat>,
        /// Where to write: a .txt, .json or .csv file, which is replaced if it is there; without it, to standard output
        #[arg(short, long, value_name = "FILE", value_hint = ValueHint::FilePath)]
        output: Option<PathBuf>,
        /// One roast alone, without the spread of a thousand that vary from day to day; CSV never has it
        #[arg(long = "no-spread")]
        is_single: bool,
        /// Unit of temperature in text; JSON and CSV are always in °C
        #[arg(long, value_enum, default_value_t)]
        unit: Unit,
    },
    /// Print how another plan differs from a plan: differences of temperature, other minus plan
    #[command(after_help = EXIT_CODES)]
    Compare {
        /// The plan: a plan file or a neutral JSON file
        #[arg(value_hint = ValueHint::FilePath)]
        plan: PathBuf,
        /// The other plan, laid over it: a plan file or a neutral JSON file
        #[arg(value_hint = ValueHint::FilePath)]
        other: PathBuf,
        /// What of the two is laid on top of each other
        #[arg(long, value_enum, default_value_t)]
        align: Align,
        /// For people or for programs
        #[arg(long, value_enum, default_value_t)]
        format: Format,
        /// Unit of temperature in text; JSON is always in °C
        #[arg(long, value_enum, default_value_t)]
        unit: Unit,
    },
    /// Write a plan for other programs, and print its summary
    ///
    /// The extension decides: .json is the neutral format with points and samples, .csv the samples alone. A file that is
    /// there already is replaced, whole or not at all; the plan itself never is.
    #[command(after_help = EXIT_CODES)]
    Export {
        /// The plan: a plan file or a neutral JSON file
        #[arg(value_hint = ValueHint::FilePath)]
        plan: PathBuf,
        /// Where to write: a .json or .csv file
        #[arg(short, long, value_name = "FILE", value_hint = ValueHint::FilePath)]
        output: PathBuf,
        /// Unit of temperature in the summary; exported files are always in °C
        #[arg(long, value_enum, default_value_t)]
        unit: Unit,
    },
    /// Make a plan file of a neutral JSON file
    #[command(after_help = EXIT_CODES)]
    Import {
        /// The neutral JSON file
        #[arg(value_hint = ValueHint::FilePath)]
        file: PathBuf,
        /// Where to write: a .ron file
        #[arg(short, long, value_name = "PLAN", value_hint = ValueHint::FilePath)]
        output: PathBuf,
        /// Replace a file that is there already
        #[arg(long)]
        force: bool,
    },
    /// Read files and say what is wrong with them, or stands against their curves
    #[command(after_help = EXIT_CODES)]
    Check {
        /// Plan files and neutral JSON files
        #[arg(required = true, value_name = "FILE", value_hint = ValueHint::FilePath)]
        files: Vec<PathBuf>,
        /// For people or for programs
        #[arg(long, value_enum, default_value_t)]
        format: Format,
        /// Unit of temperature in text; JSON is always in °C
        #[arg(long, value_enum, default_value_t)]
        unit: Unit,
    },
    /// Write a plan to start drawing from
    #[command(after_help = EXIT_CODES)]
    New {
        /// Where to write: a .ron file
        #[arg(short, long, value_name = "PLAN", value_hint = ValueHint::FilePath)]
        output: PathBuf,
        /// Replace a file that is there already
        #[arg(long)]
        force: bool,
    },
    /// Print the JSON Schema of the neutral format
    Schema,
    /// Print a script that completes this command's words in a shell
    Completions {
        /// Which shell
        #[arg(value_enum)]
        shell: Shell,
    },
    /// Write the manual pages
    Manual {
        /// The folder to write them to; made if it isn't there
        #[arg(short, long, value_name = "FOLDER", value_hint = ValueHint::DirPath)]
        output: PathBuf,
    },
}

/// How output is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people
    #[default]
    Text,
    /// For programs
    Json,
}

/// How a forecast is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ForecastFormat {
    /// For people
    Text,
    /// For programs
    Json,
    /// The course second by second
    Csv,
}

impl ForecastFormat {
    /// The extension of its files.
    pub fn extension(self) -> &'static str {
        match self {
            Self::Text => "txt",
            Self::Json => "json",
            Self::Csv => "csv",
        }
    }
}

/// What of two plans is laid on top of each other.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Align {
    /// Charge with charge
    #[default]
    Charge,
    /// Where each reaches its own colour change
    ColourChange,
    /// Where each reaches its own first crack
    FirstCrack,
    /// Drop with drop
    Drop,
    /// Where their temperatures differ least
    BestFit,
}

impl From<Align> for Alignment {
    fn from(align: Align) -> Self {
        match align {
            Align::Charge => Self::Charge,
            Align::ColourChange => Self::Mark(MarkName::ColourChange),
            Align::FirstCrack => Self::Mark(MarkName::FirstCrack),
            Align::Drop => Self::Drop,
            Align::BestFit => Self::BestFit,
        }
    }
}

/// The unit of temperature in text.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Unit {
    /// °C
    #[default]
    Celsius,
    /// °F
    Fahrenheit,
}

impl From<Unit> for TempUnit {
    fn from(unit: Unit) -> Self {
        match unit {
            Unit::Celsius => Self::Celsius,
            Unit::Fahrenheit => Self::Fahrenheit,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Cli;
    use clap::CommandFactory;

    #[test]
    fn command_line_is_consistent() {
        Cli::command().debug_assert();
    }
}
