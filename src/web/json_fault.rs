//! What the JSON reader says, in words for newcomers and with a JSON Pointer (RFC 6901).

use serde_json::error::Category;
use serde_path_to_error::{Path, Segment};

use super::problem::{Fault, Problem};

/// The problem that a reader's fault at a path stands for.
pub(crate) fn problem(error: &serde_path_to_error::Error<serde_json::Error>) -> Problem {
    let inner = error.inner();
    let said = said_of(inner);
    // 1e999 is fine JSON; that it can't be held is a matter of range.
    let too_large = said == "number out of range";
    if inner.classify() != Category::Data && !too_large {
        return malformed(inner);
    }
    let mut pointer = pointer_to(error.path());
    if let Some(field) =
        quoted_after(&said, "unknown field ").or(quoted_after(&said, "missing field "))
        && !pointer.ends_with(&format!("/{}", escaped(field)))
    {
        pointer = format!("{pointer}/{}", escaped(field));
    }
    let detail =
        if too_large { "This number is too large to be real.".to_owned() } else { words(&said) };
    Problem::out_of_range(vec![Fault { pointer, detail }])
}

/// The problem of a text that is no JSON.
pub(crate) fn malformed(error: &serde_json::Error) -> Problem {
    let detail = match error.classify() {
        Category::Eof if error.line() <= 1 && error.column() == 0 => {
            "Nothing was sent; a JSON object is needed.".to_owned()
        }
        Category::Eof => "The JSON breaks off before its end.".to_owned(),
        _ => format!("It is no JSON: see line {}, column {}.", error.line().max(1), error.column()),
    };
    Problem::malformed(detail)
}

/// The reader's words without the position at their end.
fn said_of(error: &serde_json::Error) -> String {
    let text = error.to_string();
    text.rsplit_once(" at line ").map_or(text.as_str(), |(said, _)| said).to_owned()
}

/// A path as a JSON Pointer.
fn pointer_to(path: &Path) -> String {
    let mut pointer = String::new();
    for segment in path {
        match segment {
            Segment::Seq { index } => pointer = format!("{pointer}/{index}"),
            Segment::Map { key } => pointer = format!("{pointer}/{}", escaped(key)),
            Segment::Enum { variant } => pointer = format!("{pointer}/{}", escaped(variant)),
            Segment::Unknown => {}
        }
    }
    pointer
}

/// A key inside a JSON Pointer.
fn escaped(key: &str) -> String {
    key.replace('~', "~0").replace('/', "~1")
}

/// The text between backticks after this opening.
fn quoted_after<'a>(said: &'a str, opening: &str) -> Option<&'a str> {
    said.strip_prefix(opening)?.strip_prefix('`')?.split('`').next()
}

/// The reader's words, said kindly.
fn words(said: &str) -> String {
    if let Some(field) = quoted_after(said, "missing field ") {
        return format!("`{field}` is missing.");
    }
    if let Some(field) = quoted_after(said, "duplicate field ") {
        return format!("`{field}` is there twice.");
    }
    if let Some(field) = quoted_after(said, "unknown field ") {
        let known = known_after(said);
        return match known.as_slice() {
            [] => format!("There is no field `{field}` here."),
            [only] => format!("There is no field `{field}` here; the only one is `{only}`."),
            many => format!("There is no field `{field}` here; there are `{}`.", many.join("`, `")),
        };
    }
    if let Some(word) = quoted_after(said, "unknown variant ") {
        return format!("`{word}` is not known here; use `{}`.", known_after(said).join("`, `"));
    }
    let Some((found, wanted)) =
        said.strip_prefix("invalid type: ").and_then(|rest| rest.split_once(", expected "))
    else {
        return format!("{}.", crate::web::format::sentence_case(said).trim_end_matches('.'));
    };
    format!("This must be {}, but it is {}.", wanted_in_words(wanted), found_in_words(found))
}

/// Every further word between backticks: the ones that are known.
fn known_after(said: &str) -> Vec<&str> {
    said.split('`').skip(1).step_by(2).skip(1).collect()
}

fn wanted_in_words(wanted: &str) -> &str {
    match wanted {
        "f64" | "f32" => "a number",
        "a string" | "string" | "str" => "text",
        "a boolean" => "true or false",
        "a sequence" => "a list",
        "u8" | "u16" | "u32" | "u64" | "usize" | "i8" | "i16" | "i32" | "i64" => "a whole number",
        other if other.starts_with("struct ") || other == "a map" => "an object",
        other => other,
    }
}

fn found_in_words(found: &str) -> &str {
    match found.split(' ').next().unwrap_or("") {
        "string" => "text",
        "integer" => "a whole number",
        "floating" => "a number with decimals",
        "boolean" => "true or false",
        "map" => "an object",
        "sequence" => "a list",
        "null" => "null",
        _ => "something else",
    }
}
