//! Flat objects: one cell for each field.

use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, IgnoredAny, MapAccess, SeqAccess, Visitor};

use super::forms::{Form, fill};
use super::read::Sink;
use crate::web::whole::as_whole;

/// Longest text that is kept while reading; whatever is longer is cut and refused later.
const LONGEST_TEXT: usize = 512;

/// A field's value as it came.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// `null`.
    Null,
    /// `true` or `false`.
    Flag(bool),
    /// A whole number.
    Whole(i64),
    /// Any other number.
    Number(f64),
    /// Text, cut after [`LONGEST_TEXT`] bytes.
    Text(String),
    /// A list.
    List,
    /// An object.
    Object,
}

impl Cell {
    /// What it is, for a sentence.
    pub(super) fn kind(&self) -> &'static str {
        match self {
            Self::Null => "null",
            Self::Flag(_) => "true or false",
            Self::Whole(_) | Self::Number(_) => "a number",
            Self::Text(_) => "text",
            Self::List => "a list",
            Self::Object => "an object",
        }
    }
}

pub(super) struct CellVisitor;

impl<'de> Visitor<'de> for CellVisitor {
    type Value = Cell;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value")
    }

    fn visit_bool<E>(self, flag: bool) -> Result<Cell, E> {
        Ok(Cell::Flag(flag))
    }

    fn visit_i64<E>(self, number: i64) -> Result<Cell, E> {
        Ok(Cell::Whole(number))
    }

    fn visit_u64<E>(self, number: u64) -> Result<Cell, E> {
        Ok(i64::try_from(number).map_or(Cell::Number(number as f64), Cell::Whole))
    }

    fn visit_f64<E>(self, number: f64) -> Result<Cell, E> {
        // 320.0 is as whole as 320 (JSON Schema 2020-12, validation part, section 6.1.1).
        Ok(as_whole(number).map_or(Cell::Number(number), Cell::Whole))
    }

    fn visit_str<E>(self, text: &str) -> Result<Cell, E> {
        Ok(Cell::Text(text[..text.floor_char_boundary(LONGEST_TEXT)].to_owned()))
    }

    fn visit_unit<E>(self) -> Result<Cell, E> {
        Ok(Cell::Null)
    }

    fn visit_none<E>(self) -> Result<Cell, E> {
        Ok(Cell::Null)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Cell, A::Error> {
        while items.next_element::<IgnoredAny>()?.is_some() {}
        Ok(Cell::List)
    }

    fn visit_map<A: MapAccess<'de>>(self, mut fields: A) -> Result<Cell, A::Error> {
        while fields.next_entry::<IgnoredAny, IgnoredAny>()?.is_some() {}
        Ok(Cell::Object)
    }
}

struct CellSeed;

impl<'de> DeserializeSeed<'de> for CellSeed {
    type Value = Cell;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Cell, D::Error> {
        deserializer.deserialize_any(CellVisitor)
    }
}

/// A flat object: one cell per field.
#[derive(Debug)]
pub struct Record {
    name: &'static str,
    fields: &'static [&'static str],
    cells: Vec<Option<Cell>>,
}

impl Form for Record {
    fn name(&self) -> &'static str {
        self.name
    }

    fn fields(&self) -> &'static [&'static str] {
        self.fields
    }

    fn take<'de, A: MapAccess<'de>>(
        &mut self,
        field: usize,
        _: &mut Sink,
        map: &mut A,
    ) -> Result<(), A::Error> {
        self.cells[field] = Some(map.next_value_seed(CellSeed)?);
        Ok(())
    }
}

/// Reads one cell as a field's value.
///
/// # Errors
/// Only where the text is not JSON.
pub fn cell<'de, A: MapAccess<'de>>(map: &mut A) -> Result<Cell, A::Error> {
    map.next_value_seed(CellSeed)
}

impl Record {
    /// Reads a flat object; none when it is not an object.
    ///
    /// # Errors
    /// Only where the text is not JSON.
    pub fn read<'de, D: Deserializer<'de>>(
        name: &'static str,
        fields: &'static [&'static str],
        sink: &mut Sink,
        deserializer: D,
    ) -> Result<Option<Self>, D::Error> {
        let mut record = Self { name, fields, cells: vec![None; fields.len()] };
        Ok(fill(&mut record, sink, deserializer)?.then_some(record))
    }

    /// Whether the field was given, and not as `null`.
    #[must_use]
    pub fn has(&self, field: &str) -> bool {
        self.given(field).is_some_and(|cell| *cell != Cell::Null)
    }

    fn given(&self, field: &str) -> Option<&Cell> {
        let at = self.fields.iter().position(|name| *name == field)?;
        self.cells.get(at)?.as_ref()
    }

    /// A number that need not be given; `null` means "not known".
    pub fn optional<T, E: fmt::Display>(
        &self,
        field: &str,
        sink: &mut Sink,
        check: impl FnOnce(f64) -> Result<T, E>,
    ) -> Option<T> {
        match self.given(field)? {
            Cell::Null => None,
            Cell::Whole(whole) => checked(field, *whole as f64, sink, check),
            Cell::Number(number) => checked(field, *number, sink, check),
            other => {
                sink.fault_at(field, not_a_number(other));
                None
            }
        }
    }

    /// A number that must be given.
    pub fn required<T, E: fmt::Display>(
        &self,
        field: &str,
        sink: &mut Sink,
        check: impl FnOnce(f64) -> Result<T, E>,
    ) -> Option<T> {
        match self.given(field) {
            None => {
                sink.fault_at(field, format!("This field is missing: {} needs it.", self.name));
                None
            }
            Some(Cell::Null) => {
                sink.fault_at(field, not_a_number(&Cell::Null));
                None
            }
            Some(_) => self.optional(field, sink, check),
        }
    }

    /// A flag that need not be given.
    pub fn flag(&self, field: &str, sink: &mut Sink) -> Option<bool> {
        match self.given(field)? {
            Cell::Null => None,
            Cell::Flag(flag) => Some(*flag),
            other => {
                let got = other.kind();
                sink.fault_at(field, format!("This must be true or false, but {got} was given."));
                None
            }
        }
    }

    /// One word of a list that need not be given.
    pub fn word<T>(
        &self,
        field: &str,
        words: &[&str],
        sink: &mut Sink,
        parse: impl FnOnce(&str) -> Option<T>,
    ) -> Option<T> {
        let cell = self.given(field)?;
        if *cell == Cell::Null {
            return None;
        }
        let parsed = match cell {
            Cell::Text(text) => parse(text),
            _ => None,
        };
        if parsed.is_none() {
            sink.fault_at(field, one_of(words));
        }
        parsed
    }

    /// The raw cell of a field.
    #[must_use]
    pub fn cell(&self, field: &str) -> Option<&Cell> {
        self.given(field)
    }
}

/// "This must be one of …".
#[must_use]
pub fn one_of(words: &[&str]) -> String {
    let words: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
    match words.as_slice() {
        [] => "This field must be left out.".into(),
        [only] => format!("This must be {only}."),
        [first @ .., last] => format!("This must be {} or {last}.", first.join(", ")),
    }
}

fn checked<T, E: fmt::Display>(
    field: &str,
    number: f64,
    sink: &mut Sink,
    check: impl FnOnce(f64) -> Result<T, E>,
) -> Option<T> {
    match check(number) {
        Ok(value) => Some(value),
        Err(error) => {
            sink.fault_at(field, error.to_string());
            None
        }
    }
}

fn not_a_number(got: &Cell) -> String {
    match got {
        Cell::Text(text) if text.trim().parse::<f64>().is_ok_and(f64::is_finite) => format!(
            "A number is needed here, but text was given: write {} without quotation marks.",
            text.trim()
        ),
        other => format!("A number is needed here, but {} was given.", other.kind()),
    }
}

/// Reads a small whole number of a request, such as how many eyepieces are wanted.
pub fn whole(
    cell: Option<&Cell>,
    field: &str,
    low: usize,
    high: usize,
    sink: &mut Sink,
) -> Option<usize> {
    let number = match cell? {
        Cell::Null => return None,
        Cell::Whole(whole) => usize::try_from(*whole).ok(),
        _ => None,
    };
    let number = number.filter(|number| (low..=high).contains(number));
    if number.is_none() {
        sink.fault_at(field, format!("This must be a whole number from {low} to {high}."));
    }
    number
}
