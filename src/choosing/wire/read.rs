//! Reading JSON in one pass, with every fault noted at its place.

use std::fmt;
use std::marker::PhantomData;

pub use crate::web::problem::Fault;
use serde::de::{DeserializeSeed, Deserializer, MapAccess, Visitor};

/// Most faults that are told one by one; the rest is counted.
pub const MOST_FAULTS: usize = 100;

/// Why a body could not be used.
#[derive(Debug)]
pub enum Unreadable {
    /// It is not JSON.
    Malformed(serde_json::Error),
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
pub(super) enum Step {
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

    /// Goes into a field or an item.
    pub(super) fn enter(&mut self, step: Step) {
        self.path.push(step);
    }

    /// Comes back out of it.
    pub(super) fn leave(&mut self) {
        self.path.pop();
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
        Err(error) => Err(Unreadable::Malformed(error)),
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

impl<T: Default> Slot<T> {
    /// What was read of a field that may be left out; none where it is of no use.
    pub fn or_default(self) -> Option<T> {
        match self {
            Self::Missing => Some(T::default()),
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
    let read = map.next_value_seed(ElementSeed(sink, PhantomData))?;
    Ok(read.map_or(Slot::Faulty, Slot::Read))
}

/// An element that may be left out with `null`: `Some(None)` for `null`, `None` when it is faulty.
#[derive(Debug)]
pub struct OrNull<T>(pub Option<T>);

impl<T> Default for OrNull<T> {
    fn default() -> Self {
        Self(None)
    }
}

impl<T: Element> Element for OrNull<T> {
    fn read<'de, D: Deserializer<'de>>(
        sink: &mut Sink,
        deserializer: D,
    ) -> Result<Option<Self>, D::Error> {
        struct OptionVisitor<'a, T>(&'a mut Sink, PhantomData<T>);
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
        deserializer.deserialize_option(OptionVisitor(sink, PhantomData))
    }
}

pub(super) struct ElementSeed<'a, T>(pub(super) &'a mut Sink, pub(super) PhantomData<T>);

impl<'de, T: Element> DeserializeSeed<'de> for ElementSeed<'_, T> {
    type Value = Option<T>;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Option<T>, D::Error> {
        T::read(self.0, deserializer)
    }
}
