//! A form field as a page shows it again: what was typed, and what is wrong with it.

/// One field of a form: the text as it was typed and, if it was refused, why.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Field {
    /// The text as typed, however wrong.
    pub value: String,
    /// One sentence that says what is wrong and what to do.
    pub error: Option<String>,
}

impl Field {
    /// A field that holds this text.
    pub fn of(value: impl Into<String>) -> Self {
        Self { value: value.into(), error: None }
    }

    /// A field whose text was refused for this reason.
    pub fn refused(value: impl Into<String>, error: impl Into<String>) -> Self {
        Self { value: value.into(), error: Some(error.into()) }
    }

    /// Marks the field as refused, keeping what was typed.
    pub fn refuse(&mut self, error: impl Into<String>) {
        self.error = Some(error.into());
    }
}

/// A number, with a point or a comma, that `make` accepts; an empty field is none. Otherwise the
/// field is marked as refused.
///
/// ```
/// use borrowed_light::web::field::{Field, number};
///
/// let mut field = Field::of(" −2,5 ");
/// assert_eq!(number(&mut field, Ok::<f64, String>), Some(-2.5));
/// let mut field = Field::of("much");
/// assert_eq!(number(&mut field, Ok::<f64, String>), None);
/// assert!(field.error.is_some());
/// ```
pub fn number<T, E: std::fmt::Display>(
    field: &mut Field,
    make: impl Fn(f64) -> Result<T, E>,
) -> Option<T> {
    let text = field.value.trim().replace(',', ".").replace('−', "-");
    if text.is_empty() {
        return None;
    }
    let Some(number) = text.parse::<f64>().ok().filter(|number| number.is_finite()) else {
        field.refuse(format!("“{}” is not a number.", field.value.trim()));
        return None;
    };
    match make(number) {
        Ok(value) => Some(value),
        Err(refused) => {
            field.refuse(refused.to_string());
            None
        }
    }
}

/// A line of the summary above a form: which field, and what is wrong with it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slip {
    /// The `id` of the field, so that the line can link to it.
    pub field: String,
    /// The sentence shown beside the field too.
    pub text: String,
}

/// Collects the refused fields of a form, in the order given, for the summary on top.
///
/// ```
/// use borrowed_light::web::field::{Field, slips};
///
/// let age = Field::refused("430", "430 is not an age: write whole years from 4 to 120.");
/// let found = slips([("age", &age), ("from", &Field::of("2026-06-05"))]);
/// assert_eq!(found.len(), 1);
/// assert_eq!(found[0].field, "age");
/// ```
pub fn slips<'a>(fields: impl IntoIterator<Item = (&'a str, &'a Field)>) -> Vec<Slip> {
    fields
        .into_iter()
        .filter_map(|(id, field)| {
            let text = field.error.clone()?;
            Some(Slip { field: id.into(), text })
        })
        .collect()
}

/// An entry of a list to choose from.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Choice {
    /// What the form sends.
    pub value: String,
    /// What the reader sees.
    pub label: String,
}

impl Choice {
    /// An entry that sends `value` and reads `label`.
    pub fn new(value: impl Into<String>, label: impl Into<String>) -> Self {
        Self { value: value.into(), label: label.into() }
    }
}
