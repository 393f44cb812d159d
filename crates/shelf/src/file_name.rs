//! File names that every system and removable drive takes.

/// Longest name with its extension, in characters.
pub const MAX_NAME_CHARS: usize = 64;
/// What a file is called whose title leaves nothing to name it by.
const FALLBACK: &str = "plan";
/// Device names on Windows, reserved with any extension ("Naming Files, Paths, and Namespaces", Microsoft Learn).
const RESERVED: [&str; 4] = ["con", "prn", "aux", "nul"];
/// The same, followed by a digit.
const RESERVED_WITH_DIGIT: [&str; 2] = ["com", "lpt"];

/// A file name for a plan titled `title`: a–z, 0–9 and hyphens, lower case, at most 64 characters, never a reserved name.
///
/// `extension` is without its dot and is taken as it is.
///
/// # Example: a title with spaces
/// ```
/// assert_eq!(chaffinch_shelf::suggested_file_name("Ember Ridge 3: filter", "ron"), "ember-ridge-3-filter.ron");
/// ```
pub fn suggested_file_name(title: &str, extension: &str) -> String {
    let room = MAX_NAME_CHARS.saturating_sub(extension.len() + 1);
    let mut stem = String::new();
    for found in title.chars() {
        match found.to_ascii_lowercase() {
            letter if letter.is_ascii_alphanumeric() => stem.push(letter),
            _ if !stem.is_empty() && !stem.ends_with('-') => stem.push('-'),
            _ => {}
        }
        if stem.len() >= room {
            break;
        }
    }
    let stem = stem.trim_end_matches('-');
    if stem.is_empty() {
        format!("{FALLBACK}.{extension}")
    } else if is_reserved(stem) {
        format!("{stem}-{FALLBACK}.{extension}")
    } else {
        format!("{stem}.{extension}")
    }
}

fn is_reserved(stem: &str) -> bool {
    let is_digit = |rest: &str| rest.len() == 1 && rest.as_bytes()[0].is_ascii_digit();
    let mut numbered = RESERVED_WITH_DIGIT
        .iter()
        .filter_map(|name| stem.strip_prefix(name));
    RESERVED.contains(&stem) || numbered.any(is_digit)
}
