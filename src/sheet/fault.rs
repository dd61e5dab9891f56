//! What is wrong with a table, cell by cell.

use std::fmt;

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CellFault {
    /// The line of the file on which the row begins, counted from 1; none for the whole file.
    pub line: Option<u64>,
    /// The column's name; none for the whole row or file.
    pub column: Option<&'static str>,
    /// What is wrong and what to do, in a sentence.
    pub says: String,
}

impl fmt::Display for CellFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.line, self.column) {
            (Some(line), Some(column)) => write!(f, "line {line}, {column}: {}", self.says),
            (Some(line), None) => write!(f, "line {line}: {}", self.says),
            (None, Some(column)) => write!(f, "{column}: {}", self.says),
            (None, None) => f.write_str(&self.says),
        }
    }
}

/// Faults gathered while reading; only the first hundred are kept, the rest are counted.
#[derive(Debug, Default)]
pub struct Faults {
    kept: Vec<CellFault>,
    more: usize,
}

impl Faults {
    /// How many faults are kept word for word.
    pub const KEPT: usize = 100;

    /// Adds a fault.
    pub fn add(
        &mut self,
        line: Option<u64>,
        column: Option<&'static str>,
        says: impl Into<String>,
    ) {
        if self.kept.len() < Self::KEPT {
            self.kept.push(CellFault { line, column, says: says.into() });
        } else {
            self.more += 1;
        }
    }

    /// Whether nothing is wrong.
    pub fn is_empty(&self) -> bool {
        self.kept.is_empty()
    }

    /// All is well, or everything that is wrong.
    ///
    /// # Errors
    /// [`Refused`] when there was any fault.
    pub fn into_result(mut self) -> Result<(), Refused> {
        // Rows of the wrong length are found before the others' cells are read.
        self.kept.sort_by_key(|fault| fault.line);
        if self.kept.is_empty() {
            Ok(())
        } else {
            Err(Refused { faults: self.kept, more: self.more })
        }
    }
}

/// A table that was refused as a whole. `Display` is one sentence; the faults say the rest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    /// What is wrong, at most a hundred faults, in the order of the file.
    pub faults: Vec<CellFault>,
    /// How many more there are.
    pub more: usize,
}

impl Refused {
    /// The faults, one line of words each.
    #[must_use]
    pub fn told(&self) -> Vec<String> {
        let more = (self.more > 0).then(|| format!("and {} more", self.more));
        self.faults.iter().map(ToString::to_string).chain(more).collect()
    }

    /// A table with one fault that is not in any row.
    pub fn whole(says: impl Into<String>) -> Self {
        Self { faults: vec![CellFault { line: None, column: None, says: says.into() }], more: 0 }
    }
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.faults.len() + self.more {
            1 => f.write_str("One thing is wrong")?,
            count => write!(f, "{count} things are wrong")?,
        }
        f.write_str(", so nothing was stored: correct the file and try again.")
    }
}

impl std::error::Error for Refused {}
