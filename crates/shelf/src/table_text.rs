//! Tables of points as text: to a spreadsheet as TSV, and back from one.
//!
//! Written: full precision, a dot as decimal mark, units in the header.
//! Read: tab, semicolon or comma between columns, with or without a header, a dot or a comma as decimal mark, time in
//! seconds, minutes or m:ss. What was understood comes back with the points for a preview.
//! No number is ever guessed: what could be read in two ways is an error that names the cell. Units that the text
//! doesn't state are the caller's to give, and marked so that a person can be asked.
//!
//! Neither order nor range of the points is checked here; the curve refuses what it can't hold.

mod columns;
mod decimal;

use chaffinch_craft::{
    entry::parse_time,
    units::{Celsius, CelsiusPerSecond, TempUnit, round_to_billionth},
};
use chaffinch_curve::CurvePoint;
use columns::{Columns, find_columns};
use decimal::{find_decimal_mark, read_decimal};

/// The longest text that is read: 8 MiB.
pub const MAX_BYTES: usize = 8 * 1024 * 1024;
/// The most rows that are read, the header not counted.
pub const MAX_ROWS: usize = 100_000;

const TIME_HEADER: &str = "Time (s)";
const TEMP_HEADER: &str = "Temperature (°C)";
const RISE_HEADER: &str = "Rise (°C/min)";

/// A row of a table that is copied out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// Time since charge, in s.
    pub time_s: f64,
    /// Temperature, in °C.
    pub temp_c: f64,
    /// Rate of rise there, in °C/s; written per minute.
    pub rise_c_per_s: f64,
}

/// Points read from a text, in its order, and how the text was understood.
#[derive(Clone, Debug, PartialEq)]
pub struct PastedPoints {
    /// The points; at least one.
    pub points: Vec<CurvePoint>,
    /// For the preview.
    pub understood: Understood,
}

/// How a text was understood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Understood {
    /// What stands between columns.
    pub delimiter: Delimiter,
    /// The decimal mark; `None` if no number has decimals.
    pub decimal_mark: Option<DecimalMark>,
    /// Whether the first row names the columns.
    pub has_header: bool,
    /// How times are written.
    pub time: TimeFormat,
    /// Whether the text states it: by colons or in the header; if not, it was read as [`Unstated`] says.
    pub is_time_stated: bool,
    /// Unit of the temperatures in the text; the points are in °C.
    pub temp_unit: TempUnit,
    /// Whether the header states the temperature's unit; if not, it was read as [`Unstated`] says.
    pub is_temp_unit_stated: bool,
    /// Columns that were left out: their names in the header, else "column 3".
    pub left_out: Vec<String>,
}

/// How to read what a text doesn't state itself.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Unstated {
    /// Unit of times that are plain numbers.
    pub time_unit: TimeUnit,
    /// Unit of temperatures.
    pub temp_unit: TempUnit,
}

/// Unit of times that are plain numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TimeUnit {
    /// 570
    #[default]
    Seconds,
    /// 9.5
    Minutes,
}

impl TimeUnit {
    fn format(self) -> TimeFormat {
        match self {
            Self::Seconds => TimeFormat::Seconds,
            Self::Minutes => TimeFormat::Minutes,
        }
    }
}

/// What stands between two columns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Delimiter {
    /// A tab.
    Tab,
    /// A semicolon.
    Semicolon,
    /// A comma.
    Comma,
}

impl Delimiter {
    fn sign(self) -> char {
        match self {
            Self::Tab => '\t',
            Self::Semicolon => ';',
            Self::Comma => ',',
        }
    }
}

/// What stands before the decimals of a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DecimalMark {
    /// 9.5
    Dot,
    /// 9,5
    Comma,
}

impl DecimalMark {
    fn name(self) -> &'static str {
        match self {
            Self::Dot => "dot",
            Self::Comma => "comma",
        }
    }
}

/// How times are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TimeFormat {
    /// Seconds: 570.
    Seconds,
    /// Minutes: 9.5.
    Minutes,
    /// m:ss or h:mm:ss.
    Clock,
}

/// A cell of a pasted text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cell {
    /// Line of the text, from 1.
    pub row: u64,
    /// Column, from 1.
    pub column: usize,
    /// What stands there.
    pub text: String,
}

impl std::fmt::Display for Cell {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        const MOST_CHARS: usize = 24;
        let text: String = self.text.chars().take(MOST_CHARS).collect();
        let rest = if text.len() < self.text.len() {
            "…"
        } else {
            ""
        };
        write!(
            f,
            "row {}, column {}: “{text}{rest}”",
            self.row, self.column
        )
    }
}

/// Why a text is no table of points; nothing of it is used.
#[derive(Debug, thiserror::Error)]
pub enum PasteError {
    /// Nothing but blanks.
    #[error("the text is empty; expected rows of time and temperature")]
    Empty,
    /// Longer than [`MAX_BYTES`].
    #[error(
        "the text is too long: found {found_bytes} bytes, expected at most {MAX_BYTES}; paste fewer rows"
    )]
    TooLong {
        /// Length of the text.
        found_bytes: usize,
    },
    /// More rows than [`MAX_ROWS`].
    #[error("the text has too many rows: expected at most {MAX_ROWS}; paste fewer")]
    TooManyRows,
    /// A first row without a second column.
    #[error(
        "only one column: {cell}; expected time and temperature with a tab, a semicolon or a comma between them"
    )]
    OneColumn {
        /// The row's only cell.
        cell: Cell,
    },
    /// A row with more or fewer columns than the first one.
    #[error("row {row} has {found} columns; expected {expected}, as in the first row")]
    UnevenRow {
        /// Line of the text, from 1.
        row: u64,
        /// Its columns.
        found: usize,
        /// Columns of the first row.
        expected: usize,
    },
    /// Commas that stand between columns or in numbers.
    #[error(
        "the commas in row {row} could stand between columns or in numbers; use tabs or semicolons between columns"
    )]
    AmbiguousCommas {
        /// Line of the text, from 1.
        row: u64,
    },
    /// A header that doesn't say where something stands.
    #[error("no column is named {wanted}; name it so in the first row, or leave that row out")]
    ColumnMissing {
        /// What was looked for.
        wanted: &'static str,
    },
    /// A header that names something twice.
    #[error("both “{first}” and “{second}” could be the {wanted}; keep one of them")]
    AmbiguousColumns {
        /// What was looked for.
        wanted: &'static str,
        /// Name of one column.
        first: String,
        /// Name of the other.
        second: String,
    },
    /// A unit in the header that can't be read.
    #[error("the unit of the {wanted} isn't known: {cell}; expected {expected}")]
    UnknownUnit {
        /// What has the unit.
        wanted: &'static str,
        /// The header cell.
        cell: Cell,
        /// Units that can be read.
        expected: &'static str,
    },
    /// A header and nothing below.
    #[error("the text has a header but no rows; expected rows of time and temperature")]
    NoRows,
    /// A cell without a number.
    #[error(
        "no number in {cell}; expected digits with at most one decimal mark, no grouping and no unit"
    )]
    NotANumber {
        /// The cell.
        cell: Cell,
    },
    /// A mark that is either decimal or groups thousands, and no other cell tells.
    #[error(
        "the number in {cell} could mean {as_decimal} or {as_grouped}; paste it without grouping, or with another count of decimals"
    )]
    AmbiguousMark {
        /// The cell.
        cell: Cell,
        /// Read as a decimal mark.
        as_decimal: String,
        /// Read as a grouping mark.
        as_grouped: String,
    },
    /// A mark that contradicts other cells.
    #[error(
        "another mark in {cell}; expected a {expected} before decimals, as in the other cells, and no grouping"
    )]
    OtherMark {
        /// The cell.
        cell: Cell,
        /// Name of the mark of the other cells.
        expected: &'static str,
    },
    /// A clock among numbers or the other way round.
    #[error(
        "another form of time in {cell}; expected {expected}, as the rows above or the header say"
    )]
    OtherTimeForm {
        /// The cell.
        cell: Cell,
        /// The form so far.
        expected: &'static str,
    },
    /// A clock out of form.
    #[error(
        "no time in {cell}; expected m:ss or h:mm:ss with two digits below 60 behind each colon"
    )]
    NotAClock {
        /// The cell.
        cell: Cell,
    },
    /// The text can't be cut into cells.
    #[error("the text can't be cut into cells; expected one row a line")]
    NotATable(#[from] csv::Error),
}

/// The rows as TSV for a spreadsheet: a header with units, then time in s, temperature in °C and rise in °C/min.
///
/// Times and temperatures read back by [`read_points`] are the identical numbers; rates are rounded to 1e-9 °C/min.
pub fn points_to_tsv(rows: &[Row]) -> String {
    let header = format!("{TIME_HEADER}\t{TEMP_HEADER}\t{RISE_HEADER}\n");
    rows.iter().fold(header, |text, row| {
        let rise =
            round_to_billionth(CelsiusPerSecond(row.rise_c_per_s).shown_per_min(TempUnit::Celsius));
        text + &format!("{}\t{}\t{rise}\n", row.time_s, row.temp_c)
    })
}

/// Reads points from the text of a spreadsheet or a CSV file; `unstated` says how to read what it leaves open.
///
/// # Errors
/// - The text is empty, longer than [`MAX_BYTES`], has more than [`MAX_ROWS`] rows or only one column.
/// - Rows differ in their count of columns, or commas could be read in two ways.
/// - The header doesn't tell time from temperature, or has a unit other than s, min, m:ss, °C and °F.
/// - A cell holds no number or time, or one that could be read in two ways.
pub fn read_points(text: &str, unstated: Unstated) -> Result<PastedPoints, PasteError> {
    if MAX_BYTES < text.len() {
        return Err(PasteError::TooLong {
            found_bytes: text.len(),
        });
    }
    let text = text.trim_start_matches('\u{feff}');
    let delimiter = find_delimiter(text)?;
    let (columns, rows) = read_cells(text, delimiter)?;
    let time = find_time_format(&columns, &rows, unstated.time_unit)?;
    let temp_unit = columns.temp_unit.unwrap_or(unstated.temp_unit);
    let decimal_mark = find_decimal_mark(rows.iter().flatten(), columns.is_own_header)?;
    let points = rows.iter().map(|[time_cell, temp_cell]| {
        let number = read_decimal(temp_cell, decimal_mark)?;
        Ok(CurvePoint {
            time_s: read_time(time_cell, time, decimal_mark)?,
            temp_c: Celsius::from_shown(number, temp_unit).0,
        })
    });
    let understood = Understood {
        delimiter,
        decimal_mark,
        has_header: columns.has_header,
        time,
        is_time_stated: columns.time_format.is_some() || time == TimeFormat::Clock,
        temp_unit,
        is_temp_unit_stated: columns.temp_unit.is_some(),
        left_out: columns.left_out,
    };
    Ok(PastedPoints {
        points: points.collect::<Result<_, PasteError>>()?,
        understood,
    })
}

/// The first of tab, semicolon and comma that the first line with text holds.
///
/// A tab or a semicolon is never part of a number, so it wins over a comma, which may be.
fn find_delimiter(text: &str) -> Result<Delimiter, PasteError> {
    let (index, line) = text
        .lines()
        .enumerate()
        .find(|(_, line)| !line.trim().is_empty())
        .ok_or(PasteError::Empty)?;
    [Delimiter::Tab, Delimiter::Semicolon, Delimiter::Comma]
        .into_iter()
        .find(|delimiter| line.contains(delimiter.sign()))
        .ok_or_else(|| PasteError::OneColumn {
            cell: Cell {
                row: index as u64 + 1,
                column: 1,
                text: line.trim().to_owned(),
            },
        })
}

/// The time and the temperature cell of each row.
type PointCells = [Cell; 2];

/// Cuts the text into rows and keeps the two columns that matter.
fn read_cells(text: &str, delimiter: Delimiter) -> Result<(Columns, Vec<PointCells>), PasteError> {
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter.sign() as u8)
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let mut columns: Option<Columns> = None;
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record?;
        if record.iter().all(str::is_empty) {
            continue;
        }
        let row = record.position().map_or(0, csv::Position::line);
        let columns = if let Some(columns) = &columns {
            columns
        } else {
            let found = columns.insert(find_columns(&record, row)?);
            if found.has_header {
                continue;
            }
            found
        };
        if record.len() != columns.count {
            return Err(PasteError::UnevenRow {
                row,
                found: record.len(),
                expected: columns.count,
            });
        }
        if delimiter == Delimiter::Comma && !columns.has_header && columns.count != 2 {
            return Err(PasteError::AmbiguousCommas { row });
        }
        if rows.len() == MAX_ROWS {
            return Err(PasteError::TooManyRows);
        }
        rows.push([columns.time, columns.temp].map(|column| Cell {
            row,
            column: column + 1,
            text: record[column].to_owned(),
        }));
    }
    let columns = columns.ok_or(PasteError::Empty)?;
    if rows.is_empty() {
        Err(PasteError::NoRows)
    } else {
        Ok((columns, rows))
    }
}

/// The form of the first time, which all others must share and the header must not contradict.
fn find_time_format(
    columns: &Columns,
    rows: &[PointCells],
    unstated: TimeUnit,
) -> Result<TimeFormat, PasteError> {
    let is_clock = |cell: &Cell| cell.text.contains(':');
    let first = rows.first().is_some_and(|[time, _]| is_clock(time));
    let format = columns.time_format.unwrap_or(if first {
        TimeFormat::Clock
    } else {
        unstated.format()
    });
    let expected = match format {
        TimeFormat::Seconds => "seconds",
        TimeFormat::Minutes => "minutes",
        TimeFormat::Clock => "m:ss",
    };
    match rows
        .iter()
        .find(|[time, _]| is_clock(time) != (format == TimeFormat::Clock))
    {
        Some([cell, _]) => Err(PasteError::OtherTimeForm {
            cell: cell.clone(),
            expected,
        }),
        None => Ok(format),
    }
}

fn read_time(
    cell: &Cell,
    format: TimeFormat,
    mark: Option<DecimalMark>,
) -> Result<f64, PasteError> {
    const SECONDS_PER_MINUTE: f64 = 60.0;
    match format {
        TimeFormat::Seconds => read_decimal(cell, mark),
        TimeFormat::Minutes => Ok(round_to_billionth(
            read_decimal(cell, mark)? * SECONDS_PER_MINUTE,
        )),
        TimeFormat::Clock => read_clock(cell),
    }
}

/// Reads m:ss or h:mm:ss, with a minus sign before the start.
fn read_clock(cell: &Cell) -> Result<f64, PasteError> {
    let bad = || PasteError::NotAClock { cell: cell.clone() };
    let (is_negative, size) = decimal::split_sign(&cell.text);
    if !size.starts_with(|first: char| first.is_ascii_digit()) {
        return Err(bad());
    }
    // Only a colon makes it a clock, and with one the typed entry allows no unit; sums are kept out here.
    if size.contains(|sign: char| !(sign.is_ascii_digit() || matches!(sign, ':' | '.' | ','))) {
        return Err(bad());
    }
    let time_s = parse_time(size, None).map_err(|_| bad())?;
    Ok(if is_negative { -time_s } else { time_s })
}

#[cfg(test)]
mod tests;
