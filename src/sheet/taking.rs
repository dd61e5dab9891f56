//! What came of taking a table in.

use std::fmt;

use super::fault::Refused;

/// How many rows did what.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Taken {
    /// Rows that were new.
    pub added: usize,
    /// Rows that changed what was there.
    pub changed: usize,
    /// What was there and is taken off, as the table has a list without it.
    pub dropped: usize,
    /// Rows that said what was there already.
    pub unchanged: usize,
}

impl fmt::Display for Taken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { added, changed, dropped, unchanged } = self;
        write!(f, "{added} added, {changed} changed, {unchanged} as they were")?;
        if *dropped > 0 { write!(f, ", {dropped} taken off") } else { Ok(()) }
    }
}

/// Why a table was not taken in. Nothing of it was stored.
#[derive(Debug, thiserror::Error)]
pub enum NotTaken<E> {
    /// Something in the table is wrong.
    #[error(transparent)]
    Refused(#[from] Refused),
    /// The table may be right, but it could not be stored.
    #[error("{0}")]
    Failed(E),
}
