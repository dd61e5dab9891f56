//! Objects with fields of their own kinds, and lists of them.

use std::fmt;
use std::marker::PhantomData;

use serde::de::{DeserializeSeed, Deserializer, IgnoredAny, MapAccess, SeqAccess, Visitor};

use super::cells::{Cell, CellVisitor, cell};
use super::read::{Element, ElementSeed, Sink, Slot, Step, nested};

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

/// What becomes of an object once all its fields are read.
pub trait Filled: Sized {
    /// The fields.
    type Form: Form + Default;

    /// Checks the fields together; none where they are of no use, with the faults noted.
    fn filled(form: Self::Form, sink: &mut Sink) -> Option<Self>;
}

impl<T: Filled> Element for T {
    fn read<'de, D: Deserializer<'de>>(
        sink: &mut Sink,
        deserializer: D,
    ) -> Result<Option<Self>, D::Error> {
        let mut form = T::Form::default();
        let is_object = fill(&mut form, sink, deserializer)?;
        Ok(if is_object { T::filled(form, sink) } else { None })
    }
}

/// The value of one field of a form.
pub trait Value: Sized {
    /// Reads it.
    ///
    /// # Errors
    /// Only where the text is not JSON.
    fn value<'de, A: MapAccess<'de>>(sink: &mut Sink, map: &mut A) -> Result<Self, A::Error>;
}

impl<T: Element> Value for Slot<T> {
    fn value<'de, A: MapAccess<'de>>(sink: &mut Sink, map: &mut A) -> Result<Self, A::Error> {
        nested(sink, map)
    }
}

impl Value for Option<Cell> {
    fn value<'de, A: MapAccess<'de>>(_: &mut Sink, map: &mut A) -> Result<Self, A::Error> {
        cell(map).map(Some)
    }
}

/// Makes a form of fields whose names are those on the wire, and the list of these names.
macro_rules! form {
    (
        $(#[$meta:meta])* $list:ident;
        $form:ident is $said:literal { $($field:ident: $kind:ty),+ $(,)? }
    ) => {
        $(#[$meta])*
        pub const $list: [&str; [$(stringify!($field)),+].len()] = [$(stringify!($field)),+];

        /// The fields as they came.
        #[derive(Debug, Default)]
        pub struct $form { $($field: $kind),+ }

        impl $crate::choosing::wire::forms::Form for $form {
            fn name(&self) -> &'static str {
                $said
            }

            fn fields(&self) -> &'static [&'static str] {
                &$list
            }

            fn take<'de, A: serde::de::MapAccess<'de>>(
                &mut self,
                field: usize,
                sink: &mut $crate::choosing::wire::read::Sink,
                map: &mut A,
            ) -> Result<(), A::Error> {
                use $crate::choosing::wire::forms::Value;
                match $list[field] {
                    $(stringify!($field) => self.$field = Value::value(sink, map)?,)+
                    _ => {}
                }
                Ok(())
            }
        }
    };
}
pub(super) use form;

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
                    sink.enter(Step::Field(fields[at]));
                    form.take(at, sink, &mut map)?;
                    sink.leave();
                }
                Key::Known(at) => {
                    sink.fault_at(fields[at], "This field is given twice: keep one.");
                    map.next_value::<IgnoredAny>()?;
                }
                Key::Unknown(name) => {
                    sink.enter(Step::Unknown(name));
                    sink.fault(format!(
                        "{} has no field of this name; it may have {}.",
                        capital(form.name()),
                        listed(fields)
                    ));
                    map.next_value::<IgnoredAny>()?;
                    sink.leave();
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
        deserializer.deserialize_any(ListVisitor::<T, MOST>(sink, PhantomData))
    }
}

struct ListVisitor<'a, T, const MOST: usize>(&'a mut Sink, PhantomData<T>);

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
            sink.enter(Step::Item(list.count));
            let next = if list.count < MOST {
                items.next_element_seed(ElementSeed::<T>(sink, PhantomData))?
            } else {
                items.next_element::<IgnoredAny>()?.map(|_| None)
            };
            sink.leave();
            let Some(read) = next else { return Ok(Some(list)) };
            list.items.extend(read.map(|read| (list.count, read)));
            list.count += 1;
        }
    }
}
