//! What a table would do, row by row, before it does it.

use super::taking::Taken;

/// A row that adds or changes something.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Would {
    /// The line of the table.
    pub line: u64,
    /// What it is about, such as tag and name.
    pub what: String,
    /// What changes, in words; of something new what there is to say besides.
    pub changes: Vec<String>,
}

/// What a table would do.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Preview {
    /// What is new.
    pub added: Vec<Would>,
    /// What changes.
    pub changed: Vec<Would>,
    /// What is taken off, because the table has a list of which it was part, without it.
    pub dropped: Vec<String>,
    /// How many rows say what is written already.
    pub unchanged: usize,
    /// How many of what is written the table does not speak of; they stay as they are.
    pub unnamed: usize,
}

impl Preview {
    /// Whether the table would do nothing at all.
    #[must_use]
    pub fn does_nothing(&self) -> bool {
        self.added.is_empty() && self.changed.is_empty() && self.dropped.is_empty()
    }

    /// All that it would do to a list as one text, to find out later whether it is still the same.
    #[must_use]
    pub fn fingerprint(&self, list: &str) -> String {
        format!("{list} {self:?}")
    }

    /// How many rows did what.
    #[must_use]
    pub fn taken(&self) -> Taken {
        Taken {
            added: self.added.len(),
            changed: self.changed.len(),
            dropped: self.dropped.len(),
            unchanged: self.unchanged,
        }
    }
}
