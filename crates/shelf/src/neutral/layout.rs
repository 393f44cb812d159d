//! How neutral JSON is laid out: one line a point, ten numbers a row, so that people can read it and compare versions.

use serde::Serialize;
use serde_json::{
    Serializer,
    ser::{CompactFormatter, Formatter},
};
use std::io::{Result, Write};

/// Objects this deep take one line, with the lists in them.
const ONE_LINE_DEPTH: usize = 4;
/// Numbers in a row of a list.
const NUMBERS_A_ROW: usize = 10;
const INDENT: &[u8] = b"  ";

/// The JSON text of `document`, laid out.
///
/// # Panics
/// Never: the documents here are plain structs, which can be written as JSON, and JSON is UTF-8.
#[expect(
    clippy::expect_used,
    reason = "plain structs of finite numbers and texts always serialise"
)]
pub(super) fn json_text(document: &impl Serialize) -> String {
    let mut text = Vec::new();
    let mut serializer = Serializer::with_formatter(&mut text, Layout::default());
    document
        .serialize(&mut serializer)
        .expect("the document is made of numbers and texts only");
    text.push(b'\n');
    String::from_utf8(text).expect("JSON is UTF-8")
}

/// A formatter for documents whose lists hold objects, texts or floating-point numbers only.
#[derive(Default)]
struct Layout {
    /// Objects and lists open here.
    depth: usize,
    /// Numbers written in the list that is open.
    numbers: usize,
    /// A list's item comes next and its line is not begun yet.
    is_item_due: bool,
}

impl Layout {
    fn line<W: ?Sized + Write>(&self, out: &mut W) -> Result<()> {
        out.write_all(b"\n")?;
        (0..self.depth).try_for_each(|_| out.write_all(INDENT))
    }
}

impl Formatter for Layout {
    fn write_f64<W: ?Sized + Write>(&mut self, out: &mut W, value: f64) -> Result<()> {
        if std::mem::take(&mut self.is_item_due) {
            if self.numbers.is_multiple_of(NUMBERS_A_ROW) {
                self.line(out)?;
            } else {
                out.write_all(b" ")?;
            }
            self.numbers += 1;
        }
        CompactFormatter.write_f64(out, value)
    }

    fn begin_string<W: ?Sized + Write>(&mut self, out: &mut W) -> Result<()> {
        if std::mem::take(&mut self.is_item_due) {
            self.line(out)?;
        }
        CompactFormatter.begin_string(out)
    }

    fn begin_array<W: ?Sized + Write>(&mut self, out: &mut W) -> Result<()> {
        self.depth += 1;
        self.numbers = 0;
        out.write_all(b"[")
    }

    fn begin_array_value<W: ?Sized + Write>(&mut self, out: &mut W, is_first: bool) -> Result<()> {
        let is_inline = ONE_LINE_DEPTH < self.depth;
        self.is_item_due = !is_inline;
        match (is_first, is_inline) {
            (true, _) => Ok(()),
            (false, true) => out.write_all(b", "),
            (false, false) => out.write_all(b","),
        }
    }

    fn end_array<W: ?Sized + Write>(&mut self, out: &mut W) -> Result<()> {
        self.depth -= 1;
        self.is_item_due = false;
        if self.depth < ONE_LINE_DEPTH {
            self.line(out)?;
        }
        out.write_all(b"]")
    }

    fn begin_object<W: ?Sized + Write>(&mut self, out: &mut W) -> Result<()> {
        if std::mem::take(&mut self.is_item_due) {
            self.line(out)?;
        }
        self.depth += 1;
        out.write_all(b"{")
    }

    fn begin_object_key<W: ?Sized + Write>(&mut self, out: &mut W, is_first: bool) -> Result<()> {
        if !is_first {
            out.write_all(b",")?;
        }
        if self.depth < ONE_LINE_DEPTH {
            self.line(out)
        } else {
            out.write_all(b" ")
        }
    }

    fn begin_object_value<W: ?Sized + Write>(&mut self, out: &mut W) -> Result<()> {
        out.write_all(b": ")
    }

    fn end_object<W: ?Sized + Write>(&mut self, out: &mut W) -> Result<()> {
        let is_one_line = self.depth >= ONE_LINE_DEPTH;
        self.depth -= 1;
        if is_one_line {
            out.write_all(b" ")?;
        } else {
            self.line(out)?;
        }
        out.write_all(b"}")
    }
}
