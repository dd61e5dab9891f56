//! Reading JSON in one pass, with every fault noted at its place.

use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, IgnoredAny, MapAccess, SeqAccess, Visitor};

/// Most faults that are told one by one; the rest is counted.
pub const MOST_FAULTS: usize = 100;

/// Longest text that is kept while reading; whatever is longer is cut and refused later.
const LONGEST_TEXT: usize = 512;

/// Something wrong with one field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Where: a JSON Pointer (RFC 6901), empty for the whole body.
    pub pointer: String,
    /// What is wrong and what to do, in one or two sentences.
    pub detail: String,
}

/// Why a body could not be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unreadable {
    /// It is not JSON.
    Malformed(String),
    /// It is JSON, but some fields are wrong.
    Faults {
        /// The first of them, at most [`MOST_FAULTS`].
        faults: Vec<Fault>,
        /// How many more there are.
        more: usize,
    },
}

/// One step on the way into a body.
#[derive(Debug, Clone)]
enum Step {
    Field(&'static str),
    Unknown(String),
    Item(usize),
}

/// Collects faults and knows where the reader is.
#[derive(Debug)]
pub struct Sink {
    /// The calendar's year, which turns a birth year into an age.
    pub this_year: i16,
    path: Vec<Step>,
    faults: Vec<Fault>,
    more: usize,
}

impl Sink {
    fn new(this_year: i16) -> Self {
        Self { this_year, path: Vec::new(), faults: Vec::new(), more: 0 }
    }

    fn pointer(&self, below: &str) -> String {
        let mut pointer = String::new();
        for step in &self.path {
            pointer.push('/');
            match step {
                Step::Field(name) => pointer.push_str(name),
                Step::Unknown(name) => pointer.push_str(&escaped(name)),
                Step::Item(at) => pointer.push_str(&at.to_string()),
            }
        }
        if !below.is_empty() {
            pointer.push('/');
            pointer.push_str(&escaped(below));
        }
        pointer
    }

    /// Notes a fault where the reader is.
    pub fn fault(&mut self, detail: impl Into<String>) {
        self.fault_at("", detail);
    }

    /// Notes a fault in a field of the object that is being read.
    pub fn fault_at(&mut self, field: &str, detail: impl Into<String>) {
        if self.faults.len() < MOST_FAULTS {
            let pointer = self.pointer(field);
            self.faults.push(Fault { pointer, detail: detail.into() });
        } else {
            self.more += 1;
        }
    }

    /// Notes a fault in a field of an item of a list of the object that is being read.
    pub fn fault_in(&mut self, list: &'static str, at: usize, field: &str, detail: &str) {
        self.path.push(Step::Field(list));
        self.path.push(Step::Item(at));
        self.fault_at(field, detail);
        self.path.truncate(self.path.len().saturating_sub(2));
    }

    /// Whether nothing is wrong so far.
    #[must_use]
    pub fn is_clean(&self) -> bool {
        self.faults.is_empty()
    }
}

fn escaped(name: &str) -> String {
    name.replace('~', "~0").replace('/', "~1")
}

/// A value that can be read with faults noted: `None` when it is of no use.
pub trait Element: Sized {
    /// Reads one.
    ///
    /// # Errors
    /// Only where the text is not JSON; everything else goes to the sink.
    fn read<'de, D: Deserializer<'de>>(
        sink: &mut Sink,
        deserializer: D,
    ) -> Result<Option<Self>, D::Error>;
}

/// Reads a whole body, in a year of the calendar.
///
/// # Errors
/// [`Unreadable`] with everything that is wrong.
pub fn body<T: Element>(bytes: &[u8], this_year: i16) -> Result<T, Unreadable> {
    let mut sink = Sink::new(this_year);
    let mut deserializer = serde_json::Deserializer::from_slice(bytes);
    let read =
        T::read(&mut sink, &mut deserializer).and_then(|read| deserializer.end().map(|()| read));
    match read {
        Ok(Some(read)) if sink.is_clean() => Ok(read),
        Ok(_) => Err(Unreadable::Faults { faults: sink.faults, more: sink.more }),
        Err(error) if error.to_string().starts_with("number out of range") => {
            // The reader broke off inside this field, so its path still leads there.
            sink.fault("This number is too large to be meant: write it with fewer digits.");
            Err(Unreadable::Faults { faults: sink.faults, more: sink.more })
        }
        Err(error) if bytes.iter().all(u8::is_ascii_whitespace) => {
            drop(error);
            Err(Unreadable::Malformed("The body is empty: send a JSON object.".into()))
        }
        Err(error) => Err(Unreadable::Malformed(format!(
            "The body is not valid JSON: {error}. Correct it there and send it again."
        ))),
    }
}

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
    fn kind(&self) -> &'static str {
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

struct CellVisitor;

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
        Ok(Cell::Number(number))
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

/// An object that is filled field by field.
pub trait Form {
    /// What it is called in a sentence, with its article: "a telescope".
    fn name(&self) -> &'static str;

    /// The fields it may have.
    fn fields(&self) -> &'static [&'static str];

    /// Takes the value of one field.
    ///
    /// # Errors
    /// Only where the text is not JSON.
    fn take<'de, A: MapAccess<'de>>(
        &mut self,
        field: usize,
        sink: &mut Sink,
        map: &mut A,
    ) -> Result<(), A::Error>;
}

/// Fills a form from the next value; answers whether it was an object.
///
/// # Errors
/// Only where the text is not JSON.
pub fn fill<'de, F: Form, D: Deserializer<'de>>(
    form: &mut F,
    sink: &mut Sink,
    deserializer: D,
) -> Result<bool, D::Error> {
    deserializer.deserialize_any(FormVisitor { form, sink })
}

struct FormVisitor<'a, F> {
    form: &'a mut F,
    sink: &'a mut Sink,
}

impl<F: Form> FormVisitor<'_, F> {
    fn other(self, got: &Cell) -> bool {
        let detail =
            format!("This must be {} (an object), but {} was given.", self.form.name(), got.kind());
        self.sink.fault(detail);
        false
    }
}

impl<'de, F: Form> Visitor<'de> for FormVisitor<'_, F> {
    type Value = bool;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an object")
    }

    fn visit_bool<E>(self, flag: bool) -> Result<bool, E> {
        Ok(self.other(&Cell::Flag(flag)))
    }

    fn visit_i64<E>(self, number: i64) -> Result<bool, E> {
        Ok(self.other(&Cell::Whole(number)))
    }

    fn visit_u64<E>(self, _: u64) -> Result<bool, E> {
        Ok(self.other(&Cell::Whole(0)))
    }

    fn visit_f64<E>(self, number: f64) -> Result<bool, E> {
        Ok(self.other(&Cell::Number(number)))
    }

    fn visit_str<E>(self, _: &str) -> Result<bool, E> {
        Ok(self.other(&Cell::Text(String::new())))
    }

    fn visit_unit<E>(self) -> Result<bool, E> {
        Ok(self.other(&Cell::Null))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, items: A) -> Result<bool, A::Error> {
        let list = CellVisitor.visit_seq(items)?;
        Ok(self.other(&list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<bool, A::Error> {
        let Self { form, sink } = self;
        let fields = form.fields();
        let mut seen = 0_u32;
        while let Some(field) = map.next_key_seed(KeySeed(fields))? {
            match field {
                Key::Known(at) if seen & (1 << at) == 0 => {
                    seen |= 1 << at;
                    sink.path.push(Step::Field(fields[at]));
                    form.take(at, sink, &mut map)?;
                    sink.path.pop();
                }
                Key::Known(at) => {
                    sink.fault_at(fields[at], "This field is given twice: keep one.");
                    map.next_value::<IgnoredAny>()?;
                }
                Key::Unknown(name) => {
                    sink.path.push(Step::Unknown(name));
                    sink.fault(format!(
                        "{} has no field of this name; it may have {}.",
                        capital(form.name()),
                        listed(fields)
                    ));
                    map.next_value::<IgnoredAny>()?;
                    sink.path.pop();
                }
            }
        }
        Ok(true)
    }
}

fn capital(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

fn listed(fields: &[&str]) -> String {
    fields.iter().map(|field| format!("`{field}`")).collect::<Vec<_>>().join(", ")
}

enum Key {
    Known(usize),
    Unknown(String),
}

struct KeySeed(&'static [&'static str]);

impl<'de> DeserializeSeed<'de> for KeySeed {
    type Value = Key;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Key, D::Error> {
        deserializer.deserialize_str(self)
    }
}

impl Visitor<'_> for KeySeed {
    type Value = Key;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a field's name")
    }

    fn visit_str<E>(self, name: &str) -> Result<Key, E> {
        Ok(self.0.iter().position(|field| *field == name).map_or_else(
            || Key::Unknown(name[..name.floor_char_boundary(80)].to_owned()),
            Key::Known,
        ))
    }
}

/// What has become of a field.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Slot<T> {
    /// It was not given.
    #[default]
    Missing,
    /// It was given, but is of no use; the fault is noted.
    Faulty,
    /// It was read.
    Read(T),
}

impl<T> Slot<T> {
    /// What was read of a field that must be given.
    pub fn needed(self, field: &str, whole: &str, sink: &mut Sink) -> Option<T> {
        match self {
            Self::Missing => {
                sink.fault_at(field, format!("This field is missing: {whole} needs it."));
                None
            }
            Self::Faulty => None,
            Self::Read(read) => Some(read),
        }
    }
}

/// Reads one nested element as a field's value.
///
/// # Errors
/// Only where the text is not JSON.
pub fn nested<'de, T: Element, A: MapAccess<'de>>(
    sink: &mut Sink,
    map: &mut A,
) -> Result<Slot<T>, A::Error> {
    let read = map.next_value_seed(ElementSeed(sink, std::marker::PhantomData))?;
    Ok(read.map_or(Slot::Faulty, Slot::Read))
}

/// An element that may be left out with `null`: `Some(None)` for `null`, `None` when it is faulty.
#[derive(Debug)]
pub struct OrNull<T>(pub Option<T>);

impl<T: Element> Element for OrNull<T> {
    fn read<'de, D: Deserializer<'de>>(
        sink: &mut Sink,
        deserializer: D,
    ) -> Result<Option<Self>, D::Error> {
        struct OptionVisitor<'a, T>(&'a mut Sink, std::marker::PhantomData<T>);
        impl<'de, T: Element> Visitor<'de> for OptionVisitor<'_, T> {
            type Value = Option<OrNull<T>>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("an object or null")
            }
            fn visit_none<E>(self) -> Result<Self::Value, E> {
                Ok(Some(OrNull(None)))
            }
            fn visit_unit<E>(self) -> Result<Self::Value, E> {
                Ok(Some(OrNull(None)))
            }
            fn visit_some<D: Deserializer<'de>>(self, inner: D) -> Result<Self::Value, D::Error> {
                Ok(T::read(self.0, inner)?.map(|read| OrNull(Some(read))))
            }
        }
        deserializer.deserialize_option(OptionVisitor(sink, std::marker::PhantomData))
    }
}

struct ElementSeed<'a, T>(&'a mut Sink, std::marker::PhantomData<T>);

impl<'de, T: Element> DeserializeSeed<'de> for ElementSeed<'_, T> {
    type Value = Option<T>;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Option<T>, D::Error> {
        T::read(self.0, deserializer)
    }
}

/// A list that keeps at most `most` sound elements and counts the rest.
#[derive(Debug)]
pub struct List<T, const MOST: usize> {
    /// The sound elements with their places.
    pub items: Vec<(usize, T)>,
    /// How many elements there were, sound or not.
    pub count: usize,
}

impl<T, const MOST: usize> Default for List<T, MOST> {
    fn default() -> Self {
        Self { items: Vec::new(), count: 0 }
    }
}

impl<T: Element, const MOST: usize> Element for List<T, MOST> {
    fn read<'de, D: Deserializer<'de>>(
        sink: &mut Sink,
        deserializer: D,
    ) -> Result<Option<Self>, D::Error> {
        deserializer.deserialize_any(ListVisitor::<T, MOST>(sink, std::marker::PhantomData))
    }
}

struct ListVisitor<'a, T, const MOST: usize>(&'a mut Sink, std::marker::PhantomData<T>);

impl<T, const MOST: usize> ListVisitor<'_, T, MOST> {
    fn other(self, got: &Cell) -> Option<List<T, MOST>> {
        self.0.fault(format!("This must be a list, but {} was given.", got.kind()));
        None
    }
}

impl<'de, T: Element, const MOST: usize> Visitor<'de> for ListVisitor<'_, T, MOST> {
    type Value = Option<List<T, MOST>>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a list")
    }

    fn visit_bool<E>(self, flag: bool) -> Result<Self::Value, E> {
        Ok(self.other(&Cell::Flag(flag)))
    }

    fn visit_i64<E>(self, number: i64) -> Result<Self::Value, E> {
        Ok(self.other(&Cell::Whole(number)))
    }

    fn visit_u64<E>(self, _: u64) -> Result<Self::Value, E> {
        Ok(self.other(&Cell::Whole(0)))
    }

    fn visit_f64<E>(self, number: f64) -> Result<Self::Value, E> {
        Ok(self.other(&Cell::Number(number)))
    }

    fn visit_str<E>(self, _: &str) -> Result<Self::Value, E> {
        Ok(self.other(&Cell::Text(String::new())))
    }

    fn visit_unit<E>(self) -> Result<Self::Value, E> {
        Ok(self.other(&Cell::Null))
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Self::Value, A::Error> {
        let object = CellVisitor.visit_map(map)?;
        Ok(self.other(&object))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Self::Value, A::Error> {
        let sink = self.0;
        let mut list = List::default();
        loop {
            sink.path.push(Step::Item(list.count));
            let next = if list.count < MOST {
                items.next_element_seed(ElementSeed::<T>(sink, std::marker::PhantomData))?
            } else {
                items.next_element::<IgnoredAny>()?.map(|_| None)
            };
            sink.path.pop();
            let Some(read) = next else { return Ok(Some(list)) };
            list.items.extend(read.map(|read| (list.count, read)));
            list.count += 1;
        }
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
        Cell::Number(number) if number.fract() == 0.0 && (0.0..1e15).contains(number) => {
            Some(*number as usize)
        }
        _ => None,
    };
    let number = number.filter(|number| (low..=high).contains(number));
    if number.is_none() {
        sink.fault_at(field, format!("This must be a whole number from {low} to {high}."));
    }
    number
}
