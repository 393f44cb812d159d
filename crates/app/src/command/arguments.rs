//! The command line as types; its help is the command's documentation and its manual.

use chaffinch_craft::{Alignment, MarkName, carry::Keep, units::TempUnit};
use clap::{ArgGroup, Args, Parser, Subcommand, ValueEnum, ValueHint};
use clap_complete::Shell;
use std::path::PathBuf;

const EXIT_CODES: &str = "\
Exit codes:
  0  fine
  1  findings or invalid input: a file that can't be read or written, a plan with a finding of the kind “stop” or \
“caution” (check), one that the model can't answer for (forecast), a machine that can't deliver what was carried over (carry: the \
nearest curve is written), or targets that can't all be met (shape: the nearest curve is written); notes don't count
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
    /// Rework a plan for another coffee, machine or room, and print what changed and why
    ///
    /// Three layers, each with its size: physics asks the model what keeps the chosen history the same; practice applies the
    /// notebook's rules for coffee grown higher or lower (common practice, no published source); your own roasts say nothing yet.
    /// What nobody measured is guessed from altitude, latitude and process, and the report says how far the result hangs on it.
    #[command(after_help = EXIT_CODES)]
    Carry(CarryArguments),
    /// Draw the smoothest curve that meets what is wished, and print what gives way where not all of it can be
    ///
    /// A file of targets is short: `targets(version: 1, from: "plan.ron", drop_time_s: (least: 540, most: 560), falling_rise: yes)`.
    #[command(after_help = EXIT_CODES)]
    Shape(ShapeArguments),
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
    /// Print the JSON Schema of the neutral format, or of a report
    Schema {
        /// Of what
        #[arg(value_enum, default_value_t = SchemaKind::Plan)]
        of: SchemaKind,
    },
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

/// What is carried over, where to, and how.
#[derive(Clone, Debug, Args)]
#[command(group = ArgGroup::new("sheets").required(true).multiple(true))]
pub struct CarryArguments {
    /// The plan that works: a plan file or a neutral JSON file
    #[arg(value_hint = ValueHint::FilePath)]
    pub plan: PathBuf,
    /// The coffee to carry it to: a lot file, or a plan whose coffee is meant; the plan's dose stays if it names none
    #[arg(long, value_name = "COFFEE", group = "sheets", value_hint = ValueHint::FilePath)]
    pub to: Option<PathBuf>,
    /// The machine to carry it to: a machine file, or a plan whose machine is meant
    #[arg(long, group = "sheets", value_hint = ValueHint::FilePath)]
    pub machine: Option<PathBuf>,
    /// The room and mains to carry it to: a room file, or a plan whose room is meant
    #[arg(long, group = "sheets", value_hint = ValueHint::FilePath)]
    pub room: Option<PathBuf>,
    /// What stays the same
    #[arg(long, value_enum, default_value_t)]
    pub keep: KeepName,
    /// How far to go, in %: 0 is the old plan, 100 the new one
    #[arg(long, value_name = "PERCENT", default_value = "100", value_parser = percent)]
    pub by: f64,
    /// The table of rules of practice; by default the practice.ron of the plan's notebook, else the usual rules
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub practice: Option<PathBuf>,
    /// A layer to switch off; may be given twice
    #[arg(long, value_enum, value_name = "LAYER")]
    pub without: Vec<Layer>,
    /// Title of the new plan; by default that of the old one
    #[arg(long)]
    pub title: Option<String>,
    /// Where to write the new plan: a .ron file
    #[arg(short, long, value_name = "PLAN", value_hint = ValueHint::FilePath)]
    pub output: PathBuf,
    /// Replace a file that is there already
    #[arg(long)]
    pub force: bool,
    /// The report for people or for programs
    #[arg(long, value_enum, default_value_t)]
    pub format: Format,
    /// Unit of temperature in text; JSON is always in °C
    #[arg(long, value_enum, default_value_t)]
    pub unit: Unit,
}

/// What a curve is shaped from, and where it goes.
#[derive(Clone, Debug, Args)]
pub struct ShapeArguments {
    /// What is wished: a file of targets
    #[arg(value_hint = ValueHint::FilePath)]
    pub targets: PathBuf,
    /// The plan to start from; by default the one that the targets name, else a fresh one
    #[arg(long, value_name = "PLAN", value_hint = ValueHint::FilePath)]
    pub from: Option<PathBuf>,
    /// Where to write the new plan: a .ron file
    #[arg(short, long, value_name = "PLAN", value_hint = ValueHint::FilePath)]
    pub output: PathBuf,
    /// Replace a file that is there already
    #[arg(long)]
    pub force: bool,
    /// The report for people or for programs
    #[arg(long, value_enum, default_value_t)]
    pub format: Format,
    /// Unit of temperature in text; JSON is always in °C
    #[arg(long, value_enum, default_value_t)]
    pub unit: Unit,
}

/// What stays the same when a plan is carried over.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum KeepName {
    /// The centre of the beans: the same temperatures at the same times
    #[default]
    Core,
    /// Surface and centre as far apart at each temperature; time stretches
    Spread,
    /// The curve and the times at its marks; only the effort changes
    Clock,
    /// The heat that works on the beans from colour change to the drop
    Browning,
}

impl From<KeepName> for Keep {
    fn from(name: KeepName) -> Self {
        match name {
            KeepName::Core => Self::CoreHistory,
            KeepName::Spread => Self::SurfaceToCore,
            KeepName::Clock => Self::PhaseClock,
            KeepName::Browning => Self::BrowningWork,
        }
    }
}

/// A layer of a carry-over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Layer {
    /// What the model says
    Physics,
    /// What roasters do beyond it
    Practice,
}

/// A number from 0 to 100, with or without a sign for per cent.
fn percent(text: &str) -> Result<f64, String> {
    let number = text.trim_end_matches('%').trim_end();
    match number.parse::<f64>() {
        Ok(found) if (0.0..=100.0).contains(&found) => Ok(found),
        _ => Err("expected 0 to 100".to_owned()),
    }
}

/// What a schema describes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum SchemaKind {
    /// Plans, and reports of them
    Plan,
    /// Reports of `carry`
    Carry,
    /// Reports of `shape`
    Shape,
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
    use super::{Cli, KeepName, percent};
    use chaffinch_craft::carry::Keep;
    use clap::{CommandFactory, ValueEnum};

    #[test]
    fn command_line_is_consistent() {
        Cli::command().debug_assert();
    }

    #[test]
    fn what_is_kept_is_named_as_everywhere_else() {
        let named = KeepName::value_variants().iter().map(|&name| {
            let value = name.to_possible_value();
            (
                value.map(|value| value.get_name().to_owned()),
                Keep::from(name),
            )
        });
        let all: Vec<Keep> = named
            .map(|(name, keep)| {
                assert_eq!(name.as_deref(), Some(keep.key()), "{keep:?}");
                keep
            })
            .collect();
        assert_eq!(all, Keep::ALL, "all of them");
    }

    #[test]
    fn a_share_is_0_to_100() {
        assert_eq!(percent("40"), Ok(40.0), "plain");
        assert_eq!(percent("62.5 %"), Ok(62.5), "with a sign");
        for text in ["-1", "101", "NaN", "half", ""] {
            assert!(percent(text).is_err(), "{text}");
        }
    }
}
