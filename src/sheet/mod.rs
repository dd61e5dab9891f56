//! Tables of text (RFC 4180) that people edit by hand, read and written cell by cell. Knows no
//! feature.
//!
//! A table is taken as a whole or not at all: every bad cell is named with its line and column, so
//! that one look at the list is enough to put the file right.

mod cells;
mod code;
mod fault;
mod number;
mod preview;
mod read;
mod taking;
#[cfg(test)]
mod tests;
mod text;
mod write;

pub use cells::Cells;
pub use code::{LONGEST_CODE, NotACode};
pub(crate) use code::{check_code, code};
pub use fault::{CellFault, Faults, Refused};
pub use preview::{Preview, Would};
pub use read::{Columns, Lined, MOST_BYTES, MOST_CELL_BYTES, MOST_ROWS, Sheet, read_one, seen_of};
pub use taking::{NotTaken, Taken};
pub use text::{BadText, Name, Notes};
pub(crate) use write::with_guard;
pub use write::{Cell, SheetWriter};
