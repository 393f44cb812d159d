//! What is wished of a curve, as a file that is pleasant to write by hand.
//!
//! One line a target, named with its unit: `drop_time_s: 540` wishes it exactly, `(least: 540, most: 560)` leaves room, one of the
//! two alone leaves the other end open, and `yes` asks for what takes no value. What isn't wished isn't there.

use crate::{
    disk::{read_text, save_text},
    error::ShelfError,
    plan_sheet::{nearest_first, shown},
    ron_document::{Document, document_from_ron},
    sheet_document::refused,
    stamp::FileStamp,
    text_error::{TextError, TextFormat, printable},
    version::TARGETS_FILE_VERSION,
};
use chaffinch_craft::shape::{TargetName, TargetUnit, Targets, Wish};
use serde::{
    Deserialize, Deserializer,
    de::{DeserializeSeed, Error, MapAccess, Visitor, value::MapAccessDeserializer},
};
use std::{
    fmt::{self, Write},
    path::{Component, Path, PathBuf},
};

const FIRST_LINES: &str = "\
// Chaffinch targets: what a curve should be like. Times in s after charge, temperatures in °C, rises in °C/min, shares in %.
// A number is wished exactly; (least: …, most: …) leaves room, either may stand alone; yes: it shall hold.";

/// The field of the version.
const VERSION: &str = "version";
/// The field of the plan to start from.
const FROM: &str = "from";

/// Targets, and the plan that a curve is shaped from.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct TargetsFile {
    /// The plan to start from, ready to be opened: in the file it is relative to the file's folder. Nothing: a fresh plan.
    pub from: Option<PathBuf>,
    /// What is wished.
    pub targets: Targets,
}

/// Reads a file of targets.
///
/// # Errors
/// [`ShelfError`]: not readable, more than 4 MiB, no targets, an unknown or repeated target, or a wish that can't be (with line and
/// column).
pub fn read_targets(path: &Path) -> Result<TargetsFile, ShelfError> {
    let text = read_text(path)?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
    let found: Written = document_from_ron(text).map_err(|source| refused(path, source))?;
    Ok(TargetsFile {
        from: found.from.map(|from| folder_of(path).join(from)),
        targets: found.targets,
    })
}

/// Saves a file of targets. The same targets give the same bytes; a plan below the file's folder is named relative to it.
///
/// # Errors
/// [`ShelfError::Text`] if the plan's path isn't UTF-8, else as [`save_text`]; nothing is written then.
pub fn save_targets(path: &Path, targets: &TargetsFile) -> Result<FileStamp, ShelfError> {
    let from = targets.from.as_deref().map(|from| written(from, path));
    let from = from.transpose().map_err(|source| refused(path, source))?;
    save_text(path, &targets_text(from.as_deref(), &targets.targets))
}

fn folder_of(path: &Path) -> &Path {
    path.parent().unwrap_or(Path::new(""))
}

/// The path to a plan as it stands in the file at `path`: relative paths with “/” on every system.
fn written(from: &Path, path: &Path) -> Result<String, TextError> {
    let text = |path: &Path| {
        path.to_str()
            .map(str::to_owned)
            .ok_or_else(|| TextError::PathNotText {
                found: printable(&path.display()),
            })
    };
    let Ok(below) = from.strip_prefix(folder_of(path)) else {
        let whole = std::path::absolute(from).unwrap_or_else(|_| from.to_owned());
        return text(&whole);
    };
    if below.is_absolute() {
        return text(below);
    }
    let parts = below.components().filter(|part| *part != Component::CurDir);
    let parts: Result<Vec<String>, TextError> = parts.map(|part| text(Path::new(&part))).collect();
    Ok(parts?.join("/"))
}

fn targets_text(from: Option<&str>, targets: &Targets) -> String {
    let mut text = format!("{FIRST_LINES}\ntargets(\n  version: {TARGETS_FILE_VERSION},\n");
    // Writing to a string doesn't fail.
    if let Some(from) = from {
        let _ = writeln!(text, "  {FROM}: {},", quoted(from));
    }
    for (name, wish) in targets.all() {
        let value = match (wish.least, wish.most) {
            (None, None) => "yes".to_owned(),
            (Some(least), None) => format!("(least: {least:?})"),
            (None, Some(most)) => format!("(most: {most:?})"),
            (Some(least), Some(most)) if least == most => format!("{least:?}"),
            (Some(least), Some(most)) => format!("(least: {least:?}, most: {most:?})"),
        };
        let _ = writeln!(text, "  {}: {value},", name.facts().key);
    }
    text.push_str(")\n");
    text
}

/// A text in quotation marks as RON reads it.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for found in text.chars() {
        match found {
            '"' | '\\' => quoted.extend(['\\', found]),
            control if control.is_control() => quoted.extend(control.escape_default()),
            plain => quoted.push(plain),
        }
    }
    quoted.push('"');
    quoted
}

/// A file of targets as it is written, with the plan's path relative to it.
struct Written {
    from: Option<PathBuf>,
    targets: Targets,
}

impl Document for Written {
    const FORMAT: TextFormat = TextFormat::Targets;
    const VERSION: u32 = TARGETS_FILE_VERSION;
}

impl<'de> Deserialize<'de> for Written {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_struct("targets", &[], WrittenVisitor)
    }
}

struct WrittenVisitor;

impl<'de> Visitor<'de> for WrittenVisitor {
    type Value = Written;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("targets")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut fields: A) -> Result<Written, A::Error> {
        let mut from = None;
        let mut has_version = false;
        let mut targets = Targets::default();
        let mut seen: Vec<TargetName> = Vec::new();
        loop {
            let known = KeySeed {
                has_version,
                has_from: from.is_some(),
                seen: &seen,
            };
            match fields.next_key_seed(known)? {
                None => return Ok(Written { from, targets }),
                Some(Key::Version) => {
                    // Judged before.
                    fields.next_value::<u32>()?;
                    has_version = true;
                }
                Some(Key::From) => from = Some(fields.next_value_seed(FromSeed)?),
                Some(Key::Target(name)) => {
                    targets = fields.next_value_seed(WishSeed { name, targets })?;
                    seen.push(name);
                }
            }
        }
    }
}

enum Key {
    Version,
    From,
    Target(TargetName),
}

/// A key that is known and comes for the first time; judged here, where the reader knows its place.
struct KeySeed<'a> {
    has_version: bool,
    has_from: bool,
    seen: &'a [TargetName],
}

impl<'de> DeserializeSeed<'de> for KeySeed<'_> {
    type Value = Key;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Key, D::Error> {
        deserializer.deserialize_identifier(self)
    }
}

impl Visitor<'_> for KeySeed<'_> {
    type Value = Key;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the name of a target")
    }

    fn visit_str<E: Error>(self, key: &str) -> Result<Key, E> {
        let (found, is_new) = match (key, TargetName::of_key(key)) {
            (VERSION, _) => (Key::Version, !self.has_version),
            (FROM, _) => (Key::From, !self.has_from),
            (_, Some(name)) => (Key::Target(name), !self.seen.contains(&name)),
            (_, None) => {
                let keys = TargetName::ALL.map(|name| name.facts().key);
                let keys = [FROM].into_iter().chain(keys).collect();
                return Err(E::custom(format_args!(
                    "there is no target “{}”; expected {}",
                    shown(key),
                    nearest_first(key, keys)
                )));
            }
        };
        if is_new {
            Ok(found)
        } else {
            Err(E::custom(format_args!(
                "“{key}” is given twice; remove one of the two"
            )))
        }
    }
}

struct FromSeed;

impl<'de> DeserializeSeed<'de> for FromSeed {
    type Value = PathBuf;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<PathBuf, D::Error> {
        let from = String::deserialize(deserializer)?;
        if from.is_empty() {
            return Err(D::Error::custom(
                "`from` names no plan; name one, or leave it out for a fresh plan",
            ));
        }
        Ok(PathBuf::from(from))
    }
}

/// Reads a wish into the targets; judged here, where the reader knows its place.
struct WishSeed {
    name: TargetName,
    targets: Targets,
}

impl<'de> DeserializeSeed<'de> for WishSeed {
    type Value = Targets;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Targets, D::Error> {
        let facts = self.name.facts();
        let wish = if facts.unit == TargetUnit::Nothing {
            // What is no word at all is refused in the words of a parser; there is only one thing to say.
            let expected = format!(
                "“{}: yes” is all that it takes; leave the line out if you don't wish it",
                facts.key
            );
            let word = deserializer.deserialize_identifier(YesVisitor);
            word.map_err(|_| D::Error::custom(expected))?
        } else {
            deserializer.deserialize_any(WishVisitor(facts.key))?
        };
        self.targets.with(self.name, wish).map_err(D::Error::custom)
    }
}

/// The word `yes`.
struct YesVisitor;

impl Visitor<'_> for YesVisitor {
    type Value = Wish;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("yes")
    }

    fn visit_str<E: Error>(self, word: &str) -> Result<Wish, E> {
        if word == "yes" {
            Ok(Wish::HOLDS)
        } else {
            Err(E::custom("another word than yes"))
        }
    }
}

struct WishVisitor(&'static str);

impl<'de> Visitor<'de> for WishVisitor {
    type Value = Wish;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "a number for “{}”, or (least: …, most: …) or one of the two",
            self.0
        )
    }

    fn visit_f64<E: Error>(self, value: f64) -> Result<Wish, E> {
        Ok(Wish::exactly(value))
    }

    fn visit_u64<E: Error>(self, value: u64) -> Result<Wish, E> {
        Ok(Wish::exactly(value as f64))
    }

    fn visit_i64<E: Error>(self, value: i64) -> Result<Wish, E> {
        Ok(Wish::exactly(value as f64))
    }

    fn visit_map<A: MapAccess<'de>>(self, ends: A) -> Result<Wish, A::Error> {
        #[derive(Deserialize)]
        #[serde(deny_unknown_fields)]
        struct Ends {
            #[serde(default)]
            least: Option<f64>,
            #[serde(default)]
            most: Option<f64>,
        }
        let Ends { least, most } = Ends::deserialize(MapAccessDeserializer::new(ends))?;
        Ok(Wish { least, most })
    }
}
