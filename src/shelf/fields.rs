//! An item's fields as programs send and get them: the columns of its table, with JSON's own kinds
//! of values.

use serde_json::{Map, Number, Value};

use super::item::{Draft, Record};
use super::table::{Tabular, cells_of, read_draft};
use crate::sheet::{Cell, read_one};
use crate::web::problem::Fault;
use crate::web::whole::as_whole;

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Holds {
    /// Somebody's own words.
    Text,
    /// One of a few words.
    Word,
    /// A number.
    Number,
    /// A whole number.
    Whole,
    /// True or false.
    Flag,
    /// A date.
    Date,
}

/// What a column holds, by its name; a test compares it with what is written there.
pub(super) fn holds(column: &str) -> Holds {
    match column {
        "layout" | "mount" | "kind" | "optical_class" | "state" => Holds::Word,
        "helpers" | "acquired_year" => Holds::Whole,
        "tracking" | "damaged" => Holds::Flag,
        "last_light_test" => Holds::Date,
        "factor" => Holds::Number,
        _ if ["_mm", "_g", "_deg", "_wh"].iter().any(|unit| column.ends_with(unit)) => {
            Holds::Number
        }
        _ => Holds::Text,
    }
}

/// Reads an item from what a program sent. `id` and `version` may stand in it, as they were read.
///
/// # Errors
/// Every field that can't be used, with a JSON Pointer.
pub(super) fn read<T: Tabular>(
    mut sent: Map<String, Value>,
    known: Option<(i64, i64)>,
) -> Result<Draft<T>, Vec<Fault>> {
    let mut faults = Vec::new();
    if let Some((id, version)) = known {
        for (field, number) in [("id", id), ("version", version)] {
            if sent.remove(field).is_some_and(|value| value != number) {
                let says = format!("This is {number} here: leave it as it is, or leave it out.");
                faults.push(Fault::at(format!("/{field}"), says));
            }
        }
    }
    let mut texts = Vec::with_capacity(T::COLUMNS.len());
    for column in T::COLUMNS {
        let value = sent.remove(*column).unwrap_or(Value::Null);
        texts.push(text_of(column, value).unwrap_or_else(|says| {
            faults.push(Fault::at(format!("/{column}"), says));
            String::new()
        }));
    }
    for field in sent.keys().take(20) {
        let pointer = format!("/{}", field.replace('~', "~0").replace('/', "~1"));
        let says = format!("There is no such field; the fields are {}.", T::COLUMNS.join(", "));
        faults.push(Fault::at(pointer, says));
    }
    let read = read_one(T::COLUMNS, texts, read_draft::<T>);
    match read {
        Ok(draft) if faults.is_empty() => Ok(draft),
        Ok(_) => Err(faults),
        Err(refused) => {
            for fault in refused.faults {
                let pointer = fault.column.map_or(String::new(), |column| format!("/{column}"));
                // A field of the wrong kind was read as empty; its own fault says more.
                if faults.iter().all(|one| one.pointer != pointer) {
                    faults.push(Fault::at(pointer, fault.says));
                }
            }
            Err(faults)
        }
    }
}

/// A value as it would be typed into the column.
fn text_of(column: &str, value: Value) -> Result<String, String> {
    let holds = holds(column);
    let wanted = match (holds, value) {
        (_, Value::Null) => return Ok(String::new()),
        (Holds::Number, Value::Number(number)) => return Ok(number_text(&number)),
        (Holds::Whole, Value::Number(number)) if whole(&number).is_some() => {
            return Ok(whole(&number).unwrap_or_default().to_string());
        }
        (Holds::Flag, Value::Bool(flag)) => return Ok(if flag { "yes" } else { "no" }.to_owned()),
        (Holds::Word, Value::String(word)) => {
            if word.is_empty() || word.chars().any(|c| !(c.is_ascii_lowercase() || c == '_')) {
                return Err("This must be one of the words that the description names.".to_owned());
            }
            return Ok(word);
        }
        (Holds::Text | Holds::Date, Value::String(text)) => return Ok(text.trim().to_owned()),
        (Holds::Number, _) => "a number",
        (Holds::Whole, _) => "a whole number",
        (Holds::Flag, _) => "true or false",
        (Holds::Word, _) => "one of a few words",
        (Holds::Text, _) => "text",
        (Holds::Date, _) => "a date like \"2026-06-05\"",
    };
    Err(format!("This must be {wanted}, or null for what is not known."))
}

fn number_text(number: &Number) -> String {
    // The shortest text that reads back as the same number, without an exponent.
    number.as_f64().map_or_else(|| number.to_string(), |number| number.to_string())
}

/// 4 and 4.0 are the same number to JSON.
fn whole(number: &Number) -> Option<i64> {
    number.as_i64().or_else(|| as_whole(number.as_f64()?))
}

/// An item as programs get it.
pub(super) fn write<T: Tabular>(record: &Record<T>) -> Map<String, Value> {
    let mut fields = Map::new();
    fields.insert("id".to_owned(), record.id.0.into());
    fields.insert("version".to_owned(), record.version.into());
    for (column, cell) in cells_of(&record.facts, &record.figures) {
        fields.insert(column.to_owned(), value_of(column, cell));
    }
    fields
}

fn value_of(column: &str, cell: Cell<'_>) -> Value {
    match cell {
        Cell::Empty => Value::Null,
        Cell::Text(text) if holds(column) == Holds::Flag => Value::Bool(text == "yes"),
        Cell::Text(text) => text.into(),
        Cell::Number(number) => Number::from_f64(number).map_or(Value::Null, Value::Number),
        Cell::Whole(number) => number.into(),
        Cell::Date(date) => date.to_string().into(),
    }
}
